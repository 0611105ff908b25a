"""The ``simulate`` command: one swing to the screen and to files."""

from __future__ import annotations

import sys

from ..delivery.json_text import json_text
from ..delivery.outputs import check_outputs
from ..delivery.writing import STANDARD_OUTPUT, write_text
from ..setups.options import MOMENTS, TOP, goes_through_impact
from ..setups.perform import check_frames, perform
from ..setups.presets import load
from ..setups.settings import apply
from .report import SwingReport
from .spreadsheet import csv_text


def simulate_to(
    preset_or_file: str,
    settings: list[str],
    frames: int = MOMENTS,
    *,
    json_file: str | None = None,
    csv_file: str | None = None,
    inches: bool = False,
    through: str = TOP,
) -> None:
    """Simulate a swing, print it, and write it to files where asked.

    The table is left out where standard output carries JSON or CSV, so that a program can read it.

    Raises:
        TurnstillError: for anything a user can mend; no file is then written.
    """
    check_frames(frames)
    on = goes_through_impact(through)
    setup = apply(load(preset_or_file), settings)
    check_outputs({"--json": json_file, "--csv": csv_file})
    performed = perform(setup, frames, through_impact=on)
    report = SwingReport.of(performed)
    if json_file is not None:
        write_text(json_file, json_text(report))
    if csv_file is not None:
        write_text(csv_file, csv_text(report, inches))
    if STANDARD_OUTPUT not in (json_file, csv_file):
        from .table import swing_table

        sys.stdout.write(swing_table(SwingReport.of(performed, inches), inches))
