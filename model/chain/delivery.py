"""How the arms bring the club back to the ball, relative to the chest.

In a centred swing the club meets the ball with the hands so far ahead and the wrists so hinged as is asked. There lead
arm and club turn about one axis fixed in the chest, as in the double pendulum of Cochran & Stobbs (1968, The Search for
the Perfect Swing; from memory): the arm steadily, the club held back and let go late; and the palms come to face the
target. The axis is square to where the clubhead then goes, and leaned so that this golfer's clubhead travels along the
target line. How steeply it travels and where its arc bottoms out are results.

From the top, wherever the way up has brought them, arm and club go to impact by their angles about that axis
(`turning`). Every swing of a body gets the same arms relative to the chest once what was off at the top is given back.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..arrays import Array
from ..batch import Batch
from ..golfer.impact import given_back, pace_at_impact, share_of_way
from ..numeric.vectors import cross, norm, vector
from .carried import Carried
from .girdle import Girdle
from .lie import Held, lie, unit
from .reach import Hold, hands_given, in_girdle, in_world, way_up
from .turning import Axis, Pose

LATE, QUICK = 0.935, 5.5
"""At which way the club catches up fastest with the arm, and how sudden that is (our choice; that it is held back, and
let go late, is common practice). It goes on to pass the arm by less than half of what it lagged behind."""
ARM_THROUGH = float(np.radians(4.0))
"""Coefficient of how far the lead arm swings on across the chest past the ball, `swung_through` (our choice)."""
TRAIL_UNCOCKED = float(np.radians(25.0))
"""How much nearer to the shaft the trail hand lies at impact than at address (searched for with its elbow)."""
_RELEASE_RATE = float(
    QUICK / np.cosh(QUICK * (1.0 - LATE)) ** 2 / (np.tanh(QUICK * (1.0 - LATE)) + np.tanh(QUICK * LATE))
)
"""Slope of `release` at impact."""
_TARGET = np.array([0.0, 1.0, 0.0])
_ROUNDS = 4
"""How often the axis is found anew for how fast arm and club turn about it, which hardly depends on it."""


@dataclass(frozen=True)
class Delivery(Batch):
    """How ``N`` golfers bring the club to the ball.

    Attributes:
        hold: how they held the club at address.
        axis: about which arm and club turn at impact.
        far: ``(N,)`` m, from the lead shoulder, nothing drawn, to the lead hand's grip at impact.
        top: arm and club at a full swing of the arms.
        ball: at impact.
        uncocked: ``(N,)`` rad, by how much the wrists are hinged less at impact than at address.
        hands_ahead: ``(N,)`` m, of the ball at impact: as asked, or the nearest to it that there is.
    """

    hold: Hold
    axis: Axis
    far: Array
    top: Pose
    ball: Pose
    uncocked: Array
    hands_ahead: Array

    @classmethod
    def of(cls, hold: Hold, girdle: Girdle, ball_on_chest: Array, hands_ahead: Array, hinge: Array) -> Delivery:
        """What brings the club to the ball of golfers who stand centred at impact.

        The grip lies where shoulder, grip and ball make a triangle with the ``hinge`` outside at the grip, ahead of the
        ball by ``hands_ahead``, on the body's side. Such grips make a circle about the line from ball to shoulder,
        whose ends are as far ahead or behind as hands can be.

        Args:
            hold: club and ball.
            girdle: theirs at impact.
            ball_on_chest: ``(N, 3)`` m per way: how a ball that is fixed to the chest would go through its place.
            hands_ahead: ``(N,)`` m.
            hinge: ``(N,)`` rad.
        """
        shoulder, ball, club = girdle.shoulder["lead"], hold.ball, hold.club_length
        far = np.sqrt(norm(shoulder - ball) ** 2 - (club * np.sin(hinge)) ** 2) - club * np.cos(hinge)
        hands_ahead = hands_ahead.clip(*_ends(shoulder - ball, far, club))
        grip = _meeting(shoulder, far, ball, club, ball[:, 1] + hands_ahead)
        shaft = (ball - grip) / club[:, None]
        palms = unit(_TARGET - (shaft @ _TARGET)[:, None] * shaft)
        arm, shaft, palms = (in_girdle(girdle, v) for v in (unit(grip - shoulder), shaft, palms))
        club_at_ball, at_top = Held(shaft, palms, cross(palms, shaft)), way_up(hold, np.ones_like(far))
        arm_rate, club_rate = np.ones_like(far), 5.0 * np.ones_like(far)
        for _ in range(_ROUNDS):
            # Velocity of the clubhead on the chest: axis x lever.
            lever = arm_rate[:, None] * (grip - shoulder) + club_rate[:, None] * (ball - grip)
            axis = Axis.near(in_girdle(girdle, _along_target_line(lever, ball_on_chest)), shaft)
            last = axis.pose(arm, club_at_ball)
            first = axis.pose(*at_top, last.palms)
            arm_rate = pace_at_impact("shoulder_turn") * (last.arm - first.arm) + 6.0 * ARM_THROUGH
            club_rate = arm_rate + _RELEASE_RATE * (last.lag - first.lag)
        uncocked = lie(unit(hold.arm), hold.club).hinge - hinge
        return cls(hold, axis, norm(grip - shoulder), first, last, uncocked, hands_ahead)

    def carried(self, way: Array, share_at_top: Array) -> Carried:
        """Arms at ``way (N,)``, 0 on the way up, whose way up has ended at a share ``(N,)`` of a full swing."""
        over, back = given_back(way), way > 0.0
        own = self.axis.pose(*way_up(self.hold, share_at_top), self.top.palms)
        let_go = release(way)

        def gone(name: str, share: Array) -> Array:
            first, last, mine = (np.asarray(getattr(pose, name)) for pose in (self.top, self.ball, own))
            return np.asarray(first + share * (last - first) + (1.0 - over) * (mine - first))

        pose = Pose(
            arm=gone("arm", share_of_way("shoulder_turn", way)) + swung_through(way),
            arm_off=gone("arm_off", over),
            lag=gone("lag", let_go),
            shaft_off=gone("shaft_off", over),
            palms=gone("palms", let_go),
        )
        arm, club = self.axis.directions(pose)
        let = np.maximum(1.0 - let_go, 0.0)
        hands = {side: let + (1.0 - over) * (given - 1.0) for side, given in hands_given(share_at_top).items()}
        share = share_at_top * (1.0 - over)
        return Carried(
            back, share, arm, self.far, over, club.shaft, club.palms, hands,
            {"lead": over * self.uncocked, "trail": over * TRAIL_UNCOCKED},
        )  # fmt: skip


def release(way: Array) -> Array:
    """Share of its lag that the club has caught up at ``way (...)``: 0 at the top, 1 at impact, smooth and rising."""
    start, ball, now = (np.tanh(QUICK * (w - LATE)) for w in (0.0, 1.0, way))
    return np.asarray((now - start) / (ball - start))


def swung_through(way: Array) -> Array:
    """How far the lead arm is across beyond its way from top to impact, rad: little before the ball, more past it."""
    return np.asarray(ARM_THROUGH * (way**8 - way**2))


def clubhead(girdle: Girdle, carried: Carried, club_length: Array) -> Array:
    """Where the clubhead is, ``(N, 3)`` m, world, of arms that are ``carried`` to the ball and reach as far as that."""
    arm, shaft = (in_world(girdle, v) for v in (carried.arm, carried.shaft))
    return np.asarray(girdle.shoulder["lead"] + carried.far[:, None] * arm + club_length[:, None] * shaft)


def _ends(shoulder: Array, far: Array, club: Array) -> tuple[Array, Array]:
    """How far along the target line grips lie at least and most that are ``far`` from a ``shoulder (N, 3)`` and
    ``club`` from the ball, from the ball.
    """
    apart = norm(shoulder)
    run = (club**2 + apart**2 - far**2) / (2.0 * apart)
    toward = shoulder[:, 1] / apart
    reach = np.sqrt(np.maximum((club**2 - run**2) * (1.0 - toward**2), 0.0))
    return run * toward - reach, run * toward + reach


def _meeting(shoulder: Array, far: Array, ball: Array, club: Array, along: Array) -> Array:
    """The point ``(N, 3)`` m ``far`` from the shoulder, ``club`` from the ball and ``along`` toward the target.

    Of the two such points it is the one on the golfer's side.
    """
    first = np.sqrt(np.maximum(far**2 - (along - shoulder[:, 1]) ** 2, 0.0))
    second = np.sqrt(np.maximum(club**2 - (along - ball[:, 1]) ** 2, 0.0))
    out, up = ball[:, 0] - shoulder[:, 0], ball[:, 2] - shoulder[:, 2]
    apart = np.hypot(out, up)
    out, up = out / apart, up / apart
    run = (first**2 - second**2 + apart**2) / (2.0 * apart)
    aside = np.sqrt(np.maximum(first**2 - run**2, 0.0))
    return vector(shoulder[:, 0] + run * out + aside * up, along, shoulder[:, 2] + run * up - aside * out)


def _along_target_line(lever: Array, carried: Array) -> Array:
    """The axis ``(N, 3)`` about which a turn takes the ``lever``, with what is ``carried``, along the target line.

    Among axes square to the lever an angle is free; with p and q its two directions, (p x lever) cos + (q x lever) sin
    shall not go toward the ball, or as little as can be.
    """
    level = unit(cross(lever, np.broadcast_to(_TARGET, lever.shape)))
    leaned = unit(cross(unit(lever), level))
    a, b = (cross(one, lever)[:, 0] for one in (level, leaned))
    angle, reach = np.arctan2(b, a), np.arccos((-carried[:, 0] / np.hypot(a, b)).clip(-1.0, 1.0))
    # Two axes do; the club goes toward the target about the less leaned one.
    turns = (np.array([angle - reach, angle + reach]) + np.pi) % (2.0 * np.pi) - np.pi
    turn = np.take_along_axis(turns, np.abs(turns).argmin(axis=0)[None], axis=0)[0]
    return np.cos(turn)[:, None] * level + np.sin(turn)[:, None] * leaned
