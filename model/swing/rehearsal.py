"""Swing after swing of golfers who change a little each time: what has not changed is not worked out again.

Every stage of the walk is kept under what it was given, number for number, so a rehearsed swing is the one that
`simulate` makes, to the last bit: while trunk pieces change, address and legs are kept; while legs change, the address.
"""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Hashable, Mapping
from dataclasses import fields
from functools import partial
from typing import Any

import numpy as np

from ..batch import Batch
from ..golfer.address import Address
from ..golfer.body import Body
from ..golfer.head_place import HeadPlace
from ..golfer.impact import Impact
from ..golfer.pieces import Pieces, Timing
from .doing import Given, Made
from .simulate import walked
from .swing import Swing

KEPT = 4
"""Answers of each stage that are kept, the last ones asked for: two swings side by side, each with a centred one."""


_FIELDS: dict[type, tuple[str, ...]] = {}


class Rehearsal:
    """Simulates like `simulate`, and keeps the stages of the last few swings.

    What is kept must not change, so arrays of its swings are read-only, and those that it was given for them become
    so. One thread at a time.
    """

    def __init__(self, most: int = KEPT) -> None:
        """Keep nothing yet.

        Args:
            most: answers of each stage to keep.
        """
        self._most = most
        # A whole swing is kept like its stages.
        self._walk = partial(walked, self.do)
        self._kept: dict[Callable[..., Any], OrderedDict[Hashable, Any]] = {}
        self._made: dict[int, object] = {}
        """By identity, everything that is kept."""

    def simulate(
        self,
        body: Body,
        address: Address,
        pieces: Pieces,
        timing: Timing | None = None,
        frames: int = 41,
        left_handed: bool = False,
        impact: Impact | None = None,
        head: HeadPlace | None = None,
    ) -> Swing:
        """`simulate`, to the last bit; arguments, result and errors are its own."""
        return self.do(self._walk, body, address, pieces, timing, frames, left_handed, impact, head)

    def do(self, stage: Callable[Given, Made], *given: Given.args, **named: Given.kwargs) -> Made:
        """What a stage makes of what it is given, as it was kept where it was."""
        kept = self._kept.setdefault(stage, OrderedDict())
        key = (*(self._told(one) for one in given), *((name, self._told(one)) for name, one in named.items()))
        if key in kept:
            kept.move_to_end(key)
            return kept[key]
        # What raises is not kept, and raises again.
        made = stage(*given, **named)
        _lock(made, self._made)
        kept[key] = self._made[id(made)] = made
        if len(kept) > self._most:
            _, oldest = kept.popitem(last=False)
            del self._made[id(oldest)]
        return made

    def _told(self, given: object) -> Hashable:
        """What tells a stage's argument from every other: itself for what another stage made, else its numbers."""
        return _Itself(given) if self._made.get(id(given)) is given else _numbers(given)


class _Itself:
    """An object that equals only itself; holding it, its identity is no other's."""

    def __init__(self, held: object) -> None:
        self.held = held

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Itself) and other.held is self.held

    def __hash__(self) -> int:
        return id(self.held)


def _numbers(value: object) -> Hashable:
    """The numbers of a value, to the bit: a negative zero is another one, and so is another place in memory order."""
    if isinstance(value, np.ndarray):
        return value.shape, value.strides, value.dtype.str, value.tobytes()
    if isinstance(value, Batch):
        held = value.__dict__
        return (type(value), *[(name, _numbers(held[name])) for name in _names(type(value))])
    # What is commonest is asked for first: whether something is a mapping takes long to find out.
    if isinstance(value, dict | Mapping):
        return tuple([(name, _numbers(one)) for name, one in value.items()])
    if isinstance(value, tuple | list):
        return (type(value), *[_numbers(one) for one in value])
    if value is None or isinstance(value, str | bool):
        return (type(value), value)
    array = np.asarray(value)
    return array.shape, array.strides, array.dtype.str, array.tobytes()


def _names(kind: type) -> tuple[str, ...]:
    """Fields of a batch; they are looked up once a kind."""
    if kind not in _FIELDS:
        _FIELDS[kind] = tuple(item.name for item in fields(kind))
    return _FIELDS[kind]


def _lock(value: object, kept: Mapping[int, object]) -> None:
    """Make every array that a value holds read-only; what is ``kept`` already is."""
    if isinstance(value, np.ndarray):
        value.flags.writeable = False
    elif isinstance(value, Batch):
        if kept.get(id(value)) is not value:
            for part in value.__dict__.values():
                _lock(part, kept)
    elif isinstance(value, dict | Mapping):
        for part in value.values():
            _lock(part, kept)
    elif isinstance(value, tuple):
        for part in value:
            _lock(part, kept)
