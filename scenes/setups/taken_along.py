"""A golfer's centred arc, taken along with the base of the neck: what a head that stays where it went costs.

It is the arc of the centred swing as ``turnstill strike`` has it, shifted as a whole by how far the base of the neck
is, at the top, from where this golfer's centred turn has it: that is what has to be given back before impact.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Self

import numpy as np

from ...model.arrays import Array
from ...model.questions.arc import Arc, ground_before
from ...model.questions.strike import Striking
from ...model.swing.doing import Doing, at_once
from .perform import Performed, address_of, body_of, head_of, impact_of, pieces_of
from .presets import Setup
from .quantities import PIECES_SECTION, SECTIONS, to_border
from .reports import Number, Report


class TakenAlong(Report):
    """The centred arc, taken along with the base of the neck."""

    toward_target_cm: Number
    """how much nearer to the target the base of the neck is at the top than in this golfer's centred turn"""
    up_cm: Number
    """how much higher"""
    toward_ball_cm: Number
    """how much nearer to the ball"""
    low_point_ahead_cm: Number | None
    """the arc's lowest point beyond the ball, toward the target positive; `null` where it has none near the ball"""
    club_up_at_ball_cm: Number | None
    """the clubhead above the ground where it passes the ball; `null`, like the rest, where it does not pass it"""
    club_out_at_ball_cm: Number | None
    """how much farther out than the ball it passes there; negative to the golfer's side"""
    descent_deg: Number | None
    """how much the clubhead goes down there; going up is negative"""
    ground_before_ball_cm: Number | None
    """how far before the ball the club comes down to the ground's level, where it does"""

    @classmethod
    def of(cls, moved: Array, arc: Arc, path: Array) -> Self:
        """Of an arc without batch axes and its path ``(n, 3)``, taken along by ``moved (3,)`` m.

        At the ball stands what was between two of the path's places, some centimetres apart: straight from one to the
        other it is right to a tenth of a millimetre.
        """
        gone = path + moved
        along = gone[:, 1]
        passes = bool(arc.passes) and along[0] < 0.0 < along[-1]
        going = np.gradient(gone, axis=0)
        descent = np.arctan2(-going[:, 2], np.hypot(going[:, 0], going[:, 1]))
        found = {
            "low_point_ahead_cm": ("cm", float(arc.low_ahead) + moved[1]),
            "club_up_at_ball_cm": ("cm", np.interp(0.0, along, gone[:, 2])),
            "club_out_at_ball_cm": ("cm", np.interp(0.0, along, gone[:, 0])),
            "descent_deg": ("deg", np.interp(0.0, along, descent)),
            "ground_before_ball_cm": ("cm", ground_before(gone)),
        }
        shown = {
            key: None if value is None or np.isnan(value) or not passes else to_border(unit, value)
            for key, (unit, value) in found.items()
        }
        toward_ball, toward_target, up = (to_border("cm", part) for part in moved)
        return cls(toward_ball_cm=toward_ball, toward_target_cm=toward_target, up_cm=up, **shown)


class CentredArc:
    """The arc of one golfer's centred swing."""

    def __init__(self, setup: Setup, do: Doing = at_once) -> None:
        """Of the golfer of a setup, the head held where it is wanted; ``do`` says how they are stood at address.

        Raises:
            TurnstillError: what was asked cannot be simulated.
        """
        asked = pieces_of(setup), impact_of(setup), head_of(setup)
        striking = Striking.of(body_of(setup), address_of(setup), *asked, do).centred
        self._arc, self._path = striking.arc(), striking.drawn()

    def along(self, performed: Performed) -> TakenAlong:
        """Taken along with the base of the neck of a swing of this golfer."""
        return TakenAlong.of(neck_moved(performed), self._arc, self._path)


def neck_moved(performed: Performed) -> Array:
    """``(3,)`` m, where the base of the neck is at the top, from where this golfer's centred turn has it."""
    swing, centred = performed.swing.until_top(), performed.centred
    return np.asarray(swing.measures.neck_base_moved)[-1] - np.asarray(centred.measures.neck_base_moved)[-1]


def taken_along(performed: Sequence[Performed], do: Doing = at_once) -> list[TakenAlong]:
    """The centred arcs of swings, taken along; what swings of the same golfer share is worked out once.

    Args:
        performed: the swings.
        do: how their golfers are stood at address.

    Raises:
        TurnstillError: what was asked cannot be simulated.
    """
    arcs: list[tuple[Setup, CentredArc]] = []
    found = []
    for one in performed:
        arc = next((arc for setup, arc in arcs if _same_golfer(setup, one.setup)), None)
        if arc is None:
            arc = CentredArc(one.setup, do)
            arcs.append((one.setup, arc))
        found.append(arc.along(one))
    return found


def _same_golfer(one: Setup, other: Setup) -> bool:
    """Whether two setups have the same centred arc: all but the pieces of the top is alike."""
    return all(one.section(name) == other.section(name) for name in SECTIONS if name != PIECES_SECTION)
