"""The ``experiment`` command: one thing tried in steps, to the screen and to files."""

from __future__ import annotations

from ...model.errors import TurnstillError
from ..delivery.deliver import deliver
from ..delivery.outputs import check_outputs
from ..setups.presets import load
from ..setups.settings import apply
from ..views.names import chosen_views
from .report import ExperimentReport
from .tried import try_out

NUMBERS_FILE = "experiment.json"
"""In a folder of results: the report, and the list of the folder's files."""


def _check_drawn(out: str | None, views: str | None, *, pictures: bool) -> None:
    """What is said of pictures has some to act on.

    Raises:
        TurnstillError: where none are drawn.
    """
    if views is not None and (out is None or not pictures):
        why = "there is no page; name its folder by --out" if out is None else "--no-pictures was given; leave out one"
        raise TurnstillError(f"--views says what the pictures of a page show, but {why}.")


def experiment_to(
    name: str,
    first: str,
    last: str,
    steps: int | None,
    preset_or_file: str,
    settings: list[str],
    *,
    json_file: str | None,
    out: str | None,
    pictures: bool,
    views: str | None = None,
    inches: bool,
) -> None:
    """Print an experiment, and write it as JSON and as a page where asked.

    Raises:
        TurnstillError: for anything a user can mend; no file is then written.
    """
    setup = apply(load(preset_or_file), settings)
    seen = chosen_views(views)
    _check_drawn(out, views, pictures=pictures)
    check_outputs({"--json": json_file}, out, NUMBERS_FILE)
    tried = try_out(setup, name, first, last, steps)
    report = ExperimentReport.of(tried)
    shown = report.told(tried, inches=True) if inches else report

    def page() -> str:
        from .page import experiment_page
        from .pictures import strip_of

        return experiment_page(shown, strip_of(tried, seen) if pictures else (), inches)

    def table() -> str:
        from .table import experiment_table

        return experiment_table(shown, inches)

    deliver(report, page, table, numbers_file=NUMBERS_FILE, json_file=json_file, out=out)
