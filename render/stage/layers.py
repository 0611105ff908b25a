"""The layers of a picture and how they are laid over each other."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Layer = NDArray[np.float32]
"""``(height, width, 4)`` red, green, blue, alpha, each 0 to 1, colours multiplied by alpha."""

GHOST_OPACITY = 0.45
GHOST_OUTLINE = 0.55
SHADOW_DEPTH = 0.34


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


def ghostly(layer: Layer, opacity: float = GHOST_OPACITY) -> Layer:
    """A layer half drained of colour and made translucent."""
    grey = layer[..., :3] @ np.array([0.299, 0.587, 0.114], np.float32)
    drained = layer.copy()
    drained[..., :3] = 0.45 * layer[..., :3] + 0.55 * grey[..., None]
    return drained * np.float32(opacity)


def outline(alpha: NDArray[np.float32], width: float) -> NDArray[np.float32]:
    """``(h, w)`` 0 to 1: a soft line, ``width`` pixels or so, inside the edge of a coverage ``(h, w)``."""
    from PIL import Image, ImageFilter

    blurred = Image.fromarray(np.uint8(255 * alpha)).filter(ImageFilter.GaussianBlur(width))
    inside = np.asarray(blurred, np.float32) / 255
    # A blurred edge passes one half at the edge itself and nears one inside.
    line: NDArray[np.float32] = alpha * np.clip(2.4 * (1 - inside), 0, 1)
    return line


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
class Layers:
    """What one picture is composed of.

    Attributes:
        ground: ``(h, w, 3)`` 0 to 1, backdrop and ground.
        shadow: ``(h, w)`` 0 to 1, depth of the shadow on the ground.
        solid: the figure.
        ghost: another posture, or None.

    """

    ground: NDArray[np.float32]
    shadow: NDArray[np.float32]
    solid: Layer
    ghost: Layer | None = None

    def covered(self) -> NDArray[np.bool_]:
        """``(h, w)`` true where a figure or its ghost is."""
        solid: NDArray[np.bool_] = self.solid[..., 3] > 0.5
        return solid if self.ghost is None else solid | (self.ghost[..., 3] > 0.5)

    def compose(self) -> NDArray[np.uint8]:
        """``(h, w, 3)`` red, green, blue: ghost behind the figure, the ghost's outline in front."""
        scene = self.ground * (1 - SHADOW_DEPTH * self.shadow[..., None])
        if self.ghost is not None:
            scene = over(ghostly(self.ghost), scene)
        scene = over(self.solid, scene)
        if self.ghost is not None:
            line = outline(self.ghost[..., 3], self.ghost.shape[1] / 480)
            edge = GHOST_OUTLINE * line[..., None] * self.solid[..., 3:]
            scene = scene * (1 - edge) + edge
        return (np.clip(scene, 0, 1) * 255 + 0.5).astype(np.uint8)
