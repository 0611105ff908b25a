"""Run a general-purpose pose detector over a folder of PNGs. For the detector's own virtual environment:

    python detect_people.py FOLDER FILE.json

Writes, for every picture, the places of the body's landmarks by name in pixels (centres at integers), or null where
nobody was found. The settings are the detector's defaults for single pictures; the model is the one in its package.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path

import cv2
import mediapipe


def main(folder: Path, out: Path) -> None:
    """Detect in every picture of a folder."""
    solution = mediapipe.solutions.pose
    found = {}
    with solution.Pose(static_image_mode=True) as detector:
        for file in sorted(folder.glob("*.png")):
            picture = cv2.imread(str(file))
            height, width = picture.shape[:2]
            person = detector.process(cv2.cvtColor(picture, cv2.COLOR_BGR2RGB)).pose_landmarks
            found[file.name] = person and {
                name.name.lower(): [
                    person.landmark[name].x * width - 0.5,
                    person.landmark[name].y * height - 0.5,
                ]
                for name in solution.PoseLandmark
            }
    out.write_text(json.dumps({"detector": f"mediapipe {mediapipe.__version__}", "found": found}), encoding="utf-8")


if __name__ == "__main__":
    main(Path(sys.argv[1]), Path(sys.argv[2]))
