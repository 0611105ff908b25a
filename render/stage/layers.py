"""The layers of a picture and how they are laid over each other."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ..palette import ADDRESS, INK
from .light import Light

Layer = NDArray[np.float32]
"""``(height, width, 4)`` red, green, blue, alpha, each 0 to 1, colours multiplied by alpha."""

SHADOW_DEPTH = Light.shadow_depth
FILL_OPACITY = 0.3
"""Of the pale shape inside a ghost's outline (by looking)."""
OUTLINE_PX, LIGHT_PX, LEAST_UNIT = 4.6, 2.4, 0.7
"""Widths of a ghost's outline and of the light line in it, in a picture 720 pixels wide, and how far they may shrink
with smaller ones (by looking)."""
OUTLINE_REACH = 0.6
"""Of the outline's width: sd of the blur that tells how far inside a pixel is."""


def shrink(pixels: NDArray[np.uint8], factor: int) -> Layer:
    """Mean over ``factor`` by ``factor`` pixels of a layer drawn on black: ``(h·f, w·f, 4)`` to a layer.

    Each alpha must be 0 (and the colour black) or 255, so that the colours may be averaged as they are.
    """
    from PIL import Image

    height, width = pixels.shape[:2]
    # "RGBa" tells Pillow that colours are multiplied; with "RGBA" it would multiply them once more.
    small = Image.frombuffer("RGBa", (width, height), np.ascontiguousarray(pixels)).reduce(factor)
    layer: Layer = np.multiply(np.asarray(small), np.float32(1 / 255), dtype=np.float32)
    return layer


def over(top: Layer, below: NDArray[np.float32]) -> NDArray[np.float32]:
    """A layer laid over an opaque picture ``(h, w, 3)``."""
    laid: NDArray[np.float32] = top[..., :3] + below * (1 - top[..., 3:])
    return laid


def outlined(coverage: NDArray[np.float32]) -> Layer:
    """A coverage ``(h, w)`` as a pale shape with a light line just inside its edge and a thin dark one on each side.

    Light and dark together are seen on any ground; inside the edge, so that nothing looks out from behind a figure that
    has not moved.
    """
    unit = max(coverage.shape[1] / 720, LEAST_UNIT)
    inside = distance_inside(coverage, OUTLINE_PX * unit)
    from_middle = np.abs(inside - np.float32(0.5 * OUTLINE_PX * unit))
    layer = np.repeat(np.float32(FILL_OPACITY) * coverage[..., None], 4, axis=2)
    for width, colour in ((OUTLINE_PX, INK), (LIGHT_PX, ADDRESS)):
        # A pixel that the line's edge goes through is covered in part.
        line = np.clip(np.float32(0.5 * width * unit + 0.5) - from_middle, 0, 1)
        layer += line[..., None] * (np.array([*colour, 255], np.float32) / 255 - layer)
    return layer


def distance_inside(coverage: NDArray[np.float32], reach: float) -> NDArray[np.float32]:
    """``(h, w)`` pixels from the edge of a coverage, inside positive, within ``reach`` or so of a gently bent edge.

    A straight edge blurred by a normal distribution is that distribution's sum, whose inverse says how far.
    """
    from PIL import Image, ImageFilter
    from scipy.special import ndtri

    width = OUTLINE_REACH * reach
    blurred = Image.fromarray(np.uint8(255 * coverage)).filter(ImageFilter.GaussianBlur(width))
    # Table and all, since a blurred pixel has 256 values: the ends are as far as it can see.
    far = width * ndtri(np.clip(np.arange(256) / 255, 1e-3, 1 - 1e-3))
    distance: NDArray[np.float32] = far.astype(np.float32)[np.asarray(blurred)]
    return distance


@dataclass(frozen=True)
class Patch:
    """A layer that is empty outside a box.

    Attributes:
        pixels: ``(h, w, C)`` 0 to 1, what is in the box.
        left: column of the box's first pixels in the picture.
        top: row of the box's first pixels in the picture.

    """

    pixels: NDArray[np.float32]
    left: int
    top: int

    @property
    def place(self) -> tuple[slice, slice]:
        """Rows and columns of the picture that the box takes."""
        height, width = self.pixels.shape[:2]
        return slice(self.top, self.top + height), slice(self.left, self.left + width)

    def whole(self, height: int, width: int) -> NDArray[np.float32]:
        """``(height, width, C)`` the layer with what is outside the box."""
        layer = np.zeros((height, width, self.pixels.shape[2]), np.float32)
        layer[self.place] = self.pixels
        return layer


@dataclass(frozen=True)
class Samples:
    """What was drawn in a box with several samples a pixel each way.

    Attributes:
        pixels: ``(h f, w f, 4)`` red, green, blue and coverage, 0 to 255.
        factor: f, samples a pixel each way.
        left: column of the box's first pixels in the picture.
        top: row of the box's first pixels in the picture.

    """

    pixels: NDArray[np.uint8]
    factor: int
    left: int
    top: int

    @property
    def place(self) -> tuple[slice, slice]:
        """Rows and columns of the picture that the box takes."""
        height, width = (length // self.factor for length in self.pixels.shape[:2])
        return slice(self.top, self.top + height), slice(self.left, self.left + width)


@dataclass(frozen=True)
class Layers:
    """What one picture is composed of.

    Attributes:
        ground: ``(h, w, 3)`` 0 to 1, backdrop and ground.
        shadow: ``(h, w)`` 0 to 1, depth of the shadow on the ground.
        solid: the figure.
        ghost: ``(h, w)`` 0 to 1, how much of each pixel another posture covers, or None.

    """

    ground: NDArray[np.float32]
    shadow: NDArray[np.float32]
    solid: Layer
    ghost: NDArray[np.float32] | None = None

    def covered(self) -> NDArray[np.bool_]:
        """``(h, w)`` true where a figure or its ghost is."""
        solid: NDArray[np.bool_] = self.solid[..., 3] > 0.5
        return solid if self.ghost is None else solid | (self.ghost > 0.5)

    def compose(self) -> NDArray[np.uint8]:
        """``(h, w, 3)`` red, green, blue: the ghost behind the figure, so that its outline is no seam on clothes."""
        scene = self.ground * (1 - SHADOW_DEPTH * self.shadow[..., None])
        if self.ghost is not None:
            scene = over(outlined(self.ghost), scene)
        scene = over(self.solid, scene)
        return (np.clip(scene, 0, 1) * 255 + 0.5).astype(np.uint8)
