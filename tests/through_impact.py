"""Swings through impact, drawn at random: golfers' own, and ones that ask at impact for more than bodies can."""

from __future__ import annotations

import numpy as np

from turnstill.model import Address, Body, Pieces, Steady, Swing, simulate
from turnstill.model.arrays import Array
from turnstill.model.golfer.head_place import HeadPlace
from turnstill.model.golfer.impact import Impact, centred_at_impact


def drawn_at_impact(rng: np.random.Generator, count: int) -> Pieces:
    """Pieces at impact, from those of golfers to those that no body can do."""

    def between(low: float, high: float, unit: float = np.pi / 180.0) -> Array:
        return rng.uniform(low, high, count) * unit

    return Pieces(
        hip_turn=between(-60, 10), shoulder_turn=between(-50, 15), tilt=Steady(between(-15, 15)),
        extension=Steady(between(-15, 15)), lead_flex_change=between(-25, 15), trail_flex_change=between(-10, 25),
        sway=between(-15, 8, 0.01), hips_toward_ball=between(-6, 10, 0.01), trail_heel_rise=between(0, 6, 0.01),
    )  # fmt: skip


def swings(seed: int, count: int, frames: int = 11, wild: bool = False) -> Swing:
    """``count`` swings of bodies and addresses drawn, the head wanted elsewhere at the top and at impact."""
    rng = np.random.default_rng(seed)
    body, address = Body.draw(rng, count), Address.draw(rng, count)
    top, ball = (HeadPlace(*rng.uniform(-0.03, 0.03, (2, count))) for _ in range(2))
    pieces = drawn_at_impact(rng, count) if wild else centred_at_impact()
    impact = Impact(pieces, hands_ahead=rng.uniform(0.0, 0.1, count), head=ball)
    return simulate(body, address, Pieces.draw(rng, count), frames=frames, impact=impact, head=top)
