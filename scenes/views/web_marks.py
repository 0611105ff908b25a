"""What a page's figure marks of a swing, at every moment: as ``shown_at`` has it for one."""

from __future__ import annotations

from typing import Any

import numpy as np

from ...model.swing.swing import Swing
from .names import VIEW_TITLES
from .shown_swing import angles_seen, drawn_as, head_radius_m

DECIMALS = 4
"""Of a metre: a tenth of a millimetre is a twentieth of a pixel."""


def marks_of(swing: Swing) -> dict[str, Any]:
    """Ready for JSON; lengths in metres, world.

    Args:
        swing: no batch axes, ``M`` moments.

    Returns:
        ``progress`` (M), ``head_path_m`` (M, 3), ``head_radius_m``, ``ball_m`` (3), ``middle_m`` (3), about which a
        finger turns the golfer, and ``lines``: by view, each line's ``word``, ``told`` (at which moments its angle is
        written, and how far along the line the words point), ``ends_m`` (M, 2, 3) and ``degrees`` (M, whole).
    """
    from ...render.figure.figure import Posed
    from ...render.pictures.lines import LINES

    joints = swing.skeleton.joints
    middle = 0.5 * (joints["pelvis"][0] + joints["neck_base"][0])
    seen = {view: angles_seen(swing, view) for view in VIEW_TITLES}
    return {
        "progress": [round(float(share), DECIMALS) for share in swing.progress],
        "head_path_m": _rounded(joints["head"]),
        "head_radius_m": round(head_radius_m(swing), DECIMALS),
        "ball_m": _rounded(Posed.ball_of(swing.skeleton[0])),
        "middle_m": _rounded(middle * [1.0, 0.0, 1.0]),
        "lines": {
            view: [
                {
                    "word": line.word,
                    "told": dict(line.told),
                    "ends_m": _rounded(line.ends(swing.skeleton, angles[line.word], swing.left_handed)),
                    "degrees": angles[line.word].astype(int).tolist(),
                }
                for line in LINES[drawn_as(view)]
            ]
            for view, angles in seen.items()
        },
    }


def _rounded(places: Any) -> Any:
    return np.round(np.asarray(places, float), DECIMALS).tolist()
