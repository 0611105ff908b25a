"""What the page's module is told of how the stage lights and the pictures mark, so that each number stands once."""

from __future__ import annotations

from typing import Any

from ..figure.club import BALL_RADIUS_M
from ..palette import ADDRESS, HALO, INK, NOW, PLUMB_LINE, css
from ..pictures.marks import HALO_PX, LINE_PX
from ..stage.layers import FILL_OPACITY, LEAST_UNIT, LIGHT_PX, OUTLINE_PX, OUTLINE_REACH
from ..stage.light import BALL_MATTER, FIGURE_MATTER, Light
from ..stage.scenery import (
    ARROW_HALF_M,
    ARROW_M,
    FADE_FROM_M,
    FADE_TO_M,
    LINE_AHEAD_M,
    LINE_BEHIND_M,
    LINE_GAP_M,
    LINE_HALF_M,
    LINE_OPACITY,
    STEEP_FROM,
    STEEP_TO,
)

SHADOW_SD_M = 0.015
"""Of the shadow's edge on the ground: what the stage's is in a picture that shows a golfer whole."""


def drawing_settings() -> dict[str, Any]:
    """The object that ``draw.js`` and ``marks.js`` are given, ready for JSON."""
    light = Light()
    return {
        "lamps": [{"toward": lamp.toward, "strength": lamp.strength} for lamp in light.lamps()],
        "matter": FIGURE_MATTER._asdict(),
        "ballMatter": BALL_MATTER._asdict(),
        "ballRadius": BALL_RADIUS_M,
        "sun": light.sun,
        "shadowDepth": light.shadow_depth,
        "shadowSoftness": SHADOW_SD_M,
        "fades": [FADE_FROM_M, FADE_TO_M, STEEP_FROM, STEEP_TO],
        "line": [LINE_HALF_M, LINE_BEHIND_M, LINE_GAP_M, LINE_AHEAD_M],
        "arrow": [ARROW_HALF_M, ARROW_M, LINE_OPACITY],
        "outline": {
            "blur": OUTLINE_REACH * OUTLINE_PX, "dark": OUTLINE_PX, "light": LIGHT_PX, "opacity": FILL_OPACITY,
            "leastUnit": LEAST_UNIT, "ink": INK, "address": ADDRESS,
        },
        "marks": {
            "line": LINE_PX, "edge": HALO_PX, "now": css(NOW), "address": css(ADDRESS), "ink": css(INK),
            "halo": css(HALO), "plumb": css(PLUMB_LINE),
        },
    }  # fmt: skip
