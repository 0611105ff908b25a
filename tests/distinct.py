"""Reports filled with numbers that are all different, so that a number under a wrong label is noticed."""

from __future__ import annotations

import types
from collections.abc import Iterator
from itertools import count
from typing import Annotated, Any, Literal, TypeVar, Union, get_args, get_origin

from pydantic import BaseModel

from turnstill.scenes.setups.reports import HeldHead
from turnstill.scenes.simulate.report import SwingReport

Model = TypeVar("Model", bound=BaseModel)
AT_ADDRESS = HeldHead(toward_target_cm=0.0, up_cm=0.0)
"""Where heads of reports are held unless it is said: elsewhere other words are told."""
SHARES = ("_share", "probability", "progress", "doubt_removed", "way_sure")
"""Endings of numbers between 0 and 1."""


def filled(model: type[Model], *, items: int = 2, start: int = 0, **given: Any) -> Model:
    """A report with a number of its own in every field, told apart even when rounded to a whole one.

    Args:
        model: the report's type.
        items: length of every list.
        start: where to begin counting, so that several reports share no number.
        given: fields that must be something in particular.
    """
    counter = count(start + 1)
    given = {"head_held": AT_ADDRESS, "at_impact": None} | given  # A swing ends at the top unless it is said.
    return model(**{n: given[n] if n in given else _value(f.annotation, n, counter, items) for n, f in _fields(model)})


def _fields(model: type[BaseModel]) -> Iterator[tuple[str, Any]]:
    yield from model.model_fields.items()


def _value(kind: Any, name: str, counter: Iterator[int], items: int) -> Any:
    origin = get_origin(kind)
    if origin is Annotated:
        return _value(get_args(kind)[0], name, counter, items)
    if origin in (Union, types.UnionType):
        return _value(next(one for one in get_args(kind) if one is not type(None)), name, counter, items)
    if origin is Literal:
        return get_args(kind)[next(counter) % len(get_args(kind))]
    if origin is list:
        return [_value(get_args(kind)[0], name, counter, items) for _ in range(items)]
    if origin is tuple:
        return tuple(_value(one, name, counter, items) for one in get_args(kind) if one is not ...)
    if origin is dict:
        return {f"{name}_{k}": _value(get_args(kind)[1], name, counter, items) for k in range(items)}
    if isinstance(kind, type) and issubclass(kind, BaseModel):
        return kind(**{n: _value(f.annotation, n, counter, items) for n, f in _fields(kind)})
    if kind is bool:
        return bool(next(counter) % 2)
    if kind is int:
        return next(counter)
    if kind is str:
        return f"{name} {next(counter)}"
    k = next(counter)
    if name.endswith(SHARES):
        return (k % 97 + 1) / 100.0
    return (1.7 * k + 0.3) * (1 if k % 3 else -1)


def whole_swing(name: str, start: int = 0, **given: Any) -> SwingReport:
    """A swing's report from address to the top, in three moments."""
    report = filled(SwingReport, preset=name, start=start, **({"shows": f"what {name} shows", "warnings": []} | given))
    first, last = report.moments
    middle = filled(type(first), start=start + 1000, progress=0.5)
    moments = [first.replaced(progress=0.0), middle, last.replaced(progress=1.0)]
    # One joint that is asked for by its name.
    necks = [dict(zip(("neck_base", "other"), one.joints_m.values(), strict=True)) for one in moments]
    return report.replaced(moments=[one.replaced(joints_m=neck) for one, neck in zip(moments, necks, strict=True)])
