"""What an experiment turns: one quantity by its name, or both sides of one at once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ...model.errors import TurnstillError
from ..words.cautions import spoken
from .presets import Setup
from .quantities import (
    HEAD_SECTION,
    IMPACT_SECTION,
    Departure,
    Entry,
    Value,
    by_any_name,
    echo,
    entries,
    nearest,
    without_unit,
)
from .settings import find

FLARE_BOTH = "flare"
KNEES_BOTH = "knee_flex_change"
"""Both knees: the lead one flexes by so much, the trail one straightens by as much."""
_NOT_IN_STEPS = {
    HEAD_SECTION: "an experiment counts the head from one place where it is wanted",
    IMPACT_SECTION: "an experiment ends at the top, where nothing that is asked at impact acts",
}
"""Why an experiment does not vary what is in these sections."""


def told_value(value: float, unit: str, steady: bool = False) -> str:
    """A value with its unit, as in a sentence: ``20°``, ``42 cm``, ``steady+5``."""
    if steady:
        return str(Departure(value))
    return f"{value:.4g}°" if unit == "deg" else f"{value:.4g} {unit}"


@dataclass(frozen=True)
class Knob:
    """Something adjustable.

    Attributes:
        name: as one asks for it.
        parts: the quantities it sets, each with the sign in which.
        unit: ``deg``, ``cm`` or ``kg``.
    """

    name: str
    parts: tuple[tuple[Entry, int], ...]
    unit: str

    @property
    def words(self) -> str:
        """In plain words."""
        if self.name == KNEES_BOTH:
            return "knee flex change"
        if self.name == FLARE_BOTH:
            return "flare of both feet"
        return spoken(self.name) if len(self.parts) == 1 else f"{spoken(self.name)} of both sides"

    @property
    def meaning(self) -> str:
        """What it sets, where the name does not say it."""
        if self.name == KNEES_BOTH:
            return "the lead knee flexes by so much, the trail knee straightens by as much"
        if len(self.parts) == 1:
            quantity = self.parts[0][0].quantity
            return quantity.meaning if quantity and quantity.meaning != self.words else ""
        return " and ".join(spoken(entry.name) for entry, _ in self.parts) + " alike"

    def read(self, text: str, option: str) -> Value:
        """The value written as text.

        Raises:
            TurnstillError: naming the option, the quantity, what was given and what is allowed.
        """
        (value, *_) = [entry.read(text, f"{option} of {self.name}") for entry, _ in self.parts]
        return value

    def told(self, value: float, steady: bool = False) -> str:
        """A value with its unit, as in a sentence."""
        return told_value(value, self.unit, steady)

    def set(self, setup: Setup, value: float, steady: bool = False) -> Setup:
        """A setup with it at a value."""
        for entry, sign in self.parts:
            setup = setup.changed(entry.section, entry.key, Departure(value) if steady else entry.check(sign * value))
        return setup


def knob(name: str) -> Knob:
    """What a name adjusts: everything ``--set`` takes, and without ``lead_`` or ``trail_`` both sides at once.

    Raises:
        TurnstillError: for an unknown name, a word that has no steps, or what an experiment cannot count.
    """
    cleaned = without_unit(name.strip().lower().replace("-", "_"))
    if cleaned not in by_any_name():
        known = {entry.name: entry for entry in entries()}
        pair = [known.get(side) for side in _sides(cleaned)]
        if pair[0] is not None and pair[1] is not None and pair[0].quantity is not None:
            signs = (1, -1) if cleaned == KNEES_BOTH else (1, 1)
            return Knob(cleaned, ((pair[0], signs[0]), (pair[1], signs[1])), pair[0].quantity.unit)
    try:
        entry = find(name)
    except TurnstillError as wrong:
        if "wrong unit" in str(wrong):
            raise
        # The nearest name may be one of both sides.
        close = nearest(cleaned, [*both_names(), *(e.name for e in entries())])
        raise TurnstillError(f"{str(wrong).split(' Did you mean')[0]}{close}") from wrong
    if entry.quantity is None:
        raise TurnstillError(
            f"{echo(name)} is a word without steps; an experiment varies a number, such as trail_flare."
        )
    if entry.section in _NOT_IN_STEPS:
        raise TurnstillError(
            f"{entry.name} cannot be tried in steps, since {_NOT_IN_STEPS[entry.section]}; try turnstill strike with "
            f"--set {entry.name}=NUMBER."
        )
    return Knob(entry.name, ((entry, 1),), entry.quantity.unit)


def _sides(name: str) -> Sequence[str]:
    if name == KNEES_BOTH:
        return ("lead_flex_change", "trail_flex_change")
    return (f"lead_{name}", f"trail_{name}")


def both_names() -> list[str]:
    """Names that stand for both sides at once."""
    known = {entry.name for entry in entries()}
    stems = (name.removeprefix("lead_") for name in known if name.startswith("lead_"))
    both = sorted(stem for stem in stems if f"trail_{stem}" in known and stem != "flex_change")
    return [*both, KNEES_BOTH]
