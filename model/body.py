"""A golfer's body: lengths, masses and ranges of motion from stature, mass and sex, each open to measurement."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from . import survey
from .arrays import Array, ArrayLike
from .errors import OutOfRange, TurnstillError
from .ranges import RANGE_NAMES, draw_ranges, reference_ranges


@dataclass(frozen=True)
class Length:
    """A length as a share of stature (male, female) and where that comes from."""

    male: float
    female: float
    source: str


def _of(*terms: tuple[float, str]) -> tuple[float, float]:
    """Sum of survey proportions, each times a factor."""
    return (
        sum(factor * survey.RATIOS[name][0] for factor, name in terms),
        sum(factor * survey.RATIOS[name][2] for factor, name in terms),
    )


_SURVEY = "ANSUR II survey"
_HIP = "trochanterion_height"
_CREST_TO_LUMBOSACRAL = 0.020
"""One lumbar level, from the iliac crest line (at L4/L5, anatomy from memory) down to L5/S1: assumption."""
_ACROMION_TO_SHOULDER = 0.017
"""Height of the acromion above the shoulder's joint centre, about 3 cm (from memory)."""
_TRAGION_TO_SKULL_JOINT = 0.008
"""Height of the ear notch above the joint of skull and neck, about 1.4 cm (from memory)."""


def _plus(pair: tuple[float, float], amount: float) -> tuple[float, float]:
    return pair[0] + amount, pair[1] + amount


LENGTHS: Mapping[str, Length] = {
    "thigh": Length(
        *_of((1.0, _HIP), (-1.0, "lateral_femoral_epicondyle_height")),
        f"{_SURVEY}, trochanter to femoral epicondyle; the hip's centre taken at the trochanter's height",
    ),
    "shank": Length(
        *_of((1.0, "lateral_femoral_epicondyle_height"), (-1.0, "lateral_malleolus_height")),
        f"{_SURVEY}, femoral epicondyle to malleolus",
    ),
    "ankle_height": Length(*_of((1.0, "lateral_malleolus_height")), f"{_SURVEY}, malleolus"),
    "foot": Length(*_of((1.0, "foot_length")), _SURVEY),
    "heel_to_ankle": Length(*_of((0.25, "foot_length")), "a quarter of the foot (from memory)"),
    "heel_to_ball": Length(*_of((1.0, "heel_to_ball_length")), f"{_SURVEY}, heel to ball of the foot"),
    "hip_joint_width": Length(
        0.100, 0.100,
        "Bell et al. 1989 and Harrington et al. 2007 agree on 173 mm for a pelvis of 240 mm between the spines "
        "(that breadth from memory), about 0.10 of stature",
    ),
    "lumbosacral_up": Length(
        *_plus(_of((1.0, "iliocristale_height"), (-1.0, _HIP)), -_CREST_TO_LUMBOSACRAL),
        f"{_SURVEY}, iliac crest less one lumbar level (assumption)",
    ),
    "lumbosacral_back": Length(0.020, 0.020, "assumption, about 3.5 cm behind the hips"),
    "spine": Length(
        *_plus(_of((1.0, "cervicale_height"), (-1.0, "iliocristale_height")), _CREST_TO_LUMBOSACRAL),
        f"{_SURVEY}, iliac crest to cervicale and one level more, lumbosacral joint to base of neck",
    ),
    "neck_up": Length(
        *_plus(_of((1.0, "vertex_to_cervicale"), (-1.0, "tragion_to_vertex")), -_TRAGION_TO_SKULL_JOINT),
        f"{_SURVEY}, cervicale to ear notch less 1.4 cm (from memory)",
    ),
    "neck_forward": Length(0.020, 0.020, "assumption: the ear stands over the hip"),
    "head_up": Length(
        *_plus(_of((1.0, "tragion_to_vertex")), _TRAGION_TO_SKULL_JOINT - 0.065),
        "centre half a head (chin to vertex 0.130, Drillis & Contini 1966) below the vertex",
    ),
    "head_forward": Length(0.008, 0.008, "assumption"),
    "vertex_up": Length(0.065, 0.065, "half of chin to vertex 0.130, Drillis & Contini 1966 (R2)"),
    "nose_forward": Length(*_plus(_of((0.5, "head_length")), 0.012), f"half the head's length, {_SURVEY}, and 2 cm"),
    "nose_drop": Length(0.013, 0.013, "tip of the nose below the head's centre, about 2 cm (from memory)"),
    "shoulder_width": Length(
        *_of((0.88, "biacromial_breadth")), f"0.88 (assumption) of the breadth over the acromia, {_SURVEY}"
    ),
    "shoulder_drop": Length(
        *_plus(_of((1.0, "cervicale_height"), (-1.0, "acromial_height")), _ACROMION_TO_SHOULDER),
        f"{_SURVEY}, cervicale to acromion and 3 cm (from memory)",
    ),
    "shoulder_forward": Length(0.010, 0.010, "assumption"),
    "sternum_drop": Length(
        *_of((1.0, "cervicale_height"), (-1.0, "suprasternale_height")), f"{_SURVEY}, cervicale to suprasternale"
    ),
    "sternum_forward": Length(0.040, 0.040, "assumption, about 7 cm before the spine"),
    "upper_arm": Length(
        *_plus(_of((1.0, "acromion_radiale_length")), -_ACROMION_TO_SHOULDER),
        f"{_SURVEY}, acromion to radiale less 3 cm (from memory)",
    ),
    "forearm": Length(*_of((1.0, "radiale_stylion_length")), f"{_SURVEY}, radiale to stylion"),
    "wrist_to_grip": Length(
        *_of((1.0, "forearm_grip_length"), (-1.0, "radiale_stylion_length")), f"{_SURVEY}, centre of grip"
    ),
}  # fmt: skip
"""Every length of the chain as a share of stature."""

LENGTH_NAMES: tuple[str, ...] = tuple(LENGTHS)
SMALLEST_LENGTH_M, LARGEST_LENGTH_M = 0.005, 1.5


@dataclass(frozen=True)
class Body:
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

    @classmethod
    def from_stature(
        cls,
        stature_m: ArrayLike = 1.756,
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
            TurnstillError: a value that no body has, or an unknown name.
        """
        female = _female(sex)
        stature, mass = np.asarray(stature_m, dtype=float), np.asarray(mass_kg, dtype=float)
        batch = np.broadcast_shapes(
            stature.shape, mass.shape, female.shape,
            *(np.shape(v) for v in (lengths or {}).values()), *(np.shape(v) for v in (ranges or {}).values()),
        )  # fmt: skip
        stature, mass, female = (np.broadcast_to(a, batch) for a in (stature, mass, female))
        shape = survey.shape(stature, mass, female)
        own_lengths = {n: stature * survey.by_sex(female, row.male, row.female) for n, row in LENGTHS.items()}
        own_lengths.update(_measured(lengths, own_lengths, "length", SMALLEST_LENGTH_M, LARGEST_LENGTH_M, batch))
        own_ranges = reference_ranges(female)
        own_ranges.update(_measured(ranges, own_ranges, "range of motion", np.radians(1.0), np.pi, batch))
        return cls(stature, mass, female, own_lengths, own_ranges, shape)

    @classmethod
    def draw(cls, rng: np.random.Generator, count: int) -> Body:
        """``count`` realistic bodies, half of them women: size, proportions and ranges drawn from the survey."""
        female = (np.arange(count) % 2).astype(float)
        stature, mass = survey.draw(rng, count, female)
        own = survey.draw_ratios(rng, count, female)
        # A person's proportion replaces the mean of the survey in every length built on it.
        average = cls.from_stature(stature, mass, female)
        lengths = dict(average.lengths)
        swaps = {
            "thigh": ((_HIP, 1.0), ("lateral_femoral_epicondyle_height", -1.0)),
            "shank": (("lateral_femoral_epicondyle_height", 1.0), ("lateral_malleolus_height", -1.0)),
            "ankle_height": (("lateral_malleolus_height", 1.0),),
            "spine": (("cervicale_height", 1.0), (_HIP, -1.0)),
            "shoulder_width": (("biacromial_breadth", 0.88),),
            "foot": (("foot_length", 1.0),),
        }
        for name, terms in swaps.items():
            change = sum(factor * (own[key] - survey.ratio(key, female)) for key, factor in terms if key in own)
            lengths[name] = np.maximum(lengths[name] + stature * change, 0.2 * lengths[name])
        return cls(stature, mass, average.female, lengths, draw_ranges(rng, count, female), average.shape)

    @property
    def batch(self) -> tuple[int, ...]:
        """Batch shape."""
        return self.stature.shape

    def flat(self, batch: tuple[int, ...], repeats: int = 1) -> Body:
        """The same bodies broadcast to ``batch``, in one axis, each ``repeats`` times in a row."""

        def spread(value: Array) -> Array:
            return np.repeat(np.broadcast_to(value, batch).reshape(-1), repeats)

        return Body(
            spread(self.stature), spread(self.mass), spread(self.female),
            {name: spread(value) for name, value in self.lengths.items()},
            {name: spread(value) for name, value in self.ranges.items()},
            {name: spread(value) for name, value in self.shape.items()},
        )  # fmt: skip


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
