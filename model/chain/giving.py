"""How far the arms give way where a joint's range ends, so that none goes past it.

Most of it is one thing for one joint (`GIVING`), degree for degree. Where that does not bring all joints inside,
because a joint has nothing of its own that gives or two ask opposite things of one, everything that can give does so
together, by the least that is enough (`giving_together`).
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from ..arrays import Array, BoolArray
from ..golfer.body import Body
from .arm_joints import ARM_LIMITS, ENDS, joint_ranges, mark_ended
from .arms import Arms, Asked, bent, posed
from .carried import Carried
from .girdle import Girdle, arm_swing, shoulder_line_turn
from .giving_together import GIVES, together
from .reach import NOTHING, Give, Hold

GIVING: Mapping[str, tuple[str, str, float]] = {
    "lead_shoulder_across": ("across", "across", 1.0),
    "lead_shoulder_internal_rotation": ("lead_elbow", "lead_elbow", 1.0),
    "lead_forearm_pronation": ("roll", "roll", 1.0), "lead_wrist_radial_deviation": ("lead_hand", "hinge", 1.0),
    "trail_shoulder_across": ("trail_elbow", "trail_elbow", -1.0),
    "trail_shoulder_internal_rotation": ("trail_elbow", "trail_elbow", 1.0),
    "trail_forearm_pronation": ("trail_elbow", "trail_elbow", -1.0),
    "trail_wrist_radial_deviation": ("trail_hand", "trail_hand", 1.0),
    "lead_wrist_extension": ("wrists", "wrists", 1.0), "trail_wrist_extension": ("wrists", "wrists", -1.0),
}  # fmt: skip
"""What gives way where a joint's range ends below and above, degree for degree, and whether giving lowers the joint's
angle or, negative, raises it.
"""
_BELOW, _ABOVE = ([GIVES.index(gives[end]) for gives in GIVING.values()] for end in (0, 1))
_WAY = np.array([way for _, _, way in GIVING.values()])[:, None]
"""The same as rows of `GIVES`."""
STEP = 0.7
"""Of what is needed, how much gives at once: what gives for one joint moves the others a little."""
ROUNDS = 40
"""How often at most; ordinary moments need none."""
PAST, ENOUGH, AT_END = (float(np.radians(degrees)) for degrees in (0.005, 0.001, 0.02))
"""Rad past a range that count as within it, that end the giving, and short of it that count as at its end."""

WORTH = 0.5
"""Of how far joints are past their ranges: what giving way together must leave at most, or it is not done (our
choice)."""

_NAMED = [bool(end) for _ in ("lead", "trail") for pair in ENDS.values() for end in pair]
"""Of the ends of all joints, below and above in turn, those that `ARM_LIMITS` names."""


def swung(
    body: Body,
    ribcage: Array,
    neck_base: Array,
    girdle_angle: Array,
    hold: Hold,
    carried: Carried | None = None,
) -> Arms:
    """Arms and club of ``N`` moments, as far as the arms swing.

    Args:
        body: flat bodies.
        ribcage: ``(N, 3, 3)`` ribcage_to_world.
        neck_base: ``(N, 3)`` m, world.
        girdle_angle: ``(N,)`` rad, the girdle's share of the shoulder line's turn.
        hold: how the club was held at address.
        carried: on the way back, what takes over from the way up.
    """
    share = share_of_swing(ribcage, girdle_angle, hold)
    if carried is not None:
        share = np.where(carried.back, carried.share, share)
    whole = Asked(body, Girdle.of(body, ribcage, neck_base, girdle_angle, share), hold, share, carried)
    arms = posed(whole, NOTHING)
    rows = np.flatnonzero(_beyond(arms.angles, body).max(axis=0) > PAST)
    if not rows.size:
        return arms
    some = whole[rows]
    give = _one_for_one(some)
    less = posed(some, Give(**give))
    limited = _ended(give, less, some)
    beyond = _beyond(less.angles, some.body)
    worst = beyond.max(axis=0)
    still = np.flatnonzero(worst > PAST)
    if still.size:
        rest = some[still]
        solved, stopped = together(rest, np.array([give[name][still] for name in GIVES]))
        nearer = posed(rest, Give(**dict(zip(GIVES, solved, strict=True))))
        now = _beyond(nearer.angles, rest.body)
        # Where no way is found to hold the club inside all ranges, arms are not contorted for a little less.
        better = np.flatnonzero(now.max(axis=0) < WORTH * worst[still])
        still = still[better]
        limited[still] |= stopped[better]
        beyond[:, still] = now[:, better]
        _put(less, still, nearer[better])
    arms.limited[rows] = limited | (beyond[_NAMED] > PAST).T
    _put(arms, rows, less)
    return arms


def share_of_swing(ribcage: Array, girdle_angle: Array, hold: Hold) -> Array:
    """Share of a full swing ``(N,)`` to which arms have swung up with a ``ribcage (N, 3, 3)`` and its girdle."""
    turned = shoulder_line_turn(ribcage, girdle_angle) - hold.shoulder_turn
    return arm_swing(turned, hold.asked["turn_of_full_swing"])


def _put(arms: Arms, rows: NDArray[np.intp], less: Arms) -> None:
    """Other arms at some ``rows``, in place."""
    for mine, theirs in ((arms.joints, less.joints), (arms.frames, less.frames), (arms.angles, less.angles)):
        for name, values in theirs.items():
            mine[name][rows] = values


def _one_for_one(asked: Asked) -> dict[str, Array]:
    """How far one thing for each joint gives way, by the names of `Give` ``(N,)`` rad."""
    give = np.zeros((len(GIVES), asked.share.size))
    some, left, ends = asked, np.arange(asked.share.size), joint_ranges(asked.body.ranges)
    low, high = (np.array([ends[joint][end] for joint in GIVING]) for end in (0, 1))
    for _ in range(ROUNDS):
        now = give[:, left]
        angles = bent(some, Give(*now)).angles
        angle = np.array([angles[joint] for joint in GIVING])
        # What has given already comes back as far as it need not have.
        needed_below = _WAY * np.minimum(np.minimum(_WAY * now[_BELOW], 0.0) + angle - low, 0.0)
        needed_above = _WAY * np.maximum(np.maximum(_WAY * now[_ABOVE], 0.0) + angle - high, 0.0)
        less, more = np.zeros_like(now), np.zeros_like(now)
        for rows, needed in ((_BELOW, needed_below), (_ABOVE, needed_above)):
            for row, one in zip(rows, needed, strict=True):
                less[row], more[row] = np.minimum(less[row], one), np.maximum(more[row], one)
        missing = less + more - now
        # Who is done stays put, so that a golfer's arms do not depend on his neighbours'.
        going = np.abs(missing).max(axis=0) > ENOUGH
        if not going.any():
            break
        if not going.all():
            some, left, low, high = some[np.flatnonzero(going)], left[going], low[:, going], high[:, going]
        give[:, left] += STEP * missing[:, going]
    return dict(zip(GIVES, give, strict=True))


def _ended(give: Mapping[str, Array], arms: Arms, asked: Asked) -> BoolArray:
    """Which ranges ask arms to ``give`` way as they do, ``(N, len(ARM_LIMITS))``.

    What gives may give for another joint too: the one that stands at its end stops the arms.
    """
    limited = np.zeros((asked.share.size, len(ARM_LIMITS)), dtype=bool)
    for joint, (low, high) in joint_ranges(asked.body.ranges).items():
        if joint in GIVING:
            below, above, way = GIVING[joint]
            at_low, at_high = arms.angles[joint] < low + AT_END, arms.angles[joint] > high - AT_END
            mark_ended(limited, joint, at_low & (way * give[below] < 0.0), at_high & (way * give[above] > 0.0))
    return limited


def _beyond(angles: Mapping[str, Array], body: Body) -> Array:
    """``(n, N)`` rad by which each joint is past each of its ends, below and above in turn; negative inside."""
    ends = joint_ranges(body.ranges)
    beyond = np.empty((2 * len(ends), body.stature.size))
    for k, (joint, (low, high)) in enumerate(ends.items()):
        np.subtract(low, angles[joint], out=beyond[2 * k])
        np.subtract(angles[joint], high, out=beyond[2 * k + 1])
    return beyond
