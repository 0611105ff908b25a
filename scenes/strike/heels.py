"""Heels as told to rise at impact: no departure, so the centred swing that a swing is held against has the same."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from ...model.golfer.pieces import HEELS
from ..setups.set_otherwise import usual_at_impact
from ..words.cautions import listed
from ..words.units import told_length

if TYPE_CHECKING:
    from .report import StruckSwing


def heels_sentence(swing: StruckSwing, inches: bool = False) -> str:
    """Of heels told otherwise than usual: that the centred swing has them too; empty of usual ones."""
    told = _told(swing)
    other = {key: cm for key, cm in told.items() if cm != _usual()[key]}
    if not other:
        return ""
    heels = listed(
        [
            f"{_CALLED[key]} {told_length(cm, inches)} (usually {told_length(_usual()[key], inches)})"
            for key, cm in other.items()
        ]
    )
    return (
        f"At impact this swing is told to have the {heels} off the ground, and so has the centred swing that it is "
        "held against: no share is the heels’, though they move the arc of both."
    )


def each_by_its_heels(swings: Sequence[StruckSwing], inches: bool = False) -> list[str]:
    """Of swings whose heels are told apart: that each is held against a centred swing of its own; else nothing."""
    told = [_told(swing) for swing in swings]
    apart = [key for key in _CALLED if len({one[key] for one in told}) > 1]
    if not apart:
        return []
    each = "; ".join(
        f"{swing.preset} {listed([f'{_CALLED[key]} {told_length(heels[key], inches)}' for key in apart])}"
        for swing, heels in zip(swings, told, strict=True)
    )
    return [f"Each is held against its own centred swing, with heels off the ground as told at impact: {each}."]


_CALLED = {f"{name}_cm": name.removesuffix("_rise").replace("_", " ") for name in HEELS}
"""Keys of heels at impact, in words."""


def _usual() -> dict[str, float]:
    usual = usual_at_impact()
    return {key: float(str(usual[key])) for key in _CALLED}


def _told(swing: StruckSwing) -> dict[str, float]:
    """How high a swing's heels are told to rise at impact, cm."""
    return {key: float(swing.impact.get(key, usual)) for key, usual in _usual().items()}
