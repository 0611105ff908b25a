"""The askings of the tests as plain arrays, to be solved by anybody, and how well somebody's answers meet them."""

from __future__ import annotations

import importlib.util
import inspect
import sys
from dataclasses import dataclass
from pathlib import Path
from types import ModuleType

import numpy as np

from turnstill.model.arrays import Array, BoolArray
from turnstill.model.batch import Batch, Rows
from turnstill.model.chain import lower_body
from turnstill.model.chain.legs import LEG_OUTPUTS, Legs
from turnstill.model.chain.lower_body import ASKING_WEIGHTS, STRAIN_WEIGHT, LegLimits, LowerBody

TIBIAL = 2 * LEG_OUTPUTS.index("shin_internal_rotation")
SHARE = 2 * LEG_OUTPUTS.index("shin_share_of_range")
ANGLES: tuple[int, ...] = tuple(row for row in range(16) if row not in (SHARE, SHARE + 1))
"""Rows of the leg outputs that are joint angles (the share of the tibial range is a ratio of one)."""


@dataclass(frozen=True)
class LegProblem(Batch):
    """``N`` moments: the loop, its ranges, the unknowns asked ``(8, N)``, the angles of least strain ``(16, N)`` and
    the closed posture to start from ``(8, N)``: the address, so every solve here is cold."""

    legs: Legs
    limits: LegLimits
    asked: Rows
    reference: Rows
    start: Rows

    def solve(self) -> LowerBody:
        """By the product."""
        return lower_body.solve(self.legs, self.limits, self.asked, self.reference, self.start)

    @property
    def strain_weight(self) -> Array:
        """``(16, N)`` weight of each output's square distance from its reference."""
        return np.asarray(STRAIN_WEIGHT * self.limits.half**-2.0)

    def objective(self, q: Array, y: Array) -> Array:
        """What every solver here minimises ``(N,)``; 0.5 is one degree of hip turn given up."""
        wanted = ASKING_WEIGHTS[:, None] * (q - self.asked) ** 2
        return np.asarray(0.5 * (wanted.sum(axis=0) + (self.strain_weight * (y - self.reference) ** 2).sum(axis=0)))

    def outside_deg(self, y: Array) -> Array:
        """How far the worst joint is outside its range ``(N,)``, degrees; the tibial range opens with the knee."""
        low, high = self.limits.low.copy(), self.limits.high.copy()
        internal, external, _, _ = self.legs.tibial.at(y[6:8])
        low[TIBIAL : TIBIAL + 2], high[TIBIAL : TIBIAL + 2] = -external, internal
        rows = list(ANGLES)
        return np.asarray(np.degrees(np.maximum(low - y, y - high)[rows].max(axis=0).clip(min=0.0)))


@dataclass(frozen=True)
class Answers:
    """What a solver made of ``N`` moments.

    Attributes:
        q: ``(8, N)`` unknowns (swivels may be missing: they carry no weight).
        y: ``(16, N)`` leg outputs.
        closure: ``(N,)`` m, how far the loop is from closed.
        converged: ``(N,)`` what the solver itself says.
    """

    q: Array
    y: Array
    closure: Array
    converged: BoolArray


def make(count: int, seed: int, kind: str) -> LegProblem:
    """The tests' own askings of that seed (tests/conftest.py)."""
    maker = inspect.unwrap(_conftest().askings)()
    a = maker(count, seed, kind)
    return LegProblem(a.legs, a.limits, a.asked, a.stance.lower.angles, a.stance.lower.q)


def _conftest() -> ModuleType:
    name = "turnstill_conftest"
    if name not in sys.modules:
        spec = importlib.util.spec_from_file_location(name, Path(__file__).parents[1] / "conftest.py")
        assert spec is not None
        assert spec.loader is not None
        sys.modules[name] = importlib.util.module_from_spec(spec)  # dataclasses look their module up by name
        spec.loader.exec_module(sys.modules[name])
    return sys.modules[name]
