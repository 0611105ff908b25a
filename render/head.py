"""What the surface's head lacks: a face that shows where it looks."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np
from scipy.spatial.transform import Rotation

from ..model.arrays import Array
from ..model.skeleton import Skeleton
from .carriers import Rigid
from .solids import Part, ellipsoid, smooth_table

HEIGHT_OVER_LENGTH = 1.15
"""Chin to crown over the head's length (assumption; 0.130 and 0.114 of stature in published tables)."""
SKULL = np.array(
    [
        # way from chin to crown, front and back in head lengths, half breadth in head breadths (by eye)
        [0.00, 0.34, -0.16, 0.12],
        [0.03, 0.405, -0.06, 0.20],
        [0.10, 0.435, 0.04, 0.28],
        [0.20, 0.440, 0.17, 0.365],
        [0.33, 0.440, 0.32, 0.435],
        [0.47, 0.442, 0.43, 0.475],
        [0.58, 0.468, 0.48, 0.495],
        [0.70, 0.470, 0.50, 0.500],
        [0.82, 0.400, 0.46, 0.455],
        [0.91, 0.300, 0.36, 0.360],
        [0.97, 0.175, 0.21, 0.220],
        [1.00, 0.050, 0.06, 0.060],
    ]
)


OUTWARD = 1.025
"""How much further out than drawn over the profile parts of the face stand: the surface is fuller (by eye)."""


def head_parts(shape: Mapping[str, float], skeleton: Skeleton) -> list[Part]:
    """Every part of the head that the surface has not: face and ears.

    Args:
        shape: breadths, lengths and circumferences of the body, metres.
        skeleton: one moment, for where crown and nose lie from the head's centre.

    """
    return _Head(shape, skeleton).parts()


class _Head:
    """The measures of one head, in the head frame at the head's centre."""

    def __init__(self, shape: Mapping[str, float], skeleton: Skeleton) -> None:
        self.length, self.breadth = shape["head_length"], shape["head_breadth"]
        self.height = HEIGHT_OVER_LENGTH * self.length
        frame, centre = skeleton.frames["head"], skeleton.joints["head"]
        self.crown = float((frame.T @ (skeleton.joints["vertex"] - centre))[2])
        self.nose: Array = frame.T @ (skeleton.joints["nose"] - centre)
        # The tip of the nose stands 2 cm before the face (assumption), which places the skull fore and aft.
        self.middle_x = float(np.clip(self.nose[0] - 0.020 - 0.442 * self.length, -0.03, 0.03))
        # A nose joint given at the height of the eyes would put the nose between them: keep it below.
        self.nose[2] = np.clip(self.nose[2], self.level(0.33), self.level(0.40))
        self.carrier = Rigid("head")

    def level(self, way: float) -> float:
        """Height of a way from chin (0) to crown (1), metres from the head's centre."""
        return self.crown - (1.0 - way) * self.height

    def profile(self, way: Array) -> Array:
        """``(R, 3)`` front, back, half breadth at ways from chin to crown, metres."""
        scale = np.array([self.length, self.length, self.breadth])
        measured: Array = smooth_table(SKULL[:, 0], SKULL[:, 1:], way) * scale
        return measured

    def on_face(self, way: float, side_m: float, sunk_m: float) -> Array:
        """A place ``sunk_m`` below the skin of the face, ``side_m`` to the lead side."""
        front, _, half = self.profile(np.array([way]))[0]
        x = front * (1 - (side_m / half) ** 2) ** 0.5
        return np.array([self.middle_x + x - sunk_m, side_m, self.level(way)])

    def parts(self) -> list[Part]:
        found = [*self._face(), *self._ears()]
        return [replace(part, local=part.local * [OUTWARD, OUTWARD, 1.0]) for part in found]

    def _face(self) -> list[Part]:
        found: list[Part] = []
        tilt = Rotation.from_euler("y", -24, degrees=True).as_matrix()
        tip = self.nose - np.array([0.011, 0.0, 0.0])
        bridge = tip + np.array([-0.007, 0.0, 0.019])
        found.append(ellipsoid("nose_bridge", "skin", self.carrier, bridge, [0.012, 0.0100, 0.031], tilt))
        found.append(ellipsoid("nose_tip", "skin", self.carrier, tip, [0.0125, 0.0155, 0.011]))
        found.append(ellipsoid("mouth", "lips", self.carrier, self.on_face(0.185, 0.0, 0.002), [0.0075, 0.025, 0.007]))
        for side, y in (("lead", 0.205 * self.breadth), ("trail", -0.205 * self.breadth)):
            eye = self.on_face(0.50, y, 0.0085)
            found.append(ellipsoid(f"eye_{side}", "eye", self.carrier, eye, [0.0095, 0.016, 0.0105]))
            iris = eye + np.array([0.0068, 0.0, -0.001])
            found.append(ellipsoid(f"iris_{side}", "iris", self.carrier, iris, [0.0042, 0.0078, 0.0088]))
            slant = Rotation.from_euler("x", -6 * np.sign(y), degrees=True).as_matrix()
            brow = self.on_face(0.59, 1.05 * y, 0.001)
            found.append(ellipsoid(f"brow_{side}", "hair", self.carrier, brow, [0.007, 0.022, 0.0055], slant))
        return found

    def _ears(self) -> list[Part]:
        lean = Rotation.from_euler("y", -12, degrees=True).as_matrix()
        z = self.level(0.43)
        return [
            ellipsoid(
                f"ear_{side}", "skin", self.carrier, [self.middle_x - 0.02, y * self.breadth, z],
                [0.018, 0.011, 0.033], lean,
            )
            for side, y in (("lead", 0.495), ("trail", -0.495))
        ]  # fmt: skip
