"""Head and neck: a face that shows where it looks, and hair."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from scipy.spatial.transform import Rotation

from ..model.arrays import Array
from ..model.skeleton import Skeleton
from .carriers import Neck, Rigid
from .solids import Part, ellipsoid, loft, outline, smooth_table, upright_rings

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


def head_parts(shape: Mapping[str, float], skeleton: Skeleton) -> list[Part]:
    """Every part of head and neck.

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
        self.neck_radius = shape["neck_circumference"] / (2 * np.pi)
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
        return [self._neck(), self._collar(), self._skull(), *self._face(), *self._ears(),
                *self._hair()]  # fmt: skip

    def _neck(self) -> Part:
        share = np.linspace(-0.18, 1.0, 9)
        r = self.neck_radius
        sections = outline(np.full(9, 1.02 * r), np.full(9, 1.02 * r), np.full(9, 0.97 * r), np.full(9, 0.97 * r))
        rings = upright_rings(np.zeros(9), sections, centre_x=np.linspace(0.020, 0.004, 9))
        return loft("neck", "skin", self._neck_carrier(share), rings, np.arange(9))

    def _neck_carrier(self, share: Array) -> Neck:
        return Neck(share, np.array([self.middle_x - 0.10 * self.length, 0.0, self.level(0.42)]))

    def _collar(self) -> Part:
        share = np.array([-0.16, -0.02, 0.12, 0.20, 0.20])
        r = self.neck_radius * np.array([1.25, 1.22, 1.13, 1.10, 1.02])
        rings = upright_rings(np.zeros(5), outline(1.03 * r, 1.03 * r, r, r), centre_x=0.019)
        return loft("collar", "collar", self._neck_carrier(share), rings, np.arange(5))

    def _skull(self) -> Part:
        way = 0.5 - 0.5 * np.cos(np.linspace(0.0, np.pi, 26))
        front, back, half = self.profile(way).T
        sections = outline(front, np.maximum(back, 0.004), half, half, 2.15)
        # Where the back profile lies before the middle (under the jaw) the ring moves forward instead.
        under = np.minimum(back, 0.0)
        front_half = 0.5 * (front + under)
        sections = np.where((under < 0)[:, None, None], outline(front_half, front_half, half, half, 2.15), sections)
        centre = self.middle_x + np.where(under < 0, front - front_half, 0.0)
        rings = upright_rings(self.level(0.0) + way * self.height, sections, centre_x=centre)
        return loft("skull", "skin", self.carrier, rings, cap_m=0.001)

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

    def _hair(self) -> list[Part]:
        """Short hair: a crown whose edge falls from forehead to ears, and the back of the head."""
        way = np.concatenate([[0.66, 0.67], np.linspace(0.71, 1.0, 10)])
        front, back, half = self.profile(way).T
        lift = np.array([-0.004, 0.004, *np.linspace(0.007, 0.011, 10)])
        sections = outline(front + lift, back + lift, half + lift, half + lift, 2.1)
        heights = self.level(0.0) + way * self.height + np.linspace(0.0, 0.011, 12)
        rings = upright_rings(heights, sections, centre_x=self.middle_x)
        # The lower edge rises toward the forehead, the crown stays level.
        rise = np.linspace(1.0, 0.0, 12) ** 1.5
        rings[..., 2] += (rings[..., 0] - self.middle_x) * (0.42 * rise)[:, None]
        rings[..., 0] -= 0.006 * rise[:, None]
        crown = loft("hair", "hair", self.carrier, rings, cap_m=0.002)
        way = np.linspace(0.26, 0.78, 10)
        _, back, half = self.profile(way).T
        front = np.linspace(0.02, 0.30, 10) * self.length
        lift = np.array([0.001, *np.linspace(0.005, 0.007, 9)])
        sections = outline(front, back + lift, half + lift, half + lift)
        nape = upright_rings(self.level(0.0) + way * self.height, sections, centre_x=self.middle_x)
        return [crown, loft("nape", "hair", self.carrier, nape)]
