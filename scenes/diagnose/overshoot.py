"""Where a feel by itself would take a head that was read, beyond the place that it is to be brought back to."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from ...model.arrays import Array
from ..words.cautions import NOTICEABLE_CM
from ..words.golfer import is_wanted_elsewhere
from ..words.pieces import NAMES, head_words
from .readings import HEADS

if TYPE_CHECKING:
    from .feel import FeelReport
    from .parts import PieceReport
    from .report import MomentDiagnosis

TIMES = 2.0
"""A head off by less than so many times what reading may be off is not told of: that may be chance (our choice)."""


def overshoot(report: MomentDiagnosis, feel: FeelReport, inches: bool) -> list[str]:
    """Where the head would then be, where that is off to a side on which it was not read.

    Told of ways that were read alone, and of no less than ``TIMES`` what reading may be off. Another piece that these
    readings make likeliest at fault with it is named where putting it back too would lessen that; what the two do is
    added up.
    """
    read = {one.reading: one for one in report.readings}
    wanted = np.array([0.0, report.head_held.toward_target_cm, report.head_held.up_cm])
    seen = np.array([read[name].value if name in read else np.nan for name in HEADS]) - wanted
    sd = np.array([read[name].sd if name in read else np.inf for name in HEADS])
    then = seen + _of_head(feel.alone_it_would_change)
    least = np.maximum(TIMES * sd, NOTICEABLE_CM)
    past = (np.abs(then) > least) & ((seen * then < 0.0) | (np.abs(seen) <= sd))
    axes = tuple(int(axis) for axis in np.flatnonzero(past))
    if not axes:
        return []
    place = "where it is wanted" if is_wanted_elsewhere(report.head_held) else "at address"
    words = f"From where it was read, the head would then be {head_words(then, inches, axes)} than {place}"
    other = _other(report, feel)
    if other is None:
        return [f"{words}."]
    left = then - _of_head(other.head_by_itself)
    name = NAMES[other.piece]
    if np.all(np.abs(left[past]) <= least[past]):
        return [f"{words}, unless {name} is put back too."]
    if np.linalg.norm(left[past]) > np.linalg.norm(then[past]) - NOTICEABLE_CM:
        return [f"{words}."]
    return [f"{words}, and with {name} put back too still about {head_words(left, inches, axes)}."]


def _other(report: MomentDiagnosis, feel: FeelReport) -> PieceReport | None:
    """The other piece that these readings make likeliest at fault, where it is known which way it departs."""
    for one in report.each_piece:
        known = one.low is not None and one.high is not None and one.low * one.high > 0.0
        if one.piece in report.likeliest_at_fault and one.piece != feel.piece and known:
            return one
    return None


def _of_head(moved: object) -> Array:
    """``(3,)`` cm, in the order of ``HEADS``."""
    return np.array([getattr(moved, f"{name}_cm") for name in HEADS], dtype=float)
