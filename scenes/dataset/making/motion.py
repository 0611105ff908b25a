"""Where a figure is while the shutter is open."""

from __future__ import annotations

import numpy as np

from ....model.arrays import Array
from ....model.films.camera import Camera
from ....model.swing.phases import TOP, Phases
from ....render.figure.figure import Figure, Posed
from ..plan.drawn import DrawnSwing

STILL_PX = 1.0
"""What moves less while the shutter is open is drawn as if it stood still: it is blurred by less than a pixel."""
STEP_PX, MOST_STEPS = 3.0, 9
"""How far apart in the picture, if that many do, the places are that a blur is made of: each costs a drawing."""


def rate_of_progress(progress: float, backswing_s: float) -> float:
    """How fast a backswing gets on, 1/s: it starts and ends at rest, as smoothly as a film of ours shows it.

    With s the share of the time, ``progress = s² (3 - 2 s)`` (assumption), which
    ``s = ½ - sin(asin(1 - 2 progress) / 3)`` undoes.
    """
    share = 0.5 - np.sin(np.arcsin(1.0 - 2.0 * np.clip(progress, 0.0, 1.0)) / 3.0)
    return float(6.0 * share * (1.0 - share) / backswing_s)


def velocities(swing: DrawnSwing, figure: Figure) -> Array:
    """``(M, V, 3)`` m/s, world, of a figure's vertices at each photographed moment, from those beside it."""
    made, moments = swing.swing, np.array(swing.moments)
    before, after = np.maximum(moments - 1, 0), np.minimum(moments + 1, len(made.progress) - 1)
    change = figure.pose(made.skeleton[after]) - figure.pose(made.skeleton[before])
    progress = made.progress[moments]
    rate = np.array([rate_of_progress(float(one), swing.backswing_s) for one in progress])
    rate = rate / (made.progress[after] - made.progress[before])
    if swing.downswing_s is not None:
        # The way down and past the ball goes on evenly: how far the pieces have gone on it is the model's to say.
        way = Phases(made.progress).way
        down = progress > TOP
        rate[down] = 1.0 / ((way[after] - way[before])[down] * swing.downswing_s)
    return np.asarray(change * rate[:, None, None])


def across_exposure(camera: Camera, posed: Posed, moving: Array, shutter_s: float) -> Array | None:
    """``(K, V, 3)`` metres, world: the vertices while the shutter is open, the posture in the middle of the time.

    In so short a time the motion is taken as straight and even.

    Args:
        camera: where from.
        posed: the figure in the middle of the exposure.
        moving: ``(V, 3)`` m/s, world: its vertices' velocity.
        shutter_s: how long the shutter is open, seconds.

    Returns:
        None where nothing moves as far as ``STILL_PX``.
    """
    fastest = int(np.argmax((moving**2).sum(axis=1)))
    way = np.linalg.norm(moving[fastest]) * shutter_s
    pixels = float(way * camera.K[0, 0] / camera.depth(posed.vertices[fastest]))
    if not pixels >= STILL_PX:
        return None
    steps = min(1 + int(np.ceil(pixels / STEP_PX)), MOST_STEPS)
    when = np.linspace(-0.5, 0.5, steps) * shutter_s
    return np.asarray(posed.vertices + when[:, None, None] * moving)
