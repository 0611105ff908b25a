"""Tracks: where a detector saw a golfer's keypoints in a film, frame by frame, whichever detector it was."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from ..arrays import Array, BoolArray
from ..errors import OutOfRange, TurnstillError

KEYPOINTS: tuple[str, ...] = (
    "nose", "left_eye", "right_eye", "left_ear", "right_ear", "left_shoulder", "right_shoulder", "left_elbow",
    "right_elbow", "left_wrist", "right_wrist", "left_hip", "right_hip", "left_knee", "right_knee", "left_ankle",
    "right_ankle",
)  # fmt: skip
"""The seventeen keypoints of COCO (Lin et al. 2014, arXiv:1405.0312; names from memory); the golfer's own left."""
_OTHER = {"left": "right", "right": "left"}


def _other_side(name: str) -> str:
    side, _, kind = name.partition("_")
    return f"{_OTHER[side]}_{kind}" if kind else name


EXCHANGED = np.array([KEYPOINTS.index(_other_side(name)) for name in KEYPOINTS])
"""``(17,)`` the keypoint that each one is taken for where left and right are exchanged."""
OF_THIRTY_THREE: Mapping[str, int] = {
    "nose": 0, "left_eye": 2, "right_eye": 5, "left_ear": 7, "right_ear": 8, "left_shoulder": 11,
    "right_shoulder": 12, "left_elbow": 13, "right_elbow": 14, "left_wrist": 15, "right_wrist": 16, "left_hip": 23,
    "right_hip": 24, "left_knee": 25, "right_knee": 26, "left_ankle": 27, "right_ankle": 28,
}  # fmt: skip
"""Each keypoint's number in the set of 33 points (Bazarevsky et al. 2020, arXiv:2006.10204; numbers from memory)."""
SLOWEST_FPS, FASTEST_FPS = 10.0, 1000.0
"""Frames a second that a film of a swing can be read at: a backswing lasts about a second."""
FEWEST_FRAMES = 8
MOST_FRAMES = 100_000
LARGEST_PICTURE = 20_000
FARTHEST_PX = 1e6


@dataclass(frozen=True)
class Track:
    """One person's keypoints through a film of ``F`` frames.

    Attributes:
        places: ``(F, 17, 2)`` pixels, x to the right and y down, pixel centres at integers; NaN where not detected.
        confidence: ``(F, 17)`` from 0 to 1; 0 where not detected.
        width, height: of the picture, pixels.
        fps: frames a second of the golfer's time.
        first_frame: number of the first of them in the film.
    """

    places: Array
    confidence: Array
    width: int
    height: int
    fps: float
    first_frame: int = 0

    def __post_init__(self) -> None:
        frames = len(self.places)
        if self.places.shape != (frames, len(KEYPOINTS), 2) or self.confidence.shape != (frames, len(KEYPOINTS)):
            raise TurnstillError(
                f"A track has places (F, 17, 2) and confidences (F, 17), not {self.places.shape} and "
                f"{self.confidence.shape}; give one row of seventeen keypoints a frame."
            )
        if not FEWEST_FRAMES <= frames <= MOST_FRAMES:
            raise TurnstillError(
                f"The track has {frames} frames, but must have {FEWEST_FRAMES} to {MOST_FRAMES}; "
                "film from before the takeaway to after the ball is hit."
            )
        if not SLOWEST_FPS <= self.fps <= FASTEST_FPS:  # Not a number fails this as well.
            raise OutOfRange("fps", float(self.fps), SLOWEST_FPS, FASTEST_FPS)
        for name, size in (("width", self.width), ("height", self.height)):
            if not 16 <= size <= LARGEST_PICTURE:
                raise OutOfRange(name, float(size), 16, LARGEST_PICTURE)
        if (np.abs(self.places) > FARTHEST_PX).any():
            raise TurnstillError(
                f"The track has places more than {FARTHEST_PX:,.0f} pixels away; leave out what was not detected."
            )
        if not np.all((self.confidence >= 0.0) & (self.confidence <= 1.0)):
            raise TurnstillError("The track has confidences outside 0 to 1; give each as a share.")

    @property
    def seen(self) -> BoolArray:
        """``(F, 17)`` what was detected."""
        return np.asarray(np.isfinite(self.places).all(axis=-1))

    @property
    def frames(self) -> int:
        """How many there are."""
        return len(self.places)

    @property
    def seconds(self) -> Array:
        """``(F,)`` s since the first frame."""
        return np.arange(self.frames) / self.fps

    def of(self, name: str) -> Array:
        """``(F, 2)`` pixels, where one keypoint was seen."""
        return self.places[:, KEYPOINTS.index(name)]

    def replace(self, places: Array) -> Track:
        """The same film with other places; what is missing there has no confidence."""
        seen = np.isfinite(places).all(axis=-1)
        return replace(self, places=places, confidence=np.where(seen, self.confidence, 0.0))

    def exchanged(self, frames: BoolArray) -> Track:
        """The same with left and right exchanged in ``frames (F,)``."""
        places = np.where(frames[:, None, None], self.places[:, EXCHANGED], self.places)
        confidence = np.where(frames[:, None], self.confidence[:, EXCHANGED], self.confidence)
        return replace(self, places=places, confidence=confidence)

    def mirrored(self) -> Track:
        """The film as a mirror shows it, left and right exchanged: a left-hander becomes a right-hander."""
        places = self.places[:, EXCHANGED].copy()
        places[..., 0] = self.width - 1.0 - places[..., 0]
        return replace(self, places=places, confidence=self.confidence[:, EXCHANGED])

    def trusted(self, least: float) -> Track:
        """The same without detections of less confidence than ``least``."""
        return self.replace(np.where((self.confidence >= least)[..., None], self.places, np.nan))

    @property
    def torso(self) -> float:
        """Median length in pixels from the middle of the shoulders to that of the hips: a scale of the figure.

        Raises:
            TurnstillError: in no frame both are seen.
        """
        middles = [0.5 * (self.of(f"left_{kind}") + self.of(f"right_{kind}")) for kind in ("shoulder", "hip")]
        length = np.linalg.norm(middles[0] - middles[1], axis=-1)
        if not np.isfinite(length).any():
            raise TurnstillError(
                "In no frame both shoulders and both hips are seen; film the whole golfer, and check the track's names."
            )
        found = float(np.nanmedian(length))
        if found < 4.0:
            raise TurnstillError(
                f"From shoulders to hips there are {found:.1f} pixels, but 4 at least are needed; film from nearer by."
            )
        return found
