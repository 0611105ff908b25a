"""A map drawn by matplotlib, which is loaded only here: filled contours that read in grey, as SVG."""

from __future__ import annotations

import io
from collections.abc import Sequence
from typing import Any

import numpy as np

from ...model.arrays import Array
from ...model.chain.steady import STILL_M
from ...model.golfer.pieces import PIECES
from ..paper.charts import ticks
from ..words.cautions import spoken
from ..words.units import CM_PER_INCH, length_unit
from .labels import label_places
from .work import Mapped, traced

WIDTH_IN, HEIGHT_IN, TEXT_PT = 3.75, 3.6, 9.5
"""360 CSS pixels wide with text of 13, so that the text keeps its size on a phone 390 pixels wide."""
SHADES = "cividis"
"""Its lightness only grows, so that it reads in grey, and it was made for colour-blind readers."""
INK, EDGE, PAPER = "#1c252e", "#b34700", "#ffffff"
MOST_LEVELS = 11


def drawing(mapped: Mapped, what: str, inches: bool = False) -> str:
    """One panel: the head's movement over the two pieces, with the still band, the reach, the swing and steady.

    Args:
        mapped: the map.
        what: ``toward_target``, ``up`` or ``toward_ball``.
        inches: lengths in inches.

    Returns:
        An ``svg`` document.
    """
    from matplotlib import patheffects, rc_context
    from matplotlib.backends.backend_svg import FigureCanvasSVG
    from matplotlib.figure import Figure

    found = mapped.found
    x, y = (_shown(mapped, k, values, inches) for k, values in enumerate((found.x_values, found.y_values)))
    moved: Array = getattr(found, what) * (100.0 / CM_PER_INCH if inches else 100.0)
    style: Any = {
        "font.size": TEXT_PT,
        "font.family": "DejaVu Sans",
        "svg.hashsalt": "turnstill",
        "hatch.linewidth": 0.7,
    }
    with rc_context(style):
        figure = Figure(figsize=(WIDTH_IN, HEIGHT_IN), layout="constrained")
        axes: Any = figure.add_subplot()
        levels = _levels(moved)
        axes.contourf(x, y, moved, levels=levels, cmap=SHADES)
        lines = axes.contour(x, y, moved, levels=levels[1:-1], colors=INK, linewidths=0.8)
        clear = [*_reach(axes, mapped, x, y), *_band(axes, mapped, inches), *_places(axes, mapped, inches)]
        axes.set(xlim=(x[0], x[-1]), ylim=(y[0], y[-1]), xlabel=_axis(found.x, inches), ylabel=_axis(found.y, inches))
        light = patheffects.withStroke(linewidth=2.2, foreground=PAPER)
        places = label_places(lines.allsegs, np.concatenate(clear), x, y)
        for level, place in zip(lines.levels, places, strict=True):
            if place is not None:
                text = axes.text(*place, _signed(level), fontsize=TEXT_PT - 1, ha="center", va="center", zorder=4)
                text.set_path_effects([light])
        out = io.StringIO()
        canvas: Any = FigureCanvasSVG(figure)
        canvas.print_svg(out, metadata={"Date": None, "Creator": None})
    return out.getvalue()


def _reach(axes: Any, mapped: Mapped, x: Array, y: Array) -> list[Array]:
    """Hatch what the joints do not allow; returns the pieces ``(K, 2)`` of its boundary."""
    reached = mapped.found.reached
    if reached.all():
        return []
    axes.contourf(x, y, reached.astype(float), levels=[-0.5, 0.5], colors="none", hatches=["////"])
    return _line(axes, x, y, reached.astype(float), 0.5, ((PAPER, 3.4), (INK, 1.6))) if reached.any() else []


def _band(axes: Any, mapped: Mapped, inches: bool) -> list[Array]:
    """Draw the edge of the still band; returns its pieces ``(K, 2)``."""
    fine_x, fine_y, off = traced(mapped.found)
    if not (off <= STILL_M).any():
        return []
    x, y = (_shown(mapped, k, values, inches) for k, values in enumerate((fine_x, fine_y)))
    return _line(axes, x, y, np.ma.masked_invalid(off), STILL_M, ((PAPER, 4.2), (EDGE, 2.2)))


def _line(
    axes: Any, x: Array, y: Array, values: Array, level: float, strokes: Sequence[tuple[str, float]]
) -> list[Array]:
    for colour, width in strokes:
        drawn = axes.contour(x, y, values, levels=[level], colors=colour, linewidths=width, zorder=3)
    return [np.asarray(piece) for piece in drawn.allsegs[0]]


def _places(axes: Any, mapped: Mapped, inches: bool) -> list[Array]:
    """Mark this swing, and what holds the head where the map has it; returns the places ``(1, 2)``."""
    found = mapped.found
    marks = [(found.place, "o", 9, 1.6), *([(found.steady, "*", 7, 0.9)] if mapped.shows_steady else [])]
    places = []
    for at, sign, size, edge in marks:
        place = [float(_shown(mapped, k, at[k], inches)) for k in (0, 1)]
        axes.plot(
            *place, marker=sign, markersize=size, color=PAPER, markeredgecolor=INK, markeredgewidth=edge, zorder=6,
            linestyle="none",
        )  # fmt: skip
        places.append(np.array([place]))
    return places


def _shown(mapped: Mapped, k: int, values: Array, inches: bool) -> Array:
    """Amounts of the piece across (0) or upward (1) in the unit asked for."""
    piece = (mapped.found.x, mapped.found.y)[k]
    amounts = mapped.in_unit(piece, values)
    return np.asarray(amounts / CM_PER_INCH if inches and PIECES[piece].unit == "cm" else amounts)


def _axis(piece: str, inches: bool) -> str:
    unit = "°" if PIECES[piece].unit == "deg" else length_unit(inches)
    return f"{spoken(piece)}, {unit}"


def _levels(values: Array) -> list[float]:
    low, high = float(values.min()), float(values.max())
    marks = ticks(low, high, MOST_LEVELS)
    return marks if len(marks) > 2 else [marks[0] - 1.0, *marks, marks[-1] + 1.0]


def _signed(value: float) -> str:
    return f"{value:+g}".replace("-", "−") if abs(value) > 1e-9 else "0"
