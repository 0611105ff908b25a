"""Neighbouring steps told together: ``0° to 10° and 35°``."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby
from typing import TYPE_CHECKING

from ..words.cautions import listed

if TYPE_CHECKING:
    from .report import StepReport


def stretch(first: StepReport, last: StepReport) -> str:
    """The settings from one step to another."""
    return first.setting if first.setting == last.setting else f"{first.setting} to {last.setting}"


def at_steps(steps: Sequence[StepReport], chosen: Sequence[StepReport]) -> str:
    """The settings of some of the steps, neighbours joined.

    Args:
        steps: all of them, in order.
        chosen: those meant, at least one, in order.
    """
    runs = (list(run) for meant, run in groupby(steps, key=lambda step: step in chosen) if meant)
    return listed([stretch(run[0], run[-1]) for run in runs])
