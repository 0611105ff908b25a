"""Readings that nothing fits: which one to look at again, and whether a usual slip would explain it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np

from ...model.arrays import Array
from ...model.films.diagnose import Diagnosis
from ...model.films.fault_prior import FaultPrior
from ...model.films.readings import READINGS, Film
from ...model.golfer.pieces import DEPARTURES
from .readings import Asked

MOST_TRIED = 3
SLIPS = {"tenfold": 0.1, "sign": -1.0, "tenth": 10.0}
"""What a usual slip is undone by: ten times too large (millimetres as centimetres), the sign, ten times too small."""


@dataclass(frozen=True)
class Mend:
    """A change with which the readings would fit.

    Attributes:
        slip: of ``SLIPS``; none where no usual slip explains them.
        readings: those it is undone in.
        furthest: the reading that is furthest from what golfers show.
        times: how many sd of what golfers show, and of reading it, that is from the turn with nothing amiss.
    """

    slip: str | None
    readings: tuple[str, ...]
    furthest: str
    times: float


def mend(asked: Asked, film: Film, prior: FaultPrior, diagnosed: Callable[[Mapping[str, float]], Diagnosis]) -> Mend:
    """Try the usual slips, one reading at a time and one kind of readings at a time.

    They are ranked on the chain straightened at the turn with nothing amiss; the best few are then diagnosed.

    Args:
        asked: what was read.
        film: the golfer.
        prior: beliefs before the film.
        diagnosed: the diagnosis of other values, m and rad, of the same readings.
    """
    names = [one.name for one in asked.readings]
    read = [list(READINGS).index(name) for name in names]
    shown, slopes = film.readings_and_slopes(np.zeros(1, dtype=np.intp), np.zeros((1, len(DEPARTURES))))
    values, sd = (np.array([table[name] for name in names]) for table in (asked.seen, asked.seen_sd))
    jacobian = slopes[0][read]
    total = (jacobian * prior.slabs**2) @ jacobian.T + np.diag(sd**2)
    due = shown[0][read]

    def misfit(seen: Array) -> float:
        off = seen - due
        return float(off @ np.linalg.solve(total, off))

    apart = np.abs(values - due) / np.sqrt(total.diagonal())
    furthest = int(apart.argmax())
    tried = []
    groups = [
        *((name,) for name in names),
        tuple(name for name in names if name.endswith("_turn")),
        *(tuple(name for name in names if READINGS[name] == unit) for unit in ("cm", "deg")),
    ]
    for group in dict.fromkeys(group for group in groups if group):
        mask = np.isin(names, group)
        for slip, factor in SLIPS.items():
            tried.append((misfit(np.where(mask, values * factor, values)), slip, group))
    # One wrong reading is likelier than several.
    possible = sorted(
        (one for one in tried if one[0] < _worst_to_try(len(names))), key=lambda one: (len(one[2]), one[0])
    )
    for _, slip, group in possible[:MOST_TRIED]:
        seen = {name: value * (SLIPS[slip] if name in group else 1.0) for name, value in asked.seen.items()}
        if bool(diagnosed(seen).fits[0]):
            return Mend(slip, group, names[furthest], float(apart[furthest]))
    return Mend(None, (), names[furthest], float(apart[furthest]))


def _worst_to_try(count: int) -> float:
    """A misfit beyond this will not fit on the true chain either, which may bend it a little (our choice)."""
    return 3.0 * count + 10.0
