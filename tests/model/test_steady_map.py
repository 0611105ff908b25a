"""A cell of the map is the swing that simulate makes of its numbers."""

from __future__ import annotations

import numpy as np
import pytest

from turnstill.model import Address, Body, Pieces
from turnstill.model.chain.steady import STILL_M
from turnstill.model.errors import TurnstillError
from turnstill.model.golfer.head_place import HeadPlace
from turnstill.model.golfer.pieces import HEELS, PIECES, Steady
from turnstill.model.questions.steady_map import SteadyMap, steady_map
from turnstill.model.swing.simulate import simulate

TWO = ("tilt", "extension")
PAIRS = [
    ("tilt", "extension"),
    ("hip_turn", "extension"),
    ("shoulder_turn", "tilt"),
    ("sway", "lead_flex_change"),
    ("shoulder_turn", "trail_flex_change"),
    ("lead_heel_rise", "hips_toward_ball"),
    ("trail_heel_rise", "sway"),
]


def about(swing, name: str, count: int, half: float) -> np.ndarray:
    """Values about the swing's own, ``half`` degrees or centimetres to both sides."""
    scale = 0.01 if PIECES[name].unit == "cm" else np.radians(1.0)
    low = 0.0 if name in HEELS else -half
    return float(np.mean(swing.asked[name][..., -1])) + np.linspace(low, half, count) * scale


@pytest.mark.parametrize(("x", "y"), PAIRS)
def test_cells_are_simulated_swings(golfers, x: str, y: str) -> None:
    body, address, pieces = golfers(3, 11)
    swing = simulate(body, address, pieces, frames=2)
    x_values, y_values = about(swing, x, 4, 12.0 if PIECES[x].unit == "deg" else 4.0), about(swing, y, 3, 5.0)
    found = steady_map(swing, x, y, x_values, y_values)
    assert found.outcome.shape == (3, 3, 4, 4)
    at_top = {name: swing.asked[name][:, -1] for name in PIECES}
    for row, value_y in enumerate(y_values):
        for column, value_x in enumerate(x_values):
            asked = {**at_top, x: np.full(3, value_x), y: np.full(3, value_y)}
            alone = simulate(body, address, Pieces(**asked), frames=2)
            np.testing.assert_allclose(found.outcome[:, row, column, :3], alone.measures.head_moved[:, -1], atol=2e-7)
            np.testing.assert_allclose(found.outcome[:, row, column, 3], alone.measures.inclination[:, -1], atol=2e-6)
            # All but the last name, the girdle's: it does not reach the head.
            np.testing.assert_array_equal(found.stopped[:, row, column], alone.limited[:, -1, :-1])


@pytest.fixture(scope="module")
def centred() -> SteadyMap:
    swing = simulate(Body.from_stature(), Address(), Pieces(), frames=2)
    return steady_map(swing, "tilt", "extension", about(swing, "tilt", 31, 15.0), about(swing, "extension", 31, 15.0))


def test_the_steady_answer_lies_in_the_still_band(centred: SteadyMap) -> None:
    np.testing.assert_array_equal(centred.place, centred.steady)
    assert centred.still[15, 15] and centred.off[15, 15] < 1e-4
    # The band is one piece about it, and small: half a centimetre is about a degree.
    rows, columns = np.nonzero(centred.still)
    assert np.ptp(rows) <= 4 and np.ptp(columns) <= 4
    assert np.all(centred.off[centred.still] <= STILL_M)


def test_directions_of_the_trade(centred: SteadyMap) -> None:
    """Common practice: more tilt takes the head down and to the ball, missing extension away from the target."""
    row, column = 15, 15
    assert (
        centred.up[row, column + 5] < -0.01 and centred.toward_ball[row, column + 5] > centred.toward_ball[row, column]
    )
    assert centred.up[row, column - 5] > 0.01
    assert centred.toward_target[row - 5, column] < -0.02 and centred.toward_target[row + 5, column] > 0.02


def test_beyond_the_reach_is_marked_and_nearest(centred: SteadyMap) -> None:
    swing = simulate(Body.from_stature(), Address(), Pieces(), frames=2)
    wide = steady_map(
        swing, "tilt", "extension", np.radians(np.linspace(0, 90, 19)), np.radians(np.linspace(-20, 80, 11))
    )
    assert 0.1 < wide.reached.mean() < 0.9 and wide.converged.all()
    assert wide.stopped[..., wide.stop_names.index("trunk")][~wide.reached].all()
    # The trunk's range is convex enough that what can be reached at one extension is one stretch of tilt.
    for row in wide.reached:
        assert np.count_nonzero(np.diff(np.concatenate([[False], row, [False]]).astype(int)) == 1) <= 1
    assert centred.reached[15, 15]


def test_a_faults_place_and_its_steady_answer_differ_by_the_fault() -> None:
    pieces = Pieces(tilt=Steady(np.radians(10.0)), hip_turn=np.radians([40.0, 45.0]))
    swing = simulate(Body.from_stature(), Address(), pieces, frames=2)
    found = steady_map(swing, "extension", "tilt", about(swing, "extension", 5, 4.0), about(swing, "tilt", 5, 4.0))
    np.testing.assert_allclose(np.degrees(found.place - found.steady), [[0.0, 10.0], [0.0, 10.0]], atol=1e-9)
    legs = steady_map(swing, "sway", "hips_toward_ball", np.array([0.0]), np.array([0.0]))
    np.testing.assert_array_equal(legs.place, legs.steady)
    np.testing.assert_allclose(legs.outcome[:, 0, 0, :3], swing.measures.head_moved[:, -1], atol=1e-7)


def test_of_any_golfer_the_own_place_is_the_swing_and_the_steady_answer_is_still(golfers) -> None:
    body, address, pieces = golfers(12, 5)
    swing = simulate(body, address, pieces.replace(tilt=Steady(0.05), extension=Steady(-0.04)), frames=3)
    for k in range(12):
        mine = [
            np.unique([found[k] for found in (swing.asked[name][:, -1], swing.steady[name][:, -1])]) for name in TWO
        ]
        found = steady_map(swing, *TWO, *mine)
        place = tuple(int(np.argmin(np.abs(mine[i] - found.place[k, i]))) for i in (1, 0))
        steady = tuple(int(np.argmin(np.abs(mine[i] - found.steady[k, i]))) for i in (1, 0))
        np.testing.assert_allclose(found.outcome[k][place][:3], swing.measures.head_moved[k, -1], atol=2e-7)
        assert place != steady
        if swing.steady_miss[k, -1] < 1e-3 and found.reached[k][steady]:
            assert found.still[k][steady] and found.off[k][steady] < 1.5e-3
    assert np.sum(swing.steady_miss[:, -1] < 1e-3) >= 6


def test_a_left_handers_map_is_the_same() -> None:
    right, left = (
        simulate(Body.from_stature(), Address(), Pieces(sway=0.02), frames=2, left_handed=hand)
        for hand in (False, True)
    )
    maps = [steady_map(s, "tilt", "sway", about(s, "tilt", 5, 9.0), about(s, "sway", 3, 2.0)) for s in (right, left)]
    np.testing.assert_array_equal(maps[0].outcome, maps[1].outcome)
    np.testing.assert_array_equal(maps[0].stopped, maps[1].stopped)


@pytest.mark.parametrize(("x", "y"), [("tilt", "tilt"), ("tilt", "flare"), ("", "tilt")])
def test_impossible_maps_are_refused(x: str, y: str) -> None:
    swing = simulate(Body.from_stature(), Address(), Pieces(), frames=2)
    with pytest.raises(TurnstillError, match="A map is of two"):
        steady_map(swing, x, y, np.zeros(2), np.zeros(2))


def test_a_head_wanted_elsewhere_is_counted_from_there(golfers) -> None:
    """Cells are the swings that simulate makes with the head wanted there; the band is about what holds it there."""
    body, address, pieces = golfers(3, 12)
    head = HeadPlace(toward_target=np.array([-0.05, 0.02, 0.0]), up=np.array([0.01, 0.0, -0.03]))
    swing = simulate(body, address, pieces, frames=2, head=head)
    values = [about(swing, name, 3, 9.0) for name in TWO]
    found = steady_map(swing, *TWO, *values)
    at_top = {name: swing.asked[name][:, -1] for name in PIECES}
    for row, column in ((0, 2), (2, 1)):
        asked = {**at_top, "tilt": np.full(3, values[0][column]), "extension": np.full(3, values[1][row])}
        alone = simulate(body, address, Pieces(**asked), frames=2, head=head)
        moved = alone.measures.head_moved[:, -1]
        np.testing.assert_allclose(found.outcome[:, row, column, :3], moved, atol=2e-7)
        off = np.hypot(moved[:, 1] - head.toward_target, moved[:, 2] - head.up)
        np.testing.assert_allclose(found.off[:, row, column], off, atol=2e-7)
    np.testing.assert_allclose(found.wanted, np.stack([head.toward_target, head.up], axis=-1), atol=1e-12)
    # On its own map each golfer's star is as near to the wanted place as that head can be held.
    for k in range(3):
        held = [float(swing.steady[name][k, -1]) for name in TWO]
        own = steady_map(swing[k], *TWO, *(np.array([one - 0.2, one]) for one in held))
        assert own.off[1, 1] == pytest.approx(float(swing.steady_miss[k, -1]), abs=1e-4)
        assert own.off[1, 1] < own.off[0, 0] - 0.05
