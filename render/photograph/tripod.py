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
from ..stage.areas import Area, around, common, inside
from ..stage.label_drawing import Labels
from ..stage.layers import Samples
from ..stage.light import Light
from ..stage.shadow import softened, softness_px
from ..stage.stage import Stage
from .colours import Picture, byte
from .exposing import tone, toned
from .occluders import in_front, shadow_of_things
from .place import Occluder, Place
from .scene import scene_picture
from .shade import Bars
from .sights import Plane, Sights

BARS_TO_M, BARS_FADE_M = 5.0, 2.5
"""How far from the world's origin bars on the ground end, and over how much they fade: nothing shades a whole field (by
looking)."""


@dataclass(frozen=True)
class Photo:
    """One picture and what each of its pixels shows.

    Attributes:
        still: ``(h, w, 3)`` red, green, blue, exposed and without noise: what every picture of the tripod shows where
            neither the golfer nor his shadow is.
        changed: the area where they are.
        colour_there: its colours.
        area: outside which neither golfer, club, ball nor occluder is seen.
        segments_there: in that area, ids of ``SEGMENTS``; 0 where ground or backdrop is seen.
        depth_there: likewise, metres along the optical axis to the middle of each pixel; infinite where none of them is
            seen.

    """

    still: Picture
    changed: Area
    colour_there: Picture
    area: Area
    segments_there: NDArray[np.uint8]
    depth_there: NDArray[np.float32]

    @property
    def size(self) -> tuple[int, int]:
        """Rows and columns."""
        height, width, _ = self.still.shape
        return height, width

    @property
    def colour(self) -> Picture:
        """``(h, w, 3)`` red, green, blue of the whole picture."""
        whole = self.still.copy()
        whole[self.changed] = self.colour_there
        return whole

    @property
    def segments(self) -> NDArray[np.uint8]:
        """``(h, w)`` ids of the whole picture."""
        whole = np.zeros(self.size, np.uint8)
        whole[self.area] = self.segments_there
        return whole

    @property
    def depth(self) -> NDArray[np.float32]:
        """``(h, w)`` metres of the whole picture."""
        whole = np.full(self.size, np.inf, np.float32)
        whole[self.area] = self.depth_there
        return whole


class Tripod:
    """A camera that stands still before a place, on a stage that others may use in between.

    Attributes:
        camera: where from.
        still: ``(h, w, 3)`` red, green, blue, exposed: every picture where neither golfer nor shadow is.

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
        exposure: float = 1.0,
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
            exposure: of all pictures, as a ``Sensor`` has it.

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
        self._tone = tone(exposure)
        still = self._behind
        if self._front is not None:
            still = self._with_front(still.copy(), (slice(0, camera.height), slice(0, camera.width)))
        self.still = toned(still, self._tone)

    def take(self, posed: Posed, moved: Array | None = None) -> Photo:
        """One picture.

        Args:
            posed: the golfer, as labels have it.
            moved: ``(K, V, 3)`` metres, world: the figure's vertices at moments spread evenly over the exposure, by
                which it is blurred; None where nothing moves meanwhile.

        """
        labels = self._stage.labels(self.camera, posed, ball=True)
        changed, there = self._seen(posed, labels, moved)
        if self._front is None:
            return Photo(self.still, changed, there, labels.place, labels.segments, labels.depth)
        front = self._front.place
        area = around([labels.place, front])
        size = [edge.stop - edge.start for edge in area]
        segments, depth = np.zeros(size, np.uint8), np.full(size, np.inf, np.float32)
        own, before = inside(labels.place, area), inside(front, area)
        segments[own], depth[own] = labels.segments, labels.depth
        covered = np.isfinite(self._front.depth)
        segments[before][covered] = SEGMENT_ID["occluder"]
        np.copyto(depth[before], self._front.depth, where=covered)
        return Photo(self.still, changed, there, area, segments, depth)

    def picture(self, posed: Posed, moved: Array | None = None) -> Picture:
        """``(h, w, 3)`` the colours of `take` alone, in less time; arguments as there."""
        labels = self._stage.labels(self.camera, posed, ball=True) if self._bars is not None else None
        changed, there = self._seen(posed, labels, moved)
        colour = self.still.copy()
        colour[changed] = there
        return colour

    def _seen(self, posed: Posed, labels: Labels | None, moved: Array | None) -> tuple[Area, Picture]:
        """The box that holds golfer and shadow, and its colours."""
        shadow = self._stage.shadow_samples(self.camera, posed, light=self._light)
        figure, layer = self._figure(posed, moved)
        area = around([shadow.place, figure])
        part = self._behind[area].copy()
        self._cast_shadow(part[inside(shadow.place, area)], shadow)
        self._lay_figure(part[inside(figure, area)], figure, layer, labels)
        return area, toned(self._with_front(part, area), self._tone)

    def _with_front(self, part: Picture, area: Area) -> Picture:
        """An area of the picture with what stands in front laid over it, in place."""
        if self._front is not None:
            both = common(area, self._front.place)
            own = inside(both, self._front.place)
            _lay(part[inside(both, area)], self._front.colour[own], self._front.left[own])
        return part

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

    def _cast_shadow(self, part: Picture, shadow: Samples) -> None:
        """Darken the ground in the shadow's box, in place."""
        depth = softened(_shrunk(shadow, 3), softness_px(self.camera, self._light))
        left = self._shadow_table[depth]
        if self._left is not None:
            left = np.minimum(left, self._left[shadow.place])
        part[:] = _darkened(self._ground[shadow.place], left)

    def _lay_figure(self, part: Picture, area: Area, layer: NDArray[np.uint8], labels: Labels | None) -> None:
        """Lay the figure over its area of the picture, in place."""
        import cv2

        shades = cv2.cvtColor(layer, cv2.COLOR_RGBA2RGB)
        if self._bars is not None and self._led is not None and labels is not None:
            shades = _darkened(shades, self._barred_figure(self._bars, self._led, area, labels))
        left = cv2.bitwise_not(cv2.extractChannel(layer, 3))
        _lay(part, shades, cv2.merge([left, left, left]))

    def _figure(self, posed: Posed, moved: Array | None) -> tuple[Area, NDArray[np.uint8]]:
        """Where the figure is, and ``(h, w, 4)`` its colours multiplied by coverage, and coverage."""
        import cv2

        postures = (
            [posed] if moved is None else [Posed(posed.figure, vertices, posed.ball, posed) for vertices in moved]
        )
        drawn = [self._stage.figure_samples(self.camera, one, light=self._light, one_sided=True) for one in postures]
        if len(drawn) == 1:
            return drawn[0].place, _shrunk(drawn[0])
        area = around([one.place for one in drawn])
        total = np.zeros((area[0].stop - area[0].start, area[1].stop - area[1].start, 4), np.float32)
        for one in drawn:
            total[inside(one.place, area)] += _shrunk(one)
        return area, cv2.convertScaleAbs(total, alpha=1 / len(drawn))

    def _barred_figure(self, bars: Bars, led: Plane, area: Area, labels: Labels) -> NDArray[np.uint8]:
        """``(h, w)`` what bars leave of the figure in an area."""
        import cv2

        here = np.full([edge.stop - edge.start for edge in area], np.inf, np.float32)
        both = common(area, labels.place)
        here[inside(both, area)] = labels.depth[inside(both, labels.place)]
        # Where a pixel's middle just misses the figure, its edge is as far as the figure beside it.
        beside = cv2.erode(here, np.ones((3, 3), np.uint8), borderType=cv2.BORDER_REPLICATE)
        near = np.where(np.isfinite(here), here, beside)
        near[~np.isfinite(near)] = self.camera.t[2]
        return byte(bars.left_seen(self._sights, near, led[area]), 255, 0.5)


def _shrunk(samples: Samples, channel: int | None = None) -> NDArray[np.uint8]:
    """``(h, w, 4)`` the mean of each pixel's samples, or ``(h, w)`` that of one of its channels."""
    import cv2

    last_row_first = samples.pixels[::-1]  # As it lies in memory: see ``read_pixels``.
    if channel is not None:
        last_row_first = cv2.extractChannel(last_row_first, channel)
    height, width = (length // samples.factor for length in samples.pixels.shape[:2])
    mean: NDArray[np.uint8] = cv2.resize(last_row_first, (width, height), interpolation=cv2.INTER_AREA)
    return cv2.flip(mean, 0)


def _darkened(colour: Picture, left: NDArray[np.uint8]) -> Picture:
    """Colours times what is left of them, 0 to 255."""
    import cv2

    darker: Picture = cv2.multiply(np.ascontiguousarray(colour), cv2.merge([left, left, left]), scale=1 / 255)
    return darker


def _lay(part: Picture, shades: Picture, left: Picture) -> None:
    """Lay shades multiplied by coverage over what coverage leaves, in place."""
    import cv2

    if part.size:
        behind = cv2.multiply(np.ascontiguousarray(part), np.ascontiguousarray(left), scale=1 / 255)
        part[:] = cv2.add(behind, np.ascontiguousarray(shades))
