"""The comparison as one page that needs no network and no second file."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from ..paper.charts import Line, course_chart
from ..paper.frame import rendered
from ..paper.styles import STYLES, key
from ..setups.past_the_ball import not_passed
from ..setups.taken_along import TakenAlong
from ..setups.top_alone import TOP_ALONE
from ..words.at_impact import BACK, CAUTION
from ..words.cautions import listed
from ..words.golfer import golfer_words
from ..words.low_point import WHY, low_points_sentence
from ..words.measures import MEASURES
from .hip_room import HipRoomReport, ceiling, more_sentence
from .side_by_side import numbers
from .stills import all_alike, moments_of, shown_stills

if TYPE_CHECKING:
    from markupsafe import Markup

    from ..simulate.report import SwingReport
    from ..views.pictures import ViewPicture
    from .figure_section import PageFigure

CHARTS = ("head_up_cm", "head_toward_target_cm", "head_toward_ball_cm")
"""Measures whose course to the top, or on to impact, is drawn."""
MOST_AT_ONCE = 4
"""Sentences before the first picture; the others are folded away."""


def comparison_page(
    reports: Sequence[SwingReport],
    differences: Sequence[Sequence[str]],
    pictures: Sequence[ViewPicture],
    rooms: Sequence[HipRoomReport] = (),
    *,
    figure: PageFigure | None = None,
    arcs: Sequence[TakenAlong],
    inches: bool = False,
    alike: Sequence[bool] = (),
) -> str:
    """The whole page.

    Args:
        reports: one a swing.
        differences: sentences, for each swing but the first.
        pictures: of every swing and view, at the top, at impact or both.
        rooms: the most hip turn of the swings that are told by it.
        figure: the golfers that move in the page, if they do.
        arcs: each golfer's centred arc, taken along with the base of the neck.
        inches: lengths in inches.
        alike: of swings that go on to impact, but for the first, whether each is the first one up to the top.
    """
    names = [report.preset for report in reports]
    on_to_impact = _all_go_on(reports)
    return rendered(
        "compare/page.html",
        title=" vs ".join(names),
        who=_who(reports, inches),
        swings=[(key(STYLES[k]), report) for k, report in enumerate(reports)],
        differences=_folded(names[1:], differences),
        figure=figure,
        scripts=["compare/figure.js"] if figure else [],
        on_to_impact=on_to_impact,
        impact_caution=CAUTION,
        still_moments=listed(["address", *moments_of(pictures)]),
        views=shown_stills(reports, pictures, inches, alike),
        charts=[_chart(reports, measure, inches) for measure in CHARTS],
        why_title=WHY,
        # On to impact it says nothing: what was off at the top is given back, and the golfers show the rest.
        why="" if on_to_impact else low_points_sentence(list(zip(names, arcs, strict=True)), inches),
        groups=numbers(reports, inches, impact_first=all_alike(alike)),
        limits=_told_once([(report.preset, _limits(report, rooms)) for report in reports]),
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


def _told_once(each: Sequence[tuple[str, Sequence[str]]]) -> list[tuple[str, str]]:
    """Names and a note, each note once with all whose it is, in the order in which they first come."""
    whose: dict[str, list[str]] = {}
    for name, notes in each:
        for note in notes:
            whose.setdefault(note, []).append(name)
    return [(listed(names), note) for note, names in whose.items()]


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


def _chart(reports: Sequence[SwingReport], measure: str, inches: bool) -> tuple[str, Markup]:
    """Title and chart of a measure on the way to the top, and on to impact where all swings go there; a line each."""
    shown = MEASURES[measure]
    unit = shown.unit(inches)
    on = _all_go_on(reports)
    courses = [report.to_impact if on else report.to_top for report in reports]
    lines = [
        Line(report.preset, [shown.number(moment, inches) for moment in course], STYLES[k])
        for k, (report, course) in enumerate(zip(reports, courses, strict=True))
    ]
    progress = [moment.progress for moment in courses[0]]
    title = f"{shown.words} since address"
    return f"{title}, {unit}", course_chart(title, unit, progress, lines, shown.ends, least=0.5 if inches else 1.0)


def _all_go_on(reports: Sequence[SwingReport]) -> bool:
    return all(report.at_impact is not None for report in reports)
