"""An experiment as one page that needs no network and no second file."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ..paper.charts import Line, curve_chart
from ..paper.frame import rendered
from ..paper.styles import Style, key
from ..views.names import VIEW_TITLES
from ..views.pictures import ShownPicture, ShownView
from ..words.cautions import capital
from ..words.golfer import golfer_words, held_words
from ..words.units import CM_PER_INCH
from .series import SERIES, TURNS, line_key, mark_key, stop_styles
from .shown import AVAILABLE, CHARTS, NOT_ADVICE, OWN_TURN, ROOM_WORDS, SHOWN, STRAIN_WORDS, TABLE, Chart, text_of
from .table import rows
from .words import limit_words

if TYPE_CHECKING:
    from markupsafe import Markup

    from ..views.pictures import ViewPicture
    from .report import ExperimentReport

LEAD_SENTENCES = 4
"""Sentences before the first chart; what else there is to say folds."""
_TURN_SPAN_DEG = 10.0


@dataclass(frozen=True)
class ShownChart:
    """A chart with its caption and its legend."""

    caption: str
    legend: tuple[tuple[Markup, str], ...]
    drawing: Markup


def experiment_page(report: ExperimentReport, strip: Sequence[ViewPicture] = (), inches: bool = False) -> str:
    """The whole page.

    Args:
        report: the experiment.
        strip: small pictures of chosen steps; may be empty.
        inches: lengths in inches.
    """
    tried, given = report.experiment, report.as_given
    means = f" ({tried.means})" if tried.means else ""
    shown = [SHOWN[name] for name in TABLE]
    return rendered(
        "experiment/page.html",
        title=capital(f"{tried.words} from {report.steps[0].setting} to {report.steps[-1].setting}"),
        who=f"Tried in {report.preset}{means}. Simulated golfer: {golfer_words(report.body, inches)}; "
        f"{held_words(report.head_held, inches)}.",
        tried=tried.words,
        sentences=report.sentences[:LEAD_SENTENCES],
        more=report.sentences[LEAD_SENTENCES:],
        charts=[_turn_chart(report), *(_chart(chart, report, inches) for chart in CHARTS)],
        views=[_view(view, report, strip) for view in dict.fromkeys(one.view for one in strip)],
        pictured=bool(strip),
        room_note=ROOM_WORDS,
        room_heads=[measure.words for measure in (AVAILABLE, OWN_TURN)],
        room=[
            (label, row is given, [f"{one.text(row, decimals=0)}°" for one in (AVAILABLE, OWN_TURN)],
             limit_words(row.limited_by))
            for label, row in rows(report)
        ],
        heads=[(measure.words, measure.unit(inches)) for measure in shown],
        numbers=[
            (label, row is given, [text_of(measure, row, inches) for measure in shown]) for label, row in rows(report)
        ],
        strain_words=STRAIN_WORDS,
        notes=report.warnings,
        first_cautions=[NOT_ADVICE],
    )  # fmt: skip


def _x_name(report: ExperimentReport) -> str:
    tried = report.experiment
    unit = "° from steady" if tried.from_steady else {"deg": "°"}.get(tried.unit, tried.unit)
    return f"{tried.words}, {unit}"


def _turn_chart(report: ExperimentReport) -> ShownChart:
    """The hip turn there is, its markers telling what stops it, and this swing's."""
    steps = report.steps
    stops = stop_styles(steps)
    lines = [
        Line(
            measure.words,
            [measure.number(step) for step in steps],
            TURNS[measure.key],
            [stops[tuple(step.limited_by)] for step in steps] if measure is AVAILABLE else None,
        )
        for measure in (OWN_TURN, AVAILABLE)
    ]
    legend = [(line_key(TURNS[AVAILABLE.key]), f"{AVAILABLE.words} available")]
    legend += [(mark_key(style), f"stopped by {limit_words(names)}") for names, style in stops.items()]
    legend += [(key(TURNS[OWN_TURN.key]), f"{OWN_TURN.words}, at the top")]
    x = [step.value for step in steps]
    drawing = curve_chart("Hip turn", "°", _x_name(report), x, lines, _TURN_SPAN_DEG)
    return ShownChart("Hip turn, °", tuple(legend), drawing)


def _chart(chart: Chart, report: ExperimentReport, inches: bool) -> ShownChart:
    measures = [SHOWN[name] for name in chart.keys]
    unit = measures[0].unit(inches)
    styles: list[Style] = [SERIES[name] for name in chart.keys]
    lines = [
        Line(measure.words, [measure.number(step, inches) for step in report.steps], style)
        for measure, style in zip(measures, styles, strict=True)
    ]
    lines += _wanted(chart, report, inches)
    least = chart.least / CM_PER_INCH if inches and measures[0].is_length else chart.least
    x = [step.value for step in report.steps]
    drawing = curve_chart(chart.title, unit, _x_name(report), x, lines, least, zero=chart.zero)
    caption = f"{chart.title}, at the top, {unit or 'no unit'}"
    return ShownChart(caption, tuple((key(line.style), line.name) for line in lines), drawing)


def _wanted(chart: Chart, report: ExperimentReport, inches: bool) -> list[Line]:
    """Where the head is wanted elsewhere, in the chart of where it is."""
    held = report.head_held
    places = {"head_toward_target_cm": held.toward_target_cm, "head_up_cm": held.up_cm}
    return [
        Line(
            f"{SHOWN[name].words}, where it is wanted",
            [place / (CM_PER_INCH if inches else 1.0)] * len(report.steps),
            Style(SERIES[name].colour, "1 4", "diamond"),
        )
        for name, place in places.items()
        if name in chart.keys and place
    ]


def _view(view: str, report: ExperimentReport, strip: Sequence[ViewPicture]) -> ShownView:
    shown = []
    for picture in (one for one in strip if one.view == view):
        step = report.steps[picture.index]
        said = (
            f"{AVAILABLE.words} available {AVAILABLE.text(step, decimals=0)}°, {OWN_TURN.words} "
            f"{OWN_TURN.text(step, decimals=0)}°"
        )
        alt = (
            f"{report.experiment.words} {step.setting}, {VIEW_TITLES[view].lower()}: a golfer at address as an outline "
            f"and at the top of the backswing; {said}"
        )
        shown.append(ShownPicture(picture.png, step.setting, said, alt))
    return ShownView.of(view, shown)
