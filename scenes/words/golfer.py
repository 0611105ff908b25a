"""Whom a result is about, in words."""

from __future__ import annotations

from typing import Protocol

from .units import told_stature


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
