"""An experiment as tables in the terminal."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from ..delivery.terminal import render
from ..setups.knobs import KNEES_BOTH
from ..words import cautions
from ..words.golfer import golfer_words
from ..words.units import length_unit, shown_length
from .words import limit_words, number, value_words

if TYPE_CHECKING:
    from rich.table import Table

Report = dict[str, Any]
STRAIN_WORDS = (
    "Strain: the sum over the joints of both legs of ((angle less angle at address) / half range)², without a unit."
)
NOT_ADVICE = "What is available is not what is advisable."
COLUMNS: tuple[tuple[str, str, str], ...] = (
    ("head target", "cm", "head_toward_target_cm"),
    ("head ball", "cm", "head_toward_ball_cm"),
    ("head up", "cm", "head_up_cm"),
    ("pelvis target", "cm", "pelvis_toward_target_cm"),
    ("lead knee", "deg", "lead_knee_flex_deg"),
    ("trail knee", "deg", "trail_knee_flex_deg"),
    ("belt line tilt", "deg", "belt_line_tilt_deg"),
    ("incl.", "deg", "inclination_deg"),
    ("strain legs", "", "strain"),
)
"""What is shown of the swing at the top: heading, unit and key."""


def shown(step: Report, key: str, unit: str, inches: bool) -> str:
    """A measure as text in the unit asked for."""
    if unit == "cm":
        return shown_length(step[key], inches)
    return f"{step[key]:.2f}" if key == "strain" else f"{round(step[key], 1) + 0.0:.1f}"


def given_words(report: Report) -> str:
    """What the swing itself has of what was tried, as in ``centred: 20°``; where both sides differ, both."""
    values = list(report["as_given"]["values"].values())
    if report["experiment"]["name"] == KNEES_BOTH:  # which counts the trail knee's straightening
        values[1] = -values[1]
    told = list(dict.fromkeys(value_words(report, value) for value in values))
    return f"{report['preset']}: {', '.join(told)}"


def experiment_table(report: Report, inches: bool = False) -> str:
    """The hip turn there is and what stops it, the swing at the top, and what that means.

    Args:
        report: of ``turnstill.scenes.experiment.work``.
        inches: lengths in inches.
    """
    from rich.text import Text

    tried = report["experiment"]
    means = f" ({tried['means']})" if tried["means"] else ""
    who = golfer_words(report["body"], inches)
    return render(
        Text(f"{tried['words']}{means}, tried in {report['preset']} ({who})", style="bold"),
        Text(
            "The most hip turn available, knees and place of the pelvis held as asked, beside this swing's.",
            style="dim",
        ),
        _room(report),
        Text("The swing itself, at the top.", style="dim"),
        _measures(report, inches),
        *(Text(line) for line in report["sentences"]),
        Text(),
        *(Text(f"Note: {line}", style="bold") for line in report["warnings"]),
        Text(" ".join((NOT_ADVICE, *cautions.CAUTIONS)), style="dim"),
        Text(f"{STRAIN_WORDS} {cautions.ANGLE_ORDER}", style="dim"),
    )


def _table() -> Table:
    from rich import box
    from rich.table import Table

    return Table(box=box.SIMPLE_HEAD, padding=(0, 1, 0, 0), pad_edge=False)


def _rows(report: Report) -> list[tuple[str, Report]]:
    steps = [(value_words(report, step["value"]), step) for step in report["steps"]]
    return [*steps, (given_words(report), report["as_given"])]


def _room(report: Report) -> Table:
    from rich.text import Text

    table = _table()
    table.add_column(report["experiment"]["words"], no_wrap=True)
    table.add_column("most turn", justify="right", no_wrap=True)
    table.add_column("this swing", justify="right", no_wrap=True)
    table.add_column("the most is stopped by")
    rows = _rows(report)
    for k, (label, step) in enumerate(rows):
        if k == len(rows) - 1:
            table.add_section()
        turns = (f"{number(step[key])}°" for key in ("available_hip_turn_deg", "hip_turn_deg"))
        table.add_row(Text(label), *turns, limit_words(step["limited_by"]))
    return table


def _measures(report: Report, inches: bool) -> Table:
    from rich.text import Text

    table = _table()
    table.add_column("\n\nat")
    for heading, unit, _ in COLUMNS:
        first, _, second = heading.partition(" ")
        unit = length_unit(inches) if unit == "cm" else unit
        table.add_column(f"{first}\n{second}\n{unit}", justify="right", no_wrap=True)
    rows = _rows(report)
    for k, (label, step) in enumerate(rows):
        if k == len(rows) - 1:
            table.add_section()
        name = label if k < len(rows) - 1 else report["preset"]
        table.add_row(
            Text(name, overflow="ellipsis", no_wrap=True), *(shown(step, key, unit, inches) for _, unit, key in COLUMNS)
        )
    return table
