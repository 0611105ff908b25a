"""Films of swings with known faults, drawn as pictures and saved as files: to judge the whole way from film to fault.

Bodies, addresses and faults are those of `simulated_faults`, cameras of phones those of `filmed_swings`; what is worn,
where it is and how it is lit are drawn as for data sets. The golfer stands still, swings back and comes down the way it
went up, and quickly; each moment is drawn once, and every frame has noise of its own. Bodies, cameras and tempos are
the same whatever the frames a second.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import filmed_files
import filmed_swings
import numpy as np
import simulated_faults as swings

from turnstill.model.films.camera import Camera
from turnstill.model.films.film_moments import VIEWS
from turnstill.model.golfer.address import ADDRESS, Address
from turnstill.model.golfer.pieces import DEPARTURES, Pieces, Steady
from turnstill.model.swing.simulate import simulate
from turnstill.model.swing.swing import Swing
from turnstill.render.figure.figure import Figure, Posed
from turnstill.render.photograph.exposing import Readout
from turnstill.render.photograph.sensor import Sensor
from turnstill.render.photograph.tripod import Photo, Tripod
from turnstill.render.stage.stage import Stage
from turnstill.scenes.dataset.plan.loading import load_recipe
from turnstill.scenes.dataset.plan.people import look_of
from turnstill.scenes.dataset.plan.scenery import light_of, place_of, sensor_of

FPS, MOMENTS = 30.0, 61
"""Frames a second unless said otherwise, and moments that a swing is drawn at, up to 60 a second; more beyond."""
RECIPE = "phone"
"""Looks, places, lights and sensors are drawn as this recipe for data sets has them."""


@dataclass(frozen=True)
class Played:
    """When what is shown.

    Attributes:
        progress: ``(F,)`` of each frame, 0 at address and 1 at the top.
        top, takeaway: frames, parts of a frame between.
    """

    progress: np.ndarray
    top: float
    takeaway: float


def played(rng: np.random.Generator, fps: float = FPS) -> Played:
    """A tempo: still, back, and down quickly."""
    still, back, down, after = rng.uniform(0.6, 0.9), rng.uniform(0.7, 1.1), rng.uniform(0.22, 0.33), 0.2
    power, offset = rng.uniform(0.85, 1.2), rng.uniform(0.0, 1.0 / fps)
    t = np.arange(int((still + back + down + after) * fps)) / fps + offset
    u = np.clip((t - still) / back, 0.0, 1.0) ** power
    w = np.clip((t - still - back) / down, 0.0, 1.0)
    progress = np.where(w > 0.0, 1.0 - w**2.2, u**2 * (3.0 - 2.0 * u))
    return Played(progress, (still + back - offset) * fps, (still - offset) * fps)


def swing_of(faulty: swings.Faulty, k: int, moments: int = MOMENTS) -> Swing:
    """One of them, all its moments."""
    amount = dict(zip(DEPARTURES, faulty.departures[k] * swings.TO_MODEL, strict=True))
    plain = {name: getattr(Pieces(), name) + value for name, value in amount.items() if name not in swings.FAULTS}
    pieces = Pieces(**plain, tilt=Steady(amount["tilt"]), extension=Steady(amount["extension"]))
    count = len(faulty.departures)
    own = {name: np.broadcast_to(getattr(faulty.address, name), count)[k] for name in ADDRESS}
    return simulate(faulty.body[k], Address(**own), pieces, frames=moments)


def phone(rng: np.random.Generator, view: int) -> Camera:
    """A phone's camera as for simulated tracks."""
    eye, axes, focal, _ = filmed_swings.phone(rng, view, filmed_swings.Conditions())
    width, height = filmed_swings.WIDTH, filmed_swings.HEIGHT
    K = np.array([[focal, 0.0, (width - 1) / 2], [0.0, focal, (height - 1) / 2], [0.0, 0.0, 1.0]])
    return Camera(K, axes, -axes @ eye, width, height)


def camera(seed: int, k: int, view: int) -> Camera:
    """The one that a golfer's film was taken with."""
    return phone(np.random.default_rng([seed, k, 1, view]), view)


def tempos(seed: int, k: int, fps: float = FPS) -> dict[str, Played]:
    """By view, when a golfer's films show what."""
    return {view: played(np.random.default_rng([seed, k, 2, number]), fps) for number, view in enumerate(VIEWS)}


def draw(faulty: swings.Faulty, k: int, seed: int, folder: Path, stage: Stage, fps: float = FPS) -> dict[str, Camera]:
    """Both films of a golfer, into a folder under the views' names; the cameras that filmed them.

    Args:
        faulty: of whom.
        k: which of them.
        seed: of everything else.
        folder: where to.
        stage: open.
        fps: frames a second.
    """
    rng = np.random.default_rng([seed, k, 0])
    swing, recipe = swing_of(faulty, k, 1 + round((MOMENTS - 1) * max(1.0, fps / 60.0))), load_recipe(RECIPE)
    look, _ = look_of(recipe, bool(faulty.body.female[k]), rng)
    figure = Figure(swing.body, swing.skeleton[0], look=look)
    place, light = place_of(recipe, rng), light_of(recipe, rng)
    cameras = {}
    for number, (view, time) in enumerate(tempos(seed, k, fps).items()):
        own = np.random.default_rng([seed, k, 1, number])
        camera, sensor = phone(own, number), sensor_of(recipe, own)
        ball = Posed.of(figure, swing.skeleton[0]).ball
        tripod = Tripod(stage, camera, place, light, look=look, ball=ball, exposure=sensor.exposure)
        which = np.abs(swing.progress[None] - time.progress[:, None]).argmin(axis=1)
        pictures = _pictures(which, tripod, figure, swing, sensor, own)
        filmed_files.write(folder / f"{view}.mp4", pictures, np.arange(len(which)) / fps, loss=22)
        cameras[view] = camera
    return cameras


def _pictures(
    which: np.ndarray, tripod: Tripod, figure: Figure, swing: Swing, sensor: Sensor, rng: np.random.Generator
) -> Iterator[np.ndarray]:
    """The frames of a film: each moment drawn once, its noise anew."""
    kept: dict[int, Photo] = {}
    sensed = Readout(tripod.still, sensor.noise)
    for moment in which.tolist():
        if moment not in kept:
            kept[moment] = tripod.take(Posed.of(figure, swing.skeleton[moment]))
        # Blue first, as pictures' codecs take it.
        yield sensed.noisy(kept[moment].changed, kept[moment].colour_there, rng)[..., ::-1]
