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
from ..golfer.address import Address
from ..golfer.body import Body
from ..golfer.head_place import HeadPlace
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
        strain: ``(..., len(STRAINED))`` of each joint angle at the top: the share of this body's range in use, from
            upright standing (zero) to that end of the range to which the joint is turned (one). Toward straight the
            knee counts from its flexion at address, since it is straight in upright standing.
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
    def largest_strain(self) -> Array:
        """``(...)`` of the joint nearest to an end of its range: one where any joint of the legs is at an end.

        A sum over joints, or a turn counted from the address, can fall while a joint runs into its limit: one that is
        jammed has not moved far, and spares the others.
        """
        return np.asarray(self.strain.max(axis=-1))

    @property
    def converged(self) -> BoolArray:
        """``(...)`` whether every solver met its tolerance, and the address its balance."""
        return np.asarray(self.available.converged & self.swing.converged.all(axis=-1) & self.swing.address_balanced)


def experiment(
    body: Body, address: Address, pieces: Pieces, left_handed: bool = False, head: HeadPlace | None = None
) -> Experiment:
    """Try steps that differ in anything: arrays in body, address or pieces, all of one batch shape.

    Args:
        body: bodies of batch shape ``(...)``.
        address: how they stand.
        pieces: what they do by the top; for the most hip turn available, their hip turn is not used.
        left_handed: mirror the figures.
        head: where they want it at the top; where it was at address unless said.

    Raises:
        TurnstillError: what cannot be simulated.
    """
    swing = simulate(body, address, pieces, frames=2, left_handed=left_handed, head=head)
    batch = swing.met.shape[:-1]
    demand, end = _directions(swing)
    return Experiment(
        available=most_hip_turn(body, address, pieces).broadcast(batch),
        swing=swing,
        strain=np.stack([_share_of_range(swing, name) for name in STRAINED], axis=-1),
        demand=demand,
        end=end,
    )


def _share_of_range(swing: Swing, name: str) -> Array:
    """Share ``(...)`` of its range that a joint angle uses at the top."""
    at_address, angle = swing.joint_angles[name][..., 0], swing.joint_angles[name][..., -1]
    low, high = (end[..., -1] for end in swing.joint_ranges[name])
    if name.endswith("knee_flexion"):
        return np.maximum(angle / high, 1.0 - angle / np.maximum(at_address, 1e-9))
    return np.where(angle >= 0.0, angle / high, angle / low)


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
