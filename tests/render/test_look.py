from __future__ import annotations

from dataclasses import FrozenInstanceError, fields
from itertools import combinations
from typing import Any

import numpy as np
import pytest

from turnstill.model.errors import TurnstillError
from turnstill.render.figure.look import CHOICES, Look
from turnstill.render.palette import HALO, INK, NOW


def grey(colour: tuple[int, int, int]) -> float:
    return float(np.array(colour) @ [0.299, 0.587, 0.114])


def test_every_field_is_a_choice_or_a_colour() -> None:
    for field in fields(Look):
        value = getattr(Look(), field.name)
        if field.name in CHOICES:
            assert value in CHOICES[field.name]
        else:
            assert len(value) == 3 and all(0 <= channel <= 255 for channel in value), field.name


def test_what_lies_side_by_side_differs_in_grey() -> None:
    look = Look()
    for legwear in (look.trousers, look.shorts, look.skirt):
        for first, second in combinations((look.skin, look.shirt, legwear, look.shoes), 2):
            assert abs(grey(first) - grey(second)) > 30
    assert abs(grey(look.cap) - grey(look.hair)) > 30
    for ink in (INK, NOW):
        assert grey(HALO) - grey(ink) > 120


def test_marks_and_shirt_lie_apart_on_the_blue_yellow_axis() -> None:
    """The axis that the common, red-green colour blindnesses leave whole (common knowledge, no source)."""
    look = Look()
    blue = [colour[2] - 0.5 * (colour[0] + colour[1]) for colour in (look.shirt, NOW)]
    assert blue[0] - blue[1] > 120


def test_looks_are_values() -> None:
    """Drawn by numpy, as for appearance at random, a look is the one written by hand."""
    rng = np.random.default_rng(3)
    drawn: dict[str, Any] = {name: rng.choice(allowed) for name, allowed in CHOICES.items()}
    drawn["shirt"] = rng.integers(0, 256, 3)
    look = Look(**drawn)
    by_hand: dict[str, Any] = {name: str(word) for name, word in drawn.items() if name in CHOICES}
    assert look == Look(**by_hand, shirt=tuple(drawn["shirt"].tolist()))
    assert len({look, Look(**drawn), Look()}) == 2
    assert type(look.legwear) is str and type(look.shirt[0]) is int
    with pytest.raises(FrozenInstanceError):
        look.legwear = "skirt"  # type: ignore[misc]


@pytest.mark.parametrize(
    ("given", "said"),
    [
        ({"legwear": "kilt"}, "legwear was 'kilt', but must be 'trousers', 'shorts' or 'skirt'."),
        ({"hair_style": None}, "hair_style was 'None', but must be 'short', 'tied back' or 'cropped'."),
        ({"headwear": ["cap"]}, "headwear was \"['cap']\", but must be 'none' or 'cap'."),
        ({"sleeves": "Long"}, "sleeves was 'Long', but must be 'short' or 'long'."),
    ],
)
def test_a_choice_that_there_is_not(given: dict[str, Any], said: str) -> None:
    with pytest.raises(TurnstillError) as told:
        Look(**given)
    assert str(told.value) == said


@pytest.mark.parametrize("given", ["red", (1, 2), (1, 2, 256), (-1, 2, 3), (0.5, 2, 3), None, 7, (1, 2, float("nan"))])
def test_a_colour_that_is_none(given: Any) -> None:
    with pytest.raises(TurnstillError, match=r"^The colour of cap was .* from 0 to 255\.$"):
        Look(cap=given)


def test_women_tie_their_hair_back_and_nothing_else_differs() -> None:
    assert Look.usual(0) == Look()
    assert Look.usual(1) == Look(hair_style="tied back")
