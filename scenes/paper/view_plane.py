"""The plane of a camera view as inline SVG: one scale both ways, marks, arrows, and their names in a column beside.

Names are tied to their arrows by thin lines, so that short arrows do not make names overlap and a chart reads without
colour.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from html import escape

from .charts import Style

WIDTH, HEIGHT = 360, 300
LEFT, TOP, BOTTOM = 38, 26, 48
NAMES_FROM = 258
"""Where the column of names begins; arrows end well before it."""
_GAP, _ROW = 18, 17
TEXT_PX = 13
"""Chosen so that the text keeps its size on a phone 390 pixels wide."""
_TICKS_APART = 34.0
_HEAD = 9.0


@dataclass(frozen=True)
class Plane:
    """Places in the chart's pixels of movements in its unit."""

    scale: float
    x0: float
    y0: float
    direction: int

    def at(self, across: float, up: float) -> tuple[float, float]:
        """The place in pixels."""
        return self.x0 + self.direction * across * self.scale, self.y0 - up * self.scale


def fit_plane(chain: Sequence[tuple[float, float]], direction: int, least: float) -> tuple[Plane, float]:
    """One scale for both axes, everything inside, and the step between marks."""
    wide, high = NAMES_FROM - _GAP - LEFT, HEIGHT - TOP - BOTTOM
    across, up = [direction * x for x, _ in chain], [y for _, y in chain]
    low_x, high_x, low_y, high_y = min(-least, *across), max(least, *across), min(-least, *up), max(least, *up)
    scale = 0.9 * min(wide / (high_x - low_x), high / (high_y - low_y))
    x0 = LEFT + wide / 2 - scale * (low_x + high_x) / 2
    y0 = TOP + high / 2 + scale * (low_y + high_y) / 2
    step = 10.0 ** math.floor(math.log10(_TICKS_APART / scale))
    step *= next(factor for factor in (1, 2, 5, 10, 20) if step * factor * scale >= _TICKS_APART)
    return Plane(scale, x0, y0, direction), step


def grid(plane: Plane, step: float) -> list[str]:
    """Lines and marks ``step`` apart, in the chart's unit."""
    right, bottom = NAMES_FROM - _GAP, HEIGHT - BOTTOM
    parts = []
    for k in range(
        math.ceil((LEFT - plane.x0) / (plane.scale * step)), math.floor((right - plane.x0) / (plane.scale * step)) + 1
    ):
        x = plane.x0 + k * step * plane.scale
        strong = "zero" if k == 0 else "grid"
        parts.append(f'<line class="{strong}" x1="{x:.1f}" x2="{x:.1f}" y1="{TOP}" y2="{bottom}"/>')
        parts.append(
            f'<text x="{x:.1f}" y="{bottom + 17}" text-anchor="middle">{_mark(k * plane.direction * step)}</text>'
        )
    for k in range(
        math.ceil((plane.y0 - bottom) / (plane.scale * step)), math.floor((plane.y0 - TOP) / (plane.scale * step)) + 1
    ):
        y = plane.y0 - k * step * plane.scale
        strong = "zero" if k == 0 else "grid"
        parts.append(f'<line class="{strong}" x1="{LEFT}" x2="{right}" y1="{y:.1f}" y2="{y:.1f}"/>')
        parts.append(f'<text x="{LEFT - 5}" y="{y + 4.5:.1f}" text-anchor="end">{_mark(k * step)}</text>')
    return parts


def _mark(value: float) -> str:
    value = round(value, 10) + 0.0
    return f"{value:+g}".replace("-", "−") if value else "0"


def axis_names(unit: str, ends: tuple[str, str], mirrored: bool) -> list[str]:
    """What up and the two ends across mean."""
    left, right = reversed(ends) if mirrored else ends
    low = f'class="end" y="{HEIGHT - 8}"'
    return [
        f'<text class="end" x="{LEFT - 30}" y="13">up, {escape(unit)}</text>',
        f'<text {low} x="{LEFT - 30}">← {escape(left)}</text>',
        f'<text {low} x="{WIDTH - 60}" text-anchor="end">{escape(right)}, {escape(unit)} →</text>',
    ]


def arrow_line(a: tuple[float, float], b: tuple[float, float], style: Style) -> str:
    """An arrow between two places in pixels."""
    length = math.hypot(b[0] - a[0], b[1] - a[1])
    if length < 0.1:
        return ""
    ux, uy = (b[0] - a[0]) / length, (b[1] - a[1]) / length
    head = min(_HEAD, 0.6 * length)
    neck = (b[0] - head * ux, b[1] - head * uy)
    dash = f' stroke-dasharray="{style.dash}"' if style.dash else ""
    half = 0.45 * head
    corners = (b, (neck[0] - half * uy, neck[1] + half * ux), (neck[0] + half * uy, neck[1] - half * ux))
    points = " ".join(f"{x:.1f},{y:.1f}" for x, y in corners)
    return (
        f'<line x1="{a[0]:.1f}" y1="{a[1]:.1f}" x2="{neck[0]:.1f}" y2="{neck[1]:.1f}" stroke="{style.colour}" '
        f'stroke-width="2.6"{dash}/><polygon points="{points}" fill="{style.colour}"/>'
    )


def ring(at: tuple[float, float]) -> str:
    """Where the head was at address."""
    return f'<circle cx="{at[0]:.1f}" cy="{at[1]:.1f}" r="5" fill="#fff" stroke="#1c252e" stroke-width="2"/>'


def dot(at: tuple[float, float]) -> str:
    """Where the head went."""
    return f'<circle cx="{at[0]:.1f}" cy="{at[1]:.1f}" r="5" fill="#1c252e" stroke="#fff" stroke-width="1"/>'


def names_beside(names: Sequence[str], middles: Sequence[tuple[float, float]]) -> list[str]:
    """Names from top to bottom as their arrows are, a row apart at least, each tied to its arrow's middle."""
    order = sorted(range(len(names)), key=lambda k: middles[k][1])
    rows: list[float] = []
    for k in order:
        rows.append(max(middles[k][1], rows[-1] + _ROW if rows else TOP + 6.0))
    last = HEIGHT - BOTTOM - 4.0
    for i in range(len(rows) - 1, -1, -1):
        rows[i] = min(rows[i], last)
        last = rows[i] - _ROW
    parts = []
    for k, y in zip(order, rows, strict=True):
        x, middle = middles[k]
        parts.append(
            f'<polyline points="{x:.1f},{middle:.1f} {NAMES_FROM - 12},{y:.1f} {NAMES_FROM - 3},{y:.1f}" fill="none" '
            f'stroke="#55616d" stroke-width="0.9" stroke-dasharray="2 2"/>'
            f'<circle cx="{x:.1f}" cy="{middle:.1f}" r="1.8" fill="#55616d"/>'
            f'<text x="{NAMES_FROM}" y="{y + 4.5:.1f}">{escape(names[k])}</text>'
        )
    return parts
