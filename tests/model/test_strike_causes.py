"""Causes of a strike: shares that add up, slopes that are difference quotients, amounts that mend."""

from __future__ import annotations

import numpy as np
import pytest

from turnstill.model import DEPARTURES, Address, Body, Pieces, Steady
from turnstill.model.golfer.head_place import HeadPlace
from turnstill.model.golfer.impact import Impact, centred_at_impact
from turnstill.model.questions.arc import Arc
from turnstill.model.questions.strike import FROM, OUTCOMES, TO, Striking, strike
from turnstill.model.questions.strike_causes import StrikeCauses, strike_causes

DEG = np.pi / 180.0
UP = list(OUTCOMES).index("up")


def causes(impact: Impact, pieces: Pieces | None = None) -> StrikeCauses:
    return strike_causes(Body.from_stature(), Address(), pieces or Pieces(), impact)


def outcomes(impact: Impact, **address: float) -> np.ndarray:
    arc = strike(Body.from_stature(), Address().replace(**address), Pieces(), impact)
    return np.array([float(getattr(arc, name)) for name in OUTCOMES])


@pytest.fixture(scope="module")
def several() -> StrikeCauses:
    """Three pieces off at impact, one of them only at the top."""
    pieces = centred_at_impact().replace(
        extension=Steady(8.0 * DEG), hips_toward_ball=0.05, trail_flex_change=18.0 * DEG
    )
    return causes(Impact(pieces), Pieces(tilt=Steady(9.0 * DEG), hip_turn=30.0 * DEG))


def test_shares_add_up_to_what_is_off(several: StrikeCauses) -> None:
    for k, name in enumerate(OUTCOMES):
        off = getattr(several.arc, name) - getattr(several.centred, name)
        assert several.share[:, k].sum() == pytest.approx(float(off), abs=1e-9), name


@pytest.mark.parametrize("heel", [{"lead_heel_rise": 0.04}, {"trail_heel_rise": 0.0}, {"trail_heel_rise": 0.06}])
def test_a_heel_that_rises_as_told_leaves_the_sum_and_the_centred_club_at_the_ball(heel: dict[str, float]) -> None:
    """It is no departure: the centred swing that a strike is held against has it too, and meets the ball."""
    pieces = centred_at_impact().replace(**heel, tilt=Steady(3.0 * DEG))
    found = causes(Impact(pieces))
    for k, name in enumerate(OUTCOMES):
        off = getattr(found.arc, name) - getattr(found.centred, name)
        assert found.share[:, k].sum() == pytest.approx(float(off), abs=1e-9), name
    usual = causes(Impact()).centred
    assert found.centred.up == pytest.approx(0.0, abs=1e-6) and found.centred.out == pytest.approx(0.0, abs=1e-6)
    assert abs(found.centred.low_ahead - usual.low_ahead) > 1e-3


def test_what_is_off_at_the_top_alone_has_no_share(several: StrikeCauses) -> None:
    there = {name for k, name in enumerate(DEPARTURES) if np.any(several.share[k] != 0.0)}
    # With the legs elsewhere another tilt and extension hold the head, which is theirs to answer for.
    assert {"extension", "hips_toward_ball", "trail_flex_change"} <= there <= {
        "extension", "hips_toward_ball", "trail_flex_change", "tilt",
    }  # fmt: skip
    assert np.degrees(several.off[DEPARTURES.index("trail_flex_change")]) == pytest.approx(6.0, abs=1e-6)
    assert several.off[DEPARTURES.index("hips_toward_ball")] == pytest.approx(0.03, abs=1e-9)


def test_one_piece_alone_gets_everything() -> None:
    found = causes(Impact(centred_at_impact().replace(tilt=Steady(10.0 * DEG))))
    for k, name in enumerate(DEPARTURES):
        assert np.all(found.share[k] == 0.0) == (name != "tilt"), name


def test_a_slope_is_what_a_little_more_does() -> None:
    """Of plain numbers, of which a little more is a little more."""
    step = 0.02 * DEG
    plain = {"tilt": -29.0 * DEG, "extension": 14.0 * DEG}
    found = causes(Impact(centred_at_impact().replace(**plain)))
    for name, at in (*plain.items(), ("lead_flex_change", -5.0 * DEG)):
        less, more = (outcomes(Impact(centred_at_impact().replace(**{**plain, name: at + d}))) for d in (-step, step))
        slope = (more - less) / (2.0 * step)
        np.testing.assert_allclose(found.slope[DEPARTURES.index(name)], slope, rtol=2e-3, atol=2e-3, err_msg=name)


def test_moving_the_neck_moves_the_arc_and_what_it_is_at_the_ball() -> None:
    """A ball that lies elsewhere under the same path is a path that is shifted the other way."""
    impact = Impact(centred_at_impact().replace(extension=Steady(5.0 * DEG)))
    striking = Striking.of(Body.from_stature(), Address(), Pieces(), impact)
    found = causes(impact)
    step = 1e-4
    for axis in range(3):
        by = step * np.eye(3)[axis]
        less, more = (
            Arc.of(lambda golfer, ways, d=d: striking.places(golfer, ways) + d, 1, (FROM, TO))[0] for d in (-by, by)
        )
        for k, name in enumerate(OUTCOMES):
            slope = (getattr(more, name) - getattr(less, name)) / (2.0 * step)
            assert found.neck_slope[k, axis] == pytest.approx(float(slope), abs=1e-5), (axis, name)


def test_what_mends_brings_the_club_to_the_balls_height() -> None:
    found = causes(Impact(centred_at_impact().replace(tilt=Steady(10.0 * DEG))))
    assert abs(found.arc.up) > 0.03
    mends = {name: found.mends[k] for k, name in enumerate(DEPARTURES) if not np.isnan(found.mends[k])}
    assert np.degrees(mends["tilt"]) == pytest.approx(-10.0, abs=0.01), "taking back what was too much"
    assert "extension" in mends and mends["extension"] < 0.0
    for k, name in enumerate(DEPARTURES):
        if name in mends:
            assert abs(found.then[k, UP]) < 1e-3, name
        else:
            assert np.isnan(found.then[k]).all(), name
    tilt = DEPARTURES.index("tilt")
    centred = [float(getattr(found.centred, name)) for name in OUTCOMES]
    np.testing.assert_allclose(found.then[tilt], centred, atol=1e-4)


def test_a_head_that_is_wanted_elsewhere_is_where_it_counts_from() -> None:
    there = HeadPlace(toward_target=-0.03)
    found = causes(Impact(head=there))
    assert np.all(found.share == 0.0) and found.arc.low_ahead == pytest.approx(float(found.centred.low_ahead))
    assert found.centred.low_ahead < causes(Impact()).centred.low_ahead - 0.02


def test_batches_give_the_numbers_of_one() -> None:
    body = Body.from_stature(np.array([1.6, 1.9]), 70.0)
    tilt = np.array([4.0, -7.0]) * DEG
    both = strike_causes(
        body, Address(club_length=1.1), Pieces(), Impact(centred_at_impact().replace(tilt=Steady(tilt)))
    )
    assert both.share.shape == (2, 8, 6) and both.mends.shape == (2, 8)
    for k in range(2):
        one = strike_causes(
            body[k], Address(club_length=1.1), Pieces(), Impact(centred_at_impact().replace(tilt=Steady(tilt[k])))
        )
        np.testing.assert_allclose(both.share[k], one.share, atol=1e-8)
        np.testing.assert_allclose(both.slope[k], one.slope, atol=1e-6)
        np.testing.assert_allclose(both.mends[k], one.mends, atol=1e-5)
