"""Postures at ball contact against what a published abstract prints of them: directions, and no figures.

Horan, Evans, Morris & Kavanagh 2010, Thorax and pelvis kinematics during the downswing of male and female skilled
golfers, J Biomech (abstract read; 19 men and 19 women, handicap up to 4): at ball contact pelvis and thorax are tilted
laterally to the right, the trail side, and turned axially to the left, toward the target, more or less by sex. How much
is in its tables, which were not at hand, and so is the order of its rotations. Here the tilt is read as which side of
the segment's line from side to side is down, the turn as where its front faces, which no order of rotations changes at
such angles.
"""

from __future__ import annotations

import numpy as np
import pytest

from turnstill.model import Address, Body, Pieces, simulate
from turnstill.model.golfer.club import fitted_club
from turnstill.model.golfer.impact import Impact

FRONT, LEAD = 0, 1
"""Columns of a segment's frame."""


@pytest.mark.parametrize("segment", ["pelvis", "ribcage"])
def test_at_ball_contact_the_trail_side_is_down_and_the_front_faces_the_target(segment: str) -> None:
    body = Body.draw(np.random.default_rng(41), 12)
    swing = simulate(body, Address(club_length=fitted_club(body)), Pieces(), frames=3, impact=Impact())
    frame = swing.skeleton.frames[segment][:, swing.at_impact]
    lead_side_up, toward_target = frame[:, 2, LEAD], frame[:, 1, FRONT]
    assert np.all(lead_side_up > 0.0) and np.all(toward_target > 0.0)
