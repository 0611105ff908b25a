"""Reports of experiments made by hand, with a distinct number in every field that a test does not set."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from distinct import filled

from turnstill.model.chain.lower_body import LEG_LIMITS
from turnstill.scenes.experiment.report import ExperimentReport, StepReport, TriedReport
from turnstill.scenes.experiment.sway import SwayAloneReport
from turnstill.scenes.experiment.words import sentences

BASE = filled(StepReport).model_dump() | {
    "converged": True, "hip_turn_deg": 45.0, "hip_turn_asked_deg": 45.0, "strain": 0.8,
    "strain_of": {"lead_hip_abduction": 0.4, "trail_shin_internal_rotation": 1.5, "lead_ankle_inversion": 0.1},
    "limited_by": ["trail_hip_internal_rotation"], "swing_limited_by": ["trunk"],
    "used_deg": dict.fromkeys(LEG_LIMITS, 20.0), "range_deg": dict.fromkeys(LEG_LIMITS, 35.0),
}  # fmt: skip


def steps(
    available: Sequence[float], values: Sequence[float] | None = None, **fields: Sequence[Any]
) -> list[StepReport]:
    """Steps that are alike but for what is given, a value each."""
    values = [10.0 * k for k in range(len(available))] if values is None else values
    return [
        StepReport(**BASE | {"value": v, "setting": f"{v:g}°", "available_hip_turn_deg": a}
                   | {name: each[k] for name, each in fields.items()})
        for k, (v, a) in enumerate(zip(values, available, strict=True))
    ]  # fmt: skip


def tried(name: str = "thing", from_steady: bool = False, sets: Sequence[str] = ("thing",)) -> TriedReport:
    return TriedReport(name=name, words="the thing", unit="deg", means="", sets=list(sets), from_steady=from_steady)


def report(
    made: Sequence[StepReport], what: TriedReport | None = None, alone: SwayAloneReport | None = None
) -> ExperimentReport:
    address = {"pelvis_bend_deg": 21.0, "forward_bend_deg": 38.0, "side_bend_deg": 5.0}
    return filled(ExperimentReport, experiment=what or tried(), steps=list(made), sway_alone=alone, address=address)


def said(made: Sequence[StepReport], what: TriedReport | None = None) -> list[str]:
    """All but the sentence on what people reach, which stands second and does not change."""
    return [line for line in sentences(report(made, what)) if not line.startswith("Take that as a ceiling")]
