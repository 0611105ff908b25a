"""One thing tried in steps: what it does to the hip turn there is, to what stops it, and to the swing at the top.

Any field of body, address or pieces may be an array; every step is a member of the batch, and all of them are solved
together.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..arrays import Array, BoolArray
from ..batch import Batch, Vector
from ..chain.legs import LEG_OUTPUTS
from ..chain.lower_body import LegLimits
from ..golfer.address import Address
from ..golfer.body import Body
from ..golfer.pieces import Pieces
from ..golfer.ranges import SIDES
from ..swing.simulate import simulate
from ..swing.swing import Swing
from .available import Available, most_hip_turn

STRAINED: tuple[str, ...] = tuple(
    f"{side}_{name}" for name in LEG_OUTPUTS if name != "shin_share_of_range" for side in SIDES
)
"""Joint angles whose strain counts."""


@dataclass(frozen=True)
class Experiment(Batch):
    """What came of every step; the batch shape is ``...``.

    Attributes:
        available: the most hip turn, and what stops it.
        swing: the swing of each step, two moments: address and top.
        strain: ``(..., len(STRAINED))`` of each joint angle at the top: ((angle - at address) / half range)^2. Half
            ranges are those of the published means, so they stay when a golfer's own range is what is tried.
        demand: ``(..., len(LEG_LIMITS))`` rad, how far the joint is turned at the top in the direction of that range's
            end.
        end: ``(..., len(LEG_LIMITS))`` rad, where that range ends at the top (tibial rotation opens with the knee).
    """

    available: Available
    swing: Swing
    strain: Vector
    demand: Vector
    end: Vector

    @property
    def total_strain(self) -> Array:
        """``(...)`` of both legs together: what the model keeps least where what is asked leaves a choice."""
        return np.asarray(self.strain.sum(axis=-1))

    @property
    def converged(self) -> BoolArray:
        """``(...)`` whether every solver met its tolerance, and the address its balance."""
        return np.asarray(self.available.converged & self.swing.converged.all(axis=-1) & self.swing.address_balanced)


def experiment(body: Body, address: Address, pieces: Pieces, left_handed: bool = False) -> Experiment:
    """Try steps that differ in anything: arrays in body, address or pieces, all of one batch shape.

    Args:
        body: bodies of batch shape ``(...)``.
        address: how they stand.
        pieces: what they do by the top; for the most hip turn available, their hip turn is not used.
        left_handed: mirror the figures.

    Raises:
        TurnstillError: what cannot be simulated.
    """
    swing = simulate(body, address, pieces, frames=2, left_handed=left_handed)
    batch = swing.met.shape[:-1]
    limits = LegLimits.of(body.flat(batch))
    half = np.stack([limits.half[_row(name)].reshape(batch) for name in STRAINED], axis=-1)
    angles = np.stack([swing.joint_angles[name] for name in STRAINED], axis=-1)
    demand, end = _directions(swing)
    return Experiment(
        available=most_hip_turn(body, address, pieces).broadcast(batch),
        swing=swing,
        strain=((angles[..., -1, :] - angles[..., 0, :]) / half) ** 2,
        demand=demand,
        end=end,
    )


def _row(name: str) -> int:
    """Place of a joint angle among the legs' sixteen."""
    side, output = name.split("_", 1)
    return 2 * LEG_OUTPUTS.index(output) + SIDES.index(side)


def _directions(swing: Swing) -> tuple[Array, Array]:
    """How far each joint goes toward each end of its range at the top, and where that is, in LEG_LIMITS' order."""
    demand, end = [], []
    for name in (output for output in LEG_OUTPUTS if output != "shin_internal_rotation"):
        # Tibial rotation is ranged through its share of a range that opens with the knee.
        angle = "shin_internal_rotation" if name == "shin_share_of_range" else name
        for side in SIDES:
            turned, (low, high) = swing.joint_angles[f"{side}_{angle}"][..., -1], swing.joint_ranges[f"{side}_{angle}"]
            demand += [-turned, turned]
            end += [np.broadcast_to(-low, swing.met.shape)[..., -1], np.broadcast_to(high, swing.met.shape)[..., -1]]
    return np.stack(demand, axis=-1), np.stack(end, axis=-1)
