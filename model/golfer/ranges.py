"""Ranges of motion: how far each joint goes, with the published spread between people.

All are one-sided magnitudes in degrees here, radians outside. Marks: R read in the source or its abstract, R2 read
in a restatement of it, M from memory.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from ..arrays import Array, ArrayLike
from .survey import by_sex


@dataclass(frozen=True)
class Published:
    """A range: male and female mean and sd (deg) and where they come from."""

    male: float
    female: float
    sd_male: float
    sd_female: float
    source: str


_OKINAWA = "Moromizato et al. 2016, J Physiol Anthropol 35:23, passive, age 20-29 (R2)"
_ROAAS = "Roaas & Andersson 1982, Acta Orthop Scand 53:205-208, men 30-40, passive (M)"
_FAN = "Fan 2014 as tabled in J Athl Train 2018;53:560-567 (R2)"
_ZARINS = "Am J Sports Med 1983;11:152-156, 17 normal knees, examiner's torque (R)"
_HALLACELI = "Hallaceli 2014, passive, whole foot (R2)"
_TROKE = (
    "Troke et al. 2005, Man Ther 10:198-206, n = 405, skin-mounted, at 30 years between the published 16 and 90 (R; "
    "the straight line between an assumption)"
)
_NO_SD = "; sd an assumption"

LEG_RANGES: Mapping[str, Published] = {
    "hip_flexion": Published(126.7, 130.4, 8.3, 8.3, f"{_OKINAWA}; sd {_ROAAS}"),
    "hip_extension": Published(17.9, 16.1, 5.3, 5.3, f"{_OKINAWA}; sd {_ROAAS}"),
    "hip_abduction": Published(38.8, 38.8, 7.0, 7.0, _ROAAS),
    "hip_adduction": Published(30.5, 30.5, 7.3, 7.3, _ROAAS),
    "hip_internal_rotation": Published(35.1, 42.7, 4.7, 10.3, _FAN),
    "hip_external_rotation": Published(41.9, 41.1, 6.6, 6.4, _FAN),
    "knee_flexion": Published(
        137.7, 141.9, 6.5, 6.5, f"Soucie et al. 2011, Haemophilia 17:500-507, age 20-44 (R2); sd {_ROAAS}"
    ),
    "shin_internal_rotation": Published(25.0, 25.0, 5.0, 5.0, f"{_ZARINS}, knee flexed 30-90{_NO_SD}"),
    "shin_external_rotation": Published(45.0, 45.0, 9.0, 9.0, f"{_ZARINS}, knee flexed 30-90{_NO_SD}"),
    "ankle_dorsiflexion": Published(
        50.8, 50.8, 5.2, 5.2, "Dill et al. 2014, J Athl Train 49:723-732, weight-bearing lunge (R2)"
    ),
    "ankle_plantarflexion": Published(50.1, 54.1, 7.7, 7.7, f"{_OKINAWA}; sd {_ROAAS}"),
    "ankle_inversion": Published(34.6, 32.9, 4.5, 4.5, f"{_HALLACELI}; sd {_ROAAS}"),
    "ankle_eversion": Published(19.1, 20.8, 6.9, 6.9, f"{_HALLACELI}; sd {_ROAAS}"),
}
"""Ranges of each leg. Tibial ranges are those of a bent knee; see ``STRAIGHT_KNEE_SHARE``."""

STRAIGHT_KNEE_SHARE = {"shin_internal_rotation": 10.0 / 25.0, "shin_external_rotation": 23.0 / 45.0}
"""What is left of the tibial ranges with the knee at 5 degrees (same source, R)."""

AXIAL_RANGES: Mapping[str, Published] = {
    "trunk_rotation": Published(
        36.8, 36.8, 4.9, 4.9,
        f"thoracic 24.9 (4.9) in-vivo CT, Fujimori 2012, Spine 37:E1318 (R2) + one sd + lumbar 7, {_TROKE}",
    ),
    "trunk_side_bend": Published(
        41.0, 41.0, 5.0, 5.0,
        f"thoracic 15.6, Fujimori 2014, Spine J 14:1991 (R2) + lumbar 25.4, {_TROKE}{_NO_SD}",
    ),
    "trunk_flexion": Published(
        87.9, 87.9, 9.0, 9.0, f"thoracic 21.1, Jiang 2025 (R2) + lumbar 66.8, {_TROKE}{_NO_SD}"
    ),
    "trunk_extension": Published(
        38.3, 38.3, 5.0, 5.0, f"thoracic 13.7, Jiang 2025 (R2) + lumbar 24.6, {_TROKE}{_NO_SD}"
    ),
    "neck_rotation": Published(72.9, 72.9, 6.5, 6.5, "Niewiadomski 2019 (R2); sd Youdas 1992 (M)"),
    "neck_side_bend": Published(44.3, 44.3, 7.0, 7.0, "Niewiadomski 2019 (R2); sd Youdas 1992 (M)"),
    "neck_flexion": Published(65.3, 65.3, 9.0, 9.0, "Niewiadomski 2019 (R2); sd Youdas 1992 (M)"),
    "neck_extension": Published(60.9, 60.9, 13.0, 13.0, "Niewiadomski 2019 (R2); sd Youdas 1992 (M)"),
}  # fmt: skip
"""Ranges of trunk (ribcage on pelvis) and neck (head on ribcage)."""

_GONIOMETER = (
    "men Boone & Azen 1979, J Bone Joint Surg Am 61:756-759, active; women Macedo & Magee 2009, Physiother Theory "
    "Pract 25:145-164, passive (means R2, as tabled in a textbook of goniometry; sd M)"
)
_ADDUCTION = "men Boone & Azen 1979, from the side (M); women taken alike (assumption)"
_CLAVICLE = "what textbooks of kinesiology give as most (R2); sd an assumption"

ARM_RANGES: Mapping[str, Published] = {
    "collar_bone_protraction": Published(30.0, 30.0, 5.0, 5.0, _CLAVICLE),
    "collar_bone_retraction": Published(30.0, 30.0, 5.0, 5.0, _CLAVICLE),
    "collar_bone_elevation": Published(45.0, 45.0, 5.0, 5.0, _CLAVICLE),
    "collar_bone_depression": Published(10.0, 10.0, 2.0, 2.0, _CLAVICLE),
    "shoulder_flexion": Published(167.0, 188.0, 4.7, 4.7, _GONIOMETER),
    "shoulder_horizontal_adduction": Published(140.7, 140.7, 5.9, 5.9, _ADDUCTION),
    "shoulder_internal_rotation": Published(69.0, 94.0, 4.6, 4.6, _GONIOMETER),
    "shoulder_external_rotation": Published(104.0, 108.0, 8.5, 8.5, _GONIOMETER),
    "elbow_flexion": Published(143.0, 149.0, 5.0, 5.0, _GONIOMETER),
    "forearm_pronation": Published(76.0, 92.0, 5.3, 5.3, _GONIOMETER),
    "forearm_supination": Published(82.0, 96.0, 4.0, 4.0, _GONIOMETER),
    "wrist_flexion": Published(76.0, 93.0, 6.6, 6.6, _GONIOMETER),
    "wrist_extension": Published(75.0, 86.0, 6.6, 6.6, _GONIOMETER),
    "wrist_radial_deviation": Published(22.0, 18.0, 4.0, 4.0, _GONIOMETER),
    "wrist_ulnar_deviation": Published(36.0, 41.0, 3.8, 3.8, _GONIOMETER),
}
"""Ranges of each arm: collar bone against breastbone, upper arm against ribcage, elbow, forearm, wrist."""

SIDES = ("lead", "trail")
_LIMB_RANGES = {**LEG_RANGES, **ARM_RANGES}

RANGE_NAMES: tuple[str, ...] = (
    *(f"{side}_{name}" for side in SIDES for name in LEG_RANGES),
    *AXIAL_RANGES,
    *(f"{side}_{name}" for side in SIDES for name in ARM_RANGES),
)
"""Every range a body has; lead and trail limbs apart, since a golfer's two hips may differ."""


def published(name: str) -> Published:
    """The published figures behind a name of ``RANGE_NAMES``."""
    return AXIAL_RANGES.get(name) or _LIMB_RANGES[name.split("_", 1)[1]]


def reference_ranges(female: ArrayLike) -> dict[str, Array]:
    """Mean range of every name (rad, shape of ``female``)."""
    return {name: np.radians(by_sex(female, published(name).male, published(name).female)) for name in RANGE_NAMES}


def draw_ranges(rng: np.random.Generator, count: int, female: ArrayLike) -> dict[str, Array]:
    """Ranges of ``count`` people (rad, ``(count,)`` each), normal about the means, both sides of a person alike.

    Kept within two sd, since the published samples say nothing of the tails.
    """
    drawn: dict[str, Array] = {}
    for name in (*LEG_RANGES, *AXIAL_RANGES, *ARM_RANGES):
        row = _LIMB_RANGES.get(name) or AXIAL_RANGES[name]
        score = np.clip(rng.standard_normal(count), -2.0, 2.0)
        value = np.radians(by_sex(female, row.male, row.female) + score * by_sex(female, row.sd_male, row.sd_female))
        for key in [f"{side}_{name}" for side in SIDES] if name in _LIMB_RANGES else [name]:
            drawn[key] = value
    return drawn
