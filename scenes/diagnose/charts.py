"""Charts of a diagnosis, a row for each piece: how probable it is at fault, and if so by how much.

A piece has its own colour, as everywhere; what is said of it is told by place, length and by full or hollow marks.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from html import escape
from typing import TYPE_CHECKING

from ..paper.axes import RIGHT, WIDTH, Axes, Scale, plain, svg, ticks, with_sign
from ..paper.styles import Style

if TYPE_CHECKING:
    from markupsafe import Markup

LEFT, TOP, ROW, BELOW = 112, 24, 28, 44
_WORDS = 62
_INK, _PALE = "#1c252e", "#d5dbe0"


@dataclass(frozen=True)
class Bar:
    """How probable something is.

    Attributes:
        name: a word or two.
        percent: 0 to 100.
        words: the same as text.
        full: whether it is among the candidates.
        style: its colour.
    """

    name: str
    percent: float
    words: str
    full: bool
    style: Style


@dataclass(frozen=True)
class Span:
    """How much a piece departs if it is at fault, in the chart's unit.

    Attributes:
        name: a word or two.
        low, high: the 90 % interval.
        likely: its middle; none where the sign is open.
        usual: 90 % of those who are not at fault are within this of zero.
        sure: whether it is probable enough to be drawn full.
        style: its colour.
    """

    name: str
    low: float
    likely: float | None
    high: float
    usual: float
    sure: bool
    style: Style


def _rows(count: int, low: float, high: float, end: float) -> Axes:
    """Axes whose y counts rows from the top."""
    return Axes(Scale(low, high, LEFT, end), Scale(count, 0.0, TOP + count * ROW, TOP))


def _named(axes: Axes, row: int, name: str) -> str:
    return f'<text class="row" x="{LEFT - 8}" y="{axes.y(row + 0.5) + 4.5:.1f}" text-anchor="end">{escape(name)}</text>'


def _upright(axes: Axes, x: float, look: str) -> str:
    return f'<line {look} x1="{axes.x(x):.1f}" x2="{axes.x(x):.1f}" y1="{axes.y.end}" y2="{axes.y.start}"/>'


def probability_chart(title: str, bars: Sequence[Bar], before: float) -> Markup:
    """Bars from 0 to 100 %, with a line where each piece was before any film.

    Args:
        title: what is shown, for the description.
        bars: from top to bottom.
        before: probability of a piece before any film, %.
    """
    axes = _rows(len(bars), 0.0, 100.0, WIDTH - RIGHT - _WORDS)
    parts = axes.uprights((0.0, 50.0, 100.0), lambda mark: f"{plain(mark)}%")
    parts.append(_upright(axes, 0.0, 'class="zero"'))
    for row, bar in enumerate(bars):
        colour = bar.style.colour
        look = f'fill="{colour}"' if bar.full else f'fill="#fff" stroke="{colour}" stroke-width="1.4"'
        parts.append(
            f'<rect data-name="{escape(bar.name)}" x="{LEFT}" y="{axes.y(row) + 6:.1f}" '
            f'width="{max(axes.x(bar.percent) - LEFT, 0.5):.1f}" height="{ROW - 12}" {look}/>'
        )
        parts.append(_named(axes, row, bar.name))
        after = max(axes.x(bar.percent), axes.x(before)) + 6
        parts.append(f'<text x="{after:.1f}" y="{axes.y(row + 0.5) + 4.5:.1f}">{escape(bar.words)}</text>')
    parts.append(_upright(axes, before, f'data-name="before any film" stroke="{_INK}" stroke-dasharray="3 3"'))
    parts.append(f'<text class="end" x="{axes.x(before) + 4:.1f}" y="{TOP - 8}">before any film</text>')
    parts.append(axes.x_name("probability"))
    told = "; ".join(f"{bar.name} {bar.words}" for bar in bars)
    return svg(parts, f"{title}: {told}.", height=TOP + len(bars) * ROW + BELOW)


def amount_chart(title: str, unit: str, spans: Sequence[Span], ends: tuple[str, str]) -> Markup:
    """Intervals along one axis, each over the grey band of those not at fault.

    Args:
        title: what is shown, for the description.
        unit: of the spans, written on the axis.
        spans: from top to bottom.
        ends: what the two ends of the axis mean, negative and positive.
    """
    every = [value for span in spans for value in (span.low, span.high, -2 * span.usual, 2 * span.usual)]
    marks = ticks(min(every), max(every))
    axes = _rows(len(spans), marks[0], marks[-1], WIDTH - RIGHT)
    parts = []
    for row, span in enumerate(spans):
        wide = axes.x(span.usual) - axes.x(-span.usual)
        parts.append(
            f'<rect data-name="{escape(span.name)}, not at fault" x="{axes.x(-span.usual):.1f}" '
            f'y="{axes.y(row) + 2:.1f}" width="{wide:.1f}" height="{ROW - 4}" fill="{_PALE}"/>'
        )
    parts += axes.uprights(marks, with_sign)
    parts.append(_upright(axes, 0.0, 'class="zero"'))
    for row, span in enumerate(spans):
        y, colour, name = axes.y(row + 0.5), span.style.colour, escape(span.name)
        low, high = axes.x(span.low), axes.x(span.high)
        parts.append(
            f'<polyline data-name="{name}" points="{low:.1f},{y:.1f} {high:.1f},{y:.1f}" fill="none" stroke="{colour}" '
            f'stroke-width="{3.0 if span.sure else 1.2}"/>'
            f'<path d="M{low:.1f} {y - 6:.1f}v12M{high:.1f} {y - 6:.1f}v12" stroke="{colour}" stroke-width="2"/>'
        )
        if span.likely is not None:
            look = f'fill="{colour}" stroke="#fff"' if span.sure else f'fill="#fff" stroke="{colour}"'
            parts.append(
                f'<circle data-name="{name}" cx="{axes.x(span.likely):.1f}" cy="{y:.1f}" r="4.5" {look} '
                'stroke-width="1.6"/>'
            )
        parts.append(_named(axes, row, span.name))
    below = axes.y.start + 38
    parts.append(f'<text class="end" x="{LEFT}" y="{below}">← {escape(ends[0])}</text>')
    more = f"{escape(ends[1])}, {escape(unit)} →"
    parts.append(f'<text class="end" x="{WIDTH - RIGHT}" y="{below}" text-anchor="end">{more}</text>')
    told = "; ".join(
        f"{s.name} {s.low:+.1f} to {s.high:+.1f} {unit}"
        + (", either way" if s.likely is None else f", most likely {s.likely:+.1f}")
        for s in spans
    )
    return svg(parts, f"{title}: {told}.", height=TOP + len(spans) * ROW + BELOW)
