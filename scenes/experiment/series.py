"""How the page's lines are drawn: a colour is one measure's, and what stops the hips is told by the marker alone."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from ...render.palette import INK, css
from ..paper.styles import Style, marker

if TYPE_CHECKING:
    from markupsafe import Markup

    from .report import StepReport

_INK = css(INK)
_TARGET = Style("#1b4f8a", "", "circle")
_BALL = Style("#b0307e", "7 4", "ring")
SERIES: dict[str, Style] = {
    "head_toward_target_cm": _TARGET,
    "head_toward_ball_cm": _BALL,
    "head_up_cm": Style("#2b6e4f", "2 3", "triangle"),
    "pelvis_toward_target_cm": _TARGET,
    "pelvis_toward_ball_cm": _BALL,
    "lead_knee_flex_deg": Style("#6d3f8c", "", "diamond"),
    "trail_knee_flex_deg": Style("#7a5c00", "7 4", "square"),
    "belt_line_tilt_deg": Style("#00646b", "", "circle"),
    "inclination_deg": Style("#4a4a4a", "4 2", "cross"),
    "strain": Style(_INK, "", "circle"),
}
"""A way looks the same for head and pelvis; no line has a colour that means something in the pictures."""
TURNS = {"available_hip_turn_deg": Style(_INK, "", "circle"), "hip_turn_deg": Style(_INK, "2 5", "cross")}
_STOP_MARKERS = ("circle", "square", "triangle", "ring", "diamond", "cross")


def stop_styles(steps: Sequence[StepReport]) -> dict[tuple[str, ...], Style]:
    """A marker for each set of ranges that stops the turn; the rarest share the last."""
    sets = dict.fromkeys(tuple(step.limited_by) for step in steps)
    last = len(_STOP_MARKERS) - 1
    return {names: Style(_INK, "", _STOP_MARKERS[min(k, last)]) for k, names in enumerate(sets)}


def mark_key(style: Style) -> Markup:
    """A marker alone, for a legend."""
    return _key(14, marker(style, 7, 7))


def line_key(style: Style) -> Markup:
    """A line alone, for a legend."""
    return _key(44, f'<line x1="1" x2="43" y1="7" y2="7" stroke="{style.colour}" stroke-width="2.4"/>')


def _key(width: int, drawn: str) -> Markup:
    from markupsafe import Markup

    return Markup(
        f'<svg class="key" viewBox="0 0 {width} 14" width="{width}" height="14" aria-hidden="true">{drawn}</svg>'
    )
