"""A sheet as plain numbers in degrees and centimetres, and in sentences: documented in docs/json.md."""

from __future__ import annotations

from typing import Self

import numpy as np

from ...model.arrays import Array
from ...model.films import dose
from ...model.golfer.pieces import PIECES
from ...model.questions.places import PLACES
from ...model.swing.swing import Swing
from ..setups.quantities import to_border
from ..setups.reports import (
    ClosingReport,
    GolferReport,
    MomentNumbers,
    Number,
    Report,
    SteadyNumbers,
    closing_fields,
    golfer_fields,
    numbers_at,
)
from ..setups.taken_along import TakenAlong
from ..words.feels import FILM_AGAIN, SLOWLY, feel_of, hurt_by
from ..words.pieces import NAMES
from . import words
from .sheet import Sheet
from .touching import Check, Reach


class SheetFeelReport(Report):
    """The one feel."""

    piece: str
    """of which more or less is to be felt"""
    name: str
    """the same in plain words"""
    unit: str
    """`deg` or `cm`, of all its amounts"""
    by_head: bool
    """whether it is the piece that did most of where the head went; else it was named"""
    now: Number
    """what the swing asks of it at the top"""
    after: Number
    """what it is to come to"""
    change: Number
    """how much more of it a film is to show; less where it is negative"""
    felt: Number
    """how much more of it is to be felt"""
    felt_given: bool
    """whether that was given; else it is what an unknown golfer is taken to need"""
    expected: Number | None
    """how much of it the next film should show; null where the feel was given"""
    capped: bool
    """whether all of it at once would be more than is advised"""
    cap: Number
    """the most that is advised at once"""
    before_cap: Number | None
    """what all of it at once would take; null where the feel was given"""
    what: str
    """the change by its name"""
    do: str
    """what to do"""
    face_on: str
    """how that looks face-on"""
    down_the_line: str
    """how that looks down the line"""
    check: str
    """how to go on"""
    cautions: list[str]
    """what could be hurt, and how to go about it"""

    @classmethod
    def of(cls, sheet: Sheet) -> Self:
        """The feel of a sheet."""
        choice, found = sheet.choice, sheet.dose
        piece, unit = choice.piece, PIECES[choice.piece].unit
        now, change = (to_border(unit, value) for value in (sheet.now.swing.asked[piece][-1], choice.change))
        feel, cap = feel_of(piece, choice.change), dose.FEEL_CAP[unit]
        return cls(
            piece=piece,
            name=NAMES[piece],
            unit=unit,
            by_head=choice.by_head,
            now=now,
            after=now + change,
            change=change,
            felt=to_border(unit, sheet.felt),
            felt_given=found is None,
            expected=None if found is None else to_border(unit, found.got.mean),
            capped=found is not None and bool(abs(found.best) > cap),
            cap=to_border(unit, cap),
            before_cap=None if found is None else to_border(unit, found.best),
            what=feel.what,
            do=feel.do,
            face_on=feel.face_on,
            down_the_line=feel.down_the_line,
            check=FILM_AGAIN,
            cautions=[hurt_by(piece, change), SLOWLY],
        )


class SheetMoment(SteadyNumbers, MomentNumbers):
    """What one reads off a film of a swing at its top."""

    neck_base_up_cm: Number
    """movement of the base of the neck upward since address; the swing's arc hangs from it"""

    @classmethod
    def of(cls, swing: Swing, moment: int = -1) -> Self:
        """Of a swing without batch axes."""
        at = range(len(swing.progress))[moment]
        return cls(**numbers_at(swing, at), neck_base_up_cm=swing.measures.neck_base_moved[at, 2] * 100.0)


class PlaceMovedReport(Report):
    """How far a place of the body goes at the top."""

    toward_target_cm: Number
    """toward the target; away is negative"""
    toward_ball_cm: Number
    """toward the ball"""
    up_cm: Number
    """up"""
    distance_cm: Number
    """in all"""
    hand_widths: Number
    """the same in this golfer's hand widths"""

    @classmethod
    def of(cls, moved: Array, hand_m: float) -> Self:
        """From ``(3,)`` m: toward ball, toward target, up."""
        ball, target, up = moved * 100.0
        distance = float(np.linalg.norm(moved))
        return cls(
            toward_target_cm=target, toward_ball_cm=ball, up_cm=up, distance_cm=distance * 100.0,
            hand_widths=distance / hand_m,
        )  # fmt: skip


class PlaceReport(Report):
    """What the change does to a place of the body."""

    place: str
    """`breastbone`, `lead_shoulder`, `trail_hip_pocket` or `belt_buckle`"""
    on_film: PlaceMovedReport
    """by all of `change`, see below"""
    as_felt: PlaceMovedReport
    """by all of `felt`, if it came, see below"""


class TouchReport(Report):
    """How far a swing comes toward a thing on its way to the top."""

    part: str
    """of the body that comes nearest"""
    comes_cm: Number
    """how far beyond its place at address"""
    short_cm: Number
    """how far it stays short of the thing; negative where it would go past it, and so touches"""

    @classmethod
    def of(cls, reach: Reach, distance_m: float) -> Self:
        """Of a thing at a distance."""
        return cls(part=reach.part, comes_cm=reach.far_m * 100.0, short_cm=(distance_m - reach.far_m) * 100.0)


class AgainstReport(Report):
    """A wall or a stick that tells the two swings apart."""

    thing: str
    """`wall_behind`, `before_head`, `trail_of_head`, `lead_of_head`, `over_head`, `trail_of_hip` or `lead_of_hip`"""
    starts: str
    """the part of the body that is nearest to it at address"""
    distance_cm: Number
    """how far from that it is to be"""
    hand_widths: Number
    """the same in this golfer's hand widths"""
    now: TouchReport
    """the present swing, see below"""
    after: TouchReport
    """the swing with the change, see below"""

    @classmethod
    def of(cls, check: Check, hand_m: float) -> Self:
        """Of a thing."""
        return cls(
            thing=check.thing,
            starts=check.starts,
            distance_cm=check.distance_m * 100.0,
            hand_widths=check.distance_m / hand_m,
            now=TouchReport.of(check.now, check.distance_m),
            after=TouchReport.of(check.after, check.distance_m),
        )


class SheetReport(ClosingReport, GolferReport):
    """Everything on a sheet; `pieces` are those of the present swing."""

    feel: SheetFeelReport
    """the one feel, see below"""
    at_address: SheetMoment
    """what a film shows at address, of both swings, see below"""
    now: SheetMoment
    """what it shows at the top of the present swing"""
    after: SheetMoment
    """what it is to show at the top with all of `change`"""
    arc_now: TakenAlong
    """the centred arc of this golfer, taken along with the base of the neck as it is at the top of the present swing,
    see below"""
    arc_after: TakenAlong
    """the same with all of `change`"""
    hand_width_cm: Number
    """this golfer's hand across the knuckles, without the thumb"""
    on_the_body: list[PlaceReport]
    """what the change does to places of the body, see below"""
    against: list[AgainstReport]
    """what a wall or a stick would be touched by, see below; empty where none tells the two swings apart"""

    @classmethod
    def of(cls, sheet: Sheet, inches: bool = False) -> Self:
        """The report of a sheet.

        Args:
            sheet: the sheet.
            inches: lengths in sentences in inches; numbers stay metric.
        """
        hand = float(np.squeeze(sheet.now.swing.body.shape["hand_breadth"]))
        report = cls(
            **golfer_fields(sheet.now),
            feel=SheetFeelReport.of(sheet),
            at_address=SheetMoment.of(sheet.now.swing, 0),
            now=SheetMoment.of(sheet.now.swing),
            after=SheetMoment.of(sheet.after.swing),
            arc_now=sheet.arcs[0],
            arc_after=sheet.arcs[1],
            hand_width_cm=hand * 100.0,
            on_the_body=[
                PlaceReport(
                    place=place,
                    on_film=PlaceMovedReport.of(sheet.on_film.moved[k], hand),
                    as_felt=PlaceMovedReport.of(sheet.as_felt.moved[k], hand),
                )
                for k, place in enumerate(PLACES)
            ],
            against=[AgainstReport.of(check, hand) for check in sheet.against],
            sentences=[],
            warnings=words.warnings_of(sheet, inches),
            **closing_fields(),
        )
        return report.replaced(sentences=words.sentences(report, inches))
