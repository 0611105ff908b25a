from __future__ import annotations

from dataclasses import asdict
from itertools import combinations

import numpy as np

from turnstill.render.figure.look import Look
from turnstill.render.palette import HALO, INK, NOW


def grey(colour: tuple[int, int, int]) -> float:
    return float(np.array(colour) @ [0.299, 0.587, 0.114])


def test_every_colour_is_a_colour() -> None:
    for name, colour in asdict(Look()).items():
        assert len(colour) == 3 and all(0 <= channel <= 255 for channel in colour), name


def test_what_lies_side_by_side_differs_in_grey() -> None:
    look = Look()
    for first, second in combinations((look.skin, look.shirt, look.trousers, look.shoes), 2):
        assert abs(grey(first) - grey(second)) > 30
    for ink in (INK, NOW):
        assert grey(HALO) - grey(ink) > 120


def test_marks_and_shirt_lie_apart_on_the_blue_yellow_axis() -> None:
    """The axis that the common, red-green colour blindnesses leave whole (common knowledge, no source)."""
    look = Look()
    blue = [colour[2] - 0.5 * (colour[0] + colour[1]) for colour in (look.shirt, NOW)]
    assert blue[0] - blue[1] > 120
