"""The pictures of a plain film: golfer, ground and trees, and nothing drawn over them."""

from __future__ import annotations

from types import TracebackType
from typing import Any

import numpy as np

from ...model.films.camera import Camera
from ...model.films.keypoint_places import places
from ...model.films.tracks import Track
from ...model.swing.swing import Swing
from .reel import Frame

GRASS = ((62, 98, 48), (112, 146, 76))
TREES = ((52, 74, 48), (118, 142, 92))
"""Two colours each that a texture goes between (by looking)."""


class PlainReel:
    """Draws one golfer for any cameras; use it as a context manager so that its stage closes.

    Args:
        swing: of many moments, no batch axes.
        seed: of the ground's and the trees' textures.

    Raises:
        OpenGLMissing: on entering, where no window can be opened.
    """

    def __init__(self, swing: Swing, seed: int) -> None:
        self._swing, self._seed = swing, seed
        self._stage: Any = None
        self._figure: Any = None

    def __enter__(self) -> PlainReel:
        from ...render.stage.stage import Stage

        self._stage = Stage().__enter__()
        try:
            swing = self._swing
            self._figure = self._stage.figure(swing.body, swing.skeleton[0], left_handed=swing.left_handed)
        except BaseException:
            self._stage.__exit__(None, None, None)
            raise
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._stage.__exit__(kind, error, trace)

    def seen_by(self, camera: Camera) -> PlainView:
        """What draws the film of one camera."""
        from ...render.figure.figure import Posed
        from ...render.photograph.place import Place
        from ...render.photograph.tripod import Tripod
        from ...render.stage.light import Light

        place = Place(
            "grass", "trees", *GRASS, *TREES, contrast=0.35, texture_seed=self._seed, target_line=False
        )  # fmt: skip
        ball = Posed.ball_of(self._swing.skeleton[0])
        tripod = Tripod(
            self._stage, camera, place, Light(), look=self._figure.look, ball=ball, left_handed=self._swing.left_handed
        )
        return PlainView(tripod, self._figure, self._swing)

    def track(self, camera: Camera, moments: list[int], fps: float) -> Track:
        """Where the keypoints of every frame are: joint centres, and places on the face as it is drawn.

        Args:
            camera: of the film.
            moments: of each frame.
            fps: frames a second.
        """
        skeleton = self._swing.skeleton
        joints = {**skeleton.joints, **self._figure.landmarks(skeleton)}
        world = np.moveaxis(places(joints, left_handed=self._swing.left_handed), 0, 1)[moments]
        seen = camera.project(world)
        size = np.array([camera.width, camera.height])
        inside = np.asarray(((seen >= -0.5) & (seen <= size - 0.5)).all(axis=-1))
        return Track(
            np.where(inside[..., None], seen, np.nan), inside.astype(float), camera.width, camera.height, fps
        )  # fmt: skip


class PlainView:
    """The film of one camera."""

    def __init__(self, tripod: Any, figure: Any, swing: Swing) -> None:
        self._tripod, self._figure, self._swing = tripod, figure, swing

    def draw(self, moment: int) -> Frame:
        """``(height, width, 3)`` the picture of one moment."""
        from ...render.figure.figure import Posed

        drawn: Frame = self._tripod.picture(Posed.of(self._figure, self._swing.skeleton[moment]))
        return drawn
