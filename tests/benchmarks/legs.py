"""The closed-loop solve of the legs, cold from the address on one core, beside scipy and a QP inverse kinematics.

Run as ``python tests/benchmarks/legs.py``. It needs the extras of the tests and, for the last peer, ``mink`` and
``daqp``; without them that row is left out and says so.
"""

from __future__ import annotations

import one_core  # before numpy, whose threads start with the import

# isort: split
import statistics
from collections.abc import Callable
from typing import Any

import askings
import numpy as np
import peer_scipy
from askings import Answers, LegProblem

from turnstill.model.chain.lower_body import LowerBody

SEED = 11
SIZES = (1, 41, 1000, 4000)
DRAWN = 12_000
TARGET = {"ordinary": "60", "wild": "120", "absurd": "120"}
PEER_MOMENTS, ROUNDS = 100, 3


def main() -> None:
    """Print both tables."""
    print(one_core.machine(), "\n")
    problems = {kind: askings.make(DRAWN, SEED, kind) for kind in TARGET}
    print(batches(problems), "\n")
    for kind, problem in problems.items():
        print(f"{kind} askings, {PEER_MOMENTS} moments\n\n{peers(problem)}\n")


def batches(problems: dict[str, LegProblem]) -> str:
    """Microseconds a moment by size of the batch."""
    rows = []
    for kind, whole in problems.items():
        for size in SIZES:
            # One batch says little: the time of a batch is that of its slowest moments.
            different = [whole[k * size : (k + 1) * size] for k in range(min(25, DRAWN // size))]
            each = [one_core.median_seconds(p.solve, 3) / size * 1e6 for p in different]
            lost = sum(int((~p.solve().converged).sum()) for p in different)
            unsolved = lost / (size * len(different))
            target = TARGET[kind] if size >= 1000 else ""
            us = (f"{value:,.0f}" for value in (statistics.median(each), max(each)))
            rows.append((kind, f"{size:,}", str(len(different)), *us, target, f"{unsolved:.2%}"))
    return one_core.table(
        ("askings", "batch", "batches", "µs a moment, median", "worst batch", "mark", "not converged"), rows
    )


def peers(whole: LegProblem) -> str:
    """Product and peers on the same moments, taking turns."""
    problem = whole[:PEER_MOMENTS]
    thousand = whole[:1000]
    thousand.solve()  # warms up
    ours = (f"this solver, {PEER_MOMENTS} at once", "this solver, 1,000 at once")
    solvers: dict[str, tuple[Callable[[], Any], int]] = {
        ours[1]: (thousand.solve, 1000),
        ours[0]: (problem.solve, PEER_MOMENTS),
        "scipy least_squares": (lambda: peer_scipy.by_least_squares(problem), PEER_MOMENTS),
        "scipy SLSQP": (lambda: peer_scipy.by_slsqp(problem), PEER_MOMENTS),
    }
    try:
        import peer_mink
    except ImportError as missing:
        print(f"(the QP inverse kinematics is left out: {missing})")
    else:
        golfers = peer_mink.prepare(problem)
        solvers["mink with daqp"] = (lambda: peer_mink.by_mink(golfers), PEER_MOMENTS)
    found: dict[str, Any] = {}
    seconds: dict[str, list[float]] = {name: [] for name in solvers}
    for _ in range(ROUNDS):
        for name, (work, count) in solvers.items():
            took, found[name] = one_core.cpu_seconds(work)
            seconds[name].append(took / count)
    found[ours[0]] = found[ours[1]] = own = _own(problem, found[ours[0]])
    if "mink with daqp" in found:
        found["mink with daqp"] = peer_mink.read(problem, golfers, found["mink with daqp"])
    first = statistics.median(seconds[ours[1]])
    rows = [_row(problem, name, statistics.median(seconds[name]), first, found[name], own) for name in solvers]
    head = ("solver", "µs a moment", "times ours", "converged", "worst closure, m", "worst range excess, deg",
            "same objective", "lower", "higher")  # fmt: skip
    return one_core.table(head, rows)


def _own(problem: LegProblem, found: LowerBody) -> Answers:
    bones = np.linalg.norm(found.posture.hip - found.posture.knee, axis=0) - problem.legs.thigh
    shanks = np.linalg.norm(found.posture.knee - problem.legs.ankle, axis=0) - problem.legs.shank
    miss = np.abs(np.concatenate([bones, shanks])).max(axis=0)
    return Answers(found.q, found.angles, miss, found.converged)


def _row(p: LegProblem, name: str, took: float, first: float, found: Answers, own: Answers) -> tuple[str, ...]:
    """One row; objectives are compared where both converged, and count as the same within a ten-thousandth or a
    thousandth of what one degree of hip turn costs."""
    ours, theirs = p.objective(own.q, own.y), p.objective(found.q, found.y)
    both = own.converged & found.converged
    more = (theirs - ours)[both]
    band = np.maximum(5e-4, 1e-4 * ours)[both]
    return (
        name,
        f"{took * 1e6:,.0f}",
        f"{took / first:,.1f}",
        f"{found.converged.mean():.0%}",
        f"{found.closure[found.converged].max():.0e}",
        f"{p.outside_deg(found.y)[found.converged].max():.1e}",
        f"{(np.abs(more) <= band).mean():.0%}",
        f"{(more < -band).mean():.0%}",
        f"{(more > band).mean():.0%}",
    )


if __name__ == "__main__":
    main()
