"""Every quantity a person can set: its name, its key with the unit in it, and what may be given.

Ranges come from the model, so that a file, the command line and the model never disagree.
"""

from __future__ import annotations

import difflib
import math
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import cache

import numpy as np

from ...model.arrays import ArrayLike
from ...model.errors import TurnstillError
from ...model.golfer.address import ADDRESS
from ...model.golfer.arm_swing import ARM_SWING
from ...model.golfer.body import LARGEST_LENGTH_M, LENGTH_NAMES, RANGE_NAMES, SMALLEST_LENGTH_M
from ...model.golfer.head_place import HEAD_PLACE
from ...model.golfer.impact import IMPACT
from ...model.golfer.pieces import MAY_BE_STEADY, PIECES, Quantity
from ...model.golfer.survey import MASS_RANGE_KG, STATURE_RANGE_M
from . import amounts

ADDRESS_SECTION, PIECES_SECTION, BODY_SECTION, ARMS_SECTION = "address", "pieces", "body", "arms"
LENGTHS_SECTION, RANGES_SECTION = "body.lengths_cm", "body.ranges_deg"
HEAD_SECTION, IMPACT_SECTION = "head", "impact"
SECTIONS = (
    ADDRESS_SECTION, PIECES_SECTION, HEAD_SECTION, IMPACT_SECTION, ARMS_SECTION, BODY_SECTION, LENGTHS_SECTION,
    RANGES_SECTION,
)  # fmt: skip

_STEADY = re.compile(r"steady\s*(?:([+-])\s*(\d+(?:\.\d*)?|\.\d+))?", re.ASCII)
_LONGEST_ECHO = 40


@dataclass(frozen=True)
class Departure:
    """What keeps the head still, plus so many degrees: written ``steady``, ``steady+10`` or ``steady-15``."""

    plus_deg: float = 0.0

    def __str__(self) -> str:
        return f"steady{self.plus_deg:+g}" if self.plus_deg else "steady"

    @property
    def in_full(self) -> str:
        """The same with every digit, so that it reads back as the same number."""
        return f"steady{Decimal(repr(self.plus_deg)):+f}".removesuffix(".0") if self.plus_deg else "steady"


Value = float | str | Departure
"""A value at the border: a number in its key's unit, a word, or a departure from steady."""


@dataclass(frozen=True)
class Entry:
    """One quantity as files and the command line know it.

    Attributes:
        section: the section of a preset file it stands in.
        name: without unit, as the command line takes it; of head and impact with the section, ``impact.hip_turn``.
        key: as it stands in a preset file; in ``lengths_cm`` and ``ranges_deg`` the section carries the unit.
        quantity: unit, range and meaning; None for a word.
        words: the words allowed, for a quantity that is not a number.
    """

    section: str
    name: str
    key: str
    quantity: Quantity | None
    words: tuple[str, ...] = ()

    @property
    def bare(self) -> str:
        """The name without its section, as the model calls it."""
        return self.name.rpartition(".")[2]

    @property
    def may_be_steady(self) -> bool:
        """Whether ``steady`` is a value of it."""
        return self.section in (PIECES_SECTION, IMPACT_SECTION) and self.bare in MAY_BE_STEADY

    @property
    def allowed(self) -> str:
        """What may be given, in words."""
        if self.quantity is None:
            return " or ".join(f'"{word}"' for word in self.words)
        text = f"a number between {self.quantity.low:g} and {self.quantity.high:g} {self.quantity.unit}"
        return f'{text}, or "steady", "steady+10" or the like' if self.may_be_steady else text

    def check(self, given: object, called: str = "") -> Value:
        """The value, if it is one that may be given: a number in the key's unit, or a text that holds another unit.

        Args:
            given: the value.
            called: how whoever gave it calls it; the key of a file if not given.

        Raises:
            TurnstillError: naming it, what was given and what is allowed.
        """
        if self.quantity is None:
            if isinstance(given, str) and given in self.words:
                return given
        elif isinstance(given, int | float) and not isinstance(given, bool):
            # An integer of a thousand digits does not fit a float and fails this comparison as well.
            if self.quantity.low <= given <= self.quantity.high:
                return float(given)
        elif isinstance(given, str):
            if self.may_be_steady and (match := _STEADY.fullmatch(given.strip())):
                plus = float((match[1] or "") + (match[2] or "0"))
                if self.quantity.low <= plus <= self.quantity.high:
                    return Departure(plus)
            number, written = amounts.amount(given, self.quantity.unit) or (0.0, "")
            if written and self.quantity.low <= number <= self.quantity.high:
                return number
        how = amounts.hint(given, self.quantity.unit) if self.quantity and isinstance(given, str) else ""
        name = called or (self.key if self.bare == self.name else f"{self.section}.{self.key}")
        raise TurnstillError(f"{name} was {echo(given)}, but must be {self.allowed}{how}.")

    def read(self, text: str, called: str) -> Value:
        """The value written as text, as on a command line.

        Args:
            text: the value.
            called: how whoever wrote it calls it.

        Raises:
            TurnstillError: as ``check``.
        """
        if self.quantity is None:
            return self.check(text.strip().lower(), called)
        found = amounts.amount(text, self.quantity.unit)
        return self.check(text if found is None or found[1] else found[0], called)


def read_number(
    how: str, given: float | str, unit: str, more: Mapping[str, float] = amounts.NO_MORE
) -> tuple[float, str]:
    """A number in a unit of the border, as given or as written, and the unit it was written in.

    Whether it is finite and in range is left to check. Without a unit of its own that is empty.

    Raises:
        TurnstillError: one sentence that begins with how the amount is called.
    """
    found = amounts.amount(given, unit, more) if isinstance(given, str) else (given, "")
    if found is None:
        allowed = f"a number in {unit}{amounts.hint(str(given), unit, more)}"
        raise TurnstillError(f"{how} was {echo(given)}, but must be {allowed}.")
    return found


def echo(given: object) -> str:
    """What somebody gave, short enough for one sentence and without control characters."""
    if isinstance(given, Mapping):
        return "a table"
    if isinstance(given, list | tuple):
        return "a list"
    if isinstance(given, float):
        return f"{given:g}"
    if isinstance(given, bool):
        return str(given).lower()
    if isinstance(given, int):
        # Python refuses to write out integers of thousands of digits.
        return str(given) if abs(given) < 10**_LONGEST_ECHO else "a number of more than 40 digits"
    text = "".join(c if c.isprintable() else "?" for c in str(given))
    return f'"{text if len(text) <= _LONGEST_ECHO else text[: _LONGEST_ECHO - 3] + "..."}"'


def nearest(name: str, known: Iterable[str]) -> str:
    """``" Did you mean ...?"`` where a known name is close to the given one, else nothing.

    A name with a known section before its dot is held against that section's, by what follows: the section makes
    none of them nearer. One that is known but for a section of no likely name is meant without it.
    """
    known = list(known)
    section, dot, bare = name.rpartition(".")
    inside = [one for one in known if one.startswith(f"{section}{dot}")] if dot else []
    if inside:
        near = difflib.get_close_matches(bare[:200], [one.rpartition(".")[2] for one in inside], n=1, cutoff=0.6)
        return f" Did you mean {section}.{near[0]}?" if near else ""
    spelt = [difflib.get_close_matches(name[:200], known, n=1, cutoff=cutoff) for cutoff in (0.85, 0.6)]
    close = spelt[0] or [bare] * (bare in known) or spelt[1]
    return f" Did you mean {close[0]}?" if close else ""


def _cm(metres: float) -> float:
    """Centimetres, without what binary fractions leave behind."""
    return round(metres * 100.0, 6)


@cache
def entries() -> tuple[Entry, ...]:
    """Every quantity that can be set, in the order of the sections."""
    stature = Quantity("cm", _cm(STATURE_RANGE_M[0]), _cm(STATURE_RANGE_M[1]), "body height")
    mass = Quantity("kg", *MASS_RANGE_KG, "body mass")
    length = Quantity("cm", _cm(SMALLEST_LENGTH_M), _cm(LARGEST_LENGTH_M), "measured length")
    motion = Quantity("deg", 1.0, 180.0, "measured range of motion")
    return (
        *(Entry(ADDRESS_SECTION, name, f"{name}_{q.unit}", q) for name, q in ADDRESS.items()),
        *(Entry(PIECES_SECTION, name, f"{name}_{q.unit}", q) for name, q in PIECES.items()),
        *_dotted(HEAD_SECTION, HEAD_PLACE),
        *_dotted(IMPACT_SECTION, PIECES),
        *_dotted(IMPACT_SECTION, IMPACT),
        *_dotted(IMPACT_SECTION, {f"head_{name}": q for name, q in HEAD_PLACE.items()}),
        *(Entry(ARMS_SECTION, name, f"{name}_{q.unit}", q) for name, q in ARM_SWING.items()),
        Entry(BODY_SECTION, "stature", "stature_cm", stature),
        Entry(BODY_SECTION, "mass", "mass_kg", mass),
        Entry(BODY_SECTION, "sex", "sex", None, ("male", "female")),
        Entry(BODY_SECTION, "handedness", "handedness", None, ("right", "left")),
        *(Entry(LENGTHS_SECTION, name, name, length) for name in LENGTH_NAMES),
        *(Entry(RANGES_SECTION, name, name, motion) for name in RANGE_NAMES),
    )


def _dotted(section: str, quantities: Mapping[str, Quantity]) -> tuple[Entry, ...]:
    """Entries whose names others have too, and so are told with their section."""
    return tuple(Entry(section, f"{section}.{name}", f"{name}_{q.unit}", q) for name, q in quantities.items())


def section_entries(section: str) -> dict[str, Entry]:
    """Key to entry of one section."""
    return {entry.key: entry for entry in entries() if entry.section == section}


@cache
def by_any_name() -> Mapping[str, Entry]:
    """Entries by name and by name with the unit, as the command line takes both."""
    found: dict[str, Entry] = {}
    for entry in entries():
        unit = entry.quantity.unit if entry.quantity else None
        own = [entry.key] if entry.bare == entry.name else []
        for name in (entry.name, *own, *([f"{entry.name}_{unit}"] if unit else [])):
            found[name] = entry
    return found


def without_unit(key: str) -> str:
    """A key less its unit, whichever that is."""
    return re.sub(r"_(?:deg|degrees|rad|cm|mm|m|in|inch|inches|kg|lb|g)$", "", key)


def to_model(unit: str, value: float) -> float:
    """A number at the border in the model's radians, metres and kilograms."""
    # Division keeps 94 cm at exactly 0.94 m; a factor of 0.01 would not.
    return {"deg": math.radians(value), "cm": value / 100.0, "kg": value}[unit]


def to_border(unit: str, value: ArrayLike) -> float:
    """A single number of the model in the border's degrees, centimetres and kilograms."""
    number = float(np.asarray(value, dtype=float).item())
    return {"deg": math.degrees(number), "cm": number * 100.0, "kg": number}[unit]
