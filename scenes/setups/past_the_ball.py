"""Whether a swing that goes through impact passes the ball there, and what is said of one that does not.

What is drawn of such a swing is the body as it was asked; only of its club at the ball there is nothing to tell.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from ...model.questions.strike import FROM, TO, Striking
from ...model.swing.phases import Phases
from .perform import address_of, body_of, head_of, impact_of, pieces_of
from .top_alone import top_alone

if TYPE_CHECKING:
    from ...model.swing.doing import Doing
    from ...model.swing.swing import Swing
    from .presets import Setup


def striking_of(setup: Setup, do: Doing | None = None) -> Striking:
    """The golfer of a setup, asked for its strike.

    Args:
        setup: what is asked for.
        do: how the stages are done; at once if not given.

    Raises:
        TurnstillError: what was asked cannot be simulated.
    """
    asked = body_of(setup), address_of(setup), pieces_of(setup), impact_of(setup), head_of(setup)
    return Striking.of(*asked) if do is None else Striking.of(*asked, do)


def not_passed(whose: str) -> str:
    """The sentence on a swing whose club does not pass the ball."""
    return (
        f"At impact so much is asked of {whose} that the club does not pass the ball; ask for less at impact, "
        "for example of tilt and of the turns."
    )


def impact_notes(setup: Setup, swing: Swing) -> list[str]:
    """What is to be noted of a setup's impact: that it has no part where its swing ends at the top, or that the club
    does not pass the ball where it goes on; else nothing.
    """
    if swing.impact is None:
        return top_alone(setup)
    passes = _seen_to_pass(swing) or bool(striking_of(setup).arc().passes)
    return [] if passes else [not_passed("this swing")]


def _seen_to_pass(swing: Swing) -> bool:
    """Whether the drawn club goes from before the ball to beyond it, its arms being as they are asked at both.

    It settles what needs no closer look, which would take two thirds of the time of a swing.
    """
    way = Phases(swing.progress).way
    near = np.flatnonzero((way >= FROM) & (way <= TO))[[0, -1]]
    at, toward = swing.skeleton.joints, -1.0 if swing.left_handed else 1.0
    before, beyond = toward * (at["clubhead"] - at["ball"])[near, 1]
    return bool(before < 0.0 < beyond and not swing.arms_limited[near].any())
