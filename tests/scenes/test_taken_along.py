"""A centred arc taken along with the neck: the same arc as the strike's, and told in the same words."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import numpy as np
import pytest

from turnstill.scenes.setups import taken_along as module
from turnstill.scenes.setups.perform import FEWEST_FRAMES, Performed, perform
from turnstill.scenes.setups.presets import backswing_names, load
from turnstill.scenes.setups.settings import apply
from turnstill.scenes.setups.taken_along import CentredArc, TakenAlong, neck_moved, taken_along
from turnstill.scenes.strike.report import StruckSwing
from turnstill.scenes.strike.work import struck
from turnstill.scenes.words.at_ball import tends_by_height
from turnstill.scenes.words.low_point import low_point_goes, low_point_sentence, low_points_sentence

By = Callable[[float, float, float], TakenAlong]


def done(name: str, *settings: str) -> Performed:
    return perform(apply(load(name), settings), FEWEST_FRAMES)


@pytest.fixture(scope="module")
def strike() -> StruckSwing:
    return StruckSwing.of_swing(struck(load("centred")))


@pytest.fixture(scope="module")
def moved() -> Iterator[By]:
    """The centred golfer's arc, taken along by so many cm toward ball, toward target and up."""
    arc, centred = CentredArc(load("centred")), done("centred")
    with pytest.MonkeyPatch.context() as patch:

        def by(ball: float, target: float, up: float) -> TakenAlong:
            patch.setattr(module, "neck_moved", lambda _: np.array([ball, target, up]) / 100.0)
            found = arc.along(centred)
            patch.undo()
            return found

        yield by


def test_a_still_head_leaves_the_strikes_own_centred_arc(strike: StruckSwing) -> None:
    (arc,) = taken_along([done("centred")])
    assert (arc.toward_target_cm, arc.up_cm) == (0.0, 0.0)
    assert arc.low_point_ahead_cm == pytest.approx(strike.centred.low_point_ahead_cm, abs=1e-4)
    assert arc.club_up_at_ball_cm == pytest.approx(0.0, abs=0.01)
    assert arc.descent_deg == pytest.approx(strike.centred.descent_deg, abs=0.05)
    assert arc.ground_before_ball_cm is None
    told = low_point_sentence(arc, after=arc)
    assert "within 0.3 cm of its place" in told and "level with it" in told
    assert not any(word in told for word in ("fat (", "thin (", "counted from"))


def test_all_of_it_goes_along_and_nothing_else(moved: By, strike: StruckSwing) -> None:
    """The low point goes by what the neck goes by; at the ball stands what was as far before it or past it."""
    path = np.array([[p.toward_target_cm, p.up_cm] for p in strike.centred_path])
    for ball, target, up in ((0.0, -5.0, 0.0), (3.0, 4.0, -2.0), (-2.0, -3.0, 1.5)):
        arc = moved(ball, target, up)
        assert arc.low_point_ahead_cm == pytest.approx(strike.centred.low_point_ahead_cm + target, abs=2e-3)
        at_ball = np.interp(-target, path[:, 0], path[:, 1]) + up
        assert arc.club_up_at_ball_cm == pytest.approx(at_ball, abs=0.05)  # Places are 2.5 cm apart.
        assert (arc.ground_before_ball_cm is not None) == (up <= 0.0)


def test_a_centimetre_does_what_the_strike_says_it_does(moved: By, strike: StruckSwing) -> None:
    here = moved(0.0, 0.0, 0.0)
    for one, by in zip(strike.neck, 0.05 * np.eye(3), strict=True):
        there = moved(*by.tolist())
        for key in ("low_point_ahead_cm", "club_up_at_ball_cm", "descent_deg"):
            slope = (getattr(there, key) - getattr(here, key)) / 0.05
            assert slope == pytest.approx(getattr(one.adds, key), abs=5e-3), (one.toward, key)


def test_it_is_counted_from_this_golfers_own_centred_turn() -> None:
    for settings in ((), ("stature=160", "sex=female"), ("head.toward_target=-3",), ("handedness=left",)):
        assert np.abs(neck_moved(done("centred", *settings))).max() < 1e-6, settings
    right, left = (taken_along([done("too-little-extension", f"handedness={hand}")])[0] for hand in ("right", "left"))
    assert right == left and right.toward_target_cm < -3.0


def test_swings_of_one_golfer_and_of_two_have_their_own_arcs() -> None:
    three = [done("centred"), done("sway"), done("sway", "stature=160")]
    assert taken_along(three) == [CentredArc(one.setup).along(one) for one in three]


@pytest.mark.parametrize("name", backswing_names())
def test_of_a_preset_is_said_what_the_strike_says_of_such_an_arc(name: str) -> None:
    (arc,) = taken_along([done(name)])
    told = low_points_sentence([(name, arc)])
    misses = abs(arc.club_out_at_ball_cm) > 4.0
    tends = tends_by_height(arc.club_up_at_ball_cm, arc.descent_deg, arc.ground_before_ball_cm, misses=misses)
    assert tends in told
    # Where a neck went down the club comes to the ground first; where it went up it does not.
    if arc.up_cm < -0.5:
        assert ": fat (" in told
    if arc.up_cm > 0.5:
        assert "thin (" in told and "fat (" not in told


def test_an_arc_that_passes_no_ball_is_told_only_where_it_goes() -> None:
    none = TakenAlong(toward_target_cm=-3.4, up_cm=-2.2, toward_ball_cm=0.2, low_point_ahead_cm=None,
                      club_up_at_ball_cm=None, club_out_at_ball_cm=None, descent_deg=None,
                      ground_before_ball_cm=None)  # fmt: skip
    assert low_points_sentence([("A", none)]).endswith(
        "in A 3.4 cm farther from the target and 2.2 cm lower (counted from the centred turn)."
    )
    whole = none.replaced(low_point_ahead_cm=-1.2, club_up_at_ball_cm=-0.9, club_out_at_ball_cm=0.1, descent_deg=1.0,
                          ground_before_ball_cm=11.0)  # fmt: skip
    told = low_point_sentence(whole, inches=True, after=none.replaced(toward_target_cm=0.1, up_cm=0.0))
    assert "now 1.34 in farther from the target and 0.87 in lower, with the change within 0.12 in of its place" in told
    assert (
        "arc bottoms out 0.47 in before the ball and at the ball is 0.35 in below the ground. It comes to the" in told
    )
    assert told.endswith("4.33 in before the ball: fat (common practice, no source).")
    low = low_point_goes(np.array([0.0, 4.1, 0.0]))
    assert low.endswith("now 4.1 cm nearer to the target (counted from the centred turn).")
    assert low_point_goes(np.array([0.0, 0.1, 0.0])).endswith("now within 0.3 cm of its place.")


def test_a_neck_that_went_toward_the_ball_is_told_and_its_club_meets_no_ball() -> None:
    """It passes half a clubhead beside the ball and more, which is told as in a strike."""
    (arc,) = taken_along([done("centred", "hips_toward_ball=10")])
    assert arc.toward_ball_cm > 5.0 and arc.club_out_at_ball_cm == pytest.approx(arc.toward_ball_cm, abs=0.3)
    told = low_points_sentence([("A", arc)])
    assert f"{arc.toward_ball_cm:.1f} cm nearer to the ball" in told
    assert f"{arc.club_out_at_ball_cm:.1f} cm farther out than the ball" in told and "thin" not in told
