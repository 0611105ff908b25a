"""What a batch of bounded least-squares problems is, and what solving it returns.

Arrays are laid out with the batch as *last* axis, so that every operation runs over contiguous moments.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol, Self

import numpy as np

from ..arrays import Array, BoolArray, Index
from ..batch import Batch, Rows


class Outputs(Protocol):
    """What the optimiser needs to know of a chain, a batch of moments: its outputs and their derivatives."""

    def evaluate(self, q: Array) -> tuple[Array, Array, BoolArray]:
        """Outputs ``(m, N)``, Jacobian ``(m, n, N)`` and whether the chain closes ``(N,)`` at ``q (n, N)``."""
        ...

    def __getitem__(self, index: Index) -> Self:
        """The same chain for some of the moments."""
        ...


@dataclass(frozen=True)
class Problem(Batch):
    """A batch of bounded least-squares problems; all arrays have the batch ``N`` as last axis.

    Attributes:
        outputs: the chain.
        goal: ``(n, N)`` wanted unknowns.
        goal_weight: ``(n, N)`` weight W of each; zero leaves an unknown free.
        reference: ``(m, N)`` where each output would rather be.
        reference_weight: ``(m, N)`` weight V of each.
        low: ``(m, N)`` lower ends of the ranges, ``-inf`` for none.
        high: ``(m, N)`` upper ends. A row has both ends in all moments, or neither.
        scale: roughly what the goals cost where a range keeps them from being met. The barrier starts from it: far
            too low, and a moment is at the end of its range before the range pushes back, and creeps along it.

    An array that is the same for all moments may have a last axis of one.
    """

    outputs: Outputs
    goal: Rows
    goal_weight: Rows
    reference: Rows
    reference_weight: Rows
    low: Rows
    high: Rows
    scale: float = 1.0

    def cost(self, q: Array, y: Array) -> Array:
        """What is minimised ``(N,)``, at unknowns ``q`` with outputs ``y``."""
        wanted = (self.goal_weight * (q - self.goal) ** 2).sum(axis=0)
        return np.asarray(0.5 * (wanted + (self.reference_weight * (y - self.reference) ** 2).sum(axis=0)))


@dataclass(frozen=True)
class Solution(Batch):
    """Where the optimiser ended, batch last.

    Attributes:
        q: ``(n, N)`` unknowns.
        y: ``(m, N)`` outputs there.
        force: ``(m, N)`` multiplier of each range, positive where its lower end pushes, negative where its
            upper end does, in units of the objective per unit of the output.
        converged: ``(N,)`` whether the optimality conditions hold to tolerance.
        iterations: ``(N,)`` Newton steps taken.
    """

    q: Rows
    y: Rows
    force: Rows
    converged: BoolArray
    iterations: Array

    def arrays(self) -> tuple[Array | BoolArray, ...]:
        """All of it, moments last."""
        return self.q, self.y, self.force, self.converged, self.iterations
