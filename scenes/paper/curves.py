"""Small charts of anything against anything tried, as inline SVG in the manner of ``charts``."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from html import escape

from .charts import BOTTOM, HEIGHT, LEFT, RIGHT, TEXT_PX, TOP, WIDTH, Style, marker, ticks

MOST_MARKERS = 15
"""More of them on one curve would run into each other."""


@dataclass(frozen=True)
class Curve:
    """One curve.

    Attributes:
        name: its short name, for the description.
        values: in the chart's unit, as long as the chart's x.
        style: how it is drawn.
        markers: a style for the marker of every value, so that kinds of values can be told apart; ``style``'s own if
            not given.
    """

    name: str
    values: Sequence[float]
    style: Style
    markers: Sequence[Style] | None = None


def _inside(marks: Sequence[float], low: float, high: float) -> list[float]:
    slack = 1e-9 * (high - low)
    return [mark for mark in marks if low - slack <= mark <= high + slack]


def curve_chart(
    title: str, unit: str, x_name: str, x: Sequence[float], curves: Sequence[Curve], least: float, *, zero: bool = False
) -> str:
    """A chart of measures against what was tried.

    Args:
        title: what is shown, for the description.
        unit: of the values, written on the axis; may be empty.
        x_name: what was tried, with its unit.
        x: its values.
        curves: what is shown.
        least: the axis spans at least this much, so that what hardly changes looks so.
        zero: whether the axis begins at or spans zero.

    Returns:
        An ``svg`` element.
    """
    every = [value for curve in curves for value in curve.values] + ([0.0] if zero else [])
    middle, span = (max(every) + min(every)) / 2, max(least, max(every) - min(every))
    low, high = (min(every), max(every)) if max(every) - min(every) >= least else (middle - span / 2, middle + span / 2)
    marks = ticks(low, high)
    low, high = marks[0], marks[-1]
    left, right = min(x), max(x)

    def across(value: float) -> float:
        return LEFT + (value - left) / (right - left) * (WIDTH - LEFT - RIGHT)

    def up(value: float) -> float:
        return TOP + (high - value) / (high - low) * (HEIGHT - TOP - BOTTOM)

    parts = []
    for mark in marks:
        kind = "zero" if mark == 0 else "grid"
        parts.append(f'<line class="{kind}" x1="{LEFT}" x2="{WIDTH - RIGHT}" y1="{up(mark):.1f}" y2="{up(mark):.1f}"/>')
        parts.append(f'<text x="{LEFT - 9}" y="{up(mark) + 4.5:.1f}" text-anchor="end">{_number(mark)}</text>')
    for mark in _inside(ticks(left, right, 7), left, right):
        at = across(mark)
        end = at > WIDTH - RIGHT - 8
        parts.append(f'<line class="grid" x1="{at:.1f}" x2="{at:.1f}" y1="{TOP}" y2="{HEIGHT - BOTTOM}"/>')
        parts.append(
            f'<text x="{at + (RIGHT - 2 if end else 0):.1f}" y="{HEIGHT - BOTTOM + 18}" '
            f'text-anchor="{"end" if end else "middle"}">{_number(mark)}</text>'
        )
    middle_x = LEFT + (WIDTH - LEFT - RIGHT) / 2
    parts.append(f'<text x="{middle_x}" y="{HEIGHT - 6}" text-anchor="middle">{escape(x_name)}</text>')
    for curve in curves:
        points = " ".join(f"{across(a):.1f},{up(v):.1f}" for a, v in zip(x, curve.values, strict=True))
        dash = f' stroke-dasharray="{curve.style.dash}"' if curve.style.dash else ""
        parts.append(
            f'<polyline points="{points}" fill="none" stroke="{curve.style.colour}" stroke-width="2.4"{dash}/>'
        )
        count = len(curve.values)
        chosen = sorted({*range(0, count, -(-count // MOST_MARKERS)), count - 1})
        for k in chosen:
            style = curve.markers[k] if curve.markers else curve.style
            parts.append(marker(style, across(x[k]), up(curve.values[k])))
    told = "; ".join(f"{c.name} from {c.values[0]:.1f} to {c.values[-1]:.1f} {unit}".rstrip() for c in curves)
    return (
        f'<svg class="chart" viewBox="0 0 {WIDTH} {HEIGHT}" role="img" '
        f'aria-label="{escape(f"{title} against {x_name}: {told}.")}" font-size="{TEXT_PX}">{"".join(parts)}</svg>'
    )


def _number(value: float) -> str:
    return f"{value:g}".replace("-", "−")
