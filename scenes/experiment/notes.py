"""What a person should not overlook in an experiment, first of all where a body could be hurt by trying it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from ...model.golfer.ranges import SIDES
from ..setups.quantities import RANGES_SECTION
from ..setups.top_alone import top_alone
from ..words.cautions import OVER_THE_FEET, STILL_CM, beyond_reference, listed, wanted_sentence
from ..words.units import told_length
from .stretches import at_steps

if TYPE_CHECKING:
    from .report import StepReport
    from .tried import Tried

NEARLY_STRAIGHT_DEG = 5.0
"""A knee that flexes less than this is told to be nearly straight (our choice)."""


def warnings(tried: Tried, steps: Sequence[StepReport], inches: bool = False) -> list[str]:
    """Sentences about steps that cannot be relied on, heads that cannot be held, ranges that are passed, and knees.

    Args:
        tried: the experiment.
        steps: its steps' numbers.
        inches: lengths in inches.
    """
    good = [step for step in steps if step.converged]
    lines = []
    if len(good) < len(steps):
        off = at_steps(steps, [step for step in steps if not step.converged])
        lines.append(
            f"At {off} the address could not be balanced or a solver did not converge; do not rely on those steps."
        )
    if missed := [step for step in good if step.steady_miss_cm > STILL_CM]:
        worst = max(step.steady_miss_cm for step in missed)
        lines.append(
            f"No tilt and extension can hold the head at {at_steps(steps, missed)}; the nearest leaves it up to "
            f"{told_length(worst, inches)} off."
        )
    if fallen := [step for step in good if step.balance_margin_cm < 0.0]:
        worst = -min(step.balance_margin_cm for step in fallen)
        lines.append(
            f"Standing still, the golfer would fall over at {at_steps(steps, fallen)}: the centre of mass is up to "
            f"{told_length(worst, inches)} outside the base of support (the area around both soles); {OVER_THE_FEET}."
        )
    past = {line for k, step in enumerate(steps) if step.converged for line in beyond_reference(tried.swing(k))}
    if past:
        names = sorted({line.split(" (")[0].rsplit(" ", 1)[0] for line in past})
        lines.append(f"Some of these steps go past the published mean of {listed(names)}; do not force a range.")
    if tried.swing(tried.count).head.elsewhere:
        lines.append(wanted_sentence(tried.swing(tried.count), inches))
    return [*lines, *_bodily(tried, steps), *top_alone(tried.setup)]


def _bodily(tried: Tried, steps: Sequence[StepReport]) -> list[str]:
    """Where a body could be hurt by trying it."""
    lines = []
    if any(entry.section == RANGES_SECTION for entry, _ in tried.knob.parts):
        lines.append(
            f"These steps are golfers with different {tried.knob.words}, not one who stretches: a range is for a "
            "clinician to measure, without pushing, and nothing here is a range to reach."
        )
    for side in SIDES:
        straight = [step for step in steps if getattr(step, f"{side}_knee_flex_deg") < NEARLY_STRAIGHT_DEG]
        if straight:
            lines.append(
                f"At {at_steps(steps, straight)} the {side} knee is nearly straight (under "
                f"{NEARLY_STRAIGHT_DEG:.0f}°) under the body's weight; do not press it straight, and leave it out if "
                "that knee has ever been hurt."
            )
    return lines
