"""Small line charts: how swings go to the top or on to impact, and how measures change with what was tried."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ..words.moments import AT_IMPACT, AT_TOP, moment_name
from .axes import Axes, inside, plain, svg, ticks, with_sign
from .styles import Style

if TYPE_CHECKING:
    from markupsafe import Markup

COURSE_MARKERS, MARKERS_DOWN, MOST_MARKERS = 5, 2, 15
"""Along a swing's course, up to the top and after it: enough to follow the line without hiding it. On a curve: more
would run into each other."""


@dataclass(frozen=True)
class Line:
    """One line of a chart.

    Attributes:
        name: its short name.
        values: in the chart's unit, as long as the chart's x.
        style: how it is drawn.
        markers: a style for the marker of every value, so that kinds of values can be told apart; ``style``'s own if
            not given.
    """

    name: str
    values: Sequence[float]
    style: Style
    markers: Sequence[Style] | None = None


def course_chart(
    title: str, unit: str, progress: Sequence[float], lines: Sequence[Line], ends: tuple[str, str], least: float = 1.0
) -> Markup:
    """A chart of something against the progress of the backswing, or of the swing up to impact.

    Args:
        title: what is shown, for the description.
        unit: of the values, written on the axis.
        progress: ``M`` shares of the backswing, 0 at address to 1 at the top; or on to 2 at impact.
        lines: the swings, ``M`` values each.
        ends: what up and down on the axis mean.
        least: the axis reaches at least this far to both sides of zero, so that a still head looks still.
    """
    every = [value for line in lines for value in line.values]
    marks = ticks(min(-least, *every), max(least, *every))
    last = len(progress) - 1
    goes_on = progress[last] > AT_TOP
    top = list(progress).index(AT_TOP) if goes_on else last
    axes = Axes.of((0.0, AT_IMPACT if goes_on else AT_TOP), (marks[0], marks[-1]))
    parts = axes.levels(marks, with_sign)
    if goes_on:
        parts += [
            *axes.uprights((0.0, AT_TOP, AT_IMPACT), moment_name),
            axes.x_name("up to the top, and down to impact"),
        ]
    else:
        parts += axes.uprights((0.0, 0.25, 0.5, 0.75, 1.0), lambda share: f"{share:.0%}")
        parts.append(axes.x_name("backswing done, address to top"))
    parts += axes.y_ends(ends, unit)
    up = {round(k * top / (COURSE_MARKERS - 1)) for k in range(COURSE_MARKERS)}
    shown = sorted(up | {top + round(k * (last - top) / MARKERS_DOWN) for k in range(MARKERS_DOWN + 1)})
    for line in lines:
        parts.append(axes.course(line.name, progress, line.values, line.style))
        parts += [axes.marker(line.style, progress[k], line.values[k]) for k in shown]
    if goes_on:
        told = "; ".join(
            f"{line.name} is at {line.values[top]:+.1f} {unit} at the top and {line.values[last]:+.1f} {unit} at impact"
            for line in lines
        )
        return svg(parts, f"{title} from address to the top and on to impact: {told}.")
    told = "; ".join(f"{line.name} ends at {line.values[-1]:+.1f} {unit}" for line in lines)
    return svg(parts, f"{title} against progress of the backswing: {told}.")


def curve_chart(
    title: str, unit: str, x_name: str, x: Sequence[float], lines: Sequence[Line], least: float, *, zero: bool = False
) -> Markup:
    """A chart of measures against what was tried.

    Args:
        title: what is shown, for the description.
        unit: of the values; may be empty.
        x_name: what was tried, with its unit.
        x: its values.
        lines: what is shown.
        least: the axis spans at least this much, so that what hardly changes looks so.
        zero: whether the axis begins at or spans zero.
    """
    every = [value for line in lines for value in line.values] + ([0.0] if zero else [])
    low, high = min(every), max(every)
    if (spare := least - (high - low)) > 0.0:
        # To both sides; but an axis that begins at zero goes on from there.
        below = 0.0 if zero and low == 0.0 < high else spare if zero and low < 0.0 == high else spare / 2
        low, high = low - below, high + spare - below
    marks = ticks(low, high)
    axes = Axes.of((min(x), max(x)), (marks[0], marks[-1]))
    parts = axes.levels(marks, plain)
    parts += [*axes.uprights(inside(ticks(min(x), max(x), 7), min(x), max(x)), plain), axes.x_name(x_name)]
    for line in lines:
        parts.append(axes.course(line.name, x, line.values, line.style))
        count = len(line.values)
        for k in sorted({*range(0, count, -(-count // MOST_MARKERS)), count - 1}):
            parts.append(axes.marker(line.markers[k] if line.markers else line.style, x[k], line.values[k]))
    told = "; ".join(f"{c.name} from {c.values[0]:.1f} to {c.values[-1]:.1f} {unit}".rstrip() for c in lines)
    return svg(parts, f"{title} against {x_name}: {told}.")
