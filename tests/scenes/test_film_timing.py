from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from turnstill.model.errors import TurnstillError
from turnstill.model.golfer.impact import LEVEL_PAST
from turnstill.scenes.film.timing import DENSE, FEWEST_FRAMES, MOST_FRAMES, TO_IMPACT, timing, timing_through_impact

RATES = (12.0, 12.5, 25.0)


@given(st.integers(FEWEST_FRAMES, MOST_FRAMES), st.sampled_from(RATES))
def test_a_film_has_its_length_and_loops_without_a_jump(frames: int, rate: float) -> None:
    when = timing(frames / rate, rate)
    order = np.array(when.order)
    last = len(when.picks) - 1
    assert len(order) == frames
    assert when.picks[0] == 0 and when.picks[-1] == DENSE - 1 and (np.diff(when.picks) >= 0).all()
    # Up to the top one moment at a time, home two at a time, and the last frame is the first one's neighbour.
    around = np.diff(np.append(order, order[0]))
    assert order[0] == 0 and order.max() == last and set(range(last + 1)) == set(order.tolist())
    assert set(around[:last]) == {1} and set(around[last:].tolist()) <= {0, -2}
    # An eased swing is never quicker than one and a half times an even one.
    assert np.diff(when.progress).max() <= 1.5 / last + 1 / (DENSE - 1)


def test_the_golfer_rests_at_both_ends() -> None:
    order = timing(4.0, 25.0).order
    assert order.count(max(order)) / 25.0 > 0.5 and order[-8:] == (0,) * 8


@pytest.mark.parametrize("seconds", [math.nan, math.inf, -math.inf, 0.0, -4.0, 0.4, 63.0, 1e300, 1e9])
@pytest.mark.parametrize("rate", RATES)
def test_other_lengths_are_refused_in_a_sentence(seconds: float, rate: float) -> None:
    with pytest.raises(TurnstillError, match=r"--seconds was .* but must be from .* frames a second") as wrong:
        timing(seconds, rate)
    assert "\n" not in str(wrong.value) and len(str(wrong.value)) < 160


@pytest.mark.parametrize("rate", RATES)
def test_the_ends_named_in_the_sentence_are_accepted(rate: float) -> None:
    with pytest.raises(TurnstillError) as wrong:
        timing(math.nan, rate)
    words = str(wrong.value).split()
    for seconds in (float(words[words.index("from") + 1]), float(words[words.index("to") + 1])):
        assert len(timing(seconds, rate).order) == round(seconds * rate)


def test_what_a_film_may_last_is_told_in_seconds_without_needless_digits() -> None:
    with pytest.raises(TurnstillError) as wrong:
        timing(40.5, 25.0)
    assert str(wrong.value) == ("--seconds was 40.5, but must be from 0.48 to 30 for a film of 25 frames a second.")


def test_a_film_of_twelve_frames_by_hand() -> None:
    """Two frames rest at the top and one at address (16 and 8 % of twelve); six eased steps up, three home."""
    when = timing(1.0, 12.0)
    assert when.order == (0, 1, 2, 3, 4, 5, 6, 6, 6, 4, 2, 0)
    # 400 s² (3 - 2 s) at each sixth.
    assert when.picks == (0, 30, 104, 200, 296, 370, 400)
    assert np.allclose(when.progress, np.array([0, 30, 104, 200, 296, 370, 400]) / 400) and when.rate == 12.0


@given(st.integers(24, MOST_FRAMES), st.sampled_from(RATES))
def test_a_film_through_impact_has_its_length_and_shows_every_moment_in_order(frames: int, rate: float) -> None:
    when = timing_through_impact(frames / rate, rate)
    order, picks = np.array(when.order), np.array(when.picks)
    top, ball, end = DENSE - 1, DENSE - 1 + TO_IMPACT, DENSE - 1 + 2 * TO_IMPACT
    assert len(order) == frames
    assert picks[0] == 0 and picks[-1] == end and {top, ball} <= set(picks.tolist()) and (np.diff(picks) >= 0).all()
    assert order[0] == 0 and set(np.diff(order).tolist()) <= {0, 1} and order[-1] == len(picks) - 1


def test_the_way_down_takes_a_third_of_the_backswing_and_goes_on_at_its_pace() -> None:
    when = timing_through_impact(12.0, 25.0)
    picks = np.array(when.picks)
    # Several frames near the top, where the eased backswing ends, show its last moment.
    up, ball = (int(np.searchsorted(picks, at, "right")) - 1 for at in (DENSE - 1, DENSE - 1 + TO_IMPACT))
    assert (ball - up) / up == pytest.approx(1.0 / 3.0, abs=0.02)
    assert (len(picks) - 1 - ball) / (ball - up) == pytest.approx(LEVEL_PAST - 1.0, abs=0.05)
