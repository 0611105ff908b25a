"""Readings at impact in a student's record: how they are given, and what ``diagnose`` makes of the last of them."""

from __future__ import annotations

import shlex
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Self

from ...model.errors import TurnstillError
from ..diagnose.moments import IMPACT, TOP
from ..diagnose.of_body import asked_at_impact
from ..diagnose.readings import KINDS, by_moment
from ..setups.presets import Setup
from ..setups.quantities import echo
from ..setups.reports import Number, Report
from ..words.at_impact import CAUTION
from ..words.cautions import listed
from ..words.pieces import told_amount
from .entry import FROM_FILMS, Entry, ImpactReading
from .films import Record

if TYPE_CHECKING:
    from ..diagnose.report import MomentDiagnosis


class ImpactReadingReport(Report):
    """A reading at impact."""

    reading: str
    """name of the reading, as `turnstill diagnose` has it"""
    unit: str
    """`cm` or `deg`, of both numbers"""
    value: Number
    """as it was read"""
    sd: Number | None
    """how sure that is: one standard deviation; null where none was written"""

    @classmethod
    def of(cls, one: ImpactReading) -> Self:
        """Of an entry's."""
        return cls(reading=one.name, unit=one.unit, value=one.value, sd=one.sd)


@dataclass(frozen=True)
class LastAtImpact:
    """The last film of a record that was read at impact, diagnosed once for all that is told of it.

    Attributes:
        number: of its entry.
        entry: what was read.
        found: what `turnstill diagnose` makes of that; the sentence in which it refuses, where it does.
        whose: the golfer it is told for, in a sentence.
    """

    number: int
    entry: Entry
    found: MomentDiagnosis | str
    whose: str

    @classmethod
    def of(cls, record: Record, setup: Setup, *, kept: bool = True) -> Self | None:
        """Of a record; None where nothing was read at impact.

        Args:
            record: worked out.
            setup: whose body and address, and the swing whose impact departures are counted from.
            kept: whether the record keeps anything of that body and address.
        """
        last = _last(record)
        if last is None:
            return None
        number, entry = last
        return cls(number, entry, _diagnosed(entry, setup), _whose(entry, setup, kept))

    @property
    def piece(self) -> str | None:
        """The piece to be felt, if any."""
        return None if isinstance(self.found, str) or self.found.feel is None else self.found.feel.piece

    def told(self, inches: bool) -> list[str]:
        """For whom, what to do and how sure that is, with what to take care of."""
        from ..diagnose.words import leading

        if isinstance(self.found, str):
            return [f"What to do about that cannot be told: {self.found}", CAUTION]
        lines = [self.whose, *leading(self.found, inches)]
        return lines if any(CAUTION in line for line in lines) else [*lines, CAUTION]


class RecordImpactReport(Report):
    """The last film that was read at impact, and what `turnstill diagnose` makes of it."""

    id: int
    """number of its entry"""
    date: str
    """day of its entry"""
    piece: str | None
    """of which more or less is to be felt on the way down; null where no feel is advised"""
    sentences: list[str]
    """what was read, for whom it is told, what to do, how sure that is, and what to take care of"""

    @classmethod
    def of(cls, last: LastAtImpact, inches: bool = False) -> Self:
        """Of the last such film of a record.

        Args:
            last: that film, diagnosed.
            inches: lengths in inches.
        """
        shown = listed([f"{KINDS[one.name].words} {_told(one, inches)}" for one in last.entry.at_impact])
        read = f"At impact, on the film of {last.entry.date} (entry {last.number}), was read: {shown}."
        return cls(id=last.number, date=last.entry.date, piece=last.piece, sentences=[read, *last.told(inches)])


def given_at_impact(read: Sequence[str], sd: Sequence[str], setup: Setup) -> tuple[ImpactReading, ...]:
    """Readings at impact as they are typed.

    Args:
        read: ``impact.NAME=VALUE`` in any unit.
        sd: likewise, the uncertainty of one.
        setup: whose head a head's width is.

    Raises:
        TurnstillError: for anything that is none.
    """
    for option, texts in (("--read", read), ("--sd", sd)):
        if of_top := by_moment(texts)[TOP.name]:
            raise TurnstillError(
                f"{option} {echo(of_top[0])} is of the top; here it is of impact alone ({option} impact.NAME=VALUE), "
                "and what a film shows of the head at the top has its own options, such as --head-up-cm."
            )
    if sd and not read:
        raise TurnstillError(
            f"--sd {echo(sd[0])} is of a reading that was not given; give it with --read, or leave it."
        )
    if not read:
        return ()
    asked = asked_at_impact(read, sd, setup)
    return tuple(
        ImpactReading(one.name, round(one.value, 6), round(one.sd, 6) if one.sd_given else None)
        for one in asked.readings
    )


def command(record: Record, swing: str, settings: Sequence[str], student: str | None) -> str | None:
    """The command that tells all that a record's last readings at impact say; None where it has none."""
    last = _last(record)
    if last is None:
        return None
    words = ["turnstill", "diagnose", *([] if swing == "centred" else [swing])]
    words += ["--student", student] if student is not None else []
    for one in settings:
        words += ["--set", one]
    read, sd = _typed(last[1])
    for option, texts in (("--read", read), ("--sd", sd)):
        for text in texts:
            words += [option, text]
    return shlex.join(words)


def _last(record: Record) -> tuple[int, Entry] | None:
    return next((one for one in reversed(record.entries) if one[1].at_impact), None)


def _told(one: ImpactReading, inches: bool) -> str:
    amount = told_amount(one.value, one.unit, inches)
    return amount if one.sd is None else f"{amount} (give or take {told_amount(one.sd, one.unit, inches)})"


def _typed(entry: Entry) -> tuple[list[str], list[str]]:
    """Readings as ``--read`` and ``--sd`` take them."""
    read = [f"{IMPACT.prefix}{one.name}={one.value:g}{one.unit}" for one in entry.at_impact]
    sd = [f"{IMPACT.prefix}{one.name}={one.sd:g}{one.unit}" for one in entry.at_impact if one.sd is not None]
    return read, sd


def _whose(entry: Entry, setup: Setup, kept: bool) -> str:
    """For whom impact is told; of films that is not the golfer for whom `turnstill read` told it."""
    own = "that this record keeps" if kept else f"of {setup.name}, as this record keeps none"
    films = entry.note.startswith(FROM_FILMS)
    other = "; turnstill read told it for the golfer as its films showed" if films else ""
    return f"Told for the body and usual address {own}{other}."


def _diagnosed(entry: Entry, setup: Setup) -> MomentDiagnosis | str:
    """The diagnosis of what was read at impact, or why there is none."""
    # Here, so that a record without such readings does not wait for the rooms that a diagnosis brings in.
    from ..diagnose.found import diagnosed
    from ..diagnose.report import DiagnosisReport

    read, sd = _typed(entry)
    try:
        found = diagnosed(setup, options={}, read=read, group_sd=None, sd=sd, head_width_cm=None, head_length_cm=None)
    except TurnstillError as wrong:
        return str(wrong)
    return DiagnosisReport.of(*found)
