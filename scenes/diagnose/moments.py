"""The moments of a swing that films are read at, and what is told differently of each."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from ...model.films.readings import USUAL_SD_AT_IMPACT_SHOWN, USUAL_SD_SHOWN
from ..words import at_impact
from ..words.feels import FEELS, Feel, hurt_by
from ..words.feels_at_impact import FEELS_AT_IMPACT, hurt_at_impact

_MORE_LESS_AT_TOP = {
    "lead_flex_change": ("more bent", "less bent"),
    "trail_flex_change": ("more bent", "less bent"),
    "sway": ("farther from the target", "nearer to the target"),
    "hips_toward_ball": ("nearer to the ball", "farther from the ball"),
}


@dataclass(frozen=True)
class Moment:
    """A moment that is read.

    Attributes:
        name: as reports have it.
        prefix: of a reading's name, as it is given.
        at: when it is, in words.
        of: the same after ``readings``.
        do: how a feel is led in.
        centred: what the centred golfer does by then.
        more_less: piece to what more and less of it are called, where that is not ``more`` and ``less``.
        feels: piece to the feel of more and of less of it.
        hurt_by: what could be hurt by so much more of a piece.
        caution: after what each piece works on; may be empty.
        signs: what less of a piece means where that is not plain; may be empty.
        usual_sd: uncertainty of a reading that nothing is said of, by its unit.
        unsure: what of it is the moment's, in words; may be empty.
    """

    name: str
    prefix: str
    at: str
    of: str
    do: str
    centred: str
    more_less: Mapping[str, tuple[str, str]]
    feels: Mapping[str, tuple[Feel, Feel]]
    hurt_by: Callable[[str, float], str]
    caution: str
    signs: str
    usual_sd: Mapping[str, float]
    unsure: str

    def called(self, piece: str, value: float) -> str:
        """What so much more of a piece is called; of less where it is below zero."""
        return self.more_less.get(piece, ("more", "less"))[int(value < 0.0)]

    def feel(self, piece: str, value: float) -> Feel:
        """The feel of so much more of a piece."""
        return self.feels[piece][int(value < 0.0)]

    def hurts(self, piece: str, value: float) -> str:
        """What could be hurt by the feel of so much more of a piece."""
        return f"{self.hurt_by(piece, value)} {self.caution}".strip()


TOP = Moment(
    name="top",
    prefix="",
    at="at the top",
    of="of the top",
    do="What to do",
    centred="the centred turn",
    more_less=_MORE_LESS_AT_TOP,
    feels=FEELS,
    hurt_by=hurt_by,
    caution="",
    signs="",
    usual_sd=USUAL_SD_SHOWN,
    unsure="",
)
IMPACT = Moment(
    name="impact",
    prefix="impact.",
    at="at impact",
    of="of impact",
    do="What to do on the way down",
    centred="the centred swing at impact",
    more_less=at_impact.MORE_LESS,
    feels=FEELS_AT_IMPACT,
    hurt_by=hurt_at_impact,
    caution=at_impact.CAUTION,
    signs=at_impact.SIGNS,
    usual_sd=USUAL_SD_AT_IMPACT_SHOWN,
    unsure=", and impact up to half a frame of 30 a second away",
)
MOMENTS: Mapping[str, Moment] = {one.name: one for one in (TOP, IMPACT)}
"""By name, in the order of a swing."""
