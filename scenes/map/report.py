"""What the ``map`` command says: every place as plain numbers, and what a person should not overlook."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from ...model.arrays import Array
from ...model.chain.steady import STILL_M
from ...model.golfer.pieces import PIECES
from ..delivery.deliver import deliver
from ..delivery.writing import check_file_target
from ..setups.numbers import address_report, body_report, rounded
from ..setups.presets import load
from ..setups.quantities import PIECES_SECTION
from ..setups.settings import apply
from ..words import cautions
from . import words
from .work import Mapped, band, map_of, stillest

NUMBERS_FILE = "map.json"
"""In a folder of results: the report, and the list of the folder's files."""


def map_report(mapped: Mapped, inches: bool = False) -> dict[str, Any]:
    """Everything about a map as a dictionary that JSON can carry; documented in docs/json.md.

    Args:
        mapped: the map.
        inches: lengths in sentences in inches; numbers stay metric.
    """
    found, performed = mapped.found, mapped.performed
    swing = performed.swing
    moved = np.asarray(swing.measures.head_moved)[-1] * 100.0

    def axis(piece: str, values: Array, k: int) -> dict[str, Any]:
        return {
            "piece": piece,
            "unit": PIECES[piece].unit,
            "values": [rounded(value) for value in mapped.in_unit(piece, values)],
            "this_swing": rounded(mapped.in_unit(piece, found.place)[k]),
            "steady": rounded(mapped.in_unit(piece, found.steady)[k]),
        }

    def table(values: Array) -> list[list[float]]:
        return [[rounded(value) for value in row] for row in values]

    stops = found.stopped & found.converged[..., None]
    report: dict[str, Any] = {
        "preset": performed.setup.name,
        "shows": performed.setup.shows,
        "body": body_report(performed),
        "address": address_report(performed),
        "pieces": {
            key: value if isinstance(value, int | float) else str(value)
            for key, value in performed.setup.section(PIECES_SECTION).items()
        },
        "x": axis(found.x, found.x_values, 0),
        "y": axis(found.y, found.y_values, 1),
        "kept": {
            piece: rounded(mapped.in_unit(piece, swing.asked[piece][-1]))
            for piece in PIECES
            if piece not in (found.x, found.y)
        },
        "this_swing": {
            "head_toward_target_cm": rounded(moved[1]),
            "head_toward_ball_cm": rounded(moved[0]),
            "head_up_cm": rounded(moved[2]),
        },
        "still_within_cm": STILL_M * 100.0,
        "still_band": band(mapped),
        "stillest": stillest(mapped),
        "stopped_cells": {
            name: int(stops[..., k].sum()) for k, name in enumerate(found.stop_names) if stops[..., k].any()
        },
        "head_toward_target_cm": table(found.toward_target * 100.0),
        "head_toward_ball_cm": table(found.toward_ball * 100.0),
        "head_up_cm": table(found.up * 100.0),
        "inclination_deg": table(np.degrees(found.outcome[..., 3])),
        "reached": [[bool(value) for value in row] for row in found.reached],
        "still": [[bool(value) for value in row] for row in found.still],
    }
    report["sentences"] = words.sentences(report, inches)
    report["warnings"] = warnings(mapped, inches)
    return report | {"cautions": list(cautions.CAUTIONS), "angle_order": cautions.ANGLE_ORDER}


def warnings(mapped: Mapped, inches: bool = False) -> list[str]:
    """What a person should not overlook."""
    lines = cautions.warnings(mapped.performed.swing, inches)
    if count := int((~mapped.found.converged).sum()):
        lines.append(
            f"The solver did not converge at {count} of {mapped.found.converged.size} places; they count as not "
            "reached."
        )
    return lines


def map_to(
    preset_or_file: str,
    settings: list[str],
    *,
    x: str,
    y: str,
    size: int,
    x_range: Sequence[float | str | None] = (None, None),
    y_range: Sequence[float | str | None] = (None, None),
    json_file: str | None = None,
    out: str | None = None,
    inches: bool = False,
) -> None:
    """Print a map, and write it as JSON and as a page where asked.

    Raises:
        TurnstillError: for anything a user can mend; no file is then written.
    """
    setup = apply(load(preset_or_file), settings)
    if json_file is not None:
        check_file_target(json_file)
    mapped = map_of(setup, x, y, size, (x_range[0], x_range[1]), (y_range[0], y_range[1]))
    report = map_report(mapped)
    shown = map_report(mapped, inches=True) if inches else report

    def page() -> str:
        from .page import map_page

        return map_page(shown, mapped, inches)

    def table() -> str:
        from .table import map_table

        return map_table(shown, inches)

    deliver(report, page, table, numbers_file=NUMBERS_FILE, json_file=json_file, out=out)
