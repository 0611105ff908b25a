"""Finds one person's keypoints in pictures; for the Python of the detector's own environment.

Standard input: a line of JSON with ``width`` and ``height``, then picture after picture, red, green and blue bytes.
Standard output: a line of JSON with the name of the ``detector``; then a line for each picture:

- ``pose``: 33 points ``[x, y, visibility]``, or null where nobody was found;
- ``face``: nose, left eye, right eye, left ear and right ear ``[x, y]`` as a face detector has them, or null;
- ``face_confidence``: from 0 to 1;
- ``other``: the length of another person's trunk over this one's; 0 where there is none, null where nobody looked.

Places are shares of the picture's width and height, from its left and upper edge. The nets are those in mediapipe's own
package (Apache-2.0): a pose net (Bazarevsky et al. 2020, arXiv:2006.10204) that looks where the person was a picture
before, and a face detector (Bazarevsky et al. 2019, arXiv:1907.05047; both numbers from memory). Nothing here asks for
the network.

A pose net drags the face along with the arms, a face detector does not; but it errs a little, and each time anew, as
what it is shown is moved, turned or enlarged. So it is shown the head in several ways, and the medians are taken.
"""

from __future__ import annotations

import json
import sys
from typing import Any

import cv2
import mediapipe
import numpy as np

CROPS = tuple(
    (side, across, down, turn)
    for side in (0.55, 0.75, 1.0)
    for across, down, turn in ((0.05, 0.03, 1.25), (-0.05, -0.03, 0.75), (0.0, 0.04, 0.5), (0.0, -0.04, 1.0))
)
"""Sides in trunk lengths, how far the head is off the middle in sides, how much of its tilt is undone (by trying)."""
CROP_PX = 256
AGREEING = 0.65
"""Of the crops: a face that fewer show is none."""
LEAST_SCORE = 0.3
LOOK_FOR_OTHERS = 12
"""Every so many pictures."""
NOSE, EYES, MOUTH, HEAD, SHOULDERS, HIPS = 0, (2, 5), (9, 10), (0, 2, 5, 7, 8), (11, 12), (23, 24)
FACE = (2, 1, 0, 5, 4)
"""Nose, left eye, right eye, left ear, right ear among the face detector's points: it begins with the right eye."""


class Finder:
    """Nets that are kept over all pictures."""

    def __init__(self) -> None:
        solutions = mediapipe.solutions
        self._pose = solutions.pose.Pose(smooth_landmarks=False)
        self._other = solutions.pose.Pose(static_image_mode=True)
        self._face = solutions.face_detection.FaceDetection(min_detection_confidence=LEAST_SCORE)
        self._looked = 0

    def find(self, picture: Any) -> dict[str, Any]:
        """What is in a picture ``(h, w, 3)``, as it is written out."""
        size = np.array(picture.shape[1::-1], float)
        points = _points(self._pose.process(picture))
        found: dict[str, Any] = {"pose": None, "face": None, "face_confidence": 0.0, "other": None}
        if points is None:
            return found
        found["pose"] = points.round(5).tolist()
        places = points[:, :2] * size
        face, share = self._find_face(picture, places)
        if face is not None:
            found["face"], found["face_confidence"] = (face / size).round(5).tolist(), round(share, 3)
        if self._looked % LOOK_FOR_OTHERS == 0:
            found["other"] = self._find_other(picture, places, size)
        self._looked += 1
        return found

    def _find_face(self, picture: Any, places: Any) -> tuple[Any, float]:
        trunk, head = _trunk(places), places[list(HEAD)].mean(axis=0)
        up = places[list(EYES)].mean(axis=0) - places[list(MOUTH)].mean(axis=0)
        tilt = np.degrees(np.arctan2(up[0], -up[1]))
        faces = []
        for side, across, down, turn in CROPS:
            length = max(side * trunk, 8.0)
            middle = head + length * np.array([across, down]) - 0.5  # Here pixels' middles lie at whole numbers.
            scale = CROP_PX / length
            to_crop = cv2.getRotationMatrix2D((float(middle[0]), float(middle[1])), float(tilt * turn), scale)
            to_crop[:, 2] += CROP_PX / 2 - 0.5 - middle
            way = cv2.INTER_AREA if scale < 1.0 else cv2.INTER_LINEAR
            crop = cv2.warpAffine(
                picture, to_crop, (CROP_PX, CROP_PX), flags=way, borderMode=cv2.BORDER_REPLICATE
            )  # fmt: skip
            answers = self._face.process(crop).detections
            if answers:
                best = max(answers, key=lambda one: one.score[0]).location_data.relative_keypoints
                own = np.array([(best[k].x, best[k].y) for k in FACE]) * CROP_PX - 0.5 - to_crop[:, 2]
                faces.append(own @ np.linalg.inv(to_crop[:, :2]).T + 0.5)
        if len(faces) < AGREEING * len(CROPS):
            return None, 0.0
        return np.median(faces, axis=0), len(faces) / len(CROPS)

    def _find_other(self, picture: Any, places: Any, size: Any) -> float:
        """Another person, who is seen when this one is painted over."""
        room = 0.35 * _trunk(places)
        low = np.clip(places.min(axis=0) - room, 0, size).astype(int)
        high = np.clip(places.max(axis=0) + room, 0, size).astype(int)
        without = picture.copy()
        without[low[1] : high[1], low[0] : high[0]] = picture.reshape(-1, 3).mean(axis=0)
        other = _points(self._other.process(without))
        if other is None or other[[*SHOULDERS, *HIPS], 2].min() < 0.5:
            return 0.0
        return round(float(_trunk(other[:, :2] * size) / _trunk(places)), 3)


def _points(answer: Any) -> Any:
    """``(33, 3)`` or None."""
    if not answer.pose_landmarks:
        return None
    return np.array([(one.x, one.y, min(max(one.visibility, 0.0), 1.0)) for one in answer.pose_landmarks.landmark])


def _trunk(places: Any) -> float:
    """Pixels from the middle of the shoulders to that of the hips, one at least."""
    return max(
        float(np.linalg.norm(places[list(SHOULDERS)].mean(axis=0) - places[list(HIPS)].mean(axis=0))), 1.0
    )  # fmt: skip


def main() -> None:
    """Answer picture by picture until there are no more."""
    asked = json.loads(sys.stdin.buffer.readline())
    width, height = int(asked["width"]), int(asked["height"])
    finder = Finder()
    # Whatever the libraries print goes elsewhere: the answers are all that is here.
    answers, sys.stdout = sys.stdout, sys.stderr
    answers.write(json.dumps({"detector": f"mediapipe {mediapipe.__version__}"}) + "\n")
    answers.flush()
    while len(data := sys.stdin.buffer.read(width * height * 3)) == width * height * 3:
        picture = np.frombuffer(data, np.uint8).reshape(height, width, 3)
        answers.write(json.dumps(finder.find(picture)) + "\n")
        answers.flush()


if __name__ == "__main__":
    main()
