"""A classifier's probabilities from a table, refused in a sentence where they are none."""

from __future__ import annotations

import csv
import io
import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from ....model.arrays import Array, BoolArray
from ....model.errors import TurnstillError
from ....model.golfer.pieces import DEPARTURES
from ...delivery.reading import plain_bytes
from ...delivery.refusals import shown
from ...setups.quantities import echo, nearest
from ..layout.names import swing_of
from .swings import NO_FAULT, OUTCOMES

SWING = "swing"
MOST_BYTES = 500_000_000
"""Millions of swings stay under it."""
ROUNDING = 0.01
"""How far nine probabilities together may be from 1: rounded to three decimals they stay within half of it (our
choice)."""
_FORM = f"{SWING}, {', '.join(DEPARTURES)} and, if you like, {NO_FAULT}"


@dataclass(frozen=True)
class Answers:
    """Of S swings.

    Attributes:
        said: ``(S, 8)`` probability that each of ``DEPARTURES`` is at fault, NaN where there is no answer; or
            ``(S, 9)``, of each of ``OUTCOMES``, adding up to 1.
    """

    said: Array

    @property
    def of_one(self) -> bool:
        """Whether an answer is one distribution over no fault and each single fault."""
        return self.said.shape[1] == len(OUTCOMES)

    @property
    def answered(self) -> BoolArray:
        """``(S,)`` whether there is an answer."""
        return np.asarray(np.isfinite(self.said).all(axis=1))


def read_answers(file: str, swings: Sequence[str], elsewhere: Callable[[str], bool], split: str) -> Answers:
    """The answers of a CSV file.

    Args:
        file: its first row names the columns, in any order.
        swings: names of those that are scored, in order.
        elsewhere: whether another of the data set's splits has a swing of some name.
        split: what the scored ones are, for messages.

    Raises:
        TurnstillError: for anything else than such a table, naming the row (the heading is row 1).
    """
    rows = _rows(file)
    columns = _columns(file, next(rows)[1])
    outcomes = [name for name in OUTCOMES if name in columns]
    place = {name: k for k, name in enumerate(swings)}
    said, row_of = np.full((len(swings), len(outcomes)), np.nan), dict[str, int]()
    for number, row in rows:
        where = f"{shown(file)}: row {number}"
        if len(row) != len(columns):
            raise TurnstillError(f"{where} has {len(row)} cells, but the heading has {len(columns)}; mend that row.")
        cells = {name: cell.strip() for name, cell in zip(columns, row, strict=True)}
        name = cells[SWING]
        if name not in place:
            raise _stranger(where, name, elsewhere, split, swings)
        if name in row_of:
            raise TurnstillError(
                f"{where} has the swing {name}, which row {row_of[name]} has already; write every swing once."
            )
        row_of[name] = number
        said[place[name]] = _probabilities(where, [(one, cells[one]) for one in outcomes])
    if not row_of:
        raise TurnstillError(f"{shown(file)} has no row below its heading; write one for each swing of {split}.")
    return Answers(said)


def _rows(file: str) -> Iterator[tuple[int, list[str]]]:
    """Rows that are not blank, with their number; the heading at least."""
    try:
        data = plain_bytes(Path(file), shown(file), most=MOST_BYTES, what="table of answers", instead="name a CSV file")
    except FileNotFoundError:
        raise TurnstillError(f"There is no file {shown(file)}; check its name.") from None
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise TurnstillError(f"{shown(file)} is not UTF-8 text; save the table as CSV in UTF-8.") from None
    if not text.strip():
        raise TurnstillError(f"{shown(file)} is empty; it must have the columns {_FORM}.")
    reader = csv.reader(io.StringIO(text, newline=""), strict=True)
    try:
        for number, row in enumerate(reader, start=1):
            if any(cell.strip() for cell in row) or number == 1:
                yield number, row
    except csv.Error:
        raise TurnstillError(
            f"Line {reader.line_num} of {shown(file)} cannot be read as cells parted by commas; save the table again."
        ) from None


def _columns(file: str, heading: Sequence[str]) -> list[str]:
    columns = [name.strip() for name in heading]
    known = (SWING, *OUTCOMES)
    where = f"{shown(file)}: row 1"
    if SWING not in columns:
        raise TurnstillError(f"{where} has no column {SWING}; parted by commas, it must have {_FORM}.")
    for name in columns:
        if not name:
            raise TurnstillError(f"{where} has a column without a name; leave it out (pandas: index=False).")
        if name not in known:
            raise TurnstillError(
                f"{where} has the column {echo(name)}, but columns may be {_FORM}.{nearest(name, known)}"
            )
        if columns.count(name) > 1:
            raise TurnstillError(f"{where} has the column {name} twice; leave one out.")
    lacking = [name for name in DEPARTURES if name not in columns]
    if lacking:
        raise TurnstillError(
            f"{where} has no column {lacking[0]}; a classifier that does not know a fault gives it the probability 0."
        )
    return columns


def _stranger(
    where: str, name: str, elsewhere: Callable[[str], bool], split: str, swings: Sequence[str]
) -> TurnstillError:
    if elsewhere(name):
        return TurnstillError(
            f"{where} has the swing {name} of another split than {split}; leave it out, or choose its --split."
        )
    short = swing_of(name)
    known = short in swings or elsewhere(short)
    hint = f"write {short}, without view and moment" if known else f"they are called as {swings[0]} is"
    return TurnstillError(f"{where} has the swing {echo(name)}, which the data set has not; {hint}.")


def _probabilities(where: str, cells: Sequence[tuple[str, str]]) -> Array:
    values = np.zeros(len(cells))
    for k, (name, cell) in enumerate(cells):
        try:
            values[k] = float(cell) if "_" not in cell else math.nan
        except ValueError:
            values[k] = math.nan
        if not 0.0 <= values[k] <= 1.0:
            raise TurnstillError(
                f"{where} has {echo(cell) if cell else 'nothing'} under {name}, but a probability is a number from 0 "
                "to 1."
            )
    if len(cells) < len(OUTCOMES):
        return values
    total = float(values.sum())
    if abs(total - 1.0) > ROUNDING:
        raise TurnstillError(
            f"{where} adds up to {total:.4g}, but with a column {NO_FAULT} a row must add up to 1; scale it, or leave "
            f"{NO_FAULT} out where each fault has a probability of its own."
        )
    return values / total
