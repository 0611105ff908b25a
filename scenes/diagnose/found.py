"""From a golfer and what was read to a diagnosis with all that is asked of it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from scipy.special import xlogy

from ...model.arrays import Array, BoolArray
from ...model.errors import TurnstillError
from ...model.films.after_diagnosis import (
    beyond_centred,
    cannot_tell_apart,
    hardly_explained,
    leading,
    take_back,
    worth_reading,
)
from ...model.films.diagnose import Diagnosis, diagnose
from ...model.films.fault_prior import FaultPrior
from ...model.films.readings import READINGS
from ...model.golfer.pieces import DEPARTURES, MAY_BE_STEADY, PIECES
from ..setups.perform import (
    FEWEST_FRAMES,
    Performed,
    address_of,
    body_of,
    head_of,
    impact_of,
    perform,
    pieces_of,
)
from ..setups.presets import Setup
from ..setups.quantities import IMPACT_SECTION, PIECES_SECTION, Departure, echo, section_entries, to_model
from ..words.cautions import NOTICEABLE_CM
from .mend import Mend, mend
from .moments import IMPACT, Moment
from .of_body import head_scale
from .readings import Asked, Number, asked_at_each

PRIOR = FaultPrior()
PER_UNIT: Array = np.array([1.0 / to_model(PIECES[name].unit, 1.0) for name in DEPARTURES])
"""Degrees or centimetres of a piece per rad or m."""
READING_PER_UNIT: Array = np.array([1.0 / to_model(unit, 1.0) for unit in READINGS.values()])
SURE = 0.7
"""With less than this probability that a piece is at fault no feel is advised (our choice)."""
FEWEST_FOR_A_FEEL = 2
"""Readings; on a lone one no feel is advised, however sure it seems (our choice: nothing checks it)."""
NONE_IS_RIGHT = (*MAY_BE_STEADY, "sway", "hips_toward_ball")
"""Pieces of which more or less than the centred golfer's, or than holds the head, is a fault by itself."""
LEAST_WORTH = 0.05
"""A further reading that takes away less of the doubt is not worth a word (our choice)."""


@dataclass(frozen=True)
class Apart:
    """Two pieces that these readings cannot tell apart.

    Attributes:
        pieces: both.
        reading: the unread one that would tell them apart best; none where none tells much.
        worth: the share of the doubt between the two that it is expected to take away.
    """

    pieces: tuple[str, str]
    reading: str | None
    worth: float


@dataclass(frozen=True)
class Diagnosed:
    """One swing's diagnosis at one moment; in degrees and centimetres, in the order of ``DEPARTURES`` or ``READINGS``.

    Attributes:
        performed: the turn that departures are counted from, address and top, and impact where that was read.
        asked: what was read.
        found: the diagnosis of one swing.
        likeliest: ``(8,)`` departures from what holds the head, under the most probable hypothesis.
        from_centred: ``(8,)`` the same from the centred preset's turn of this golfer.
        made: ``(8,)`` what the pieces come to.
        due: ``(13,)`` what the films of the turn without departures would show.
        shown: ``(13,)`` what they would show under the most probable hypothesis.
        back: ``(8, 13)`` what films would show differently with the most likely amount of each piece taken back alone,
            everything else as it was, tilt and extension in degrees included.
        beyond: ``(8, 8)`` the departures there would then be.
        apart: pairs that cannot be told apart.
        next_reading: the reading to make next; none where none tells much.
        next_worth: the share of the doubt that it is expected to take away.
        mend: where nothing fits, a change of the readings with which they would.
        unexplained: where the most probable hypothesis hardly explains the head, the reading of it that it leaves most
            of; none where it explains it, or nothing fits.
    """

    performed: Performed
    asked: Asked
    found: Diagnosis
    likeliest: Array
    from_centred: Array
    made: Array
    due: Array
    shown: Array
    back: Array
    beyond: Array
    apart: tuple[Apart, ...]
    next_reading: str | None
    next_worth: float
    mend: Mend | None
    unexplained: str | None

    @property
    def moment(self) -> Moment:
        """When it was read."""
        return self.asked.moment

    @property
    def fits(self) -> bool:
        """Whether a body could show these readings."""
        return bool(self.found.fits[0])

    @property
    def amount(self) -> Array:
        """``(3, 8)`` low, most likely and high if the piece is at fault."""
        return np.stack([self.found.low[0], self.found.amount[0], self.found.high[0]]) * PER_UNIT

    @property
    def sure(self) -> list[int]:
        """Pieces to give a feel of, what brings the head back furthest first.

        They are at fault with enough probability and to one side, and their opposite makes no fault.
        """
        enough = self._told & ~self._opposite_is_a_fault
        gain = self.brings_back
        order = gain if np.max(gain[enough], initial=0.0) >= NOTICEABLE_CM else self.found.largest[0]
        return sorted(np.flatnonzero(enough).tolist(), key=lambda k: -order[k])

    @property
    def withheld(self) -> list[int]:
        """Pieces that would be among them, were their opposite no fault."""
        return np.flatnonzero(self._told & self._opposite_is_a_fault).tolist()

    @property
    def _told(self) -> BoolArray:
        low, _, high = self.amount
        readings_tell = self.fits and len(self.asked.readings) >= FEWEST_FOR_A_FEEL and self.unexplained is None
        return np.asarray((self.found.probability[0] >= SURE) & (low * high > 0.0) & readings_tell)

    @property
    def _opposite_is_a_fault(self) -> BoolArray:
        """Whether the turn that is counted from itself aims, by more than anybody wanders, where the opposite leads."""
        film = self.found.film
        right = film.centred().asked
        aim = np.array([film.asked[name] - right[name] if name in NONE_IS_RIGHT else 0.0 for name in DEPARTURES])
        usual = np.array([PRIOR.spike[name] for name in DEPARTURES])
        return np.asarray((np.abs(aim) > usual) & (aim * self.found.amount[0] < 0.0))

    @property
    def brings_back(self) -> Array:
        """``(8,)`` cm, how much nearer to where it is wanted the head would be with each piece taken back alone."""
        heads = [k for k, name in enumerate(READINGS) if name.startswith("head_")]
        off = self.shown[heads] - self.due[heads]
        return np.asarray(np.linalg.norm(off) - np.linalg.norm(off + self.back[:, heads], axis=1))


def check_reference(setup: Setup, moment: Moment) -> None:
    """A turn that departures can be counted from, at that moment.

    Raises:
        TurnstillError: tilt or extension as a plain number, which holds no head.
    """
    section = IMPACT_SECTION if moment is IMPACT else PIECES_SECTION
    for key, entry in section_entries(section).items():
        value = setup.section(section).get(key, Departure())
        if entry.bare in MAY_BE_STEADY and not isinstance(value, Departure):
            raise TurnstillError(
                f"{entry.name} of {setup.name} is {echo(value)}, but a diagnosis counts {entry.name} from what holds "
                f"the head for the turn that was made; set {entry.name}=steady, or steady+5 for one that aims at "
                "more."
            )


def diagnosed(
    setup: Setup,
    *,
    options: Mapping[str, Sequence[Number]],
    read: Sequence[str],
    group_sd: Mapping[str, Number | None] | None,
    sd: Sequence[str],
    head_width_cm: Number | None,
    head_length_cm: Number | None,
) -> tuple[Diagnosed, ...]:
    """Diagnose one swing at each moment at which it was read: at the top, then at impact.

    What is off at the top is given back before impact, so neither says anything of the other.

    Args:
        setup: whose body and address, and the turn that departures are counted from.
        options: reading at the top to what its own option was given.
        read: ``NAME=VALUE`` in any unit; of impact where the name begins so.
        group_sd: ``head``, ``pelvis`` and ``angle`` to the uncertainty of all of that group.
        sd: ``NAME=VALUE``, the uncertainty of one.
        head_width_cm: for readings in head widths.
        head_length_cm: for readings in head lengths.

    Raises:
        TurnstillError: for anything a user can mend.
    """
    scale = head_scale(setup, head_width_cm, head_length_cm)
    every = asked_at_each(options, read, group_sd or {}, sd, scale)
    for asked in every:
        check_reference(setup, asked.moment)
    performed = perform(setup, FEWEST_FRAMES, through_impact=every[-1].moment is IMPACT)
    return tuple(_diagnosed(performed, asked) for asked in every)


def _diagnosed(performed: Performed, asked: Asked) -> Diagnosed:
    """The diagnosis of one moment."""
    setup = performed.setup
    person = body_of(setup), address_of(setup)
    reference = impact_of(setup) if asked.moment is IMPACT else pieces_of(setup)

    def of(seen: Mapping[str, float]) -> Diagnosis:
        return diagnose(*person, seen, asked.seen_sd_of_read, PRIOR, reference, head=head_of(setup))

    found = of(asked.seen)
    return answered(performed, asked, found, None if found.fits[0] else mend(asked, found.film, PRIOR, of))


def answered(performed: Performed, asked: Asked, found: Diagnosis, mended: Mend | None = None) -> Diagnosed:
    """A diagnosis of one swing with all that is asked of it.

    Args:
        performed: the turn that departures are counted from.
        asked: what was read.
        found: the diagnosis.
        mended: where nothing fits, a change of the readings with which they would.
    """
    film, who = found.film, found.swings
    none = np.zeros((1, len(DEPARTURES)))
    likeliest = found.likeliest()
    made = film.amounts(who, likeliest)
    fits = bool(found.fits[0])
    pairs = _pairs(found, asked) if fits else ()
    best = int(found.weight[0].argmax())
    taken = take_back(found)
    answer = Diagnosed(
        performed=performed,
        asked=asked,
        found=found,
        likeliest=likeliest[0] * PER_UNIT,
        from_centred=beyond_centred(found)[0] * PER_UNIT,
        made=made[0] * PER_UNIT,
        due=film.readings(who, none)[0] * READING_PER_UNIT,
        shown=found.hypotheses.shown[0, best] * READING_PER_UNIT,
        back=taken.shown[0] * READING_PER_UNIT,
        beyond=taken.beyond[0] * PER_UNIT,
        apart=pairs,
        next_reading=None,
        next_worth=0.0,
        mend=mended,
        unexplained=_unexplained(found, asked) if fits else None,
    )
    if not fits or ((answer.sure or answer.withheld) and not pairs):
        return answer
    reading, worth = _next(found, asked, pairs)
    return replace(answer, next_reading=reading, next_worth=worth)


def _unexplained(found: Diagnosis, asked: Asked) -> str | None:
    """Where the head is hardly explained, its reading of which most is left; of films those count that are told."""
    names = [list(READINGS)[k] for k in found.read]
    told = np.array([name in asked.seen for name in names])
    if not (hardly_explained(found)[0] & told).any():
        return None
    shown = found.hypotheses.shown[0, found.weight[0].argmax(), found.read]
    of_head = told & [name.startswith("head_") for name in names]
    return names[np.where(of_head, np.abs(found.seen[0] - shown), -1.0).argmax()]


def _doubt(found: Diagnosis, among: BoolArray) -> float:
    """Entropy of which of some pieces departs furthest, nats."""
    share = found.largest[0] * among
    share = share / max(float(share.sum()), 1e-300)
    return float(-xlogy(share, share).sum())


def _best_reading(found: Diagnosis, asked: Asked, among: BoolArray) -> tuple[str | None, float]:
    worth = worth_reading(found, asked.seen_sd, among)[0]
    best = int(worth.argmax())
    share = min(float(worth[best]) / max(_doubt(found, among), 1e-12), 1.0)
    return (list(READINGS)[best], share) if share >= LEAST_WORTH else (None, share)


def _pairs(found: Diagnosis, asked: Asked) -> tuple[Apart, ...]:
    """The likeliest pair first."""
    largest = found.largest[0]
    pairs = [
        (a, b) if largest[a] >= largest[b] else (b, a) for a, b in np.argwhere(np.triu(cannot_tell_apart(found)[0]))
    ]
    out = []
    for a, b in sorted(pairs, key=lambda pair: -largest[pair[0]] * largest[pair[1]]):
        among = np.isin(np.arange(len(DEPARTURES)), (a, b))
        reading, worth = _best_reading(found, asked, among)
        out.append(Apart((DEPARTURES[a], DEPARTURES[b]), reading, worth))
    return tuple(out)


def _next(found: Diagnosis, asked: Asked, pairs: Sequence[Apart]) -> tuple[str | None, float]:
    """What tells the candidates apart best that could have moved the head; where one is left, the pairs left open."""
    among = leading(found, asked.seen, asked.seen_sd, PRIOR.slabs)[0]
    if among.sum() < 2:
        among = np.array([any(name in pair.pieces for pair in pairs) for name in DEPARTURES])
    return _best_reading(found, asked, among) if among.any() else (None, 0.0)
