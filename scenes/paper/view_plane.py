"""The plane of a camera view as inline SVG: one scale both ways, marks, arrows, and their names in a column beside.

Names are tied to their arrows by thin lines, so that short arrows do not make names overlap and a chart reads without
colour.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from html import escape
from itertools import count

from .axes import TEXT_PX as TEXT_PX  # charts on this plane have the text of the others
from .axes import inside, with_sign
from .styles import Style

Place = tuple[float, float]

WIDTH, HEIGHT = 360, 300
LEFT, TOP, BOTTOM = 38, 26, 48
NAMES_FROM = 258
"""Where the column of names begins; arrows end well before it."""
ASIDE_PX = 6.0
"""How far an arrow is set aside that would lie on another one: they are then apart by more than their lines' width."""
_NEAR_PX, _MUCH = 4.0, 0.35
"""Arrows whose lines are nearer than this on more than this part of the shorter one lie on each other."""
_SHORTEST_PX = 2.0
"""A shorter arrow is a point: it hides nothing."""
_TRIED = 50
_GAP, _ROW = 18, 17
_TICKS_APART = 34.0
_HEAD = 9.0


@dataclass(frozen=True)
class Plane:
    """Places in the chart's pixels of movements in its unit."""

    scale: float
    x0: float
    y0: float
    direction: int

    def at(self, across: float, up: float) -> Place:
        """The place in pixels."""
        return self.x0 + self.direction * across * self.scale, self.y0 - up * self.scale


def fit_plane(chain: Sequence[Place], direction: int, least: float) -> tuple[Plane, float]:
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
    reach = math.ceil(max(WIDTH, HEIGHT) / (plane.scale * step))
    marks = [round(k * step, 10) for k in range(-reach, reach + 1)]
    parts = []
    # What is right in the chart is away from the target for a left-handed golfer.
    for mark in inside(marks, *sorted(plane.direction * (x - plane.x0) / plane.scale for x in (LEFT, right))):
        x, _ = plane.at(mark, 0.0)
        parts.append(
            f'<line class="{_kind(mark)}" x1="{x:.1f}" x2="{x:.1f}" y1="{TOP}" y2="{bottom}"/>'
            f'<text class="upright" x="{x:.1f}" y="{bottom + 17}" text-anchor="middle">{with_sign(mark)}</text>'
        )
    for mark in inside(marks, (plane.y0 - bottom) / plane.scale, (plane.y0 - TOP) / plane.scale):
        _, y = plane.at(0.0, mark)
        parts.append(
            f'<line class="{_kind(mark)}" x1="{LEFT}" x2="{right}" y1="{y:.1f}" y2="{y:.1f}"/>'
            f'<text class="level" x="{LEFT - 5}" y="{y + 4.5:.1f}" text-anchor="end">{with_sign(mark)}</text>'
        )
    return parts


def _kind(mark: float) -> str:
    return "grid" if mark else "zero"


def axis_names(unit: str, ends: tuple[str, str], mirrored: bool) -> list[str]:
    """What up and the two ends across mean."""
    left, right = reversed(ends) if mirrored else ends
    low = f'class="end" y="{HEIGHT - 8}"'
    return [
        f'<text class="end" x="{LEFT - 30}" y="13">up, {escape(unit)}</text>',
        f'<text {low} x="{LEFT - 30}">← {escape(left)}</text>',
        f'<text {low} x="{WIDTH - 60}" text-anchor="end">{escape(right)}, {escape(unit)} →</text>',
    ]


def set_aside(arrows: Sequence[tuple[Place, Place]]) -> list[tuple[Place, Place]]:
    """Arrows in pixels, each moved sideways just as far as it must be to lie on none before it.

    Args:
        arrows: where each begins and ends; several may begin at one place or go there and back.
    """
    placed: list[tuple[Place, Place]] = []
    for arrow in arrows:
        tried = (_moved(arrow, side * step * ASIDE_PX) for step in count() for side in (1, -1))
        placed.append(next(one for one in tried if not any(_on_each_other(one, other) for other in placed)))
    return placed


def _moved(arrow: tuple[Place, Place], aside: float) -> tuple[Place, Place]:
    (x1, y1), (x2, y2) = arrow
    length = math.hypot(x2 - x1, y2 - y1)
    if length < _SHORTEST_PX:
        return arrow
    dx, dy = -(y2 - y1) / length * aside, (x2 - x1) / length * aside
    return (x1 + dx, y1 + dy), (x2 + dx, y2 + dy)


def _on_each_other(one: tuple[Place, Place], other: tuple[Place, Place]) -> bool:
    """Whether two arrows run so near each other, on much of the shorter one's way, that one hides the other."""
    (x1, y1), (x2, y2) = one
    length = math.hypot(x2 - x1, y2 - y1)
    if min(length, math.dist(*other)) < _SHORTEST_PX:
        return False
    ux, uy = (x2 - x1) / length, (y2 - y1) / length
    (s1, d1), (s2, d2) = sorted(((x - x1) * ux + (y - y1) * uy, (y - y1) * ux - (x - x1) * uy) for x, y in other)
    low, high = max(0.0, s1), min(length, s2)
    if high <= low:
        return False
    # Along the stretch that they share, how far apart they are changes evenly.
    tried = [d1 + (low + (high - low) * (k + 0.5) / _TRIED - s1) / (s2 - s1) * (d2 - d1) for k in range(_TRIED)]
    near = sum(abs(apart) < _NEAR_PX for apart in tried) / _TRIED * (high - low)
    return near > _MUCH * min(length, math.dist(*other))


def arrow_line(a: Place, b: Place, style: Style, name: str = "") -> str:
    """An arrow between two places in pixels, named so that it can be found by its name."""
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
        f'<g class="arrow" data-name="{escape(name)}">'
        f'<line x1="{a[0]:.1f}" y1="{a[1]:.1f}" x2="{neck[0]:.1f}" y2="{neck[1]:.1f}" stroke="{style.colour}" '
        f'stroke-width="2.6"{dash}/><polygon points="{points}" fill="{style.colour}"/></g>'
    )


def ring(at: Place) -> str:
    """Where the head was at address."""
    return _circle("ring", at, 'fill="#fff" stroke="#1c252e" stroke-width="2"')


def diamond(at: Place) -> str:
    """Where the head is wanted, if elsewhere."""
    x, y = at
    path = f"M{x:.1f} {y - 7:.1f}L{x + 7:.1f} {y:.1f}L{x:.1f} {y + 7:.1f}L{x - 7:.1f} {y:.1f}Z"
    return f'<path class="diamond" d="{path}" fill="#fff" stroke="#1c252e" stroke-width="2"/>'


def dot(at: Place) -> str:
    """Where the head went."""
    return _circle("dot", at, 'fill="#1c252e" stroke="#fff" stroke-width="1"')


def _circle(kind: str, at: Place, drawn: str) -> str:
    return f'<circle class="{kind}" cx="{at[0]:.1f}" cy="{at[1]:.1f}" r="5" {drawn}/>'


def names_beside(names: Sequence[str], middles: Sequence[Place]) -> list[str]:
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
            f'<text class="name" x="{NAMES_FROM}" y="{y + 4.5:.1f}">{escape(names[k])}</text>'
        )
    return parts
