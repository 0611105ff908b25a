"""A diagnosis as plain numbers in degrees and centimetres, and as sentences: ``diagnosis.json``, in docs/json.md.

What is said of one moment is a `MomentDiagnosis`; the whole is that of the first one read, and of impact beside it.
"""

from __future__ import annotations

from typing import Any, Self

import numpy as np

from ...model.films.fault_prior import AT_FAULT, HYPOTHESES
from ...model.golfer.head_place import HeadPlace
from ...model.golfer.pieces import DEPARTURES, MAY_BE_STEADY, PIECES, Pieces
from ..setups.perform import Performed, head_of, impact_of, pieces_of
from ..setups.quantities import Departure, to_border
from ..setups.reports import ClosingReport, GolferReport, HeldHead, Number, Report, closing_fields, golfer_fields
from . import reading_words, words
from .feel import FeelReport
from .found import PER_UNIT, PRIOR, Diagnosed
from .mend import SLIPS
from .moments import IMPACT
from .parts import (
    ApartReport,
    CheckReport,
    DepartureReport,
    MisfitReport,
    PieceReport,
    ReadingReport,
    ScaleReport,
)


class MomentDiagnosis(Report):
    """What the readings of one moment say; departures are positive for more."""

    preset: str
    """name of the preset, or of the file without `.toml`"""
    moment: str
    """when it was read: `"top"` or `"impact"`"""
    head_held: HeldHead
    """where steady holds the head at that moment, as it was asked, see below; departures of tilt and extension are
    counted from what holds it there, and where it has moved is told from address all the same"""
    counted_from: dict[str, Number | str]
    """what is asked of each piece at that moment, which departures are counted from; tilt and extension `"steady"` or
    `"steady+10"`"""
    counted_from_centred: bool
    """whether that is the centred golfer's"""
    readings: list[ReadingReport]
    """what was read then, see below"""
    scale: ScaleReport
    """what heads as a unit were taken for, see below"""
    fits: bool
    """whether a body would show such readings at least once in a hundred times; where false, `feel` and `measure_next`
    are null and `each_piece` means nothing"""
    misfit: MisfitReport
    """the numbers of that test, see below"""
    check: CheckReport | None
    """null where the readings fit; else which to look at again, see below"""
    head_still: bool
    """whether the head was read face-on and is no further from where it is wanted than reading may be off"""
    each_piece: list[PieceReport]
    """what they say of every piece, the most probable first, see below"""
    probability_before: Number
    """that a piece is at fault, before any film"""
    nothing_at_fault: Number
    """probability that no piece is at fault"""
    largest: str
    """the piece that most probably departs furthest"""
    candidates: list[str]
    """the fewest pieces that hold 90 % of that probability, likeliest first"""
    cannot_tell_apart: list[tuple[str, str]]
    """pairs of pieces of which probably one is at fault, and these readings cannot tell which; likeliest first"""
    told_apart_by: list[ApartReport]
    """the same pairs, with what would tell them apart, see below"""
    measure_next: str | None
    """the reading to make next: it tells those candidates apart best that could have moved the head as it was read"""
    doubt_removed_by_next: Number
    """the share of the doubt between them that it is expected to take away"""
    departures: list[DepartureReport]
    """every departure under the explanation that these readings make likeliest, see below"""
    likeliest_at_fault: list[str]
    """the pieces at fault in it; none, one or two"""
    feel: FeelReport | None
    """what to feel, see below; null where nothing is sure enough"""
    withheld: list[str]
    """pieces that are surely enough at fault, but whose opposite would be a fault itself, so no feel is given of
    them"""
    doubted: str | None
    """why no feel is advised whatever these readings name, and `feel` is null: where the likeliest explanation hardly
    explains the head, the reading of it that it leaves most of (`"head_up"` and so on); or `"films"`, which hardly go
    together, as `turnstill read` alone can tell, and then `measure_next` is null too; else null"""

    sentences: list[str]
    """what came of it"""


class DiagnosisReport(ClosingReport, GolferReport, MomentDiagnosis):
    """Everything about a diagnosis: what is said of the first moment that was read, and of impact beside it."""

    at_impact: MomentDiagnosis | None
    """where both were read, the same of impact, see below; null where one moment alone was read, which `moment` says"""

    @property
    def diagnoses(self) -> tuple[MomentDiagnosis, ...]:
        """What is said of each moment that was read."""
        return (self,) if self.at_impact is None else (self, self.at_impact)

    @classmethod
    def of(cls, found: Diagnosed, at_impact: Diagnosed | None = None) -> Self:
        """The report of a diagnosis.

        Args:
            found: of the first moment that was read.
            at_impact: of impact, where both were read.
        """
        report = cls(
            **golfer_fields(found.performed) | _moment_fields(found),
            at_impact=None if at_impact is None else MomentDiagnosis(**_moment_fields(at_impact)),
            warnings=[],
            **closing_fields(),
        )
        return report.told(found.performed, inches=False)

    def doubted_as_a_whole(self) -> Self:
        """The same of films that hardly go together: no feel, and no reading to make next."""
        none: dict[str, Any] = {"feel": None, "measure_next": None, "doubt_removed_by_next": 0.0}
        none, then = none | {"doubted": words.FILMS}, self.at_impact
        return self.replaced(**none, at_impact=None if then is None else then.replaced(**none))

    def told(self, performed: Performed, inches: bool) -> Self:
        """The same with what it says in sentences in centimetres or inches; numbers stay metric."""
        then = self.at_impact
        return self.replaced(
            warnings=reading_words.warnings(self, performed, inches),
            sentences=words.sentences(self, inches),
            at_impact=None if then is None else then.replaced(sentences=words.sentences(then, inches)),
        )


def _moment_fields(found: Diagnosed) -> dict[str, Any]:
    """The fields of ``MomentDiagnosis``, its sentences left out."""
    told, film = found.found, found.found.film
    return {
        "preset": found.performed.setup.name,
        "moment": found.moment.name,
        "head_held": HeldHead.of(_wanted(found)),
        "counted_from": {
            f"{name}_{PIECES[name].unit}": _asked(name, film.asked[name] * PER_UNIT[k])
            for k, name in enumerate(DEPARTURES)
        },
        "counted_from_centred": _from_centred(found),
        "readings": [ReadingReport.of(one, found) for one in found.asked.readings],
        "scale": _scale(found),
        "fits": found.fits,
        "misfit": MisfitReport(chi_squared=told.misfit[0], degrees_of_freedom=len(told.read)),
        "check": _check(found),
        "head_still": _head_still(found),
        "each_piece": sorted(
            (PieceReport.of(found, k) for k in range(len(DEPARTURES))), key=lambda one: -one.probability
        ),
        "probability_before": float((np.exp(PRIOR.log_probability) @ AT_FAULT)[0]),
        "nothing_at_fault": told.nothing[0],
        "largest": DEPARTURES[int(told.largest[0].argmax())],
        "candidates": [
            DEPARTURES[k] for k in sorted(np.flatnonzero(told.candidates[0]), key=lambda k: -told.largest[0, k])
        ],
        "cannot_tell_apart": [pair.pieces for pair in found.apart],
        "told_apart_by": [
            ApartReport(of=pair.pieces, reading=pair.reading, doubt_removed=pair.worth) for pair in found.apart
        ],
        "measure_next": found.next_reading,
        "doubt_removed_by_next": found.next_worth,
        "departures": [
            DepartureReport(
                piece=name,
                unit=PIECES[name].unit,
                made=found.made[k],
                from_what_holds_the_head=found.likeliest[k],
                from_centred=found.from_centred[k],
            )
            for k, name in enumerate(DEPARTURES)
        ],
        "likeliest_at_fault": list(HYPOTHESES[int(told.weight[0].argmax())]),
        "feel": FeelReport.of(found),
        "withheld": [DEPARTURES[k] for k in found.withheld],
        "doubted": found.unexplained,
        "sentences": [],
    }  # fmt: skip


def _asked(piece: str, amount: float) -> float | str:
    """What is asked of a piece, as a setup has it."""
    return str(Departure(round(amount, 6) + 0.0)) if piece in MAY_BE_STEADY else amount


def _from_centred(found: Diagnosed) -> bool:
    """Whether what is asked is the centred golfer's."""
    setup = found.performed.setup
    if found.moment is IMPACT:
        asked = impact_of(setup)
        return asked.pieces == asked.centred().pieces
    return pieces_of(setup) == Pieces()


def _wanted(found: Diagnosed) -> HeadPlace:
    """Where the head is wanted at that moment."""
    setup = found.performed.setup
    return impact_of(setup).head if found.moment is IMPACT else head_of(setup)


def _scale(found: Diagnosed) -> ScaleReport:
    scale = found.asked.scale
    used = {unit: list(names) for unit, names in found.asked.used.items()}
    return ScaleReport(head_width_cm=scale.width_cm, head_length_cm=scale.length_cm, measured=scale.measured, used=used)


def _check(found: Diagnosed) -> CheckReport | None:
    mend = found.mend
    if mend is None:
        return None
    return CheckReport(
        slip=mend.slip,
        factor=SLIPS[mend.slip] if mend.slip else None,
        readings=list(mend.readings),
        furthest=mend.furthest,
        furthest_sd=mend.times,
    )


def _head_still(found: Diagnosed) -> bool:
    """Whether the head was read face-on, and all that was read of it is off by no more than reading may be."""
    heads = [one for one in found.asked.readings if one.name.startswith("head_")]
    needed = {"head_toward_target", "head_up"} <= {one.name for one in heads}
    place = _wanted(found)
    wanted = {"head_toward_target": place.toward_target, "head_up": place.up, "head_toward_ball": 0.0}
    return needed and all(abs(one.value - to_border("cm", wanted[one.name])) <= one.sd for one in heads)
