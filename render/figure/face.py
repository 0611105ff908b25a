"""What the surface's head lacks: eyes, nose, mouth and ears, which show where it looks."""

from __future__ import annotations

from collections.abc import Callable, Mapping

import numpy as np
from scipy.interpolate import LinearNDInterpolator, NearestNDInterpolator
from scipy.spatial.transform import Rotation

from ...model.arrays import Array
from ..body.body_surface import BodySurface
from ..body.trunk_shape import HEIGHT_OVER_LENGTH
from ..shapes.carriers import Rigid
from ..shapes.solids import Part, ellipsoid

HEAD = Rigid("head")
SMALL = 1
"""Subdivisions of what is a few pixels wide in a whole picture: eighty triangles each."""


def face_parts(surface: BodySurface, shape: Mapping[str, float]) -> list[Part]:
    """Eyes, brows, nose, mouth and ears, each set into the surface where it really is.

    Args:
        surface: of the body.
        shape: its head's length and breadth, metres.
    """
    places = _Places(surface, shape)
    return [*_nose_and_mouth(places), *_eyes(places, shape["head_breadth"]), *_ears(places)]


class _Places:
    """Where things lie on a head, in the head's frame from its centre; sizes and heights by eye."""

    def __init__(self, surface: BodySurface, shape: Mapping[str, float]) -> None:
        rest = surface.rest
        centre = rest.joints["head"]
        self.crown = float(rest.joints["vertex"][2] - centre[2])
        self.height = HEIGHT_OVER_LENGTH * shape["head_length"]
        self.nose: Array = rest.joints["nose"] - centre
        own = surface.share_of("head", "neck_2") > 0.5
        skin, ahead = surface.mesh.vertices[own] - centre, surface.mesh.normals()[own]
        front, lead = ahead[:, 0] > 0.1, ahead[:, 1] > 0.1
        self._forward = _over(skin[front][:, [1, 2]], skin[front][:, 0])
        self._aside = _over(skin[lead][:, [0, 2]], skin[lead][:, 1])

    def level(self, way: float) -> float:
        """Height of a way from chin (0) to crown (1)."""
        return self.crown - (1.0 - way) * self.height

    def on_face(self, way: float, side_m: float, out_m: float) -> Array:
        """A place ``out_m`` before the skin of the face, ``side_m`` to the lead side."""
        z = self.level(way)
        return np.array([self._forward(side_m, z) + out_m, side_m, z])

    def beside(self, x: float, way: float) -> float:
        """How far out the side of the head is, metres from its middle."""
        return self._aside(x, self.level(way))


def _over(places: Array, values: Array) -> Callable[[float, float], float]:
    """Values between scattered places in a plane; the nearest one's where a heavy body's shoulder hides the head."""
    within, nearest = LinearNDInterpolator(places, values), NearestNDInterpolator(places, values)

    def at(first: float, second: float) -> float:
        value = float(within(first, second))
        return value if np.isfinite(value) else float(nearest(first, second))

    return at


def _nose_and_mouth(places: _Places) -> list[Part]:
    tilt = Rotation.from_euler("y", -24, degrees=True).as_matrix()
    # A nose joint at the height of the eyes would put the nose between them: it is kept below, and before the skin.
    way = float(np.clip((places.nose[2] - places.level(0)) / places.height, 0.33, 0.38))
    tip = places.on_face(way, 0.0, 0.010)
    bridge = tip + np.array([-0.006, 0.0, 0.019])
    mouth = places.on_face(0.185, 0.0, -0.002)
    return [
        ellipsoid("nose_bridge", "skin", HEAD, bridge, [0.012, 0.0100, 0.031], tilt),
        ellipsoid("nose_tip", "skin", HEAD, tip, [0.0125, 0.0155, 0.011]),
        ellipsoid("mouth", "lips", HEAD, mouth, [0.0060, 0.025, 0.0070], subdivisions=SMALL),
    ]


def _eyes(places: _Places, breadth: float) -> list[Part]:
    found = []
    for side, y in (("lead", 0.205 * breadth), ("trail", -0.205 * breadth)):
        eye = places.on_face(0.50, y, -0.0066)
        iris, lid = eye + np.array([0.0066, 0.0, -0.001]), eye + np.array([0.0012, 0.0, 0.0062])
        slant = Rotation.from_euler("x", -6 * np.sign(y), degrees=True).as_matrix()
        brow = places.on_face(0.59, 1.05 * y, -0.001)
        found += [
            ellipsoid(f"eye_{side}", "eye", HEAD, eye, [0.0095, 0.016, 0.0105], subdivisions=SMALL),
            ellipsoid(f"iris_{side}", "iris", HEAD, iris, [0.0034, 0.0066, 0.0070], subdivisions=SMALL),
            ellipsoid(f"lid_{side}", "skin", HEAD, lid, [0.0098, 0.0175, 0.0072], subdivisions=SMALL),
            ellipsoid(f"brow_{side}", "hair", HEAD, brow, [0.0050, 0.022, 0.0050], slant, SMALL),
        ]
    return found


def _ears(places: _Places) -> list[Part]:
    lean = Rotation.from_euler("y", -12, degrees=True).as_matrix()
    x, way = -0.012, 0.43
    out = places.beside(x, way)
    return [
        ellipsoid(f"ear_{side}", "skin", HEAD, [x, sign * out, places.level(way)], [0.018, 0.011, 0.033], lean)
        for side, sign in (("lead", 1.0), ("trail", -1.0))
    ]
