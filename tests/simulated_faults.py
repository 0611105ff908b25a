"""Swings with known faults, to judge the diagnosis by: a generator of its own that shares no number with the prior.

The faults are at the top, or at impact.

Bodies and addresses are drawn; one or two pieces are at fault by amounts evenly spread over what a teacher would call
a fault, the others wander evenly a little. What the films show is `simulate`'s, plus noise. A swing that this body
cannot make (a departure that comes out more than a degree or 3 mm different) is drawn again.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import partial

import numpy as np

from turnstill.model.arrays import Array, BoolArray
from turnstill.model.films.readings import READINGS
from turnstill.model.golfer.address import ADDRESS, Address
from turnstill.model.golfer.body import Body
from turnstill.model.golfer.impact import Impact, centred_at_impact
from turnstill.model.golfer.pieces import DEPARTURES, PIECES, Pieces, Steady
from turnstill.model.swing.simulate import simulate
from turnstill.model.swing.swing import Swing

IN_CM: BoolArray = np.array([PIECES[name].unit == "cm" for name in DEPARTURES])
READ_IN_CM: BoolArray = np.array([unit == "cm" for unit in READINGS.values()])
TO_MODEL: Array = np.where(IN_CM, 0.01, np.radians(1.0))
"""From degrees and centimetres, in which everything here is written down, to rad and m."""
READ_TO_MODEL: Array = np.where(READ_IN_CM, 0.01, np.radians(1.0))
FAULTS = {"tilt": (-20.0, -8.0, 8.0, 18.0), "extension": (-25.0, -8.0, 8.0, 18.0)}
TURN_OR_KNEE, SLIDE = (-20.0, -10.0, 10.0, 20.0), (-8.0, -4.0, 4.0, 8.0)
WAYS = ("toward_ball", "toward_target", "up")
"""A place's coordinates in the world, as readings call them."""
AS_IT_STANDS = ("shoulder_turn", "hip_turn", "lead_knee_flex", "trail_knee_flex", "belt_line_tilt")
WANDER: Array = np.where(IN_CM, 1.3, 3.4)


@dataclass(frozen=True)
class Faulty:
    """``S`` swings.

    Attributes:
        body, address: of whom.
        departures: ``(S, 8)`` deg and cm, what was done beyond what holds the head.
        at_fault: ``(S, 8)``.
        shown: ``(S, 13)`` deg and cm, what the films would show without noise.
        kept: share of the drawn swings that the bodies could make.
    """

    body: Body
    address: Address
    departures: Array
    at_fault: BoolArray
    shown: Array
    kept: float


def draw(rng: np.random.Generator, count: int, faults: int, at_impact: bool = False) -> Faulty:
    """``count`` swings with so many pieces at fault, each piece and each pair as often as any other."""
    parts: list[Faulty] = []
    while sum(len(part.departures) for part in parts) < count:
        parts.append(_try(rng, count, faults, at_impact))
    body = parts[0].body
    for part in parts[1:]:
        body = _together(body, part.body)
    address = {name: np.concatenate([getattr(part.address, name) for part in parts]) for name in ADDRESS}
    # The first of each piece, so that what bodies find hard is not the rarer for it.
    at_fault = np.concatenate([part.at_fault for part in parts])
    order = _evenly(at_fault, count)
    return Faulty(
        body[order],
        Address(**{name: value[order] for name, value in address.items() if name != "ball_position"}),
        np.concatenate([part.departures for part in parts])[order],
        at_fault[order],
        np.concatenate([part.shown for part in parts])[order],
        float(np.mean([part.kept for part in parts])),
    )


def _evenly(at_fault: BoolArray, count: int) -> np.ndarray:
    """``count`` rows in which each pattern of faults comes as evenly as what is there allows."""
    _, kind = np.unique(at_fault, axis=0, return_inverse=True)
    kind = kind.reshape(-1)
    turn = np.zeros(kind.size, dtype=int)
    for one in np.unique(kind):
        turn[kind == one] = np.arange(np.sum(kind == one))
    return np.argsort(turn, kind="stable")[:count]


def _together(one: Body, other: Body) -> Body:
    def joined(name: str) -> dict[str, Array]:
        mine, theirs = getattr(one, name), getattr(other, name)
        return {key: np.concatenate([mine[key], theirs[key]]) for key in mine}

    plain = {name: np.concatenate([getattr(one, name), getattr(other, name)]) for name in ("stature", "mass", "female")}
    return Body(**plain, lengths=joined("lengths"), ranges=joined("ranges"), shape=joined("shape"))


def _try(rng: np.random.Generator, count: int, faults: int, at_impact: bool) -> Faulty:
    body = Body.draw(rng, count)
    setup = {
        "lead_flare": np.radians(rng.uniform(5.0, 35.0, count)),
        "trail_flare": np.radians(rng.uniform(0.0, 35.0, count)),
        "stance_width": rng.uniform(0.36, 0.50, count),
        "knee_flex": np.radians(rng.uniform(16.0, 28.0, count)),
        "forward_bend": np.radians(rng.uniform(33.0, 43.0, count)),
        "pelvis_bend": np.radians(rng.uniform(17.0, 27.0, count)),
        "side_bend": np.radians(rng.uniform(2.0, 8.0, count)),
    }
    address = Address(**setup, club_length=np.full(count, 0.94), ball_position=np.full(count, 0.04))
    at_fault = np.zeros((count, len(DEPARTURES)), dtype=bool)
    for row in at_fault:
        row[rng.choice(len(DEPARTURES), faults, replace=False)] = True
    amount = np.empty((count, len(DEPARTURES)))
    for k, name in enumerate(DEPARTURES):
        a, b, c, d = FAULTS.get(name, SLIDE if IN_CM[k] else TURN_OR_KNEE)
        along = rng.uniform(0.0, (b - a) + (d - c), count)
        amount[:, k] = np.where(along < b - a, a + along, c + along - (b - a))
    wander = rng.uniform(-1.0, 1.0, amount.shape) * WANDER
    departures = np.where(at_fault, amount, wander)
    # What a swing was off at the top, which is given back before impact, is what another is off there.
    show = partial(film_at_impact, off_at_top=departures[::-1]) if at_impact else film
    shown, done = show(body, address, departures)
    tolerance = np.where(IN_CM, 0.3, 1.0)
    able = (np.abs(done - departures) <= tolerance).all(axis=1)
    part = np.flatnonzero(able)
    own = {name: np.broadcast_to(getattr(address, name), count)[part] for name in ADDRESS}
    return Faulty(body[part], Address(**own), departures[part], at_fault[part], shown[part], float(able.mean()))


def film(body: Body, address: Address, departures: Array) -> tuple[Array, Array]:
    """What the films show at the top ``(S, 13)`` and the departures as they come out ``(S, 8)``, deg and cm."""
    swing = simulate(body, address, departing(Pieces(), departures), frames=2)
    return seen(swing, -1) / READ_TO_MODEL, _done(swing, -1, Pieces()) / TO_MODEL


def film_at_impact(
    body: Body, address: Address, departures: Array, off_at_top: Array | None = None
) -> tuple[Array, Array]:
    """The same at impact, of golfers who are off at the top ``(S, 8)`` as well, in deg and cm."""
    centred = centred_at_impact()
    top = departing(Pieces(), np.zeros_like(departures) if off_at_top is None else off_at_top)
    swing = simulate(body, address, top, frames=2, impact=Impact(departing(centred, departures)))
    moment = swing.at_impact
    return seen(swing, moment) / READ_TO_MODEL, _done(swing, moment, centred) / TO_MODEL


def departing(pieces: Pieces, departures: Array) -> Pieces:
    """Pieces with so much more of each ``(S, 8)``, deg and cm; of tilt and extension, than holds the head."""
    by_piece = dict(zip(DEPARTURES, (departures * TO_MODEL).T, strict=True))
    plain = {
        name: getattr(pieces, name) + value for name, value in by_piece.items() if name not in ("tilt", "extension")
    }
    return pieces.replace(**plain, tilt=Steady(by_piece["tilt"]), extension=Steady(by_piece["extension"]))


def _done(swing: Swing, moment: int, centred: Pieces) -> Array:
    """The departures as they come out at a moment ``(S, 8)``, rad and m."""
    there = {name: value[..., moment] for name, value in swing.achieved.items()}
    due = [swing.steady[name][..., moment] if name in swing.steady else getattr(centred, name) for name in DEPARTURES]
    return np.stack([there[name] - usual for name, usual in zip(DEPARTURES, due, strict=True)], axis=-1)


def seen(swing: Swing, moment: int) -> Array:
    """What the films show of swings at a moment ``(S, 13)``, rad and m, in the order of ``READINGS``."""
    there = {name: value[..., moment] for name, value in swing.achieved.items()}
    read = swing.measures
    head, pelvis = read.head_moved[:, moment], read.pelvis_moved[:, moment]
    values = {
        **{f"head_{way}": head[:, k] for k, way in enumerate(WAYS)},
        **{f"pelvis_{way}": pelvis[:, k] for k, way in enumerate(WAYS[:2])},
        "inclination_change": read.inclination_down_the_line[:, moment] - read.inclination_down_the_line[:, 0],
        "lean_face_on": read.lean_face_on[:, moment],
        "shoulder_plane": read.shoulder_plane[:, moment],
        **{name: there[name] for name in AS_IT_STANDS},
    }
    return np.stack([values[name] for name in READINGS], axis=-1)


def noisy(faulty: Faulty, rng: np.random.Generator, length_cm: float = 1.0, angle_deg: float = 4.0) -> Faulty:
    """The same swings with readings as noisy as that."""
    noise = rng.standard_normal(faulty.shown.shape) * np.where(READ_IN_CM, length_cm, angle_deg)
    return replace(faulty, shown=faulty.shown + noise)
