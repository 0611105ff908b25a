"""The ``simulate`` command: one swing to the screen and to files."""

from __future__ import annotations

import json
import sys
from typing import Any

from ..model.errors import TurnstillError
from .perform import check_frames, perform
from .presets import load
from .report import in_shown_unit, swing_report
from .settings import apply
from .spreadsheet import csv_text
from .writing import STANDARD_OUTPUT, check_file_target, write_text


def simulate_to(
    preset_or_file: str,
    settings: list[str],
    frames: int = 41,
    *,
    json_file: str | None = None,
    csv_file: str | None = None,
    inches: bool = False,
) -> None:
    """Simulate a swing, print it, and write it to files where asked.

    The table is left out where standard output carries JSON or CSV, so that a program can read it.

    Raises:
        TurnstillError: for anything a user can mend; no file is then written.
    """
    targets = [target for target in (json_file, csv_file) if target is not None]
    if targets.count(STANDARD_OUTPUT) > 1:
        raise TurnstillError("Only one of --json and --csv can go to standard output; name a file for the other.")
    check_frames(frames)
    setup = apply(load(preset_or_file), settings)
    for target in targets:
        check_file_target(target)
    performed = perform(setup, frames)
    report = swing_report(performed)
    if json_file is not None:
        write_text(json_file, json_text(report))
    if csv_file is not None:
        write_text(csv_file, csv_text(report, inches))
    if STANDARD_OUTPUT not in targets:
        from .tables import swing_table

        sys.stdout.write(swing_table(in_shown_unit(report, performed, inches), inches))


def json_text(report: dict[str, Any]) -> str:
    """A report as JSON.

    Raises:
        TurnstillError: if a number is not finite, which JSON cannot carry.
    """
    try:
        return json.dumps(report, indent=1, allow_nan=False, ensure_ascii=False) + "\n"
    except ValueError as wrong:
        raise TurnstillError(
            "This swing has numbers that are not finite, so the body or the address cannot be; nothing was written."
        ) from wrong
