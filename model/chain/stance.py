"""The posture at address: the legs solved at zero turn, the whole body balanced over the middle of the feet."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from ..arrays import Array, BoolArray
from ..batch import Batch, Frame, Rows
from ..errors import TurnstillError
from ..golfer.body import Body
from ..numeric.rotations import from_turn_tilt_bend
from . import head, lower_body, mass, spine, trunk
from .figure import Figure, build, lumbosacral_place
from .girdle import Girdle, shoulder_line_turn
from .hold import take_hold
from .legs import KNEES, LEAD_KNEE, LEG_OUTPUTS, PELVIS_BEND, PLACE, TOWARD_BALL, Legs
from .lower_body import LegLimits, LowerBody
from .reach import Hold
from .trunk import RoundedBox

_STEPS = 12
BALANCED = 1e-4
"""m: how near the centre of mass comes to the middle of the feet."""
ENOUGH_HEIGHT = 0.8
"""Of the straight leg: how high the hips are in the stance that is advised where legs do not reach; lower, average hips
do not spread (38.8 degrees of abduction, see ``ranges``)."""


@dataclass(frozen=True)
class Stance(Batch):
    """A balanced address of ``B`` golfers.

    Attributes:
        lower: their legs.
        figure: the whole figure.
        ribcage_angles: ``(3, B)`` rad, turn, tilt and bend achieved.
        gaze: ``(B, 3, 3)`` head_to_world.
        hold: arms and club.
        trunk_stopped: ``(B,)`` whether the trunk's range keeps the ribcage from where it was asked.
        balanced: ``(B,)`` whether the centre of mass stands over the middle of the feet.
        converged: ``(B,)``.
    """

    lower: LowerBody
    figure: Figure
    ribcage_angles: Rows
    gaze: Frame
    hold: Hold
    trunk_stopped: BoolArray
    balanced: BoolArray
    converged: BoolArray


def stand(body: Body, address: Mapping[str, Array], arms: Mapping[str, Array], limits: LegLimits) -> Stance:
    """Balance flat bodies on their feet.

    Args:
        body: ``B`` bodies.
        address: names of ``turnstill.model.golfer.address.ADDRESS`` to ``(B,)`` rad or m.
        arms: names of ``turnstill.model.golfer.arm_swing.ARM_SWING`` to ``(B,)`` rad or m.
        limits: their ranges of motion.
    """
    count = body.stature.size
    flare = np.array([address["lead_flare"], address["trail_flare"]])
    legs = lower_body.planted(body, flare, address["stance_width"], np.zeros_like(flare))
    reference = np.zeros((16, count))
    reference[2 * LEG_OUTPUTS.index("knee_flexion") :][:2] = address["knee_flex"]
    asked = np.zeros((8, count))
    asked[PELVIS_BEND], asked[KNEES] = address["pelvis_bend"], address["knee_flex"]
    asked[TOWARD_BALL] = -0.05
    # A little of everything in hand, so that the first step of the solver is inside every range.
    start = np.zeros((8, count))
    start[KNEES] = address["knee_flex"].clip(np.radians(2.0), np.radians(60.0))
    _check_reach(body, address, legs, start)
    slope = np.full((2, count), 0.75)
    stance = _on(body, address, arms, limits, legs, asked, reference, start)
    miss = _off_balance(body, stance)
    for _ in range(_STEPS):
        if np.abs(miss).max(initial=0.0) < 0.1 * BALANCED:
            break
        # Secant in each direction alone: the pelvis carries most of the mass, so the two hardly mix.
        # Who stands balanced stays put, so that a golfer's address does not depend on his neighbours'.
        step = np.where(np.abs(miss) < 0.1 * BALANCED, 0.0, (-miss / slope).clip(-0.1, 0.1))
        asked[PLACE] = asked[PLACE] + step
        stance = _on(body, address, arms, limits, legs, asked, reference, stance.lower.q)
        before, miss = miss, _off_balance(body, stance)
        moved = np.abs(step) > 1e-6
        slope = np.where(moved, ((miss - before) / np.where(moved, step, 1.0)).clip(0.3, 1.5), slope)
    balanced = np.abs(miss).max(axis=0) < BALANCED
    return replace(stance, balanced=balanced)


def _check_reach(body: Body, address: Mapping[str, Array], legs: Legs, start: Array) -> None:
    """Refuse feet that the legs do not reach from hips above their middle.

    Raises:
        TurnstillError: with how wide these legs can stand.
    """
    _, _, closed = legs.close(start)
    if closed.all():
        return
    at = int(np.argmin(closed))
    height = ENOUGH_HEIGHT * (legs.thigh + legs.shank)
    aside = np.sqrt(np.maximum(legs.length(start[LEAD_KNEE]) ** 2 - height**2, 0.0))
    thigh, shank, hips, stance, leg = (
        100.0 * float(value[at])
        for value in (legs.thigh, legs.shank, body.lengths["hip_joint_width"], address["stance_width"], aside)
    )
    raise TurnstillError(
        f"Legs of {thigh:.4g} cm and {shank:.4g} cm on hips {hips:.4g} cm apart do not reach feet {stance:.4g} cm "
        f"apart with knees flexed by {np.degrees(address['knee_flex'][at]):.0f} deg; set a stance_width of at most "
        f"{np.floor(hips + 2.0 * leg):.0f} cm."
    )


def _on(
    body: Body, address: Mapping[str, Array], arms: Mapping[str, Array], limits: LegLimits, legs: Legs, asked: Array,
    reference: Array, start: Array,
) -> Stance:  # fmt: skip
    """The figure with the pelvis asked to be somewhere."""
    zero = np.zeros_like(body.stature)
    lower = lower_body.solve(legs, limits, asked, reference, start)
    wanted = np.array([zero, -address["side_bend"], address["forward_bend"]])
    angles, stopped, converged = trunk.nearest(lower.pelvis, wanted, RoundedBox.of(body.ranges, "trunk"))
    ribcage = from_turn_tilt_bend(*angles)
    base = lumbosacral_place(body, lower.pelvis, lower.pelvis_centre)
    column = spine.bend(lower.pelvis, ribcage, base, body.lengths["spine"])
    neck_base = column.centres[..., -1, :]
    girdle = Girdle.of(body, ribcage, neck_base, zero, zero)
    turned = shoulder_line_turn(ribcage, zero)
    hold = take_hold(body.lengths, girdle, address["ball_position"], address["club_length"], turned, arms)
    gaze = head.facing(ribcage, neck_base, hold.ball, head.Neck.of(body))
    figure = build(body, lower, ribcage, zero, gaze, hold, column)
    nobody = np.zeros(zero.shape, dtype=bool)
    return Stance(lower, figure, angles, gaze, hold, stopped, nobody, lower.converged & converged)


def _off_balance(body: Body, stance: Stance) -> Array:
    """``(2, B)`` m: centre of mass from the middle of the feet, toward the ball and toward the target."""
    centre = mass.centre_of_mass(stance.figure.skeleton, body)
    lead, trail = mass.foot_middles(stance.figure.skeleton)
    return np.asarray((centre - 0.5 * (lead + trail))[..., :2].T)
