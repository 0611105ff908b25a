"""A simulated swing as the pictures show it: the posture, the head's way there, and the angles that a view sees."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from ...model.swing.swing import Swing

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
    from ...render.pictures.lines import ABOVE, DOWN_THE_LINE, FACE_ON
    from ...render.pictures.picture import SwingView

    last = range(len(swing.progress))[moment]
    way = np.append(np.arange(0, last, path_step), last)
    return SwingView(
        address=swing.skeleton[0],
        top=swing.skeleton[last],
        head_path=np.asarray(swing.skeleton.joints["head"], float)[way],
        head_radius_m=float(np.max(swing.body.lengths["vertex_up"])) * 1.1,
        angles=_angles(swing, view, last),
        view={"face-on": FACE_ON, "down-the-line": DOWN_THE_LINE, "above": ABOVE}[view],
        title=title,
        left_handed=swing.left_handed,
    )


def _angles(swing: Swing, view: str, moment: int) -> dict[str, Angle]:
    """Each line's angle at address and at a moment; the one seen from this view, so that line and number agree."""
    from ...render.pictures.lines import HIP_TURN, LEAD_FLARE, SHOULDER_TURN, TRAIL_FLARE, Angle

    def whole(angle: Array) -> Angle:
        return Angle(*(float(np.round(np.degrees(angle[k])) + 0.0) for k in (0, moment)))

    def planted(flare: ArrayLike) -> Angle:
        return whole(np.broadcast_to(np.asarray(flare, float), len(swing.progress)))

    if view == "face-on":
        return {"lean": whole(swing.measures.lean_face_on)}
    if view == "down-the-line":
        return {"inclination": whole(swing.measures.inclination_down_the_line)}
    return {
        HIP_TURN: whole(swing.achieved["hip_turn"]),
        SHOULDER_TURN: whole(swing.achieved["shoulder_turn"]),
        LEAD_FLARE: planted(swing.address.lead_flare),
        TRAIL_FLARE: planted(swing.address.trail_flare),
    }
