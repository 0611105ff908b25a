"""The ``record body`` command's work: the student's body and usual address, kept in the record."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from ...model.errors import TurnstillError
from ..delivery.terminal import tell
from ..setups.perform import FEWEST_FRAMES, body_of, is_left_handed, swing_of
from ..setups.presets import Setup, load
from ..setups.quantities import PIECES_SECTION, Value, to_border
from ..setups.settings import apply, find, read_setting
from ..setups.student import as_settings, kept_name, kept_of
from ..words.cautions import listed, spoken
from ..words.golfer import golfer_words
from ..words.units import told_length
from .acknowledge import acknowledge
from .store import keep_body

ALL = "all"


@dataclass(frozen=True)
class _Golfer:
    stature_cm: float
    mass_kg: float
    sex: str
    handedness: str


def golfer(setup: Setup, *, kept: bool, inches: bool = False) -> str:
    """Whom the numbers are about, as a heading: ``Golfer: 178 cm, 77 kg, female, right-handed``.

    Args:
        setup: the swing by the student's body.
        kept: whether the record keeps anything of it.
        inches: body height in inches.
    """
    body = body_of(setup)
    who = _Golfer(
        to_border("cm", body.stature),
        to_border("kg", body.mass),
        "female" if to_border("kg", body.female) else "male",
        "left" if is_left_handed(setup) else "right",
    )
    told = "" if kept else " (this record keeps no body yet: turnstill record body)"
    return f"Golfer: {golfer_words(who, inches)}{told}"


def body_to(target: str, settings: Sequence[str], forget: Sequence[str], *, inches: bool = False) -> None:
    """Keep what is given, and show what is kept.

    Args:
        target: the record; it is begun where there is none yet and something is given.
        settings: as ``--set`` gives them, of the body and the address.
        forget: names of what is not to be kept any more, or ``all``.
        inches: lengths shown in inches.

    Raises:
        TurnstillError: for anything a user can mend; nothing is then written.
    """
    changes = _read(settings)
    if changes or forget:
        before = kept_of(target) if Path(target).exists() else {}
        forgotten = _forgotten(target, before, forget)
        _check_possible({name: value for name, value in (before | changes).items() if name not in forgotten})
        keep_body(target, changes, forgotten)
    kept = kept_of(target)
    lines = [f"{target} keeps no body; the centred preset's is taken."]
    if kept:
        lines = [f"{target} keeps"]
        lines += [f"  {spoken(_bare(name))}: {_told(name, value, inches)}" for name, value in kept.items()]
        lines += ["What it does not keep is the centred preset's, or estimated from the body."]
    if changes or forget:
        acknowledge(f"{target} keeps the body as it is by now", *lines)
    else:
        for line in lines:
            tell(line)


def _read(settings: Sequence[str]) -> dict[str, Value]:
    changes = {}
    for text in settings:
        entry, value = read_setting(text)
        if entry.section == PIECES_SECTION:
            raise TurnstillError(
                f"--set: {entry.name} is a piece of a swing, but a record keeps the body and the usual address; leave "
                "it out."
            )
        changes[kept_name(entry)] = value
    return changes


def _forgotten(target: str, kept: Mapping[str, Value], forget: Sequence[str]) -> set[str]:
    if ALL in forget:
        return set(kept)
    names = {kept_name(find(name)) for name in forget}
    if missing := sorted(names - set(kept)):
        there = listed([_bare(name) for name in kept]) if kept else "nothing"
        raise TurnstillError(f"--forget was {_bare(missing[0])}, but {target} keeps {there}.")
    return names


def _check_possible(kept: Mapping[str, Value]) -> None:
    """A body that is kept can stand and swing, or every later command would say that it cannot."""
    swing_of(apply(load("centred"), as_settings(kept)), FEWEST_FRAMES)


def _bare(name: str) -> str:
    return find(name).name


def _told(name: str, value: Value, inches: bool) -> str:
    quantity = find(name).quantity
    if quantity is None or not isinstance(value, float):
        return str(value)
    if quantity.unit == "cm":
        return told_length(value, inches)
    return f"{value:.1f} kg" if quantity.unit == "kg" else f"{value:g}°"
