"""What a picture shows of the trunk's angles against the angles themselves, beside a published comparison of the two.

Smith, Roberts, Wallace, Kong & Forrester 2016, Comparison of two- and three-dimensional methods for analysis of trunk
kinematic variables in the golf swing, J Appl Biomech 32:23-31 (abstract read): angles of vectors projected on planes
of the room differ from the segments' own angles by 8.7 degrees (sd 2.9) in side bend to the trail side at impact, and
by -6.5 (3.6) in flexion at the top of the backswing. Which of the two is the larger at impact, and in which order the
study's own angles turn, the abstract does not say. Here they are turn, tilt, bend.
"""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from turnstill.model import Address, Body, Pieces, simulate
from turnstill.model.golfer.club import fitted_club
from turnstill.model.golfer.impact import Impact
from turnstill.model.numeric.rotations import to_turn_tilt_bend

SD = 2.0
"""So many standard deviations of the study's golfers count as agreeing."""


@pytest.fixture(scope="module")
def apart() -> dict[str, NDArray[np.float64]]:
    """Projected less own angle of 12 golfers, degrees: side bend at impact, flexion at the top."""
    body = Body.draw(np.random.default_rng(41), 12)
    swing = simulate(body, Address(club_length=fitted_club(body)), Pieces(), frames=3, impact=Impact())
    frames = swing.skeleton.frames["ribcage"]
    forward, toward_target, up = np.moveaxis(frames[..., 2], -1, 0)
    _, tilt, bend = to_turn_tilt_bend(frames)
    # Tilt is to the lead side, toward the target.
    seen_face_on, seen_down_the_line = np.arctan2(toward_target, up), np.arctan2(forward, up)
    return {
        "side bend at impact": np.degrees(seen_face_on - tilt)[:, swing.at_impact],
        "flexion at the top": np.degrees(seen_down_the_line - bend)[:, swing.at_top],
    }


def test_face_on_less_side_bend_is_seen_at_impact_than_there_is(apart: dict[str, NDArray[np.float64]]) -> None:
    less = apart["side bend at impact"]
    assert np.all(less > 0.0), "tilt is to the trail side, and counts down"
    assert abs(np.mean(less) - 8.7) < SD * 2.9


@pytest.mark.xfail(strict=True, reason="29 degrees by our order; theirs is unknown")
def test_flexion_at_the_top_differs_as_much(apart: dict[str, NDArray[np.float64]]) -> None:
    assert abs(abs(np.mean(apart["flexion at the top"])) - 6.5) < SD * 3.6
