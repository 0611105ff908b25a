"""Why a head goes less far than hips that sway: tried by the sway alone, everything else as it was.

The legs pivot over planted feet. With both knees held, hips that slide toward the trail foot tip the belt line, lead
side down, and the lower spine above it tips with it, back toward the target. Where the knees give way so that the belt
line keeps its tilt, the head goes as far as the hips (tests/scenes/test_sway.py).
"""

from __future__ import annotations

from typing import Self

import numpy as np

from ...model.errors import TurnstillError
from ...model.swing.swing import Swing
from ..setups.perform import FEWEST_FRAMES, swing_of
from ..setups.presets import Setup
from ..setups.quantities import PIECES_SECTION, to_border
from ..setups.reports import Number, Report
from .tried import Tried

SWAY = "sway"


class SwayAloneReport(Report):
    """What sway does at the top, from the first step to the last, while everything else stays as it was, tilt and
    extension in degrees included.
    """

    hips_away_from_target_cm: Number
    """how far the pelvis goes away from the target"""
    head_away_from_target_cm: Number
    """how far the head goes away from the target"""
    belt_line_tilt_deg: Number
    """how much the belt line tips, lead side down"""

    @classmethod
    def of(cls, tried: Tried) -> Self | None:
        """What the sway alone did; None where something else was tried, or not all that was asked could be met."""
        if tried.knob.name != SWAY:
            return None
        given = tried.swing(tried.count)
        try:
            first, last = (swing_of(_trunk_stays(tried.setups[k], given), FEWEST_FRAMES) for k in (0, tried.count - 1))
        except TurnstillError:  # What holds this head is more than may be asked for.
            return None
        if not all(np.all(swing.met & swing.converged) for swing in (first, last)):
            return None
        hips, head = (
            to_border("cm", (before - after)[-1, 1])
            for before, after in (
                (first.measures.pelvis_moved, last.measures.pelvis_moved),
                (first.measures.head_moved, last.measures.head_moved),
            )
        )
        tipped = (last.achieved["belt_line_tilt"] - first.achieved["belt_line_tilt"])[-1]
        return cls(
            hips_away_from_target_cm=hips,
            head_away_from_target_cm=head,
            belt_line_tilt_deg=to_border("deg", tipped),
        )


def _trunk_stays(setup: Setup, given: Swing) -> Setup:
    """A setup with the tilt and extension in degrees that the swing as given has at the top."""
    for piece in ("tilt", "extension"):
        setup = setup.changed(PIECES_SECTION, f"{piece}_deg", to_border("deg", given.asked[piece][-1]))
    return setup
