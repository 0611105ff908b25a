"""How a golfer takes hold of the club at address: where the hands hang, and where the ball then lies."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from ..arrays import Array
from ..errors import TurnstillError
from ..golfer.address import ADDRESS
from ..numeric.vectors import vector
from .girdle import Girdle
from .reach import ROUNDS, Hold, length, reach

MOST_ASIDE = 0.05
"""Hands hang level with a ball that lies ahead of the middle of the shoulders, up to this far (m, common practice)."""
TRAIL_SAY = 0.7
"""Of what the trail arm says about how low the hands hang; the lead arm has the rest (chosen on drawn bodies)."""
_SAME_PLACE = 1e-9
"""m: hands this near stay where they are."""


def take_hold(
    lengths: Mapping[str, Array],
    girdle: Girdle,
    ball_position: Array,
    club_length: Array,
    shoulder_turn: Array,
    asked: Mapping[str, Array],
) -> Hold:
    """Hands that hang at address and a club that reaches the ball.

    The hands hang nearer to where the trail arm reaches, whose collar bone can hardly go lower, than to the lead arm's
    place: so all but a few bodies keep both elbows as they are asked to (`TRAIL_SAY`).

    Raises:
        TurnstillError: if the club is too short to reach the ground.
    """
    shoulder = np.array([girdle.shoulder["lead"], girdle.shoulder["trail"]])
    below = shoulder.mean(axis=0)
    below[..., 1] += (ball_position - below[..., 1]).clip(0.0, MOST_ASIDE) + asked["hands_ahead"]
    out = asked["hands_out"]
    direction = vector(np.sin(out), 0.0 * out, -np.cos(out))
    elbow = np.array([asked["lead_elbow_bend"], asked["trail_elbow_bend"]])
    # A hand at its grip angle is all but in line with its arm.
    arm = length(lengths, elbow) + 0.96 * lengths["wrist_to_grip"]
    along = ((below - shoulder) * direction).sum(axis=-1)
    square = ((below - shoulder) ** 2).sum(axis=-1)
    depth = -along + np.sqrt(np.maximum(along**2 - square + arm**2, 0.0))
    depth[1] -= 0.9 * lengths["hands_apart"]  # The trail hand's place is further down the club, which leans a little.
    hands = below + ((1.0 - TRAIL_SAY) * depth[0] + TRAIL_SAY * depth[1])[..., None] * direction
    to_girdle, at_address = girdle.frame.mT, np.zeros_like(shoulder_turn)
    for _ in range(ROUNDS):
        ball = ball_place(hands, club_length, ball_position)
        hold = Hold(
            arm=(to_girdle @ (hands - shoulder[0])[..., None])[..., 0],
            club=(to_girdle @ ((ball - hands) / club_length[..., None])[..., None])[..., 0],
            club_length=club_length,
            ball=ball,
            shoulder_turn=shoulder_turn,
            asked=asked,
        )
        # Arms that do not reach there hold the club nearer, and then it lies to another place.
        reached = reach(lengths, girdle, hold, at_address).grip
        if np.abs(reached - hands).max(initial=0.0) < _SAME_PLACE:
            break
        hands = reached
    return hold


def ball_place(hands: Array, club_length: Array, ball_position: Array) -> Array:
    """Where the ball lies ``(..., 3)`` m so that the club reaches it from the ``hands``: on the ground, ahead.

    Raises:
        TurnstillError: if the club is too short to reach the ground.
    """
    along = ball_position - hands[..., 1]
    square = club_length**2 - hands[..., 2] ** 2 - along**2
    if np.any(square < 0.01**2):
        at = int(np.argmin(square))
        given = float(np.broadcast_to(club_length, square.shape).reshape(-1)[at])
        needed = float(np.hypot(hands[..., 2], along).reshape(-1)[at])
        raise TurnstillError(
            f"A club of {given * 100:.0f} cm does not reach the ball: the hands are {needed * 100:.0f} cm away from "
            f"it; {_to_reach(needed)}."
        )
    ahead = hands[..., 0] + np.sqrt(square)
    return vector(ahead, ball_position, 0.0)


def _to_reach(needed: float) -> str:
    """What to do about a club that is shorter than ``needed`` m; a heavier end moves the hands by a few millimetres."""
    least = float(np.ceil(needed * 100.0) + 1.0)
    if least > ADDRESS["club_length"].high:
        return "no club is that long, so bend further forward"
    return f"use a club of at least {least:.0f} cm, or bend further forward"
