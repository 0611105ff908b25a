"""What a page's figure marks of a swing, at every moment: as ``shown_at`` has it for one."""

from __future__ import annotations

from typing import Any

import numpy as np

from ...model.swing.swing import Swing
from .names import VIEW_TITLES
from .shown_swing import shown_at

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

    joints = swing.skeleton.joints
    last = len(swing.progress) - 1
    shown = {view: [shown_at(swing, "", view, moment) for moment in range(last + 1)] for view in VIEW_TITLES}
    (first, *_), *_ = shown.values()
    middle = 0.5 * (joints["pelvis"][0] + joints["neck_base"][0])
    return {
        "progress": [round(float(share), DECIMALS) for share in swing.progress],
        "head_path_m": _rounded(joints["head"]),
        "head_radius_m": round(first.head_radius_m, DECIMALS),
        "ball_m": _rounded(Posed.ball_of(swing.skeleton[0])),
        "middle_m": _rounded(middle * [1.0, 0.0, 1.0]),
        "lines": {
            view: [
                {
                    "word": line.word,
                    "told": dict(line.told),
                    "ends_m": _rounded(np.stack([one.ends(line)["top"] for one in moments])),
                    "degrees": [int(one.angles[line.word].top_deg) for one in moments],
                }
                for line in moments[0].lines
            ]
            for view, moments in shown.items()
        },
    }


def _rounded(places: Any) -> Any:
    return np.round(np.asarray(places, float), DECIMALS).tolist()
