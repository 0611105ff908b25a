"""The next feel as a typed report, documented in docs/json.md, with everything it rests on."""

from __future__ import annotations

from typing import Self

from ...model.films import dose, standing
from ...model.golfer.pieces import PIECES
from ..setups.presets import Setup
from ..setups.quantities import to_border
from ..setups.reports import Number, Report
from . import next_words
from .at_impact import LastAtImpact
from .films import Record, films_of, went_past
from .next_feel import NextFeel, overdone_instead
from .report import AmountReport, FilmReport, MissingReport, RecordReport, ResponseReport, frame_fields


class DoseReport(Report):
    """What to ask for."""

    amount: Number | None
    """counted from the last film; null where nothing of it is asked for"""
    capped: bool
    """whether all of it at once would be more than is advised"""
    cap: Number
    """the most that is advised at once"""
    before_cap: Number
    """what all of it at once would take"""

    @classmethod
    def of(cls, feel: NextFeel) -> Self:
        """Of a piece; nothing in the still band."""
        unit = PIECES[feel.piece].unit
        amount = 0.0 if feel.inside else to_border(unit, feel.dose.feel)
        cap = dose.FEEL_CAP[unit]
        return cls(
            amount=amount if feel.inside or asks(feel) else None,
            capped=bool(abs(feel.dose.best) > cap) and asks(feel),
            cap=to_border(unit, cap),
            before_cap=to_border(unit, feel.dose.best),
        )


class InsteadReport(Report):
    """An overdone piece to ease where the one asked about does not mend the head."""

    piece: str
    """which piece"""
    unit: str
    """of its amounts, `deg` or `cm`"""
    stands: AmountReport
    """how far it is from its reference by now"""
    feel: DoseReport
    """what to ask of it, see below"""
    expected: AmountReport
    """what the next film should show of it"""
    off_then_cm: Number
    """how far off the head would be with all that can be made up for"""

    @classmethod
    def of(cls, feel: NextFeel) -> Self:
        """Of an overdone piece, dosed by a film."""
        unit, then = PIECES[feel.piece].unit, feel.off(float(feel.wanted.mean))
        if then is None or feel.stands is None:
            raise ValueError("A piece is offered by a film only.")
        return cls(
            piece=feel.piece,
            unit=unit,
            stands=AmountReport.of(feel.stands, unit),
            feel=DoseReport.of(feel),
            expected=AmountReport.of(feel.dose.got, unit),
            off_then_cm=then * 100.0,
        )


class NextReport(RecordReport):
    """`turnstill record next`: the next feel to ask for, with everything it rests on."""

    piece: str
    """the piece it is about"""
    entries: int
    """how many there are"""
    unit: str
    """of the piece, `deg` or `cm`"""
    missing: MissingReport
    """what is missing on the last film, see below"""
    film: FilmReport | None
    """the film it is taken from, see below; null if it was given"""
    since_film: bool
    """whether what later films showed of the piece was taken off"""
    in_still_band: bool
    """whether the head was still on that film, so that nothing more is asked for"""
    stands: AmountReport | None
    """how far the piece is from its reference by now, by all films, more being positive; null if `missing` was given"""
    fault_from: Number
    """the departure from which on the piece would more probably be at fault than not"""
    wanted: Number
    """as much of what is missing as does not take the piece past its reference"""
    held_back: bool
    """whether that is less than what is missing"""
    off_now_cm: Number | None
    """how far off the head is by now face-on; null if `missing` was given"""
    off_then_cm: Number | None
    """how far off it would be with what is wanted; null likewise"""
    hardly_helps: bool
    """whether the head would be about where it is, and not still, with all that is wanted"""
    response: ResponseReport
    """how much of a feel of it this golfer gets, see below"""
    answers: bool
    """whether the films leave it likely enough that this golfer answers the feel"""
    feel: DoseReport
    """what to ask for, see below"""
    expected: AmountReport | None
    """what the next film should show of it; null where no feel is given"""
    left: AmountReport | None
    """what will then be missing of what is wanted; null likewise"""
    way_sure: Number
    """probability that what is missing has the sign it is said to have"""
    instead: InsteadReport | None
    """an overdone piece to ease, where this one does not mend the head, see below; else null"""

    @property
    def two_feels(self) -> bool:
        """Whether a feel of the top is told, of this piece or of the one to ease, and one of impact beside it."""
        of_top = bool(self.feel.amount) or self.instead is not None
        return of_top and self.impact is not None and self.impact.piece is not None

    @classmethod
    def of(
        cls,
        record: Record,
        name: str,
        setup: Setup,
        feel: NextFeel,
        inches: bool = False,
        impact: LastAtImpact | None = None,
    ) -> Self:
        """The next feel of a piece.

        Args:
            record: worked out.
            name: the file, as it is told.
            setup: the swing whose sensitivities were taken.
            feel: of ``next_feel``.
            inches: lengths in its sentences in inches; its numbers stay metric.
            impact: of this record and setup, where it was diagnosed before.
        """
        piece, unit, instead = feel.piece, PIECES[feel.piece].unit, overdone_instead(record, feel)
        now, then = feel.off(0.0), feel.off(float(feel.wanted.mean))
        told, past = asks(feel), went_past(films_of(record, piece)) if feel.film else []
        made = cls(
            **frame_fields(record, name, setup, piece, past, inches, impact),
            entries=len(record.entries),
            unit=unit,
            missing=MissingReport.of(feel.missing, unit, told_by="head" if feel.film else "given"),
            film=FilmReport.of(feel.film, piece) if feel.film else None,
            since_film=feel.since,
            in_still_band=feel.inside,
            stands=None if feel.stands is None else AmountReport.of(feel.stands, unit),
            fault_from=to_border(unit, standing.fault_from(piece)),
            wanted=to_border(unit, feel.wanted.mean),
            held_back=feel.held_back,
            off_now_cm=None if now is None else now * 100.0,
            off_then_cm=None if then is None else then * 100.0,
            hardly_helps=feel.hardly_helps,
            response=ResponseReport.of_piece(record, piece),
            answers=bool(feel.dose.shown),
            feel=DoseReport.of(feel),
            expected=AmountReport.of(feel.dose.got, unit) if told else None,
            left=AmountReport.of(feel.dose.left, unit) if told else None,
            way_sure=float(dose.way_sure(feel.missing)),
            instead=None if instead is None else InsteadReport.of(instead),
        )
        return made.replaced(
            sentences=next_words.next_sentences(made, inches), warnings=next_words.next_warnings(made, inches)
        )


def asks(feel: NextFeel) -> bool:
    """Whether something of the piece is asked for."""
    return bool(feel.dose.shown) and not feel.inside and not feel.refused
