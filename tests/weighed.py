"""Weight of every segment and where it is, written down anew from joints: what the model's own reckoning is held to.

Masses and mass centres: de Leva 1996, J Biomech 29:1223-30, Table 4 (restated in BMClab/BMC).
"""

from __future__ import annotations

import numpy as np

from turnstill.model import Swing
from turnstill.model.arrays import Array
from turnstill.model.chain.mass import CLUB_CENTRE, CLUB_MASS, OMPHALION_LEVEL, TRUNK_FORWARD, XIPHION_LEVEL

# Share of body mass (men, women), mass centre as a share from the first to the second end point (men, women).
TRUNK = {
    "head": ((0.0694, 0.0668), (0.5002, 0.4841)),
    "upper": ((0.1596, 0.1545), (0.5066, 0.5050)),
    "middle": ((0.1633, 0.1465), (0.4502, 0.4512)),
    "lower": ((0.1117, 0.1247), (0.6115, 0.4920)),
}
LIMBS = {
    ("shoulder", "elbow"): ((0.0271, 0.0255), (0.5772, 0.5754)),
    ("elbow", "wrist"): ((0.0162, 0.0138), (0.4574, 0.4559)),
    ("wrist", "grip"): ((0.0061, 0.0056), (0.7900, 0.7474)),
    ("hip", "knee"): ((0.1416, 0.1478), (0.4095, 0.3612)),
    ("knee", "ankle"): ((0.0433, 0.0481), (0.4395, 0.4352)),
    ("heel", "toe"): ((0.0137, 0.0129), (0.4415, 0.4014)),
}
PRINTED_TOTAL = np.array([1.0000, 0.9999])


def weights(swing: Swing) -> list[tuple[Array, Array]]:
    """Mass ``(B,)`` kg and place ``(B, M, 3)`` m of every segment and the club."""
    j, centres, frames = swing.skeleton.joints, swing.skeleton.spine, swing.skeleton.spine_frames
    body = swing.body
    female = body.female.astype(int)
    ahead = (TRUNK_FORWARD * body.stature)[:, None, None]
    sternum_end, navel = (centres[:, :, k] + ahead * frames[:, :, k, :, 0] for k in (XIPHION_LEVEL, OMPHALION_LEVEL))
    ends = {
        "head": (j["vertex"], j["neck_base"]), "upper": (j["neck_base"], sternum_end),
        "middle": (sternum_end, navel), "lower": (navel, j["pelvis"]),
    }  # fmt: skip
    parts = [(*TRUNK[name], *ends[name]) for name in TRUNK]
    held = (body.lengths["wrist_to_grip"])[:, None, None] * swing.skeleton.frames["hand_trail"][..., :, 2]
    places = {**j, "grip_lead": j["grip"], "grip_trail": j["wrist_trail"] - held}
    for (first, second), numbers in LIMBS.items():
        parts += [(*numbers, places[f"{first}_{side}"], places[f"{second}_{side}"]) for side in ("lead", "trail")]
    out = [
        (
            body.mass * np.array(mass)[female] / PRINTED_TOTAL[female],
            first + np.array(centre)[female][:, None, None] * (second - first),
        )
        for mass, centre, first, second in parts
    ]
    return [*out, (np.full(body.mass.shape, CLUB_MASS), j["grip"] + CLUB_CENTRE * (j["clubhead"] - j["grip"]))]


def centre_of_mass(swing: Swing) -> Array:
    """Of body and club, ``(B, M, 3)`` m."""
    total = (swing.body.mass + CLUB_MASS)[:, None, None]
    return np.asarray(sum(mass[:, None, None] * place for mass, place in weights(swing)) / total)
