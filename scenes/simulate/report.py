"""A swing as plain numbers in degrees and centimetres: the JSON of ``simulate``, documented in docs/json.md."""

from __future__ import annotations

from typing import Any

import numpy as np

from ...model.chain.skeleton import JOINTS
from ...model.swing.swing import Swing
from ..setups.numbers import address_report, at_moment, body_report, limits_at, moment_row, rounded
from ..setups.perform import Performed
from ..setups.quantities import (
    PIECES_SECTION,
)
from ..words import cautions


def _moment(swing: Swing, moment: int) -> dict[str, Any]:
    return {
        **moment_row(swing, moment),
        "steady_tilt_deg": rounded(np.degrees(swing.steady["tilt"][moment])),
        "steady_extension_deg": rounded(np.degrees(swing.steady["extension"][moment])),
        "steady_miss_cm": rounded(swing.steady_miss[moment] * 100),
        "limited_by": limits_at(swing, moment),
        "met": bool(swing.met[moment]),
        "converged": bool(swing.converged[moment]),
        "joint_angles_deg": {n: rounded(np.degrees(a[moment])) for n, a in swing.joint_angles.items()},
        "joints_m": {n: [rounded(c) for c in swing.skeleton.joints[n][moment]] for n in JOINTS},
    }


def steady_report(performed: Performed) -> dict[str, float]:
    """What would keep this head still at the top, how far the swing departs from it, and it from centred."""
    swing, centred = performed.swing, performed.centred
    report: dict[str, float] = {}
    for piece in ("tilt", "extension"):
        amount = float(np.degrees(swing.steady[piece][-1]))
        report[f"{piece}_deg"] = rounded(amount)
        report[f"{piece}_departure_deg"] = rounded(np.degrees(swing.achieved[piece][-1]) - amount)
        report[f"{piece}_more_than_centred_deg"] = rounded(amount - float(np.degrees(centred.steady[piece][-1])))
    report["head_miss_cm"] = rounded(swing.steady_miss[-1] * 100)
    report["largest_head_miss_cm"] = rounded(np.max(swing.steady_miss) * 100)
    return report


def swing_report(performed: Performed) -> dict[str, Any]:
    """Everything about one swing as a dictionary that JSON can carry; every number is finite."""
    setup, swing = performed.setup, performed.swing
    return {
        "preset": setup.name,
        "shows": setup.shows,
        "body": body_report(performed),
        "address": address_report(performed),
        "pieces": {
            key: value if isinstance(value, int | float) else str(value)
            for key, value in setup.section(PIECES_SECTION).items()
        },
        "timing": {piece: [list(knot) for knot in knots] for piece, knots in setup.timing.items()},
        "asked": at_moment(swing.asked, -1),
        "achieved": at_moment(swing.achieved, -1),
        "steady": steady_report(performed),
        "limited_by": [
            {
                "range": stop.name,
                "from_progress": rounded(stop.first),
                "to_progress": rounded(stop.last),
                "at_top": stop.at_top,
            }
            for stop in cautions.stops(swing)
        ],
        "warnings": cautions.warnings(swing),
        "cautions": list(cautions.CAUTIONS),
        "angle_order": cautions.ANGLE_ORDER,
        "moments": [_moment(swing, moment) for moment in range(len(swing.progress))],
    }


def in_shown_unit(report: dict[str, Any], performed: Performed, inches: bool) -> dict[str, Any]:
    """A report as a person is shown it: the same numbers, its sentences with lengths in the unit asked for."""
    return {**report, "warnings": cautions.warnings(performed.swing, inches)} if inches else report
