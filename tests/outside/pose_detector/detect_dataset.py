"""Run a general-purpose pose detector over a split of a data set. For the detector's own virtual environment:

    python detect_dataset.py FOLDER SPLIT RESULTS.json

Writes COCO keypoint results that ``turnstill dataset score`` reads; pictures where nobody was found have none.
"""

from __future__ import annotations

import json
import sys
import tarfile
from pathlib import Path

import cv2
import mediapipe
import numpy as np

KEYPOINTS = (0, 2, 5, 7, 8, 11, 12, 13, 14, 15, 16, 23, 24, 25, 26, 27, 28)
"""Of the detector's 33 landmarks, those that COCO has, in its order."""


def main(folder: Path, split: str, out: Path) -> None:
    """Detect in every picture of a split."""
    images = json.loads((folder / "coco" / f"{split}.json").read_text(encoding="utf-8"))["images"]
    ids = {image["file_name"]: image["id"] for image in images}
    results = []
    with mediapipe.solutions.pose.Pose(static_image_mode=True) as detector:
        for shard in sorted((folder / "shards").glob(f"{split}-?????.tar")):
            with tarfile.open(shard) as archive:
                for member in archive:
                    if member.name not in ids:
                        continue
                    data = np.frombuffer(archive.extractfile(member).read(), np.uint8)
                    picture = cv2.imdecode(data, cv2.IMREAD_COLOR)
                    height, width = picture.shape[:2]
                    person = detector.process(cv2.cvtColor(picture, cv2.COLOR_BGR2RGB)).pose_landmarks
                    if person is None:
                        continue
                    marks = [person.landmark[k] for k in KEYPOINTS]
                    flat = [value for m in marks for value in (m.x * width - 0.5, m.y * height - 0.5, m.visibility)]
                    score = sum(m.visibility for m in marks) / len(marks)
                    results.append({"image_id": ids[member.name], "category_id": 1, "keypoints": flat, "score": score})
    out.write_text(json.dumps(results), encoding="utf-8")


if __name__ == "__main__":
    main(Path(sys.argv[1]), sys.argv[2], Path(sys.argv[3]))
