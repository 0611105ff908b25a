"""Whom a result is about, in words."""

from __future__ import annotations

from typing import NamedTuple, Protocol

from .units import told_length, told_stature


class Described(Protocol):
    """What is said of a body; a report's ``body`` is one."""

    @property
    def stature_cm(self) -> float:
        """Body height."""

    @property
    def mass_kg(self) -> float:
        """Body mass."""

    @property
    def sex(self) -> str:
        """``male`` or ``female``."""

    @property
    def handedness(self) -> str:
        """``right`` or ``left``."""


def golfer_words(body: Described, inches: bool = False) -> str:
    """For example ``175 cm, 80 kg, male, right-handed``.

    Args:
        body: of a report.
        inches: body height in inches.
    """
    return f"{told_stature(body.stature_cm, inches)}, {body.mass_kg:.0f} kg, {body.sex}, {body.handedness}-handed"


class Held(Protocol):
    """Where a head is held, from its place at address; a report's ``head_held`` is one."""

    @property
    def toward_target_cm(self) -> float:
        """Nearer the target."""

    @property
    def up_cm(self) -> float:
        """Higher."""


class Place(NamedTuple):
    """A place of a head, cm from that at address."""

    toward_target_cm: float
    up_cm: float


def is_wanted_elsewhere(head: Held) -> bool:
    """Whether a head is held elsewhere than at address."""
    return bool(head.toward_target_cm or head.up_cm)


def wanted_place(head: Held, inches: bool = False) -> str:
    """Where a head is wanted that is wanted elsewhere: ``3.0 cm farther from the target and 1.0 cm higher``."""
    ways = (
        (head.toward_target_cm, ("nearer to the target", "farther from the target")),
        (head.up_cm, ("higher", "lower")),
    )
    told = [f"{told_length(abs(far), inches)} {way[int(far < 0.0)]}" for far, way in ways if far]
    return " and ".join(told)


def held_words(head: Held, inches: bool = False) -> str:
    """Where steady holds a head, after whose it is."""
    if not is_wanted_elsewhere(head):
        return "steady holds the head where it was at address"
    return f"steady holds the head where it is wanted, {wanted_place(head, inches)} than at address"
