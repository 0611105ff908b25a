"""One exception base for everything a user can get wrong."""

from __future__ import annotations


class TurnstillError(ValueError):
    """A mistake a user can mend: the message says what was wrong, what is allowed and what to do."""


class OutOfRange(TurnstillError):
    """A quantity that is not a finite number in its physical range.

    Attributes:
        name: the quantity.
        given: the offending value, like the others in the unit that the message says.
        low: smallest allowed value.
        high: largest allowed value.
    """

    def __init__(self, name: str, given: float, low: float, high: float, told: str = "") -> None:
        self.name, self.given, self.low, self.high = name, given, low, high
        super().__init__(told or f"{name} was {given:g}, but must be a number between {low:g} and {high:g}.")
