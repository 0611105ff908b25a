"""The pictures and their truth: drawn plain, as a film would show them, kept beside what the model knows."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from dataclasses import asdict, dataclass
from pathlib import Path

import numpy as np
from PIL import Image

from turnstill.model.arrays import Array
from turnstill.render.figure.figure import Figure, Posed
from turnstill.render.stage.stage import Stage
from turnstill.scenes.views.cameras import cameras
from turnstill.scenes.views.names import VIEWS

from .golfers import FRAMES, Golfer
from .landmarks import LEFT, PAIRS, RIGHT, places
from .sight import half_thickness, through

SHOULDER, HIP = PAIRS.index("shoulder"), PAIRS.index("hip")
TRUTH = "truth.json"


@dataclass(frozen=True)
class Truth:
    """What one picture shows.

    Attributes:
        file: name of the PNG.
        golfer: number of the golfer.
        about: preset, sex, size and hand, in words.
        left_handed: whether the golfer is.
        view: one of ``VIEWS``.
        progress: 0 at address to 1 at the top.
        torso: pixels from mid-shoulders to mid-hips at this golfer's address through the same camera, so that a trunk
            turned out of the picture does not make the judge stricter.
        places: ``(len(LANDMARKS), 2)`` pixels, centres at integers.
        through: ``(len(LANDMARKS),)`` half thicknesses of its own flesh before each joint, see ``sight.through``.
    """

    file: str
    golfer: int
    about: str
    left_handed: bool
    view: str
    progress: float
    torso: float
    places: Array
    through: Array


def torso_length(at_address: Array) -> float:
    """Pixels from the middle of the shoulders to the middle of the hips, of ``(len(LANDMARKS), 2)`` places."""
    middle = (at_address[LEFT] + at_address[RIGHT]) / 2
    return float(np.linalg.norm(middle[SHOULDER] - middle[HIP]))


def about(golfer: Golfer) -> str:
    """Who it is, in words."""
    body = golfer.body
    who = "woman" if body.female else "man"
    hand = ", left-handed" if golfer.left_handed else ""
    return f"{golfer.preset}, {who}, {100 * float(body.stature):.0f} cm, {float(body.mass):.0f} kg{hand}"


def draw(golfers: Sequence[Golfer], folder: Path) -> list[Truth]:
    """Draw every picture as a PNG into a folder, with its truth beside it."""
    found: list[Truth] = []
    with Stage() as stage:
        for number, golfer in enumerate(golfers):
            found.extend(_of_golfer(number, golfer, stage, folder))
    table = [{**asdict(one), "places": one.places.tolist(), "through": one.through.tolist()} for one in found]
    (folder / TRUTH).write_text(json.dumps(table), encoding="utf-8")
    return found


def read(folder: Path) -> list[Truth]:
    """The truth that ``draw`` left in a folder."""
    rows = json.loads((folder / TRUTH).read_text(encoding="utf-8"))
    return [Truth(**{**row, "places": np.array(row["places"]), "through": np.array(row["through"])}) for row in rows]


def _of_golfer(number: int, golfer: Golfer, stage: Stage, folder: Path) -> Iterator[Truth]:
    swing = golfer.swing()
    address = swing.skeleton[0]
    figure = Figure(golfer.body, address, left_handed=golfer.left_handed)
    by_view = cameras([swing])[0]
    for moment in golfer.moments:
        skeleton = swing.skeleton[moment]
        posed = Posed.of(figure, skeleton)
        joints = places(skeleton, golfer.left_handed)
        corners = np.asarray(posed.vertices, float)[figure.faces]
        for view in VIEWS:
            camera = by_view[view]
            file = f"{number:02d}-{golfer.preset}-{moment:02d}-{view}.png"
            Image.fromarray(stage.picture(camera, posed)).save(folder / file)
            yield Truth(
                file=file,
                golfer=number,
                about=about(golfer),
                left_handed=golfer.left_handed,
                view=view,
                progress=moment / (FRAMES - 1),
                torso=torso_length(camera.project(places(address, golfer.left_handed))),
                places=camera.project(joints),
                through=through(camera.position, joints, corners, half_thickness(golfer.body.shape)),
            )
