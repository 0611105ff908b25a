"""Amounts as people write them: a plain number, or one with its unit: ``-2.4in``, ``5ft10``, ``170lb``, ``12st``.

Every length, mass and angle that is taken anywhere is read here.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from decimal import Decimal
from types import MappingProxyType

from ..words.units import CM_PER_INCH

_CM_PER_INCH = Decimal(str(CM_PER_INCH))
_KG_PER_POUND = Decimal("0.45359237")
"""Exact: international yard and pound agreement of 1959; as are 12 inches in a foot and 14 pounds in a stone."""
_INCHES, _POUNDS = 12, 14
_SIZE: Mapping[str, Mapping[str, Decimal]] = {
    "cm": {
        "cm": Decimal(1), "mm": Decimal("0.1"), "m": Decimal(100), "in": _CM_PER_INCH, "ft": _INCHES * _CM_PER_INCH,
    },
    "kg": {"kg": Decimal(1), "lb": _KG_PER_POUND, "st": _POUNDS * _KG_PER_POUND},
    "deg": {"deg": Decimal(1)},
}  # fmt: skip
"""Unit at the border to the units it is taken in."""
_SPELT = {
    "inch": "in", "inches": "in", '"': "in", "″": "in", "”": "in", "feet": "ft", "foot": "ft", "'": "ft", "′": "ft",
    "’": "ft", "lbs": "lb", "pound": "lb", "pounds": "lb", "stone": "st", "degree": "deg", "degrees": "deg", "°": "deg",
}  # fmt: skip
_PARTS = {("ft", "in"): _INCHES, ("st", "lb"): _POUNDS}
"""Two units that are written in a row, and how many of the second make one of the first."""
_NUMBER = r"(?:\d+\.?\d*|\.\d+)"
_ONE = re.compile(rf"([+-]?{_NUMBER}(?:e[+-]?\d+)?) *([a-z\"'°′″’”]*)", re.ASCII | re.IGNORECASE)
_TWO = re.compile(rf"([+-]?)(\d+) *([a-z'′’]+) *({_NUMBER}) *([a-z\"″”]*)", re.ASCII | re.IGNORECASE)
_NOT_FINITE = re.compile(r"[+-]?(?:nan|inf|infinity)", re.ASCII | re.IGNORECASE)
_COMMA = re.compile(r"\d,\d", re.ASCII)
_LONGEST = 400
NO_MORE: Mapping[str, float] = MappingProxyType({})


def amount(text: str, unit: str, more: Mapping[str, float] = NO_MORE) -> tuple[float, str] | None:
    """The number that a text writes, and the unit it was written in.

    What is not finite (``nan``, ``1e999``) comes back as such: whatever range follows refuses it and says the range.

    Args:
        text: a number, a number with a unit, feet and inches, or stones and pounds; signed or not.
        unit: ``cm``, ``kg`` or ``deg``, in which the number is told, and which a plain number has.
        more: further units to their size.

    Returns:
        None for what is no amount in such a unit. The unit written is empty for a plain number.
    """
    plain = text.strip().replace("−", "-")
    if len(plain) > _LONGEST:
        return None
    if _NOT_FINITE.fullmatch(plain):
        return float(plain), ""
    if match := _ONE.fullmatch(plain):
        written = _spelt(match[2])
        if not written:
            return float(match[1]), ""
        size = _SIZE[unit].get(written, more.get(written))
        return None if size is None else (_times(match[1], size), written)
    if match := _TWO.fullmatch(plain):
        return _in_two(match, unit)
    return None


def _spelt(unit: str) -> str:
    return _SPELT.get(unit.lower(), unit.lower())


def _times(number: str, size: Decimal | float) -> float:
    """The nearest float to a written number of a unit; what is too large or small to matter as Python reads it."""
    plain = float(number)
    if isinstance(size, float) or not 1e-300 < abs(plain) < 1e300:
        return plain * float(size)
    return float(Decimal(number) * size)


def _in_two(match: re.Match[str], unit: str) -> tuple[float, str] | None:
    sign, first, first_unit, second, second_unit = match.groups()
    whole = _spelt(first_unit)
    for (larger, smaller), count in _PARTS.items():
        # Fourteen inches after the feet, or pounds after the stones, are a slip of the hand.
        if whole == larger and _spelt(second_unit) in ("", smaller) and float(second) < count:
            size = _SIZE[unit].get(smaller)
            parts = Decimal(first) * count + Decimal(second)
            return None if size is None else (float(parts * size * (-1 if sign == "-" else 1)), larger)
    return None


def sizes(unit: str) -> dict[str, float]:
    """Every spelling of a unit in which an amount of ``unit`` may be written, and how much of ``unit`` it is."""
    there = _SIZE[unit]
    spelt = {spelling: there[plain] for spelling, plain in _SPELT.items() if plain in there}
    return {spelling: float(size) for spelling, size in {**there, **spelt}.items()}


def hint(text: str, unit: str, more: Iterable[str] = ()) -> str:
    """What to add to a sentence that refuses a text: how such an amount may be written."""
    if _COMMA.search(text):
        return ", with a point in place of the comma"
    others = [*(name for name in _SIZE[unit] if name != unit), *more]
    return f", or as much in {', '.join(others[:-1])} or {others[-1]}" if others else ""
