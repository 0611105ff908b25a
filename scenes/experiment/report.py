"""What the ``experiment`` command says: every step as plain numbers, and what a person should not overlook."""

from __future__ import annotations

from typing import Any

import numpy as np

from ...model.chain.lower_body import LEG_LIMITS
from ...model.golfer.pieces import Steady
from ...model.golfer.ranges import SIDES
from ...model.questions.experiment import STRAINED
from ...model.swing.swing import Swing
from ..delivery.deliver import deliver
from ..delivery.writing import check_file_target
from ..setups.numbers import address_report, body_report, limits_at, moment_row, rounded
from ..setups.perform import Performed
from ..setups.presets import load
from ..setups.quantities import (
    ADDRESS_SECTION,
    BODY_SECTION,
    LENGTHS_SECTION,
    PIECES_SECTION,
    RANGES_SECTION,
    Entry,
    to_border,
)
from ..setups.settings import apply
from ..words import cautions
from ..words.units import told_length
from . import words
from .work import Tried, try_out

NUMBERS_FILE = "experiment.json"
"""In a folder of results: the report, and the list of the folder's files."""
NEARLY_STRAIGHT_DEG = 5.0
"""A knee that flexes less than this is told to be nearly straight (our choice)."""


def amount(swing: Swing, entry: Entry) -> float:
    """What was asked of a swing, in the quantity's unit; of what departs from steady, by how much."""
    if entry.section == PIECES_SECTION:
        value = getattr(swing.pieces, entry.name)
        value = value.plus if isinstance(value, Steady) else value
    elif entry.section == ADDRESS_SECTION:
        value = getattr(swing.address, entry.name)
    elif entry.section == BODY_SECTION:
        value = getattr(swing.body, entry.name)
    else:
        value = (swing.body.lengths if entry.section == LENGTHS_SECTION else swing.body.ranges)[entry.name]
    return rounded(to_border(entry.quantity.unit if entry.quantity else "deg", value))


def experiment_report(tried: Tried, inches: bool = False) -> dict[str, Any]:
    """Everything about an experiment as a dictionary that JSON can carry; documented in docs/json.md.

    Args:
        tried: the experiment.
        inches: lengths in sentences in inches; numbers stay metric.
    """
    base = tried.found.step(tried.count)
    as_given = Performed(tried.setup, base, base)
    steps = [{"value": value, **_step(tried, k)} for k, value in enumerate(tried.values)]
    if tried.steady:
        steps = [{**step, "setting": tried.told(step["value"])} for step in steps]
    report: dict[str, Any] = {
        "preset": tried.setup.name,
        "shows": tried.setup.shows,
        "experiment": {
            "name": tried.knob.name,
            "words": tried.knob.words,
            "unit": tried.knob.unit,
            "means": tried.knob.meaning,
            "sets": [entry.name for entry, _ in tried.knob.parts],
            "from_steady": tried.steady,
        },
        "as_given": {
            "values": {entry.name: amount(base, entry) for entry, _ in tried.knob.parts},
            **_step(tried, tried.count),
        },
        "steps": steps,
        "stops": words.runs(steps),
        "body": body_report(as_given),
        "address": address_report(as_given),
        "pieces": {
            key: value if isinstance(value, int | float) else str(value)
            for key, value in tried.setup.section(PIECES_SECTION).items()
        },
    }
    report["sentences"] = words.sentences(report, inches)
    report["warnings"] = warnings(tried, report, inches)
    return report | {"cautions": list(cautions.CAUTIONS), "angle_order": cautions.ANGLE_ORDER}


def _step(tried: Tried, index: int) -> dict[str, Any]:
    found, swing = tried.found, tried.found.step(index)
    names = [name for name, stops in zip(LEG_LIMITS, found.available.stopped_by[index], strict=True) if stops]
    return {
        "available_hip_turn_deg": rounded(np.degrees(found.available.hip_turn[index])),
        "limited_by": names,
        **moment_row(swing, -1),
        "steady_tilt_deg": rounded(np.degrees(swing.steady["tilt"][-1])),
        "steady_extension_deg": rounded(np.degrees(swing.steady["extension"][-1])),
        "steady_miss_cm": rounded(swing.steady_miss[-1] * 100),
        "hip_turn_asked_deg": rounded(np.degrees(swing.asked["hip_turn"][-1])),
        "strain": rounded(found.total_strain[index]),
        "strain_of": {name: rounded(value) for name, value in zip(STRAINED, found.strain[index], strict=True)},
        "used_deg": {
            name: rounded(value) for name, value in zip(LEG_LIMITS, np.degrees(found.demand[index]), strict=True)
        },
        "range_deg": {
            name: rounded(value) for name, value in zip(LEG_LIMITS, np.degrees(found.end[index]), strict=True)
        },
        "swing_limited_by": limits_at(swing, -1),
        "met": bool(swing.met[-1]),
        "converged": bool(found.converged[index]),
    }


def warnings(tried: Tried, report: dict[str, Any], inches: bool = False) -> list[str]:
    """What a person should not overlook."""
    good = [k for k, step in enumerate(report["steps"]) if step["converged"]]
    lines = []
    if off := [tried.told(step["value"]) for step in report["steps"] if not step["converged"]]:
        lines.append(
            f"At {cautions.listed(off)} the address could not be balanced or a solver did not converge; do not rely on "
            "those steps."
        )
    missed = [step for step in (report["steps"][k] for k in good) if step["steady_miss_cm"] > cautions.STILL_CM]
    if missed:
        worst = max(step["steady_miss_cm"] for step in missed)
        lines.append(
            f"No tilt and extension can hold the head at {cautions.listed([tried.told(s['value']) for s in missed])}; "
            f"the nearest leaves it up to {told_length(worst, inches)} off."
        )
    past = {line for k in good for line in cautions.beyond_reference(tried.found.step(k))}
    if past:
        names = sorted({line.split(" (")[0].rsplit(" ", 1)[0] for line in past})
        lines.append(
            f"Some of these steps go past the published mean of {cautions.listed(names)}; do not force a range."
        )
    return [*lines, *_bodily(tried, report)]


def _bodily(tried: Tried, report: dict[str, Any]) -> list[str]:
    """Where a body could be hurt by trying it."""
    lines = []
    if any(entry.section == RANGES_SECTION for entry, _ in tried.knob.parts):
        lines.append(
            f"These steps are golfers with different {tried.knob.words}, not one who stretches: a range is for a "
            "clinician to measure, without pushing, and nothing here is a range to reach."
        )
    straight = {
        side: told
        for side in SIDES
        if (
            told := [
                tried.told(s["value"]) for s in report["steps"] if s[f"{side}_knee_flex_deg"] < NEARLY_STRAIGHT_DEG
            ]
        )
    }
    for side, told in straight.items():
        lines.append(
            f"At {cautions.listed(told)} the {side} knee is nearly straight (under {NEARLY_STRAIGHT_DEG:.0f}°) under "
            "the body's weight; do not press it straight, and leave it out if that knee has ever been hurt."
        )
    return lines


def experiment_to(
    name: str,
    first: str,
    last: str,
    steps: int | None,
    preset_or_file: str,
    settings: list[str],
    *,
    json_file: str | None = None,
    out: str | None = None,
    pictures: bool = True,
    inches: bool = False,
) -> None:
    """Print an experiment, and write it as JSON and as a page where asked.

    Raises:
        TurnstillError: for anything a user can mend; no file is then written.
    """
    setup = apply(load(preset_or_file), settings)
    if json_file is not None:
        check_file_target(json_file)
    tried = try_out(setup, name, first, last, steps)
    report = experiment_report(tried)
    shown = experiment_report(tried, inches=True) if inches else report

    def page() -> str:
        from .page import experiment_page
        from .pictures import strip_of

        return experiment_page(shown, strip_of(tried) if pictures else (), inches)

    def table() -> str:
        from .table import experiment_table

        return experiment_table(shown, inches)

    deliver(report, page, table, numbers_file=NUMBERS_FILE, json_file=json_file, out=out)
