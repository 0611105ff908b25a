"""A check of a data set: what is sound passes, and each thing that is wrong is told by its name."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from turnstill.model.errors import TurnstillError
from turnstill.scenes.dataset.checking.work import check_dataset, check_to
from turnstill.scenes.dataset.layout.archive import ArchiveWriter
from turnstill.scenes.dataset.layout.arrays import packed, unpacked
from turnstill.scenes.dataset.layout.finishing import finish
from turnstill.scenes.dataset.layout.reading import open_dataset
from turnstill.scenes.dataset.layout.request import take_folder
from turnstill.scenes.dataset.making.shard import drawing
from turnstill.scenes.dataset.making.work import make_dataset
from turnstill.scenes.dataset.plan.recipe import Recipe
from turnstill.scenes.dataset.plan.schedule import shard_numbers

SMALL = {
    "name": "small", "subjects": 2, "subjects_per_shard": 1, "swings": 1, "moments": 2, "width": 240, "height": 180,
    "views": ["face-on"], "seed": 5, "splits": {"train": 0.5, "test": 0.5}, "cameras": {"k1": [-0.15, -0.1]},
}  # fmt: skip
Change = Callable[[dict[str, Any], np.ndarray, np.ndarray], None]


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """As ``make_dataset`` makes it, in this process."""
    folder, recipe = tmp_path_factory.mktemp("check") / "set", Recipe.model_validate(SMALL)
    take_folder(folder, recipe.request())
    with drawing() as draw:
        for shard in shard_numbers(recipe):
            draw(recipe, shard, folder, lambda _: None)
    finish(folder)
    return folder


def changed(made: Path, into: Path, change: Change, key: str = "s00000-w00-faceon-m01") -> Path:
    """The set with one picture's label, ids and depth changed, and everything beside it made to match."""
    folder = into / "changed"
    shutil.copytree(made, folder)
    was, path = open_dataset(made), folder / open_dataset(made).shard_of(key)
    with path.open("wb") as file, ArchiveWriter(file) as archive:
        for name in was.keys(path.stem.rpartition("-")[0]):
            label, ending = was.label(name), was.ending(name)
            ids, steps = (unpacked(was.stored(name, one)).copy() for one in ("ids.npy.gz", "depth.npy.gz"))
            if name == key:
                change(label, ids, steps)
            members = {ending: was.stored(name, ending), "ids.npy.gz": packed(ids), "depth.npy.gz": packed(steps)}
            archive.add(name, {**members, "json": json.dumps(label).encode()})
    finish(folder)
    return folder


def test_what_was_made_holds(made: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert check_to(str(made), again=1)
    told = " ".join(capsys.readouterr().out.split())
    # A subject in each of two splits, two moments from one view: four pictures in two archives.
    for row in (
        "archives, by what was asked for 2 0",
        "pictures with their labels, ids and depths 4 0",
        "subjects, each in one split 2 0",
        "index and COCO files, by the labels 3 0",
        "pictures drawn anew, byte for byte 1 0",
    ):
        assert row in told


@pytest.mark.heavy
def test_what_was_made_holds_where_linear_algebra_has_threads(tmp_path: Path) -> None:
    """Products are large enough for it: four postures of a whole figure, and enough pixels for a depth to move."""
    large = {"subjects": 2, "moments": 4, "width": 640, "height": 480, "views": ["face-on", "down-the-line"], "seed": 0}
    make_dataset(Recipe.model_validate(SMALL | large), tmp_path / "set")
    # Where tests run, linear algebra has one thread, and a process asks for its threads only when it begins.
    threads = {"OPENBLAS_NUM_THREADS": "4", "OMP_NUM_THREADS": "4"}
    asked = [sys.executable, "-c", "from turnstill.scenes.start import main; main()", "dataset", "check", "set"]
    done = subprocess.run(
        [*asked, "--again", "16"], cwd=tmp_path, env=os.environ | threads, capture_output=True, text=True, check=False
    )
    assert "pictures drawn anew, byte for byte 16 0" in " ".join(done.stdout.split()), done.stdout + done.stderr
    assert done.returncode == 0


def move(label: dict[str, Any], *_: object) -> None:
    seen = next(point for point in label["keypoints"] if point[2])
    seen[0] += 0.2


def unsee(label: dict[str, Any], *_: object) -> None:
    seen = next(point for point in label["keypoints"] if point[2] == 2)
    seen[2] = 1


def uncover(label: dict[str, Any], *_: object) -> None:
    label["keypoints_met"][0] = [9, 0.3]
    label["keypoints"][0][2] = 1


def deepen(label: dict[str, Any], *_: object) -> None:
    hips = (label["keypoints_met"][k] for k in (11, 12))
    seen = next(met for met in hips if met[0])
    seen[1] -= 0.3


def lift(label: dict[str, Any], *_: object) -> None:
    label["joints_world_m"]["knee_lead"][2] += 0.002


def repaint(_: object, ids: np.ndarray, __: object) -> None:
    ids[tuple(np.argwhere(ids > 0)[0])] = 77


def erase(_: object, ids: np.ndarray, __: object) -> None:
    ids[tuple(np.argwhere((ids > 0) & (ids < 17))[0])] = 0


def enlarge(label: dict[str, Any], *_: object) -> None:
    label["area"] += 3


def forget(label: dict[str, Any], *_: object) -> None:
    del label["faults"]


def mislay(label: dict[str, Any], *_: object) -> None:
    label["split"] = "test"


def exchange(label: dict[str, Any], *_: object) -> None:
    label["body"]["handedness"] = {"left": "right", "right": "left"}[label["body"]["handedness"]]


def unknow(label: dict[str, Any], *_: object) -> None:
    label["joints_px"]["nose"][0] = float("nan")


def lose(label: dict[str, Any], *_: object) -> None:
    del label["joints_camera_m"]["nose"]


def slim(label: dict[str, Any], *_: object) -> None:
    del label["body"]["shape_cm"]["ankle_circumference"]


def stretch(label: dict[str, Any], *_: object) -> None:
    label["segmentation"]["person"]["size"] = [10**9, 10**9]


def rename(label: dict[str, Any], *_: object) -> None:
    label["moment"] = 0


def blame(label: dict[str, Any], *_: object) -> None:
    label["faults"] = ["haste"]


def spell(label: dict[str, Any], *_: object) -> None:
    label["depth_unit_m"] = "0.00025"


def darken(label: dict[str, Any], *_: object) -> None:
    label["appearance"]["skin_tone"] = 0.5 * label["appearance"]["skin_tone"] + 0.01


@pytest.mark.parametrize(
    ("change", "told"),
    [
        (move, "a keypoint is elsewhere in the picture than in space"),
        (unsee, "v of a keypoint is not what its line of sight meets"),
        (uncover, "what the line of sight to a keypoint meets is not what depth and ids show there"),
        (deepen, "what the line of sight to a keypoint meets is not what depth and ids show there"),
        (lift, "knee_lead is elsewhere"),
        (repaint, "parts or ids are not those"),
        (erase, "depth and ids do not agree on where something is"),
        (enlarge, "but the golfer has"),
        (mislay, "its label puts it in the split 'test', its archive in 'train'"),
        (exchange, "a keypoint is not the joint of its name"),
        (unknow, "joints_px.nose.0 is no finite number"),
        (lose, "a joint is missing"),
        (slim, "missing in body.shape_cm"),
        (stretch, "the mask of the person is not where its ids are"),
        (rename, "view or moment of its label are another picture's"),
        (blame, "the fault 'haste' is none of hip_turn"),
        (spell, "depth_unit_m does not fit the schema"),
        (darken, "json comes out otherwise when it is drawn anew"),
    ],
)
def test_a_changed_label_is_told(made: Path, tmp_path: Path, change: Change, told: str) -> None:
    found = check_dataset(changed(made, tmp_path, change), again=4).wrong
    assert any(told in sentence and "s00000-w00-faceon-m01" in sentence for sentence in found), found


@pytest.mark.parametrize(
    ("ending", "data", "told"),
    [
        ("json", b"[1]", "m01: the label does not fit the schema"),
        ("json", b"{", "m01 is no JSON"),
        ("ids.npy.gz", b"none", "m01.ids.npy.gz is no array"),
        ("depth.npy.gz", b"", "m01.depth.npy.gz is no array"),
        ("jpg", b"none", "m01.jpg is no picture"),
        ("jpg", None, "no jpg of s00000-w00-faceon-m01"),
    ],
)
def test_a_file_that_is_none_is_told_and_the_rest_is_looked_at(
    made: Path, tmp_path: Path, ending: str, data: bytes | None, told: str
) -> None:
    folder = tmp_path / "damaged"
    shutil.copytree(made, folder)
    was, path = open_dataset(made), folder / "shards" / "train-00000.tar"
    with path.open("wb") as file, ArchiveWriter(file) as archive:
        for key in was.keys("train"):
            members = {one: was.stored(key, one) for one in ("jpg", "ids.npy.gz", "depth.npy.gz", "json")}
            if key.endswith("m01"):
                members = {one: old if one != ending else data for one, old in members.items()}
            archive.add(key, {one: content for one, content in members.items() if content is not None})
    found = check_dataset(folder)
    assert any(told in sentence for sentence in found.wrong), found.wrong
    assert found.parts[2].looked_at == 4


def test_a_subject_in_two_splits_is_told(made: Path, tmp_path: Path) -> None:
    def swap(label: dict[str, Any], *_: object) -> None:
        label["subject"] = 1

    assert "Subject 1 is in more than one split: test, train." in check_dataset(changed(made, tmp_path, swap)).wrong


def test_a_copy_that_is_not_whole_is_told(made: Path, tmp_path: Path) -> None:
    folder = tmp_path / "copy"
    shutil.copytree(made, folder)
    (folder / "card.md").unlink()
    (folder / "coco" / "test.json").write_text("{}", "utf-8")
    (folder / "mine.txt").write_text("mine", "utf-8")
    shard = folder / "shards" / "test-00000.tar"
    shard.write_bytes(shard.read_bytes()[:-20_000])
    wrong = check_dataset(folder).wrong
    assert "card.md is missing; copy it again." in wrong
    assert "mine.txt is not of this data set; take it away." in wrong
    assert "coco/test.json is not what was made: its SHA-256 differs; copy it again." in wrong
    assert any("test-00000.tar cannot be read: it is cut short" in sentence for sentence in wrong)
    shard.unlink()
    assert any("test-00000.tar is missing" in sentence for sentence in check_dataset(folder).wrong)
    (folder / "checksums.txt").unlink()
    assert any("was not made to its end" in sentence for sentence in check_dataset(folder).wrong)


def test_index_and_coco_file_must_say_what_the_labels_say(made: Path, tmp_path: Path) -> None:
    folder = changed(made, tmp_path, lambda *_: None)
    other = changed(made, tmp_path / "other", enlarge)
    for name in ("index.parquet", "coco/train.json"):
        (folder / name).write_bytes((other / name).read_bytes())
    wrong = check_dataset(folder, again=0).wrong
    assert "coco/train.json does not say what the labels say." in wrong
    assert "index.parquet does not say what the labels say." in wrong


def test_a_set_of_an_earlier_version_is_told_as_such(made: Path, tmp_path: Path) -> None:
    was = open_dataset(made)
    key = was.keys("test")[0]
    folder = tmp_path / "earlier"
    shutil.copytree(made, folder)
    with (folder / was.shard_of(key)).open("wb") as file, ArchiveWriter(file) as archive:
        archive.add(key, {"ids.npy": b"", "depth.npy": b"", "json": was.stored(key, "json")})
    for read, name in ((open_dataset(folder).ids, "ids.npy"), (open_dataset(folder).depth, "depth.npy")):
        with pytest.raises(TurnstillError, match=f"^An earlier version made {key}: its {name} is not gzipped; make"):
            read(key)
