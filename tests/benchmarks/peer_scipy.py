"""The same legs by scipy's general optimisers, one moment at a time, on the product's outputs and analytic Jacobian.

`least_squares` (trust region reflective) has bounds on unknowns only. So the knees' ranges are its bounds, and the
other twelve are soft: a residual that grows from the end of the range on and weighs a degree outside like thirty
degrees of hip turn. `minimize(method="SLSQP")` takes every range as a hard constraint, with its analytic Jacobian.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from askings import SHARE, TIBIAL, Answers, LegProblem
from scipy.optimize import Bounds, least_squares, minimize

from turnstill.model.arrays import Array
from turnstill.model.chain.lower_body import ASKING_WEIGHTS, PER_DEGREE

OUTSIDE_WEIGHT = 30.0 * PER_DEGREE**0.5
RANGED = [row for row in range(16) if row not in (TIBIAL, TIBIAL + 1)]
SOFT = [row for row in RANGED if row not in (6, 7)]
ASKED = slice(0, 6)
NOT_CLOSED = 1e3


class _Moment:
    """One moment's outputs; a posture evaluated for its residuals is not evaluated again for its Jacobian."""

    def __init__(self, problem: LegProblem, i: int) -> None:
        one = problem[i : i + 1]
        self.legs, self.low, self.high = one.legs, one.limits.low[:, 0], one.limits.high[:, 0]
        self.asked, self.reference, self.start = one.asked[:, 0], one.reference[:, 0], one.start[:, 0]
        self.root_asking = np.sqrt(ASKING_WEIGHTS)
        self.root_strain = np.sqrt(one.strain_weight[:, 0])
        self.at = np.full(8, np.nan)

    def outputs(self, q: Array) -> tuple[Array, Array]:
        if not np.array_equal(q, self.at):
            y, jacobian, closed = self.legs.evaluate(q[:, None])
            self.y = np.asarray(y[:, 0]) if closed[0] else np.full(16, NOT_CLOSED)
            self.jacobian = jacobian[:, :, 0]
            self.at = q.copy()
        return self.y, self.jacobian

    def residuals(self, q: Array) -> Array:
        y, _ = self.outputs(q)
        outside = np.maximum(y - self.high, 0.0) - np.maximum(self.low - y, 0.0)
        return np.concatenate([
            (self.root_asking * (q - self.asked))[ASKED],
            self.root_strain * (y - self.reference),
            OUTSIDE_WEIGHT * outside[SOFT],
        ])  # fmt: skip

    def residual_jacobian(self, q: Array) -> Array:
        y, jacobian = self.outputs(q)
        beyond = ((y > self.high) | (y < self.low))[:, None] * jacobian
        wanted, strain = np.diag(self.root_asking)[ASKED], self.root_strain[:, None] * jacobian
        return np.concatenate([wanted, strain, OUTSIDE_WEIGHT * beyond[SOFT]])

    def cost(self, q: Array) -> tuple[float, Array]:
        y, jacobian = self.outputs(q)
        wanted, strain = self.root_asking * (q - self.asked), self.root_strain * (y - self.reference)
        gradient = self.root_asking * wanted + (self.root_strain * strain) @ jacobian
        return 0.5 * float(wanted @ wanted + strain @ strain), gradient

    def room(self, q: Array) -> Array:
        y, _ = self.outputs(q)
        return np.concatenate([(y - self.low)[RANGED], (self.high - y)[RANGED]])

    def room_jacobian(self, q: Array) -> Array:
        _, jacobian = self.outputs(q)
        return np.concatenate([jacobian[RANGED], -jacobian[RANGED]])


def by_least_squares(problem: LegProblem) -> Answers:
    """Every moment by `scipy.optimize.least_squares`."""
    return _each(problem, _least_squares)


def by_slsqp(problem: LegProblem) -> Answers:
    """Every moment by `scipy.optimize.minimize(method="SLSQP")`."""
    return _each(problem, _slsqp)


def _least_squares(moment: _Moment) -> tuple[Array, bool]:
    low, high = np.full(8, -np.inf), np.full(8, np.inf)
    low[4:6], high[4:6] = moment.low[6:8], moment.high[6:8]
    start = np.clip(moment.start, low + 1e-6, high - 1e-6)
    found = least_squares(
        moment.residuals, start, moment.residual_jacobian, bounds=(low, high), x_scale="jac", max_nfev=500
    )
    return found.x, bool(found.success)


def _slsqp(moment: _Moment) -> tuple[Array, bool]:
    inside = {"type": "ineq", "fun": moment.room, "jac": moment.room_jacobian}
    # Wider bounds than any leg has keep a trial step from leaving the loop for good.
    found = minimize(
        moment.cost, moment.start, jac=True, method="SLSQP", constraints=[inside],
        bounds=Bounds(np.full(8, -3.0), np.full(8, 3.0)), options={"maxiter": 300, "ftol": 1e-6},
    )  # fmt: skip
    return found.x, bool(found.success)


def _each(problem: LegProblem, solve: Callable[[_Moment], tuple[Array, bool]]) -> Answers:
    count = problem.asked.shape[1]
    q, converged = np.empty((8, count)), np.zeros(count, dtype=bool)
    for i in range(count):
        q[:, i], converged[i] = solve(_Moment(problem, i))
    y, _, closed = problem.legs.evaluate(q)
    return Answers(q, y, np.where(closed, 0.0, np.inf), converged & closed)


assert SHARE in SOFT, "the tibial range is ranged through its share"
