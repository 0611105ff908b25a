"""How golfer and place look: what is worn, and the colour of everything; marks have theirs in ``render.palette``."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields
from typing import Literal, get_args

from ...model.errors import TurnstillError
from ..palette import Colour

HairStyle = Literal["short", "tied back", "cropped"]
Headwear = Literal["none", "cap"]
Sleeves = Literal["short", "long"]
Legwear = Literal["trousers", "shorts", "skirt"]
ClubHead = Literal["iron", "wood"]
CHOICES: Mapping[str, tuple[str, ...]] = {
    "hair_style": get_args(HairStyle), "headwear": get_args(Headwear), "sleeves": get_args(Sleeves),
    "legwear": get_args(Legwear), "club_head": get_args(ClubHead),
}  # fmt: skip
"""What each field of ``Look`` that is no colour may be; every combination can be drawn."""


@dataclass(frozen=True)
class Look:
    """What a golfer wears, and the colours of figure and scene.

    Looks are values: equal ones are alike, and they can be kept in sets and as keys. Blue against orange is the one
    pair that every common colour blindness keeps apart (common practice), so clothes are blue under marks in orange;
    lightness alone also tells skin, shirt, trousers and shoes apart.

    Attributes:
        hair_style: ``short``; ``tied back``, smooth and in a tail behind the head; or ``cropped`` to the skin.
        headwear: ``none``, or a ``cap`` with a peak.
        sleeves: ``short``, to above the elbows, or ``long``, to the wrists.
        legwear: ``trousers`` to the ankles, ``shorts`` to above the knees, or a ``skirt`` to the knees.
        club_head: an ``iron``'s blade, or a ``wood``'s round body behind a flat face.
        skin: a colour, red, green and blue from 0 to 255, as all that follow. Each is named after what it colours.

    Raises:
        TurnstillError: for a choice that is none of ``CHOICES``, or a colour that is none.
    """

    hair_style: HairStyle = "short"
    headwear: Headwear = "none"
    sleeves: Sleeves = "short"
    legwear: Legwear = "trousers"
    club_head: ClubHead = "iron"
    skin: Colour = (226, 176, 144)
    lips: Colour = (176, 100, 88)
    eye: Colour = (250, 250, 248)
    iris: Colour = (40, 34, 30)
    hair: Colour = (74, 52, 38)
    cap: Colour = (236, 238, 240)
    shirt: Colour = (72, 132, 184)
    collar: Colour = (232, 236, 240)
    trousers: Colour = (74, 80, 96)
    shorts: Colour = (74, 80, 96)
    skirt: Colour = (74, 80, 96)
    belt: Colour = (38, 30, 26)
    buckle: Colour = (208, 204, 190)
    shoes: Colour = (240, 240, 236)
    sole: Colour = (52, 52, 56)
    glove: Colour = (250, 248, 240)
    shaft: Colour = (150, 156, 164)
    grip: Colour = (36, 36, 40)
    clubhead: Colour = (120, 126, 136)
    ball: Colour = (255, 255, 252)
    ground: Colour = (122, 146, 112)
    ground_far: Colour = (158, 174, 150)
    target_line: Colour = (236, 236, 220)
    backdrop_low: Colour = (222, 226, 228)
    backdrop_high: Colour = (190, 202, 214)

    def __post_init__(self) -> None:
        for field in fields(self):
            given = getattr(self, field.name)
            kept = _chosen(field.name, given) if field.name in CHOICES else _colour(field.name, given)
            object.__setattr__(self, field.name, kept)

    @classmethod
    def usual(cls, female: float) -> Look:
        """What is drawn where nothing is asked for: women play with their hair tied back (common practice).

        Args:
            female: 0 or 1.
        """
        return cls(hair_style="tied back") if female else cls()


def _chosen(name: str, given: object) -> str:
    """A choice as plain text."""
    allowed = CHOICES[name]
    if given not in allowed:
        *others, last = (repr(word) for word in allowed)
        raise TurnstillError(f"{name} was {str(given)[:40]!r}, but must be {', '.join(others)} or {last}.")
    return str(given)


def _colour(name: str, given: object) -> Colour:
    """A colour as three plain whole numbers, from any sequence of them."""
    try:
        red, green, blue = (int(channel) for channel in given)  # type: ignore[attr-defined]
        whole = [red, green, blue] == list(given)  # type: ignore[call-overload]
    except (TypeError, ValueError):
        whole = False
    if not whole or not all(0 <= channel <= 255 for channel in (red, green, blue)):
        raise TurnstillError(
            f"The colour of {name} was {str(given)[:40]}, but must be red, green and blue, each a whole number from 0 "
            "to 255."
        )
    return red, green, blue
