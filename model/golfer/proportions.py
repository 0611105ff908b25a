"""Which lengths go together in one body.

Measured lengths stand in for the survey's means one by one, so that a slip of the tape or of the keyboard can make a
body whose bones do not meet. Four rules, in the order in which they are asked:

- a length that the survey gives is at least half and at most twice what goes with the stature (assumption: proportions
  spread by 2 to 7 % of their mean, one sd, ``survey.RATIOS``, so nobody of ordinary build is near);
- one that it does not give, a tenth of stature at most, is at most a fifth (assumption);
- of the two bones of a limb neither is more than twice the other, and the shoulders are no wider apart than an arm is
  long: the chain needs it. Bones of one and two parts fold to a third of their length together; near the top the trail
  hand came as near its shoulder as 0.4 of it in the worst of many bodies drawn within the first rule (not proved), so
  every arm closes;
- heel, ankle, ball and toes of a foot are in that order.
"""

from __future__ import annotations

from collections.abc import Mapping
from itertools import pairwise

import numpy as np

from ..arrays import Array, BoolArray
from ..errors import OutOfRange, TurnstillError

FROM_MEAN = 2.0
"""How many times the mean, or what part of it, a length of the survey may be."""
LARGEST_OTHER = 0.2
"""Of stature, of a length that the survey does not give."""
LIMBS = (("thigh", "shank"), ("upper_arm", "forearm"))
WITHIN_LIMB = 2.0
"""How many times the one bone of a limb the other may be."""
ALONG_THE_FOOT = ("heel_to_ankle", "heel_to_ball", "foot")
_ROUNDING = 1e-9


def check(lengths: Mapping[str, Array], mean: Mapping[str, Array], of_survey: set[str], stature: Array) -> None:
    """Refuse lengths that no body has together.

    Args:
        lengths: of every body, ``(...)`` m.
        mean: what goes with its stature and sex, ``(...)`` m.
        of_survey: names of those that the survey gives.
        stature: ``(...)`` m.

    Raises:
        TurnstillError: with the lengths and the proportion that is allowed.
    """
    for name, value in lengths.items():
        surveyed = name in of_survey
        low = mean[name] / FROM_MEAN if surveyed else np.zeros_like(stature)
        high = mean[name] * FROM_MEAN if surveyed else LARGEST_OTHER * stature
        at = _first((value < low - _ROUNDING) | (value > high + _ROUNDING))
        if at is not None:
            raise _out_of_range(name, float(value[at]), float(low[at]), float(high[at]), float(stature[at]), surveyed)
    for pair in LIMBS:
        for longer, shorter in (pair, pair[::-1]):
            _at_most(lengths, longer, shorter, WITHIN_LIMB, "in one limb")
    for nearer, farther in pairwise(ALONG_THE_FOOT):
        _at_most(lengths, nearer, farther, 1.0, "along one foot")
    arm = lengths["upper_arm"] + lengths["forearm"]
    _at_most({**lengths, "arm": arm}, "shoulder_width", "arm", 1.0, "where both hands hold one club")


def _first(wrong: BoolArray) -> tuple[int, ...] | None:
    """Where the first of ``wrong (...)`` is; None where there is none."""
    if not wrong.any():
        return None
    return tuple(int(axis) for axis in np.unravel_index(int(wrong.argmax()), wrong.shape))


def _out_of_range(name: str, value: float, low: float, high: float, stature: float, surveyed: bool) -> OutOfRange:
    given, low, high, stature = (100.0 * length for length in (value, low, high, stature))
    # Rounded inward, so that an end that is read off the sentence is allowed.
    allowed = f"from {_up(low)} to {_down(high)} cm" if surveyed else f"up to {_down(high)} cm"
    why = "half to twice the survey's mean" if surveyed else "a fifth of it"
    return OutOfRange(
        name, given, low, high,
        f"{name} was {given:.4g} cm, but goes with a stature of {stature:.4g} cm only {allowed} ({why}); set a length "
        "in that range.",
    )  # fmt: skip


def _at_most(lengths: Mapping[str, Array], one: str, other: str, times: float, where: str) -> None:
    at = _first(lengths[one] > times * lengths[other] + _ROUNDING)
    if at is None:
        return
    long, short = (100.0 * float(lengths[name][at]) for name in (one, other))
    told = "twice as long as" if times == WITHIN_LIMB else "as long as"
    raise TurnstillError(
        f"{one} was {long:.4g} cm and {other} {short:.4g} cm, but {where} {one} can at most be {told} {other}; set "
        f"{one} to {_down(times * short)} cm at most."
    )


def _down(centimetres: float) -> str:
    return f"{np.floor(centimetres * 10.0 + 1e-6) / 10.0:g}"


def _up(centimetres: float) -> str:
    return f"{np.ceil(centimetres * 10.0 - 1e-6) / 10.0:g}"
