"""A drawing per view as inline SVG: where the head was read, and where each candidate by itself would take it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ..paper.arrows import Arrow
from ..paper.axes import svg
from ..paper.view_plane import (
    BOTTOM,
    HEIGHT,
    LEFT,
    NAMES_FROM,
    TOP,
    WIDTH,
    Place,
    Plane,
    arrow_line,
    axis_names,
    diamond,
    fit_plane,
    grid,
    names_beside,
    ring,
)

if TYPE_CHECKING:
    from markupsafe import Markup

_READ = "#1c252e"
_BAND = "#dde2e6"
_GAP = 18


@dataclass(frozen=True)
class Read:
    """Where the head was read, in the chart's unit; None where it was not.

    Attributes:
        across: toward the target or the ball.
        across_sd: its uncertainty.
        up: upward.
        up_sd: its uncertainty.
    """

    across: float | None
    across_sd: float
    up: float | None
    up_sd: float


def head_drawing(
    title: str,
    unit: str,
    read: Read,
    arrows: Sequence[Arrow],
    ends: tuple[str, str],
    *,
    mirrored: bool,
    least: float,
    wanted: Place = (0.0, 0.0),
) -> Markup:
    """The head as read, and arrows from where it is wanted.

    Args:
        title: the view, for the description.
        unit: of everything, written on both axes.
        read: where the head was read.
        arrows: one a candidate, all from where the head is wanted.
        ends: what the two ends of the axis across mean, negative and positive.
        mirrored: positive across points left, as this view shows a left-handed golfer.
        least: the drawing spans at least this much to each side.
        wanted: where the head is wanted, across and up from where it was at address.
    """
    right, high = wanted
    corners = [(0.0, 0.0), wanted, *((right + arrow.across, high + arrow.up) for arrow in arrows)]
    for side in (-1.0, 1.0):
        corners.append(
            (
                0.0 if read.across is None else read.across + side * read.across_sd,
                0.0 if read.up is None else read.up + side * read.up_sd,
            )
        )
    plane, step = fit_plane(corners, -1 if mirrored else 1, least)
    start = plane.at(*wanted)
    parts = [_where(plane, read), *grid(plane, step), *axis_names(unit, ends, mirrored)]
    names, middles = [], []
    for arrow in arrows:
        tip = plane.at(right + arrow.across, high + arrow.up)
        parts.append(arrow_line(start, tip, arrow.style, arrow.name))
        names.append(arrow.name)
        # Tied near the tip, where arrows from one place are apart.
        middles.append((start[0] + 0.8 * (tip[0] - start[0]), start[1] + 0.8 * (tip[1] - start[1])))
    parts.append(ring(plane.at(0.0, 0.0)))
    if elsewhere := wanted != (0.0, 0.0):
        parts.append(diamond(start))
        names.append("wanted")
        middles.append(start)
    if (point := _point(read)) is not None:
        at = plane.at(*point)
        parts.append(_cross(*at))
        names.append("as read")
        middles.append(at)
    parts += names_beside(names, middles)
    meant = f"; it is wanted {right:+.1f} across, {high:+.1f} up" if elsewhere else ""
    return svg(parts, f"{title}, {unit}: {_told(read, arrows, ends)}{meant}.", WIDTH, HEIGHT)


def _point(read: Read) -> tuple[float, float] | None:
    if read.across is None or read.up is None:
        return None
    return read.across, read.up


def _where(plane: Plane, read: Read) -> str:
    """How far reading may be off: an ellipse, or a band where only one way was read."""
    right, bottom = NAMES_FROM - _GAP, HEIGHT - BOTTOM
    look = f'data-name="as read" fill="{_BAND}" stroke="{_READ}" stroke-width="1" stroke-dasharray="2 2"'
    if read.across is not None and read.up is not None:
        x, y = plane.at(read.across, read.up)
        rx, ry = read.across_sd * plane.scale, read.up_sd * plane.scale
        return f'<ellipse cx="{x:.1f}" cy="{y:.1f}" rx="{rx:.1f}" ry="{ry:.1f}" {look}/>'
    if read.across is not None:
        x, _ = plane.at(read.across, 0.0)
        wide = read.across_sd * plane.scale
        return f'<rect x="{x - wide:.1f}" y="{TOP}" width="{2 * wide:.1f}" height="{bottom - TOP}" {look}/>'
    if read.up is not None:
        _, y = plane.at(0.0, read.up)
        high = read.up_sd * plane.scale
        return f'<rect x="{LEFT}" y="{y - high:.1f}" width="{right - LEFT}" height="{2 * high:.1f}" {look}/>'
    return ""


def _cross(x: float, y: float) -> str:
    return f'<path d="M{x - 6:.1f} {y:.1f}h12M{x:.1f} {y - 6:.1f}v12" stroke="{_READ}" stroke-width="2.4"/>'


def _told(read: Read, arrows: Sequence[Arrow], ends: tuple[str, str]) -> str:
    across = "not read across" if read.across is None else f"read {read.across:+.1f} across ({ends[1]} positive)"
    up = "not read up" if read.up is None else f"{read.up:+.1f} up"
    own = "; ".join(f"{a.name} by itself {a.across:+.1f} across, {a.up:+.1f} up" for a in arrows)
    return f"the head was {across}, {up}{'; ' if own else ''}{own}"
