"""Where the swings of the page end at first."""

from __future__ import annotations

from collections.abc import Sequence

from ..setups.options import IMPACT, TOP, goes_through_impact
from ..setups.presets import Setup
from ..setups.quantities import IMPACT_SECTION


def asks_of_impact(setup: Setup) -> bool:
    """Whether a swing says anything of impact, which up to the top nobody would see."""
    return bool(setup.section(IMPACT_SECTION))


def first_end(through: str | None, setups: Sequence[Setup]) -> str:
    """As ``--through`` says it; where it says nothing, on to impact if any of the swings asks something of it."""
    if through is None:
        return IMPACT if any(map(asks_of_impact, setups)) else TOP
    goes_through_impact(through)
    return through
