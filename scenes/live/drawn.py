"""How the figure of a body is shaped and moves, as a page's own script draws it."""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Callable
from hashlib import sha256
from typing import TYPE_CHECKING, Any
from weakref import WeakKeyDictionary

import numpy as np

from ...model.errors import TurnstillError
from ...model.golfer.address import Address
from ...model.golfer.body import Body
from ...model.swing.swing import Swing

if TYPE_CHECKING:
    from ...render.figure.figure import Figure

KEPT = 3
"""Figures: two swings side by side, and the one before. Each takes tens of megabytes and most of a second to shape."""


def key_of(swing: Swing) -> str:
    """A word for the figure of a swing: the same for the same body, hand and club, whatever the swing."""
    return key_for(swing.body, swing.address, swing.left_handed)


def key_for(body: Body, address: Address, left_handed: bool) -> str:
    """The same before anything is simulated."""
    told = sha256(b"left" if left_handed else b"right")
    for numbers in (body.lengths, body.shape):
        for name, value in sorted(numbers.items()):
            told.update(f"{name} {float(value)!r}\n".encode())
    for one in (body.stature, body.female, address.club_length):
        told.update(f"{float(np.asarray(one))!r}\n".encode())
    return told.hexdigest()[:16]


class Figures:
    """The last few figures; any number of threads may ask, and only who asks for a new one waits for it."""

    def __init__(self, shape: Callable[[Swing], Figure] | None = None, most: int = KEPT) -> None:
        """Keep none yet.

        Args:
            shape: makes a figure of the body of a swing.
            most: how many to keep.
        """
        self._shape = shape or _shaped
        self._most = most
        self._kept: OrderedDict[str, Figure] = OrderedDict()
        self._written: WeakKeyDictionary[Figure, bytes] = WeakKeyDictionary()
        self._lock, self._shaping = threading.Lock(), threading.Lock()

    def has(self, key: str) -> bool:
        """Whether a figure is there already."""
        return self._found(key) is not None

    def of(self, swing: Swing) -> Figure:
        """The figure of the golfer of a swing."""
        key = key_of(swing)
        if (there := self._found(key)) is not None:
            return there
        with self._shaping:
            if (there := self._found(key)) is not None:
                return there
            made = self._shape(swing)
            with self._lock:
                self._kept[key] = made
                if len(self._kept) > self._most:
                    self._kept.popitem(last=False)
            return made

    def payload(self, swing: Swing) -> bytes:
        """What does not move of the figure of a swing; written once, since every page that is opened asks for it."""
        from ...render.web.payload import figure_bytes

        figure = self.of(swing)
        if (there := self._written.get(figure)) is not None:
            return there
        return self._written.setdefault(figure, figure_bytes(figure))

    def _found(self, key: str) -> Figure | None:
        with self._lock:
            if key in self._kept:
                self._kept.move_to_end(key)
            return self._kept.get(key)


def _shaped(swing: Swing) -> Figure:
    """A figure, shaped for the usual address of its body, so that no swing of it decides how another one looks."""
    from ...model.golfer.pieces import Pieces
    from ...model.swing.simulate import simulate
    from ...render.figure.figure import Figure

    try:
        address = Address(club_length=swing.address.club_length)
        standing = simulate(swing.body, address, Pieces(), frames=2, left_handed=swing.left_handed).skeleton[0]
    except TurnstillError:  # A club that reaches the ball only from where this golfer stands.
        standing = swing.skeleton[0]
    return Figure(swing.body, standing, left_handed=swing.left_handed)


def motion_payload(figures: Figures, swing: Swing) -> bytes:
    """What every frame of a figure does at each moment of a swing."""
    from ...render.web.payload import motion_bytes

    return motion_bytes(figures.of(swing), swing.skeleton)


def marks(swing: Swing) -> dict[str, Any]:
    """Where a drawing's marks are at every moment of a swing."""
    from ..views.web_marks import marks_of

    return marks_of(swing)
