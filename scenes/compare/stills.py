"""The still pictures of a comparison: address and the top, and of swings that go on address and impact."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from ..setups.options import IMPACT, TOP
from ..simulate.report import MomentReport, SwingReport
from ..views.names import ABOVE, SEEN, VIEW_NOTES, VIEW_TITLES
from ..views.pictures import ShownPicture, ViewPicture
from ..words.at_impact import CAUTION
from ..words.cautions import listed
from ..words.measures import MEASURES
from ..words.pieces import head_words

ALL_ALIKE = "Up to the top these swings are one and the same, so the still pictures are of impact alone."
ARMS_DOWN = "with the arms of this golfer’s centred swing, so that the club need not meet the ball"
"""What the arms are past the top, whatever is compared."""
_CALLED = {TOP: "at the top", IMPACT: "at impact"}
_SOLID = {TOP: "top of the backswing", IMPACT: f"impact, {ARMS_DOWN}"}
_OPEN = " A turn below nought is open to the target."
"""From above at impact, where most turns are."""
_WAYS = ("head_toward_ball_cm", "head_toward_target_cm", "head_up_cm")


@dataclass(frozen=True)
class Stills:
    """All pictures of one moment and view.

    Attributes:
        title: the view, and the moment where it has to be said.
        before: what is read before them.
        solid: what the solid figure is of.
        path: how the head's path goes, after its name; may be empty.
        note: what the view's marks mean.
        pictures: one a swing.
        printed: the section's class, which says how it is laid on paper; may be empty.
    """

    title: str
    before: Sequence[str]
    solid: str
    path: str
    note: str
    pictures: Sequence[ShownPicture]
    printed: str


def shown_stills(
    reports: Sequence[SwingReport], pictures: Sequence[ViewPicture], inches: bool, alike: Sequence[bool] = ()
) -> list[Stills]:
    """The pictures in the order that they were drawn in, a section for each moment and view.

    Args:
        reports: one a swing.
        pictures: of them.
        inches: lengths in inches.
        alike: of each swing but the first, whether it is the first one up to the top and has no picture of it; empty
            where all swings end there.
    """
    kinds = list(dict.fromkeys((one.moment, one.view) for one in pictures))
    both = len(moments_of(pictures)) > 1
    waiting = {TOP: _stands_for([report.preset for report in reports], alike), IMPACT: [CAUTION]}
    if not both:
        waiting[IMPACT] = [*([ALL_ALIKE] if all_alike(alike) else []), CAUTION]
    found: list[Stills] = []
    for moment, view in kinds:
        at_impact = moment == IMPACT
        found.append(
            Stills(
                title=f"{VIEW_TITLES[view]}, {_CALLED[moment]}" if both or at_impact else VIEW_TITLES[view],
                before=waiting.pop(moment, []),
                solid=_SOLID[moment],
                path=", to the top and down again" if at_impact else "",
                note=VIEW_NOTES[view] + (_OPEN if at_impact and view == ABOVE else ""),
                pictures=[
                    _shown(reports[one.index], one, inches)
                    for one in pictures
                    if (one.moment, one.view) == (moment, view)
                ],
                printed="" if not found else "whole" if both else "sheet",
            )
        )
    return found


def all_alike(alike: Sequence[bool]) -> bool:
    """Whether swings that go on to impact are all the same up to the top, so that impact is what matters."""
    return bool(alike) and all(alike)


def _stands_for(names: Sequence[str], alike: Sequence[bool]) -> list[str]:
    """Which swings have no picture of the top, since the first one's is theirs."""
    same = [name for name, like in zip(names[1:], alike, strict=False) if like]
    are = "is" if len(same) == 1 else "are"
    return [f"Up to the top {listed(same)} {are} the same as {names[0]}, and not pictured there."] if same else []


def moments_of(pictures: Sequence[ViewPicture]) -> list[str]:
    """The moments that there are pictures of, in their order; the top where there are none."""
    return list(dict.fromkeys(one.moment for one in pictures)) or [TOP]


def _shown(report: SwingReport, picture: ViewPicture, inches: bool) -> ShownPicture:
    view, moment = picture.view, picture.moment
    said = caption(view, report, inches, moment)
    solid = "at the top of the backswing" if moment == TOP else _CALLED[moment]
    alt = f"{report.preset}, {VIEW_TITLES[view].lower()}: a golfer at address as an outline and {solid}, {said}"
    return ShownPicture(picture.png, report.preset, said, alt)


def caption(view: str, report: SwingReport, inches: bool, moment: str = TOP) -> str:
    """Where a view shows the head at the top or at impact, and the angles that it shows."""
    first, there, when = report.moments[0], _at(report, moment), _CALLED[moment]
    axes, measures = SEEN[view]
    place = np.array([getattr(there, way) for way in _WAYS])
    head = f"{when} the head is {head_words(place, inches, axes)}"
    angles = [MEASURES[measure] for measure in measures]
    if view == ABOVE:
        turns = [f"{angle.words} {angle.text(there, decimals=0)}°" for angle in angles]
        flares = [f"{side} flare {round(float(report.address[f'{side}_flare_deg']))}°" for side in ("lead", "trail")]
        return f"{head}; {', '.join([*turns, *flares])}."
    (angle,) = angles
    at_address, later = (angle.text(one, decimals=0) for one in (first, there))
    return f"{head}; the trunk's {angle.words} is {at_address}° at address and {later}° {when}."


def _at(report: SwingReport, moment: str) -> MomentReport:
    return (report.to_top if moment == TOP else report.to_impact)[-1]
