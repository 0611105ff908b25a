"""The ``shares`` command's work: a swing, and how much of where its head went each piece did."""

from __future__ import annotations

from dataclasses import dataclass

from ...model.arrays import Array
from ...model.errors import TurnstillError
from ...model.questions.shares import REFERENCES, Shares, sensitivities, shares
from ..delivery.deliver import deliver
from ..delivery.outputs import check_outputs
from ..setups.perform import Performed, check_frames, perform
from ..setups.presets import Setup, load
from ..setups.quantities import echo
from ..setups.settings import apply

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


def share_out(setup: Setup, against: str, frames: int) -> Shared:
    """Simulate a setup and divide what its head did.

    Raises:
        TurnstillError: what was asked cannot be simulated, or an unknown reference.
    """
    if against not in REFERENCES:
        raise TurnstillError(f"--against was {echo(against)}, but must be {' or '.join(REFERENCES)}.")
    performed = perform(setup, frames)
    found = shares(performed.swing, against, timing=setup.timing or None)
    return Shared(performed, found, sensitivities(performed.swing))


def shares_to(
    preset_or_file: str,
    settings: list[str],
    frames: int,
    *,
    against: str,
    json_file: str | None,
    out: str | None,
    inches: bool,
) -> None:
    """Print the shares of a swing, and write them as JSON and as a page where asked.

    Raises:
        TurnstillError: for anything a user can mend; no file is then written.
    """
    from .page import shares_page
    from .report import SharesReport
    from .table import shares_table

    check_frames(frames)
    setup = apply(load(preset_or_file), settings)
    check_outputs({"--json": json_file}, out, NUMBERS_FILE)
    shared = share_out(setup, against, frames)
    report = SharesReport.of(shared)
    shown = SharesReport.of(shared, inches=True) if inches else report
    deliver(
        report, lambda: shares_page(shown, inches), lambda: shares_table(shown, inches), numbers_file=NUMBERS_FILE,
        json_file=json_file, out=out,
    )  # fmt: skip
