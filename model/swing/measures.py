"""What one reads off a film of a swing."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from ..arrays import Array
from ..chain import mass, walk
from ..chain.skeleton import Skeleton
from ..chain.support import Base
from ..golfer.body import Body
from ..golfer.ranges import SIDES
from .swing import Measures


def of(body: Body, skeleton: Skeleton, at_address: Mapping[str, Array], base: Base) -> Measures:
    """Measures of ``N`` moments against the joints of their own addresses, ``(N, 3)`` m each, on their own ``base``."""
    j = skeleton.joints
    moved = {name: j[name] - at_address[name] for name in ("head", "neck_base", "sternum", "pelvis")}
    line = j["neck_base"] - j["pelvis"]
    centre = mass.centre_of_mass(skeleton, body)
    return Measures(
        head_moved=moved["head"],
        neck_base_moved=moved["neck_base"],
        sternum_moved=moved["sternum"],
        pelvis_moved=moved["pelvis"],
        inclination=walk.inclination(line),
        inclination_down_the_line=walk.inclination_down_the_line(line),
        lean_face_on=walk.lean_face_on(line),
        shoulder_plane=walk.shoulder_plane(j["shoulder_lead"], j["shoulder_trail"]),
        centre_of_mass=centre,
        balance_margin=base.margin(centre, np.array([j[f"heel_{side}"][:, 2] for side in SIDES])),
        trail_weight_share=mass.trail_weight_share(skeleton, centre),
        # The arc hangs from its hub: where the base of the neck goes, the lowest point of the arc goes with it.
        low_point_shift=moved["neck_base"][..., 1],
    )
