"""Motion while the shutter is open, against closed forms."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from turnstill.model.films.camera import face_on
from turnstill.model.swing.phases import Phases
from turnstill.scenes.dataset.making.motion import MOST_STEPS, across_exposure, rate_of_progress, velocities


def test_a_backswing_gets_on_as_a_film_of_ours_shows_it() -> None:
    share = np.linspace(0.0, 1.0, 2001)
    progress, seconds = share**2 * (3 - 2 * share), 0.8
    by_differences = np.gradient(progress, share * seconds)
    rates = [rate_of_progress(one, seconds) for one in progress]
    np.testing.assert_allclose(rates[1:-1], by_differences[1:-1], atol=1e-5)
    assert (rates[0], rates[-1]) == pytest.approx((0.0, 0.0), abs=1e-7)


def golfer(
    progress: np.ndarray[Any, Any], backswing_s: float, downswing_s: float | None = None
) -> tuple[Any, list[Any]]:
    """A figure of two vertices, one of which goes up by a metre in the backswing, and on after it."""
    still = np.array([0.0, 0.3, 0.9])

    def pose(at: Any) -> Any:
        up = np.asarray(at)[..., None] * np.array([0.0, 0.0, 1.0])
        return np.stack([up, np.broadcast_to(still, up.shape)], axis=-2)

    figure = SimpleNamespace(pose=pose)
    made = SimpleNamespace(progress=progress, skeleton=progress)
    moments = tuple(range(len(progress)))
    swing = SimpleNamespace(swing=made, moments=moments, backswing_s=backswing_s, downswing_s=downswing_s)
    return swing, [SimpleNamespace(figure=figure, vertices=figure.pose(at)) for at in progress]


def test_vertices_move_as_fast_as_the_swing_gets_on() -> None:
    progress = np.linspace(0.0, 1.0, 41)
    swing, posed = golfer(progress, 0.9)
    for moment in (0, 7, 20, 33, 40):
        expected = [[0.0, 0.0, rate_of_progress(progress[moment], 0.9)], [0.0, 0.0, 0.0]]
        np.testing.assert_allclose(velocities(swing, posed[0].figure)[moment], expected, atol=1e-9)


def test_the_way_down_is_even_and_goes_on_past_the_ball_at_its_pace() -> None:
    """On the way back the vertex goes up by a metre to the ball, and past it by 1 / 0.28 of a metre for as much way."""
    progress = Phases.of(41, through_impact=True).progress
    swing, posed = golfer(progress, 0.9, 0.25)
    up = velocities(swing, posed[0].figure)[:, 0, 2]
    assert up[7] == pytest.approx(rate_of_progress(progress[7], 0.9)) and up[40] == pytest.approx(0.0)
    np.testing.assert_allclose(up[42:60], 1.0 / 0.25)
    np.testing.assert_allclose(up[61:], 1.0 / 0.28 / 0.25)


def test_a_blur_lies_round_the_posture_and_is_as_long_as_the_way() -> None:
    swing, posed = golfer(np.linspace(0.0, 1.0, 41), 0.9)
    moving = velocities(swing, posed[0].figure)[20]
    camera = face_on(0.8, 720, 900)
    fast, slow, slowest = (across_exposure(camera, posed[20], moving, shutter) for shutter in (1 / 30, 1 / 200, 1e-4))
    assert slowest is None and across_exposure(camera, posed[20], moving, 0.0) is None
    assert fast is not None and slow is not None
    np.testing.assert_allclose(fast.mean(axis=0), posed[20].vertices, atol=1e-12)
    np.testing.assert_allclose(fast[-1] - fast[0], moving / 30, atol=1e-12)
    steps = camera.project(fast[:, 0])
    assert 1.0 < np.linalg.norm(np.diff(steps, axis=0), axis=1).max() <= 3.0 or len(fast) == MOST_STEPS
    assert len(slow) < len(fast) <= MOST_STEPS
