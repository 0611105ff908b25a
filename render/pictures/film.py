"""One view of one swing as a film: what stands still is drawn once, what moves is drawn where it is."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from ...model.films.camera import Camera
from ..figure.figure import Posed
from ..stage.areas import around, inside
from ..stage.layers import SHADOW_DEPTH, Patch, outlined, over
from ..stage.stage import Stage
from .film_labels import Labels
from .marks import Marks
from .picture import SwingView, draw_heads, draw_lines, draw_plumb_line

_MARKS_MARGIN = 12.0
"""How far marks reach beyond the places they mark, in a picture 720 pixels wide."""


class FilmView:
    """Draws any moment of one swing from one camera, always into the same picture.

    The ground, the address ghost and the labels are drawn once. Every moment then redraws only the boxes that the
    figure, its shadow and the marks take. Labels stand behind the figure, so that they never hide it.

    Args:
        stage: an open stage.
        camera: where from.
        address: the figure at address.
        shown: the swing at any moment, for its names and its address.
        labels: what is written; nothing if None.

    """

    def __init__(self, stage: Stage, camera: Camera, address: Posed, shown: SwingView, labels: Labels | None) -> None:
        self._stage, self._camera, self._labels = stage, camera, labels
        self._ground = stage.ground(camera, address).copy()  # Words are written into it.
        written = None if labels is None else labels.still(camera.width, camera.height)
        if written is not None:
            self._write(written)
        self._ghost = outlined(stage.silhouette(camera, address).whole(camera.height, camera.width)[..., 0])
        self._plumb = self._plumb_line(shown)
        self._bare = self._ground.copy()
        self._now: tuple[str, Patch | None] = ("", None)
        self._still = np.empty((camera.height, camera.width, 3), np.uint8)
        self._settle(slice(None), slice(None))
        self.picture = self._still.copy()
        """``(height, width, 3)`` red, green, blue: the moment drawn last. Drawing changes it in place."""
        self._touched: list[tuple[slice, slice]] = []

    def draw(self, posed: Posed, shown: SwingView) -> NDArray[np.uint8]:
        """Draw a moment.

        Args:
            posed: the figure at this moment.
            shown: this moment, as ``top``, with the head's path up to it and its angles.

        Returns:
            ``picture``, ``(height, width, 3)``; the next drawing overwrites it.

        """
        self._write_now(shown)
        for place in self._touched:
            self.picture[place] = self._still[place]
        solid = self._stage.figure_patch(self._camera, posed)
        shadow = self._stage.shadow_patch(self._camera, posed)
        self._touched = [self._figure(solid, shadow), self._marks(shown)]
        return self.picture

    def _figure(self, solid: Patch, shadow: Patch) -> tuple[slice, slice]:
        place = around([solid.place, shadow.place])
        scene = self._ground[place].copy()
        scene[inside(shadow.place, place)] *= 1 - np.float32(SHADOW_DEPTH) * shadow.pixels
        scene = over(self._ghost[place], scene)
        inner = inside(solid.place, place)
        scene[inner] = over(solid.pixels, scene[inner])
        self.picture[place] = self._with_plumb_line(scene, place)
        return place

    def _marks(self, shown: SwingView) -> tuple[slice, slice]:
        camera = self._camera
        lines = [ends for line in shown.lines for ends in shown.ends(line).values()]
        heads = np.asarray(shown.head_path, float)
        centres = camera.project(heads)
        radius = (camera.K[0, 0] * shown.head_radius_m / camera.depth(heads)).max()
        places = np.concatenate([centres - radius, centres + radius, camera.project(np.concatenate(lines))])
        margin = _MARKS_MARGIN * camera.width / 720
        size = np.array([camera.width, camera.height])
        low = np.clip(np.floor(places.min(axis=0) - margin), 0, size - 1).astype(int)
        high = np.clip(np.ceil(places.max(axis=0) + margin), low + 1, size).astype(int)
        place = slice(int(low[1]), int(high[1])), slice(int(low[0]), int(high[0]))
        origin = (int(low[0]), int(low[1]))
        with Marks(self.picture[place], origin=origin, whole_width=camera.width) as marks:
            draw_lines(marks, shown, camera)
            draw_heads(marks, shown, camera)
        self.picture[place] = np.asarray(marks.result)
        return place

    def _plumb_line(self, shown: SwingView) -> NDArray[np.float32] | None:
        camera = self._camera
        with Marks(np.zeros((camera.height, camera.width, 3), np.uint8)) as marks:
            draw_plumb_line(marks, shown, camera)
        overlay = marks.overlay
        return overlay if overlay is not None and overlay.any() else None

    def _with_plumb_line(self, scene: NDArray[np.float32], place: tuple[slice, slice]) -> NDArray[np.uint8]:
        if self._plumb is not None:
            scene = over(self._plumb[place], scene)
        return (np.clip(scene, 0, 1) * 255 + 0.5).astype(np.uint8)

    def _settle(self, rows: slice, columns: slice) -> None:
        """Compose anew what stands still in a box."""
        place = rows, columns
        self._still[place] = self._with_plumb_line(over(self._ghost[place], self._ground[place]), place)

    def _write(self, patch: Patch) -> None:
        self._ground[patch.place] = over(patch.pixels, self._ground[patch.place])

    def _write_now(self, shown: SwingView) -> None:
        if self._labels is None:
            return
        words = self._labels.words(shown)
        before_words, before = self._now
        if words == before_words:
            return
        patch = self._labels.written(words, self._camera.width, self._camera.height)
        if before is not None:
            self._ground[before.place] = self._bare[before.place]
        self._write(patch)
        changed = around([patch.place] if before is None else [patch.place, before.place])
        self._settle(*changed)
        self.picture[changed] = self._still[changed]
        self._now = (words, patch)
