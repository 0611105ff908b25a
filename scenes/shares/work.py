"""The ``shares`` command's work: a swing, its shares, and all of it as plain numbers in degrees and centimetres."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from ...model.arrays import Array
from ...model.errors import TurnstillError
from ...model.golfer.pieces import DEPARTURES, PIECES
from ...model.questions.head_asked import OUTCOMES
from ...model.questions.shares import REFERENCES, STEADY, Shares, sensitivities, shares
from ..delivery.deliver import deliver
from ..delivery.writing import check_file_target
from ..setups.numbers import address_report, body_report, rounded
from ..setups.perform import Performed, check_frames, perform
from ..setups.presets import Setup, load
from ..setups.quantities import PIECES_SECTION, echo, to_border
from ..setups.settings import apply
from ..words import cautions
from ..words.units import told_length
from . import words

OUTCOME_KEYS = ("head_toward_target_cm", "head_toward_ball_cm", "head_up_cm", "inclination_deg")
"""Keys of an outcome, in the order they are shown."""
_PLACES = tuple(OUTCOMES.index(key.rsplit("_", 1)[0]) for key in OUTCOME_KEYS)
_TO_BORDER = np.array([100.0, 100.0, 100.0, float(np.degrees(1.0))])
NUMBERS_FILE = "shares.json"
"""In a folder of results: the report, and the list of the folder's files."""


@dataclass(frozen=True)
class Shared:
    """A swing with its shares.

    Attributes:
        performed: the swing; no batch axes.
        found: its shares, ``M`` moments.
        slopes: ``(8, 4)`` sensitivities at the top, per rad or m.
    """

    performed: Performed
    found: Shares
    slopes: Array


def share_out(setup: Setup, against: str = STEADY, frames: int = 41) -> Shared:
    """Simulate a setup and divide what its head did.

    Raises:
        TurnstillError: what was asked cannot be simulated, or an unknown reference.
    """
    if against not in REFERENCES:
        raise TurnstillError(f"--against was {echo(against)}, but must be {' or '.join(REFERENCES)}.")
    performed = perform(setup, frames)
    found = shares(performed.swing, against, timing=setup.timing or None)
    return Shared(performed, found, sensitivities(performed.swing))


def outcome(values: Array) -> dict[str, float]:
    """Head and inclination ``(4,)`` of the model in centimetres and degrees."""
    shown = values * _TO_BORDER
    return {key: rounded(shown[place]) for key, place in zip(OUTCOME_KEYS, _PLACES, strict=True)}


def shares_report(shared: Shared) -> dict[str, Any]:
    """Everything about the shares of one swing as a dictionary that JSON can carry; documented in docs/shares.md."""
    performed, found = shared.performed, shared.found
    setup, swing = performed.setup, performed.swing
    report: dict[str, Any] = {
        "preset": setup.name,
        "shows": setup.shows,
        "reference": found.against,
        "body": body_report(performed),
        "address": address_report(performed),
        "pieces": {
            key: value if isinstance(value, int | float) else str(value)
            for key, value in setup.section(PIECES_SECTION).items()
        },
        "shares": [_share(found, name) for name in DEPARTURES],
        "total": outcome(found.total[-1]),
        "reference_at_top": outcome(found.reference[-1]),
        "swing_at_top": outcome(found.reference[-1] + found.total[-1]),
        "sensitivities": [
            {"piece": name, "per": PIECES[name].unit, **outcome(row * to_model_unit(name))}
            for name, row in zip(DEPARTURES, shared.slopes, strict=True)
        ],
        "combinations": len(found.combinations),
        "stopped": stopped_combinations(found),
    }
    report["warnings"] = warnings(shared)
    report["sentences"] = words.sentences(report)
    report["cautions"] = list(cautions.CAUTIONS)
    report["angle_order"] = cautions.ANGLE_ORDER
    report["moments"] = [
        {
            "progress": rounded(swing.progress[moment]),
            "shares": [{"piece": name, **outcome(found.share[moment, k])} for k, name in enumerate(DEPARTURES)],
            "total": outcome(found.total[moment]),
        }
        for moment in range(len(swing.progress))
    ]
    return report


def to_model_unit(piece: str) -> float:
    """One degree or centimetre of a piece, in the model's radians or metres."""
    return 1.0 / to_border(PIECES[piece].unit, 1.0)


def _share(found: Shares, name: str) -> dict[str, Any]:
    unit = PIECES[name].unit
    return {
        "piece": name,
        **outcome(found.of(name)[-1]),
        "unit": unit,
        "asked": rounded(to_border(unit, found.present[name][-1])),
        "in_reference": rounded(to_border(unit, found.absent[name][-1])),
    }


def stopped_combinations(found: Shares) -> list[dict[str, list[str]]]:
    """Combinations that a joint keeps from what they ask at the top, with the ranges that do."""
    return [
        {"pieces": list(pieces), "ranges": [name for name, stops in zip(found.stop_names, flags, strict=True) if stops]}
        for pieces, flags in zip(found.combinations, found.stopped[-1], strict=True)
        if flags.any()
    ]


def warnings(shared: Shared, inches: bool = False) -> list[str]:
    """What a person should not overlook: of the swing, and of the combinations its shares are made of."""
    found = shared.found
    lines = cautions.warnings(shared.performed.swing, inches)
    off = float(np.linalg.norm(found.reference[-1, 1:3])) * 100.0
    if found.against == STEADY and off > cautions.STILL_CM:
        lines.append(
            f"Even the centred turn cannot hold this head: it leaves it {told_length(off, inches)} off face-on, and "
            "shares count from there."
        )
    if line := words.stopped_sentence(stopped_combinations(found), len(found.combinations)):
        lines.append(line)
    if not found.converged.all() and shared.performed.swing.converged.all():
        lines.append("The solver did not converge for every combination; do not rely on the shares at those moments.")
    return lines


def shares_to(
    preset_or_file: str,
    settings: list[str],
    frames: int = 41,
    *,
    against: str = STEADY,
    json_file: str | None = None,
    out: str | None = None,
    inches: bool = False,
) -> None:
    """Print the shares of a swing, and write them as JSON and as a page where asked.

    Raises:
        TurnstillError: for anything a user can mend; no file is then written.
    """
    check_frames(frames)
    setup = apply(load(preset_or_file), settings)
    if json_file is not None:
        check_file_target(json_file)
    shared = share_out(setup, against, frames)
    report = shares_report(shared)
    shown = in_shown_unit(report, shared, inches)

    def page() -> str:
        from .page import shares_page

        return shares_page(shown, inches)

    def table() -> str:
        from .table import shares_table

        return shares_table(shown, inches)

    deliver(report, page, table, numbers_file=NUMBERS_FILE, json_file=json_file, out=out)


def in_shown_unit(report: dict[str, Any], shared: Shared, inches: bool) -> dict[str, Any]:
    """A report as a person is shown it: the same numbers, its sentences with lengths in the unit asked for."""
    if not inches:
        return report
    return {**report, "warnings": warnings(shared, True), "sentences": words.sentences(report, True)}
