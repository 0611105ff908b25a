"""Points of the skeleton as a TRC file of marker paths (tab-separated text, millimetres).

The names are those that gait laboratories use (common practice). Most points are joint centres, which no skin marker
could sit on; ``MARKERS`` says which are not.
"""

from __future__ import annotations

import numpy as np

from ..model.arrays import Array
from ..model.swing import Swing

MIDDLE = {
    "VERTEX": "vertex",  # on the skin: top of the head
    "NOSE": "nose",  # on the skin: its tip
    "HEAD": "head",  # middle of the head
    "C7": "neck_base",  # centre of the column at the seventh neck vertebra's height, not the skin behind it
    "CLAV": "sternum",  # on the skin: notch above the breastbone
    "L5S1": "lumbosacral",  # joint centre
    "MIDHJC": "pelvis",  # halfway between the hips' joint centres
}
SIDED = {
    "SJC": "shoulder", "EJC": "elbow", "WJC": "wrist", "HJC": "hip", "KJC": "knee", "AJC": "ankle",  # joint centres
    "HEE": "heel",  # on the ground under the heel's back
    "TOE": "toe",  # on the ground under the foot's tip, not over the second toe's joint
}  # fmt: skip
CLUB = {"GRIP": "grip", "CLUBHEAD": "clubhead"}


def markers(left_handed: bool) -> dict[str, str]:
    """Marker names to joints of the skeleton; a left-hander's lead side is the right."""
    sides = {"L": "trail", "R": "lead"} if left_handed else {"L": "lead", "R": "trail"}
    sided = {f"{letter}{name}": f"{joint}_{side}" for letter, side in sides.items() for name, joint in SIDED.items()}
    return {**MIDDLE, **sided, **CLUB}


def trc_text(swing: Swing, seconds: Array) -> str:
    """The file: one row a moment, the axes those of the room (toward the ball, toward the target, up).

    Args:
        swing: no batch axes, ``M`` moments.
        seconds: ``(M,)`` evenly spaced.
    """
    named = markers(swing.left_handed)
    places = np.stack([swing.skeleton.joints[joint] for joint in named.values()], axis=1) * 1000
    moments, count = places.shape[:2]
    rate = f"{(moments - 1) / float(seconds[-1] - seconds[0]):.6f}"
    rows = [
        "PathFileType\t4\t(X/Y/Z)\tturnstill.trc",
        "DataRate\tCameraRate\tNumFrames\tNumMarkers\tUnits\tOrigDataRate\tOrigDataStartFrame\tOrigNumFrames",
        f"{rate}\t{rate}\t{moments}\t{count}\tmm\t{rate}\t1\t{moments}",
        "Frame#\tTime\t" + "\t\t\t".join(named),
        "\t\t" + "\t".join(f"{axis}{k}" for k in range(1, count + 1) for axis in "XYZ"),
        "",
    ]
    for k, (time, row) in enumerate(zip(seconds, places.reshape(moments, -1), strict=True), start=1):
        rows.append("\t".join([str(k), f"{time:.6f}", *(f"{value:.4f}" for value in row)]))
    return "\n".join(rows) + "\n"
