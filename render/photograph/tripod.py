"""Many pictures from one place: what stands still is drawn once, and only the golfer anew."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ...model.arrays import Array
from ...model.films.camera import Camera
from ..figure.figure import Posed
from ..figure.look import Look
from ..figure.segments import SEGMENT_ID
from ..stage.label_window import Labels
from ..stage.layers import Patch
from ..stage.light import Light
from ..stage.stage import Stage
from .colours import Picture, byte
from .occluders import in_front, shadow_of_things
from .place import Occluder, Place
from .scene import scene_picture
from .shade import Bars
from .sights import Plane, Sights

Area = tuple[slice, slice]
"""Rows and columns of a picture."""
BARS_TO_M, BARS_FADE_M = 5.0, 2.5
"""How far from the world's origin bars on the ground end, and over how much they fade: nothing shades a whole field (by
looking)."""


@dataclass(frozen=True)
class Photo:
    """One picture and what each of its pixels shows.

    Attributes:
        colour: ``(h, w, 3)`` red, green, blue, as light falls on the sensor; see ``exposed_picture``.
        segments: ``(h, w)`` ids of ``SEGMENTS``; 0 where ground or backdrop is seen.
        depth: ``(h, w)`` metres along the optical axis to the middle of each pixel; infinite where neither golfer,
            club, ball nor occluder is seen.

    """

    colour: Picture
    segments: NDArray[np.uint8]
    depth: NDArray[np.float32]


class Tripod:
    """A camera that stands still before a place, on a stage that others may use in between.

    Attributes:
        camera: where from.

    """

    def __init__(
        self,
        stage: Stage,
        camera: Camera,
        place: Place,
        light: Light,
        occluders: Sequence[Occluder] = (),
        *,
        look: Look,
        ball: Array,
        left_handed: bool = False,
    ) -> None:
        """Draw all that stands still.

        Args:
            stage: an open stage.
            camera: where from.
            place: ground and backdrop.
            light: how all of it is lit.
            occluders: what stands nearer to the camera than golfer and club ever come.
            look: of which the target line's colour is taken.
            ball: ``(3,)`` metres, world: where it lies, which the ground's plain colours and the line go by.
            left_handed: the golfer's world is mirrored, light and target line with it; places of things are not.

        """
        self.camera = camera
        self._stage, self._light = stage, light
        sights = Sights.of(camera)
        self._bars = Bars.of(light, left_handed)
        self._ground = scene_picture(camera, sights, place, ball, look.target_line, left_handed=left_handed)
        # What shadows and bars leave of the ground's brightness, 0 to 255; where both fall, the darker of them.
        self._left: NDArray[np.uint8] | None = None
        self._sights, self._led = sights, None
        self._shadow_table = byte(1 - np.float32(light.shadow_depth / 255) * np.arange(256, dtype=np.float32), 255, 0.5)
        if self._bars is not None:
            self._led = sights.along(self._bars.across)
            self._left = self._barred_ground(self._bars, self._led)
        sun = np.array(light.sun) * [1, -1 if left_handed else 1, 1]
        cast = shadow_of_things(camera, sights, occluders, sun, light.shadow_softness * camera.height)
        if cast is not None:
            self._left = np.full(self._ground.shape[:2], 255, np.uint8) if self._left is None else self._left
            (left, top, right, bottom), mask = cast
            area = self._left[top:bottom, left:right]
            np.minimum(area, self._shadow_table[mask], out=area)
        self._behind = self._ground if self._left is None else _darkened(self._ground, self._left)
        self._front = in_front(camera, occluders, light, self._bars, left_handed=left_handed)

    def take(self, posed: Posed, moved: Array | None = None) -> Photo:
        """One picture.

        Args:
            posed: the golfer, as labels have it.
            moved: ``(K, V, 3)`` metres, world: the figure's vertices at moments spread evenly over the exposure, by
                which it is blurred; None where nothing moves meanwhile.

        """
        labels = self._stage.labels(self.camera, posed, ball=True)
        colour = self._golfer_there(posed, labels, moved)
        segments = np.zeros(colour.shape[:2], np.uint8)
        depth = np.full(colour.shape[:2], np.inf, np.float32)
        segments[labels.place], depth[labels.place] = labels.segments, labels.depth
        if self._front is not None:
            left, top, right, bottom = self._front.box
            area = slice(top, bottom), slice(left, right)
            _lay(colour, area, self._front.colour, self._front.left)
            covered = np.isfinite(self._front.depth)
            segments[area][covered] = SEGMENT_ID["occluder"]
            np.copyto(depth[area], self._front.depth, where=covered)
        return Photo(colour, segments, depth)

    def picture(self, posed: Posed, moved: Array | None = None) -> Picture:
        """``(h, w, 3)`` the colours of `take` alone, in less time; arguments as there."""
        barred = self._bars is not None and self._led is not None
        labels = self._stage.labels(self.camera, posed, ball=True) if barred else None
        colour = self._golfer_there(posed, labels, moved)
        if self._front is not None:
            left, top, right, bottom = self._front.box
            _lay(colour, (slice(top, bottom), slice(left, right)), self._front.colour, self._front.left)
        return colour

    def _golfer_there(self, posed: Posed, labels: Labels | None, moved: Array | None) -> Picture:
        """All but what stands in front."""
        colour = self._behind.copy()
        self._cast_shadow(colour, posed)
        self._lay_figure(colour, posed, labels, moved)
        return colour

    def _barred_ground(self, bars: Bars, led: Plane) -> NDArray[np.uint8]:
        """``(h, w)`` what bars leave of the ground; all of what is no ground."""
        left = np.full(self._ground.shape[:2], 255, np.uint8)
        rows = self._sights.looking_down()
        sights = self._sights.rows(rows)
        depth = sights.ground_depth()
        x, y, _ = sights.places(depth)
        gone = np.clip((np.sqrt(x * x + y * y) - np.float32(BARS_TO_M)) / np.float32(BARS_FADE_M) + 1, 0, 1)
        barred = bars.left_seen(sights, depth, led[rows])
        left[rows] = byte(barred + (1 - barred) * gone, 255, 0.5)
        return left

    def _cast_shadow(self, colour: Picture, posed: Posed) -> None:
        patch = self._stage.shadow_patch(self.camera, posed, light=self._light)
        area = patch.place
        left = self._shadow_table[byte(patch.pixels[..., 0], 255, 0.5)]
        if self._left is not None:
            left = np.minimum(left, self._left[area])
        colour[area] = _darkened(self._ground[area], left)

    def _lay_figure(self, colour: Picture, posed: Posed, labels: Labels | None, moved: Array | None) -> None:
        import cv2

        area, layer = self._figure(posed, moved)
        shades = np.ascontiguousarray(layer[..., :3])
        if self._bars is not None and self._led is not None and labels is not None:
            shades = _darkened(shades, self._barred_figure(self._bars, self._led, area, labels))
        left = 255 - layer[..., 3]
        _lay(colour, area, shades, cv2.merge([left, left, left]))

    def _figure(self, posed: Posed, moved: Array | None) -> tuple[Area, NDArray[np.uint8]]:
        """Where the figure is, and ``(h, w, 4)`` its colours multiplied by coverage, and coverage."""
        import cv2

        postures = (
            [posed] if moved is None else [Posed(posed.figure, vertices, posed.ball, posed) for vertices in moved]
        )
        patches = [self._stage.figure_patch(self.camera, one, light=self._light, one_sided=True) for one in postures]
        if len(patches) == 1:
            return patches[0].place, cv2.convertScaleAbs(patches[0].pixels, alpha=255)
        area = _round_all(patches)
        top, left = area[0].start, area[1].start
        total = np.zeros((area[0].stop - top, area[1].stop - left, 4), np.float32)
        for patch in patches:
            rows, columns = patch.place
            total[rows.start - top : rows.stop - top, columns.start - left : columns.stop - left] += patch.pixels
        return area, cv2.convertScaleAbs(total, alpha=255 / len(patches))

    def _barred_figure(self, bars: Bars, led: Plane, area: Area, labels: Labels) -> NDArray[np.uint8]:
        """``(h, w)`` what bars leave of the figure in an area."""
        import cv2

        depth = np.full(self._ground.shape[:2], np.inf, np.float32)
        depth[labels.place] = labels.depth
        # Where a pixel's middle just misses the figure, its edge is as far as the figure beside it.
        here = depth[area]
        beside = cv2.erode(here, np.ones((3, 3), np.uint8), borderType=cv2.BORDER_REPLICATE)
        near = np.where(np.isfinite(here), here, beside)
        near[~np.isfinite(near)] = self.camera.t[2]
        return byte(bars.left_seen(self._sights, near, led[area]), 255, 0.5)


def _round_all(patches: Sequence[Patch]) -> Area:
    places = [patch.place for patch in patches]
    rows = slice(min(r.start for r, _ in places), max(r.stop for r, _ in places))
    return rows, slice(min(c.start for _, c in places), max(c.stop for _, c in places))


def _darkened(colour: Picture, left: NDArray[np.uint8]) -> Picture:
    """Colours times what is left of them, 0 to 255."""
    import cv2

    darker: Picture = cv2.multiply(np.ascontiguousarray(colour), cv2.merge([left, left, left]), scale=1 / 255)
    return darker


def _lay(colour: Picture, area: Area, shades: Picture, left: Picture) -> None:
    """Lay shades multiplied by coverage over what coverage leaves, in place."""
    import cv2

    behind = cv2.multiply(np.ascontiguousarray(colour[area]), left, scale=1 / 255)
    colour[area] = cv2.add(behind, shades)
