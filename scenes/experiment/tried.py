"""One thing tried in steps: which values, and every step simulated in one batch."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from ...model.errors import TurnstillError
from ...model.questions.experiment import Experiment
from ...model.swing.swing import Swing
from ..setups.knobs import Knob, knob
from ..setups.perform import FEWEST_FRAMES, swing_of
from ..setups.presets import Setup
from ..setups.quantities import Departure, Value, echo
from .batch import solve_together

FEWEST_STEPS, MOST_STEPS = 2, 61
_USUAL_STEPS = (9, 7, 11, 8, 6, 13, 10, 5)
"""Numbers of steps in the order in which they are liked."""


@dataclass(frozen=True)
class Tried:
    """An experiment done.

    Attributes:
        setup: the swing it starts from.
        knob: what was turned.
        values: ``(S,)`` its values, in its unit.
        steady: whether the values are departures from what holds the head.
        setups: of each step, and the one it starts from last.
        found: batch ``(S + 1,)``, in the same order.
    """

    setup: Setup
    knob: Knob
    values: Sequence[float]
    steady: bool
    setups: Sequence[Setup]
    found: Experiment

    @property
    def count(self) -> int:
        """Number of steps."""
        return len(self.values)

    def swing(self, index: int) -> Swing:
        """The swing of a step, two moments; the last is the one it starts from."""
        return self.found.swing[index]

    def told(self, value: float) -> str:
        """A value of the knob with its unit."""
        return self.knob.told(value, self.steady)


def round_steps(low: float, high: float) -> int:
    """A number of steps, about nine, that makes each of them a whole number where that can be."""
    return next((count for count in _USUAL_STEPS if (high - low) % (count - 1) == 0.0), _USUAL_STEPS[0])


def steps_between(turned: Knob, first: str, last: str, steps: int | None) -> tuple[list[float], bool]:
    """The values to try, and whether they are departures from steady.

    Raises:
        TurnstillError: values that cannot be asked for, or too few or many steps.
    """
    if steps is not None and not FEWEST_STEPS <= steps <= MOST_STEPS:
        shown = steps if abs(steps) < 10**12 else "a very large number"
        raise TurnstillError(f"--steps was {shown}, but must be a whole number from {FEWEST_STEPS} to {MOST_STEPS}.")
    ends: list[Value] = [turned.read(first, "--from"), turned.read(last, "--to")]
    steady = isinstance(ends[0], Departure)
    if steady != isinstance(ends[1], Departure):
        raise TurnstillError(
            f"--from was {echo(first)} and --to {echo(last)}; give both as numbers, or both as departures such as "
            "steady-10 and steady+10."
        )
    low, high = (end.plus_deg if isinstance(end, Departure) else float(end) for end in ends)
    if low == high:
        raise TurnstillError(f"--from and --to were both {echo(first)}; give two different values to try between.")
    count = round_steps(low, high) if steps is None else steps
    return [round(float(value), 9) + 0.0 for value in np.linspace(low, high, count)], steady


def try_out(setup: Setup, name: str, first: str, last: str, steps: int | None) -> Tried:
    """Turn one knob in steps and simulate every step, in one batch.

    Raises:
        TurnstillError: an unknown name, values that cannot be asked for, or what cannot be simulated.
    """
    turned = knob(name)
    values, steady = steps_between(turned, first, last, steps)
    setups = [*(turned.set(setup, value, steady) for value in values), setup]
    try:
        found = solve_together(setups)
    except TurnstillError as wrong:
        raise _named(wrong, [turned.told(value, steady) for value in values], setups) from wrong
    return Tried(setup, turned, values, steady, setups, found)


def _named(wrong: TurnstillError, values: Sequence[str], setups: Sequence[Setup]) -> TurnstillError:
    """The same with the first value it is true of."""
    for value, setup in zip(values, setups, strict=False):
        try:
            swing_of(setup, FEWEST_FRAMES)
        except TurnstillError as one:
            return TurnstillError(f"At {value}: {one}")
    return wrong
