"""A diagnosis as tables in the terminal."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from ..delivery.terminal import render
from ..words import cautions
from ..words.golfer import golfer_words
from ..words.pieces import NAMES, told_amount
from ..words.units import told_length
from .readings import KINDS
from .words import case_words, either_way, percent

if TYPE_CHECKING:
    from rich.console import RenderableType
    from rich.table import Table

Report = dict[str, Any]


def diagnose_table(report: Report, inches: bool = False) -> str:
    """What was read, what it says of every piece, and the sentences.

    Args:
        report: of ``turnstill.scenes.diagnose.report``.
        inches: lengths in inches.
    """
    from rich.text import Text

    pieces: list[RenderableType] = []
    if report["fits"]:
        pieces = [_pieces(report, inches), Text(_below(report), style="dim")]
    return render(
        Text(f"What moved the head ({golfer_words(report['body'], inches)})", style="bold"),
        _readings(report, inches),
        *pieces,
        Text(),
        *(Text(line) for line in report["sentences"]),
        Text(),
        *(Text(f"Note: {line}", style="bold") for line in report["warnings"]),
        Text(" ".join(cautions.CAUTIONS), style="dim"),
    )


def _below(report: Report) -> str:
    return (
        "at fault: probability. if so: the departure if it is at fault, with its 90 % interval. from hold: the "
        f"departure in the most probable case ({case_words(report)}), from what holds the head for the turn that was "
        "made; from centred: the same from the centred turn."
    )


def amount(value: float, unit: str, inches: bool) -> str:
    """A reading or a departure with sign and unit."""
    shown = told_amount(value, "deg") if unit == "deg" else told_length(value, inches)
    return f"+{shown}" if value > 0 and not shown.startswith("0.0") else shown


def _table(*headings: str) -> Table:
    from rich import box
    from rich.table import Table

    table = Table(box=box.SIMPLE_HEAD, padding=(0, 1, 0, 0), pad_edge=False)
    for k, heading in enumerate(headings):
        table.add_column(heading, justify="left" if k == 0 else "right", no_wrap=True)
    return table


def _readings(report: Report, inches: bool) -> Table:
    heads = ["read at the top", "as read", "give or\ntake (sd)", "without\na fault"]
    table = _table(*heads, *(["most prob-\nable case"] if report["fits"] else []))
    for one in report["readings"]:
        unit = one["unit"]
        sd = told_amount(one["sd"], "deg") if unit == "deg" else told_length(one["sd"], inches)
        cells = [amount(one["value"], unit, inches), sd, amount(one["without_a_fault"], unit, inches)]
        if report["fits"]:
            cells.append(amount(one["most_probable"], unit, inches))
        table.add_row(KINDS[one["reading"]].words, *cells)
    return table


def _pieces(report: Report, inches: bool) -> Table:
    table = _table("piece", "at\nfault", "if so,\nby about", "90 % between", "from\nhold", "from\ncentred")
    by_piece = {one["piece"]: one for one in report["departures"]}
    for one in report["pieces"]:
        unit, departure = one["unit"], by_piece[one["piece"]]
        low, likely, high = (amount(one[key], unit, inches) for key in ("low", "most_likely", "high"))
        if either_way(one):
            likely = "either way"
        both = [amount(departure[key], unit, inches) for key in ("from_what_holds_the_head", "from_centred")]
        table.add_row(NAMES[one["piece"]], percent(one["probability"]), likely, f"{low} and {high}", *both)
    return table
