"""The page of a comparison whose arcs are of no matter to a test."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from distinct import filled

from turnstill.scenes.compare import page
from turnstill.scenes.setups.taken_along import TakenAlong
from turnstill.scenes.simulate.report import SwingReport


def arcs_of(count: int) -> list[TakenAlong]:
    """Arcs of so many swings whose numbers are all different."""
    return [filled(TakenAlong, start=6000 + 10 * k) for k in range(count)]


def comparison_page(reports: Sequence[SwingReport], *parts: Any, **named: Any) -> str:
    """As `scenes.compare.page.comparison_page`."""
    return page.comparison_page(reports, *parts, **({"arcs": arcs_of(len(reports))} | named))
