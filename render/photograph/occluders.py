"""What stands between camera and golfer: what it covers, how far it is and how it looks, drawn once a tripod."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ...model.arrays import Array
from ...model.films.camera import Camera
from ..stage.light import Light
from .colours import Picture, byte
from .furniture import solids_of
from .place import Occluder
from .shade import Bars, toward_key
from .sights import Plane, Sights
from .solids import Solid

FINE = 2
"""Samples a pixel each way of the colours; labels have one in the pixel's middle."""
AMBIENT, LIT = 0.58, 0.52
"""Brightness of what the key light misses, and what it adds where it falls straight (by looking)."""
Box = tuple[int, int, int, int]
"""Left, top, right, bottom in pixels, the last two not included."""


@dataclass(frozen=True)
class InFront:
    """A layer of things in front of everything else, in the box that holds them.

    Attributes:
        box: where.
        colour: ``(h, w, 3)`` multiplied by coverage.
        left: ``(h, w, 3)`` what coverage leaves of what is behind, 0 to 255.
        depth: ``(h, w)`` metres along the optical axis at the middle of each pixel; infinite beside the things.

    """

    box: Box
    colour: Picture
    left: Picture
    depth: Plane

    @property
    def place(self) -> tuple[slice, slice]:
        """Rows and columns of the picture that the box takes."""
        left, top, right, bottom = self.box
        return slice(top, bottom), slice(left, right)


def in_front(
    camera: Camera, things: Sequence[Occluder], light: Light, bars: Bars | None, *, left_handed: bool
) -> InFront | None:
    """The layer of some things; None where none of them is in the picture."""
    import cv2

    solids = [solid for thing in things for solid in solids_of(thing)]
    box = _box(camera, solids)
    if box is None:
        return None
    part = camera.cropped(box)
    depth, _ = _nearest(part, solids, None)
    if not np.isfinite(depth).any():
        return None
    _, shaded = _nearest(part.scaled(FINE), solids, (toward_key(light, left_handed), light.key_strength, bars))
    small = cv2.resize(shaded, (part.width, part.height), interpolation=cv2.INTER_AREA)
    left = 255 - small[..., 3]
    return InFront(box, np.ascontiguousarray(small[..., :3]), cv2.merge([left, left, left]), depth)


def _box(camera: Camera, solids: Sequence[Solid], margin: int = 3) -> Box | None:
    """The part of the picture that solids lie in; None where they are beside it or behind the camera."""
    size = np.array([camera.width, camera.height])
    corners = np.concatenate([solid.corners() for solid in solids]) if solids else np.zeros((0, 3))
    ahead = camera.depth(corners) > 0.05
    if not ahead.any():
        return None
    if not ahead.all():
        return 0, 0, camera.width, camera.height
    places = camera.project(corners)
    low = np.clip(np.floor(places.min(axis=0)) - margin, 0, size).astype(int)
    high = np.clip(np.ceil(places.max(axis=0)) + margin + 1, 0, size).astype(int)
    if (high <= low).any():
        return None
    return int(low[0]), int(low[1]), int(high[0]), int(high[1])


def _nearest(
    camera: Camera, solids: Sequence[Solid], lit: tuple[Array, float, Bars | None] | None
) -> tuple[Plane, NDArray[np.uint8]]:
    """What each pixel's middle meets first.

    Args:
        camera: where from.
        solids: what can be met.
        lit: toward the key light, its strength and its bars; None where no colours are wanted.

    Returns:
        ``(h, w)`` depth, and ``(h, w, 4)`` colour and coverage, all 0 where nothing is met or no colours are wanted.

    """
    sights = Sights.of(camera)
    depth = np.full((camera.height, camera.width), np.inf, np.float32)
    shaded = np.zeros((*depth.shape, 4), np.uint8)
    origin = sights.position[:, None]
    for solid in solids:
        box = _box(camera, [solid])
        if box is None:
            continue
        part = slice(box[1], box[3]), slice(box[0], box[2])
        rays = np.stack([ray[part].ravel() for ray in sights.rays])
        hits = solid.met(origin, rays)
        at = hits.at.reshape(depth[part].shape)
        nearer = at < depth[part]
        depth[part][nearer] = at[nearer]
        if lit is not None:
            toward, strength, bars = lit
            fall = np.clip(toward.astype(np.float32) @ hits.normal[:, nearer.ravel()], 0, 1)
            bright = AMBIENT + LIT * strength / Light.key_strength * fall
            if bars is not None:
                bright = bright * bars.left((origin + at[nearer] * rays[:, nearer.ravel()]).T)
            colour = np.array(solid.colour, np.float32)
            shaded[part][nearer, :3] = np.clip(bright[:, None] * colour + np.float32(0.5), 0, 255).astype(np.uint8)
            shaded[part][nearer, 3] = 255
    return depth, shaded


def shadow_of_things(
    camera: Camera, sights: Sights, things: Sequence[Occluder], toward: Array, softness_px: float
) -> tuple[Box, NDArray[np.uint8]] | None:
    """How deep things' own shadow lies on the ground, 0 to 255, and where.

    Args:
        camera: where from.
        sights: its lines of sight.
        things: what stands there.
        toward: ``(3,)`` world: toward the light that casts it.
        softness_px: sd of the blur of its edge, pixels.

    """
    import cv2

    solids = [solid for thing in things for solid in solids_of(thing)]
    if not solids or toward[2] <= 0:
        return None
    corners = np.concatenate([solid.corners() for solid in solids])
    flat = corners - corners[:, 2:] * (toward / toward[2])
    if (camera.depth(flat) < 0.05).any():
        # Part of it lies behind the camera; what is seen of it is out of the picture's foot.
        flat = flat[camera.depth(flat) >= 0.05]
    if not len(flat):
        return None
    margin, size = int(3 * softness_px) + 2, np.array([camera.width, camera.height])
    places = camera.project(flat)
    low = np.clip(np.floor(places.min(axis=0)) - margin, 0, size).astype(int)
    high = np.clip(np.ceil(places.max(axis=0)) + margin, 0, size).astype(int)
    if (high <= low).any():
        return None
    part = slice(low[1], high[1]), slice(low[0], high[0])
    depth = sights.ground_depth()[part].ravel()
    ground = sights.position[:, None] + depth * np.stack([ray[part].ravel() for ray in sights.rays])
    up = toward.astype(np.float32)[:, None]
    dark = np.zeros(ground.shape[1], np.bool_)
    near = depth < 100
    for solid in solids:
        dark |= np.isfinite(solid.met(ground, up).at) & near
    shape = (int(high[1] - low[1]), int(high[0] - low[0]))
    mask = cv2.GaussianBlur(byte(dark.reshape(shape).astype(np.float32), 255, 0.5), (0, 0), max(softness_px, 0.3))
    return (int(low[0]), int(low[1]), int(high[0]), int(high[1])), mask
