"""What the strike says of swings: laws, and the directions that golfers know (common practice)."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
from through_impact import drawn_at_impact

from turnstill.model import Address, Body, Pieces, Steady, simulate
from turnstill.model.arrays import Array
from turnstill.model.golfer.club import fitted_club
from turnstill.model.golfer.head_place import HeadPlace
from turnstill.model.golfer.impact import Impact, centred_at_impact
from turnstill.model.questions.arc import Arc
from turnstill.model.questions.strike import FROM, TO, Striking, strike

DEG = np.pi / 180.0
SURVEYED = 200


def at_impact(**changes: float | Steady) -> Impact:
    return Impact(centred_at_impact().replace(**changes))


def of_average(impact: Impact | None = None, **more: HeadPlace) -> Arc:
    return strike(Body.from_stature(), Address(), Pieces(), impact, **more)


@pytest.fixture(scope="module")
def surveyed() -> Body:
    return Body.draw(np.random.default_rng(96), SURVEYED)


def test_a_centred_swing_of_any_body_meets_the_ball_along_the_target_line(surveyed: Body) -> None:
    """And travels 2 to 7 degrees down, its low point 2 to 12 cm ahead of the ball (common practice, a mid-iron)."""
    arc = strike(surveyed, Address(club_length=fitted_club(surveyed)), Pieces())
    assert np.all(arc.passes)
    assert np.abs(np.stack([arc.up, arc.out])).max() < 1e-6 and np.abs(np.degrees(arc.outward)).max() < 0.01
    down, ahead = np.degrees(arc.descent), 100.0 * arc.low_ahead
    assert down.min() > 2.0 and down.max() < 7.0
    assert ahead.min() > 2.0 and ahead.max() < 12.0
    assert np.all(arc.low_up < 0.0), "the divot is after the ball"


def test_the_arc_is_the_chains_whatever_ranges_begin_to_act_on_the_way() -> None:
    """Drawn golfers from drawn addresses, against the chain sampled ever more finely about the ball and the low point.

    In half of them a range begins or ends to act in the window, which makes a corner.
    """
    rng = np.random.default_rng(99)
    swing = Striking.of(Body.draw(rng, 60), Address.draw(rng, 60), Pieces(), Impact())
    each, arc = np.arange(60), swing.arc()

    def narrowed(cell: Callable[[Array], tuple[Array, Array]]) -> tuple[Array, Array]:
        """The ways ``(60,)`` between which it is, when what is found among eleven is sampled again and again."""
        start, end = np.full(60, FROM), np.full(60, TO)
        while (end - start).max() > 2e-6:
            ways = start[:, None] + (end - start)[:, None] * np.linspace(0.0, 1.0, 11)
            first, last = cell(swing.places(each, ways))
            start, end = ways[each, first], ways[each, last]
        return start, end

    def passing(path: Array) -> tuple[Array, Array]:
        past = np.clip((path[:, :, 1] > 0.0).argmax(axis=1), 1, 10)
        return past - 1, past

    def lowest(path: Array) -> tuple[Array, Array]:
        low = np.clip(path[:, :, 2].argmin(axis=1), 1, 9)
        return low - 1, low + 1

    start, end = narrowed(passing)
    before, after = np.moveaxis(swing.places(each, np.stack([start, end], axis=1)), 1, 0)
    share = -before[:, 1] / (after - before)[:, 1]
    here = before + share[:, None] * (after - before)
    np.testing.assert_allclose(np.stack([arc.out, arc.up]), here[:, [0, 2]].T, rtol=0, atol=1e-6)
    # The way it comes: of its last 1e-5 of a way, a tenth of a millimetre.
    at = start + share * (end - start)
    going = here - swing.places(each, at[:, None] - 1e-5)[:, 0]
    angles = np.arctan2(-going[:, 2], np.hypot(going[:, 0], going[:, 1])), np.arctan2(going[:, 0], going[:, 1])
    np.testing.assert_allclose(np.degrees([arc.descent, arc.outward]), np.degrees(angles), rtol=0, atol=0.05)
    start, end = narrowed(lowest)
    low = swing.places(each, 0.5 * (start + end)[:, None])[:, 0]
    np.testing.assert_allclose(np.stack([arc.low_ahead, arc.low_up]), low[:, 1:].T, rtol=0, atol=5e-4)


def test_a_fault_at_the_top_that_is_given_back_costs_nothing() -> None:
    """500 swings with anything off at the top, and the same impact, as drawn as it."""
    rng = np.random.default_rng(97)
    body, address = Body.draw(rng, 500), Address.draw(rng, 500)
    impact = Impact(drawn_at_impact(rng, 500))
    usual = Pieces.draw(rng, 500)
    off = usual.replace(
        hip_turn=usual.hip_turn + rng.uniform(-20, 15, 500) * DEG, tilt=Steady(rng.uniform(-15, 15, 500) * DEG),
        extension=Steady(rng.uniform(-15, 15, 500) * DEG), sway=rng.uniform(-0.06, 0.06, 500),
        shoulder_turn=usual.shoulder_turn - rng.uniform(0, 20, 500) * DEG,
    )  # fmt: skip
    first, then = (strike(body, address, pieces, impact) for pieces in (usual, off))
    assert np.isfinite(first.up).mean() > 0.9, "the others' clubs do not pass the ball, whatever was off"
    for name in ("low_ahead", "low_up", "up", "out", "descent", "outward"):
        np.testing.assert_allclose(getattr(then, name), getattr(first, name), rtol=0, atol=1e-9, err_msg=name)


def test_the_arc_is_that_of_the_drawn_club() -> None:
    """The figure's clubhead, moment by moment, where no joint stops an arm: its lowest, and its way at the ball."""
    impact = at_impact(tilt=Steady(3.0 * DEG), sway=-0.05)
    swing = simulate(Body.from_stature(), Address(), Pieces(), frames=2001, impact=impact)
    assert not swing.arms_limited[2800:3300].any()
    head = (swing.skeleton.joints["clubhead"] - swing.skeleton.joints["ball"])[2800:3300]
    arc = of_average(impact)
    low = head[head[:, 2].argmin()]
    assert low[2] == pytest.approx(float(arc.low_up), abs=1e-6) and low[1] == pytest.approx(
        float(arc.low_ahead), abs=2e-3
    )
    passes = int(np.argmax(head[:, 1] > 0.0))
    before, after = head[passes - 1], head[passes]
    share = -before[1] / (after[1] - before[1])
    assert before[2] + share * (after[2] - before[2]) == pytest.approx(float(arc.up), abs=1e-5)
    # Its way at the ball itself, of a cubic through the places about it, which are a centimetre apart.
    about = head[passes - 2 : passes + 2]
    out, up = (np.polyfit(about[:, 1], about[:, axis], 3)[2] for axis in (0, 2))
    assert np.arctan2(-up, np.hypot(out, 1.0)) == pytest.approx(float(arc.descent), abs=1e-4)
    assert np.arctan(out) == pytest.approx(float(arc.outward), abs=1e-4)


def test_a_head_kept_away_from_the_target_bottoms_out_behind_the_ball() -> None:
    """Common practice: 5 cm at impact is enough to hit the ground first."""
    there = Impact(head=HeadPlace(toward_target=-0.05))
    still, behind = of_average(), of_average(there)
    assert behind.low_ahead < still.low_ahead - 0.03
    assert behind.descent < still.descent


def test_a_head_that_dips_digs_and_one_that_rises_thins() -> None:
    for wanted in (-0.03, 0.03):
        arc = of_average(Impact(head=HeadPlace(up=wanted)))
        assert np.sign(arc.low_up - of_average().low_up) == np.sign(wanted)
        assert abs(arc.up) > 0.015


def test_trail_side_tilt_that_is_missing_takes_the_head_toward_the_target_or_the_club_up() -> None:
    missing = at_impact(tilt=Steady(12.0 * DEG))
    swing = simulate(Body.from_stature(), Address(), Pieces(), frames=3, impact=missing)
    head, arc = swing.measures.head_moved[3], of_average(missing)
    assert swing.progress[3] == 2.0
    assert head[1] > 0.01 or arc.up > 0.01


def test_the_arc_hangs_from_the_base_of_the_neck() -> None:
    """A pelvis that stays back (weight on the trail foot), the trunk's angles the same: the arc goes where it goes."""
    found = []
    for sway in (-0.08, -0.02):
        impact = at_impact(sway=sway, tilt=-30.0 * DEG, extension=15.0 * DEG)
        swing = simulate(Body.from_stature(), Address(), Pieces(), frames=3, impact=impact)
        arc = of_average(impact)
        found.append([*swing.measures.neck_base_moved[3, 1:], arc.low_ahead, arc.low_up])
    along, up, low_ahead, low_up = np.subtract(*found[::-1])
    assert along < -0.02
    assert low_ahead == pytest.approx(along, abs=0.005) and low_up == pytest.approx(up, abs=0.005)
