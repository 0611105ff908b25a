"""The shades of a map: white where the head is still, darker away on both sides, each about twice as far as the last.

Blue is away from the target, from the ball, and down; ochre is toward and up: two hues that colour-blind readers tell
apart, and equally dark at equal distance, so that in grey a map shows how far and its lines say which way. A shade
means the same distance on every map.
"""

from __future__ import annotations

from bisect import bisect_right

BAND = "#ffffff"
"""The still band itself, on every panel."""
ZERO = "#eeeeec"
"""Where the head has not moved in the panel's own direction."""
AWAY = ("#d3dde8", "#b1c4d8", "#8ba8c6", "#668bb1", "#446d98", "#264f7c")
TOWARD = ("#ecdcc3", "#dec296", "#cba469", "#b28541", "#926620", "#6f490a")
_FIRST = 0.25
_CLEAR = 1.5
"""The first round mark is at least so many times the still band's half width."""


def marks(still: float) -> list[float]:
    """Where shades change, in the unit of ``still``: the still band's half width, then round numbers that double."""
    first = _FIRST
    while first < _CLEAR * still:
        first *= 2.0
    return [still, *(first * 2.0**k for k in range(len(AWAY) - 1))]


def shade(moved: float, still: float) -> str:
    """The colour of a place where the head moved so far, both in one unit."""
    step = bisect_right(marks(still), abs(moved))
    return ZERO if step == 0 else (TOWARD if moved > 0 else AWAY)[step - 1]
