"""What is said where a swing is asked something of impact, and what is told of it ends at the top."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .quantities import IMPACT_SECTION

if TYPE_CHECKING:
    from .presets import Setup

TOP_ALONE = (
    "What this swing is asked at impact has no part here, where it ends at the top: turnstill strike and turnstill "
    "simulate --through impact tell what comes of it."
)


def top_alone(setup: Setup, *, through_impact: bool = False) -> list[str]:
    """That what is asked at impact does not show, where something is and the swing does not go there; else nothing."""
    return [TOP_ALONE] if setup.section(IMPACT_SECTION) and not through_impact else []
