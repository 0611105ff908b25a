"""Weight on the feet against a balance of forces and moments written down anew, and the balance of the address.

Masses and mass centres: de Leva 1996, J Biomech 29:1223-30, Table 4 (restated in BMClab/BMC). The static share has no
source beyond mechanics: two vertical forces, one under the middle of each foot, hold the weight of all segments.
"""

from __future__ import annotations

import numpy as np
import pytest
from weighed import TRUNK, centre_of_mass, weights

from turnstill.model import Address, Body, Pieces, Swing
from turnstill.model.arrays import Array
from turnstill.model.chain import figure, spine
from turnstill.model.chain.mass import CLUB_MASS, OMPHALION_LEVEL, XIPHION_LEVEL
from turnstill.model.chain.spine import SEGMENT_SHARES
from turnstill.model.swing.simulate import simulate

GRAVITY = np.array([0.0, 0.0, -9.81])
COUNT = 100


def random_addresses(rng: np.random.Generator) -> Address:
    def degrees(low: float, high: float) -> Array:
        return np.radians(rng.uniform(low, high, COUNT))

    return Address(
        lead_flare=degrees(-10, 40), trail_flare=degrees(-10, 40), stance_width=rng.uniform(0.3, 0.55, COUNT),
        knee_flex=degrees(10, 35), forward_bend=degrees(28, 48), pelvis_bend=degrees(10, 32),
        side_bend=degrees(0, 12), ball_position=rng.uniform(-0.05, 0.15, COUNT),
        club_length=rng.uniform(1.05, 1.2, COUNT),
    )  # fmt: skip


@pytest.fixture(scope="module")
def swing() -> Swing:
    """A hundred random bodies, addresses and tops."""
    rng = np.random.default_rng(71)
    pieces = Pieces(
        hip_turn=np.radians(rng.uniform(20, 60, COUNT)),
        shoulder_turn=np.radians(rng.uniform(60, 100, COUNT)),
        sway=rng.uniform(-0.06, 0.06, COUNT),
    )
    return simulate(Body.draw(rng, COUNT), random_addresses(rng), pieces, frames=4)


def test_all_of_the_body_is_weighed(swing: Swing) -> None:
    total = sum(mass for mass, _ in weights(swing))
    np.testing.assert_allclose(total, swing.body.mass + CLUB_MASS, rtol=1e-12)


def test_static_share_is_what_forces_and_moments_say(swing: Swing) -> None:
    """Moments of all weights and of the two forces about the middle of the lead foot, along the ground and square
    to the line between the feet; then the lead force by moments about the trail foot, and the sum of forces."""
    j = swing.skeleton.joints
    lead, trail = (0.5 * (j[f"heel_{side}"] + j[f"toe_{side}"]) for side in ("lead", "trail"))
    line = (trail - lead) * [1.0, 1.0, 0.0]
    square = np.cross([0.0, 0.0, 1.0], line / np.linalg.norm(line, axis=-1, keepdims=True))

    def force_under(foot: Array, pivot: Array) -> Array:
        moment = sum(np.cross(place - pivot, mass[:, None, None] * GRAVITY) for mass, place in weights(swing))
        turning = (np.asarray(moment) * square).sum(axis=-1)
        lever = (np.cross(foot - pivot, -GRAVITY / 9.81) * square).sum(axis=-1)
        return np.asarray(-turning / lever)

    on_trail, on_lead = force_under(trail, lead), force_under(lead, trail)
    weight = 9.81 * (swing.body.mass + CLUB_MASS)[:, None]
    np.testing.assert_allclose(on_trail + on_lead, np.broadcast_to(weight, on_lead.shape), rtol=1e-9)
    np.testing.assert_allclose(swing.measures.trail_weight_share, on_trail / weight, rtol=0, atol=1e-9)
    assert np.ptp(swing.measures.trail_weight_share) > 0.15


def test_the_address_is_balanced_over_the_middle_of_the_feet(swing: Swing) -> None:
    """Within a millimetre, for every body and address, by the weights above; so the share there is one half."""
    j = swing.skeleton.joints
    middle = 0.25 * (j["heel_lead"] + j["toe_lead"] + j["heel_trail"] + j["toe_trail"])
    centre = centre_of_mass(swing)
    assert swing.address_balanced.all()
    assert np.abs((centre - middle)[:, 0, :2]).max() <= 1e-3
    assert np.abs(swing.measures.trail_weight_share[:, 0] - 0.5).max() <= 0.005


def test_the_trunk_s_parts_weigh_where_the_whole_trunk_does() -> None:
    """Upright, the three parts' mass centre against the whole trunk's, de Leva 1996, Table 4: .5138 (men) and .4964
    (women) of the way from the seventh neck vertebra down to the middle of the hips. A level of the spine more or
    less at xiphion and navel moves it by about .016, so .03 is allowed."""
    body = Body.from_stature([1.7562, 1.6285], [85.5, 67.8], ["male", "female"])
    upright = np.broadcast_to(np.eye(3), (2, 3, 3))
    base = figure.lumbosacral_place(body, upright, np.zeros((2, 3)))
    height = spine.bend(upright, upright, base, body.lengths["spine"]).centres[..., 2]
    ends = [height[:, -1], height[:, XIPHION_LEVEL], height[:, OMPHALION_LEVEL], np.zeros(2)]
    mass, centre = (np.array([TRUNK[part][i] for part in ("upper", "middle", "lower")]) for i in (0, 1))
    below = [top + share * (bottom - top) for share, top, bottom in zip(centre, ends[:-1], ends[1:], strict=True)]
    whole = (mass * below).sum(axis=0) / mass.sum(axis=0)
    assert np.abs(1.0 - whole / height[:, -1] - [0.5138, 0.4964]).max() <= 0.03


def test_the_navel_is_at_the_survey_s_height() -> None:
    """Omphalion height, ANSUR II (Gordon et al. 2014, NATICK/TR-15/007): .6014 (sd .0129) of a man's stature, .6017
    (.0135) of a woman's; within two sd."""
    body = Body.from_stature([1.7562, 1.6285], [85.5, 67.8], ["male", "female"])
    hips = body.lengths["ankle_height"] + body.lengths["shank"] + body.lengths["thigh"]
    below = SEGMENT_SHARES[:OMPHALION_LEVEL].sum() * body.lengths["spine"]
    navel = (hips + body.lengths["lumbosacral_up"] + below) / body.stature
    assert np.all(np.abs(navel - [0.6014, 0.6017]) <= 2.0 * np.array([0.0129, 0.0135]))


def test_a_left_hander_stands_on_the_same_shares(swing: Swing) -> None:
    """Lead and trail are words, not sides."""
    mirrored = simulate(swing.body, swing.address, swing.pieces, frames=4, left_handed=True)
    np.testing.assert_array_equal(mirrored.measures.trail_weight_share, swing.measures.trail_weight_share)
    centre = mirrored.measures.centre_of_mass * [1.0, -1.0, 1.0]
    np.testing.assert_array_equal(centre, swing.measures.centre_of_mass)
