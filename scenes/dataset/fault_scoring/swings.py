"""Which faults a split's swings have, as their labels say."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from ....model.arrays import BoolArray
from ....model.errors import TurnstillError
from ....model.golfer.pieces import DEPARTURES
from ...delivery.refusals import shown
from ..checking.sound import sound_keys, sound_label
from ..layout.names import swing_of
from ..layout.reading import DataSet

NO_FAULT = "none"
OUTCOMES: tuple[str, ...] = (NO_FAULT, *DEPARTURES)
"""What a swing with at most one fault can be."""


@dataclass(frozen=True)
class Swings:
    """Of S swings, in the order of the archives.

    Attributes:
        names: what each is called: its pictures' keys up to the view.
        golfer: ``(S,)`` whose it is.
        faulty: ``(S, 8)`` whether each of ``DEPARTURES`` is at fault.
    """

    names: tuple[str, ...]
    golfer: np.ndarray[Any, np.dtype[np.intp]]
    faulty: BoolArray

    @classmethod
    def of(cls, rows: Sequence[tuple[str, int, Sequence[str]]]) -> Swings:
        """From each swing's name, golfer and faults."""
        return cls(
            tuple(name for name, _, _ in rows),
            np.array([golfer for _, golfer, _ in rows], np.intp),
            np.array([[piece in faults for piece in DEPARTURES] for _, _, faults in rows], bool).reshape(
                -1, len(DEPARTURES)
            ),
        )

    @property
    def single(self) -> BoolArray:
        """``(S,)`` whether it has one fault at most."""
        return np.asarray(self.faulty.sum(axis=1) <= 1)

    @property
    def outcome(self) -> np.ndarray[Any, np.dtype[np.intp]]:
        """``(S,)`` index into ``OUTCOMES``, which says all of a swing with at most one fault."""
        return np.where(self.faulty.any(axis=1), 1 + self.faulty.argmax(axis=1), 0)


def swings_of(made: DataSet, split: str) -> Swings:
    """The swings of a split, each from its first picture's label.

    Raises:
        TurnstillError: for a set that is not whole, a split there is not, or a label that is damaged.
    """
    first: dict[str, str] = {}
    for key in sound_keys(made, split):
        first.setdefault(swing_of(key), key)
    return Swings.of([(name, *_told(made, key)) for name, key in first.items()])


def _told(made: DataSet, key: str) -> tuple[int, Sequence[str]]:
    label: Mapping[str, Any] = sound_label(made, key)
    faults = label["faults"]
    if len(set(faults)) < len(faults) or not set(faults) <= set(DEPARTURES):
        raise TurnstillError(
            f"{shown(str(made.folder))}: the label of {key} is damaged: a fault is none of {', '.join(DEPARTURES)}, "
            "or stands twice; copy the data set again."
        )
    return label["subject"], faults
