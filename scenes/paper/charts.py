"""Small line charts as inline SVG: told apart by dash and marker as well as by colour, so that grey prints read."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from html import escape

WIDTH, HEIGHT = 360, 250
LEFT, RIGHT, TOP, BOTTOM = 46, 12, 14, 44
TEXT_PX = 13
"""Chosen so that the text keeps its size on a phone 390 pixels wide."""


_Place = Callable[[float], float]
"""A value's place in the chart, pixels."""


@dataclass(frozen=True)
class Style:
    """How one swing is drawn.

    Attributes:
        colour: CSS colour, dark enough for text on white.
        dash: SVG dash pattern, empty for a solid line.
        marker: one of circle, square, triangle, diamond, cross, ring.
    """

    colour: str
    dash: str
    marker: str


STYLES: tuple[Style, ...] = (
    Style("#1b4f8a", "", "circle"),
    Style("#b34700", "7 4", "square"),
    Style("#2b6e4f", "2 3", "triangle"),
    Style("#6d3f8c", "10 3 2 3", "diamond"),
    Style("#4a4a4a", "4 2", "cross"),
    Style("#8a1c4a", "1 2", "ring"),
)


@dataclass(frozen=True)
class Line:
    """One swing's course.

    Attributes:
        name: its short name, for the chart's description.
        progress: 0 to 1.
        values: in the chart's unit, as long as ``progress``.
        style: how it is drawn.
    """

    name: str
    progress: Sequence[float]
    values: Sequence[float]
    style: Style


def ticks(low: float, high: float, most: int = 6) -> list[float]:
    """Round numbers that span a range: steps of 1, 2 or 5 times a power of ten, zero among them if inside."""
    span = max(high - low, 1e-9)
    step = 10.0 ** math.floor(math.log10(span / most))
    step *= next(factor for factor in (1, 2, 5, 10, 20) if span / (step * factor) <= most - 1)
    first, last = math.floor(low / step), math.ceil(high / step)
    return [round(k * step, 10) + 0.0 for k in range(first, last + 1)]


def line_chart(title: str, unit: str, lines: Sequence[Line], ends: tuple[str, str], least: float = 1.0) -> str:
    """A chart of something against the progress of the backswing.

    Args:
        title: what is shown, for the description.
        unit: of the values, written on the axis.
        lines: the swings.
        ends: what up and down on the axis mean.
        least: the axis reaches at least this far to both sides of zero, so that a still head looks still.

    Returns:
        An ``svg`` element.
    """
    every = [value for line in lines for value in line.values]
    marks = ticks(min(-least, *every), max(least, *every))
    low, high = marks[0], marks[-1]

    def x(progress: float) -> float:
        return LEFT + progress * (WIDTH - LEFT - RIGHT)

    def y(value: float) -> float:
        return TOP + (high - value) / (high - low) * (HEIGHT - TOP - BOTTOM)

    parts = [*_grid(marks, x, y), *_axis_names(unit, ends)]
    parts += [_course(line, x, y) for line in lines]
    described = "; ".join(f"{line.name} ends at {line.values[-1]:+.1f} {unit}" for line in lines)
    return (
        f'<svg class="chart" viewBox="0 0 {WIDTH} {HEIGHT}" role="img" '
        f'aria-label="{escape(f"{title} against progress of the backswing: {described}.")}" '
        f'font-size="{TEXT_PX}">{"".join(parts)}</svg>'
    )


def _grid(marks: list[float], x: _Place, y: _Place) -> list[str]:
    parts = []
    for mark in marks:
        strong = ' class="zero"' if mark == 0 else ' class="grid"'
        parts.append(f'<line{strong} x1="{LEFT}" x2="{WIDTH - RIGHT}" y1="{y(mark):.1f}" y2="{y(mark):.1f}"/>')
        text = f"{mark:+g}".replace("-", "−") if mark else "0"
        parts.append(f'<text x="{LEFT - 6}" y="{y(mark) + 4.5:.1f}" text-anchor="end">{text}</text>')
    for percent in (0, 25, 50, 75, 100):
        at = x(percent / 100)
        anchor = "end" if percent == 100 else "middle"
        shift = RIGHT - 2 if percent == 100 else 0
        parts.append(f'<text x="{at + shift:.1f}" y="{HEIGHT - BOTTOM + 18}" text-anchor="{anchor}">{percent}%</text>')
        parts.append(f'<line class="grid" x1="{at:.1f}" x2="{at:.1f}" y1="{TOP}" y2="{HEIGHT - BOTTOM}"/>')
    return parts


def _axis_names(unit: str, ends: tuple[str, str]) -> list[str]:
    middle = LEFT + (WIDTH - LEFT - RIGHT) / 2
    return [
        f'<text x="{middle}" y="{HEIGHT - 6}" text-anchor="middle">backswing done, address to top</text>',
        f'<text class="end" x="{LEFT + 6}" y="{TOP + 11}">{escape(ends[0])}, {escape(unit)}</text>',
        f'<text class="end" x="{LEFT + 6}" y="{HEIGHT - BOTTOM - 6}">{escape(ends[1])}, {escape(unit)}</text>',
    ]


def _course(line: Line, x: _Place, y: _Place) -> str:
    style = line.style
    points = " ".join(f"{x(p):.1f},{y(v):.1f}" for p, v in zip(line.progress, line.values, strict=True))
    dash = f' stroke-dasharray="{style.dash}"' if style.dash else ""
    # Five markers along the way are enough to follow a line without hiding it.
    shown = sorted({round(k * (len(line.values) - 1) / 4) for k in range(5)})
    markers = "".join(marker(style, x(line.progress[k]), y(line.values[k])) for k in shown)
    return f'<polyline points="{points}" fill="none" stroke="{style.colour}" stroke-width="2.4"{dash}/>{markers}'


def marker(style: Style, x: float, y: float, r: float = 4.0) -> str:
    """A marker as SVG, at a place in the chart's pixels."""
    filled = f'fill="{style.colour}" stroke="#fff" stroke-width="1"'
    hollow = f'fill="#fff" stroke="{style.colour}" stroke-width="2"'
    if style.marker == "circle":
        return f'<circle cx="{x:.1f}" cy="{y:.1f}" r="{r}" {filled}/>'
    if style.marker == "ring":
        return f'<circle cx="{x:.1f}" cy="{y:.1f}" r="{r}" {hollow}/>'
    if style.marker == "square":
        return f'<rect x="{x - r:.1f}" y="{y - r:.1f}" width="{2 * r}" height="{2 * r}" {hollow}/>'
    if style.marker == "cross":
        ends = f"M{x - r:.1f} {y - r:.1f}L{x + r:.1f} {y + r:.1f}M{x - r:.1f} {y + r:.1f}L{x + r:.1f} {y - r:.1f}"
        return f'<path d="{ends}" stroke="{style.colour}" stroke-width="2.4"/>'
    corners = {
        "triangle": ((0, -1.2), (1.1, 0.8), (-1.1, 0.8)),
        "diamond": ((0, -1.3), (1.3, 0), (0, 1.3), (-1.3, 0)),
    }[style.marker]
    points = " ".join(f"{x + r * dx:.1f},{y + r * dy:.1f}" for dx, dy in corners)
    return f'<polygon points="{points}" {filled}/>'


def key(style: Style) -> str:
    """A short piece of the line with its marker, for a legend."""
    dash = f' stroke-dasharray="{style.dash}"' if style.dash else ""
    return (
        '<svg class="key" viewBox="0 0 44 14" width="44" height="14" aria-hidden="true">'
        f'<line x1="1" x2="43" y1="7" y2="7" stroke="{style.colour}" stroke-width="2.4"{dash}/>'
        f"{marker(style, 22, 7)}</svg>"
    )
