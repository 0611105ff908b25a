"""Shares: the laws that make them unique, and an enumeration of its own through whole simulated swings."""

from __future__ import annotations

from itertools import permutations

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from turnstill.model import Address, Body, HeadPlace, Pieces, Steady, TurnstillError
from turnstill.model.chain.walk import ribcage_share
from turnstill.model.golfer.pieces import DEPARTURES, PIECES
from turnstill.model.numeric.rotations import turn_about_inclined_axis
from turnstill.model.questions.head_asked import own_axis_turn
from turnstill.model.questions.shares import REFERENCES, sensitivities, shapley, shares
from turnstill.model.swing.simulate import simulate

CM, DEG = 1e-2, float(np.radians(1.0))
ONE_CHANGED = {
    "hip_turn": 38 * DEG,
    "shoulder_turn": 80 * DEG,
    "tilt": Steady(8 * DEG),
    "extension": Steady(-9 * DEG),
    "lead_flex_change": 5 * DEG,
    "trail_flex_change": 0.0,
    "sway": 4 * CM,
    "hips_toward_ball": 3 * CM,
}


def wandering(rng: np.random.Generator, count: int) -> Pieces:
    """Pivots off the centred one in every piece."""

    def near(centre: float, spread: float, unit: float = DEG) -> np.ndarray:
        return (centre + rng.uniform(-spread, spread, count)) * unit

    return Pieces(
        near(45, 12), near(88, 10), Steady(near(0, 10)), Steady(near(0, 12)), near(15, 8), near(-10, 8),
        near(0, 4, CM), near(0, 3, CM),
    )  # fmt: skip


@pytest.fixture(scope="module")
def random_swings(golfers):
    body, address, _ = golfers(25, 41)
    return simulate(body, address, wandering(np.random.default_rng(5), 25), frames=4)


@pytest.mark.parametrize("against", REFERENCES)
def test_shares_of_random_swings_add_up_from_the_reference_to_the_simulated_head(random_swings, against) -> None:
    swing = random_swings
    found = shares(swing, against)
    assert found.share.shape == (25, 4, 8, 4)
    assert found.converged.mean() > 0.95
    np.testing.assert_allclose(found.share.sum(axis=-2), found.total, atol=1e-9)
    ends = found.reference + found.total
    np.testing.assert_allclose(ends[..., :3], swing.measures.head_moved, atol=1e-9)
    np.testing.assert_allclose(ends[..., 3], swing.measures.inclination, atol=1e-9)
    if against == "steady":
        held = simulate(swing.body, swing.address, Pieces(), frames=4)
        np.testing.assert_allclose(found.reference[..., :3], held.measures.head_moved, atol=1e-9)
        np.testing.assert_allclose(found.reference[..., 3], held.measures.inclination, atol=1e-9)
    else:
        np.testing.assert_allclose(found.reference[..., :3], 0.0, atol=1e-9)


def enumerated(body: Body, address: Address, present: dict, absent: dict, own_turn: bool) -> np.ndarray:
    """Shapley values ``(8, 4)`` from every order of all eight pieces, each combination a simulated swing's top."""
    number = np.arange(2 ** len(DEPARTURES))
    there = {name: (number >> k & 1).astype(bool) for k, name in enumerate(DEPARTURES)}
    asked = {name: np.where(there[name], present[name], absent[name]) for name in DEPARTURES}
    if own_turn:
        start = Rotation.from_euler("ZXY", [0.0, np.ravel(address.side_bend)[0], np.ravel(address.forward_bend)[0]])
        spun = start * Rotation.from_rotvec([0.0, 0.0, -1.0])  # a guess, refined until the turn is the one asked
        wanted, angle = float(ribcage_share(present["shoulder_turn"])), 1.0
        for _ in range(50):
            spun = start * Rotation.from_rotvec([0.0, 0.0, -angle])
            angle += wanted + spun.as_euler("ZXY")[0]
        _, minus_tilt, bend = spun.as_euler("ZXY")
        at_rest = start.as_euler("ZXY")
        asked["tilt"] = asked["tilt"] + np.where(there["shoulder_turn"], -minus_tilt, -at_rest[1])
        asked["extension"] = asked["extension"] + np.where(there["shoulder_turn"], at_rest[2] - bend, 0.0)
    top = simulate(body, address, Pieces(**asked), frames=2)
    value = np.concatenate([top.measures.head_moved[:, -1], top.measures.inclination[:, -1:]], axis=1)
    orders = np.array(list(permutations(range(len(DEPARTURES)))))
    before = np.concatenate([np.zeros_like(orders[:, :1]), np.cumsum(1 << orders, axis=1)], axis=1)
    out = np.zeros((len(DEPARTURES), 4))
    for place in range(len(DEPARTURES)):
        gain = value[before[:, place + 1]] - value[before[:, place]]
        np.add.at(out, orders[:, place], gain / len(orders))
    return out


@pytest.mark.parametrize("against", REFERENCES)
def test_shares_agree_with_an_enumeration_of_simulated_swings(against) -> None:
    body, address = Body.from_stature(1.70, 66.0, "female"), Address()
    pieces = Pieces(
        40 * DEG, 84 * DEG, Steady(6 * DEG), Steady(-8 * DEG), 11 * DEG, -7 * DEG, 2 * CM, -1.5 * CM
    )  # fmt: skip
    swing = simulate(body, address, pieces, frames=3)
    found = shares(swing, against)
    for moment in (1, 2):
        at = {name: float(values[moment]) for name, values in found.present.items()}
        zero = {name: float(values[moment]) for name, values in found.absent.items()}
        expected = enumerated(body, address, at, zero, own_turn=against == "turn")
        np.testing.assert_allclose(found.share[moment], expected, atol=1e-9)


@pytest.mark.parametrize("piece", DEPARTURES)
def test_one_piece_changed_from_steady_gets_everything(piece) -> None:
    body, address = Body.from_stature(), Address()
    held = simulate(body, address, Pieces(), frames=5)
    numbers = {name: float(held.asked[name][-1]) for name in ("tilt", "extension")}
    change = ONE_CHANGED[piece]
    if isinstance(change, Steady):
        swing = simulate(body, address, Pieces().replace(**{piece: change}), frames=5)
    else:  # Steady would follow the change; the numbers of the centred turn do not.
        reference = Pieces(**numbers)
        swing = simulate(body, address, reference.replace(**{piece: change}), frames=5)
    found = shares(swing, reference=None if isinstance(change, Steady) else Pieces(**numbers))
    others = [k for k, name in enumerate(DEPARTURES) if name != piece]
    assert (found.share[:, others] == 0.0).all()
    assert found.combinations == ((), (piece,))
    np.testing.assert_allclose(found.of(piece), found.total, atol=1e-12)
    assert np.abs(found.of(piece)[-1, :3]).max() > 2e-3


def test_a_centred_swing_has_no_shares_against_steady(golfers) -> None:
    body, address, _ = golfers(5, 7)
    found = shares(simulate(body, address, Pieces(), frames=3))
    assert found.combinations == ((),)
    assert (found.share == 0.0).all() and (found.total == 0.0).all()


def test_directions_of_common_practice(golfers) -> None:
    """Against steady: more tilt takes the head down and toward the ball, missing extension away from the target."""
    body, address, _ = golfers(30, 8)
    swings = [
        simulate(body, address, Pieces(**change), frames=2)
        for change in ({"tilt": Steady(8 * DEG)}, {"extension": Steady(-8 * DEG)})
    ]
    tilted, short = (shares(swing).share[:, -1].sum(axis=1) for swing in swings)
    free_tilt, free_short = (~swing.limited[:, -1].any(axis=-1) for swing in swings)
    assert free_tilt.sum() > 10 and free_short.sum() > 10
    # A trunk at the end of its range does less of what is asked, but nothing else.
    assert (tilted[:, 0] > 0.0).all() and (tilted[:, 2] < 0.0).all() and (short[:, 1] < 0.0).all()
    assert (tilted[free_tilt, 0] > 0.02).all() and (tilted[free_tilt, 2] < -0.015).all()
    assert (short[free_short, 1] < -0.03).all()


def test_a_golfer_has_the_shares_he_has_alone(random_swings) -> None:
    swing = random_swings
    whole = shares(swing)
    one = 3
    address, body = swing.address.broadcast((25,))[[one]], swing.body[[one]]
    pieces = wandering(np.random.default_rng(5), 25)
    own = {}
    for name in DEPARTURES:
        value = getattr(pieces, name)
        own[name] = Steady(value.plus[[one]]) if isinstance(value, Steady) else np.asarray(value)[[one]]
    alone = shares(simulate(body, address, Pieces(**own), frames=4))
    np.testing.assert_allclose(alone.share[0], whole.share[one], atol=1e-9)


def test_a_left_hander_and_a_right_hander_share_alike() -> None:
    body, address, pieces = Body.from_stature(), Address(), Pieces(sway=0.03)
    right, left = (shares(simulate(body, address, pieces, frames=3, left_handed=hand)) for hand in (False, True))
    np.testing.assert_array_equal(right.share, left.share)


def test_timing_is_kept_in_the_reference() -> None:
    timing = {"hip_turn": [(0.0, 0.0), (0.5, 0.9), (1.0, 1.0)]}
    swing = simulate(Body.from_stature(), Address(), Pieces(tilt=Steady(8 * DEG)), timing, frames=5)
    assert shares(swing, timing=timing).combinations == ((), ("tilt",))
    early = shares(swing)  # against a centred turn of even timing the early hips are a departure on the way
    assert np.abs(early.of("hip_turn")[2]).max() > 1e-3
    np.testing.assert_allclose(early.of("hip_turn")[-1], 0.0, atol=1e-12)


def test_a_raised_heel_is_in_every_combination() -> None:
    swing = simulate(Body.from_stature(), Address(), Pieces(lead_heel_rise=0.03, tilt=Steady(5 * DEG)), frames=3)
    assert shares(swing).combinations == ((), ("tilt",))


def test_combinations_that_a_joint_stops_are_named() -> None:
    tight = Body.from_stature(ranges={"trail_hip_internal_rotation": 8 * DEG})
    loose = Body.from_stature()
    for body, stops in ((tight, True), (loose, False)):
        swing = simulate(body, Address(lead_flare=0.0, trail_flare=0.0), Pieces(34 * DEG), frames=2)
        found = shares(swing, "address")
        column = found.stop_names.index("trail_hip_internal_rotation")
        for pieces, flags in zip(found.combinations, found.stopped[-1], strict=True):
            assert flags[column] == (stops and "hip_turn" in pieces), pieces


def test_an_unknown_reference_is_refused() -> None:
    with pytest.raises(TurnstillError, match="steady, address or turn"):
        shares(simulate(Body.from_stature(), Address(), Pieces(), frames=2), "impact")


def test_shapley_of_known_games() -> None:
    # Gloves: one left, two right; a pair is worth 1. Known values 2/3, 1/6, 1/6.
    worth = np.array([float(bool(n & 1) and n > 1) for n in range(8)])
    np.testing.assert_allclose(shapley(worth), [2 / 3, 1 / 6, 1 / 6])


def test_shapley_keeps_its_laws_on_random_games() -> None:
    rng = np.random.default_rng(0)
    number = np.arange(2**5)
    game, other = rng.normal(size=(2, 2**5, 3))
    values = np.array(shapley(game))
    np.testing.assert_allclose(values.sum(axis=0), game[-1] - game[0], atol=1e-12)
    np.testing.assert_allclose(
        np.array(shapley(game + 2.0 * other)), values + 2.0 * np.array(shapley(other)), atol=1e-12
    )
    null = game[number & ~4]  # player 2 changes nothing
    np.testing.assert_allclose(shapley(null)[2], 0.0, atol=1e-14)
    swapped = (number & ~3) | (number & 1) << 1 | (number & 2) >> 1
    alike = game + game[swapped]  # players 0 and 1 are interchangeable
    np.testing.assert_allclose(shapley(alike)[0], shapley(alike)[1], atol=1e-12)


def test_sensitivities_are_the_slopes_of_simulated_swings(golfers) -> None:
    body, address, pieces = golfers(12, 9)
    swing = simulate(body, address, pieces.replace(tilt=Steady(4 * DEG), extension=Steady(-4 * DEG)), frames=2)
    slopes = sensitivities(swing)
    unit = {name: 0.001 if PIECES[name].unit == "cm" else 0.1 * DEG for name in DEPARTURES}
    steps = np.array([-2.0, -1.0, 1.0, 2.0])  # five points: error of fourth order
    # Every piece in its turn moved by every step, one row of golfers each.
    rows = np.zeros((len(DEPARTURES), len(steps), 1))
    top = {name: rows + swing.asked[name][..., -1] for name in PIECES}
    for k, name in enumerate(DEPARTURES):
        top[name][k] += unit[name] * steps[:, None]
    moved = simulate(body, address, Pieces(**top), frames=2)
    free = ~(moved.limited[..., -1, :].any(axis=(1, -1)) | swing.limited[:, -1].any(axis=-1))
    ends = np.concatenate([moved.measures.head_moved[..., -1, :], moved.measures.inclination[..., -1:]], axis=-1)
    for k, name in enumerate(DEPARTURES):
        assert free[k].sum() > 4
        far_back, back, ahead, far_ahead = ends[k]
        expected = (far_back - 8 * back + 8 * ahead - far_ahead) / (12 * unit[name])
        np.testing.assert_allclose(slopes[free[k], k], expected[free[k]], atol=2e-5, rtol=2e-5, err_msg=name)


def test_a_turn_about_the_own_axis() -> None:
    rng = np.random.default_rng(2)
    turn = rng.uniform(-100, 150, 40) * DEG
    rest = np.stack([np.zeros(40), np.zeros(40), rng.uniform(10, 50, 40) * DEG])
    tilt, bend = own_axis_turn(rest, turn)
    about = np.arctan2(np.sin(ribcage_share(turn)), np.cos(ribcage_share(turn)) * np.cos(rest[2]))
    _, expected_tilt, expected_bend = turn_about_inclined_axis(about, rest[2])
    np.testing.assert_allclose(tilt, expected_tilt, atol=1e-12)
    np.testing.assert_allclose(bend, expected_bend, atol=1e-12)
    rest[1] = rng.uniform(-8, 8, 40) * DEG  # with side bend: the axis stays where it was in the room
    tilt, bend = own_axis_turn(rest, turn)
    before = Rotation.from_euler("ZXY", np.stack([-rest[0], -rest[1], rest[2]], axis=1)).as_matrix()[:, :, 2]
    angles = np.stack([-ribcage_share(turn), -tilt, bend], axis=1)
    after = Rotation.from_euler("ZXY", angles).as_matrix()[:, :, 2]
    np.testing.assert_allclose(after, before, atol=1e-12)


def test_counted_from_address_a_fault_spreads_over_untouched_pieces() -> None:
    """The figures of docs/shares.md: of ten degrees of extension short, a third shows at the shoulder turn."""
    body, address = Body.draw(np.random.default_rng(1), 100), Address()
    swings = [simulate(body, address, Pieces(extension=Steady(plus)), frames=2) for plus in (0.0, -10 * DEG)]
    held, short = (shares(swing, "address") for swing in swings)
    drift = (short.total - held.total)[:, -1, 1]
    part = np.median((short.share - held.share)[:, -1, :, 1] / drift[:, None], axis=0)
    told = dict(zip(DEPARTURES, part, strict=True))
    assert told["extension"] == pytest.approx(0.46, abs=0.01)
    assert told["shoulder_turn"] == pytest.approx(0.34, abs=0.01)
    assert told["hip_turn"] == pytest.approx(0.14, abs=0.01)
    np.testing.assert_array_equal(shares(swings[1]).of("shoulder_turn"), 0.0)


def test_the_whole_of_shares_is_where_simulate_takes_a_head_that_is_wanted_elsewhere(golfers) -> None:
    """Far enough for the trunk's range to keep some from the turn that they would make with the head at its place."""
    body, address, pieces = golfers(12, 21)
    head = HeadPlace(toward_target=-0.12, up=0.06)
    swing = simulate(body, address, pieces, frames=2, head=head)
    home = simulate(body, address, pieces, frames=2)
    assert np.any(np.abs(home.achieved["shoulder_turn"] - swing.achieved["shoulder_turn"]) > 1e-3)
    for against in REFERENCES:
        found = shares(swing, against)
        ends = (found.reference + found.total)[..., :3]
        np.testing.assert_allclose(ends, swing.measures.head_moved, atol=2e-7)
