"""What the signs and shades on a map mean."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..paper.axes import with_sign
from ..words.golfer import is_wanted_elsewhere
from ..words.units import CM_PER_INCH, length_unit
from .drawing import EDGE, INK
from .shades import AWAY, TOWARD, ZERO, marks
from .words import held_words, steady_words, still_words, this_swing_words

if TYPE_CHECKING:
    from markupsafe import Markup

    from .report import MapReport

_STAR = "17,1 19.1,6.6 25,6.8 20.4,10.4 22,16.2 17,12.9 12,16.2 13.6,10.4 9,6.8 14.9,6.6"
_SWATCH, _HIGH = 25, 15
"""Pixels of a shade, across and upward; numbers stand below where two meet."""


def legend(report: MapReport, inches: bool = False) -> list[tuple[Markup, str]]:
    """Every sign on the map, drawn, and what it means.

    Args:
        report: the map.
        inches: lengths in inches.
    """
    hatch = "".join(f'<path d="M{a} 17 L{a + 9} 1" stroke="{INK}" stroke-width="1"/>' for a in (-2, 5, 12, 19, 26))
    where = "is wanted" if is_wanted_elsewhere(report.head_held) else "was"
    swing = (
        _sign(f'<circle cx="17" cy="9" r="5" fill="#fff" stroke="{INK}" stroke-width="2"/>'),
        f"this swing: {this_swing_words(report, inches)}",
    )
    steady = (
        _sign(f'<polygon points="{_STAR}" fill="#fff" stroke="{INK}" stroke-width="1.6"/>'),
        f"{held_words(report)} for this swing's turn: {steady_words(report, inches)}",
    )
    return [
        swing,
        *([steady] if report.held_by else []),
        (
            _sign(f'<path d="M1 9 H33" stroke="{EDGE}" stroke-width="3.4"/>'),
            f"edge of the still band, which is white: {still_words(report, inches)}",
        ),
        (_sign(hatch), "the joints do not allow it; what is shown is the nearest that they allow"),
        (
            _sign(f'<path d="M1 9 H33" stroke="{INK}" stroke-width="2"/>'),
            "how far the joints reach: where to stop, not a place to go",
        ),
        (
            _ramp(report, inches),
            f"{length_unit(inches)} from where the head {where}, in the direction that a map is of",
        ),
    ]


def _sign(drawn: str) -> Markup:
    from markupsafe import Markup

    return Markup(f'<svg class="sign" viewBox="0 0 34 18" width="34" height="18" aria-hidden="true">{drawn}</svg>')


def _ramp(report: MapReport, inches: bool) -> Markup:
    """Every shade in a row, with where it begins."""
    from markupsafe import Markup

    shades = [*reversed(AWAY), ZERO, *TOWARD]
    steps = marks(report.still_within_cm / (CM_PER_INCH if inches else 1.0))
    # The still band's own half width has no number: the line above says it in words.
    bounds = [*(-step for step in reversed(steps)), *steps]
    parts = [
        f'<rect x="{k * _SWATCH}" y="0" width="{_SWATCH}" height="{_HIGH}" fill="{colour}"/>'
        for k, colour in enumerate(shades)
    ]
    parts += [
        f'<text x="{(k + 1) * _SWATCH}" y="{_HIGH + 14}" text-anchor="middle">{with_sign(bound)}</text>'
        for k, bound in enumerate(bounds)
        if abs(bound) != steps[0]
    ]
    width, height = len(shades) * _SWATCH, _HIGH + 18
    return Markup(
        f'<svg class="ramp" viewBox="0 0 {width} {height}" width="{width}" height="{height}" font-size="12" '
        f'aria-hidden="true">{"".join(parts)}</svg>'
    )
