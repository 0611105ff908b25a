"""Readings of a golfer whose body is given: what a head's width and length are in them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from ..setups.perform import body_of
from ..setups.presets import Setup
from .readings import Asked, Number, Scale, asked_at_each, scale_of


def head_scale(setup: Setup, width: Number | None = None, length: Number | None = None) -> Scale:
    """What a head's width and length are.

    Args:
        setup: whose body it is.
        width: as it was measured; the body's own if it was not.
        length: likewise.

    Raises:
        TurnstillError: for what no head measures.
    """
    shape = body_of(setup).shape
    return scale_of(width, length, *(float(np.squeeze(shape[name])) for name in ("head_breadth", "head_length")))


def asked_at_impact(
    read: Sequence[str], sd: Sequence[str], setup: Setup, group_sd: Mapping[str, Number | None] | None = None
) -> Asked:
    """What was read at impact alone, at least one reading.

    Args:
        read: ``impact.NAME=VALUE`` in any unit.
        sd: likewise, the uncertainty of one.
        setup: whose head a head's width is.
        group_sd: as of `asked_at_each`.

    Raises:
        TurnstillError: for anything that cannot be a reading or an uncertainty.
    """
    (asked,) = asked_at_each({}, read, group_sd or {}, sd, head_scale(setup))
    return asked
