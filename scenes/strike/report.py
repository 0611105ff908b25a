"""The strike of swings as plain numbers in degrees and centimetres, and in sentences: documented in docs/json.md."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Self

import numpy as np

from ...model.arrays import Array
from ...model.golfer.head_place import HeadPlace
from ...model.golfer.pieces import DEPARTURES, PIECES, Pieces
from ...model.questions.arc import Arc, ground_before
from ...model.questions.strike import OUTCOMES
from ..setups.perform import pieces_of
from ..setups.quantities import to_border, to_model
from ..setups.reports import (
    ClosingReport,
    GolferReport,
    HeldHead,
    LimitedMoment,
    Number,
    Report,
    closing_fields,
    golfer_fields,
    moment_fields,
)
from ..setups.set_otherwise import given_at_impact
from . import words
from .phrases import OFF
from .work import Passed, Struck


class StrikePart(Report):
    """A part of what a strike comes to."""

    low_point_ahead_cm: Number | None
    """the arc's lowest point beyond the ball, toward the target positive; `null` where it has none near the ball"""
    low_point_up_cm: Number | None
    """the arc's lowest point above the ground; below it is negative"""
    club_up_at_ball_cm: Number | None
    """the clubhead above the ground where it passes the ball; `null`, like the rest, where some of the swings that it
    is reckoned from do not pass it"""
    club_out_at_ball_cm: Number | None
    """the clubhead beyond the ball where it passes it, away from the golfer positive"""
    descent_deg: Number | None
    """how much the clubhead goes down there; going up is negative"""
    outward_deg: Number | None
    """how much its way there goes off the target line, away from the golfer positive"""

    @classmethod
    def of(cls, values: Array) -> Self:
        """From ``(6,)`` of the model's `OUTCOMES`, m and rad; NaN is none."""
        shown: dict[str, Any] = {
            key: None if np.isnan(value) else to_border(unit, value)
            for key, value, unit in zip(StrikePart.model_fields, values, OUTCOMES.values(), strict=True)
        }
        return cls(**shown)


class StrikeOutcome(StrikePart):
    """What a strike comes to."""

    club_up_at_ball_cm: Number
    """the clubhead above the ground where it passes the ball"""
    club_out_at_ball_cm: Number
    """the clubhead beyond the ball where it passes it, away from the golfer positive"""
    descent_deg: Number
    """how much the clubhead goes down there; going up is negative"""
    outward_deg: Number
    """how much its way there goes off the target line, away from the golfer positive"""


class WholeStrike(StrikeOutcome):
    """A strike, and the plane it is made in."""

    slope_of_arc_deg: Number
    """inclination to the ground of the plane in which the clubhead turns where it passes the ball"""

    @classmethod
    def of_arc(cls, arc: Arc) -> Self:
        """From an arc without batch axes."""
        values = np.array([float(getattr(arc, name)) for name in OUTCOMES])
        return cls(**StrikeOutcome.of(values).model_dump(), slope_of_arc_deg=np.degrees(float(arc.slope)))


class PassingReport(Report):
    """How a club passes the ball."""

    strike: WholeStrike
    """where the club bottoms out and which way it goes at the ball"""
    ground_before_ball_cm: Number | None
    """how far before the ball the club comes down to the ground's level, where it does"""
    arms_short_cm: Number
    """how far the drawn arms leave the clubhead from where the arc takes it at impact, where a joint of theirs ends"""

    @classmethod
    def fields_of(cls, passed: Passed) -> dict[str, Any]:
        """The fields of a swing's club."""
        joints, at = passed.swing.skeleton.joints, passed.swing.at_impact
        before = ground_before(passed.path)
        drawn = joints["clubhead"][at] - joints["ball"][at]
        if passed.swing.left_handed:
            drawn = drawn * np.array([1.0, -1.0, 1.0])
        return {
            "strike": WholeStrike.of_arc(passed.arc),
            "ground_before_ball_cm": None if before is None else to_border("cm", before),
            "arms_short_cm": 100.0 * float(np.linalg.norm(drawn - passed.at_ball)),
        }


class StrikePiece(Report):
    """What a piece does to the strike."""

    piece: str
    """the piece"""
    unit: str
    """of the piece, `deg` or `cm`"""
    beyond_centred: Number
    """what is asked of it at impact beyond this golfer's centred swing, in its unit"""
    share: StrikePart
    """its share in the strike less the centred one; the shares add up to that"""
    one_more: StrikePart
    """what one degree or centimetre more of it at impact would add, everything else as it was"""
    mends: Number | None
    """how much more of this piece alone brings the club to the ball's height, in its unit; `null` where no amount up
    to 30 degrees or 12 cm does"""
    then: StrikeOutcome | None
    """what the strike then comes to"""


class NeckMove(Report):
    """What a centimetre of the base of the neck does, with all that it carries."""

    toward: str
    """`ball`, `target` or `up`"""
    adds: StrikePart
    """to the strike"""


class PathPlace(Report):
    """Where a clubhead is, from the ball."""

    toward_target_cm: Number
    """along the target line"""
    toward_ball_cm: Number
    """away from the golfer"""
    up_cm: Number
    """above the ground"""


class StruckSwing(PassingReport, GolferReport):
    """The strike of one swing."""

    impact: dict[str, Number | str]
    """what is asked at impact: the pieces as numbers, `"steady"` or `"steady+10"`, all against the address, and
    `hands_ahead_cm` and `wrist_hinge_deg` of the centred swing"""
    head_wanted: HeldHead
    """where the head is wanted at impact"""
    centred: WholeStrike
    """`strike` of this golfer's centred swing, the head held where it is wanted"""
    from_address: WholeStrike | None
    """the same of the centred swing with the head held where it was at address; `null` where that is what is wanted"""
    given_back: list[str]
    """pieces that were set off at the top, and are at impact as in the centred swing: what they did costs the strike
    nothing; tilt and extension that are steady there are not among them"""
    pieces_at_impact: list[StrikePiece]
    """what each piece does, all eight"""
    neck: list[NeckMove]
    """what a centimetre of the base of the neck does, each way"""
    moment: LimitedMoment
    """impact itself, as the moments of `simulate`"""
    path: list[PathPlace]
    """the clubhead's way past the ball"""
    centred_path: list[PathPlace]
    """the same of the centred swing"""
    sentences: list[str]
    """what came of it"""

    @classmethod
    def of_swing(cls, struck: Struck, inches: bool = False) -> Self:
        """The report of one swing."""
        causes, at = struck.causes, struck.at_impact
        impact = struck.swing.impact
        assert impact is not None  # A struck swing goes there.
        units = [PIECES[name].unit for name in DEPARTURES]
        report = cls(
            **golfer_fields(struck.performed),
            **cls.fields_of(struck.passed),
            impact=given_at_impact(struck.performed.setup),
            head_wanted=HeldHead.of(impact.head),
            centred=WholeStrike.of_arc(causes.centred),
            from_address=WholeStrike.of_arc(struck.from_address) if impact.head != HeadPlace() else None,
            given_back=_given_back(struck),
            pieces_at_impact=[
                StrikePiece(
                    piece=name, unit=unit, beyond_centred=to_border(unit, causes.off[k]),
                    share=StrikePart.of(causes.share[k]),
                    one_more=StrikePart.of(causes.slope[k] * to_model(unit, 1.0)),
                    mends=None if np.isnan(causes.mends[k]) else to_border(unit, causes.mends[k]),
                    then=None if np.isnan(causes.mends[k]) else StrikeOutcome.of(causes.then[k]),
                )
                for k, (name, unit) in enumerate(zip(DEPARTURES, units, strict=True))
            ],
            neck=[
                NeckMove(toward=way, adds=StrikePart.of(causes.neck_slope[:, axis] * to_model("cm", 1.0)))
                for axis, way in enumerate(("ball", "target", "up"))
            ],
            moment=LimitedMoment(**moment_fields(struck.swing, at)),
            path=_places(struck.passed.path),
            centred_path=_places(struck.centred_path),
            sentences=[],
        )  # fmt: skip
        return report.replaced(sentences=words.sentences(report, inches))


class StrikeReport(ClosingReport):
    """Everything about the strike of one or two swings."""

    swings: list[StruckSwing]
    """the swings, in the order they were given"""

    @classmethod
    def of(cls, found: Sequence[Struck], inches: bool = False) -> Self:
        """The report of swings.

        Args:
            found: what was found of each.
            inches: lengths in its sentences in inches; its numbers stay metric.
        """
        swings = [StruckSwing.of_swing(one, inches) for one in found]
        return cls(
            swings=swings,
            sentences=words.beside_each_other(swings, inches),
            warnings=[line for one, swing in zip(found, swings, strict=True) for line in words.warnings(one, swing)],
            **closing_fields(),
        )


def _given_back(struck: Struck) -> list[str]:
    """The pieces that were set off from this golfer's centred turn at the top, and do not depart from it at impact.

    Tilt or extension that is steady follows the others to hold the head, and was not.
    """
    wished, centred = pieces_of(struck.performed.setup), Pieces()
    asked, usual, causes = struck.performed.swing.asked, struck.performed.centred.asked, struck.causes
    found = []
    for k, name in enumerate(DEPARTURES):
        least = to_model(PIECES[name].unit, OFF[PIECES[name].unit])
        if getattr(wished, name) == getattr(centred, name):
            continue
        if abs(float(asked[name][-1] - usual[name][-1])) > least and abs(float(causes.off[k])) < least:
            found.append(name)
    return found


def _places(path: Array) -> list[PathPlace]:
    return [
        PathPlace(toward_target_cm=100.0 * y, toward_ball_cm=100.0 * x, up_cm=100.0 * z) for x, y, z in path.tolist()
    ]
