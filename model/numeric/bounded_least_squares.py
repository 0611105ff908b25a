"""Batched bounded least squares: the one optimiser behind the legs, the trunk and the steady head.

Every question of the chain has the same form. Of a few unknowns ``q`` we want some to meet a goal, some
nonlinear outputs ``y(q)`` (joint angles, head position) to stay near a reference, and some outputs never to
leave a range::

    minimise  1/2 sum_i W_i (q_i - goal_i)^2  +  1/2 sum_j V_j (y_j(q) - reference_j)^2
    subject to  low_j <= y_j(q) <= high_j

A primal-dual interior point method solves all moments of a batch together: Mehrotra's predictor and corrector
(1992, SIAM J. Optim. 2:575-601) on a Gauss-Newton Hessian, slacks so that any start will do, an augmented
Lagrangian as merit function with backtracking (Nocedal & Wright, Numerical Optimization, 2nd ed. 2006, ch. 17 and
19), a second-order correction where a range curves away from a full step (ch. 15, from memory), and, for the few
moments where Gauss-Newton is slow because a range pushes hard, the exact Hessian by differencing the analytic
Jacobian. The multipliers of the ranges are returned: they name what stopped a move.

Arrays here are laid out with the batch as *last* axis, so that every operation runs over contiguous moments.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from ..arrays import Array, BoolArray
from .least_squares_problem import Outputs, Problem, Solution
from .normal_equations import factor_positive_definite, solve_factored, transpose_product, weighted_normal_matrix

POOL = 4096
"""Moments iterated together: the interpreter's share of the work falls with it (1,024 costs a quarter more)."""

PACKING = 12
"""Finished moments are packed away when they are one in so many: packing copies all that is known of the others."""

MAX_ITERATIONS = 100
GAUSS_NEWTON_ITERATIONS = 20
"""From this iteration on a moment gets the exact Hessian; ordinary ones are done long before."""

STEP_TOLERANCE = 1e-7
FEASIBILITY_TOLERANCE = 1e-9
SMALLEST_SLACK = 1e-8
"""How close to the end of a range (in its unit) a moment may come that is stopped there."""

LARGEST_STEP = 0.5
"""Longest change of any unknown in one iteration (rad or m): angles are not linear beyond it."""

BOUNDARY = 0.995
"""Share of the way to the end of a range that one step may take."""

DUAL_BOUNDARY = 0.9999
"""The same of the way to zero of a multiplier; the band below holds it, and ranges that do not act are soon let go."""

DUAL_BAND = 1e4
SHORTEST_STEP = 1e-6


def solve(problem: Problem, start: Array, most: int = MAX_ITERATIONS) -> Solution:
    """Solve every problem of the batch from ``start (n, N)`` in at most ``most`` iterations each."""
    return _InteriorPoint(problem, start, most).run()


class _InteriorPoint:
    """The iteration. A pool of moments is iterated together; finished ones leave and waiting ones enter.

    All that is known of the moments in the pool is in ``self.state``, arrays with the moment as last axis: ``q``,
    ``y``, ``cost``, ``jacobian``; ``distance``, ``slack`` and ``dual`` ``(2, ranged, N)`` of lower and upper ends; the
    ``secant`` part of the Hessian with the ``q`` and ``jacobian`` it was last updated from; the shortest barrier
    allowed (``floor``), the step length a rejected trial left (``limit``), which moments try a rejected step again
    (``bent``) with how far its ranges curved away ``(ranged, N)`` (``bend``), which are ``done``, and counts.
    """

    def __init__(self, problem: Problem, start: Array, most: int) -> None:
        self.most = most
        m, count = problem.reference.shape[0], start.shape[1]
        self.whole, self.start = problem, start
        rows = np.flatnonzero(np.isfinite(problem.low).any(axis=1))
        # Rows that follow each other are a slice, which numpy takes without copying.
        together = rows.size and rows[-1] - rows[0] + 1 == rows.size
        self.ranged: slice | NDArray[np.intp] = slice(int(rows[0]), int(rows[-1]) + 1) if together else rows
        self.result = Solution(
            start.copy(),
            np.zeros((m, count)),
            np.zeros((m, count)),
            np.zeros(count, dtype=bool),
            np.zeros(count),
        )
        self.waiting = min(POOL, count)
        first = np.arange(self.waiting)
        self.problem = problem if self.waiting == count else problem[first]
        self.state = self._enter(self.problem, first)

    def run(self) -> Solution:
        """Iterate until every moment has converged or used up its iterations."""
        # A moment that goes astray may overflow; it is not converged, and harms no neighbour.
        with np.errstate(all="ignore"):
            while True:
                self._refill()
                if self.state["place"].size == 0:
                    return self.result
                self._iterate()

    def _refill(self) -> None:
        room = POOL - self.state["place"].size
        left = self.start.shape[1] - self.waiting
        if left == 0 or (room < POOL // 4 and left > room):
            return
        index = np.arange(self.waiting, self.waiting + min(room, left))
        self.waiting += index.size
        new, old = self._enter(self.whole[index], index), self.state
        self.state = {name: np.concatenate([old[name], new[name]], axis=-1) for name in old}
        self.problem = self.whole[self.state["place"]]

    def _enter(self, problem: Problem, index: NDArray[np.intp]) -> dict[str, Any]:
        """State of moments that start: slacks inside their range even where the start is not."""
        q = self.start.take(index, -1)
        n, count = q.shape
        y, jacobian, valid = problem.outputs.evaluate(q)
        low, high = problem.low[self.ranged], problem.high[self.ranged]
        room = 0.1 * np.minimum(high - low, 1.0)
        ranged = y[self.ranged]
        distance = np.array([ranged - low, high - ranged])
        slack = np.maximum(distance, room)
        return {
            "place": index, "q": q, "y": y, "cost": problem.cost(q, y), "jacobian": jacobian, "valid": valid,
            "distance": distance, "slack": slack, "dual": problem.scale / slack,
            "secant": np.zeros((n, n, count)), "q_before": q, "jacobian_before": jacobian,
            "bend": np.zeros(distance.shape[1:]), "bent": np.zeros(count, dtype=bool),
            "floor": np.zeros(count), "limit": np.full(count, np.inf), "iterations": np.zeros(count),
            "done": np.zeros(count, dtype=bool),
        }  # fmt: skip

    def _iterate(self) -> None:
        """One Newton direction and one trial step for every moment of the pool.

        A moment whose trial is rejected stays where it is and tries half the length in the next iteration, along
        with everybody else: backtracking moment by moment would cost a whole evaluation for a few.
        """
        s, p, ranged = self.state, self.problem, self.ranged
        slack, dual, jacobian = s["slack"], s["dual"], s["jacobian"]
        pull = p.reference_weight * (s["y"] - p.reference)
        gap = s["distance"] - slack
        stiffness = dual / slack
        weight = np.empty_like(pull)
        weight[:] = p.reference_weight
        weight[ranged] += stiffness[0] + stiffness[1]
        force = pull.copy()
        force[ranged] += dual[1] - dual[0]
        self._update_secant(force)
        hessian = weighted_normal_matrix(jacobian, weight)
        diagonal = hessian.reshape(-1, hessian.shape[-1])[:: len(hessian) + 1]
        diagonal += p.goal_weight
        factor, lifted = factor_positive_definite(hessian, s["secant"])
        goal_gradient = p.goal_weight * (s["q"] - p.goal)
        ahead = gap
        if s["bent"].any():
            ahead = gap + np.array([s["bend"], -s["bend"]])
        owed = dual * ahead

        def newton(target: Array | float) -> tuple[Array, Array, Array, Array]:
            """Direction of unknowns, outputs, slacks and duals that makes slack times dual meet ``target``."""
            wanted = (target - owed) / slack
            push = -pull
            push[ranged] += wanted[0] - wanted[1]
            step = solve_factored(factor, transpose_product(jacobian, push) - goal_gradient)
            moved = np.einsum("mnN,nN->mN", jacobian, step)
            slack_step = ahead.copy()
            slack_step[0] += moved[ranged]
            slack_step[1] -= moved[ranged]
            return step, moved, slack_step, (target - dual * slack_step) / slack - dual

        product, ends = slack * dual, slack.shape[0] * slack.shape[1]
        mean = product.sum(axis=(0, 1)) / ends
        _, _, slack_try, dual_try = newton(0.0)
        primal, dual_length = _to_boundary(slack, slack_try), _to_boundary(dual, dual_try)
        affine = ((slack + primal * slack_try) * (dual + dual_length * dual_try)).sum(axis=(0, 1)) / ends
        centre = (affine / mean).clip(0.0, 1.0) ** 3 * mean
        # A range that pushes hard keeps its slack above rounding, or its stiffness would drown the soft swivels.
        centre = np.maximum(np.maximum(centre, s["floor"]), SMALLEST_SLACK * (1.0 + dual))
        # The second-order correction helps near the end and misleads far away, where the predictor was short.
        helps = (np.minimum(primal, dual_length) > 0.1) & np.isinf(s["limit"])
        correction = (slack_try * dual_try).clip(-10.0 * product, 10.0 * product)
        step, moved, slack_step, dual_step = newton(centre - np.where(helps, correction, 0.0))

        longest = np.abs(step).max(axis=0)
        length = np.minimum(BOUNDARY * _to_boundary(slack, slack_step, 1.0 / BOUNDARY), s["limit"])
        length = np.minimum(length, LARGEST_STEP / np.maximum(longest, LARGEST_STEP))
        dual_goal = dual + dual_step
        slope = (goal_gradient * step).sum(axis=0) + (pull * moved).sum(axis=0)
        slope += (dual_goal * gap - centre * slack_step / slack).sum(axis=(0, 1))

        penalty = 10.0 * (p.scale + np.abs(dual_goal).max(axis=(0, 1)))
        merit = self._merit(s["cost"], slack, gap, dual_goal, penalty, centre)
        q, slack = s["q"] + length * step, slack + length * slack_step
        y, jacobian, valid = p.outputs.evaluate(q)
        distance, cost = self._distance(y), p.cost(q, y)
        slack = self._snap(slack, distance)
        trial = self._merit(cost, slack, distance - slack, dual_goal, penalty, centre)
        enough = merit + 1e-4 * length * np.minimum(slope, 0.0) + 1e-10 * (p.scale + np.abs(merit))
        accepted = valid & ((trial <= enough) | (length < SHORTEST_STEP))
        back = np.flatnonzero(~accepted)
        bent, bend = np.zeros(accepted.shape, dtype=bool), np.zeros(s["bend"].shape)
        if back.size:
            # A full step along a curved range leaves it (the Maratos effect). It is tried once more with that curve
            # known, a second-order correction, in the next iteration.
            again = valid[back] & (length[back] > 0.9) & ~s["bent"][back]
            tried = back[again]
            bent[tried] = True
            bend[:, tried] = distance[0][:, tried] - s["distance"][0][:, tried] - (length * moved[ranged])[:, tried]
            kept = {"q": q, "y": y, "cost": cost, "jacobian": jacobian, "slack": slack, "distance": distance}
            for name, new in kept.items():
                new[..., back] = s[name][..., back]
            valid[back] = s["valid"][back]
            # What was learnt of the curvature misled: the next trial is Gauss-Newton's, always a descent.
            s["secant"][..., back[~again]] = 0.0
        # Duals stay within a band about the central path (Waechter & Biegler 2006, Math. Program. 106:25-57,
        # eq. 16), or a slack that collapsed early would freeze its moment.
        dual_length = DUAL_BOUNDARY * _to_boundary(dual, dual_step, 1.0 / DUAL_BOUNDARY)
        path = centre / slack
        new_dual = (dual + dual_length * dual_step).clip(path / DUAL_BAND, path * DUAL_BAND)
        # Where a step was cut short the barrier must not shrink yet; far from the end it shrinks with the step.
        floor = np.where(length < 0.1, mean, np.minimum(mean, 1e-3 * p.scale * longest**2))
        s.update(
            q=q, y=y, cost=cost, jacobian=jacobian, valid=valid, distance=distance, slack=slack,
            q_before=s["q"], jacobian_before=s["jacobian"],
            dual=np.where(accepted, new_dual, dual),
            floor=np.where(accepted, floor, s["floor"]),
            limit=np.where(accepted | bent, np.inf, 0.5 * length), bend=bend, bent=bent,
            iterations=s["iterations"] + 1.0,
        )  # fmt: skip
        remaining = np.abs(distance - slack).max(axis=(0, 1))
        complementarity = (slack * s["dual"] / (1.0 + s["dual"])).max(axis=(0, 1))
        converged = (
            accepted
            & ~lifted
            & (longest < STEP_TOLERANCE)
            & (remaining < FEASIBILITY_TOLERANCE)
            & (complementarity < 2.0 * SMALLEST_SLACK)
        )
        self._release(converged)

    def _distance(self, y: Array) -> Array:
        """``(2, ranged, N)`` distance of each ranged output to its lower and upper end."""
        ranged = y[self.ranged]
        return np.array([ranged - self.problem.low[self.ranged], self.problem.high[self.ranged] - ranged])

    @staticmethod
    def _snap(slack: Array, distance: Array) -> Array:
        """Slacks equal their distance wherever the output is inside its range.

        Only ranges that are violated keep a slack of their own, so a start inside all ranges stays inside and
        never pays for the curvature of an equality it does not need. That slack never falls far below the
        violation, or it would vanish before the range is entered.
        """
        return np.where(distance > 0.01 * slack, distance, np.maximum(slack, -0.1 * distance))

    @staticmethod
    def _merit(cost: Array, slack: Array, gap: Array, dual: Array, penalty: Array, centre: Array) -> Array:
        """Augmented Lagrangian of the barrier problem, with the multipliers the step is heading for.

        Unlike an l1 penalty it does not reject good steps along a curved range (the Maratos effect).
        """
        value = cost - (centre * np.log(slack) + dual * gap).sum(axis=(0, 1))
        return np.asarray(value + 0.5 * penalty * (gap * gap).sum(axis=(0, 1)))

    def _update_secant(self, force: Array) -> None:
        """What Gauss-Newton leaves out of the Hessian: second derivatives of the outputs times their forces.

        A structured symmetric rank-one update learns it along the way; moments that are still here after many
        iterations get it exactly.
        """
        s = self.state
        step = s["q"] - s["q_before"]
        change = transpose_product(s["jacobian"], force) - transpose_product(s["jacobian_before"], force)
        miss = change - np.einsum("ijN,jN->iN", s["secant"], step)
        along = (miss * step).sum(axis=0)
        size = np.sqrt((miss * miss).sum(axis=0) * (step * step).sum(axis=0))
        good = np.abs(along) > 1e-2 * size + 1e-14
        weight = np.where(good, 1.0 / np.where(good, along, 1.0), 0.0)
        s["secant"] = s["secant"] + weight * miss[:, None] * miss
        slow = np.flatnonzero(s["iterations"] >= GAUSS_NEWTON_ITERATIONS)
        if slow.size:
            s["secant"][..., slow] = self._curvature(slow, force[:, slow])

    def _curvature(self, index: NDArray[np.intp], force: Array) -> Array:
        """``(n, n, N)``: sum of ``force_j`` times the second derivatives of output j, by central differences."""
        n, count = self.state["q"].shape[0], index.size
        h = 1e-5
        nudged = np.repeat(self.state["q"][:, None, index], 2 * n, axis=1)
        for i in range(n):
            nudged[i, i] += h
            nudged[i, n + i] -= h
        problem = self.problem[np.tile(index, 2 * n)]
        _, jacobian, _ = problem.outputs.evaluate(nudged.reshape(n, -1))
        gradient = transpose_product(jacobian, np.tile(force, (1, 2 * n))).reshape(n, 2, n, count)
        slope = (gradient[:, 0] - gradient[:, 1]) / (2.0 * h)
        return np.asarray(0.5 * (slope + slope.transpose(1, 0, 2)))

    def _release(self, converged: BoolArray) -> None:
        """Write out the moments that are done, and pack the others.

        What is done goes on in the pool until enough are, but is written out at once: when the pool is packed hangs on
        a moment's neighbours, and its answer must not.
        """
        s = self.state
        new = np.flatnonzero((converged | (s["iterations"] >= self.most)) & ~s["done"])
        if new.size:
            out = s["place"][new]
            self.result.q[:, out] = s["q"][:, new]
            self.result.y[:, out] = s["y"][:, new]
            rows = np.arange(self.result.force.shape[0])[self.ranged]
            self.result.force[rows[:, None], out] = s["dual"][0][:, new] - s["dual"][1][:, new]
            self.result.converged[out] = converged[new]
            self.result.iterations[out] = s["iterations"][new]
            s["done"][new] = True
        done = s["done"]
        if done.sum() * PACKING < done.size:
            return
        stay = np.flatnonzero(~done)
        self.state = {name: value.take(stay, -1) for name, value in s.items()}
        if stay.size:
            self.problem = self.problem[stay]


def _to_boundary(value: Array, step: Array, cap: float = 1.0) -> Array:
    """Longest step ``(N,)`` up to ``cap`` that keeps ``value (2, ranged, N) > 0`` from going negative."""
    shrinking = (step / value).min(axis=(0, 1), initial=0.0)
    return np.asarray(1.0 / np.maximum(-shrinking, 1.0 / cap))


__all__ = ["Outputs", "Problem", "Solution", "solve"]
