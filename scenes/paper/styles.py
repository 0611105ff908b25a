"""How swings and pieces are told apart in charts: by dash and marker as well as by colour, so that grey prints read."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from ...render.palette import FIRST_SWING, SECOND_SWING, css

if TYPE_CHECKING:
    from markupsafe import Markup


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
    Style(css(FIRST_SWING), "", "circle"),
    Style(css(SECOND_SWING), "7 4", "square"),
    Style("#4d6b00", "2 3", "triangle"),
    Style("#6d3f8c", "10 3 2 3", "diamond"),
    Style("#4a4a4a", "4 2", "cross"),
    Style("#b0307e", "1 2", "ring"),
)
"""Of swings side by side, the first two in the colours that mean them everywhere. None is the colour of what is shown
now or of what is too much (``render/palette.py``)."""


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


def key(style: Style) -> Markup:
    """A short piece of the line with its marker, for a legend."""
    from markupsafe import Markup

    dash = f' stroke-dasharray="{style.dash}"' if style.dash else ""
    return Markup(
        '<svg class="key" viewBox="0 0 44 14" width="44" height="14" aria-hidden="true">'
        f'<line x1="1" x2="43" y1="7" y2="7" stroke="{style.colour}" stroke-width="2.4"{dash}/>'
        f"{marker(style, 22, 7)}</svg>"
    )
