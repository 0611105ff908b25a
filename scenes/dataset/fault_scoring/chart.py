"""What came about against what was said: whether a classifier's probabilities can be believed, at a glance."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from ...paper.axes import LEFT, RIGHT, Axes, Scale, plain, svg
from ...paper.styles import STYLES, Style, key
from ..scoring.page import ShownChart

if TYPE_CHECKING:
    from .parts import Reliability, ReliabilityBin

WIDTH, HEIGHT = 360, 374
"""CSS pixels: both axes are equally long, so that what is said as often as it comes about lies on the diagonal."""
TOP, BOTTOM = 14, 44
MARKS = (0.0, 25.0, 50.0, 75.0, 100.0)
EXACT = Style("#4a4a4a", "2 4", "cross")
"""Of the diagonal."""
LEAST_R, MOST_R = 2.5, 7.0
"""Radius of the marker of a tenth with hardly any answers and of one with all of them, pixels."""


def reliability_chart(reliability: Sequence[Reliability]) -> ShownChart | None:
    """A line of every kind of answer, a marker a tenth of probability, larger where there are more answers.

    Returns:
        None where nothing was answered.
    """
    styles = list(zip(reliability, STYLES, strict=False))
    told = [(one, style, _told(one)) for one, style in styles if _told(one)]
    if not told:
        return None
    axes = Axes(Scale(0.0, 100.0, LEFT, WIDTH - RIGHT), Scale(0.0, 100.0, HEIGHT - BOTTOM, TOP))
    parts = axes.levels(MARKS, plain) + axes.uprights(MARKS, plain)
    parts += [axes.x_name("said, per cent"), axes.course("as said", (0.0, 100.0), (0.0, 100.0), EXACT)]
    parts.append(f'<text class="end" x="{LEFT + 6}" y="{TOP + 11}">came about, per cent</text>')
    for one, style, bins in told:
        said, came = ([100.0 * share for share in shares] for shares in zip(*[pair for _, pair in bins], strict=True))
        parts.append(axes.course(one.of, said, came, style))
        most = max(part.answers for part, _ in bins)
        for (part, _), x, y in zip(bins, said, came, strict=True):
            r = LEAST_R + (MOST_R - LEAST_R) * (part.answers / most) ** 0.5
            # The second kind is a ring, since its answers may lie on those of the first.
            look = f'fill="{style.colour}"' if style is STYLES[0] else f'fill="none" stroke="{style.colour}"'
            parts.append(
                f'<circle data-of="{one.of}" cx="{axes.x(x):.1f}" cy="{axes.y(y):.1f}" r="{r:.1f}" '
                f'{look} stroke-width="2.4"/>'
            )
    words = "; ".join(
        f"{one.of}: "
        + ", ".join(
            f"{100 * said:.0f} said {100 * came:.0f} came about of {part.answers}" for part, (said, came) in bins
        )
        for one, _, bins in told
    )
    return ShownChart(
        "Calibration: on the dotted line what is said comes about as often; a larger dot has more answers",
        svg(parts, f"What came about against what was said, per cent: {words}.", WIDTH, HEIGHT),
        [(key(style), one.of) for one, style, _ in told],
    )


def _told(one: Reliability) -> list[tuple[ReliabilityBin, tuple[float, float]]]:
    """Tenths with answers, and of each what was said and what came about."""
    return [
        (part, (part.said_share, part.true_share))
        for part in one.bins
        if part.said_share is not None and part.true_share is not None
    ]
