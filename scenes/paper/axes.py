"""The axes under every chart: two scales, grid, marks and names, and the lines drawn on them, as inline SVG."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from html import escape
from typing import TYPE_CHECKING

from .styles import Style, marker

if TYPE_CHECKING:
    from markupsafe import Markup

WIDTH, HEIGHT = 360, 250
LEFT, RIGHT, TOP, BOTTOM = 46, 12, 14, 44
TEXT_PX = 13
"""Chosen so that the text keeps its size on a phone 390 pixels wide."""
_NEAR_THE_END_PX = 8


def ticks(low: float, high: float, most: int = 6) -> list[float]:
    """Round numbers that span a range: steps of 1, 2 or 5 times a power of ten, zero among them if inside."""
    span = max(high - low, 1e-9)
    step = 10.0 ** math.floor(math.log10(span / most))
    step *= next(factor for factor in (1, 2, 5, 10, 20) if span / (step * factor) <= most - 1)
    first, last = math.floor(low / step), math.ceil(high / step)
    return [round(k * step, 10) + 0.0 for k in range(first, last + 1)]


def inside(marks: Sequence[float], low: float, high: float) -> list[float]:
    """The marks from ``low`` to ``high``."""
    slack = 1e-9 * (high - low)
    return [mark for mark in marks if low - slack <= mark <= high + slack]


@dataclass(frozen=True)
class Scale:
    """Pixels of a chart for values: ``low`` is drawn at ``start`` and ``high`` at ``end``."""

    low: float
    high: float
    start: float
    end: float

    def __call__(self, value: float) -> float:
        """The value's place, pixels."""
        return self.start + (value - self.low) / (self.high - self.low) * (self.end - self.start)


@dataclass(frozen=True)
class Axes:
    """Two scales in one frame.

    Attributes:
        x: to the right.
        y: upward, so its ``start`` is the lower end.
    """

    x: Scale
    y: Scale

    @classmethod
    def of(cls, x_range: tuple[float, float], y_range: tuple[float, float]) -> Axes:
        """Axes in a chart of the usual size."""
        return cls(Scale(*x_range, LEFT, WIDTH - RIGHT), Scale(*y_range, HEIGHT - BOTTOM, TOP))

    def levels(self, marks: Sequence[float], text: Callable[[float], str]) -> list[str]:
        """Lines across at values of y, each with its number; zero is stronger."""
        parts = []
        for mark in marks:
            at = self.y(mark)
            kind = "zero" if mark == 0 else "grid"
            parts.append(
                f'<line class="{kind}" x1="{self.x.start}" x2="{self.x.end}" y1="{at:.1f}" y2="{at:.1f}"/>'
                f'<text class="level" x="{self.x.start - 6}" y="{at + 4.5:.1f}" text-anchor="end">'
                f"{escape(text(mark))}</text>"
            )
        return parts

    def uprights(self, marks: Sequence[float], text: Callable[[float], str]) -> list[str]:
        """Lines up at values of x, each with its number below; the last one stays inside the chart."""
        parts = []
        for mark in marks:
            at = self.x(mark)
            end = at > self.x.end - _NEAR_THE_END_PX
            parts.append(
                f'<line class="grid" x1="{at:.1f}" x2="{at:.1f}" y1="{self.y.end}" y2="{self.y.start}"/>'
                f'<text class="upright" x="{at + (RIGHT - 2 if end else 0):.1f}" y="{self.y.start + 18}" '
                f'text-anchor="{"end" if end else "middle"}">{escape(text(mark))}</text>'
            )
        return parts

    def x_name(self, words: str) -> str:
        """What the axis to the right shows."""
        middle = (self.x.start + self.x.end) / 2
        return f'<text x="{middle}" y="{self.y.start + 38}" text-anchor="middle">{escape(words)}</text>'

    def y_ends(self, ends: tuple[str, str], unit: str) -> list[str]:
        """What the upper and the lower end of the axis upward mean."""
        return [
            f'<text class="end" x="{self.x.start + 6}" y="{y}">{escape(end)}, {escape(unit)}</text>'
            for end, y in zip(ends, (self.y.end + 11, self.y.start - 6), strict=True)
        ]

    def course(self, name: str, x: Sequence[float], y: Sequence[float], style: Style) -> str:
        """A line through places, named so that it can be found by its name."""
        points = " ".join(f"{self.x(a):.1f},{self.y(b):.1f}" for a, b in zip(x, y, strict=True))
        dash = f' stroke-dasharray="{style.dash}"' if style.dash else ""
        return (
            f'<polyline data-name="{escape(name)}" points="{points}" fill="none" stroke="{style.colour}" '
            f'stroke-width="2.4"{dash}/>'
        )

    def marker(self, style: Style, x: float, y: float) -> str:
        """A style's marker at a place."""
        return marker(style, self.x(x), self.y(y))


def svg(parts: Sequence[str], told: str, width: float = WIDTH, height: float = HEIGHT) -> Markup:
    """A chart as an ``svg`` element.

    Args:
        parts: SVG, what comes from outside escaped already.
        told: what it shows, for who cannot see it.
        width: CSS pixels.
        height: CSS pixels.
    """
    from markupsafe import Markup

    return Markup(
        f'<svg class="chart" viewBox="0 0 {width} {height}" role="img" aria-label="{escape(told)}" '
        f'font-size="{TEXT_PX}">{"".join(parts)}</svg>'
    )


def plain(value: float) -> str:
    """A mark's number."""
    return f"{value:g}".replace("-", "\N{MINUS SIGN}")


def with_sign(value: float) -> str:
    """A mark's number with its sign; zero has none."""
    return f"{value:+g}".replace("-", "\N{MINUS SIGN}") if value else "0"
