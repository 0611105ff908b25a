"""What the moments of a swing are called: in per cent of the backswing done, past the top of the way down done.

``render/web/moments.js`` says the same where a page moves, but *past the ball*, for which a column is too narrow.
"""

from __future__ import annotations

import math

AT_TOP, AT_IMPACT = 1.0, 2.0
"""Progress at the top and at impact; 0 at address."""


def moment_name(progress: float) -> str:
    """For example ``25 %``, ``top``, ``50 % down``, ``impact``, ``past``."""
    if progress == 0.0:
        return "address"
    if progress > AT_IMPACT:
        return "past"
    named = {AT_TOP: "top", AT_IMPACT: "impact"}.get(progress)
    return named or f"{per_cent(progress)} %{' down' if progress > AT_TOP else ''}"


def moment_done(progress: float) -> str:
    """The same in four letters, for a column in per cent whose rows past the top stand apart: ``25``, ``top``, ``50``,
    ``ball``, ``past``.
    """
    if progress > AT_IMPACT:
        return "past"
    return {AT_TOP: "top", AT_IMPACT: "ball"}.get(progress) or str(per_cent(progress))


def per_cent(progress: float) -> int:
    """Of the backswing, past the top of the way down; halves up, as a page rounds, so that a moment has one number in
    sentences, tables and beside what moves.
    """
    return math.floor(100.0 * (progress - AT_TOP if progress > AT_TOP else progress) + 0.5)
