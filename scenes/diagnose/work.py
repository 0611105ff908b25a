"""The ``diagnose`` command: one swing's readings to the screen and to files."""

from __future__ import annotations

from typing import Any

from ...model.golfer.pieces import MAY_BE_STEADY
from ..delivery.deliver import deliver
from ..delivery.outputs import check_outputs
from ..delivery.terminal import tell
from ..delivery.writing import STANDARD_OUTPUT
from ..setups.presets import load
from ..setups.quantities import Departure, Value
from ..setups.settings import apply
from ..sheet.asking import sheet_command
from ..words.cautions import NOTICEABLE_CM, NOTICEABLE_DEG
from .feel import FeelReport
from .found import diagnosed
from .report import DiagnosisReport

NUMBERS_FILE = "diagnosis.json"
"""In a folder of results: the report, and the list of the folder's files."""


def diagnose_to(
    preset_or_file: str,
    settings: list[str],
    *,
    json_file: str | None,
    out: str | None,
    inches: bool,
    **read: Any,
) -> None:
    """Print a diagnosis, and write it as JSON and as a page where asked.

    Args:
        preset_or_file: whose body and address, and the turn departures are counted from.
        settings: laid over it.
        json_file: where the JSON goes; ``-`` is standard output.
        out: the folder of the page.
        inches: lengths shown in inches.
        read: of ``turnstill.scenes.diagnose.found.diagnosed``.

    Raises:
        TurnstillError: for anything a user can mend; no file is then written.
    """
    setup = apply(load(preset_or_file), settings)
    check_outputs({"--json": json_file}, out, NUMBERS_FILE)
    found = diagnosed(setup, **read)
    report = DiagnosisReport.of(found)
    shown = DiagnosisReport.of(found, inches) if inches else report

    def page() -> str:
        from .page import diagnose_page

        return diagnose_page(shown, inches)

    def table() -> str:
        from .table import diagnose_table

        return diagnose_table(shown, inches)

    deliver(report, page, table, numbers_file=NUMBERS_FILE, json_file=json_file, out=out)
    if json_file != STANDARD_OUTPUT and report.feel is not None:
        tell(f"For a sheet to take home: {_sheet(preset_or_file, settings, report, report.feel)}")


def _sheet(preset_or_file: str, settings: list[str], report: DiagnosisReport, feel: FeelReport) -> str:
    """The command that makes one, the present swing being what these readings make likeliest."""
    departs: dict[str, Value] = {}
    for one in report.departures:
        if abs(one.from_what_holds_the_head) >= (NOTICEABLE_DEG if one.unit == "deg" else NOTICEABLE_CM):
            trunk = one.piece in MAY_BE_STEADY
            departs[one.piece] = Departure(one.from_what_holds_the_head) if trunk else one.made
    return sheet_command(preset_or_file, settings, departs, (feel.piece, feel.amount))
