"""What a student's films tell: of the golfer's responses, of what is missing, and of goals that were passed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from ...model.arrays import Array, ArrayLike
from ...model.chain.steady import STILL_M
from ...model.films import dose, standing
from ...model.films.dose import Amount, Responses
from ...model.golfer.pieces import DEPARTURES, PIECES
from ...model.questions.head_asked import OUTCOMES
from ...model.questions.shares import sensitivities
from ..setups.perform import FEWEST_FRAMES, swing_of
from ..setups.presets import Setup
from ..setups.quantities import to_model
from .entry import HEADS, Entry

FACE_ON = (HEADS.index("head_toward_target_cm"), HEADS.index("head_up_cm"))
"""What counts for the still band: a head is still where it is so face-on."""
SURE, LIKELY = 0.9, 0.5
SURPRISING = 3.0
"""A film so many sd from what the others expect is pointed out (our choice)."""


@dataclass(frozen=True)
class Record:
    """A record with what it tells of the responses.

    Attributes:
        entries: number and entry, oldest first; those of one day in the order they were written.
        source: for each, where what was got comes from: ``read``, ``head`` or nothing.
        got: for each, what was got of the feel, as read; None where nothing tells.
        found: responses after all films; films in the order of the entries that have a source.
        slopes: ``(8, 3)`` m of ``HEADS`` per rad or m of each piece.
    """

    entries: list[tuple[int, Entry]]
    source: list[str]
    got: list[Amount | None]
    found: Responses
    slopes: Array

    def response(self, piece: str) -> Amount:
        """A plain ratio."""
        k = DEPARTURES.index(piece)
        return Amount(self.found.mean[k], self.found.sd[k])

    def films(self, piece: str) -> int:
        """How many films tell of a piece's response."""
        return sum(bool(s) and e.piece == piece for s, (_, e) in zip(self.source, self.entries, strict=True))

    @property
    def last_piece(self) -> str | None:
        """The piece worked on last."""
        return next((entry.piece for _, entry in reversed(self.entries) if entry.piece), None)


def head_slopes(setup: Setup) -> Array:
    """How far the pieces take this golfer's head from the top of a swing, ``(8, 3)`` m per rad or m of ``HEADS``."""
    slopes = sensitivities(swing_of(setup, FEWEST_FRAMES))
    return np.asarray(slopes[:, [OUTCOMES.index(name.removesuffix("_cm")) for name in HEADS]])


def heads_m(entry: Entry) -> Array:
    """``(3,)`` m in the order of ``HEADS``; nan where it was not read."""
    values = [getattr(entry, name) for name in HEADS]
    return np.array([np.nan if value is None else value / 100.0 for value in values])


def work_out(entries: Sequence[tuple[int, Entry]], slopes: Array) -> Record:
    """What a record tells of its golfer's responses.

    Args:
        entries: number and entry, in any order.
        slopes: of ``head_slopes``.
    """
    ordered = sorted(entries, key=lambda one: (one[1].date, one[0]))
    sources: list[str] = []
    gots: list[Amount | None] = []
    rows = []
    before: Entry | None = None
    for _, entry in ordered:
        source, amount = _got(entry, before, slopes)
        sources.append(source)
        gots.append(amount)
        if amount is not None and entry.piece is not None and entry.felt is not None:
            noise = np.hypot(amount.sd, np.sqrt(2.0) * dose.SCATTER[entry.unit])
            rows.append(
                (DEPARTURES.index(entry.piece), to_model(entry.unit, entry.felt), float(amount.mean), float(noise))
            )
        if np.isfinite(heads_m(entry)).any():
            before = entry
    piece, felt, got, sd = np.array(rows, dtype=float).reshape(-1, 4).T
    return Record(ordered, sources, gots, dose.responses(piece, felt, got, sd), slopes)


def _got(entry: Entry, before: Entry | None, slopes: Array) -> tuple[str, Amount | None]:
    """What was got of a feel: as read off the film, else as the head tells."""
    if entry.piece is None or not entry.felt:
        return "", None
    if entry.got is not None:
        sd = to_model(entry.unit, entry.got_read_sd)
        return "read", Amount(np.array(to_model(entry.unit, entry.got)), np.array(sd))
    if before is None:
        return "", None
    moved = heads_m(entry) - heads_m(before)
    both = np.isfinite(moved)
    if not both.any() or np.linalg.norm(slopes[DEPARTURES.index(entry.piece), both]) < dose.LEAST_SLOPE[entry.unit]:
        return "", None
    sd = np.hypot(entry.head_read_sd_cm, before.head_read_sd_cm) / 100.0
    return "head", dose.got_from_head(moved[both], sd, slopes[:, both], entry.piece)


@dataclass(frozen=True)
class Film:
    """What one film says is missing of a piece.

    Attributes:
        number, date: of its entry.
        missing: rad or m.
        head: ``(D,)`` m, where the head is face-on, as far as it was read.
        slope: ``(D,)`` m per rad or m of the piece.
        still: rad or m of the piece that the still band spans to each side.
        way: the way the feels of the piece had gone by then, +1 or -1; 0 before the first.
        past: probability that the film went past the goal.
        short_before: whether a film from the one before the first feel on was short of the goal, seen the way the feels
            go; where none was, the feel has led away from the goal and not past it.
    """

    number: int
    date: str
    missing: Amount
    head: Array
    slope: Array
    still: float
    way: int
    past: float
    short_before: bool

    def off(self, made_up: ArrayLike = 0.0) -> float:
        """How far off face-on the head would be with so much more of the piece, m."""
        return float(np.linalg.norm(self.head + np.asarray(made_up) * self.slope))


def films_of(record: Record, piece: str) -> list[Film]:
    """Films of the head face-on, with what they say is missing of one piece; none if it hardly moves the head."""
    slope, unit = record.slopes[DEPARTURES.index(piece)], PIECES[piece].unit
    films: list[Film] = []
    asked, way, start = 0.0, 0, 0
    for number, entry in record.entries:
        if entry.piece == piece and entry.felt:
            if not way:
                start = max(len(films) - 1, 0)
            asked += entry.felt
            way = int(np.sign(asked)) or way or int(np.sign(entry.felt))
        head = heads_m(entry)
        seen = [k for k in FACE_ON if np.isfinite(head[k])]
        size = float(np.linalg.norm(slope[seen])) if seen else 0.0
        if size < dose.LEAST_SLOPE[unit]:
            continue
        missing = dose.missing_for_head(head[seen], entry.head_read_sd_cm / 100.0, slope[seen])
        still = STILL_M / size
        past = float(dose.chance_past(missing, way, still)) if way else 0.0
        short = any(way * one.missing.mean > one.still for one in films[start:])
        films.append(Film(number, entry.date, missing, head[seen], slope[seen], still, way, past, short))
    return films


def films_in_turn(record: Record) -> list[tuple[Film, str]]:
    """Every film of the head face-on, seen as of the piece worked on last by then, with that piece."""
    by_piece: dict[str, dict[int, Film]] = {}
    found, piece = [], None
    for number, entry in record.entries:
        piece = entry.piece or piece
        if piece is None:
            continue
        if piece not in by_piece:
            by_piece[piece] = {film.number: film for film in films_of(record, piece)}
        if number in by_piece[piece]:
            found.append((by_piece[piece][number], piece))
    return found


def went_past(films: Sequence[Film]) -> list[Film]:
    """The last films that went past the goal: the last one if that is sure, or more in a row if each is likely."""
    row: list[Film] = []
    for film in reversed(films):
        if film.past < LIKELY:
            break
        row.insert(0, film)
    return row if len(row) > 1 or (row and row[0].past >= SURE) else []


def surprising(record: Record) -> list[int]:
    """Numbers of entries whose film is far from what all the others expect."""
    numbers = [number for (number, _), source in zip(record.entries, record.source, strict=True) if source]
    return [n for n, z in zip(numbers, record.found.surprise, strict=True) if abs(z) > SURPRISING]


def stands(record: Record, piece: str) -> Amount:
    """How far a piece is from its reference on the last film, if it was the one at fault on the first; rad or m."""
    steps = []
    for _, entry in record.entries:
        change = None
        if entry.piece is not None and entry.got is not None:
            got, sd = (to_model(entry.unit, value) for value in (entry.got, entry.got_read_sd))
            change = standing.change_read(entry.piece, got, sd)
        elif entry.piece is not None and entry.felt is not None:
            change = standing.change_expected(to_model(entry.unit, entry.felt))
        steps.append(standing.Step(entry.piece, change, heads_m(entry), entry.head_read_sd_cm / 100.0))
    return standing.standing(steps, record.slopes, piece)
