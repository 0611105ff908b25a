"""Settings from the command line: ``NAME=VALUE`` laid over a preset."""

from __future__ import annotations

from collections.abc import Iterable

from ...model.errors import TurnstillError
from .former_names import todays_name
from .presets import Setup
from .quantities import PIECES_SECTION, Entry, by_any_name, echo, entries, nearest, without_unit


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
    pieces = ", ".join(e.name for e in entries() if e.section == PIECES_SECTION)
    raise TurnstillError(
        f"{echo(name)} cannot be set; name a piece ({pieces}), or a quantity of the address or the body."
        f"{nearest(cleaned, [e.name for e in entries()])}"
    )


def apply(setup: Setup, settings: Iterable[str]) -> Setup:
    """A setup with settings such as ``tilt=steady+10`` or ``trail_hip_internal_rotation=25`` laid over it.

    Raises:
        TurnstillError: for a setting that is not ``NAME=VALUE``, an unknown name or a value that is not allowed.
    """
    for text in settings:
        name, equals, value = text.partition("=")
        if not equals:
            raise TurnstillError(f"--set {echo(text)} must be NAME=VALUE, for example hip_turn=50.")
        try:
            entry = find(name)
            checked = entry.read(value)
        except TurnstillError as wrong:
            raise TurnstillError(f"--set: {wrong}") from wrong
        setup = setup.changed(entry.section, entry.key, checked)
    return setup
