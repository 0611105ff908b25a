"""From the top on to impact and past it: the laws of the chain hold there, and the way up is what it was."""

from __future__ import annotations

import numpy as np
import pytest
from through_impact import drawn_at_impact, swings

from turnstill.model import Address, Body, Pieces, Swing, simulate
from turnstill.model.arrays import Array
from turnstill.model.chain.golfers import LEG_PIECES, Golfers
from turnstill.model.chain.legs import HIP_TURN, KNEES, LEAD_KNEE, TRAIL_KNEE
from turnstill.model.chain.lower_body import solve as solve_legs
from turnstill.model.golfer.impact import (
    Impact,
)  # fmt: skip
from turnstill.model.golfer.pieces import HEELS

COUNT = 250
ARMS = ["grip", "clubhead"] + [
    f"{joint}_{side}" for joint in ("sternoclavicular", "shoulder", "elbow", "wrist") for side in ("lead", "trail")
]


@pytest.fixture(scope="module", params=[False, True], ids=["golfers", "wild"])
def drawn(request: pytest.FixtureRequest) -> Swing:
    """500 swings in all."""
    return swings(91, COUNT, wild=request.param)


def test_the_way_up_is_what_it_was_whatever_is_asked_at_impact() -> None:
    """Of 500 golfers: whoever is solved beside a moment (`bounded_least_squares`), it is the same to rounding."""
    rng = np.random.default_rng(92)
    body, address, pieces = Body.draw(rng, 500), Address.draw(rng, 500), Pieces.draw(rng, 500)
    there = Impact(drawn_at_impact(rng, 500), wrist_hinge=0.3)
    short, whole = (simulate(body, address, pieces, frames=11, impact=impact) for impact in (None, there))
    assert whole.at_top == 10 and whole.progress.size == 21 and short.progress.size == 11
    for of in ("joints", "frames"):
        for name, here in getattr(short.skeleton, of).items():
            up = getattr(whole.skeleton, of)[name][:, :11]
            np.testing.assert_allclose(up, here, rtol=0, atol=1e-12, err_msg=name)
    for name, angle in short.joint_angles.items():
        # A hip's and a shin's rotation are angles between segments whose frames were compared.
        np.testing.assert_allclose(whole.joint_angles[name][:, :11], angle, rtol=0, atol=5e-12, err_msg=name)


def test_bones_keep_their_lengths_and_feet_their_places(drawn: Swing) -> None:
    at = drawn.skeleton.joints
    for near, far, bone in (
        ("hip", "knee", "thigh"), ("knee", "ankle", "shank"), ("shoulder", "elbow", "upper_arm"),
        ("elbow", "wrist", "forearm"),
    ):  # fmt: skip
        for side in ("lead", "trail"):
            length = np.linalg.norm(at[f"{near}_{side}"] - at[f"{far}_{side}"], axis=-1)
            np.testing.assert_allclose(length, drawn.body.lengths[bone][:, None] + 0.0 * length, rtol=0, atol=1e-9)
    for foot in ("heel_lead", "toe_lead", "toe_trail"):
        np.testing.assert_allclose(at[foot], np.broadcast_to(at[foot][:, :1], at[foot].shape), rtol=0, atol=1e-12)
    ahead = drawn.body.lengths["heel_to_ball"][:, None, None] * drawn.skeleton.frames["foot_trail"][..., 0]
    ball = at["heel_trail"] + ahead
    np.testing.assert_allclose(ball, np.broadcast_to(ball[:, :1], ball.shape), rtol=0, atol=1e-12)
    for near, far, bone in (
        ("grip", "wrist_lead", drawn.body.lengths["wrist_to_grip"]),
        ("hip_lead", "hip_trail", drawn.body.lengths["hip_joint_width"]),
        ("grip", "clubhead", drawn.address.club_length * np.ones(COUNT)),
    ):
        length = np.linalg.norm(at[near] - at[far], axis=-1)
        np.testing.assert_allclose(length, bone[:, None] + 0.0 * length, rtol=0, atol=1e-9)


def test_no_joint_leaves_its_range_and_every_solver_converges(drawn: Swing) -> None:
    assert drawn.converged.all()
    for name, (low, high) in drawn.joint_ranges.items():
        angle = drawn.joint_angles[name]
        assert np.degrees(np.maximum(angle - high, low - angle)).max() < 0.01, name


def leaps(count: int, wild: bool) -> list[int]:
    """Which of ``count`` swings have a joint that leaps.

    Twice as many moments halve a swing's greatest step, or nearly; where they do not, there is a corner or a leap, and
    16 times as many again tell which: along a square root, the steepest of corners, a step is then a quarter.
    Of swings that ask for more than bodies can, up to impact: past it one in a hundred has arms that cannot hold a club
    inside all ranges for a moment, and leap there (docs/strike.md).
    """

    def greatest(swing: Swing) -> dict[str, Array]:
        end = swing.at_impact + 1 if wild else swing.progress.size
        places = swing.skeleton.joints.items()
        return {n: np.linalg.norm(np.diff(at[..., :end, :], axis=-2), axis=-1).max(axis=-1) for n, at in places}

    made = swings(93, count, frames=41, wild=wild)
    coarse, fine = greatest(made), greatest(swings(93, count, frames=81, wild=wild))
    steep = np.any([fine[name] > 0.72 * coarse[name] + 1e-9 for name in fine], axis=0)
    found = []
    for k in np.flatnonzero(steep):
        told = {"impact": made.impact[k], "head": made.head[k]}
        finest = greatest(simulate(made.body[k], made.address[k], made.pieces[k], frames=1281, **told))
        if any(finest[name] > 0.5 * fine[name][k] + 1e-9 for name in fine):
            found.append(int(k))
    return found


@pytest.mark.parametrize("wild", [False, True])
def test_no_jump_between_neighbouring_moments(wild: bool) -> None:
    assert not leaps(60, wild)


@pytest.mark.heavy
@pytest.mark.parametrize("wild", [False, True])
def test_no_jump_in_any_of_500(wild: bool) -> None:
    """But where no trunk holds the head to within 5 cm: of such swings one in a hundred leaps (docs/strike.md)."""
    found = leaps(COUNT, wild)
    missed = swings(93, COUNT, frames=41, wild=wild).steady_miss[found].max(axis=-1, initial=0.0)
    assert len(found) <= (COUNT // 100 if wild else 0) and np.all(missed > 0.05)


def test_arms_leave_the_top_from_where_they_have_come() -> None:
    """The step there, of every golfer, shrinks with the moments, also where the arms have given way or swing short."""
    rng = np.random.default_rng(95)
    drawn = Pieces.draw(rng, 24)
    turns = np.concatenate([np.radians([60.0, 75.0, 95.0]), np.asarray(drawn.shoulder_turn)[3:]])
    body, address = Body.draw(rng, 24), Address.draw(rng, 24)
    few, many = (
        simulate(body, address, drawn.replace(shoulder_turn=turns), frames=frames, impact=Impact())
        for frames in (101, 401)
    )
    for name in few.skeleton.joints:
        steps = []
        for swing in (few, many):
            place = swing.skeleton.joints[name]
            steps.append(np.linalg.norm(place[:, swing.at_top + 1] - place[:, swing.at_top], axis=-1))
        assert (steps[1] < 0.4 * steps[0] + 2e-4).all(), name


def again(whole: Swing, number: int | slice, **more: bool) -> Swing:
    """Some of drawn swings made by themselves."""
    return simulate(
        whole.body[number], whole.address[number], whole.pieces[number], frames=11, impact=whole.impact[number],
        head=whole.head[number], **more,
    )  # fmt: skip


def same(one: Swing, other: Swing, mirrored: bool = False) -> None:
    """Two swings, or batches of the same shape, are the same; ``mirrored``, one is the other's mirror image.

    Arms on the way back hang on the pace at which the chest comes to the ball, a quotient over 1e-5 of the way
    (`way_back.deliver`) that makes 100,000 times as much of what rounding leaves: to a ten-thousandth of a millimetre.
    """
    mirror, top = np.array([1.0, -1.0 if mirrored else 1.0, 1.0]), one.at_top + 1
    for name, place in one.skeleton.joints.items():
        off = np.abs(place * mirror - other.skeleton.joints[name])
        assert off[..., :top, :].max() < 1e-9 and off.max() < (1e-7 if name in ARMS else 1e-9), name
    for piece, found in one.steady.items():
        np.testing.assert_allclose(found, other.steady[piece], rtol=0, atol=1e-9, err_msg=piece)
    assert np.array_equal(one.met, other.met)


def test_batch_shapes_and_left_handers_give_the_same_numbers(drawn: Swing) -> None:
    """Of 500: each hand in one batch, two batch axes, and 30 swings one by one, left-handed."""
    left = again(drawn, slice(None), left_handed=True)
    assert left.left_handed
    same(left, drawn, mirrored=True)
    table = {name: getattr(drawn, name).reshaped((10, -1)) for name in ("body", "address", "pieces", "impact", "head")}
    same(simulate(frames=11, **table).reshaped((COUNT,)), drawn)
    for number in range(0, COUNT, COUNT // 15):
        alone = again(drawn, number, left_handed=True)
        assert alone.batch == ()
        same(alone, drawn[number], mirrored=True)


@pytest.mark.heavy
def test_each_of_500_by_itself_is_the_one_in_the_batch(drawn: Swing) -> None:
    for number in range(COUNT):
        same(again(drawn, number), drawn[number])


def test_legs_at_impact_end_where_they_end_from_five_starts(drawn: Swing) -> None:
    """As on the way up (`test_lower_body`): of 500 swings, all that can do what is asked, and 995 of 1,000 at least."""
    golfers = Golfers.at_address(drawn.body, drawn.address, (COUNT,)).standing
    pieces = drawn.impact.pieces.flat((COUNT,))
    asked = {name: np.asarray(getattr(pieces, name)) for name in LEG_PIECES}
    legs, goal, home = (
        golfers.legs(np.array([asked[name] for name in HEELS])), golfers.leg_goal(asked), golfers.q_at_address
    )  # fmt: skip
    first = golfers.lower(asked)
    np.testing.assert_allclose(first.q[HIP_TURN], drawn.achieved["hip_turn"][:, drawn.at_impact], atol=1e-6)
    rng, spread = np.random.default_rng(7), np.zeros(COUNT)
    scale = np.array([0.4, 0.3, 0.08, 0.08, 0.3, 0.3, 0.5, 0.5])[:, None]
    for _ in range(5):
        start = home + rng.normal(size=home.shape) * scale
        start[KNEES] = np.clip(np.abs(start[KNEES]), 0.02, 1.2)
        reaches = legs.close(start)[2]
        start[:, ~reaches] = home[:, ~reaches]
        found = solve_legs(legs, golfers.limits, goal, golfers.angles_at_address, start, home=home)
        spread = np.maximum(spread, np.abs(found.q - first.q).max(axis=0))
    off = np.abs(goal - first.q)
    met = (off[[HIP_TURN, LEAD_KNEE, TRAIL_KNEE]] < np.radians(0.1)).all(axis=0) & (off[2:4] < 1e-3).all(axis=0)
    assert met.sum() > 10 and (spread[met] < 1e-4).all()
    assert (spread < 1e-4).mean() >= 0.995, f"{(spread >= 1e-4).sum()} ended elsewhere"
