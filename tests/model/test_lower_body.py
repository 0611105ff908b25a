"""The four priorities of the legs, on ordinary and on mostly impossible askings."""

from __future__ import annotations

import functools
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from turnstill.model.chain.legs import HIP_TURN, KNEES, LEG_OUTPUTS
from turnstill.model.chain.lower_body import ASKING_WEIGHTS, LowerBody, unreflected

KINDS = pytest.mark.parametrize("kind", ["ordinary", "wild", "absurd"])


@pytest.fixture(scope="module")
def solved_from_address(askings) -> Callable[[str], tuple[Any, LowerBody]]:
    """2,000 askings of a kind, and their answers: found once, judged by every law."""

    @functools.cache
    def of(kind: str) -> tuple[Any, LowerBody]:
        made = askings(2000, 6, kind)
        return made, made.solve()

    return of


def _met(asked: np.ndarray, q: np.ndarray) -> np.ndarray:
    off = np.abs(asked - q)[:6]
    return (off[[0, 1, 4, 5]] < np.radians(0.1)).all(axis=0) & (off[2:4] < 1e-3).all(axis=0)


@KINDS
def test_bones_feet_and_ranges_hold_whatever_is_asked(solved_from_address, kind: str) -> None:
    a, solved = solved_from_address(kind)
    assert solved.converged.all()
    hip, knee = unreflected(solved.posture.hip), unreflected(solved.posture.knee)
    ankle = unreflected(a.legs.ankle)
    np.testing.assert_allclose(np.linalg.norm(hip - knee, axis=-1), np.stack(2 * [a.legs.thigh]), atol=1e-6)
    np.testing.assert_allclose(np.linalg.norm(knee - ankle, axis=-1), np.stack(2 * [a.legs.shank]), atol=1e-6)
    np.testing.assert_allclose(np.linalg.norm(hip[0] - hip[1], axis=-1), 2 * a.legs.half_hip_width, atol=1e-6)
    share = LEG_OUTPUTS.index("shin_internal_rotation")
    ranged = [2 * row + leg for row in range(8) if row != share for leg in (0, 1)]
    over = np.maximum(a.limits.low - solved.angles, solved.angles - a.limits.high)[ranged]
    assert np.degrees(over.max()) < 0.01


@KINDS
def test_achieved_is_what_the_posture_shows(solved_from_address, kind: str) -> None:
    _, solved = solved_from_address(kind)
    pelvis = solved.pelvis
    np.testing.assert_allclose(np.arctan2(pelvis[:, 0, 1], pelvis[:, 1, 1]), solved.q[HIP_TURN], atol=1e-9)
    hip = unreflected(solved.posture.hip)
    np.testing.assert_allclose(hip.mean(axis=0), solved.pelvis_centre, atol=1e-9)
    thigh, shank = solved.posture.thigh[:, 2], solved.posture.shank[:, 2]
    np.testing.assert_allclose(np.arccos(np.clip((thigh * shank).sum(axis=0), -1, 1)), solved.q[KNEES], atol=1e-6)


def test_nothing_is_called_stopped_where_all_is_met_and_something_is_where_not(solved_from_address) -> None:
    for kind in ("ordinary", "wild", "absurd"):
        a, solved = solved_from_address(kind)
        met = _met(a.asked, solved.q)
        assert met.mean() < 1.0 if kind != "ordinary" else met.mean() > 0.9
        assert not solved.stopped_by[met].any(axis=-1).mean() > 0.02
        assert solved.stopped_by[~met].any(axis=-1).mean() > 0.995


@KINDS
def test_same_answer_from_five_starts(solved_from_address, kind: str) -> None:
    a, first = solved_from_address(kind)
    rng = np.random.default_rng(7)
    spread = np.zeros(2000)
    scale = np.array([0.4, 0.3, 0.08, 0.08, 0.3, 0.3, 0.5, 0.5])[:, None]
    for _ in range(5):
        start = a.stance.lower.q + rng.normal(size=(8, 2000)) * scale
        start[4:6] = np.clip(np.abs(start[4:6]), 0.02, 1.2)
        reaches = a.legs.close(start)[2]
        start[:, ~reaches] = a.stance.lower.q[:, ~reaches]
        other = a.solve(start)
        spread = np.maximum(spread, np.abs(other.q - first.q).max(axis=0))
    same = spread < 1e-4
    met = _met(a.asked, first.q)
    assert same[met].all()
    assert same.mean() >= 0.995, f"{(~same).sum()} of 2000 ended elsewhere"


def test_the_compromise_is_a_least_squares_optimum(askings) -> None:
    """No nearby posture inside the ranges meets the asking better: random probing finds none."""
    a = askings(300, 8, "absurd")
    solved = a.solve()
    rng = np.random.default_rng(9)

    def cost(q: np.ndarray) -> np.ndarray:
        return (ASKING_WEIGHTS[:, None] * (q - a.asked) ** 2).sum(axis=0)

    best = cost(solved.q)
    finite = np.isfinite(a.limits.low).all(axis=1)
    share = 2 * LEG_OUTPUTS.index("shin_internal_rotation")
    finite[share : share + 2] = False
    for scale in (1e-3, 1e-2, 1e-1):
        for _ in range(40):
            q = solved.q + scale * rng.normal(size=solved.q.shape) * rng.uniform(size=(8, 1))
            y, _, closed = a.legs.evaluate(q)
            inside = closed & ((y >= a.limits.low) & (y <= a.limits.high))[finite].all(axis=0)
            assert (cost(q)[inside] >= best[inside] * (1.0 - 1e-3) - 1e-2).all()
