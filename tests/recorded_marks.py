"""Swings whose every joint, angle and name is another, and marks that remember what was drawn where."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from turnstill.model.arrays import Array
from turnstill.model.chain.skeleton import JOINTS, SEGMENT_ORIGINS, Skeleton
from turnstill.model.films.camera import Camera
from turnstill.render.pictures.lines import Angle
from turnstill.render.pictures.marks import Marks
from turnstill.render.pictures.picture import SwingView

RADIUS_M = 0.1


def scattered(seed: int, moments: tuple[int, ...] = ()) -> Skeleton:
    """A skeleton with every joint and frame somewhere of its own, in sight of ``camera``."""
    rng = np.random.default_rng(seed)
    low, high = np.array([-0.3, -0.5, 0.5]), np.array([0.3, 0.5, 1.5])

    def turn() -> Array:
        return np.linalg.qr(rng.normal(size=(*moments, 3, 3)))[0]

    return Skeleton(
        {name: rng.uniform(low, high, (*moments, 3)) for name in JOINTS},
        {name: turn() for name in SEGMENT_ORIGINS},
        rng.uniform(low, high, (*moments, 18, 3)),
        np.stack([turn() for _ in range(18)], axis=-3),
    )


def camera() -> Camera:
    """4 metres off on the ball's side: y to the right, z up, 600 pixels a metre there, 720 pixels square."""
    R = np.array([[0.0, 1.0, 0.0], [0.0, 0.0, -1.0], [-1.0, 0.0, 0.0]])
    K = np.array([[2400.0, 0.0, 360.0], [0.0, 2400.0, 360.0], [0.0, 0.0, 1.0]])
    return Camera(K, R, np.array([0.0, 1.0, 4.0]), 720, 720)


def seen(place: Array) -> Array:
    """``(..., 2)`` where ``camera`` shows a place, written out anew."""
    x, y, z = np.moveaxis(np.asarray(place, float), -1, 0)
    return np.stack([360 + 2400 * y / (4 - x), 360 + 2400 * (1 - z) / (4 - x)], axis=-1)


def distinct_view(view: str, seed: int = 3) -> SwingView:
    """No two joints, moments or numbers alike; the head's path goes elsewhere than either posture's joints."""
    rng = np.random.default_rng(100 + seed)
    path = rng.uniform([-0.2, -0.4, 0.7], [0.2, 0.4, 1.4], (5, 3))
    angles = {
        "face-on": {"lean": Angle(38.0, -7.0)},
        "down the line": {"inclination": Angle(38.0, -7.0)},
        "from above": {"hip turn": Angle(3.0, 47.0), "shoulder turn": Angle(-4.0, 86.0),
                       "lead flare": Angle(31.0, 32.0), "trail flare": Angle(-12.0, -13.0)},
    }[view]  # fmt: skip
    return SwingView(scattered(seed), scattered(seed + 1), path, RADIUS_M, angles, view, "its title", False)


@dataclass(frozen=True)
class Drawn:
    """One mark as it was asked for.

    Attributes:
        kind: line, dot or text.
        at: places, pixels.
        colour: red, green, blue.
        words: of a text.
        how: everything else.
    """

    kind: str
    at: Array
    colour: tuple[int, int, int]
    words: str
    how: dict[str, Any]


class Recorded(Marks):
    """Marks that draw nothing else than ``Marks`` does, and remember it."""

    drawn: list[Drawn]

    def __enter__(self) -> Recorded:
        self.drawn = []
        super().__enter__()
        return self

    def line(self, points: Any, colour: Any, **how: Any) -> None:
        self.drawn.append(Drawn("line", np.asarray(points, float), colour, "", how))
        super().line(points, colour, **how)

    def dot(self, centre: Any, colour: Any, **how: Any) -> None:
        self.drawn.append(Drawn("dot", np.asarray(centre, float), colour, "", how))
        super().dot(centre, colour, **how)

    def text(self, place: Any, text: str, colour: Any, **how: Any) -> None:
        self.drawn.append(Drawn("text", np.asarray(place, float), colour, text, how))
        super().text(place, text, colour, **how)

    def words(self, text: str) -> Drawn:
        """The one text with these words."""
        (found,) = [one for one in self.drawn if one.words == text]
        return found
