"""The opposite feel of a departure, as a report: how much of which piece, what it alone would change, and the words."""

from __future__ import annotations

from typing import Self

from ...model.films.readings import READINGS
from ...model.golfer.pieces import DEPARTURES, PIECES
from ..setups.reports import Number, Report
from ..words.feels import CHECK_AGAIN
from ..words.pieces import NAMES
from .found import Diagnosed

_SPAN = 2.0 * 1.6449
"""Standard deviations from one end of a normal 90 % interval to the other."""


class ChangeReport(Report):
    """What films would show differently; the readings of `diagnose`."""

    head_toward_target_cm: Number
    """head toward the target"""
    head_up_cm: Number
    """head up"""
    head_toward_ball_cm: Number
    """head toward the ball"""
    pelvis_toward_target_cm: Number
    """middle of the pelvis toward the target"""
    pelvis_toward_ball_cm: Number
    """middle of the pelvis toward the ball"""
    inclination_change_deg: Number
    """inclination of the trunk's line as seen down the line, top less address, toward the ball positive"""
    lean_face_on_deg: Number
    """lean of the trunk's line face-on, away from the target positive"""
    shoulder_plane_deg: Number
    """shoulder line from the horizontal, lead shoulder down positive"""
    shoulder_turn_deg: Number
    """shoulder turn"""
    hip_turn_deg: Number
    """hip turn"""
    lead_knee_flex_deg: Number
    """lead knee flexion"""
    trail_knee_flex_deg: Number
    """trail knee flexion"""
    belt_line_tilt_deg: Number
    """belt line from the horizontal, lead side down positive"""


class FeelReport(Report):
    """The opposite of the departure to begin with."""

    piece: str
    """of which more or less is to be felt"""
    name: str
    """the same in plain words"""
    amount: Number
    """by how much the film should change: the opposite of the departure"""
    low: Number
    """the lower end of the interval that holds it with 90 %"""
    high: Number
    """the upper end"""
    sd: Number
    """a third of that interval's length, about (a normal one's standard deviation)"""
    unit: str
    """`deg` or `cm`, of all four"""
    what: str
    """the change by its name"""
    do: str
    """what to do"""
    face_on: str
    """how that looks face-on"""
    down_the_line: str
    """how that looks down the line"""
    alone_it_would_change: ChangeReport
    """every reading, if this alone were put back, everything else as it was, tilt and extension in degrees included"""
    brings_head_back_cm: Number
    """how much nearer to its place the head would then be"""
    leaves_tilt_deg: Number
    """how much more tilt there would then be than holds the head"""
    leaves_extension_deg: Number
    """how much more extension there would then be than holds the head"""
    check: str
    """how to go on"""
    caution: str
    """what could be hurt"""
    then: list[str]
    """pieces to go on with after a new film"""

    @classmethod
    def of(cls, found: Diagnosed) -> Self | None:
        """Of the piece to begin with; none where nothing is sure enough."""
        if not found.sure:
            return None
        first, *later = found.sure
        piece = DEPARTURES[first]
        low, likely, high = found.amount[:, first]
        feel = found.moment.feel(piece, -likely)
        beyond = dict(zip(DEPARTURES, found.beyond[first], strict=True))
        return cls(
            piece=piece,
            name=NAMES[piece],
            amount=-likely,
            low=-high,
            high=-low,
            sd=(high - low) / _SPAN,
            unit=PIECES[piece].unit,
            what=feel.what,
            do=feel.do,
            face_on=feel.face_on,
            down_the_line=feel.down_the_line,
            alone_it_would_change=ChangeReport(
                **{f"{name}_{unit}": found.back[first, k] for k, (name, unit) in enumerate(READINGS.items())}
            ),
            brings_head_back_cm=found.brings_back[first],
            leaves_tilt_deg=beyond["tilt"],
            leaves_extension_deg=beyond["extension"],
            check=CHECK_AGAIN,
            caution=found.moment.hurts(piece, -likely),
            then=[DEPARTURES[k] for k in later],
        )
