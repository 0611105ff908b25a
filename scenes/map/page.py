"""A map as one page that needs no network and no second file."""

from __future__ import annotations

from base64 import b64encode
from html import escape
from typing import Any

from ...model.golfer.pieces import PIECES
from ..paper.page_frame import closing, header, whole_page
from ..words import cautions
from ..words.cautions import spoken
from ..words.golfer import golfer_words
from ..words.pieces import told_amount
from ..words.units import length_unit
from .drawing import EDGE, INK, drawing
from .table import COLUMNS, ROWS, cell, some
from .words import amounts, still_words
from .work import Mapped

Report = dict[str, Any]
_PANELS = (
    ("toward_target", "The head toward the target"),
    ("up", "The head up"),
    ("toward_ball", "The head toward the ball"),
)
_OWN_STYLE = """
.charts img { padding: 0 4px 4px; }
.signs { list-style: none; padding: 0; margin: 0 0 14px; }
.signs li { margin: 0 0 4px; }
.sign { vertical-align: middle; margin-right: 8px; }
td.still { font-weight: 700; background: var(--mark); }
td.out { color: var(--soft); }
"""


def map_page(report: Report, mapped: Mapped, inches: bool = False) -> str:
    """The whole page.

    Args:
        report: of ``turnstill.scenes.map.report``.
        mapped: what it reports on, for the drawings.
        inches: lengths in inches.
    """
    x, y = (spoken(report[a]["piece"]) for a in "xy")
    title = f"{report['preset']}: the head over {x} and {y}"
    kept = cautions.listed(
        [f"{spoken(name)} {told_amount(value, PIECES[name].unit, inches)}" for name, value in report["kept"].items()]
    ).replace("-", "−")
    golfer = golfer_words(report["body"], inches)
    who = f"Simulated golfer: {golfer}, at the top of the backswing. Kept everywhere: {kept}."
    parts = [
        header(title, who, [line.replace(" -", " −") for line in report["sentences"]]),
        _drawings(report, mapped, inches),
        _table(report, inches),
        closing(report["warnings"]),
    ]
    return whole_page(title, parts, _OWN_STYLE)


def _drawings(report: Report, mapped: Mapped, inches: bool) -> str:
    unit = length_unit(inches)
    figures = []
    for what, title in _PANELS:
        source = b64encode(drawing(mapped, what, inches).encode()).decode("ascii")
        alt = f"{title} since address over {' and '.join(spoken(report[a]['piece']) for a in 'xy')}, {unit}"
        figures.append(
            f"<figure><figcaption>{escape(title)} since address, {unit}</figcaption>"
            f'<img src="data:image/svg+xml;base64,{source}" alt="{escape(alt)}"></figure>'
        )
    signs = _signs(report, mapped.shows_steady, inches)
    return f'<section><h2>The maps</h2>{signs}<div class="charts">{"".join(figures)}</div></section>'


def _signs(report: Report, shows_steady: bool, inches: bool) -> str:
    def sign(drawn: str) -> str:
        return f'<svg class="sign" viewBox="0 0 34 18" width="34" height="18" aria-hidden="true">{drawn}</svg>'

    star = "17,1 19.1,6.6 25,6.8 20.4,10.4 22,16.2 17,12.9 12,16.2 13.6,10.4 9,6.8 14.9,6.6"
    hatch = "".join(f'<path d="M{a} 17 L{a + 9} 1" stroke="{INK}" stroke-width="1"/>' for a in (-2, 5, 12, 19, 26))
    edge = f'<path d="M1 9 H33" stroke="{INK}" stroke-width="2"/>'
    items = (
        (f'<circle cx="17" cy="9" r="5" fill="#fff" stroke="{INK}" stroke-width="2"/>',
         f"this swing: {amounts(report, 'this_swing', inches)}"),
        (f'<polygon points="{star}" fill="#fff" stroke="{INK}" stroke-width="1.6"/>',
         f"what holds the head for this swing's turn: {amounts(report, 'steady', inches)}"),
        (f'<path d="M1 9 H33" stroke="{EDGE}" stroke-width="3"/>',
         f"edge of the still band: {still_words(report, inches)}"),
        (hatch, "the joints do not allow it; what is shown is the nearest that they allow"),
        (edge, "how far the joints reach: where to stop, not a place to go"),
    )  # fmt: skip
    shown = items if shows_steady else (items[0], *items[2:])
    return f'<ul class="signs">{"".join(f"<li>{sign(drawn)}{escape(text)}</li>" for drawn, text in shown)}</ul>'


def _table(report: Report, inches: bool) -> str:
    x, y = report["x"], report["y"]
    columns, rows = some(len(x["values"]), COLUMNS), some(len(y["values"]), ROWS)
    heads = "".join(f'<th scope="col">{told_amount(x["values"][k], x["unit"], inches)}</th>' for k in columns)
    lines = []
    for row in reversed(rows):
        cells = []
        for column in columns:
            kind = "out" if not report["reached"][row][column] else "still" if report["still"][row][column] else ""
            text = cell(report, row, column, inches).strip().replace("-", "−")
            cells.append(f'<td class="{kind}">{text}</td>' if kind else f"<td>{text}</td>")
        lines.append(
            f'<tr><th scope="row">{told_amount(y["values"][row], y["unit"], inches)}</th>{"".join(cells)}</tr>'
        )
    caption = (
        f"Some places of the map: the head toward the target and up, {length_unit(inches)}. * still; (in brackets) the "
        "joints do not allow it."
    )
    return (
        '<section><h2>In numbers</h2><div class="scroll" style="--count: 3"><table>'
        f"<caption>{caption}</caption><thead><tr><th>{escape(spoken(y['piece']))} \\ {escape(spoken(x['piece']))}</th>"
        f"{heads}</tr></thead><tbody>{''.join(lines)}</tbody></table></div></section>"
    )
