"""The one drawing language over pictures: circles, lines and labels that stay clear of the figure."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from types import TracebackType
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from ...model.arrays import Array, ArrayLike
from ..palette import HALO, Colour

if TYPE_CHECKING:
    from PIL import Image, ImageFont

FINE = 3
"""The overlay is drawn this many times larger and shrunk, which smooths every edge."""
LINE_PX, HALO_PX = 5.0, 2.0
"""Widths in a picture 720 pixels wide, legible when shown at half that (by looking)."""
DASH_PX, GAP_PX = 12.0, 13.0


@cache
def _font(size: int, bold: bool) -> ImageFont.FreeTypeFont:
    import matplotlib
    from PIL import ImageFont

    name = "DejaVuSans-Bold.ttf" if bold else "DejaVuSans.ttf"
    return ImageFont.truetype(str(Path(matplotlib.get_data_path()) / "fonts" / "ttf" / name), size)


def arc_dashes(points: Array, dash: float, gap: float) -> list[Array]:
    """Pieces of a polyline: ``(M, 2)`` cut into dashes of a given length and gap along the way."""
    steps = np.linalg.norm(np.diff(points, axis=0), axis=1)
    way = np.concatenate([[0.0], np.cumsum(steps)])
    if way[-1] <= 0:
        return []
    # Stretch the pattern so that it ends with a whole dash.
    count = max(1, round((way[-1] + gap) / (dash + gap)))
    scale = way[-1] / (count * (dash + gap) - gap) if count > 1 else 1.0
    pieces = []
    for k in range(count):
        begin = k * (dash + gap) * scale
        end = min(begin + dash * scale, way[-1]) if count > 1 else way[-1]
        inner = way[(way > begin) & (way < end)]
        at = np.concatenate([[begin], inner, [end]])
        pieces.append(np.stack([np.interp(at, way, points[:, axis]) for axis in range(2)], -1))
    return pieces


def circle(centre: ArrayLike, radius: float) -> Array:
    """``(97, 2)`` places round a circle of a radius in pixels."""
    turn = np.linspace(0.0, 2 * np.pi, 97)
    ring: Array = np.asarray(centre, float) + radius * np.stack([np.cos(turn), np.sin(turn)], -1)
    return ring


class Marks:
    """Draws over one picture; use it as a context manager, then take ``result``.

    All places are pixels of the picture, with pixel centres at integers. Sizes are scaled by the picture's
    width over 720.

    Args:
        picture: ``(h, w, 3)`` red, green, blue, 0 to 255.
        origin: where the first pixel of ``picture`` lies, if it is cut out of a larger one that places refer to.
        whole_width: pixels, the width of that larger one.

    """

    def __init__(
        self,
        picture: NDArray[np.uint8],
        *,
        origin: tuple[int, int] = (0, 0),
        whole_width: int | None = None,
    ) -> None:
        self.picture = picture
        self.height, self.width = picture.shape[:2]
        self.unit = (whole_width or self.width) / 720
        self.origin = np.asarray(origin, float)
        self.overlay: NDArray[np.float32] | None = None
        self.result: Image.Image | None = None
        self._layer: Any = None
        self._draw: Any = None

    def __enter__(self) -> Marks:
        from PIL import Image, ImageDraw

        self._layer = Image.new("RGBA", (self.width * FINE, self.height * FINE), (*HALO, 0))
        self._draw = ImageDraw.Draw(self._layer)
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        from PIL import Image

        if kind is None:
            small = np.asarray(_shrunk(self._layer), np.float32) / np.float32(255)
            self.overlay = small
            base = self.picture.astype(np.float32) / 255
            mixed = base * (1 - small[..., 3:]) + small[..., :3]
            self.result = Image.fromarray(np.uint8(np.clip(mixed, 0, 1) * 255 + 0.5))

    def inked(self) -> NDArray[np.bool_]:
        """``(h, w)`` true where anything has been drawn so far, its halo too."""
        return np.asarray(self._layer.getchannel("A").reduce(FINE)) > 0

    def _fine(self, points: ArrayLike) -> list[tuple[float, float]]:
        placed = (np.asarray(points, float) - self.origin + 0.5) * FINE
        return [(float(x), float(y)) for x, y in placed.reshape(-1, 2)]

    def _stroke(self, pieces: list[Array], colour: Colour, width: float) -> None:
        pixels = max(1, round(width * self.unit * FINE))
        for piece in pieces:
            line = self._fine(piece)
            self._draw.line(line, fill=(*colour, 255), width=pixels, joint="curve")
            for x, y in (line[0], line[-1]):
                r = pixels / 2
                self._draw.ellipse((x - r, y - r, x + r, y + r), fill=(*colour, 255))

    def line(
        self,
        points: ArrayLike,
        colour: Colour,
        *,
        width: float = LINE_PX,
        dashed: bool = False,
        edge: Colour | None = None,
        edge_px: float = HALO_PX,
    ) -> None:
        """A line through ``(M, 2)`` places, with an edge in another colour around it."""
        path = np.asarray(points, float).reshape(-1, 2)
        path = path[np.isfinite(path).all(axis=1)]
        if len(path) < 2:
            return
        pieces = arc_dashes(path, DASH_PX * self.unit, GAP_PX * self.unit) if dashed else [path]
        self._stroke(pieces, HALO if edge is None else edge, width + 2 * edge_px)
        self._stroke(pieces, colour, width)

    def dot(self, centre: ArrayLike, colour: Colour, *, radius: float = 4.5, edge: Colour | None = None) -> None:
        """A small filled disc."""
        ((x, y),) = self._fine(centre)
        for r, fill in ((radius + HALO_PX, HALO if edge is None else edge), (radius, colour)):
            r *= self.unit * FINE
            self._draw.ellipse((x - r, y - r, x + r, y + r), fill=(*fill, 255))

    def text_size(self, text: str, *, size: int, bold: bool = False) -> tuple[float, float]:
        """Width and height of a text in pixels."""
        font = _font(round(size * self.unit * FINE), bold)
        left, top, right, bottom = font.getbbox(text, anchor="ls")
        return (right - left) / FINE, (bottom - top) / FINE

    def text(
        self,
        place: ArrayLike,
        text: str,
        colour: Colour,
        *,
        size: int,
        bold: bool = False,
        anchor: str = "lm",
    ) -> None:
        """A text with a halo; ``anchor`` as Pillow has it (first letter across, second letter down)."""
        font = _font(round(size * self.unit * FINE), bold)
        self._draw.text(
            self._fine(place)[0], text, fill=(*colour, 255), font=font, anchor=anchor,
            stroke_width=round(3.0 * self.unit * FINE), stroke_fill=(*HALO, 255),
        )  # fmt: skip


def _shrunk(layer: Image.Image) -> Image.Image:
    """The overlay at the picture's size, its colours multiplied by alpha before the mean."""
    return layer.convert("RGBa").reduce(FINE)


def free_place(
    covered: NDArray[np.bool_],
    size: tuple[float, float],
    wanted: ArrayLike,
    margin: float,
    taken: list[Array],
) -> Array:
    """Where along the left or right edge a label hides least and stands nearest to what it names.

    Args:
        covered: ``(h, w)`` true where figures are, or marks.
        size: width and height of the label, pixels.
        wanted: ``(2,)`` the place it names, pixels.
        margin: distance kept from the picture's edge, pixels.
        taken: boxes ``(4,)`` left, top, right, bottom that are in use; the chosen box is added.

    Returns:
        ``(2,)`` the middle of the label.

    """
    height, width = covered.shape
    half = np.asarray(size) / 2
    want = np.asarray(wanted, float)
    best, best_cost = None, np.inf
    for x in (margin + half[0], width - margin - half[0]):
        for y in np.arange(margin + half[1], height - margin - half[1], 8.0):
            box = np.array([x - half[0], y - half[1], x + half[0], y + half[1]])
            left, top, right, bottom = np.clip(box, 0, [width, height, width, height]).astype(int)
            hidden = float(covered[top:bottom, left:right].mean())
            clash = sum(bool(box[0] < b[2] and b[0] < box[2] and box[1] < b[3] and b[1] < box[3]) for b in taken)
            away = np.abs(np.array([x, y]) - want) / width
            # A little hidden is too much already: that costs what a tenth of the width of way up or down does.
            cost = 0.5 * (hidden > 0) + 12.0 * hidden + 10.0 * clash + float(away[0] + 5.0 * away[1])
            if cost < best_cost:
                best, best_cost = box, cost
    assert best is not None  # Some box always has a finite cost.
    taken.append(best)
    middle: Array = 0.5 * (best[:2] + best[2:])
    return middle
