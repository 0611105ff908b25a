"""How far people turn the pelvis on planted feet: published figures, beside which what joints allow is a ceiling.

Degrees here, as in `ranges`. Marks: R read in the source or its abstract. What explains the difference, and what does
not, is in docs/model.md.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class MeasuredTurn:
    """The most that people turned the pelvis in one posture.

    Attributes:
        hip_turn_deg: mean of the sample.
        trunk_bend_deg: forward inclination of the trunk.
        people: who they were.
        study: the source as a sentence names it.
        source: where the figure is from, how it follows, and what is not told of the posture.
    """

    hip_turn_deg: float
    trunk_bend_deg: float
    people: str
    study: str
    source: str


_FALL_DEG, _FALL_SHARE = 25.5, 0.40
"""What a trunk inclined by 45 degrees takes away, as printed: 25.5 degrees, which are 40 %."""
_MONTGOMERY = (
    "Montgomery, Boocock & Hing 2011, Clin Biomech 26:707-712, 20 men, abstract (R): a trunk inclined 45 deg lowers "
    "the most pelvic rotation by 25.5 deg, 40 %; "
)
_NOT_TOLD = "; feet, knees and the axis of rotation are not in the abstract"

UPRIGHT = MeasuredTurn(
    _FALL_DEG / _FALL_SHARE, 0.0, "20 men", "Montgomery et al. 2011", f"{_MONTGOMERY}standing is 25.5 / 0.40{_NOT_TOLD}"
)
BENT = MeasuredTurn(
    _FALL_DEG / _FALL_SHARE - _FALL_DEG, 45.0, UPRIGHT.people, UPRIGHT.study,
    f"{_MONTGOMERY}bent is 25.5 / 0.40 - 25.5{_NOT_TOLD}; Delphinus & Sayers 2013, Ergonomics 56:659-666, 57 people, "
    "abstract (R): 46 % less at 45 deg",
)  # fmt: skip
MEASURED_TURNS = (UPRIGHT, BENT)
"""In the order of their bend."""
