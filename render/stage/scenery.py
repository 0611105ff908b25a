"""Backdrop, ground and target line, drawn straight from the camera's geometry."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from ...model.arrays import Array
from ...model.films.camera import Camera
from ..figure.look import Look
from ..palette import Colour
from ..shapes.carriers import smoothstep

FADE_FROM_M, FADE_TO_M = 1.6, 4.6
"""The ground fades into the backdrop between these distances from the ball: no horizon behind the golfer."""
STEEP_FROM, STEEP_TO = 0.5, 0.7
"""A sight that goes down by these parts of its length sees ground however far it is: from above there is no horizon."""
LINE_HALF_M, LINE_BEHIND_M, LINE_AHEAD_M, LINE_GAP_M = 0.010, 0.50, 0.44, 0.09
"""The target line through the ball: half its breadth, how far it goes behind the ball and ahead of it, and how far it
leaves the ball alone."""
ARROW_HALF_M, ARROW_M = 0.055, 0.13
"""The arrowhead at its target end: half its breadth, and its length."""
LINE_OPACITY = 0.85
"""How much of the ground the line covers."""


def _unit(colour: Colour) -> NDArray[np.float32]:
    return np.asarray(colour, np.float32) * np.float32(1 / 255)


def scenery(camera: Camera, ball: Array, look: Look, *, left_handed: bool = False) -> NDArray[np.float32]:
    """``(height, width, 3)`` 0 to 1: what stands behind the golfer.

    Args:
        camera: where from; the ground is the world's plane z = 0.
        ball: ``(3,)`` metres, world.
        look: the colours.
        left_handed: the target lies toward -y.

    """
    rays = camera.rays()
    rows = np.arange(camera.height)[:, None]
    up = (rows / max(camera.height - 1, 1))[..., None].astype(np.float32)
    back = _unit(look.backdrop_high) * (1 - up) + _unit(look.backdrop_low) * up
    position = camera.position
    with np.errstate(divide="ignore", invalid="ignore"):
        reach = np.where(rays[..., 2] < -1e-9, -position[2] / rays[..., 2], np.inf)
        hit_x = position[0] + reach * rays[..., 0] - 0.5 * ball[0]
        hit_y = position[1] + reach * rays[..., 1] - ball[1]
        far = np.hypot(hit_x, hit_y)
    far = np.where(np.isfinite(far), far, 1e9)
    here = smoothstep((FADE_TO_M - far) / (FADE_TO_M - FADE_FROM_M))
    down = -rays[..., 2] / np.linalg.norm(rays, axis=-1)
    here = np.maximum(here, smoothstep((down - STEEP_FROM) / (STEEP_TO - STEEP_FROM)))
    mix = here.astype(np.float32)[..., None]
    near = np.clip(1 - far / FADE_TO_M, 0, 1).astype(np.float32)[..., None]
    grass = _unit(look.ground_far) * (1 - near) + _unit(look.ground) * near
    scene = back * (1 - mix) + grass * mix
    line = _target_line(camera, ball, -1.0 if left_handed else 1.0)[..., None]
    painted: NDArray[np.float32] = scene * (1 - LINE_OPACITY * line) + _unit(look.target_line) * LINE_OPACITY * line
    return painted


def target_line_shapes() -> list[list[tuple[float, float]]]:
    """Corners of the target line's pieces on the ground: metres toward ball and toward target from the ball."""
    half, behind, gap, end = LINE_HALF_M, -LINE_BEHIND_M, LINE_GAP_M, LINE_AHEAD_M
    return [
        [(-half, behind), (half, behind), (half, -gap), (-half, -gap)],
        [(-half, gap), (half, gap), (half, end), (-half, end)],
        [(-ARROW_HALF_M, end), (ARROW_HALF_M, end), (0.0, end + ARROW_M)],
    ]


def _target_line(camera: Camera, ball: Array, toward_target: float) -> NDArray[np.float32]:
    """``(height, width)`` 0 to 1: a line on the ground through the ball, an arrowhead at its target end."""
    from PIL import Image, ImageDraw

    fine = 4
    large = camera.scaled(fine)
    image = Image.new("L", (large.width, large.height), 0)
    draw = ImageDraw.Draw(image)
    for bar in target_line_shapes():
        world = np.array([[ball[0] + x, ball[1] + toward_target * y, 0.0] for x, y in bar])
        draw.polygon([(float(u) + 0.5, float(v) + 0.5) for u, v in large.project(world)], fill=255)
    small = image.resize((camera.width, camera.height), Image.Resampling.BOX)
    return np.asarray(small, np.float32) * np.float32(1 / 255)
