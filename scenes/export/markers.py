"""The points of a swing that files of marker paths hold, and their names.

The names are those that gait laboratories use (common practice). Most points are joint centres, which no skin marker
could sit on; the descriptions say which are.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ...model.arrays import Array
from ...model.swing.swing import Swing

MIDDLE = {
    "VERTEX": ("vertex", "top of the head"), "NOSE": ("nose", "tip of the nose"),
    "HEAD": ("head", "middle of the head"), "C7T1": ("neck_base", "joint centre of C7 and T1"),
    "STERNUM": ("sternum", "the model's sternum, under CLAV"), "L5S1": ("lumbosacral", "joint centre of L5 and S1"),
    "MIDHJC": ("pelvis", "half way between the hips' joint centres"),
}  # fmt: skip
"""Names to joints of the skeleton, and what they are."""
JOINTS = {"SJC": "shoulder", "EJC": "elbow", "WJC": "wrist", "HJC": "hip", "KJC": "knee", "AJC": "ankle"}
SIDED = {name: (joint, f"joint centre of the {joint}") for name, joint in JOINTS.items()} | {
    "HEE": ("heel", "ground under the heel's back"), "TOE": ("toe", "ground under the foot's tip"),
}  # fmt: skip
CLUB = {"GRIP": ("grip", "middle of the hands on the grip"), "CLUBHEAD": ("clubhead", "sole of the club's head")}
SKIN_MIDDLE = {
    "C7": ("c7", "skin behind C7"), "T10": ("t10", "skin behind T10"),
    "CLAV": ("suprasternale", "skin at the notch above the breastbone"),
    "STRN": ("xiphoid", "skin at the breastbone's lower end"),
}  # fmt: skip
"""Names to points of the body's surface (``render.skin_points``)."""
SKIN_SIDED = {
    "GTR": ("trochanter", "skin over the greater trochanter"),
    "KNE": ("epicondyle", "skin over the lateral epicondyle of the thigh bone"),
    "ANK": ("malleolus", "skin over the lateral malleolus"),
}
Named = dict[str, tuple[str, str]]


@dataclass(frozen=True)
class MarkerPaths:
    """Markers through a swing.

    Attributes:
        names: of the ``K`` markers.
        descriptions: what each is.
        places: ``(M, K, 3)`` metres, world.
    """

    names: tuple[str, ...]
    descriptions: tuple[str, ...]
    places: Array


def _both_sides(sided: Named, left_handed: bool) -> Named:
    """A left-hander's lead side is the right."""
    sides = {"L": "trail", "R": "lead"} if left_handed else {"L": "lead", "R": "trail"}
    word = {"L": "left", "R": "right"}
    return {
        f"{letter}{name}": (f"{point}_{side}", f"{what}, {word[letter]}")
        for letter, side in sides.items()
        for name, (point, what) in sided.items()
    }


def joint_markers(left_handed: bool) -> Named:
    """Names to joints of the skeleton, and what they are."""
    return {**MIDDLE, **_both_sides(SIDED, left_handed), **CLUB}


def skin_markers(left_handed: bool) -> Named:
    """Names to points of the body's surface, and what they are."""
    return {**SKIN_MIDDLE, **_both_sides(SKIN_SIDED, left_handed)}


def marker_paths(swing: Swing) -> MarkerPaths:
    """All markers of a swing without batch axes."""
    from ...render.body.body_surface import BodySurface
    from ...render.body.skin_points import SKIN_POINTS, SkinPoints

    joints, skin = joint_markers(swing.left_handed), skin_markers(swing.left_handed)
    surface = BodySurface(swing.body, swing.skeleton[0], left_handed=swing.left_handed)
    on_skin = SkinPoints(surface).places(swing.skeleton)
    places = [
        *(np.asarray(swing.skeleton.joints[joint]) for joint, _ in joints.values()),
        *(on_skin[:, SKIN_POINTS.index(point)] for point, _ in skin.values()),
    ]
    described = [what for _, what in (*joints.values(), *skin.values())]
    return MarkerPaths((*joints, *skin), tuple(described), np.stack(places, axis=1))
