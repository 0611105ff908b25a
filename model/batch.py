"""Many golfers, swings or moments as one object, which is indexed, stacked and reshaped like an array.

A batch is a dataclass whose fields hold arrays, mappings or tuples of arrays, or batches. What is left of an array's
shape without its own axes is the batch shape: ``Parts`` in a field's type says how many axes are its own, behind the
batch (``Vector``: x, y, z) or before it (``Rows``: the optimiser has the moments last, its batches are flat). A field
of the type of a plain number, a truth value or a text, or marked ``SHARED``, is the same for the whole batch. A field
may be None: then the whole batch has nothing there.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import MISSING, dataclass, fields
from functools import cached_property
from typing import Annotated, Any, Self, get_args, get_type_hints

import numpy as np

from .arrays import Array, BoolArray
from .errors import TurnstillError


@dataclass(frozen=True)
class Parts:
    """How many axes of an array are its own, before and after those of the batch."""

    before: int = 0
    after: int = 0

    def within(self, outer: Parts) -> Parts:
        """The same inside something that has own axes itself, as a swing has its moments."""
        return self if outer is _NONE else Parts(self.before + outer.before, self.after + outer.after)

    def batch(self, array: Array) -> tuple[int, ...]:
        """Batch shape of an array."""
        return array.shape[self.before : array.ndim - self.after]

    def shaped(self, array: Array, batch: tuple[int, ...]) -> Array:
        """An array broadcast to a batch shape."""
        if array.shape[self.before : array.ndim - self.after] == batch:
            return array
        lead, own = array.shape[: self.before], array.shape[array.ndim - self.after :]
        missing = (1,) * (len(batch) - (array.ndim - self.before - self.after))
        return np.broadcast_to(array.reshape(lead + missing + array.shape[self.before :]), lead + batch + own)


_NONE = Parts()
SHARED = "shared"
Vector = Annotated[Array, Parts(after=1)]
"""``(..., 3)``, or another single axis of its own."""
Frame = Annotated[Array, Parts(after=2)]
"""``(..., 3, 3)``, a frame or several vectors."""
Frames = Annotated[Array, Parts(after=3)]
"""``(..., n, 3, 3)``."""
Flags = Annotated[BoolArray, Parts(after=1)]
"""``(..., n)`` truth values."""
Rows = Annotated[Array, Parts(before=1)]
"""``(n, N)``: moments last."""
Sides = Annotated[Array, Parts(before=2)]
"""``(3, 2, N)``: joints or other vectors of both legs, moments last."""
SideFrames = Annotated[Array, Parts(before=3)]
"""``(3, 3, 2, N)``: frames of both legs, moments last."""

_TRUTH = np.dtype(bool)
_Change = Callable[[Array, Parts], Array]
_Union = Callable[[list[Array], Parts], Array]


class Batch:
    """Base of dataclasses that are batches. They are equal when they are of one kind and all their numbers are equal
    (a missing number equals a missing one); as their arrays can change, they have no hash.
    """

    def __init_subclass__(cls) -> None:
        # A dataclass writes its own of these unless the class has them.
        for name in ("__eq__", "__repr__", "__hash__"):
            if name not in cls.__dict__:
                setattr(cls, name, getattr(Batch, name))

    @cached_property
    def batch(self) -> tuple[int, ...]:
        """Batch shape.

        Raises:
            TurnstillError: where the shapes of its fields do not broadcast.
        """
        return common_batch(**{"": self})

    @classmethod
    def unchecked(cls, **values: Any) -> Self:
        """One made of what was checked before: what belongs to a batch belongs to its parts, and sums of what may be
        asked for may go past it.
        """
        made = object.__new__(cls)
        made.__dict__.update(values)
        return made

    def __len__(self) -> int:
        if not self.batch:
            raise TypeError(f"This {type(self).__name__} is a single one and has no length.")
        return self.batch[0]

    def __bool__(self) -> bool:
        return True

    def __iter__(self) -> Iterator[Self]:
        return (self[k] for k in range(len(self)))

    def __getitem__(self, index: Any) -> Self:
        batch = self.batch
        if batch and isinstance(index, np.ndarray) and index.dtype.kind == "i":
            # As the optimiser asks at every step: several times as fast, and leaves the moments next to each other.
            made = _changed(self, _NONE, lambda array, parts: parts.shaped(array, batch).take(index, parts.before))
            made.__dict__["batch"] = index.shape + batch[1:]
            return made
        whole = index if isinstance(index, tuple) else (index,)
        used = sum(np.ndim(i) if getattr(i, "dtype", None) is _TRUTH else i is not None and i is not ... for i in whole)
        if used > len(batch):
            raise IndexError(f"This {type(self).__name__} has {len(batch)} batch axes, not {used}.")
        open_end = any(i is ... for i in whole)
        left: tuple[int, ...] = ()

        def some(array: Array, parts: Parts) -> Array:
            nonlocal left
            own = (slice(None),) * parts.after if open_end else ()
            picked = np.asarray(parts.shaped(array, batch)[(slice(None),) * parts.before + whole + own])
            left = parts.batch(picked)
            return picked

        made = _changed(self, _NONE, some)
        made.__dict__["batch"] = left
        return made

    def broadcast(self, batch: tuple[int, ...]) -> Self:
        """Every array of the batch shape ``batch``."""
        return _changed(self, _NONE, lambda array, parts: parts.shaped(array, batch))

    def reshaped(self, shape: tuple[int, ...]) -> Self:
        """The same, its batch axes reshaped to ``shape``."""
        batch = self.batch

        def reshape(array: Array, parts: Parts) -> Array:
            array = parts.shaped(array, batch)
            own = array.shape[array.ndim - parts.after :]
            return array.reshape(array.shape[: parts.before] + shape + own)

        return _changed(self, _NONE, reshape)

    def flat(self, batch: tuple[int, ...] | None = None, repeats: int = 1) -> Self:
        """The same broadcast to ``batch`` (its own unless said), in one axis, each ``repeats`` times in a row."""
        batch = self.batch if batch is None else batch

        def spread(array: Array, parts: Parts) -> Array:
            array = parts.shaped(array, batch)
            own = array.shape[array.ndim - parts.after :]
            array = array.reshape((*array.shape[: parts.before], -1, *own))
            return np.repeat(array, repeats, axis=parts.before) if repeats > 1 else array

        return _changed(self, _NONE, spread)

    @classmethod
    def stack(cls, items: Sequence[Self]) -> Self:
        """Several of one kind, broadcast to one batch shape, along a new first batch axis.

        Raises:
            TurnstillError: where there are none, they are of different kinds, or what is shared differs.
        """
        if not items:
            raise TurnstillError(f"There is no {cls.__name__} to stack; give at least one.")
        batch = common_batch(**{str(number): item for number, item in enumerate(items)})
        return _together(
            items, _NONE, lambda arrays, p: np.stack([p.shaped(one, batch) for one in arrays], axis=p.before)
        )

    def __eq__(self, other: object) -> bool:
        if type(other) is not type(self):
            return NotImplemented
        same = True

        def compare(arrays: list[Array], parts: Parts) -> Array:
            nonlocal same
            same = same and np.array_equal(arrays[0], arrays[1], equal_nan=arrays[0].dtype.kind == "f")
            return arrays[0]

        try:
            _together([self, other], _NONE, compare)
        except TurnstillError:  # of different kinds, deeper down
            return False
        return same

    def __hash__(self) -> int:
        raise TypeError(f"{type(self).__name__} has no hash: its arrays can change.")

    def __repr__(self) -> str:
        told = {"batch": self.batch} if self.batch else {}
        for item in fields(self):  # type: ignore[arg-type]
            usual = item.default_factory() if item.default_factory is not MISSING else item.default
            value = getattr(self, item.name)
            if usual is not MISSING and not _same(value, usual):
                told[item.name] = value
        return f"{type(self).__name__}({', '.join(f'{name}={_short(value)}' for name, value in told.items())})"


def common_batch(**named: Any) -> tuple[int, ...]:
    """The batch shape that several batches, arrays or mappings of arrays broadcast to.

    Raises:
        TurnstillError: saying which fields have which shapes, where there is none.
    """
    shapes: dict[str, tuple[int, ...]] = {}
    for name, one in named.items():
        _named_shapes(one, _NONE, name, shapes)
    different = set(shapes.values())
    try:
        return different.pop() if len(different) == 1 else np.broadcast_shapes(*different)
    except ValueError:
        alike: dict[tuple[int, ...], str] = {}
        for name, shape in shapes.items():
            alike.setdefault(shape, name)
        told = " and ".join(f"{name} has {shape}" for shape, name in alike.items() if shape)
        raise TurnstillError(
            f"These shapes do not go together: {told}; give single numbers, or arrays of one shape."
        ) from None


_LAYOUTS: dict[type, tuple[tuple[str, Parts | None], ...]] = {}


def _layout(batch: Batch) -> tuple[tuple[str, Parts | None], ...]:
    """Fields of a batch, with their own axes or None for what is shared."""
    kind = type(batch)
    if kind not in _LAYOUTS:
        hints = get_type_hints(kind, include_extras=True)
        _LAYOUTS[kind] = tuple((item.name, _parts(hints[item.name])) for item in fields(kind))  # type: ignore[arg-type]
    return _LAYOUTS[kind]


def _parts(hint: Any) -> Parts | None:
    marks = getattr(hint, "__metadata__", ())
    if SHARED in marks or hint in (bool, int, float, str, tuple[str, ...]):
        return None
    own = [mark for mark in marks if isinstance(mark, Parts)]
    inside = [found for part in get_args(hint) if (found := _parts(part)) is not None and found != _NONE]
    return own[0] if own else inside[0] if inside else _NONE


def _changed(value: Any, outer: Parts, change: _Change) -> Any:
    """A value whose arrays are changed, in whatever holds them."""
    if value is None:
        return None
    if isinstance(value, np.ndarray):
        return change(value, outer)
    if isinstance(value, Batch):
        made = object.__new__(type(value))
        for name, own in _layout(value):
            part = value.__dict__[name]
            made.__dict__[name] = part if own is None else _changed(part, own.within(outer), change)
        return made
    if isinstance(value, dict):
        return {name: _changed(one, outer, change) for name, one in value.items()}
    if isinstance(value, tuple):
        return tuple(_changed(one, outer, change) for one in value)
    return change(np.asarray(value), outer)


def _together(values: Sequence[Any], outer: Parts, union: _Union) -> Any:
    """One value made of several that are built alike."""
    first = values[0]
    if all(value is None for value in values):
        return None
    kinds = {type(value) for value in values if value is None or isinstance(value, Batch)}
    if kinds and any(type(value) is not type(first) for value in values):
        names = " and ".join(sorted({type(value).__name__ for value in values}))
        raise TurnstillError(f"{names} are of different kinds and do not make one batch.")
    if isinstance(first, Batch):
        made: dict[str, Any] = {}
        for name, own in _layout(first):
            parts = [getattr(value, name) for value in values]
            if own is not None:
                made[name] = _together(parts, own.within(outer), union)
            elif all(_same(part, parts[0]) for part in parts[1:]):
                made[name] = parts[0]
            else:
                raise TurnstillError(f"{name} is one for a whole batch, but differs among these.")
        return type(first).unchecked(**made)
    if isinstance(first, dict):
        if any(value.keys() != first.keys() for value in values):
            raise TurnstillError("These have different names and do not make one batch.")
        return {name: _together([value[name] for value in values], outer, union) for name in first}
    if isinstance(first, tuple):
        return tuple(_together(parts, outer, union) for parts in zip(*values, strict=True))
    return union([np.asarray(value) for value in values], outer)


def _named_shapes(value: Any, outer: Parts, path: str, found: dict[str, tuple[int, ...]]) -> None:
    if value is None:
        return
    if isinstance(value, Batch):
        for name, own in _layout(value):
            if own is not None:
                _named_shapes(getattr(value, name), own.within(outer), f"{path}.{name}".strip("."), found)
    elif isinstance(value, dict):
        for name, one in value.items():
            _named_shapes(one, outer, f"{path}.{name}", found)
    elif isinstance(value, tuple):
        for one in value:
            _named_shapes(one, outer, path, found)
    else:
        found[path] = outer.batch(np.asarray(value))


def _same(one: Any, other: Any) -> bool:
    if isinstance(one, np.ndarray) or isinstance(other, np.ndarray):
        return np.array_equal(one, other)
    return bool(one == other)


def _short(value: Any) -> str:
    if isinstance(value, np.ndarray) and value.ndim:
        return f"<{' x '.join(map(str, value.shape))}>"
    return f"{float(value):.4g}" if isinstance(value, float | np.ndarray) else repr(value)
