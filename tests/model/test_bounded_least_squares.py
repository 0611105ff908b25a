"""The optimiser against closed forms and against scipy, on problems that have nothing to do with golf."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

import numpy as np
import pytest
from scipy.optimize import minimize

from turnstill.model.batch import Batch, Parts
from turnstill.model.numeric import bounded_least_squares as bls


@dataclass(frozen=True)
class Linear(Batch):
    """y = A q."""

    matrix: Annotated[np.ndarray, Parts(before=2)]  # (m, n, N)

    def evaluate(self, q: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        return np.einsum("mnN,nN->mN", self.matrix, q), self.matrix.copy(), np.ones(q.shape[1], dtype=bool)


@dataclass(frozen=True)
class Disc(Batch):
    """y = |q|^2: a curved range."""

    def evaluate(self, q: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        return (q * q).sum(axis=0)[None], 2.0 * q[None], np.ones(q.shape[1], dtype=bool)


def test_projection_on_a_disc_is_radial_and_its_force_is_the_closed_form() -> None:
    rng = np.random.default_rng(0)
    goal = rng.normal(size=(2, 300)) * 3.0
    one = np.ones((1, 1))
    problem = bls.Problem(Disc(), goal, np.ones((2, 1)), 0 * one, 0 * one, -one, one)
    solution = bls.solve(problem, np.zeros((2, 300)))
    size = np.linalg.norm(goal, axis=0)
    assert solution.converged.all()
    # A goal right on the boundary is where a barrier is least exact: off by the root of its smallest slack.
    np.testing.assert_allclose(solution.q, goal / np.maximum(size, 1.0), atol=np.sqrt(bls.SMALLEST_SLACK))
    clear = np.abs(size - 1.0) > 0.01
    np.testing.assert_allclose(solution.q[:, clear], (goal / np.maximum(size, 1.0))[:, clear], atol=1e-6)
    # Stationarity: q - goal + 2 q z = 0 with z the force of the upper end.
    np.testing.assert_allclose(-solution.force[0], np.maximum(0.5 * (size - 1.0), 0.0), atol=1e-4)


def test_scale_changes_the_way_and_not_the_answer() -> None:
    goal = np.random.default_rng(4).normal(size=(2, 300)) * 3.0
    clear = np.abs(np.linalg.norm(goal, axis=0) - 1.0) > 0.01
    one, found = np.ones((1, 1)), []
    for scale in (1.0, 1e3):
        weight = np.full((2, 1), 3e3)
        problem = bls.Problem(Disc(), goal, weight, 0 * one, 0 * one, -one, one, scale)
        found.append(bls.solve(problem, np.full((2, 300), 0.1)))
        assert found[-1].converged.all()
    np.testing.assert_allclose(found[1].q[:, clear], found[0].q[:, clear], atol=1e-7)
    # Ranges that push with thousands are where a barrier that starts at one is too low.
    assert found[1].iterations.mean() < found[0].iterations.mean()


def test_bounded_linear_least_squares_agrees_with_scipy() -> None:
    rng = np.random.default_rng(1)
    n, m, count = 4, 6, 40
    matrix = rng.normal(size=(m, n, count))
    goal, reference = rng.normal(size=(n, count)) * 2, rng.normal(size=(m, count)) * 2
    low, high = np.full((m, count), -np.inf), np.full((m, count), np.inf)
    low[:3], high[:3] = -0.5, 0.5
    problem = bls.Problem(Linear(matrix), goal, np.ones((n, 1)), reference, np.full((m, 1), 0.3), low, high)
    solution = bls.solve(problem, np.zeros((n, count)))
    assert solution.converged.all()
    for i in range(count):
        a = matrix[..., i]

        def cost(q: np.ndarray, a: np.ndarray = a, i: int = i) -> float:
            return 0.5 * ((q - goal[:, i]) ** 2).sum() + 0.15 * ((a @ q - reference[:, i]) ** 2).sum()

        ranges = [{"type": "ineq", "fun": lambda q, a=a, s=s: 0.5 + s * (a[:3] @ q)} for s in (1.0, -1.0)]
        judge = minimize(cost, np.zeros(n), constraints=ranges, method="SLSQP", options={"ftol": 1e-14})
        np.testing.assert_allclose(solution.q[:, i], judge.x, atol=1e-5)


@pytest.mark.parametrize("start", [0.0, 5.0, -12.0])
def test_any_start_will_do(start: float) -> None:
    one = np.ones((1, 1))
    goal = np.array([[3.0, 0.2], [4.0, 0.1]])
    problem = bls.Problem(Disc(), goal, np.ones((2, 1)), 0 * one, 0 * one, -one, one)
    solution = bls.solve(problem, np.full((2, 2), start))
    assert solution.converged.all()
    np.testing.assert_allclose(solution.q, [[0.6, 0.2], [0.8, 0.1]], atol=1e-6)


def test_a_moment_does_not_depend_on_its_neighbours(monkeypatch: pytest.MonkeyPatch) -> None:
    rng = np.random.default_rng(2)
    goal = rng.normal(size=(2, 500)) * 3
    one = np.ones((1, 1))

    def answer(of: slice) -> np.ndarray:
        part = goal[:, of]
        return bls.solve(bls.Problem(Disc(), part, np.ones((2, 1)), 0 * one, 0 * one, -one, one), 0 * part).q

    together = answer(slice(None))
    monkeypatch.setattr(bls, "POOL", 64)  # moments now enter and leave the pool in the middle
    np.testing.assert_allclose(answer(slice(None)), together, rtol=0, atol=1e-12)
    for some in (slice(7, 8), slice(20, 31), slice(400, None)):
        np.testing.assert_allclose(answer(some), together[:, some], rtol=0, atol=1e-12)


def test_what_cannot_converge_says_so() -> None:
    """A range that no q meets: y = |q|^2 must be at most -1."""
    one = np.ones((1, 1))
    problem = bls.Problem(Disc(), np.ones((2, 1)), np.ones((2, 1)), 0 * one, 0 * one, -2 * one, -one)
    solution = bls.solve(problem, np.ones((2, 1)))
    assert not solution.converged.any()
    assert np.isfinite(solution.q).all()
