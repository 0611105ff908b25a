"""A map drawn by matplotlib, which is loaded only here: shades and lines that read in grey, as SVG."""

from __future__ import annotations

import io
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

import numpy as np

from ...model.arrays import Array
from ..paper.axes import with_sign
from ..words.cautions import spoken
from ..words.measures import MEASURES
from ..words.units import CM_PER_INCH, length_unit
from .labels import label_places
from .shades import AWAY, BAND, TOWARD, ZERO, marks
from .work import traced

if TYPE_CHECKING:
    from matplotlib.figure import Figure

    from .report import MapAxis, MapReport

WIDTH_IN, HEIGHT_IN, TEXT_PT = 3.75, 3.6, 9.5
"""360 CSS pixels wide with text of 13, so that the text keeps its size on a phone 390 pixels wide."""
FRAME = (0.19, 0.145, 0.79, 0.835)
"""The map inside its panel, as parts of its sides (left, bottom, width, height), with room for marks such as -12.5."""
INK, EDGE, PAPER = "#1c252e", "#6a1fa0", "#ffffff"
THIS_SWING, STEADY = "this-swing", "steady"
"""Names of the marks in the SVG."""


def drawing(report: MapReport, measure: str, inches: bool = False) -> str:
    """One panel: the head over the two pieces, from where it is wanted, with still band, reach, this swing and steady.

    Args:
        report: the map.
        measure: one of the report's grids of the head.
        inches: lengths in inches.

    Returns:
        An ``svg`` document.
    """
    from matplotlib import rc_context
    from matplotlib.backends.backend_svg import FigureCanvasSVG

    with rc_context(_style()):
        out = io.StringIO()
        canvas: Any = FigureCanvasSVG(panel(report, measure, inches))
        canvas.print_svg(out, metadata={"Date": None, "Creator": None})
    return out.getvalue()


def _style() -> Any:
    return {
        "font.size": TEXT_PT,
        "font.family": "DejaVu Sans",
        "svg.hashsalt": "turnstill",
        "hatch.linewidth": 0.7,
    }


def panel(report: MapReport, measure: str, inches: bool) -> Figure:
    """The panel as matplotlib holds it, its axes in the units that are shown."""
    from matplotlib.figure import Figure

    figure = Figure(figsize=(WIDTH_IN, HEIGHT_IN))
    axes: Any = figure.add_axes(FRAME)
    x, y = (_shown(axis, axis.values, inches) for axis in report.axes)
    scale = 1.0 / CM_PER_INCH if inches else 1.0
    moved = report.from_wanted(MEASURES[measure].key) * scale
    levels = _shades(axes, x, y, moved, report.still_within_cm * scale)
    lines = axes.contour(x, y, moved, levels=levels, colors=INK, linewidths=0.7, linestyles="solid")
    clear = [*_reach(axes, report, x, y), *_band(axes, report, x, y), *_places(axes, report, inches)]
    axes.set(xlim=(x[0], x[-1]), ylim=(y[0], y[-1]), xlabel=_name(report.x, inches), ylabel=_name(report.y, inches))
    _labels(axes, levels, lines.allsegs, clear)
    return figure


def _shades(axes: Any, x: Array, y: Array, moved: Array, still: float) -> list[float]:
    """Shade how far the head moved; returns where lines are drawn: where shades change, and where it did not move."""
    steps = marks(still)
    # Past the last mark the shade stays; and contours need levels that ascend.
    bounds = [*(-step for step in reversed([*steps, np.inf])), *steps, np.inf]
    ends = np.clip(bounds, min(moved.min(), -steps[-1]) - 1.0, max(moved.max(), steps[-1]) + 1.0)
    axes.contourf(x, y, moved, levels=ends, colors=[*reversed(AWAY), ZERO, *TOWARD])
    round_ones = steps[1:]
    return [*(-step for step in reversed(round_ones)), 0.0, *round_ones]


def _reach(axes: Any, report: MapReport, x: Array, y: Array) -> list[Array]:
    """Hatch what the joints do not allow; returns the pieces ``(K, 2)`` of its boundary."""
    reached = np.array(report.reached)
    if reached.all():
        return []
    axes.contourf(x, y, reached.astype(float), levels=[-0.5, 0.5], colors="none", hatches=["////"])
    return _line(axes, x, y, reached.astype(float), 0.5, INK, 1.6) if reached.any() else []


def _band(axes: Any, report: MapReport, x: Array, y: Array) -> list[Array]:
    """Draw the still band and its edge; returns its pieces ``(K, 2)``."""
    target, up = (report.from_wanted(measure) for measure in ("head_toward_target_cm", "head_up_cm"))
    fine_x, fine_y, off = traced(x, y, target, up, np.array(report.reached))
    still = report.still_within_cm
    if not (off <= still).any():
        return []
    known = np.ma.masked_invalid(off)
    axes.contourf(fine_x, fine_y, known, levels=[0.0, still], colors=[BAND], zorder=2.5)
    return _line(axes, fine_x, fine_y, known, still, EDGE, 2.8)


def _line(axes: Any, x: Array, y: Array, values: Array, level: float, colour: str, width: float) -> list[Array]:
    """Draw a line of one level with light around it; returns its pieces ``(K, 2)``."""
    drawn = axes.contour(x, y, values, levels=[level], colors=colour, linewidths=width, zorder=3)
    drawn.set_path_effects(_light(width))
    return [np.asarray(piece) for piece in drawn.allsegs[0]]


def _light(width: float) -> list[Any]:
    """Light around what is drawn so wide, so that it reads on any shade."""
    from matplotlib import patheffects

    return [patheffects.withStroke(linewidth=width + 2.2, foreground=PAPER)]


def _places(axes: Any, report: MapReport, inches: bool) -> list[Array]:
    """Mark this swing, and what holds the head where the map has it; returns the places ``(1, 2)``."""
    signs = [(THIS_SWING, [axis.this_swing for axis in report.axes], "o", 9, 1.6)]
    if report.held_by:
        signs.append((STEADY, [axis.steady for axis in report.axes], "*", 7, 0.9))
    places = []
    for name, at, sign, size, edge in signs:
        place = [float(_shown(axis, [amount], inches)[0]) for axis, amount in zip(report.axes, at, strict=True)]
        axes.plot(
            *place, marker=sign, markersize=size, color=PAPER, markeredgecolor=INK, markeredgewidth=edge, zorder=6,
            linestyle="none", gid=name,
        )  # fmt: skip
        places.append(np.array([place]))
    return places


def _labels(axes: Any, levels: Sequence[float], lines: Sequence[Sequence[Array]], clear: Sequence[Array]) -> None:
    """Say of every line how far the head is there, each once, clear of what else is drawn."""
    low, high = np.array([axes.get_xlim(), axes.get_ylim()])
    places = label_places(lines, np.concatenate(clear), low, high)
    for level, place in zip(levels, places, strict=True):
        if place is not None:
            text = axes.text(*place, with_sign(level), fontsize=TEXT_PT - 1, ha="center", va="center", zorder=4)
            text.set_path_effects(_light(0.0))


def _shown(axis: MapAxis, amounts: Sequence[float], inches: bool) -> Array:
    """Amounts of an axis in the unit asked for."""
    return np.array(amounts) / (CM_PER_INCH if inches and axis.unit == "cm" else 1.0)


def _name(axis: MapAxis, inches: bool) -> str:
    unit = "°" if axis.unit == "deg" else length_unit(inches)
    return f"{spoken(axis.piece)}, {unit}"
