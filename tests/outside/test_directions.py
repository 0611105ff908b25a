"""What every teacher of the swing says happens when a piece is over- or underdone: common practice, no source.

The one exception is the bookkeeping of turn over a planted foot, which is geometry and exact on upright legs: a
pelvis turned by P over a foot flared by F asks P + F of the lead leg's outward joints and P - F of the trail leg's
inward ones, shared by hip and knee.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from turnstill.model import Address, Body, Pieces, Steady, Swing
from turnstill.model.arrays import Array, ArrayLike, BoolArray
from turnstill.model.chain import lower_body
from turnstill.model.chain.legs import HIP_TURN, LEG_OUTPUTS, SWIVELS
from turnstill.model.questions.available import most_hip_turn
from turnstill.model.swing.simulate import simulate

AMOUNTS = np.array([3.0, 6.0, 9.0])
"""Degrees too much or too little."""


@pytest.fixture(scope="module")
def golfers() -> Body:
    """Twelve bodies drawn from the survey, batch ``(12, 1)``: amounts go along the second axis."""
    body = Body.draw(np.random.default_rng(61), 12)
    return Body(
        body.stature[:, None], body.mass[:, None], body.female[:, None],
        *({name: value[:, None] for name, value in part.items()} for part in (body.lengths, body.ranges, body.shape)),
    )  # fmt: skip


def top(golfers: Body, **pieces: ArrayLike | Steady) -> Swing:
    """Address and top of swings asked for one departure from the centred pivot."""
    return simulate(golfers, Address(), Pieces().replace(**pieces), frames=2)


def change(golfers: Body, piece: str, amounts: Array) -> dict[str, Array]:
    """How the top differs ``(12, amounts)`` from the steady one: head in metres, shoulder plane in rad, weight."""
    moved, still = (
        top(golfers, **{piece: Steady(np.radians(departure))}) for departure in (amounts, np.zeros_like(amounts))
    )
    head = (moved.measures.head_moved - still.measures.head_moved)[..., -1, :]
    return {
        "toward_ball": head[..., 0],
        "toward_target": head[..., 1],
        "up": head[..., 2],
        "shoulder_plane": (moved.measures.shoulder_plane - still.measures.shoulder_plane)[..., -1],
        "trail_share": (moved.measures.trail_weight_share - still.measures.trail_weight_share)[..., -1],
        "done": (moved.achieved[piece] - still.achieved[piece])[..., -1],
        "met": (moved.met & still.met)[..., -1].astype(float),
    }


def grows(values: Array) -> bool:
    """Whether every row is positive and rises with the amount."""
    return bool(np.all(values[:, 0] > 0.0) and np.all(np.diff(values, axis=1) > 0.0))


def test_too_much_tilt_lowers_the_head_and_brings_it_toward_the_ball(golfers: Body) -> None:
    more = change(golfers, "tilt", AMOUNTS)
    assert grows(more["done"])
    assert grows(-more["up"])
    assert grows(more["toward_ball"])
    assert grows(more["shoulder_plane"])


def test_too_little_tilt_raises_the_head_on_a_flatter_shoulder_plane(golfers: Body) -> None:
    less = change(golfers, "tilt", -AMOUNTS)
    assert grows(-less["done"])
    assert grows(less["up"])
    assert grows(-less["shoulder_plane"])


def test_too_little_extension_takes_the_head_away_from_the_target(golfers: Body) -> None:
    less = change(golfers, "extension", -AMOUNTS)
    assert grows(-less["done"])
    assert grows(-less["toward_target"])
    assert grows(less["trail_share"])


def test_too_much_extension_takes_the_head_to_the_target_and_weight_forward(golfers: Body) -> None:
    more = change(golfers, "extension", AMOUNTS)
    assert grows(more["done"])
    assert grows(more["toward_target"])
    assert grows(-more["trail_share"])


def test_tilt_moves_the_head_up_and_down_and_extension_sideways(golfers: Body) -> None:
    """Which piece to look at first, wherever the joints do what was asked."""
    for piece, mostly, less in (("tilt", "up", "toward_target"), ("extension", "toward_target", "up")):
        for sign in (1.0, -1.0):
            moved = change(golfers, piece, sign * AMOUNTS)
            free = moved["met"] == 1.0
            assert free.mean() > 0.6
            assert np.all(np.abs(moved[mostly][free]) > 1.3 * np.abs(moved[less][free])), (piece, sign)


def test_a_sway_takes_the_head_and_the_weight_along(golfers: Body) -> None:
    """With tilt and extension as they would be without it."""
    still = top(golfers)
    same: dict[str, ArrayLike] = {name: still.achieved[name][..., -1] for name in ("tilt", "extension")}
    swayed = top(golfers, sway=np.array([0.02, 0.04, 0.06]), **same)
    away = (still.measures.head_moved - swayed.measures.head_moved)[..., -1, 1]
    share = (swayed.measures.trail_weight_share - still.measures.trail_weight_share)[..., -1]
    assert grows(away)
    assert grows(share)


def most(golfers: Body, lead: ArrayLike, trail: ArrayLike) -> tuple[Array, BoolArray, BoolArray]:
    """Most hip turn in degrees ``(12, ...)``, and whether the lead and the trail leg stop it."""
    found = most_hip_turn(golfers, Address(lead_flare=np.radians(lead), trail_flare=np.radians(trail)), Pieces())
    assert found.converged.all()

    def stopped(side: str) -> BoolArray:
        legs = [name.startswith(side) for name in found.limit_names]
        return np.asarray(found.stopped_by[..., legs].any(axis=-1))

    return np.degrees(found.hip_turn), stopped("lead"), stopped("trail")


def test_feet_turned_out_let_the_hips_turn_further_than_straight_or_pinched(golfers: Body) -> None:
    """Both feet alike, pinched or straight against fifteen degrees out. A rare body whose trail hip lets it turn far
    over straight feet gains nothing by turning them out: then its lead leg stops it, and says so."""
    flares = [-15.0, 0.0, 15.0]
    turned, by_lead, _ = most(golfers, flares, flares)
    pinched, straight, out = np.moveaxis(turned, -1, 0)
    assert np.all(straight > pinched + 5.0)
    assert np.all(out > pinched + 8.0)
    gains_little = out < straight + 1.0
    assert gains_little.mean() < 0.2
    assert by_lead[gains_little, -1].all()
    average = Body.from_stature([[1.756], [1.629]], [[80.0], [68.0]], [[0.0], [1.0]])
    assert np.all(np.diff(most(average, flares, flares)[0], axis=1) > 5.0)


@pytest.mark.parametrize(("foot", "sign"), [("trail", 1.0), ("lead", -1.0)])
def test_the_trail_foot_turned_out_helps_and_the_lead_foot_turned_out_hampers(
    foot: str, sign: float, golfers: Body
) -> None:
    """About one for one while that leg's hip and knee stop the turn, less where its ankle does; a fifth of it at most
    while the other leg does."""
    flares = np.array([-10.0, 0.0, 10.0, 20.0, 30.0, 40.0])
    turned, by_lead, by_trail = most(golfers, *((flares, 20.0) if foot == "lead" else (20.0, flares)))
    own, other = (by_lead, by_trail) if foot == "lead" else (by_trail, by_lead)
    gain = sign * np.diff(turned, axis=1) / np.diff(flares)

    def throughout(stopped: BoolArray) -> BoolArray:
        return np.asarray(stopped[:, 1:] & stopped[:, :-1])

    mine, theirs = throughout(own & ~other), throughout(other & ~own)
    assert min(mine.sum(), theirs.sum()) >= 10
    assert np.all((gain[mine] > 0.1) & (gain[mine] < 1.3))
    assert np.median(gain[mine]) == pytest.approx(1.0, abs=0.2)
    assert np.all(np.abs(gain[theirs]) < 0.2)


def test_flare_over_upright_legs_is_shared_by_hip_and_knee_exactly() -> None:
    """Straight legs plumb under a level turned pelvis, feet flared and swivelled anyhow: the sums are exact."""
    rng = np.random.default_rng(62)
    count = 300
    turn = np.radians(rng.uniform(-30, 80, count))
    flare = np.radians(rng.uniform(-20, 50, (2, count)))
    body = Body.from_stature(rng.uniform(1.5, 2.0, count))
    legs = lower_body.planted(body, flare, np.zeros(count), np.zeros((2, count)))
    half = legs.half_hip_width
    under = np.stack([half * np.sin(turn) * [[1.0], [-1.0]], half * np.cos(turn) * np.ones((2, 1))])
    ankle = legs.ankle.copy()
    ankle[:2] = under  # each leg seen as a left one
    q = np.zeros((8, count))
    q[HIP_TURN], q[SWIVELS] = turn, np.radians(rng.uniform(-25, 25, (2, count)))
    angles, _, closed = replace(legs, ankle=ankle).evaluate(q)
    assert closed.all()
    by_name = dict(zip(LEG_OUTPUTS, angles.reshape(8, 2, count), strict=True))
    outward = by_name["hip_external_rotation"] - by_name["shin_internal_rotation"]
    np.testing.assert_allclose(outward[0], turn + flare[0], rtol=0, atol=1e-9)
    np.testing.assert_allclose(-outward[1], turn - flare[1], rtol=0, atol=1e-9)
    for name in ("hip_abduction", "hip_flexion", "ankle_inversion", "ankle_dorsiflexion"):
        assert np.abs(by_name[name]).max() < 1e-6, name


@pytest.mark.parametrize(("side", "sign"), [("lead", 1.0), ("trail", -1.0)])
def test_flare_of_one_foot_changes_what_its_leg_must_rotate_about_one_for_one(
    side: str, sign: float, golfers: Body
) -> None:
    """Knees bent, pelvis inclined and feet apart: no longer exact, but within a fifth of it at the top."""
    flares = np.array([5.0, 15.0, 25.0])
    swing = simulate(golfers, Address().replace(**{f"{side}_flare": np.radians(flares)}), Pieces(), frames=2)
    legs_met = (np.abs(swing.asked["hip_turn"] - swing.achieved["hip_turn"])[..., -1] < np.radians(0.1)).all(axis=-1)
    assert legs_met.mean() > 0.8
    hip, knee = (
        np.degrees(swing.joint_angles[f"{side}_{name}"][legs_met, :, -1])
        for name in ("hip_external_rotation", "shin_internal_rotation")
    )
    # Outward of the lead leg, inward of the trail leg: what the turn asks for.
    slope = np.diff(sign * (hip - knee), axis=1) / 10.0
    assert np.all(np.abs(slope - sign) < 0.2)
    # Hip and knee share it.
    assert np.all(np.diff(sign * hip, axis=1) * sign > 0.0)
    assert np.all(np.diff(sign * -knee, axis=1) * sign > 0.0)
