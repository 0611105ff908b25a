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
from ..shapes.solids import Part, ellipsoid, loft, outline, upright_rings

HEAD = Rigid("head")
SMALL = 1
"""Subdivisions of what is a few pixels wide in a whole picture: eighty triangles each."""
NASION = 0.53
"""How far up from chin to crown the nose begins (by eye)."""
NOSE: tuple[tuple[float, float, float], ...] = (
    (-0.36, 0.002, 0.0105), (-0.27, 0.009, 0.0160), (-0.15, 0.0155, 0.0172), (-0.04, 0.0200, 0.0158),
    (0.06, 0.0210, 0.0134), (0.18, 0.0190, 0.0112), (0.40, 0.0135, 0.0092), (0.65, 0.0080, 0.0082),
    (0.85, 0.0035, 0.0080), (1.0, 0.001, 0.0070),
)  # fmt: skip
"""From under the nose up: way from the tip (0) to the nasion (1), how far it stands off the skin and half its breadth,
metres. An adult's nose stands off the lip by some 20 mm and is some 35 mm broad over its wings (from memory)."""
NOSE_ROOT_M = 0.010
"""How deep the nose is set into the face (our choice)."""


def face_parts(surface: BodySurface, shape: Mapping[str, float]) -> list[Part]:
    """Eyes, brows, nose, mouth and ears, each set into the surface where it really is.

    Args:
        surface: of the body.
        shape: its head's length and breadth, metres.
    """
    places = _Places(surface, shape)
    return [_nose(places), *_mouth_and_chin(places), *_eyes(places, shape["head_breadth"]), *_ears(places)]


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


def _nose(places: _Places) -> Part:
    # A nose joint at the height of the eyes would put the nose between them: it is kept below, and before the skin.
    tip = float(np.clip((places.nose[2] - places.level(0)) / places.height, 0.33, 0.38))
    way, out, half = np.array(NOSE).T
    ways = tip + way * (NASION - tip)
    skin = np.array([places.on_face(one, 0.0, 0.0) for one in ways])
    rings = upright_rings(skin[:, 2], outline(out, np.full_like(out, NOSE_ROOT_M), half, half), centre_x=skin[:, 0])
    return loft("nose", "skin", HEAD, rings, cap_m=0.001)


def _mouth_and_chin(places: _Places) -> list[Part]:
    """Lips that meet between the nose and the chin, and a chin that stands out below them."""
    upper, lower = places.on_face(0.198, 0.0, -0.0025), places.on_face(0.163, 0.0, -0.0020)
    chin = places.on_face(0.092, 0.0, -0.013)
    return [
        ellipsoid("lip_upper", "lips", HEAD, upper, [0.0062, 0.0255, 0.0048], subdivisions=SMALL),
        ellipsoid("lip_lower", "lips", HEAD, lower, [0.0064, 0.0215, 0.0052], subdivisions=SMALL),
        ellipsoid("chin", "skin", HEAD, chin, [0.016, 0.026, 0.021]),
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
