"""A simulated swing as the pictures show it: the posture, the head's way there, and the angles that a view sees."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from ...model.swing.swing import Swing
from ..words.moments import moment_name

if TYPE_CHECKING:
    from ...model.arrays import Array, ArrayLike
    from ...render.pictures.lines import Angle
    from ...render.pictures.picture import SwingView


def shown_at(swing: Swing, title: str, view: str, moment: int = -1, path_step: int = 1) -> SwingView:
    """What one picture shows of a swing.

    Args:
        swing: no batch axes, ``M`` moments.
        title: its name.
        view: a key of ``VIEW_TITLES``.
        moment: index of the posture shown beside the address; the top by default.
        path_step: the head's path takes every so many moments, and the last.
    """
    from ...render.pictures.picture import SwingView

    last = range(len(swing.progress))[moment]
    way = np.append(np.arange(0, last, path_step), last)
    return SwingView(
        address=swing.skeleton[0],
        top=swing.skeleton[last],
        head_path=np.asarray(swing.skeleton.joints["head"], float)[way],
        head_radius_m=head_radius_m(swing),
        angles=_angles(swing, view, last),
        view=drawn_as(view),
        title=title,
        left_handed=swing.left_handed,
        moment=moment_name(float(swing.progress[last])),
    )


def head_radius_m(swing: Swing) -> float:
    """Of the circle drawn round the head."""
    return float(np.max(swing.body.lengths["vertex_up"])) * 1.1


def drawn_as(view: str) -> str:
    """What the pictures call a view, a key of ``VIEW_TITLES``."""
    from ...render.pictures.lines import ABOVE, DOWN_THE_LINE, FACE_ON

    return {"face-on": FACE_ON, "down-the-line": DOWN_THE_LINE, "above": ABOVE}[view]


def angles_seen(swing: Swing, view: str) -> dict[str, Array]:
    """Each line's angle at every moment, ``(M,)`` whole degrees; the one seen from this view, so that line and number
    agree.
    """
    from ...render.pictures.lines import HIP_TURN, LEAD_FLARE, SHOULDER_TURN, TRAIL_FLARE

    def whole(angle: ArrayLike) -> Array:
        degrees = np.round(np.degrees(np.asarray(angle, float))) + 0.0
        return np.broadcast_to(degrees, len(swing.progress))

    if view == "face-on":
        return {"lean": whole(swing.measures.lean_face_on)}
    if view == "down-the-line":
        return {"inclination": whole(swing.measures.inclination_down_the_line)}
    return {
        HIP_TURN: whole(swing.achieved["hip_turn"]),
        SHOULDER_TURN: whole(swing.achieved["shoulder_turn"]),
        LEAD_FLARE: whole(swing.address.lead_flare),
        TRAIL_FLARE: whole(swing.address.trail_flare),
    }


def _angles(swing: Swing, view: str, moment: int) -> dict[str, Angle]:
    """The same at address and at a moment."""
    from ...render.pictures.lines import Angle

    seen = angles_seen(swing, view)
    return {word: Angle(float(angle[0]), float(angle[moment])) for word, angle in seen.items()}
