"""What a student's films tell: of the golfer's responses, of what is missing, and of goals that were passed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from ...model.arrays import Array, ArrayLike, BoolArray
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


def heads_m(entries: Sequence[Entry]) -> Array:
    """``(N, 3)`` m in the order of ``HEADS``; nan where it was not read."""
    values = [[getattr(entry, name) for name in HEADS] for entry in entries]
    return np.array(values, dtype=float).reshape(-1, len(HEADS)) / 100.0


def work_out(entries: Sequence[tuple[int, Entry]], slopes: Array) -> Record:
    """What a record tells of its golfer's responses.

    Args:
        entries: number and entry, in any order.
        slopes: of ``head_slopes``.
    """
    ordered = sorted(entries, key=lambda one: (one[1].date, one[0]))
    own = [entry for _, entry in ordered]
    sources, gots = _read_off(own), _told_by_heads(own, slopes)
    source = ["read" if read else "head" if told else "" for read, told in zip(sources, gots, strict=True)]
    got = [read or told for read, told in zip(sources, gots, strict=True)]
    rows = []
    for entry, amount in zip(own, got, strict=True):
        if amount is not None and entry.piece is not None and entry.felt is not None:
            felt, scatter = to_model(entry.unit, entry.felt), dose.SCATTER[entry.unit]
            rows.append((DEPARTURES.index(entry.piece), felt, amount.mean, amount.sd, scatter))
    piece, felts, means, sds, scatters = np.array(rows, dtype=float).reshape(-1, 5).T
    found = dose.responses(piece, felts, means, np.hypot(sds, np.sqrt(2.0) * scatters))
    return Record(ordered, source, got, found, slopes)


def _read_off(entries: Sequence[Entry]) -> list[Amount | None]:
    """What was got of each feel, as somebody read it off the film."""
    return [
        Amount(np.array(to_model(entry.unit, entry.got)), np.array(to_model(entry.unit, entry.got_read_sd)))
        if entry.asks and entry.got is not None
        else None
        for entry in entries
    ]


def _told_by_heads(entries: Sequence[Entry], slopes: Array) -> list[Amount | None]:
    """What was got of each feel that nobody read, as the head's movement since the last film of it tells."""
    heads = heads_m(entries)
    seen, places = np.isfinite(heads), np.arange(len(entries))
    # The last film of the head before each entry; -1 where there is none.
    before = np.roll(np.maximum.accumulate(np.where(seen.any(axis=1), places, -1)), 1)
    before[:1] = -1
    both = seen & seen[before] & (before >= 0)[:, None]
    sds = np.array([entry.head_read_sd_cm for entry in entries]) / 100.0
    groups: dict[tuple[str, tuple[bool, ...]], list[int]] = {}
    for k, entry in enumerate(entries):
        if entry.asks and entry.got is None and entry.piece is not None and both[k].any():
            groups.setdefault((entry.piece, tuple(both[k])), []).append(k)
    found: list[Amount | None] = [None] * len(entries)
    for (piece, pattern), group in groups.items():
        told = np.array(pattern)
        if np.linalg.norm(slopes[DEPARTURES.index(piece), told]) < dose.LEAST_SLOPE[PIECES[piece].unit]:
            continue
        then = before[group]
        moved = (heads[group] - heads[then])[:, told]
        got = dose.got_from_head(moved, np.hypot(sds[group], sds[then]), slopes[:, told], piece)
        for k, mean, sd in zip(group, got.mean, got.sd, strict=True):
            found[k] = Amount(mean, sd)
    return found


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


def films_of(record: Record, piece: str, wanted: Sequence[bool] | None = None) -> list[Film]:
    """Films of the head face-on, with what they say is missing of one piece; none if it hardly moves the head.

    Args:
        record: worked out.
        piece: which one.
        wanted: which entries' films; all of them if not given.
    """
    entries = [entry for _, entry in record.entries]
    slope = record.slopes[DEPARTURES.index(piece), list(FACE_ON)]
    heads = heads_m(entries)[:, list(FACE_ON)]
    seen = np.isfinite(heads)
    sizes = np.linalg.norm(np.where(seen, slope, 0.0), axis=1)
    told = sizes >= dose.LEAST_SLOPE[PIECES[piece].unit]
    sds = np.array([entry.head_read_sd_cm for entry in entries]) / 100.0
    mean, sd, still = np.zeros(len(entries)), np.ones(len(entries)), np.zeros(len(entries))
    for pattern in np.unique(seen[told], axis=0):
        group = np.flatnonzero(told & (seen == pattern).all(axis=1))
        missing = dose.missing_for_head(heads[group][:, pattern], sds[group], slope[pattern])
        mean[group], sd[group], still[group] = missing.mean, missing.sd, STILL_M / sizes[group]
    way, short = _ways(entries, piece, told, mean, still)
    past = np.where(way != 0, dose.chance_past(Amount(mean, sd), way, still), 0.0)
    # One slope for all films that show the same of the head.
    slopes = {tuple(pattern): slope[pattern] for pattern in np.unique(seen, axis=0)}
    return [
        Film(
            record.entries[k][0], entries[k].date, Amount(mean[k], sd[k]), heads[k, seen[k]], slopes[tuple(seen[k])],
            float(still[k]), int(way[k]), float(past[k]), bool(short[k]),
        )
        for k in np.flatnonzero(told if wanted is None else told & np.asarray(wanted, dtype=bool)).tolist()
    ]  # fmt: skip


def _ways(
    entries: Sequence[Entry], piece: str, told: BoolArray, missing: Array, still: Array
) -> tuple[Array, BoolArray]:
    """The way that the feels of a piece had gone by each entry, and whether a film before it was short of the goal.

    Args:
        entries: the oldest first.
        piece: which one.
        told: ``(N,)`` whether there is a film of the head.
        missing: ``(N,)`` what that says, rad or m.
        still: ``(N,)`` rad or m of the piece that the still band spans to each side.
    """
    ways, shorts = np.zeros(len(entries)), np.zeros(len(entries), dtype=bool)
    asked, way, last = 0.0, 0, -1
    short = {1: False, -1: False}
    for k, entry in enumerate(entries):
        first = not way
        if entry.piece == piece and entry.asks and entry.felt is not None:
            asked += entry.felt
            way = int(np.sign(asked)) or way or int(np.sign(entry.felt))
        # What counts begins with the film before the first feel.
        if first and way and last >= 0:
            short = {one: bool(one * missing[last] > still[last]) for one in short}
        ways[k], shorts[k] = way, bool(way) and short[way or 1]
        if told[k]:
            last = k
            if way:
                short = {one: was or bool(one * missing[k] > still[k]) for one, was in short.items()}
    return ways, shorts


def films_in_turn(record: Record) -> list[tuple[Film, str]]:
    """Every film of the head face-on, seen as of the piece worked on last by then, with that piece."""
    by_then: list[str | None] = []
    for _, entry in record.entries:
        by_then.append(entry.piece or (by_then[-1] if by_then else None))
    found: dict[int, tuple[Film, str]] = {}
    for piece in {one: None for one in by_then if one is not None}:
        for film in films_of(record, piece, [one == piece for one in by_then]):
            found[film.number] = (film, piece)
    return [found[number] for number, _ in record.entries if number in found]


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
    heads = heads_m([entry for _, entry in record.entries])
    for (_, entry), head in zip(record.entries, heads, strict=True):
        change = None
        if entry.piece is not None and entry.got is not None:
            got, sd = (to_model(entry.unit, value) for value in (entry.got, entry.got_read_sd))
            change = standing.change_read(entry.piece, got, sd)
        elif entry.piece is not None and entry.felt is not None:
            change = standing.change_expected(to_model(entry.unit, entry.felt))
        steps.append(standing.Step(entry.piece, change, head, entry.head_read_sd_cm / 100.0))
    return standing.standing(steps, record.slopes, piece)
