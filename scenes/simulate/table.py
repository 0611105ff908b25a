"""A swing as tables in the terminal."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from ...model.golfer.pieces import PIECES
from ..delivery.terminal import render, shown_moments
from ..words import cautions
from ..words.golfer import golfer_words
from ..words.measures import MEASURES
from ..words.moments import AT_IMPACT, AT_TOP, moment_done
from ..words.pieces import signed_amount
from .words import held_sentence, impact_sentences

if TYPE_CHECKING:
    from rich.console import RenderableType
    from rich.table import Table

    from .report import ImpactReport, SwingReport

COLUMNS = (
    "progress", "head_toward_target_cm", "head_toward_ball_cm", "head_up_cm", "inclination_deg",
    "inclination_down_the_line_deg", "hip_turn_deg", "shoulder_turn_deg", "tilt_deg", "extension_deg",
    "lead_knee_flex_deg", "trail_knee_flex_deg", "trail_weight_share",
)  # fmt: skip
"""Measures shown of each moment."""


THROUGH_IMPACT = "done: per cent of the backswing up to the top, then of the way down to the ball, which is impact."


def swing_table(report: SwingReport, inches: bool = False) -> str:
    """A swing, what was asked against what was achieved, and what to know about it."""
    from rich.text import Text

    told = [held_sentence(report), *impact_sentences(report, inches)]
    sentences: list[RenderableType] = [*(Text(line) for line in told), Text()]
    sentences += [Text(f"Note: {line}", style="bold") for line in report.warnings]
    sentences += [Text(cautions.ANGLE_ORDER, style="dim"), Text(" ".join(report.cautions), style="dim")]
    shows = f": {report.shows}" if report.shows else ""
    return render(
        Text(f"{report.preset}{shows} ({golfer_words(report.body, inches)})", style="bold"),
        Text("incl. is the trunk's inclination from the vertical: in space, and as seen down the line.", style="dim"),
        *([Text(THROUGH_IMPACT, style="dim")] if report.moments[-1].progress > 1.0 else []),
        _moments_table(report, inches),
        *_asked(report, inches),
        Text(),
        *sentences,
    )


def _moments_table(report: SwingReport, inches: bool) -> Table:
    from rich import box
    from rich.table import Table

    table = Table(box=box.SIMPLE_HEAD, padding=0, pad_edge=False)
    for key in COLUMNS:
        measure = MEASURES[key]
        heading = [*measure.short, *[""] * (3 - len(measure.short)), measure.unit(inches, degree="deg")]
        table.add_column("\n".join(heading), justify="right", no_wrap=True)
    for index in _shown(report):
        moment = report.moments[index]
        cells = (MEASURES[key].text(moment, inches) for key in COLUMNS[1:])
        # What is done is counted anew from the top, and from the ball.
        ends = moment.progress in (AT_TOP, AT_IMPACT) and moment is not report.moments[-1]
        table.add_row(moment_done(moment.progress), *cells, end_section=ends)
    return table


def _shown(report: SwingReport) -> list[int]:
    """Moments evenly spread, top and impact among them in place of their neighbours."""
    shown = shown_moments(len(report.moments))
    if report.at_impact is not None:
        top = next(k for k, moment in enumerate(report.moments) if moment.progress >= 1.0)
        for at in (top, report.at_impact.moment):
            nearest = min(shown[1:-1], key=lambda index: abs(index - at))
            shown[shown.index(nearest)] = at
    return sorted(set(shown))


def _asked(report: SwingReport, inches: bool) -> list[Table]:
    """What was asked against what was achieved, at the top and where the swing goes on also at impact."""
    tables, there = [_asked_table("at the top", report.pieces, report, inches)], report.at_impact
    return tables if there is None else [*tables, _asked_table("at impact", there.given, there, inches)]


def _asked_table(title: str, given: Mapping[str, float | str], side: SwingReport | ImpactReport, inches: bool) -> Table:
    from rich import box
    from rich.table import Table

    table = Table(box=box.SIMPLE_HEAD, padding=(0, 2, 0, 0), pad_edge=False)
    table.add_column(title)
    table.add_column("asked", justify="right")
    table.add_column("achieved", justify="right")
    for name, quantity in PIECES.items():
        key = f"{name}_{quantity.unit}"
        asked, done = (signed_amount(amounts[key], quantity.unit, inches) for amounts in (side.asked, side.achieved))
        written, words = given.get(key), name.replace("_", " ")
        table.add_row(f"{words} ({written})" if isinstance(written, str) else words, asked, done)
    return table
