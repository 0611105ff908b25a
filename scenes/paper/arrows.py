"""Arrows head to tail as inline SVG: each piece's part of a movement, adding up to where the head went."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from .axes import svg
from .styles import Style
from .view_plane import (
    HEIGHT,
    WIDTH,
    Place,
    Plane,
    arrow_line,
    axis_names,
    dot,
    fit_plane,
    grid,
    names_beside,
    ring,
    set_aside,
)

if TYPE_CHECKING:
    from markupsafe import Markup


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
) -> Markup:
    """A chart of arrows that add up. One that would lie on another is set aside, so that there and back both show.

    Args:
        title: what is shown, for the description.
        unit: of the arrows, written on both axes.
        arrows: in the order they are joined.
        ends: what the two ends of the axis across mean, negative and positive.
        mirrored: positive across points left, as this view shows a left-handed golfer.
        least: the chart spans at least this much to each side of the start, so that a still head looks still.
    """
    chain = [(0.0, 0.0)]
    for arrow in arrows:
        chain.append((chain[-1][0] + arrow.across, chain[-1][1] + arrow.up))
    plane, step = fit_plane(chain, -1 if mirrored else 1, least)
    places = [plane.at(*place) for place in chain]
    drawn = set_aside(list(pairwise(places)))
    parts = [*grid(plane, step), *axis_names(unit, ends, mirrored), _net(plane, chain[-1])]
    parts += [arrow_line(a, b, arrow.style, arrow.name) for arrow, (a, b) in zip(arrows, drawn, strict=True)]
    parts += names_beside([arrow.name for arrow in arrows], [((a[0] + b[0]) / 2, (a[1] + b[1]) / 2) for a, b in drawn])
    parts += [ring(places[0]), dot(places[-1])]
    told = "; ".join(f"{a.name} {a.across:+.1f} across, {a.up:+.1f} up" for a in arrows) or "no piece moves it"
    total = f"together {chain[-1][0]:+.1f} across ({ends[1]} positive), {chain[-1][1]:+.1f} up"
    return svg(parts, f"{title}, {unit}: {told}; {total}.", WIDTH, HEIGHT)


def _net(plane: Plane, end: Place) -> str:
    (x1, y1), (x2, y2) = plane.at(0.0, 0.0), plane.at(*end)
    return (
        f'<line x1="{x1:.1f}" y1="{y1:.1f}" x2="{x2:.1f}" y2="{y2:.1f}" stroke="#b9c0c7" stroke-width="9" '
        'stroke-linecap="round" opacity="0.6"/>'
    )
