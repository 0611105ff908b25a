"""A golfer's body: lengths, masses and ranges of motion from stature, mass and sex, each open to measurement."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from ..arrays import Array, ArrayLike
from ..batch import Batch, common_batch
from ..errors import OutOfRange, TurnstillError
from . import de_leva, proportions, survey
from .ranges import RANGE_NAMES, draw_ranges, reference_ranges


@dataclass(frozen=True)
class Length:
    """A length as a share of stature, and where that comes from.

    Attributes:
        terms: survey proportions that add up to it, each with its factor.
        plus: what is added for men and for women.
        source: in words.
    """

    terms: tuple[tuple[float, str], ...]
    plus: tuple[float, float]
    source: str

    def share(self, female: Array, own: Mapping[str, Array] | None = None) -> Array:
        """Share of stature, shape of ``female``; a person's ``own`` proportions stand in for the survey's means."""
        known = own or {}
        total = survey.by_sex(female, *self.plus)
        for factor, name in self.terms:
            total = total + factor * (known[name] if name in known else survey.ratio(name, female))
        return np.asarray(total)


def _mean(*terms: tuple[float, str]) -> tuple[float, float]:
    """Sum of the survey's mean proportions for men and for women, each times a factor."""
    return (
        sum(factor * survey.RATIOS[name][0] for factor, name in terms),
        sum(factor * survey.RATIOS[name][2] for factor, name in terms),
    )


def _both(value: float) -> tuple[float, float]:
    return value, value


_SURVEY = "ANSUR II survey"
_HIP, _KNEE, _ANKLE = "trochanterion_height", "lateral_femoral_epicondyle_height", "lateral_malleolus_height"
_CREST_TO_LUMBOSACRAL = 0.020
"""One lumbar level, from the iliac crest line (at L4/L5, anatomy from memory) down to L5/S1: assumption."""
_LUMBOSACRAL = tuple(mean - _CREST_TO_LUMBOSACRAL for mean in _mean((1.0, "iliocristale_height"), (-1.0, _HIP)))
_ACROMION_TO_SHOULDER = 0.017
"""Height of the acromion above the shoulder's joint centre, about 3 cm (from memory)."""
_TRAGION_TO_SKULL_JOINT = 0.008
"""Height of the ear notch above the joint of skull and neck, about 1.4 cm (from memory)."""
HAND_BREADTHS_APART = 0.75
"""From where one hand holds a club to where the other does (common practice)."""
_HALF_HEAD = 0.065
"""Half of chin to vertex, 0.130 (Drillis & Contini 1966, R2)."""

# fmt: off
LENGTHS: Mapping[str, Length] = {
    "thigh": Length(((1.0, _HIP), (-1.0, _KNEE)), _both(0.0),
                    f"{_SURVEY}, trochanter to femoral epicondyle; the hip's centre taken at the trochanter's height"),
    "shank": Length(((1.0, _KNEE), (-1.0, _ANKLE)), _both(0.0), f"{_SURVEY}, femoral epicondyle to malleolus"),
    "ankle_height": Length(((1.0, _ANKLE),), _both(0.0), f"{_SURVEY}, malleolus"),
    "foot": Length(((1.0, "foot_length"),), _both(0.0), _SURVEY),
    "heel_to_ankle": Length(((0.25, "foot_length"),), _both(0.0), "a quarter of the foot (from memory)"),
    "heel_to_ball": Length(((1.0, "heel_to_ball_length"),), _both(0.0), f"{_SURVEY}, heel to ball of the foot"),
    "hip_joint_width": Length((), _both(0.100),
                              "Bell et al. 1989 and Harrington et al. 2007 agree on 173 mm for a pelvis of 240 mm "
                              "between the spines (that breadth from memory), about 0.10 of stature"),
    "lumbosacral_up": Length((), (_LUMBOSACRAL[0], _LUMBOSACRAL[1]),
                             f"{_SURVEY}, mean iliac crest above the trochanter, less one lumbar level (assumption)"),
    "lumbosacral_back": Length((), _both(0.020), "assumption, about 3.5 cm behind the hips"),
    "spine": Length(((1.0, "cervicale_height"), (-1.0, _HIP)), (-_LUMBOSACRAL[0], -_LUMBOSACRAL[1]),
                    f"{_SURVEY}, trochanter to cervicale less what is below the lumbosacral joint"),
    "neck_up": Length(((-1.0, "cervicale_height"), (-1.0, "tragion_to_vertex")), _both(1.0 - _TRAGION_TO_SKULL_JOINT),
                      f"{_SURVEY}, cervicale to ear notch less 1.4 cm (from memory)"),
    "neck_forward": Length((), _both(0.020), "assumption: the ear stands over the hip"),
    "head_up": Length(((1.0, "tragion_to_vertex"),), _both(_TRAGION_TO_SKULL_JOINT - _HALF_HEAD),
                      "centre half a head below the vertex"),
    "head_forward": Length((), _both(0.008), "assumption"),
    "vertex_up": Length((), _both(_HALF_HEAD), "half of chin to vertex 0.130, Drillis & Contini 1966 (R2)"),
    "nose_forward": Length(((0.5, "head_length"),), _both(0.012), f"half the head's length, {_SURVEY}, and 2 cm"),
    "nose_drop": Length((), _both(0.013), "tip of the nose below the head's centre, about 2 cm (from memory)"),
    "shoulder_width": Length(((0.88, "biacromial_breadth"),), _both(0.0),
                             f"0.88 (assumption) of the breadth over the acromia, {_SURVEY}"),
    "shoulder_drop": Length(((1.0, "cervicale_height"), (-1.0, "acromial_height")), _both(_ACROMION_TO_SHOULDER),
                            f"{_SURVEY}, cervicale to acromion and 3 cm (from memory)"),
    "shoulder_forward": Length((), _both(0.010), "assumption"),
    "sternum_drop": Length(((1.0, "cervicale_height"), (-1.0, "suprasternale_height")), _both(0.0),
                           f"{_SURVEY}, cervicale to suprasternale"),
    "sternum_forward": Length((), _both(0.040), "assumption, about 7 cm before the spine"),
    "upper_arm": Length(((1.0, "acromion_radiale_length"),), _both(-_ACROMION_TO_SHOULDER),
                        f"{_SURVEY}, acromion to radiale less 3 cm (from memory)"),
    "forearm": Length(((1.0, "radiale_stylion_length"),), _both(0.0), f"{_SURVEY}, radiale to stylion"),
    "wrist_to_grip": Length(((1.0, "forearm_grip_length"), (-1.0, "radiale_stylion_length")), _both(0.0),
                            f"{_SURVEY}, centre of grip"),
    "hands_apart": Length(((HAND_BREADTHS_APART, "hand_breadth"),), _both(0.0),
                          f"three quarters of the hand's breadth, {_SURVEY}: the trail little finger lies over the "
                          "lead hand (common practice)"),
}
# fmt: on
"""Every length of the chain as a share of stature."""

LENGTH_NAMES: tuple[str, ...] = tuple(LENGTHS)
SMALLEST_LENGTH_M, LARGEST_LENGTH_M = 0.005, 1.5


@dataclass(frozen=True)
class Body(Batch):
    """A body, or a batch of bodies: every array has the batch shape ``(...)``.

    Attributes:
        stature: m.
        mass: kg.
        female: 0 or 1.
        lengths: the names of ``LENGTHS`` to m.
        ranges: the names of ``RANGE_NAMES`` to rad, one-sided magnitudes.
        shape: breadths, depths and girths (see ``survey.SHAPE``) to m.
    """

    stature: Array
    mass: Array
    female: Array
    lengths: Mapping[str, Array]
    ranges: Mapping[str, Array]
    shape: Mapping[str, Array]

    @cached_property
    def segment_masses(self) -> Mapping[str, Array]:
        """Mass of each kind of segment of ``de_leva.SEGMENTS``, kg; of paired ones that of one side."""
        return {name: self.mass * share for name, share in de_leva.mass_fractions(self.female).items()}

    @cached_property
    def segment_centres(self) -> Mapping[str, Array]:
        """How far along each kind of segment its mass centre lies, see ``de_leva.centre_fraction``."""
        return de_leva.centre_fractions(self.female)

    @classmethod
    def from_stature(
        cls,
        stature_m: ArrayLike = 1.75,
        mass_kg: ArrayLike = 80.0,
        sex: ArrayLike = "male",
        lengths: Mapping[str, ArrayLike] | None = None,
        ranges: Mapping[str, ArrayLike] | None = None,
    ) -> Body:
        """A body of average build for its stature, mass and sex, with measured values where given.

        Args:
            stature_m: ``(...)`` m.
            mass_kg: ``(...)`` kg.
            sex: ``"male"`` or ``"female"``, or an array of them, or of 0 and 1 (female).
            lengths: measured lengths, m.
            ranges: measured ranges of motion, rad.

        Raises:
            TurnstillError: a value that no body has, lengths that none has together (see ``proportions``), an unknown
                name, or shapes that do not broadcast.
        """
        female = _female(sex)
        stature, mass = np.asarray(stature_m, dtype=float), np.asarray(mass_kg, dtype=float)
        batch = common_batch(
            stature_m=stature, mass_kg=mass, sex=female, lengths=dict(lengths or {}), ranges=dict(ranges or {})
        )
        stature, mass, female = (np.broadcast_to(a, batch) for a in (stature, mass, female))
        shape = survey.shape(stature, mass, female)
        mean = {name: stature * row.share(female) for name, row in LENGTHS.items()}
        own_lengths = mean | _measured(lengths, mean, "length", SMALLEST_LENGTH_M, LARGEST_LENGTH_M, batch)
        if lengths:
            proportions.check(own_lengths, mean, {name for name, row in LENGTHS.items() if row.terms}, stature)
        own_ranges = reference_ranges(female)
        own_ranges.update(_measured(ranges, own_ranges, "range of motion", np.radians(1.0), np.pi, batch))
        return cls(stature, mass, female, own_lengths, own_ranges, shape)

    @classmethod
    def draw(cls, rng: np.random.Generator, count: int) -> Body:
        """``count`` realistic bodies, half of them women: size, proportions and ranges drawn from the survey."""
        female = (np.arange(count) % 2).astype(float)
        stature, mass = survey.draw(rng, count, female)
        own = survey.draw_ratios(rng, count, female)
        lengths = {name: stature * row.share(female, own) for name, row in LENGTHS.items()}
        return cls(stature, mass, female, lengths, draw_ranges(rng, count, female), survey.shape(stature, mass, female))


def _female(sex: ArrayLike) -> Array:
    values = np.asarray(sex)
    if values.dtype.kind in "US":
        wrong = values[~np.isin(values, ("male", "female"))]
        if wrong.size:
            raise TurnstillError(f'sex was "{wrong.flat[0]}", but must be "male" or "female".')
        return np.asarray(values == "female", dtype=float)
    return np.asarray(values, dtype=float)


def _measured(
    given: Mapping[str, ArrayLike] | None, known: Mapping[str, Array], what: str, low: float, high: float,
    batch: tuple[int, ...],
) -> dict[str, Array]:  # fmt: skip
    out: dict[str, Array] = {}
    for name, value in (given or {}).items():
        if name not in known:
            raise TurnstillError(f"There is no {what} named {name}; there are: {', '.join(known)}.")
        numbers = np.asarray(value, dtype=float)
        wrong = numbers[~((numbers >= low) & (numbers <= high))]
        if wrong.size:
            raise OutOfRange(name, float(wrong.flat[0]), low, high)
        out[name] = np.broadcast_to(numbers, batch)
    return out


__all__ = ["LENGTHS", "LENGTH_NAMES", "RANGE_NAMES", "Body", "Length"]
