"""What two films of a swing show at the top or at impact, for what a golfer does more or less of than holds the head.

What `simulate` does for that moment of a swing, from the same stages and by the same rules, without what no reading
needs (club, weight; at the top the arms). Departures are counted from the turn that a reference asks for; those of tilt
and extension from what holds this head for the turn that is made, legs and shoulders as they are. What is off at the
top is given back before impact (`golfer.impact`), so what is read there speaks of departures there alone.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from ..arrays import Array
from ..chain import walk
from ..chain.carried import Carried
from ..chain.delivery import Delivery
from ..chain.girdle import shoulder_line_turn
from ..chain.golfers import LEG_PIECES, Golfers, Moments
from ..chain.legs import HIP_TURN, LEAD_KNEE, TRAIL_KNEE
from ..chain.lower_body import LowerBody
from ..chain.trunk import BEND, TILT
from ..chain.walk import UpperBody
from ..errors import TurnstillError
from ..golfer.head_place import HeadPlace
from ..golfer.impact import Impact, centred_at_impact
from ..golfer.pieces import DEPARTURES, HEELS, MAY_BE_STEADY, PIECES, Pieces, departs
from ..swing.way_back import delivered

READINGS: Mapping[str, str] = {
    "head_toward_target": "cm",
    "head_up": "cm",
    "head_toward_ball": "cm",
    "pelvis_toward_target": "cm",
    "pelvis_toward_ball": "cm",
    "inclination_change": "deg",
    "lean_face_on": "deg",
    "shoulder_plane": "deg",
    "shoulder_turn": "deg",
    "hip_turn": "deg",
    "lead_knee_flex": "deg",
    "trail_knee_flex": "deg",
    "belt_line_tilt": "deg",
}
"""What can be read off, with the unit at the border. Head and pelvis since address; the change of inclination since
address as seen down the line, toward the ball positive; the rest as it stands at that moment. (``Swing.achieved`` has
places of the pelvis by the same names; these are how far it moved, ``Measures.pelvis_moved``.)"""

USUAL_SD_SHOWN: Mapping[str, float] = {"cm": 1.0, "deg": 4.0}
"""Uncertainty of a reading in its unit if none is said: what careful reading of a film leaves (assumption)."""
USUAL_SD_AT_IMPACT_SHOWN: Mapping[str, float] = {"cm": 1.0, "deg": 6.0}
"""The same at impact, which is over between two frames: by nearest frame of 30 a second the shoulders of the centred
swing are off by 4 degrees (one sd, a way down of 0.28 s; docs/diagnosis.md), beside the 4 degrees of reading
(assumption)."""


def _si(shown: Mapping[str, float]) -> dict[str, float]:
    return {"cm": shown["cm"] / 100.0, "deg": float(np.radians(shown["deg"]))}


USUAL_SD: Mapping[str, float] = _si(USUAL_SD_SHOWN)
"""The first in m and rad."""
USUAL_SD_AT_IMPACT: Mapping[str, float] = _si(USUAL_SD_AT_IMPACT_SHOWN)
"""The second in m and rad."""
_LEGS = tuple(name for name in DEPARTURES if name in LEG_PIECES)
_STEP = np.array([0.005 if PIECES[name].unit == "cm" else np.radians(1.0) for name in DEPARTURES])
"""Step of the slopes: a secant over half a centimetre or a degree looks past the kink where a range begins to act."""


@dataclass(frozen=True)
class Film:
    """Golfers before the camera, at one moment of their swings.

    Attributes:
        golfers: who stand at address.
        asked: piece to rad or m, what the reference asks at that moment.
        wanted: ``(B, 3)`` m, from the head's place at address to where it is wanted then.
        delivery: how their arms bring the club to the ball, where the moment is impact; at the top none.
    """

    golfers: Golfers
    asked: Mapping[str, float]
    wanted: Array
    delivery: Delivery | None = None

    @classmethod
    def of(cls, golfers: Golfers, reference: Pieces | Impact, head: HeadPlace | None = None) -> Film:
        """Golfers whose departures are counted from ``reference``, all alike.

        Args:
            golfers: ``B``, at address.
            reference: what is asked at the top, or at impact.
            head: where the head is wanted at the top; what is asked at impact says it itself.

        Raises:
            TurnstillError: its tilt or extension is a plain number, which holds no head.
        """
        pieces = reference.pieces if isinstance(reference, Impact) else reference
        for name in MAY_BE_STEADY:
            if not departs(getattr(pieces, name)):
                raise TurnstillError(f"Departures count {name} from what holds the head; give it as Steady().")
        batch = golfers.stance.balanced.shape
        place = reference.head if isinstance(reference, Impact) else head or HeadPlace()
        delivery = delivered(golfers, batch, reference) if isinstance(reference, Impact) else None
        return cls(golfers, _plain(pieces), place.offset(batch), delivery)

    @property
    def at_impact(self) -> bool:
        """Whether the moment is impact; else it is the top."""
        return self.delivery is not None

    @property
    def usual_sd(self) -> Mapping[str, float]:
        """Uncertainty of a reading if none is said, by its unit at the border, m or rad."""
        return USUAL_SD_AT_IMPACT if self.at_impact else USUAL_SD

    def centred(self) -> Film:
        """The same golfers, their departures counted from the centred golfer's pieces at that moment; heels stay."""
        usual = _plain(centred_at_impact() if self.at_impact else Pieces())
        return replace(self, asked={**usual, **{name: self.asked[name] for name in HEELS}})

    def readings(self, golfer: NDArray[np.intp], departures: Array) -> Array:
        """``(N, 13)`` rad and m in the order of ``READINGS``, for ``departures (N, 8)`` rad and m of ``DEPARTURES``."""
        asked = departures.T[:, None]
        return self._shown(golfer, asked, asked, asked, np.zeros(1, int), np.zeros(1, int))[0]

    def readings_and_slopes(self, golfer: NDArray[np.intp], departures: Array) -> tuple[Array, Array]:
        """Readings ``(N, 13)`` and how they grow with each departure ``(N, 13, 8)``.

        The pieces of the trunk stand on the same solved legs; those that leave the turn as it is, on the same held
        head.
        """
        base = departures.T[:, None]
        legs = np.repeat(base, 1 + len(_LEGS), axis=1)
        for k, name in enumerate(_LEGS):
            legs[DEPARTURES.index(name), 1 + k] += _STEP[DEPARTURES.index(name)]
        held = np.concatenate([legs, base], axis=1)
        held[DEPARTURES.index("shoulder_turn"), -1] += _STEP[DEPARTURES.index("shoulder_turn")]
        trunks = np.concatenate([held, base, base], axis=1)
        for k, name in enumerate(("tilt", "extension")):
            trunks[DEPARTURES.index(name), k - 2] += _STEP[DEPARTURES.index(name)]
        last = legs.shape[1]
        on_legs = np.append(np.arange(last), 0)
        on_held = np.append(np.arange(last + 1), [0, 0])
        shown = self._shown(golfer, legs, held, trunks, on_legs, on_held)
        order = [0, *(1 + [*_LEGS, "shoulder_turn", "tilt", "extension"].index(name) for name in DEPARTURES)]
        shown = shown[order]
        return shown[0], np.moveaxis((shown[1:] - shown[0]) / _STEP[:, None, None], 0, -1)

    def amounts(self, golfer: NDArray[np.intp], departures: Array) -> Array:
        """What the pieces come to ``(N, 8)`` rad and m, tilt and extension with what holds the head for that turn."""
        moments = self.golfers.moments(golfer)
        asked = {name: self.asked[name] + departures[:, k] for k, name in enumerate(DEPARTURES)}
        lower = moments.lower(asked | self._heels(golfer.size))
        held = moments.on(lower, self.wanted[golfer]).hold(asked["shoulder_turn"]).held.angles
        asked["tilt"] = asked["tilt"] + held[TILT]
        asked["extension"] = asked["extension"] + moments.ribcage_at_address[BEND] - held[BEND]
        return np.stack([asked[name] for name in DEPARTURES], axis=-1)

    def _shown(
        self, golfer: NDArray[np.intp], legs: Array, held: Array, trunks: Array, on_legs: Array, on_held: Array
    ) -> Array:
        """Readings ``(T, N, 13)`` of ``T`` trunks for ``N`` golfers.

        Args:
            golfer: ``(N,)`` who.
            legs: ``(8, A, N)`` departures to solve legs for.
            held: ``(8, H, N)`` departures to find what holds the head for.
            trunks: ``(8, T, N)`` departures to read.
            on_legs: ``(H,)`` the legs that each of ``held`` stands on.
            on_held: ``(T,)`` which of ``held`` each of ``trunks`` departs from.
        """
        count = golfer.size

        def spread(rows: Array) -> NDArray[np.intp]:
            return np.asarray(rows[:, None] * count + np.arange(count), dtype=np.intp).reshape(-1)

        def asking(departures: Array) -> dict[str, Array]:
            flat = departures.reshape(len(DEPARTURES), -1)
            return {name: self.asked[name] + flat[k] for k, name in enumerate(DEPARTURES)}

        asked = asking(legs) | self._heels(legs[0].size)
        who = np.tile(golfer, legs.shape[1])
        moments = self.golfers.moments(who)
        lower, to_held, to_trunks = moments.lower(asked), spread(on_legs), spread(on_held)
        on = moments.on(lower, self.wanted[who])[to_held].hold(asking(held)["shoulder_turn"])[to_trunks]
        who = np.tile(golfer, trunks.shape[1])
        lower, moments = lower[to_held[to_trunks]], self.golfers.moments(who)
        asked, steady = asking(trunks), on.held.angles
        upper = on.reach(steady[TILT] + asked["tilt"], steady[BEND] - asked["extension"])

        stacked = of_moment(moments, lower, upper, moments.shoulders(upper, self._carried(who)))
        return stacked.reshape(trunks.shape[1], count, len(READINGS))

    def _heels(self, count: int) -> dict[str, Array]:
        """How far heels are up, m, which no film is asked about: as the reference has them, ``(count,)`` each."""
        return {name: np.full(count, self.asked[name]) for name in HEELS}

    def _carried(self, golfer: NDArray[np.intp]) -> Carried | None:
        """Arms of golfers ``(N,)`` at impact, where nothing is left of how far they swung up."""
        if self.delivery is None:
            return None
        there = np.ones(golfer.size)
        return self.delivery[golfer].carried(there, there)


def _plain(pieces: Pieces) -> dict[str, float]:
    """Pieces as numbers, rad or m; of one that departs from steady, by how much."""
    return {name: float(value) for name, value in pieces.amounts().items()}


def of_moment(moments: Moments, lower: LowerBody, upper: UpperBody, shoulder: Mapping[str, Array]) -> Array:
    """Readings ``(N, 13)`` rad and m of golfers at one moment.

    Args:
        moments: of whom.
        lower: legs and pelvis.
        upper: trunk and head on them.
        shoulder: shoulder centres by side, ``(N, 3)`` m.
    """
    there, moved, line = moments.joints_at_address, upper.head_moved, upper.line
    pelvis_moved = lower.pelvis_centre - there["pelvis"]
    start = walk.inclination_down_the_line(there["neck_base"] - there["pelvis"])
    shown = {
        "head_toward_ball": moved[:, 0],
        "head_toward_target": moved[:, 1],
        "head_up": moved[:, 2],
        "pelvis_toward_ball": pelvis_moved[:, 0],
        "pelvis_toward_target": pelvis_moved[:, 1],
        "inclination_change": walk.inclination_down_the_line(line) - start,
        "lean_face_on": walk.lean_face_on(line),
        "shoulder_plane": walk.shoulder_plane(shoulder["lead"], shoulder["trail"]),
        "shoulder_turn": shoulder_line_turn(upper.ribcage, upper.girdle),
        "hip_turn": lower.q[HIP_TURN],
        "lead_knee_flex": lower.q[LEAD_KNEE],
        "trail_knee_flex": lower.q[TRAIL_KNEE],
        "belt_line_tilt": lower.posture.obliquity,
    }
    return np.stack([shown[name] for name in READINGS], axis=-1)
