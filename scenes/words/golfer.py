"""Whom a result is about, in words."""

from __future__ import annotations

from typing import Any

from .units import told_stature


def golfer_words(body: dict[str, Any], inches: bool = False) -> str:
    """For example ``175 cm, 80 kg, male, right-handed``.

    Args:
        body: of ``turnstill.scenes.simulate.report.body_report``.
        inches: body height in inches.
    """
    height = told_stature(body["stature_cm"], inches)
    return f"{height}, {body['mass_kg']:.0f} kg, {body['sex']}, {body['handedness']}-handed"
