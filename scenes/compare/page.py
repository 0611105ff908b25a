"""The comparison as one page that needs no network and no second file."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from ..paper.charts import Line, course_chart
from ..paper.frame import rendered
from ..paper.styles import STYLES, key
from ..setups.past_the_ball import not_passed
from ..setups.taken_along import TakenAlong
from ..setups.top_alone import TOP_ALONE
from ..views.names import ABOVE, SEEN, VIEW_TITLES
from ..views.pictures import ShownPicture, ShownView
from ..words.at_impact import BACK
from ..words.golfer import golfer_words
from ..words.low_point import WHY, low_points_sentence
from ..words.measures import MEASURES
from ..words.pieces import head_words
from .hip_room import HipRoomReport, ceiling, more_sentence
from .side_by_side import numbers

if TYPE_CHECKING:
    from markupsafe import Markup

    from ..simulate.report import SwingReport
    from ..views.pictures import ViewPicture
    from .figure_section import PageFigure

CHARTS = ("head_up_cm", "head_toward_target_cm", "head_toward_ball_cm")
"""Measures whose course to the top is drawn."""
MOST_AT_ONCE = 4
"""Sentences before the first picture; the others are folded away."""
_WAYS = ("head_toward_ball_cm", "head_toward_target_cm", "head_up_cm")


def comparison_page(
    reports: Sequence[SwingReport],
    differences: Sequence[Sequence[str]],
    pictures: Sequence[ViewPicture],
    rooms: Sequence[HipRoomReport] = (),
    *,
    figure: PageFigure | None = None,
    arcs: Sequence[TakenAlong],
    inches: bool = False,
) -> str:
    """The whole page.

    Args:
        reports: one a swing.
        differences: sentences, for each swing but the first.
        pictures: of every swing and view.
        rooms: the most hip turn of the swings that are told by it.
        figure: the golfers that move in the page, if they do.
        arcs: each golfer's centred arc, taken along with the base of the neck.
        inches: lengths in inches.
    """
    names = [report.preset for report in reports]
    on_to_impact = any(report.at_impact is not None for report in reports)
    return rendered(
        "compare/page.html",
        title=" vs ".join(names),
        who=_who(reports, inches),
        swings=[(key(STYLES[k]), report) for k, report in enumerate(reports)],
        differences=_folded(names[1:], differences),
        figure=figure,
        scripts=["compare/figure.js"] if figure else [],
        views=[_view(view, reports, pictures, inches) for view in dict.fromkeys(one.view for one in pictures)],
        charts=[_chart(reports, measure, inches) for measure in CHARTS],
        why_title=WHY,
        # On to impact it says nothing: what was off at the top is given back, and the golfers show the rest.
        why="" if on_to_impact else low_points_sentence(list(zip(names, arcs, strict=True)), inches),
        groups=numbers(reports, inches),
        limits=[(report.preset, _limits(report, rooms)) for report in reports],
        first_cautions=[BACK] if on_to_impact else [],
    )


def _folded(
    names: Sequence[str], differences: Sequence[Sequence[str]]
) -> list[tuple[str, Sequence[str], Sequence[str]]]:
    """Each later swing's name, its sentences that are read at once, and those that are folded away."""
    each = max(1, MOST_AT_ONCE // len(names))
    at_once = [each if k < MOST_AT_ONCE else 0 for k in range(len(names))]
    return [
        (name, lines[:shown], lines[shown:]) for name, lines, shown in zip(names, differences, at_once, strict=True)
    ]


def _limits(report: SwingReport, rooms: Sequence[HipRoomReport]) -> list[str]:
    """What stopped a swing, what would if more hip turn were asked of it, and what people reach of that."""
    notes = list(report.warnings)
    if all(line in (TOP_ALONE, not_passed("this swing")) for line in notes):
        notes.insert(0, "No range of this body stops anything that was asked.")
    for room in rooms:
        if room.swing == report.preset and (more := more_sentence(room)):
            notes += [more, ceiling([room])]
    return notes


def _who(reports: Sequence[SwingReport], inches: bool) -> str:
    golfers = list(dict.fromkeys(_golfer(report, inches) for report in reports))
    each = golfers if len(golfers) == 1 else [f"{report.preset}: {_golfer(report, inches)}" for report in reports]
    return "; ".join(each)


def _golfer(report: SwingReport, inches: bool) -> str:
    measured = len(report.body.measured)
    more = f", {measured} measured value{'s' * (measured > 1)}" if measured else ""
    return f"Simulated golfer: {golfer_words(report.body, inches)}{more}"


def _view(view: str, reports: Sequence[SwingReport], pictures: Sequence[ViewPicture], inches: bool) -> ShownView:
    shown = []
    for picture in pictures:
        if picture.view == view:
            report = reports[picture.index]
            said = caption(view, report, inches)
            alt = (
                f"{report.preset}, {VIEW_TITLES[view].lower()}: a golfer at address as an outline and at the top of "
                f"the backswing, {said}"
            )
            shown.append(ShownPicture(picture.png, report.preset, said, alt))
    return ShownView.of(view, shown)


def caption(view: str, report: SwingReport, inches: bool) -> str:
    """Where a view shows the head at the top, and the angles that it shows."""
    first, last = report.to_top[0], report.to_top[-1]
    axes, measures = SEEN[view]
    place = np.array([getattr(last, way) for way in _WAYS])
    head = f"at the top the head is {head_words(place, inches, axes)}"
    angles = [MEASURES[measure] for measure in measures]
    if view == ABOVE:
        turns = [f"{angle.words} {angle.text(last, decimals=0)}°" for angle in angles]
        flares = [f"{side} flare {round(float(report.address[f'{side}_flare_deg']))}°" for side in ("lead", "trail")]
        return f"{head}; {', '.join([*turns, *flares])}."
    (angle,) = angles
    at_address, at_top = (angle.text(moment, decimals=0) for moment in (first, last))
    return f"{head}; the trunk's {angle.words} is {at_address}° at address and {at_top}° at the top."


def _chart(reports: Sequence[SwingReport], measure: str, inches: bool) -> tuple[str, Markup]:
    """Title and chart of a measure on the way to the top, one line a swing."""
    shown = MEASURES[measure]
    unit = shown.unit(inches)
    lines = [
        Line(report.preset, [shown.number(moment, inches) for moment in report.to_top], STYLES[k])
        for k, report in enumerate(reports)
    ]
    progress = [moment.progress for moment in reports[0].to_top]
    title = f"{shown.words} since address"
    return f"{title}, {unit}", course_chart(title, unit, progress, lines, shown.ends, least=0.5 if inches else 1.0)
