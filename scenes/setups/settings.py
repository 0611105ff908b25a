"""Settings from the command line: ``NAME=VALUE`` laid over a preset."""

from __future__ import annotations

from collections.abc import Iterable

from ...model.errors import TurnstillError
from .former_names import todays_name
from .options import OptionSetting
from .presets import Setup, load
from .quantities import (
    ADDRESS_SECTION,
    HEAD_SECTION,
    IMPACT_SECTION,
    PIECES_SECTION,
    Entry,
    Value,
    by_any_name,
    echo,
    entries,
    nearest,
    without_unit,
)
from .set_otherwise import set_otherwise


class UsualSetting(str):
    """A setting of a student's record: the usual address stands in for the centred one.

    Where a swing departs from the centred address by itself, as ``straight-toes`` does, that is what the swing is
    about, and it stays.
    """

    __slots__ = ()


def find(name: str) -> Entry:
    """The quantity of a name, with or without its unit.

    Raises:
        TurnstillError: for an unknown name or a wrong unit.
    """
    known = by_any_name()
    cleaned = todays_name(name.strip().lower().replace("-", "_"))
    if cleaned in known:
        return known[cleaned]
    entry = known.get(without_unit(cleaned))
    if entry is not None and entry.quantity is not None:
        raise TurnstillError(
            f"{echo(name)} has the wrong unit; {entry.name} is {entry.allowed}, written {entry.name} or "
            f"{entry.name}_{entry.quantity.unit}."
        )
    raise TurnstillError(f"{echo(name)} {_unknown(cleaned)}.{nearest(cleaned, [e.name for e in entries()])}")


def _unknown(name: str) -> str:
    """That a name is unknown, and what may be set: of what it begins with, or the pieces."""
    part = name.partition(".")[0]
    if "." in name and part in (HEAD_SECTION, IMPACT_SECTION):
        return f"is none of {part}’s {', '.join(e.bare for e in entries() if e.section == part)}"
    pieces = ", ".join(e.name for e in entries() if e.section == PIECES_SECTION)
    return f"cannot be set; name a piece ({pieces}), or a quantity of the address, the arms or the body"


def apply(setup: Setup, settings: Iterable[str]) -> Setup:
    """A setup with settings such as ``tilt=steady+10`` or ``trail_hip_internal_rotation=25`` laid over it.

    What it shows is then what was changed, unless that is the golfer alone: a student's usual address is the golfer's.

    Raises:
        TurnstillError: for a setting that is not ``NAME=VALUE``, an unknown name or a value that is not allowed.
    """
    golfers = setup
    for text in settings:
        entry, value = read_setting(text)
        usual = isinstance(text, UsualSetting)
        if usual and _departs(setup, entry):
            continue
        setup = setup.changed(entry.section, entry.key, value)
        golfers = golfers.changed(entry.section, entry.key, value) if usual else golfers
    changed = set_otherwise(setup, golfers)
    return setup.showing(changed) if changed else setup


def read_setting(text: str) -> tuple[Entry, Value]:
    """What a setting sets, and to what.

    Raises:
        TurnstillError: as ``apply``.
    """
    name, equals, value = text.partition("=")
    if not equals:
        raise TurnstillError(f"--set {echo(text)} must be NAME=VALUE, for example hip_turn=50.")
    try:
        entry = find(name)
    except TurnstillError as wrong:
        raise TurnstillError(f"--set: {wrong}") from wrong
    return entry, entry.read(value, text.option if isinstance(text, OptionSetting) else f"--set {name.strip()}")


def _departs(setup: Setup, entry: Entry) -> bool:
    """Whether a swing has an address of its own in this."""
    centred = load("centred").section(entry.section)
    return entry.section == ADDRESS_SECTION and setup.section(entry.section).get(entry.key) != centred.get(entry.key)
