"""Finds one person's keypoints in pictures; for the Python of the detector's own environment.

Standard input: a line of JSON with ``width`` and ``height``, and ``quick`` where one look of a pose net is enough; then
picture after picture, red, green and blue bytes.
Standard output: a line of JSON with the name of the ``detector``; then a line for each picture:

- ``pose``: 33 points ``[x, y, visibility]``, or null where nobody was found;
- ``face``: nose, left eye, right eye, left ear and right ear ``[x, y]`` as a face detector has them, or null;
- ``face_confidence``: from 0 to 1;
- ``followed``: the way ``[x, y]`` of the face by what moves with it, counted from a place it was found at, or null;
- ``other``: the length of another person's trunk over this one's; 0 where there is none, null where nobody looked.

Places are shares of the picture's width and height, from its left and upper edge. The nets are those in mediapipe's own
package (Apache-2.0): a pose net (Bazarevsky et al. 2020, arXiv:2006.10204) that looks where the person was a picture
before, and a face detector (Bazarevsky et al. 2019, arXiv:1907.05047; both numbers from memory). Nothing here asks for
the network.

A person who is small in the picture is found badly, or squeezed into the upper half of the body. So before a pose net
looks, a window is laid about who was found, and laid anew about who is found in that; it stays until nobody is in it.

A pose net errs to one side, and takes left for right now and then, in other pictures when it sees them mirrored. So
one net sees each picture as it is and another its mirror image, and the mean is taken.

A pose net drags the face along with the arms, a face detector does not; but it errs a little, and each time anew, as
what it is shown is moved, turned or enlarged. So it is shown the head in several ways, and the medians are taken. And
from a face that either found the head is followed (`face_following`).
"""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import Any

import cv2
import mediapipe
import numpy as np

# The environment knows nothing of the program that this file is of.
sys.path.insert(0, str(Path(__file__).parent))

from face_following import FaceFollower

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
LAYINGS = 3
"""How often the window is laid: first about who was found in the whole picture."""
ROOM = 1.0
"""Between a person and the window's edges, in the longer side of what was found: half a body is seen whole then."""
MIRRORED = (0, 4, 5, 6, 1, 2, 3, *(point + 1 - 2 * (point % 2 == 0) for point in range(7, 33)))
"""Each of the pose net's points on the other side: but for the nose and the eyes, odd ones are left."""
SIDES = (tuple(range(11, 23)), (23, 24), (25, 26), tuple(range(27, 33)))
"""What a net takes for each other's at once: shoulders with the arms, hips, knees, feet. All of them tell together:
down the line shoulders lie behind one another, and say nothing alone."""
AGREE_WITHIN = 0.2
"""Trunk lengths that a point may be apart in a picture and in its mirror image, for their mean to be taken (our
choice)."""
NOWHERE = np.full((5, 2), np.nan)
FACE = (2, 1, 0, 5, 4)
"""Nose, left eye, right eye, left ear, right ear among the face detector's points: it begins with the right eye."""


class Finder:
    """Nets that are kept over all pictures; a quick one has one look at the body, and none at faces and others."""

    def __init__(self, quick: bool = False) -> None:
        self._quick = quick
        solutions = mediapipe.solutions
        self._pose, self._mirrored = (solutions.pose.Pose(smooth_landmarks=False) for _ in range(2))
        self._other = solutions.pose.Pose(static_image_mode=True)
        self._face = solutions.face_detection.FaceDetection(min_detection_confidence=LEAST_SCORE)
        self._follower = FaceFollower()
        self._looked, self._before, self._window = 0, None, None

    def find(self, picture: Any) -> dict[str, Any]:
        """What is in a picture ``(h, w, 3)``, as it is written out."""
        size = np.array(picture.shape[1::-1], float)
        points = self._before = self._find_body(picture, size)
        found: dict[str, Any] = {
            "pose": None, "face": None, "face_confidence": 0.0, "followed": None, "other": None
        }  # fmt: skip
        if points is None:
            found["followed"] = self._follow(picture, NOWHERE, np.nan)
            return found
        found["pose"] = points.round(5).tolist()
        if self._quick:
            return found
        places = points[:, :2] * size
        face, share = self._find_face(picture, places)
        if face is not None:
            found["face"], found["face_confidence"] = (face / size).round(5).tolist(), round(share, 3)
        found["followed"] = self._follow(picture, places[list(HEAD)] if face is None else face, _trunk(places))
        if self._looked % LOOK_FOR_OTHERS == 0:
            found["other"] = self._find_other(picture, places, size)
        self._looked += 1
        return found

    def _find_body(self, picture: Any, size: Any) -> Any:
        """``(33, 3)`` or None."""
        points = self._look(picture, size)
        if points is None:
            self._window = self._laid(picture, size)
            points = self._look(picture, size)
        return points

    def _laid(self, picture: Any, size: Any) -> Any:
        """The window ``(2, 2)`` about a person, its upper left and lower right corner in pixels; None without one."""
        window = None
        for _ in range(LAYINGS):
            shown = np.array([(0, 0), size], int) if window is None else window
            points = _points(self._other.process(_part(picture, shown)))
            if points is None:
                break
            window = around(_in_whole(points, shown, size)[:, :2] * size, size)
        return window

    def _look(self, picture: Any, size: Any) -> Any:
        """Both nets' answer ``(33, 3)`` in the window there is, or None."""
        if self._window is None:
            return None
        part = _part(picture, self._window)
        one = _points(self._pose.process(part))
        other = None if self._quick else _points(self._mirrored.process(np.fliplr(part).copy()))
        one, other = (
            None if points is None else _in_whole(points, self._window, size) for points in (one, unmirrored(other))
        )
        return together(one, other, self._before, size)

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

    def _follow(self, picture: Any, face: Any, trunk: float) -> Any:
        # There pixels' middles lie at whole numbers.
        way = self._follower.follow(picture, face - 0.5, trunk) + 0.5
        return ((way / picture.shape[1::-1]).round(6)).tolist() if np.isfinite(way).all() else None

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


def around(places: Any, size: Any) -> Any:
    """The window ``(2, 2)`` about places ``(33, 2)``, whole pixels of a picture of that size."""
    low, high = places.min(axis=0), places.max(axis=0)
    room = ROOM * (high - low).max()
    corners = np.array([np.floor(low - room), np.ceil(high + room)])
    # Whoever is guessed to be outside leaves a strip of the picture at least.
    return np.clip(corners, [(0, 0), (8, 8)], [size - 8, size]).astype(int)


def _part(picture: Any, window: Any) -> Any:
    """What of a picture lies in a window, one row after another."""
    (left, top), (right, bottom) = window
    return np.ascontiguousarray(picture[top:bottom, left:right])


def _in_whole(points: Any, window: Any, size: Any) -> Any:
    """Points ``(33, 3)`` of a window as those of the whole picture."""
    places = window[0] + points[:, :2] * (window[1] - window[0])
    return np.column_stack([places / size, points[:, 2]])


def unmirrored(points: Any) -> Any:
    """What was found in a picture's mirror image ``(33, 3)``, in the picture itself; None where nothing was."""
    return None if points is None else points[list(MIRRORED)] * (-1.0, 1.0, 1.0) + (1.0, 0.0, 0.0)


def together(one: Any, other: Any, before: Any, size: Any) -> Any:
    """The mean of two looks ``(33, 3)`` at a person, or the only one; None where there is none.

    What a net takes for each other's (`SIDES`) is taken with left and right as the first look has them; a face's points
    are not. A point that the two put in two places
    is where it lies nearer to where it was before.

    Args:
        one: what was found in the picture, or None.
        other: what was found in its mirror image, `unmirrored`, or None.
        before: the mean of a picture before, or None.
        size: ``(2,)`` of the picture, pixels.
    """
    if one is None or other is None:
        return other if one is None else one
    exchanged, other = other[list(MIRRORED)], other.copy()
    for points in map(list, SIDES):
        if _apart(one, exchanged, size)[points].sum() < _apart(one, other, size)[points].sum():
            other[points] = exchanged[points]
    mean = 0.5 * (one + other)
    far = _apart(one, other, size) > AGREE_WITHIN * _trunk(one[:, :2] * size)
    last = one if before is None else before
    nearer = np.where((_apart(one, last, size) <= _apart(other, last, size))[:, None], one, other)
    return np.where(far[:, None], nearer, mean)


def _apart(one: Any, other: Any, size: Any) -> Any:
    """``(33,)`` pixels between the points of two looks."""
    return np.linalg.norm((one - other)[:, :2] * size, axis=1)


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
    finder = Finder(bool(asked.get("quick")))
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
