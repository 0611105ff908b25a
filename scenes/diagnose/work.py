"""The ``diagnose`` command: one swing's readings to the screen and to files."""

from __future__ import annotations

from typing import Any

from ...model.errors import TurnstillError
from ...model.golfer.pieces import MAY_BE_STEADY
from ..delivery.deliver import deliver
from ..delivery.outputs import check_outputs
from ..delivery.terminal import tell
from ..delivery.writing import STANDARD_OUTPUT
from ..setups.commands import live_command, sheet_command, strike_command
from ..setups.presets import load
from ..setups.quantities import Departure, Value
from ..setups.settings import apply, find
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

    Nothing follows from a moment whose readings no body fits, nor from one that asks for more than can be set.

    Args:
        preset_or_file: whose body and address, and the turn departures are counted from.
        settings: laid over it.
        report: the diagnosis.
    """
    found = {one.moment: (one, _likeliest(one)) for one in report.diagnoses if one.fits}
    found = {moment: (one, pieces) for moment, (one, pieces) in found.items() if _can_be_set(pieces)}
    all_pieces = {name: value for _, pieces in found.values() for name, value in pieces.items()}
    to_impact = IMPACT.name in found
    commands = []
    if TOP.name in found:
        top, pieces = found[TOP.name]
        if top.feel is not None:
            feel = top.feel.piece, top.feel.amount
            commands.append(("For a sheet to take home", sheet_command(preset_or_file, settings, pieces, feel)))
    if to_impact:
        commands.append(("For what it does to the strike", strike_command(preset_or_file, settings, all_pieces)))
    if found:
        live = live_command(preset_or_file, settings, all_pieces, to_impact=to_impact)
        commands.append(("To move it in a page", live))
    return commands


def _can_be_set(pieces: dict[str, Value]) -> bool:
    """Whether every piece is in the range that ``--set`` takes."""
    try:
        for name, value in pieces.items():
            find(name).check(str(value) if isinstance(value, Departure) else value)
    except TurnstillError:
        return False
    return True


def _likeliest(report: MomentDiagnosis) -> dict[str, Value]:
    """What these readings make likeliest of the swing's pieces then, where it departs noticeably, as they are set."""
    departs: dict[str, Value] = {}
    prefix = MOMENTS[report.moment].prefix
    for one in report.departures:
        if abs(one.from_what_holds_the_head) >= (NOTICEABLE_DEG if one.unit == "deg" else NOTICEABLE_CM):
            trunk = one.piece in MAY_BE_STEADY
            departs[f"{prefix}{one.piece}"] = Departure(one.from_what_holds_the_head) if trunk else one.made
    return departs
