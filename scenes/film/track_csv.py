"""A track as the project's CSV: where keypoints are in a film, frame by frame."""

from __future__ import annotations

import numpy as np

from ...model.films.tracks import KEYPOINTS, Track

COLUMNS = ("frame", "keypoint", "x", "y", "confidence")


def track_csv(track: Track) -> str:
    """The text: the film's size and rate, a heading, and a row for each keypoint that is there."""
    first = f"# width={track.width} height={track.height} fps={track.fps:g}"
    rows = [
        f"{frame + track.first_frame},{KEYPOINTS[k]},{track.places[frame, k, 0]:.3f},{track.places[frame, k, 1]:.3f},"
        f"{track.confidence[frame, k]:g}"
        for frame, k in np.argwhere(track.seen)
    ]
    return "\n".join([first, ",".join(COLUMNS), *rows]) + "\n"
