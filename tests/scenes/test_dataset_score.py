"""Scores of answers made up by hand: what is put in wrong is told, by how much, and where."""

from __future__ import annotations

import json
import shutil
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from made_sets import made_by_hand
from shown import tables

from turnstill.model.errors import TurnstillError
from turnstill.scenes.dataset.layout.archive import ArchiveWriter
from turnstill.scenes.dataset.layout.reading import open_dataset
from turnstill.scenes.dataset.layout.sample import KEYPOINTS, Sample
from turnstill.scenes.dataset.scoring.head import read_heads
from turnstill.scenes.dataset.scoring.judged import Judged
from turnstill.scenes.dataset.scoring.page import score_page
from turnstill.scenes.dataset.scoring.results import Found
from turnstill.scenes.dataset.scoring.truth import PARTS_OF_WAY, Truth
from turnstill.scenes.dataset.scoring.work import score_keypoints

Made = tuple[Path, dict[str, Sample]]


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Made:
    folder = tmp_path_factory.mktemp("scored") / "set"
    return folder, made_by_hand(folder)


def answer(image: int, points: Any, **changes: Any) -> dict[str, Any]:
    """A result as COCO has it."""
    flat = [float(value) for x, y, *_ in points for value in (x, y, 1)]
    return {"image_id": image, "category_id": 1, "keypoints": flat, "score": 0.5} | changes


def written(tmp_path: Path, rows: Any) -> Path:
    """A results file."""
    file = tmp_path / "found.json"
    file.write_text(json.dumps(rows), "utf-8")
    return file


def test_true_keypoints_are_found_and_pictures_left_out_are_missed(made: Made, tmp_path: Path) -> None:
    folder, labels = made
    train = [one for one in labels.values() if one.split == "train"]
    rows = [answer(k, one.keypoints) for k, one in enumerate(train, start=1)]
    whole = score_keypoints(folder, written(tmp_path, rows), split="train")
    assert (whole.ap, whole.overall.pck20_share, whole.found, whole.duplicates) == (1.0, 1.0, 3, 0)
    assert whole.overall.joints == 48  # One of the seventeen is outside in each of three.
    assert [one.joints for one in whole.by_visibility] == [42, 6]
    worse = answer(3, np.array(train[2].keypoints) + 1e6, score=0.4)
    less = score_keypoints(folder, written(tmp_path, [rows[0], rows[2], worse]), split="train")
    assert (less.found, less.pictures, less.duplicates) == (2, 3, 1)
    assert less.overall.pck20_share == pytest.approx(32 / 48, abs=1e-6) and less.ap is not None and less.ap < 1
    cells = tables(score_page(less))[1]
    assert cells["all", "within .2 torso"] == "66.7" and cells["all", "keypoints"] == "48"


def camera(handedness: str, moment: int, up: float) -> dict[str, Any]:
    """A face-on label: torso of 100 pixels, the head 4 m away through 800 pixels, so half a centimetre a pixel."""
    points = [[100.0 + 7 * k, 50.0 + 11 * k, 2] for k in range(17)]
    torso = {"shoulder_lead": [90, 100], "shoulder_trail": [110, 100], "hip_lead": [95, 200], "hip_trail": [105, 200]}
    return {
        "subject": 1, "swing": 0, "view": "face-on", "moment": moment, "progress": moment * 0.3, "keypoints": points,
        "joints_px": torso, "body": {"handedness": handedness}, "keypoints_3d_camera_m": [[0, 0, 4.0]] * 17,
        "camera": {"K": [[800.0, 0, 0], [0, 800.0, 0], [0, 0, 1]], "R": [[0, 1, 0], [0, 0, -1], [-1, 0, 0]]},
        "head_cm": {"toward_target": 0.0, "toward_ball": 0.0, "up": up},
    }  # fmt: skip


@pytest.mark.parametrize(
    ("progress", "part"),
    [(0.0, "first quarter"), (0.3, "second quarter"), (0.74, "third quarter"), (1.0, "last quarter"), (1.1, "way down"),
     (2.0, "way down"), (2.1, "past the ball"), (3.0, "past the ball")],
)  # fmt: skip
def test_moments_are_counted_by_their_part_of_the_way(progress: float, part: str) -> None:
    truth = Truth.of([camera("right", 0, 0.0) | {"progress": progress}])
    assert PARTS_OF_WAY[truth.part[0]] == part


def test_offsets_are_in_torso_lengths_and_a_swap_is_told() -> None:
    truth = Truth.of([camera("right", 0, 0.0)])
    assert truth.torso[0] == 100.0
    places = truth.places[0].copy()
    places[KEYPOINTS.index("nose")] += (30.0, -40.0)
    hips = [KEYPOINTS.index("left_hip"), KEYPOINTS.index("right_hip")]
    places[hips] = places[hips[::-1]]
    judged = Judged.of(truth, {1: Found(1, 0.5, places)})
    np.testing.assert_allclose(judged.offset[0, 0], (0.3, -0.4))
    assert judged.error[0, 0] == pytest.approx(0.5)
    # Eyes, ears, shoulders, elbows, wrists, hips, knees, ankles.
    assert judged.swapped[0].tolist() == [False] * 5 + [True] + [False] * 2 and not judged.turned_round[0]


@pytest.mark.parametrize(("handedness", "toward_target"), [("right", 3.0), ("left", -3.0)])
def test_the_head_is_read_in_centimetres(handedness: str, toward_target: float) -> None:
    truth = Truth.of([camera(handedness, 0, 0.0), camera(handedness, 1, 2.5)])
    places = truth.places.copy()
    places[1, :5] += (6.0, -4.0)
    across, up = read_heads(truth, places)[:2]
    assert across.direction == "toward_target" and across.said == pytest.approx([toward_target])
    assert up.said == pytest.approx([2.0]) and up.label == pytest.approx([2.5])


POINTS = [[1.0, 2.0]] * 17


@pytest.mark.parametrize(
    ("rows", "sentence"),
    [
        ([answer(4, POINTS)], r"image_id '4', but the split's pictures have 1 to 3"),
        ([answer(1, POINTS[:-1])], r"48 numbers in keypoints, which must be 51"),
        ([answer(1, [[1.0, float("nan")]] * 17)], r"no finite number"),
        ([answer(1, POINTS, score="high")], r"score that is no finite number"),
        ([answer(1, POINTS, category_id=2)], r"category_id '2', but a person's is 1"),
        ({"found": []}, r"must be a list"),
        ([{"image_id": 1}], r"result 1 has no category_id"),
        ([answer(1, POINTS), answer(2, POINTS), answer(1, POINTS, score=0.4)], r"result 3 is result 1 over again"),
    ],
)
def test_what_is_no_result_is_told_in_a_sentence(made: Made, tmp_path: Path, rows: Any, sentence: str) -> None:
    with pytest.raises(TurnstillError, match=sentence):
        score_keypoints(made[0], written(tmp_path, rows), split="train")


@pytest.mark.parametrize(
    ("damage", "sentence"),
    [
        ("archive", "do not hold the pictures that coco/train.json names"),
        ("coco", "do not hold the pictures that coco/train.json names"),
        ("list", "label of s00000-w00-faceon-m00 is damaged: the label does not fit the schema"),
        ("nan", r"label of s00000-w00-faceon-m00 is damaged: keypoints.3.0 is no finite number"),
        ("sums", "was not made to its end"),
    ],
)
def test_a_set_that_is_not_whole_is_not_scored(made: Made, tmp_path: Path, damage: str, sentence: str) -> None:
    """A picture that is gone would give all later ones another's id."""
    folder = tmp_path / "damaged"
    shutil.copytree(made[0], folder)
    was, first = open_dataset(made[0]), "s00000-w00-faceon-m00"
    if damage == "sums":
        (folder / "checksums.txt").unlink()
    elif damage == "coco":
        (folder / "coco" / "train.json").write_text("{}", "utf-8")
    else:
        with (folder / "shards" / "train-00000.tar").open("wb") as file, ArchiveWriter(file) as archive:
            for key in was.keys("train"):
                label = was.label(key)
                if key == first:
                    if damage == "archive":
                        continue
                    label["keypoints"][3][0] = float("nan")
                text = json.dumps([label] if damage == "list" and key == first else label)
                archive.add(key, {"png": was.stored(key, "png"), "json": text.encode()})
    with pytest.raises(TurnstillError, match=sentence):
        score_keypoints(folder, written(tmp_path, []), split="train")


def test_own_sigmas_are_taken(made: Made, tmp_path: Path) -> None:
    folder, labels = made
    test = [one for one in labels.values() if one.split == "test"]
    rows = written(tmp_path, [answer(1, np.array(test[0].keypoints) + 0.7)])
    sigmas = tmp_path / "sigmas.json"
    sigmas.write_text(json.dumps(dict.fromkeys(KEYPOINTS, 9.0)), "utf-8")
    usual, kind = score_keypoints(folder, rows), score_keypoints(folder, rows, sigmas=sigmas)
    assert usual.ap is not None and usual.ap < 1.0 and kind.ap == 1.0
    sigmas.write_text(json.dumps({"nose": 1}), "utf-8")
    with pytest.raises(TurnstillError, match="all seventeen keypoints"):
        score_keypoints(folder, rows, sigmas=sigmas)
