"""The shares of a swing as plain numbers in degrees and centimetres, and in sentences: documented in docs/json.md."""

from __future__ import annotations

import math
from typing import Any, Self

import numpy as np

from ...model.arrays import Array
from ...model.golfer.pieces import DEPARTURES, PIECES
from ...model.questions.head_asked import OUTCOMES
from ...model.questions.shares import STEADY, Shares
from ..setups.quantities import to_border, to_model
from ..setups.reports import ClosingReport, GolferReport, Number, Report, closing_fields, golfer_fields
from ..setups.top_alone import top_alone
from ..words import cautions
from . import words
from .work import Shared


class OfPiece(Report):
    """What something is of."""

    piece: str
    """the piece"""


class SharedOutcome(Report):
    """What can be shared out: where the head is, and the trunk's inclination."""

    head_toward_target_cm: Number
    """the head's part along the target line; away from the target is negative"""
    head_toward_ball_cm: Number
    """the same toward the ball"""
    head_up_cm: Number
    """the same upward"""
    inclination_deg: Number
    """of the trunk's line from the vertical, in space"""

    @classmethod
    def of(cls, values: Array, **more: Any) -> Self:
        """From ``(4,)`` of the model's ``OUTCOMES``, in m and rad."""
        at = dict(zip(OUTCOMES, values, strict=True))
        return cls(
            head_toward_target_cm=at["head_toward_target"] * 100.0,
            head_toward_ball_cm=at["head_toward_ball"] * 100.0,
            head_up_cm=at["head_up"] * 100.0,
            inclination_deg=np.degrees(at["inclination"]),
            **more,
        )


class MomentShare(SharedOutcome, OfPiece):
    """What a piece did, at one moment."""


class PieceShare(MomentShare):
    """What a piece did at the top, and what was asked of it."""

    unit: str
    """of the piece, `deg` or `cm`"""
    asked: Number
    """what the swing asks of the piece, in its unit; against `turn`, of tilt and extension what is added to the turn"""
    in_reference: Number
    """the same in the reference"""

    @classmethod
    def at_top(cls, found: Shares, name: str) -> Self:
        """A piece's share in where the head is at the top."""
        unit = PIECES[name].unit
        asked, held = (to_border(unit, side[name][-1]) for side in (found.present, found.absent))
        return cls.of(found.of(name)[-1], piece=name, unit=unit, asked=asked, in_reference=held)


class PieceSensitivity(SharedOutcome, OfPiece):
    """What one degree or centimetre more of a piece would do from this top."""

    per: str
    """`deg` or `cm`"""


class StoppedCombination(Report):
    """A combination of pieces that a range stops at the top."""

    of: list[str]
    """the pieces that are the swing's; the others are the reference's"""
    ranges: list[str]
    """what stops them"""


class MomentShares(Report):
    """The shares at one moment."""

    progress: Number
    """0 at address to 1 at the top"""
    shares: list[MomentShare]
    """of all eight pieces"""
    total: SharedOutcome
    """swing less reference"""


class SharesReport(ClosingReport, GolferReport):
    """Everything about the shares of one swing."""

    reference: str
    """what shares are counted from: `steady`, `address` or `turn`"""
    shares: list[PieceShare]
    """at the top, all eight pieces, see below"""
    total: SharedOutcome
    """swing less reference at the top: the sum of the shares"""
    reference_at_top: SharedOutcome
    """where the reference ends: the head since address, and the inclination itself"""
    swing_at_top: SharedOutcome
    """where the swing ends"""
    sensitivities: list[PieceSensitivity]
    """for each piece, what one more of it would do from this top, everything else as it was"""
    combinations: int
    """how many were computed, 2 to the number of pieces that differ"""
    stopped: list[StoppedCombination]
    """combinations that a range stops at the top, see below"""
    moments: list[MomentShares]
    """from address to top, see below"""

    @property
    def reference_off_cm(self) -> float:
        """How far the reference leaves the head from its place at the top, seen face-on."""
        return math.hypot(self.reference_at_top.head_toward_target_cm, self.reference_at_top.head_up_cm)

    @property
    def reference_holds(self) -> bool:
        """Whether the centred turn holds this head, where shares are counted from that."""
        return self.reference != STEADY or self.reference_off_cm <= cautions.STILL_CM

    @classmethod
    def of(cls, shared: Shared, inches: bool = False) -> Self:
        """The report of a swing's shares.

        Args:
            shared: what was found.
            inches: lengths in its sentences in inches; its numbers stay metric.
        """
        found, swing = shared.found, shared.performed.swing
        report = cls(
            **golfer_fields(shared.performed),
            reference=found.against,
            shares=[PieceShare.at_top(found, name) for name in DEPARTURES],
            total=SharedOutcome.of(found.total[-1]),
            reference_at_top=SharedOutcome.of(found.reference[-1]),
            swing_at_top=SharedOutcome.of(found.reference[-1] + found.total[-1]),
            sensitivities=[
                PieceSensitivity.of(slope * to_model(PIECES[name].unit, 1.0), piece=name, per=PIECES[name].unit)
                for name, slope in zip(DEPARTURES, shared.slopes, strict=True)
            ],
            combinations=len(found.combinations),
            stopped=_stopped(found),
            moments=[
                MomentShares(
                    progress=done,
                    shares=[MomentShare.of(found.share[k, at], piece=name) for at, name in enumerate(DEPARTURES)],
                    total=SharedOutcome.of(found.total[k]),
                )
                for k, done in enumerate(swing.progress)
            ],
            sentences=[],
            warnings=[],
            **closing_fields(),
        )
        unsure = [words.UNSURE] if swing.converged.all() and not found.converged.all() else []
        return report.replaced(
            sentences=words.sentences(report, inches),
            warnings=[
                *cautions.warnings(swing, inches),
                *words.warnings(report, inches),
                *unsure,
                *top_alone(shared.performed.setup),
            ],
        )


def _stopped(found: Shares) -> list[StoppedCombination]:
    names = found.stop_names
    return [
        StoppedCombination(of=list(pieces), ranges=[name for name, stops in zip(names, flags, strict=True) if stops])
        for pieces, flags in zip(found.combinations, found.stopped[-1], strict=True)
        if flags.any()
    ]
