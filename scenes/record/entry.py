"""One entry of a student's record: what it holds, in which unit, and what may be written."""

from __future__ import annotations

import datetime
import math
import re
from dataclasses import dataclass, fields

from ...model.errors import TurnstillError
from ...model.films.readings import READINGS, USUAL_SD_SHOWN
from ...model.golfer.pieces import DEPARTURES, PIECES
from ..diagnose.readings import LARGEST, SD_RANGE
from ..setups.former_names import todays_name
from ..setups.quantities import echo, nearest, without_unit

EARLIEST = datetime.date(1900, 1, 1)
LONGEST_NOTE = 2000
MOST_ENTRIES = 100_000
"""In one record; a lesson on every day for 270 years."""
FROM_FILMS = "read from films"
"""How an entry's note begins that nobody read by hand."""
HEADS = ("head_toward_target_cm", "head_toward_ball_cm", "head_up_cm")
"""What a film shows of the head at the top since address."""
LEAST_FELT = 0.01
"""Degrees or cm; a smaller feel is none, whatever a film shows after it (our choice; nobody feels a hundredth)."""
_LARGEST = {"deg": 90.0, "cm": 40.0}
_SD = {"deg": (0.1, 30.0), "cm": (0.1, 20.0)}


@dataclass(frozen=True)
class ImpactReading:
    """What a film shows at impact, read as `turnstill diagnose` takes it.

    Attributes:
        name: of ``READINGS``.
        value: cm or deg.
        sd: its standard deviation, likewise; None where none was written down.
    """

    name: str
    value: float
    sd: float | None = None

    @property
    def unit(self) -> str:
        """``cm`` or ``deg``."""
        return READINGS[self.name]


@dataclass(frozen=True)
class Entry:
    """What was asked for and what a film showed. None is what nobody wrote down.

    Attributes:
        date: of the lesson or the film, ``YYYY-MM-DD``.
        piece: the piece worked on; None for a film alone.
        felt: asked for or felt, in the piece's unit, as a change since the film before.
        got: what the film shows of it, likewise.
        got_sd: uncertainty of reading that.
        head_toward_target_cm, head_toward_ball_cm, head_up_cm: the head at the top since address.
        head_sd_cm: uncertainty of reading each of them.
        inclination_change_deg: the trunk's inclination down the line at the top less that at address.
        note: free text.
        at_impact: what the film shows at impact, in the order of ``READINGS``.
    """

    date: str
    piece: str | None = None
    felt: float | None = None
    got: float | None = None
    got_sd: float | None = None
    head_toward_target_cm: float | None = None
    head_toward_ball_cm: float | None = None
    head_up_cm: float | None = None
    head_sd_cm: float | None = None
    inclination_change_deg: float | None = None
    note: str = ""
    at_impact: tuple[ImpactReading, ...] = ()

    @property
    def unit(self) -> str:
        """``deg`` or ``cm``: of felt, got and got_sd."""
        return PIECES[self.piece].unit if self.piece else "deg"

    @property
    def asks(self) -> bool:
        """Whether something of the piece was asked for or felt, and not as good as nothing."""
        return self.piece is not None and self.felt is not None and abs(self.felt) >= LEAST_FELT

    @property
    def got_read_sd(self) -> float:
        """Uncertainty of reading the piece, the usual one where none is given."""
        return USUAL_SD_SHOWN[self.unit] if self.got_sd is None else self.got_sd

    @property
    def head_read_sd_cm(self) -> float:
        """Uncertainty of reading the head, the usual one where none is given."""
        return USUAL_SD_SHOWN["cm"] if self.head_sd_cm is None else self.head_sd_cm


FIELDS: tuple[str, ...] = tuple(item.name for item in fields(Entry) if item.name != "at_impact")
"""All that an entry holds but its readings at impact."""
NUMBERS: tuple[str, ...] = tuple(name for name in FIELDS if name not in ("date", "piece", "note"))


def checked(entry: Entry, today: datetime.date | None = None) -> Entry:
    """The entry, if it is one that may be written.

    Args:
        entry: as given.
        today: the last date that is not in the future; the clock's if not given.

    Raises:
        TurnstillError: one sentence that begins with the field's name.
    """
    _check_date(entry.date, today or datetime.date.today())
    if entry.piece is not None and entry.piece not in DEPARTURES:
        raise TurnstillError(unknown_piece(entry.piece))
    for name in NUMBERS:
        value = getattr(entry, name)
        if value is not None:
            _check_number(name, value, unit_of(name, entry.piece))
    _check_note(entry.note)
    for reading in entry.at_impact:
        _check_impact(reading)
    if entry.piece is None and (entry.felt is not None or entry.got is not None):
        given = "felt" if entry.felt is not None else "got"
        raise TurnstillError(f"piece was not given with {given}, so name what was worked on: {', '.join(DEPARTURES)}.")
    heads = [name for name in HEADS if getattr(entry, name) is not None]
    for name, has, needs in (
        ("got_sd", entry.got is not None, "got"),
        ("head_sd_cm", bool(heads), "a reading of the head"),
    ):
        if getattr(entry, name) is not None and not has:
            raise TurnstillError(f"{name} was given without {needs}, so give that as well or leave it out.")
    read = heads or entry.at_impact or entry.inclination_change_deg is not None
    if entry.felt is None and entry.got is None and not read:
        raise TurnstillError(
            "An entry must hold something: what was felt, what the film shows of the piece, or a reading of the head, "
            "of the inclination or at impact; give at least one."
        )
    return entry


def read_piece(text: str) -> str:
    """A piece as people write it: ``hip turn``, ``Hip-Turn``, ``hip_turn_deg``.

    Raises:
        TurnstillError: for anything else.
    """
    cleaned = todays_name(re.sub(r"[\s-]+", "_", text.strip().lower()))
    for name in (cleaned, without_unit(cleaned)):
        if name in DEPARTURES:
            return name
    raise TurnstillError(unknown_piece(text))


def unknown_piece(given: str) -> str:
    """The sentence for a piece that is none."""
    cleaned = re.sub(r"[\s-]+", "_", given[:200].strip().lower())
    return f"piece was {echo(given)}, but must be one of {', '.join(DEPARTURES)}.{nearest(cleaned, DEPARTURES)}"


def _check_date(given: str, today: datetime.date) -> None:
    try:
        # Python also reads 20250314 and 2025-W11-5; a record keeps to one way of writing.
        day = datetime.date.fromisoformat(given) if re.fullmatch(r"\d{4}-\d\d-\d\d", given, re.ASCII) else None
    except ValueError:
        day = None
    if day is None or day < EARLIEST:
        raise TurnstillError(
            f"date was {echo(given)}, but must be a day from {EARLIEST} on written year-month-day, such as {today}."
        )
    if day > today:
        raise TurnstillError(
            f"date was {given}, which is still to come; today is {today}, so give that or an earlier day."
        )


def unit_of(name: str, piece: str | None) -> str:
    """The unit of a number of an entry: its own, or the piece's."""
    own = name.rsplit("_", 1)[-1]
    return own if own in USUAL_SD_SHOWN else Entry("", piece).unit


def _check_number(name: str, value: float, unit: str) -> None:
    low, high = _SD[unit] if "_sd" in name else (-_LARGEST[unit], _LARGEST[unit])
    if not (math.isfinite(value) and low <= value <= high):
        raise TurnstillError(f"{name} was {echo(value)}, but must be a number between {low:g} and {high:g} {unit}.")


def _check_impact(reading: ImpactReading) -> None:
    if reading.name not in READINGS:
        raise TurnstillError(f"There is no reading {echo(reading.name)} at impact; there are {', '.join(READINGS)}.")
    unit = reading.unit
    for what, value, (low, high) in (
        (" value", reading.value, (-LARGEST[unit], LARGEST[unit])), (" sd", reading.sd, SD_RANGE[unit])
    ):  # fmt: skip
        if value is not None and not low <= value <= high:
            raise TurnstillError(
                f"The{what} of impact.{reading.name} was {echo(value)}, but must be a number between {low:g} and "
                f"{high:g} {unit}."
            )


def _check_note(note: str) -> None:
    if len(note) > LONGEST_NOTE:
        raise TurnstillError(f"note was {len(note)} characters long, but may be {LONGEST_NOTE} at most; shorten it.")
    # A surrogate is what is left of bytes that are no text; it cannot be written as UTF-8.
    if any((ord(c) < 32 and c not in "\n\r\t") or ord(c) == 127 or 0xD800 <= ord(c) <= 0xDFFF for c in note):
        raise TurnstillError("note holds characters that cannot be read, but may be any text with tabs and new lines.")
