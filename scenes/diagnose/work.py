"""The ``diagnose`` command: one swing's readings to the screen and to files."""

from __future__ import annotations

from typing import Any

from ...model.golfer.pieces import MAY_BE_STEADY
from ..delivery.deliver import deliver
from ..delivery.outputs import check_outputs
from ..delivery.terminal import tell
from ..delivery.writing import STANDARD_OUTPUT
from ..setups.commands import live_command, sheet_command, strike_command
from ..setups.presets import load
from ..setups.quantities import Departure, Value
from ..setups.settings import apply
from ..words.cautions import NOTICEABLE_CM, NOTICEABLE_DEG
from .found import diagnosed
from .moments import IMPACT, MOMENTS, TOP
from .report import DiagnosisReport, MomentDiagnosis

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
    report = DiagnosisReport.of(*found)
    shown = report.told(found[0].performed, inches) if inches else report
    then = go_on(preset_or_file, settings, report)

    def page() -> str:
        from .page import diagnose_page

        return diagnose_page(shown, inches, then)

    def table() -> str:
        from .table import diagnose_table

        return diagnose_table(shown, inches)

    deliver(report, page, table, numbers_file=NUMBERS_FILE, json_file=json_file, out=out)
    if json_file != STANDARD_OUTPUT:
        for what, command in then:
            tell(f"{what}: {command}")


def go_on(preset_or_file: str, settings: list[str], report: DiagnosisReport) -> list[tuple[str, str]]:
    """What one may do next with this golfer, and the command that does it.

    Args:
        preset_or_file: whose body and address, and the turn departures are counted from.
        settings: laid over it.
        report: the diagnosis.
    """
    commands = []
    likeliest: dict[str, Value] = {}
    for one in report.diagnoses:
        likeliest |= _likeliest(one)
    first, *_ = report.diagnoses
    at_top, at_impact = first.moment == TOP.name, report.diagnoses[-1].moment == IMPACT.name
    if at_top and first.feel is not None:
        feel = first.feel.piece, first.feel.amount
        own = _likeliest(first)
        commands.append(("For a sheet to take home", sheet_command(preset_or_file, settings, own, feel)))
    if at_impact:
        commands.append(("For what it does to the strike", strike_command(preset_or_file, settings, likeliest)))
    if at_top:
        commands.append(("To move it in a page", live_command(preset_or_file, settings, _likeliest(first))))
    return commands


def _likeliest(report: MomentDiagnosis) -> dict[str, Value]:
    """What these readings make likeliest of the swing's pieces then, where it departs noticeably, as they are set."""
    departs: dict[str, Value] = {}
    prefix = MOMENTS[report.moment].prefix
    for one in report.departures:
        if abs(one.from_what_holds_the_head) >= (NOTICEABLE_DEG if one.unit == "deg" else NOTICEABLE_CM):
            trunk = one.piece in MAY_BE_STEADY
            departs[f"{prefix}{one.piece}"] = Departure(one.from_what_holds_the_head) if trunk else one.made
    return departs
