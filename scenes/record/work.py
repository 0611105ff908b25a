"""The ``record`` commands' work: a student's record written, shown and asked for the next feel."""

from __future__ import annotations

import datetime
import sys
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

import numpy as np

from ...model.errors import TurnstillError
from ...model.films.dose import Amount
from ...model.films.readings import USUAL_SD_SHOWN
from ...model.golfer.pieces import PIECES
from ..delivery.folder import PAGE_FILE, new_folder
from ..delivery.json_text import json_text
from ..delivery.outputs import check_outputs
from ..delivery.terminal import say, tell
from ..delivery.this_command import note_read
from ..delivery.writing import STANDARD_OUTPUT, utf8, write_text
from ..setups.commands import live_command, sheet_command, short_of
from ..setups.presets import Setup, load
from ..setups.quantities import Value, read_number, to_model
from ..setups.settings import apply
from ..setups.student import as_settings, files_of
from ..words.legible import sound
from ..words.pieces import NAMES
from . import words
from .acknowledge import acknowledge
from .at_impact import LastAtImpact, given_at_impact
from .at_impact import command as command_at_impact
from .body import golfer
from .csv import csv_entries, csv_text
from .entry import FIELDS, NUMBERS, Entry, checked, read_piece, unit_of
from .films import Record, head_slopes, work_out
from .next_feel import next_feel
from .next_report import NextReport
from .report import ShowReport
from .store import add, add_missing, add_once, contents_of

NUMBERS_FILE = "record.json"
"""In a folder of results: the report, and the list of the folder's files."""


def add_given_to(
    target: str, given: dict[str, Any], *, read: Sequence[str] = (), sd: Sequence[str] = (), again: bool = False
) -> None:
    """Write one entry; its number is told once it is on the disk.

    Args:
        target: the record.
        given: those fields of the entry that were given, as texts; the date is today's if it is not among them.
        read: what the film shows at impact, ``impact.NAME=VALUE``.
        sd: how sure one of these is, likewise.
        again: write it also where the record has one that is alike in every field.

    Raises:
        TurnstillError: for anything a user can mend; nothing is then written.
    """
    if read or sd:
        there_is = Path(target).exists()
        setup = _setup(contents_of(target)[1] if there_is else {}, "centred", [])
        given = {**given, "at_impact": given_at_impact(read, sd, setup)}
    entry = entry_given(given)
    number, there = (add(target, [entry])[0], False) if again else add_once(target, entry)
    if there:
        told = f"Entry {number} of {target} has just that; nothing was added"
        acknowledge(
            told,
            f"{told}.",
            "If this is another swing, add it with --again, or with a --note that tells it apart.",
        )
    else:
        acknowledge(f"Entry {number} is in {target}")


def entry_given(given: dict[str, Any]) -> Entry:
    """The entry that its options say, as texts; the date is today's if it is not among them.

    Raises:
        TurnstillError: naming the option, for an entry that may not be written.
    """
    given = {"date": datetime.date.today().isoformat(), **given}
    try:
        if "piece" in given:
            given["piece"] = read_piece(given["piece"])
        for field in NUMBERS:
            if field in given:
                given[field] = read_number(field, given[field], unit_of(field, given.get("piece")))[0]
        entry = checked(Entry(**given))
    except TurnstillError as wrong:
        # The fields' names are the options', but for how they are written.
        name = next((name for name in FIELDS if str(wrong).startswith(f"{name} ")), None)
        if name is None:
            raise
        raise TurnstillError(f"--{name.replace('_', '-')}{str(wrong).removeprefix(name)}") from wrong
    return entry


def add_csv_to(target: str, file: str) -> None:
    """Write the rows of a CSV file, all of them or none; those the record has already are left out.

    Raises:
        TurnstillError: for anything a user can mend; nothing is then written.
    """
    entries, notes = csv_entries(file)
    numbers, there = add_missing(target, entries)
    told = f"{words.counted(len(numbers), 'entry').capitalize()} added to {target}"
    acknowledge(told + (f"; {there} were there already" if there else ""))
    for note in notes:
        say(note)


def _setup(kept: Mapping[str, Value], swing: str, settings: list[str]) -> Setup:
    """The swing by the body that the record keeps, as far as the settings do not say otherwise."""
    return apply(load(swing), [*as_settings(kept), *settings])


def show_to(
    target: str,
    swing: str,
    settings: list[str],
    *,
    json_file: str | None = None,
    csv_file: str | None = None,
    out: str | None = None,
    inches: bool = False,
) -> None:
    """Print a record, and write it as JSON, CSV and a page where asked.

    Args:
        target: the record.
        swing: a preset's name or a file, whose body the one kept in the record replaces.
        settings: laid over both.
        json_file: where the report goes; ``-`` is standard output.
        csv_file: where the entries go, likewise.
        out: the folder of the page.
        inches: lengths that are shown in inches.

    Raises:
        TurnstillError: for anything a user can mend; no file is then written.
    """
    note_read(*files_of(target))
    entries, kept = contents_of(target)
    setup = _setup(kept, swing, settings)
    check_outputs({"--json": json_file, "--csv": csv_file}, out, NUMBERS_FILE)
    name, record = sound(Path(target).name), work_out(entries, head_slopes(setup))
    impact = LastAtImpact.of(record, setup, kept=bool(kept))
    report = ShowReport.of(record, name, setup, impact=impact)
    shown = ShowReport.of(record, name, setup, inches=True, impact=impact) if inches else report
    who = golfer(setup, kept=bool(kept), inches=inches)
    if out is not None:
        from .page import record_page

        with new_folder(out, NUMBERS_FILE) as folder:
            page = record_page(shown, _next_or_none(name, setup, record, inches, impact), inches, who)
            (folder / PAGE_FILE).write_bytes(utf8(page))
            (folder / NUMBERS_FILE).write_bytes(utf8(json_text(report, [PAGE_FILE, NUMBERS_FILE])))
    if csv_file is not None:
        write_text(csv_file, csv_text([entry for _, entry in entries], mark=csv_file != STANDARD_OUTPUT))
    if json_file is not None:
        write_text(json_file, json_text(report))
    if STANDARD_OUTPUT not in (json_file, csv_file):
        from .table import record_table

        tell(who)
        sys.stdout.write(record_table(shown, inches))
        _tell_of_impact(record, swing, settings, target if kept else None)
        if out is not None:
            tell(f"The page is {Path(out) / PAGE_FILE}")


def _next_or_none(
    name: str, setup: Setup, record: Record, inches: bool, impact: LastAtImpact | None
) -> NextReport | None:
    """The next feel for the piece worked on last, where the record tells one."""
    if record.last_piece is None:
        return None
    try:
        return NextReport.of(record, name, setup, next_feel(record, record.last_piece), inches, impact)
    except TurnstillError:
        return None


def next_to(
    target: str,
    swing: str,
    settings: list[str],
    *,
    inches: bool = False,
    piece: str | None = None,
    missing: str | None = None,
    missing_sd: str | None = None,
    json_file: str | None = None,
) -> None:
    """Print the next feel to ask for, and write it as JSON where asked.

    Raises:
        TurnstillError: for anything a user can mend; no file is then written.
    """
    named = read_piece(piece) if piece is not None else None
    if missing_sd is not None and missing is None:
        raise TurnstillError("--missing-sd was given without --missing, so give that as well or leave it out.")
    note_read(*files_of(target))
    entries, kept = contents_of(target)
    setup = _setup(kept, swing, settings)
    check_outputs({"--json": json_file})
    record = work_out(entries, head_slopes(setup))
    about = named or record.last_piece
    if about is None:
        more = " Of impact turnstill record show tells." if any(entry.at_impact for _, entry in entries) else ""
        raise TurnstillError(
            f"The record names no piece worked on yet; name one with --piece, such as extension.{more}"
        )
    given = None if missing is None else _given(about, missing, missing_sd)
    feel, name = next_feel(record, about, given), sound(Path(target).name)
    impact = LastAtImpact.of(record, setup, kept=bool(kept))
    report = NextReport.of(record, name, setup, feel, impact=impact)
    if json_file is not None:
        write_text(json_file, json_text(report))
    if json_file != STANDARD_OUTPUT:
        from .table import next_table

        shown = NextReport.of(record, name, setup, feel, inches=True, impact=impact) if inches else report
        sys.stdout.write(next_table(shown))
        if (one := _asked_for(report)) is not None:
            of, change, felt = one
            lacks = {of: short_of(setup, of, change)}
            student = target if kept else None
            line = sheet_command(swing, settings, lacks, (of, change), felt=felt, student=student)
            tell(f"For a sheet to take home: {line}")
            tell(f"To move it in a page: {live_command(swing, settings, lacks, student=student)}")
        _tell_of_impact(record, swing, settings, target if kept else None)


def _tell_of_impact(record: Record, swing: str, settings: Sequence[str], student: str | None) -> None:
    """The command that says all that the last readings at impact say, where there are any."""
    line = command_at_impact(record, swing, settings, student)
    if line is not None:
        tell(f"For all that impact says: {line}")


def _asked_for(report: NextReport) -> tuple[str, float, float] | None:
    """The piece asked for next, what is missing of it and what is to be felt, in its unit; None where nothing is."""
    if report.instead is not None and report.instead.feel.amount:
        return report.instead.piece, -report.instead.stands.mean, report.instead.feel.amount
    return (report.piece, report.wanted, report.feel.amount) if report.feel.amount else None


def _given(piece: str, missing: str, sd: str | None) -> Amount:
    """What is missing is an amount like any that a film shows, and is read and held to the same ranges."""
    unit = PIECES[piece].unit
    try:
        amount = read_number("got", missing, unit)[0]
        sure = None if sd is None else read_number("got_sd", sd, unit)[0]
        checked(Entry("2000-01-01", piece, got=amount, got_sd=sure))
    except TurnstillError as wrong:
        told = str(wrong).replace("got_sd was", "--missing-sd was").replace("got was", "--missing was")
        raise TurnstillError(f"{told.rstrip('.')} for {NAMES[piece]} ({PIECES[piece].meaning}).") from wrong
    values = (amount, USUAL_SD_SHOWN[unit] if sure is None else sure)
    return Amount(*(np.array(to_model(unit, value)) for value in values))
