"""A map as plain numbers in degrees and centimetres, and in sentences: documented in docs/json.md."""

from __future__ import annotations

from typing import Self

import numpy as np

from ...model.arrays import Array
from ...model.chain.steady import STILL_M
from ...model.golfer.pieces import PIECES
from ...model.questions.head_asked import OUTCOMES
from ..setups.reports import ClosingReport, GolferReport, Number, Report, closing_fields, golfer_fields
from ..setups.top_alone import top_alone
from ..words import cautions
from . import words
from .work import Mapped, band, in_unit, stillest

Grid = list[list[Number]]
"""Rows of numbers, one row for each value of y, each with one for each value of x."""
HELD_BY = ("tilt", "extension")
"""The pieces that hold a head."""


class MapAxis(Report):
    """One of the two pieces that a map is over."""

    piece: str
    """its name"""
    unit: str
    """`deg` or `cm`"""
    values: list[Number]
    """of the map's places, ascending"""
    this_swing: Number
    """what the swing asks for"""
    steady: Number
    """what holds the head for its turn, or leaves it nearest; what it asks for where the piece is neither tilt nor
    extension"""

    @classmethod
    def of(cls, mapped: Mapped, piece: str, values: Array, k: int) -> Self:
        """The axis across (``k`` 0) or upward (1)."""
        found = mapped.found
        return cls(
            piece=piece,
            unit=PIECES[piece].unit,
            values=in_unit(piece, values).tolist(),
            this_swing=in_unit(piece, found.place)[k],
            steady=in_unit(piece, found.steady)[k],
        )


class MapHead(Report):
    """Where a head is since address."""

    head_toward_target_cm: Number
    """along the target line; away from the target is negative"""
    head_toward_ball_cm: Number
    """toward the ball; away from the ball is negative"""
    head_up_cm: Number
    """upward; down is negative"""


class StillBand(Report):
    """How far the still band reaches over the map."""

    x: tuple[Number, Number]
    """lowest and highest amount of x at which some amount of y keeps the head still"""
    y: tuple[Number, Number]
    """the same of y"""


class StillestPlace(Report):
    """The place on the map, of those the joints allow, whose head is nearest to its place."""

    x: Number
    """its amount of x"""
    y: Number
    """its amount of y"""
    off_cm: Number
    """how far off its head is, face-on"""


class MapReport(ClosingReport, GolferReport):
    """Everything about a map."""

    x: MapAxis
    """the piece across, see below"""
    y: MapAxis
    """the piece upward"""
    kept: dict[str, Number]
    """every other piece with what the swing asks for at the top, in its unit"""
    this_swing: MapHead
    """where the swing's head is, see below"""
    steady_miss_cm: Number
    """how far off the head is even with what holds it best for this turn; 0 where it can be held"""
    still_within_cm: Number
    """what counts as still: this far from where it is wanted (`head_held`) as seen face-on"""
    still_band: StillBand | None
    """how far the still band reaches, see below; null where no place is still"""
    stillest: StillestPlace | None
    """the place nearest to still, see below; null where the joints allow none"""
    stopped_cells: dict[str, int]
    """range to the number of places that it stops"""
    head_toward_target_cm: Grid
    """where the head is since address, wherever it is wanted: a list of rows, one for each value of `y`, each with a
    number for each value of `x`; the nearest the joints allow where `reached` is false"""
    head_toward_ball_cm: Grid
    """the same toward the ball"""
    head_up_cm: Grid
    """the same upward"""
    inclination_deg: Grid
    """the same of the trunk's inclination in space"""
    reached: list[list[bool]]
    """in the same order, whether the joints allow what is asked there"""
    still: list[list[bool]]
    """in the same order, whether the head is still and the joints allow it"""

    @property
    def axes(self) -> tuple[MapAxis, MapAxis]:
        """Across, then upward."""
        return self.x, self.y

    @property
    def held_by(self) -> tuple[MapAxis, ...]:
        """The axes whose piece holds a head: only they give what holds it a place of its own on the map."""
        return tuple(axis for axis in self.axes if axis.piece in HELD_BY)

    def from_wanted(self, measure: str) -> Array:
        """A grid of the head ``(Y, X)`` cm, counted from where it is wanted: no depth is asked for."""
        held = self.head_held
        wanted = {"head_toward_target_cm": held.toward_target_cm, "head_up_cm": held.up_cm}
        return np.array(getattr(self, measure)) - wanted.get(measure, 0.0)

    @property
    def can_be_held(self) -> bool:
        """Whether some tilt and extension hold this head for this turn."""
        return self.steady_miss_cm <= cautions.STILL_CM

    @classmethod
    def of(cls, mapped: Mapped, inches: bool = False) -> Self:
        """The report of a map; with ``inches``, lengths in its sentences are in inches and its numbers stay metric."""
        found, swing = mapped.found, mapped.performed.swing
        ball, target, up = np.asarray(swing.measures.head_moved)[-1] * 100.0
        stops = found.stopped & found.converged[..., None]
        report = cls(
            **golfer_fields(mapped.performed),
            x=MapAxis.of(mapped, found.x, found.x_values, 0),
            y=MapAxis.of(mapped, found.y, found.y_values, 1),
            kept={
                piece: in_unit(piece, swing.asked[piece][-1]).item()
                for piece in PIECES
                if piece not in (found.x, found.y)
            },
            this_swing=MapHead(head_toward_target_cm=target, head_toward_ball_cm=ball, head_up_cm=up),
            steady_miss_cm=swing.steady_miss[-1] * 100.0,
            still_within_cm=STILL_M * 100.0,
            still_band=None if (ends := band(mapped)) is None else StillBand(x=ends[0], y=ends[1]),
            stillest=None if (at := stillest(mapped)) is None else StillestPlace(x=at[0], y=at[1], off_cm=at[2]),
            stopped_cells={
                name: int(stops[..., k].sum()) for k, name in enumerate(found.stop_names) if stops[..., k].any()
            },
            head_toward_target_cm=(found.toward_target * 100.0).tolist(),
            head_toward_ball_cm=(found.toward_ball * 100.0).tolist(),
            head_up_cm=(found.up * 100.0).tolist(),
            inclination_deg=np.degrees(found.outcome[..., OUTCOMES.index("inclination")]).tolist(),
            reached=found.reached.tolist(),
            still=found.still.tolist(),
            sentences=[],
            warnings=[],
            **closing_fields(),
        )
        unsure = int((~found.converged).sum())
        # Here what is shown counts from where the head is wanted, which stands above it.
        own = [line for line in cautions.warnings(swing, inches) if line != cautions.wanted_sentence(swing, inches)]
        return report.replaced(
            sentences=words.sentences(report, inches),
            warnings=[*own, *words.unsure_words(unsure, found.converged.size), *top_alone(mapped.performed.setup)],
        )
