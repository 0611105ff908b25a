"""A student's record as typed reports, documented in docs/json.md: what it holds and what it tells."""

from __future__ import annotations

from typing import Any, Self

from pydantic import ConfigDict, Field

from ...model.chain.steady import STILL_M
from ...model.films import dose
from ...model.films.dose import Amount
from ...model.golfer.pieces import PIECES
from ..setups.presets import Setup
from ..setups.quantities import to_border
from ..setups.reports import Number, Report
from ..words import cautions
from . import words
from .at_impact import ImpactReadingReport, LastAtImpact, RecordImpactReport
from .entry import FIELDS, Entry
from .films import Film, Record, films_in_turn, films_of, surprising, went_past


class AmountReport(Report):
    """An amount of a piece in its unit, `deg` or `cm`, or a plain ratio."""

    mean: Number
    """the best guess"""
    sd: Number
    """its standard deviation"""
    low: Number
    """`low` and `high` hold it with 90 % probability"""
    high: Number
    """see `low`"""

    @classmethod
    def of(cls, amount: Amount, unit: str | None = None, **more: Any) -> Self:
        """In the unit at the border; a plain ratio without one."""
        mean, sd = (float(v) if unit is None else to_border(unit, v) for v in (amount.mean, amount.sd))
        return cls(mean=mean, sd=sd, low=mean - dose.Z90 * sd, high=mean + dose.Z90 * sd, **more)


class MissingReport(AmountReport):
    """What is missing of a piece on the last film."""

    model_config = ConfigDict(serialize_by_alias=True)

    told_by: str = Field(serialization_alias="from")
    """`head`, or `given` with `--missing`"""


class ResponseReport(AmountReport):
    """How much of a feel a golfer gets; `mean`, `sd`, `low` and `high` are of that ratio."""

    piece: str
    """which piece"""
    per: str
    """`deg` or `cm` felt"""
    films: int
    """how many films tell of it"""
    films_of_other_pieces: int
    """how many tell of others, and a little of this one"""

    @classmethod
    def of_piece(cls, record: Record, piece: str) -> Self:
        """Of one piece."""
        films = record.films(piece)
        return cls.of(
            record.response(piece),
            piece=piece,
            per=PIECES[piece].unit,
            films=films,
            films_of_other_pieces=sum(map(bool, record.source)) - films,
        )


class FilmReport(Report):
    """What one film of the head face-on says is missing of a piece."""

    id: int
    """number of its entry"""
    date: str
    """day of its entry"""
    piece: str
    """which piece"""
    missing: AmountReport
    """how much more of it would bring the head nearest to its place, everything else as it was"""
    off_cm: Number
    """how far the head is off face-on"""
    off_without_cm: Number
    """how far it would be with that made up for"""
    past_goal_probability: Number
    """that the film went past the goal by more than the still band, seen the way the feels had gone"""
    was_short_before: bool
    """whether a film from the one before the first feel on was short of the goal"""

    @classmethod
    def of(cls, film: Film, piece: str) -> Self:
        """A film as of a piece."""
        return cls(
            id=film.number,
            date=film.date,
            piece=piece,
            missing=AmountReport.of(film.missing, PIECES[piece].unit),
            off_cm=film.off() * 100.0,
            off_without_cm=film.off(film.missing.mean) * 100.0,
            past_goal_probability=film.past,
            was_short_before=film.short_before,
        )


class EntryReport(Report):
    """One entry: what was written, null where nothing was, and what was taken as got."""

    id: int
    """its number, in the order of writing"""
    date: str
    """of the lesson or the film, `YYYY-MM-DD`"""
    piece: str | None
    """the piece worked on; null for a film alone"""
    felt: float | None
    """asked for or felt, in `unit`, more than on the film before"""
    got: float | None
    """what the film shows of it, likewise"""
    got_sd: float | None
    """uncertainty of that"""
    head_toward_target_cm: float | None
    """the head at the top since address; away from the target is negative"""
    head_toward_ball_cm: float | None
    """the same toward the ball; away from the ball is negative"""
    head_up_cm: float | None
    """the same upward; down is negative"""
    head_sd_cm: float | None
    """uncertainty of each of them"""
    inclination_change_deg: float | None
    """the trunk's inclination down the line, top less address"""
    note: str
    """free text"""
    at_impact: list[ImpactReadingReport]
    """what the film shows at impact, see below; empty where nothing was read there"""
    unit: str | None
    """of `felt` and `got`"""
    got_from: str | None
    """where what was taken as got comes from: `read`, `head`, or null where no film tells"""
    got_taken: Number | None
    """what was taken as got"""
    got_taken_sd: Number | None
    """its standard deviation"""

    @classmethod
    def of(cls, number: int, entry: Entry, source: str, got: Amount | None) -> Self:
        """An entry with what its film tells."""
        taken = (None, None) if got is None else (to_border(entry.unit, got.mean), to_border(entry.unit, got.sd))
        return cls(
            id=number,
            **{field: getattr(entry, field) for field in FIELDS},
            at_impact=[ImpactReadingReport.of(one) for one in entry.at_impact],
            unit=entry.unit if entry.piece else None,
            got_from=source or None,
            got_taken=taken[0],
            got_taken_sd=taken[1],
        )


class PriorReport(Report):
    """What is taken of responses before any film."""

    mean: float
    """of every piece"""
    sd: float
    """its standard deviation"""
    alike: float
    """correlation between the pieces of one golfer"""
    assumption: bool
    """true: no source"""


class RecordReport(Report):
    """What `show` and `next` both have."""

    record: str
    """the file's name"""
    swing: str
    """the preset or file from whose top it is taken how far a piece moves the head"""
    still_within_cm: Number
    """the still band: how far off face-on a still head may be"""
    prior: PriorReport
    """what is taken of responses before any film, see below"""
    piece: str | None
    """the piece that was worked on last, or that `next` is about; null where none was"""
    went_past: list[int]
    """numbers of the last films that went past the goal; empty if they did not"""
    past_films: list[FilmReport]
    """each of them, see below"""
    surprising: list[int]
    """numbers of entries far from what all the others expect of them"""
    impact: RecordImpactReport | None
    """the last film that was read at impact, see below; null where none was"""
    sentences: list[str]
    """what it tells, for a person"""
    warnings: list[str]
    """what should not be overlooked; empty if there is nothing to say"""
    cautions: list[str]
    """sentences that belong with every feel"""
    assumptions: list[str]
    """what is taken without a source"""


class ShowReport(RecordReport):
    """`turnstill record show`: everything in a record and what it tells."""

    entries: list[EntryReport]
    """every entry by date, see below"""
    responses: list[ResponseReport]
    """for every piece worked on, see below"""
    films: list[FilmReport]
    """every reading of the head face-on, as of the piece worked on by then, see below"""

    @classmethod
    def of(
        cls, record: Record, name: str, setup: Setup, inches: bool = False, impact: LastAtImpact | None = None
    ) -> Self:
        """A record shown.

        Args:
            record: worked out.
            name: the file, as it is told.
            setup: the swing whose sensitivities were taken.
            inches: lengths in its sentences in inches; its numbers stay metric.
            impact: of this record and setup, where it was diagnosed before.
        """
        piece = record.last_piece
        worked = dict.fromkeys(entry.piece for _, entry in record.entries if entry.piece)
        past = went_past(films_of(record, piece)) if piece else []
        made = cls(
            **frame_fields(record, name, setup, piece, past, inches, impact),
            entries=[
                EntryReport.of(number, entry, source, got)
                for (number, entry), source, got in zip(record.entries, record.source, record.got, strict=True)
            ],
            responses=[ResponseReport.of_piece(record, one) for one in worked],
            films=[FilmReport.of(film, one) for film, one in films_in_turn(record)],
        )
        return made.replaced(
            sentences=words.show_sentences(made, inches), warnings=words.show_warnings(made.past_films, made.surprising)
        )


def frame_fields(
    record: Record,
    name: str,
    setup: Setup,
    piece: str | None,
    past: list[Film],
    inches: bool,
    impact: LastAtImpact | None,
) -> dict[str, Any]:
    """The fields of `RecordReport`, its words still empty."""
    impact = impact or LastAtImpact.of(record, setup)
    prior = dose.PRIOR
    return {
        "record": name,
        "swing": setup.name,
        "still_within_cm": STILL_M * 100.0,
        "prior": PriorReport(mean=prior.mean, sd=prior.sd, alike=prior.alike, assumption=True),
        "piece": piece,
        "went_past": [film.number for film in past],
        "past_films": [FilmReport.of(film, piece) for film in past] if piece else [],
        "surprising": surprising(record),
        "impact": None if impact is None else RecordImpactReport.of(impact, inches),
        "sentences": [],
        "warnings": [],
        "cautions": [*words.FEEL_CAUTIONS, *cautions.CAUTIONS],
        "assumptions": list(words.ASSUMPTIONS),
    }
