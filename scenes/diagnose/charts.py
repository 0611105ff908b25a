"""Charts of a diagnosis as inline SVG: how probable each piece is at fault, and if so by how much.

They read without colour: everything is told by place, length and shape.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from html import escape

from ..paper.charts import TEXT_PX, ticks

WIDTH, LEFT, RIGHT, TOP, BOTTOM, ROW = 360, 104, 14, 22, 44, 28
_DARK, _MIDDLE, _PALE = "#1b4f8a", "#55616d", "#d5dbe0"


@dataclass(frozen=True)
class Bar:
    """How probable something is.

    Attributes:
        name: a word or two.
        share: 0 to 1.
        words: the same as text.
        held: whether it is among the candidates, and drawn full.
    """

    name: str
    share: float
    words: str
    held: bool


@dataclass(frozen=True)
class Span:
    """How much a piece departs if it is at fault, in the chart's unit.

    Attributes:
        name: a word or two.
        low, high: the 90 % interval.
        likely: its middle; none where the sign is open.
        usual: 90 % of those who are not at fault are within this of zero.
        sure: whether it is probable enough to be drawn full.
    """

    name: str
    low: float
    likely: float | None
    high: float
    usual: float
    sure: bool


def _frame(rows: int, title: str, told: str, parts: Sequence[str]) -> str:
    height = TOP + rows * ROW + BOTTOM
    return (
        f'<svg class="chart" viewBox="0 0 {WIDTH} {height}" role="img" aria-label="{escape(f"{title}: {told}.")}" '
        f'font-size="{TEXT_PX}">{"".join(parts)}</svg>'
    )


def _name(row: int, name: str) -> str:
    return f'<text x="{LEFT - 8}" y="{TOP + (row + 0.5) * ROW + 4.5:.1f}" text-anchor="end">{escape(name)}</text>'


def _line(x: float, rows: int, kind: str) -> str:
    return f'<line class="{kind}" x1="{x:.1f}" x2="{x:.1f}" y1="{TOP}" y2="{TOP + rows * ROW}"/>'


def probability_chart(title: str, bars: Sequence[Bar], before: float) -> str:
    """Bars from 0 to 100 %, with a line where each piece was before any film.

    Args:
        title: what is shown, for the description.
        bars: from top to bottom.
        before: probability of a piece before any film.
    """
    rows, room = len(bars), WIDTH - LEFT - RIGHT - 62

    def x(share: float) -> float:
        return LEFT + share * room

    parts = []
    for percent in (0, 25, 50, 75, 100):
        at = x(percent / 100)
        parts.append(_line(at, rows, "grid" if percent else "zero"))
        parts.append(f'<text x="{at:.1f}" y="{TOP + rows * ROW + 18}" text-anchor="middle">{percent}%</text>')
    for row, bar in enumerate(bars):
        top, length = TOP + row * ROW + 6, max(x(bar.share) - LEFT, 0.5)
        fill = f'fill="{_DARK}"' if bar.held else f'fill="#fff" stroke="{_DARK}" stroke-width="1.4"'
        parts.append(f'<rect x="{LEFT}" y="{top}" width="{length:.1f}" height="{ROW - 12}" {fill}/>')
        parts.append(_name(row, bar.name))
        words_x = max(x(bar.share), x(before)) + 6
        parts.append(f'<text x="{words_x:.1f}" y="{TOP + (row + 0.5) * ROW + 4.5:.1f}">{escape(bar.words)}</text>')
    at = x(before)
    parts.append(
        f'<line x1="{at:.1f}" x2="{at:.1f}" y1="{TOP - 6}" y2="{TOP + rows * ROW}" stroke="{_MIDDLE}" '
        'stroke-width="1.4" stroke-dasharray="3 3"/>'
        f'<text class="end" x="{at + 4:.1f}" y="{TOP - 8}">before any film</text>'
        f'<text class="end" x="{LEFT + room / 2}" y="{TOP + rows * ROW + 38}" text-anchor="middle">'
        "probability, %</text>"
    )
    return _frame(rows, title, "; ".join(f"{bar.name} {bar.words}" for bar in bars), parts)


def amount_chart(title: str, unit: str, spans: Sequence[Span], ends: tuple[str, str]) -> str:
    """Intervals along one axis, each over the grey band of those not at fault.

    Args:
        title: what is shown, for the description.
        unit: of the spans, written on the axis.
        spans: from top to bottom.
        ends: what the two ends of the axis mean, negative and positive.
    """
    rows = len(spans)
    every = [value for span in spans for value in (span.low, span.high, -2 * span.usual, 2 * span.usual)]
    marks = ticks(min(every), max(every))
    low, high = marks[0], marks[-1]

    def x(value: float) -> float:
        return LEFT + (value - low) / (high - low) * (WIDTH - LEFT - RIGHT)

    parts = []
    for row, span in enumerate(spans):
        width = x(span.usual) - x(-span.usual)
        top = TOP + row * ROW + 2
        parts.append(
            f'<rect x="{x(-span.usual):.1f}" y="{top}" width="{width:.1f}" height="{ROW - 4}" fill="{_PALE}"/>'
        )
    for mark in marks:
        parts.append(_line(x(mark), rows, "grid" if mark else "zero"))
        text = f"{mark:+g}".replace("-", "−") if mark else "0"
        parts.append(f'<text x="{x(mark):.1f}" y="{TOP + rows * ROW + 18}" text-anchor="middle">{text}</text>')
    for row, span in enumerate(spans):
        y = TOP + (row + 0.5) * ROW
        ends_at = f"M{x(span.low):.1f} {y - 6}V{y + 6}M{x(span.high):.1f} {y - 6}V{y + 6}"
        dash = "" if span.sure else ' stroke-dasharray="4 3"'
        dot = f'fill="{_DARK}" stroke="#fff"' if span.sure else f'fill="#fff" stroke="{_DARK}"'
        parts.append(
            f'<path d="M{x(span.low):.1f} {y}H{x(span.high):.1f}" stroke="{_DARK}" stroke-width="2.2"{dash}/>'
            f'<path d="{ends_at}" stroke="{_DARK}" stroke-width="2.2"/>'
        )
        if span.likely is not None:
            parts.append(f'<circle cx="{x(span.likely):.1f}" cy="{y}" r="4.5" {dot} stroke-width="1.6"/>')
        parts.append(_name(row, span.name))
    below = TOP + rows * ROW + 38
    right = f"{escape(ends[1])}, {escape(unit)} →"
    parts.append(f'<text class="end" x="{LEFT - 8}" y="{below}">← {escape(ends[0])}</text>')
    parts.append(f'<text class="end" x="{WIDTH - RIGHT + 8}" y="{below}" text-anchor="end">{right}</text>')
    told = "; ".join(
        f"{s.name} {s.low:+.1f} to {s.high:+.1f} {unit}"
        + (", either way" if s.likely is None else f", most likely {s.likely:+.1f}")
        for s in spans
    )
    return _frame(rows, title, told, parts)
