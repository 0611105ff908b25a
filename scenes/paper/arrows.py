"""Arrows head to tail as inline SVG: each piece's part of a movement, adding up to where the head went."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from html import escape

from .charts import Style
from .view_plane import (
    HEIGHT,
    TEXT_PX,
    WIDTH,
    Plane,
    arrow_line,
    axis_names,
    dot,
    fit_plane,
    grid,
    names_beside,
    ring,
)


@dataclass(frozen=True)
class Arrow:
    """One piece's part, in the chart's unit.

    Attributes:
        name: a word or two.
        across: toward the target or the ball.
        up: upward.
        style: its colour and dash.
    """

    name: str
    across: float
    up: float
    style: Style


def arrows_chart(
    title: str, unit: str, arrows: Sequence[Arrow], ends: tuple[str, str], *, mirrored: bool = False, least: float = 1.0
) -> str:
    """A chart of arrows that add up.

    Args:
        title: what is shown, for the description.
        unit: of the arrows, written on both axes.
        arrows: in the order they are joined.
        ends: what the two ends of the axis across mean, negative and positive.
        mirrored: positive across points left, as this view shows a left-handed golfer.
        least: the chart spans at least this much to each side of the start, so that a still head looks still.

    Returns:
        An ``svg`` element.
    """
    chain = [(0.0, 0.0)]
    for arrow in arrows:
        chain.append((chain[-1][0] + arrow.across, chain[-1][1] + arrow.up))
    plane, step = fit_plane(chain, -1 if mirrored else 1, least)
    parts = [*grid(plane, step), *axis_names(unit, ends, mirrored), _net(plane, chain[-1])]
    middles = []
    for arrow, start, end in zip(arrows, chain, chain[1:], strict=False):
        a, b = plane.at(*start), plane.at(*end)
        parts.append(arrow_line(a, b, arrow.style))
        middles.append(((a[0] + b[0]) / 2, (a[1] + b[1]) / 2))
    parts += names_beside([arrow.name for arrow in arrows], middles)
    parts += [ring(plane.at(0.0, 0.0)), dot(plane.at(*chain[-1]))]
    told = "; ".join(f"{a.name} {a.across:+.1f} across, {a.up:+.1f} up" for a in arrows) or "no piece moves it"
    total = f"together {chain[-1][0]:+.1f} across ({ends[1]} positive), {chain[-1][1]:+.1f} up"
    return (
        f'<svg class="chart" viewBox="0 0 {WIDTH} {HEIGHT}" role="img" '
        f'aria-label="{escape(f"{title}, {unit}: {told}; {total}.")}" font-size="{TEXT_PX}">{"".join(parts)}</svg>'
    )


def _net(plane: Plane, end: tuple[float, float]) -> str:
    (x1, y1), (x2, y2) = plane.at(0.0, 0.0), plane.at(*end)
    return (
        f'<line x1="{x1:.1f}" y1="{y1:.1f}" x2="{x2:.1f}" y2="{y2:.1f}" stroke="#b9c0c7" stroke-width="9" '
        'stroke-linecap="round" opacity="0.6"/>'
    )
