"""A report of a strike in which every number is another, and strikes of presets, each worked out once."""

from __future__ import annotations

from functools import cache
from typing import Any

from diagnosis_reports import PIECES
from distinct import filled

from turnstill.scenes.setups.presets import load
from turnstill.scenes.strike.report import StrikeReport, StruckSwing
from turnstill.scenes.strike.work import Struck, struck


def report(**of_swing: Any) -> StrikeReport:
    """One swing's strike; every number another."""
    raw = filled(StrikeReport, items=8)
    swing = raw.swings[0]
    pieces = [
        one.replaced(piece=piece, unit=unit)
        for one, (piece, (_, unit)) in zip(swing.pieces_at_impact, PIECES.items(), strict=True)
    ]
    neck = [one.replaced(toward=way) for one, way in zip(swing.neck, ("ball", "target", "up"), strict=False)]
    body = swing.body.replaced(handedness="right")
    swing = swing.replaced(pieces_at_impact=pieces, neck=neck, body=body, given_back=["tilt"], **of_swing)
    return raw.replaced(swings=[swing], sentences=["One sentence."])


REPORT = report()


@cache
def struck_preset(name: str) -> Struck:
    """The strike of a preset."""
    return struck(load(name))


def swing_of_preset(name: str) -> StruckSwing:
    """Its report."""
    return StruckSwing.of_swing(struck_preset(name))
