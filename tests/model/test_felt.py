"""What an amount of a piece does to places of the body: laws of rotations, sums, batches and mirrors."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from turnstill.model import Address, Body, Pieces, Steady, TurnstillError
from turnstill.model.golfer.pieces import DEPARTURES, PIECES
from turnstill.model.golfer.survey import RATIOS
from turnstill.model.questions.felt import felt
from turnstill.model.questions.places import PLACES, places
from turnstill.model.questions.shares import sensitivities
from turnstill.model.swing.simulate import simulate

DEG = float(np.radians(1.0))
BODY, ADDRESS = Body.from_stature(1.80, 84.0), Address()
SHORT = simulate(BODY, ADDRESS, Pieces(extension=Steady(-12 * DEG), tilt=Steady(3 * DEG)), frames=2)
BREASTBONE, SHOULDER, POCKET, BUCKLE = range(4)


def asked_at_top() -> dict[str, float]:
    return {name: float(SHORT.asked[name][-1]) for name in PIECES}


def test_it_is_the_difference_of_two_simulated_swings() -> None:
    more = 8 * DEG
    ends = []
    for extension in (0.0, more):
        plain = asked_at_top()
        swing = simulate(BODY, ADDRESS, Pieces(**plain | {"extension": plain["extension"] + extension}), frames=2)
        ends.append((places(BODY, swing.skeleton)[-1], swing.skeleton.joints["head"][-1]))
    found = felt(SHORT, "extension", more)
    np.testing.assert_allclose(found.moved, ends[1][0] - ends[0][0], atol=1e-9)
    np.testing.assert_allclose(found.head, ends[1][1] - ends[0][1], atol=1e-9)
    np.testing.assert_allclose(found.distance, np.linalg.norm(found.moved, axis=-1))
    assert found.achieved == pytest.approx(more, abs=1e-9) and found.converged
    # And the first of the two is the swing asked about.
    np.testing.assert_allclose(ends[0][1], SHORT.skeleton.joints["head"][-1], atol=1e-9)


@pytest.mark.parametrize(
    ("piece", "amount"), [("tilt", -10 * DEG), ("extension", 8 * DEG), ("shoulder_turn", -9 * DEG)]
)
def test_trunk_and_shoulders_move_nothing_on_the_pelvis(piece: str, amount: float) -> None:
    moved = felt(SHORT, piece, amount).moved
    np.testing.assert_allclose(moved[[POCKET, BUCKLE]], 0.0, atol=1e-9)
    assert np.all(np.linalg.norm(moved[[BREASTBONE, SHOULDER]], axis=-1) > 0.01)


@pytest.mark.parametrize(("piece", "amount"), [("tilt", -10 * DEG), ("extension", 8 * DEG)])
def test_the_breastbone_goes_round_the_base_of_the_neck_as_a_rigid_cage_does(piece: str, amount: float) -> None:
    """The ribcage is one rigid body: closed form, in the order turn, tilt, bend, without any of our rotations."""
    plain = asked_at_top()
    both = [
        simulate(BODY, ADDRESS, Pieces(**plain | {piece: plain[piece] + more}), frames=2).skeleton
        for more in (0.0, amount)
    ]
    turn = Rotation.from_matrix(both[0].frames["ribcage"][-1]).as_euler("ZXY")[0]
    tilt, bend = (SHORT.achieved[name][-1] for name in ("tilt", "bend"))
    own = np.array([BODY.lengths["sternum_forward"], 0.0, -BODY.lengths["sternum_drop"]])
    changed = {"tilt": (tilt + amount, bend), "extension": (tilt, bend - amount)}[piece]
    levers = [Rotation.from_euler("ZXY", [turn, -t, b]).apply(own) for t, b in ((tilt, bend), changed)]
    base = both[1].joints["neck_base"][-1] - both[0].joints["neck_base"][-1]
    moved = felt(SHORT, piece, amount).moved[BREASTBONE] - base
    np.testing.assert_allclose(moved, levers[1] - levers[0], atol=1e-6)
    # So it goes across the lever, and never along it: the chord stands upright on the lever half way.
    assert moved @ (levers[0] + levers[1]) == pytest.approx(0.0, abs=1e-8)


@pytest.mark.parametrize("piece", ["hip_turn", "sway", "lead_flex_change"])
def test_places_on_the_pelvis_keep_their_distance_from_its_middle(piece: str) -> None:
    amount = 0.03 if piece == "sway" else 9 * DEG
    plain = asked_at_top()
    levers = []
    for more in (0.0, amount):
        swing = simulate(BODY, ADDRESS, Pieces(**plain | {piece: plain[piece] + more}), frames=2)
        levers.append(places(BODY, swing.skeleton)[-1, [POCKET, BUCKLE]] - swing.skeleton.joints["pelvis"][-1])
    np.testing.assert_allclose(*(np.linalg.norm(lever, axis=-1) for lever in levers), atol=1e-9)
    across = np.einsum("pk,pk->p", levers[1] - levers[0], levers[1] + levers[0])
    np.testing.assert_allclose(across, 0.0, atol=1e-9)


@pytest.mark.parametrize("piece", DEPARTURES)
def test_small_amounts_add_up_and_more_is_the_other_way_of_less(piece: str) -> None:
    step = 2e-3 if PIECES[piece].unit == "cm" else 0.3 * DEG
    one, two, back, none = (felt(SHORT, piece, np.array([step, 2 * step, -step, 0.0])).moved[k] for k in range(4))
    size = float(np.abs(one).max())
    assert size > 1e-4 and np.all(none == 0.0)
    np.testing.assert_allclose(two, 2 * one, atol=0.03 * size)
    np.testing.assert_allclose(back, -one, atol=0.03 * size)


def test_the_heads_part_is_the_sensitivity_of_the_shares() -> None:
    slopes = sensitivities(SHORT)
    for k, piece in enumerate(DEPARTURES):
        step = 5e-4 if PIECES[piece].unit == "cm" else 0.05 * DEG
        found = felt(SHORT, piece, np.array([-step, step])).head
        np.testing.assert_allclose((found[1] - found[0]) / (2 * step), slopes[k, :3], atol=2e-4)


@pytest.mark.parametrize("batch", [(), (1,), (3, 1, 2)])
def test_any_batch_shape_gives_the_same_numbers(golfers, batch: tuple[int, ...]) -> None:
    count = int(np.prod(batch, dtype=int))
    body, address, pieces = (one[:count] for one in golfers(6, 3))
    amounts = np.linspace(4 * DEG, 9 * DEG, count)
    alone = [felt(simulate(body[k], address[k], pieces[k], frames=3), "tilt", amounts[k]).moved for k in range(count)]
    whole = [one.reshaped(batch) for one in (body, address, pieces)]
    found = felt(simulate(*whole, frames=3), "tilt", amounts.reshape(batch))
    assert found.batch == batch and found.moved.shape == (*batch, len(PLACES), 3)
    np.testing.assert_allclose(found.moved.reshape(count, len(PLACES), 3), alone, atol=1e-7)


def test_amounts_may_outnumber_swings() -> None:
    found = felt(SHORT, "sway", np.array([-0.02, 0.02]))
    assert found.batch == (2,)
    np.testing.assert_allclose(found.moved[1], felt(SHORT, "sway", 0.02).moved, atol=1e-9)


def test_a_left_hander_is_told_the_same_and_stands_as_the_mirror_image() -> None:
    mirrored = simulate(BODY, ADDRESS, SHORT.pieces, frames=2, left_handed=True)
    np.testing.assert_allclose(felt(mirrored, "hip_turn", 7 * DEG).moved, felt(SHORT, "hip_turn", 7 * DEG).moved)
    there = places(BODY, mirrored.skeleton, left_handed=True)
    np.testing.assert_allclose(there, places(BODY, SHORT.skeleton) * [1.0, -1.0, 1.0], atol=1e-12)
    # The lead shoulder is the golfer's right one then: the one nearer to the target, which is where y falls.
    assert there[0, SHOULDER, 1] < 0.0 < there[0, POCKET, 1]


def test_what_a_range_stops_does_not_move_anything() -> None:
    stiff = Body.from_stature(ranges={"trail_hip_internal_rotation": 20 * DEG})
    swing = simulate(stiff, ADDRESS, Pieces(), frames=2)
    found = felt(swing, "hip_turn", 25 * DEG)
    assert found.achieved < 15 * DEG
    free = felt(simulate(Body.from_stature(), ADDRESS, Pieces(), frames=2), "hip_turn", 25 * DEG)
    assert found.distance[BUCKLE] < 0.7 * free.distance[BUCKLE]


def test_places_are_where_they_are_said_to_be() -> None:
    for female, body in enumerate((Body.from_stature(1.80, 84.0), Body.from_stature(1.65, 60.0, "female"))):
        upright = Address(knee_flex=0.0, forward_bend=0.0, pelvis_bend=0.0, side_bend=0.0, club_length=1.25)
        skeleton = simulate(body, upright, Pieces(), frames=2).skeleton
        found, hips, pelvis = places(body, skeleton)[0], skeleton.joints["pelvis"][0], skeleton.frames["pelvis"][0]
        np.testing.assert_allclose(found[BREASTBONE], skeleton.joints["sternum"][0])
        np.testing.assert_allclose(found[SHOULDER], skeleton.joints["shoulder_lead"][0])
        crest, hip = (RATIOS[name][2 * female] for name in ("iliocristale_height", "trochanterion_height"))
        height = float(body.stature) * (crest - hip)
        np.testing.assert_allclose(
            (found[BUCKLE] - hips) @ pelvis, [body.shape["waist_depth"] / 2, 0.0, height], atol=1e-6
        )
        pocket = [-body.shape["buttock_depth"] / 2, -body.shape["hip_breadth"] / 4, height / 2]
        np.testing.assert_allclose((found[POCKET] - hips) @ pelvis, pocket, atol=1e-6)


def test_an_unknown_piece_is_told_in_a_sentence() -> None:
    with pytest.raises(TurnstillError, match="must be one of hip_turn"):
        felt(SHORT, "lead_heel_rise", 0.01)
