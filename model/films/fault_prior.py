"""What is believed of a golfer's departures before any film is looked at.

A spike and a slab for each piece (Mitchell & Beauchamp 1988, J. Am. Stat. Assoc. 83:1023-1032; both Gaussian as in
George & McCulloch 1993, ibid. 88:881-889; both from memory): a piece not at fault departs a little, for nobody is
exactly steady; one at fault departs by more. What departs by next to nothing is no fault, so the slab has a hole at
zero (a non-local prior: Johnson & Rossell 2010, J. R. Stat. Soc. B 72:143-170, from memory): a fault of x has the
density of the Gaussian times ``(1 - exp(-x^2 / 2 hole^2))^2``. A hypothesis says which pieces are at fault: none, one
or two of the eight, 37 in all. All numbers here are assumptions; what they lead to on simulated swings is in
docs/diagnosis.md.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from itertools import combinations

import numpy as np

from ..arrays import Array, BoolArray
from ..golfer.pieces import DEPARTURES, PIECES
from ..numeric.mixture import HOLE

HYPOTHESES: tuple[tuple[str, ...], ...] = tuple(who for count in (0, 1, 2) for who in combinations(DEPARTURES, count))
"""The pieces at fault under each hypothesis."""
AT_FAULT: BoolArray = np.array([[name in who for name in DEPARTURES] for who in HYPOTHESES])
"""``(37, 8)`` whether a piece is at fault under a hypothesis."""


def _departures(turn: float, length: float, **others: float) -> dict[str, float]:
    """Radians and metres, from degrees and centimetres."""
    amounts = {name: length if PIECES[name].unit == "cm" else turn for name in DEPARTURES} | others
    return {n: a / 100.0 if PIECES[n].unit == "cm" else float(np.radians(a)) for n, a in amounts.items()}


@dataclass(frozen=True)
class FaultPrior:
    """Beliefs before the film; departures in rad and m.

    Attributes:
        spike: standard deviation of each piece that is not at fault.
        slab: of each that is, before the hole is made.
        hole: its width, in slabs.
        faults: probability that no, one or two pieces are at fault; which ones is open.
        stature: standard deviation of what was given for it, m; the other lengths go with it.
        address: name of ``ADDRESS`` to the standard deviation of what was given, rad or m.
    """

    spike: Mapping[str, float] = field(default_factory=lambda: _departures(2.0, 0.75))
    slab: Mapping[str, float] = field(
        default_factory=lambda: _departures(12.0, 4.0, tilt=10.0, lead_flex_change=10.0, trail_flex_change=10.0)
    )
    hole: float = 0.7
    faults: tuple[float, float, float] = (0.2, 0.4, 0.4)
    stature: float = 0.01
    address: Mapping[str, float] = field(
        default_factory=lambda: {
            **{
                name: float(np.radians(2.0))
                for name in ("lead_flare", "trail_flare", "knee_flex", "forward_bend", "pelvis_bend")
            },
            "side_bend": float(np.radians(1.0)),
            "stance_width": 0.02,
        }
    )

    @property
    def slabs(self) -> Array:
        """``(8,)`` rad and m, in the order of ``DEPARTURES``."""
        return np.array([self.slab[name] for name in DEPARTURES])

    @property
    def variance(self) -> Array:
        """``(37, 8)`` of every departure under every hypothesis, without holes, rad^2 and m^2."""
        spikes = np.array([self.spike[name] for name in DEPARTURES])
        return np.where(AT_FAULT, self.slabs, spikes) ** 2

    @property
    def left(self) -> Array:
        """``(37,)`` how much of the Gaussian of that variance the holes leave, before any film."""
        of_one = 1.0 + sum(times / np.sqrt(1.0 + power / self.hole**2) for power, times in HOLE.items())
        return np.asarray(of_one ** AT_FAULT.sum(axis=1))

    @property
    def log_probability(self) -> Array:
        """``(37,)`` of every hypothesis."""
        size = AT_FAULT.sum(axis=1)
        alike = np.array([np.sum(size == count) for count in range(3)])
        return np.asarray(np.log(np.array(self.faults)[size] / alike[size]))
