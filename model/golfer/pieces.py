"""The pieces of the pivot: what a golfer may do more or less of, and when.

Values are those asked for at the top of the backswing; on the way there each piece follows its timing, a monotone
curve of swing progress from 0 (address) to 1 (top).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, fields, replace
from typing import TypeAlias

import numpy as np

from ..arrays import Array, ArrayLike
from ..batch import Batch
from ..errors import OutOfRange, TurnstillError


@dataclass(frozen=True)
class Steady(Batch):
    """What keeps the head still, plus ``plus`` rad at the top: a piece given as a departure."""

    plus: ArrayLike = 0.0


@dataclass(frozen=True)
class Quantity:
    """How a quantity is shown and what is physically sensible to ask, in its unit at the border."""

    unit: str
    low: float
    high: float
    meaning: str

    @property
    def per_unit(self) -> float:
        """What one radian or metre is in the unit."""
        return 100.0 if self.unit == "cm" else float(np.degrees(1.0))

    def check(self, name: str, value: ArrayLike | Steady) -> None:
        """Refuse a value, rad or m, that is not a finite number in its range.

        Raises:
            TurnstillError: with the value in its unit at the border.
        """
        try:
            numbers = np.asarray(plain(value))
        except (TypeError, ValueError):
            raise TurnstillError(f"{name} must be a number or an array of numbers, not {value!r}.") from None
        shown, slack = numbers * self.per_unit, 1e-9 * (self.high - self.low)
        wrong = shown[~((shown >= self.low - slack) & (shown <= self.high + slack))]
        if wrong.size:
            given = f"{wrong.flat[0]:.6g} {self.unit}"
            model = "metres" if self.unit == "cm" else "radians"
            raise OutOfRange(
                name, float(wrong.flat[0]), self.low, self.high,
                f"{name} was {given}, but must be a number between {self.low:g} and {self.high:g} {self.unit}; "
                f"give it in {model}{', for example np.radians(45.0)' if model == 'radians' else ''}.",
            )  # fmt: skip


PIECES: Mapping[str, Quantity] = {
    "hip_turn": Quantity("deg", -60.0, 150.0, "pelvis turn away from the target"),
    "shoulder_turn": Quantity("deg", -90.0, 200.0, "turn of the shoulder line away from the target"),
    "tilt": Quantity("deg", -60.0, 90.0, "side tilt of the ribcage, lead side down"),
    "extension": Quantity("deg", -60.0, 100.0, "forward bend given up since address"),
    "lead_flex_change": Quantity("deg", -90.0, 90.0, "lead knee: more flexed than at address is positive"),
    "trail_flex_change": Quantity("deg", -90.0, 90.0, "trail knee: straighter than at address is negative"),
    "sway": Quantity("cm", -40.0, 40.0, "pelvis centre away from the target"),
    "hips_toward_ball": Quantity("cm", -40.0, 40.0, "pelvis centre toward the ball"),
    "lead_heel_rise": Quantity("cm", 0.0, 10.0, "lead heel off the ground, the ball of the foot staying down"),
    "trail_heel_rise": Quantity("cm", 0.0, 10.0, "trail heel off the ground, the ball of the foot staying down"),
}
"""Every piece with its unit and the range that may be asked for."""

HEELS = ("lead_heel_rise", "trail_heel_rise")
DEPARTURES: tuple[str, ...] = tuple(name for name in PIECES if name not in HEELS)
"""The pieces that can be more or less than they should; heels rise as they are told."""
MAY_BE_STEADY = ("tilt", "extension")
SPREAD: Mapping[str, float] = {
    "hip_turn": float(np.radians(7.0)),
    "shoulder_turn": float(np.radians(8.0)),
    "lead_flex_change": float(np.radians(5.0)),
    "trail_flex_change": float(np.radians(5.0)),
    "sway": 0.015,
    "hips_toward_ball": 0.01,
}
"""How far golfers' pieces spread about the defaults of `Pieces`, one sd in rad and m (assumption)."""


@dataclass(frozen=True)
class Pieces(Batch):
    """What is asked for at the top: radians and metres, scalars or arrays of any batch shape.

    The defaults are the centred pivot of common practice. ``Steady`` tilt and extension are what keep this
    body's head still; see ``turnstill.model.chain.steady``.
    """

    hip_turn: ArrayLike = float(np.radians(45.0))
    shoulder_turn: ArrayLike = float(np.radians(90.0))
    tilt: ArrayLike | Steady = field(default_factory=Steady)
    extension: ArrayLike | Steady = field(default_factory=Steady)
    lead_flex_change: ArrayLike = float(np.radians(15.0))
    trail_flex_change: ArrayLike = float(np.radians(-12.0))
    sway: ArrayLike = 0.0
    hips_toward_ball: ArrayLike = 0.0
    lead_heel_rise: ArrayLike = 0.0
    trail_heel_rise: ArrayLike = 0.0

    def __post_init__(self) -> None:
        for name, quantity in PIECES.items():
            value = getattr(self, name)
            if departs(value) and name not in MAY_BE_STEADY:
                raise TurnstillError(f"{name} cannot be steady; only {' and '.join(MAY_BE_STEADY)} can.")
            quantity.check(name, value)
        self.batch  # noqa: B018  The shapes must go together.

    @classmethod
    def draw(cls, rng: np.random.Generator, count: int) -> Pieces:
        """``count`` pivots that golfers make, the head held still.

        Each piece alone is normal about its default with an sd of `SPREAD`, kept within two sd; that golfers who turn
        further also move their knees more is left out.
        """
        usual = cls()
        return cls(**{name: plain(getattr(usual, name)) + scattered(rng, count, sd) for name, sd in SPREAD.items()})

    def amounts(self) -> dict[str, Array]:
        """Every piece as a plain number, rad or m; of one that departs from steady, by how much."""
        return {item.name: plain(getattr(self, item.name)) for item in fields(self)}

    def replace(self, **changes: ArrayLike | Steady) -> Pieces:
        """A copy with some pieces changed."""
        return replace(self, **changes)  # type: ignore[arg-type]


def plain(piece: ArrayLike | Steady) -> Array:
    """A piece as a plain number ``(...)``, rad or m; of one that departs from steady, by how much."""
    return np.asarray(piece.plus if isinstance(piece, Steady) else piece, dtype=float)


def departs(piece: ArrayLike | Steady) -> bool:
    """Whether a piece is what keeps the head still and a departure from it, not a number of its own."""
    return isinstance(piece, Steady)


def scattered(rng: np.random.Generator, count: int, sd: float) -> Array:
    """``(count,)`` normal numbers of mean zero, kept within two sd."""
    return sd * np.clip(rng.standard_normal(count), -2.0, 2.0)


Timing: TypeAlias = Mapping[str, Sequence[tuple[float, float]]]
"""Piece name to knots ``(progress, share)``: how much of the piece is done when. Missing pieces go evenly."""


def share_done(timing: Timing | None, piece: str, progress: Array) -> Array:
    """Share of a piece done at each ``progress (M,)``, from 0 at address to 1 at the top.

    Between knots a monotone cubic (Fritsch & Carlson 1980, SIAM J. Numer. Anal. 17:238-246) keeps order.

    Raises:
        TurnstillError: if the knots do not rise from (0, 0) to (1, 1).
    """
    if not timing or piece not in timing:
        return progress
    knots = np.asarray(timing[piece], dtype=float)
    problem = None
    if knots.ndim != 2 or knots.shape[1] != 2 or len(knots) < 2 or not np.all(np.isfinite(knots)):
        problem = "must be a list of at least two pairs of numbers"
    elif np.any(knots[0] != 0.0) or np.any(knots[-1] != 1.0):
        problem = "must start at [0, 0] and end at [1, 1]"
    elif np.any(np.diff(knots[:, 0]) <= 0.0) or np.any(np.diff(knots[:, 1]) < 0.0):
        problem = "must rise from knot to knot"
    if problem:
        raise TurnstillError(f"The timing of {piece} {problem}, for example [[0, 0], [0.5, 0.7], [1, 1]].")
    from scipy.interpolate import PchipInterpolator  # a third of a second, and only for a swing with a timing

    return np.asarray(PchipInterpolator(knots[:, 0], knots[:, 1])(progress), dtype=float)
