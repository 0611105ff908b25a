"""Shares as one page that needs no network and no second file."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..paper.arrows import Arrow, arrows_chart
from ..paper.charts import Line, course_chart
from ..paper.frame import rendered
from ..paper.piece_styles import PIECE_STYLES
from ..paper.styles import Style, key
from ..views.names import VIEW_TITLES, VIEWS
from ..words.cautions import listed
from ..words.golfer import golfer_words
from ..words.measures import MEASURES, Measure
from ..words.pieces import ALL_ELSE_STAYS, NAMES
from .columns import ONE_MORE, OUTCOMES, amounts, cells
from .words import range_words, reference_words, start_words

if TYPE_CHECKING:
    from collections.abc import Sequence

    from markupsafe import Markup

    from .report import SharedOutcome, SharesReport

TOGETHER = Style("#1c252e", "", "ring")
SMALLEST_ARROW_CM = 0.05
"""A shorter arrow is a dot; it is named below the chart instead."""
ACROSS = {"face-on": MEASURES["head_toward_target_cm"], "down-the-line": MEASURES["head_toward_ball_cm"]}
UP = MEASURES["head_up_cm"]
"""What a view shows of the head."""


def shares_page(report: SharesReport, inches: bool = False) -> str:
    """The whole page.

    Args:
        report: the shares.
        inches: lengths in inches.
    """
    moved = [k for k in range(len(report.shares)) if any(_any(moment.shares[k]) for moment in report.moments)]
    return rendered(
        "shares/page.html",
        title=f"{report.preset}: what each piece did to the head",
        who=golfer_words(report.body, inches),
        shows=report.shows,
        reference=reference_words(report),
        sentences=report.sentences,
        notes=report.warnings,
        start=start_words(report),
        views=[_view(report, view, inches) for view in VIEWS],
        columns=[f"{' '.join(one.short)}, {one.unit(inches)}" for one in OUTCOMES],
        shares=[(NAMES[one.piece], _told(*amounts(one, inches)), cells(one, inches)) for one in report.shares],
        total=cells(report.total, inches),
        names=[
            *((key(PIECE_STYLES[report.shares[k].piece]), NAMES[report.shares[k].piece]) for k in moved),
            (key(TOGETHER), "together"),
        ],
        courses=[_course(report, moved, one, inches) for one in OUTCOMES],
        slopes=[
            (NAMES[one.piece], f"one {ONE_MORE[one.per]} more", cells(one, inches, 2)) for one in report.sensitivities
        ],
        all_else=ALL_ELSE_STAYS,
        stopped=[
            (", ".join(NAMES[piece] for piece in one.of) or "the reference", listed(list(map(range_words, one.ranges))))
            for one in sorted(report.stopped, key=lambda one: len(one.of))
        ],
    )


def _told(asked: str, held: str) -> str:
    return f"{asked} against {held}" if asked != held else f"{asked}, the same"


def _any(row: SharedOutcome) -> bool:
    return any(one.number(row) for one in (*ACROSS.values(), UP))


def _view(report: SharesReport, view: str, inches: bool) -> tuple[str, Markup]:
    """Caption and chart of the shares as a view shows them."""
    across = ACROSS[view]
    drawn = [one for one in report.shares if max(abs(across.number(one)), abs(UP.number(one))) >= SMALLEST_ARROW_CM]
    small = [NAMES[one.piece] for one in report.shares if one not in drawn and _any(one)]
    arrows = [
        Arrow(NAMES[one.piece], across.number(one, inches), UP.number(one, inches), PIECE_STYLES[one.piece])
        for one in drawn
    ]
    toward, away = across.ends
    chart = arrows_chart(
        VIEW_TITLES[view], across.unit(inches), arrows, (away, toward),
        mirrored=report.body.handedness == "left", least=_least(across, inches),
    )  # fmt: skip
    note = f" Too short to draw: {listed(small)}." if small else ""
    return f"{VIEW_TITLES[view]}, {across.unit(inches)}{'.' if note else ''}{note}", chart


def _course(report: SharesReport, moved: Sequence[int], measure: Measure, inches: bool) -> tuple[str, Markup]:
    """Caption and chart of the shares in a measure on the way to the top."""
    lines = [
        Line(
            NAMES[report.shares[k].piece],
            [measure.number(moment.shares[k], inches) for moment in report.moments],
            PIECE_STYLES[report.shares[k].piece],
        )
        for k in moved
    ]
    lines.append(Line("together", [measure.number(moment.total, inches) for moment in report.moments], TOGETHER))
    unit, done = measure.unit(inches), [moment.progress for moment in report.moments]
    chart = course_chart(measure.words, unit, done, lines, measure.ends, least=_least(measure, inches))
    return f"{measure.words}, {unit}", chart


def _least(measure: Measure, inches: bool) -> float:
    """How far an axis reaches at least, so that what hardly moves looks so."""
    return 0.5 if inches and measure.is_length else 1.0
