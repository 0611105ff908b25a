"""Leg length and pelvis obliquity against the law of cosines and what two unequal legs do to a level line."""

from __future__ import annotations

import numpy as np

from turnstill.model import Body
from turnstill.model.arrays import Array
from turnstill.model.chain import lower_body
from turnstill.model.chain.legs import LEAD_KNEE, TOWARD_BALL, TRAIL_KNEE, Legs

# Thigh and shank of Drillis & Contini 1966 as in Winter 2009, Fig. 4.1 (read in restatements): heights 0.530, 0.285
# and 0.039 of stature. Hip to ankle by the law of cosines, as printed, knee flexion in degrees: share of stature.
THIGH, SHANK = 0.245, 0.246
HIP_TO_ANKLE = {
    0: 0.49100, 10: 0.48913, 15: 0.48680, 20: 0.48354, 25: 0.47936, 30: 0.47427, 35: 0.46828, 40: 0.46139, 45: 0.45363,
}  # fmt: skip


def planted(count: int, stance: Array, stature: float = 1.0) -> Legs:
    """Legs of Drillis's lengths on straight feet, ankle centres ``stance (count,)`` m apart."""
    size = {"thigh": THIGH * stature, "shank": SHANK * stature, "hip_joint_width": 0.1 * stature}
    body = Body.from_stature(np.full(count, 1.75), lengths=size)
    return lower_body.planted(body, np.zeros((2, count)), stance, np.zeros((2, count)))


def over_the_feet(legs: Legs, lead: Array, trail: Array) -> Array:
    """Unknowns of the loop with the hips' midpoint over the ankles' midpoint."""
    q = np.zeros((8, lead.size))
    q[TOWARD_BALL], q[LEAD_KNEE], q[TRAIL_KNEE] = legs.ankle[0, 0], lead, trail
    return q


def test_leg_length_is_the_printed_table() -> None:
    flexion = np.radians(list(HIP_TO_ANKLE))
    legs = planted(flexion.size, np.full(flexion.size, 0.1))
    length = legs.length(np.stack([flexion, flexion]))
    assert np.abs(length - list(HIP_TO_ANKLE.values())).max() <= 0.5e-5 + 1e-9


def test_the_shown_leg_has_the_printed_length() -> None:
    """The same table off the joint centres of a closed loop, both legs alike, hips straight above the ankles."""
    flexion = np.radians(list(HIP_TO_ANKLE))
    stature = 1.75
    legs = planted(flexion.size, np.full(flexion.size, 0.1 * stature), stature)
    posture = legs.posture(over_the_feet(legs, flexion, flexion))
    assert posture.closed.all()
    shown = np.linalg.norm(posture.hip - legs.ankle, axis=0) / stature
    assert np.abs(shown - list(HIP_TO_ANKLE.values())).max() <= 0.5e-5 + 1e-9
    np.testing.assert_allclose(np.linalg.norm(posture.hip - posture.knee, axis=0), THIGH * stature, atol=1e-12)
    np.testing.assert_allclose(np.linalg.norm(posture.knee - legs.ankle, axis=0), SHANK * stature, atol=1e-12)
    # The knee's own angle, between the bones.
    thigh, shank = posture.hip - posture.knee, posture.knee - legs.ankle
    cosine = (thigh * shank).sum(axis=0) / (THIGH * SHANK * stature**2)
    np.testing.assert_allclose(np.arccos(np.clip(cosine, -1.0, 1.0)), np.stack([flexion] * 2), atol=1e-7)
    np.testing.assert_allclose(posture.obliquity, 0.0, atol=1e-12)


PAIRS = [(lead, trail) for lead in (5, 15, 22, 37, 50) for trail in (5, 10, 22, 40)]


def unequal() -> tuple[Array, Array, Array, Array]:
    """Flexions, law-of-cosines lengths by hand, and the obliquity of a line that rests on them upright."""
    lead, trail = np.radians(np.array(PAIRS, dtype=float)).T
    square = THIGH**2 + SHANK**2
    lengths = np.sqrt(square + 2.0 * THIGH * SHANK * np.cos([lead, trail]))
    return lead, trail, lengths, np.arcsin((lengths[1] - lengths[0]) / 0.1)


def test_obliquity_of_vertical_legs_is_the_arcsine_exactly() -> None:
    """With the ankles set apart by what the oblique hips span, both legs stand vertical and the law is exact."""
    lead, trail, lengths, obliquity = unequal()
    legs = planted(lead.size, 0.1 * np.cos(obliquity))
    posture = legs.posture(over_the_feet(legs, lead, trail))
    assert posture.closed.all()
    np.testing.assert_allclose(posture.obliquity, obliquity, rtol=0, atol=1e-10)
    # Lead side down is positive: the lead knee more bent, the lead hip lower.
    np.testing.assert_allclose(posture.hip[2] - legs.ankle[2], lengths, rtol=0, atol=1e-10)
    np.testing.assert_array_equal(np.sign(posture.obliquity.round(9)), np.sign(lead - trail))
    np.testing.assert_allclose(posture.height - legs.ankle[2, 0], lengths.mean(axis=0), rtol=0, atol=1e-10)


def test_obliquity_of_nearly_vertical_legs_is_about_the_arcsine() -> None:
    """Ankles as far apart as the hips: the legs lean a little, and the law holds to 0.2 per cent."""
    lead, trail, _, obliquity = unequal()
    legs = planted(lead.size, np.full(lead.size, 0.1))
    posture = legs.posture(over_the_feet(legs, lead, trail))
    assert posture.closed.all()
    np.testing.assert_allclose(posture.obliquity, obliquity, rtol=0.002, atol=1e-9)


def test_obliquity_of_a_golfer_s_stance_is_near_the_arcsine() -> None:
    """Legs spread to a stance of 0.24 of stature: still the arcsine to 2 per cent, and the same way round."""
    lead, trail, _, obliquity = unequal()
    legs = planted(lead.size, np.full(lead.size, 0.24))
    posture = legs.posture(over_the_feet(legs, lead, trail))
    assert posture.closed.all()
    np.testing.assert_array_equal(np.sign(posture.obliquity.round(9)), np.sign(lead - trail))
    np.testing.assert_allclose(posture.obliquity, obliquity, rtol=0.02, atol=1e-9)
