"""A simulated swing as the pictures show it: the posture, the head's way there, and the angle that a view sees."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from ...model.swing.swing import Swing

if TYPE_CHECKING:
    from ...render.pictures.picture import SwingView

VIEWS = ("face-on", "down-the-line")


def shown_at(swing: Swing, title: str, view: str, moment: int = -1, path_step: int = 1) -> SwingView:
    """What one picture shows of a swing.

    Args:
        swing: no batch axes, ``M`` moments.
        title: its name.
        view: one of ``VIEWS``.
        moment: index of the posture shown beside the address; the top by default.
        path_step: the head's path takes every so many moments, and the last.
    """
    from ...render.pictures.picture import DOWN_THE_LINE, FACE_ON, SwingView

    last = range(len(swing.progress))[moment]
    seen = swing.measures
    # Each view is marked with the lean it shows, so that the line drawn and the angle written agree.
    lean = np.degrees(seen.lean_face_on if view == "face-on" else seen.inclination_down_the_line)
    at_address, here = np.round(lean[[0, last]]) + 0.0
    way = np.append(np.arange(0, last, path_step), last)
    return SwingView(
        address=swing.skeleton[0],
        top=swing.skeleton[last],
        head_path=np.asarray(swing.skeleton.joints["head"], float)[way],
        head_radius_m=float(np.max(swing.body.lengths["vertex_up"])) * 1.1,
        angle_address_deg=float(at_address),
        angle_top_deg=float(here),
        view=FACE_ON if view == "face-on" else DOWN_THE_LINE,
        title=title,
        left_handed=swing.left_handed,
    )
