"""A small data set, made: the same bytes however it was made, and labels that hold against other reckonings."""

from __future__ import annotations

import json
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Iterable
from pathlib import Path

import cv2
import jsonschema
import numpy as np
import pytest
from casting import Cast, casts, lens, rays_through, seen_by_casting
from fault_baseline import JOINTS, filmed

from turnstill.model.errors import TurnstillError
from turnstill.model.golfer.pieces import DEPARTURES
from turnstill.render.figure.segments import SEGMENT_ID
from turnstill.render.stage.stage import Stage
from turnstill.scenes.dataset.layout.reading import DataSet, open_dataset
from turnstill.scenes.dataset.layout.sample import KEYPOINTS
from turnstill.scenes.dataset.making import work
from turnstill.scenes.dataset.making.shard import write_shard
from turnstill.scenes.dataset.making.work import make_dataset
from turnstill.scenes.dataset.plan.loading import load_recipe
from turnstill.scenes.dataset.plan.recipe import Recipe
from turnstill.scenes.dataset.plan.schedule import shard_numbers
from turnstill.scenes.setups.toml_text import toml_text

COMMAND = "from turnstill.scenes.start import main; main()"
ROOT = Path(__file__).parents[2]
SMALL = {
    "name": "small", "subjects": 2, "subjects_per_shard": 1, "swings": 1, "moments": 2, "width": 160, "height": 120,
    "seed": 3, "splits": {"train": 0.5, "test": 0.5}, "population": {"left_handers": 0.5},
    "cameras": {"k1": [-0.15, -0.1], "roll_deg": 8.0},
}  # fmt: skip


def recipe_of(**changes: object) -> Recipe:
    return Recipe.model_validate({**SMALL, **changes})


def start(folder: Path, recipe: Recipe, *options: str) -> subprocess.Popen[str]:
    """``turnstill dataset make`` into ``folder / "set"``."""
    (folder / "r.toml").write_text(toml_text(recipe.model_dump(mode="json")), "utf-8")
    return subprocess.Popen(
        [sys.executable, "-c", COMMAND, "dataset", "make", "r.toml", "--out", "set", *options], cwd=folder,
        stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
    )  # fmt: skip


def contents(folder: Path) -> dict[str, bytes]:
    files = (path for path in folder.rglob("*") if path.is_file())
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in files}


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Two workers begin it, killed with the first shard in its place; one finishes it."""
    folder = tmp_path_factory.mktemp("make")
    first = start(folder, recipe_of(), "--workers", "2")
    while first.poll() is None and not list(folder.glob("set/shards/*.tar")):
        time.sleep(0.02)
    first.kill()
    first.communicate()
    second = start(folder, recipe_of())
    out, told = second.communicate(timeout=300)
    assert second.returncode == 0, told
    assert out == "The data set is set (pictures: 4 test, 4 train)\n"
    return folder / "set"


@pytest.fixture(scope="module")
def made(folder: Path) -> DataSet:
    return open_dataset(folder)


def test_the_same_bytes_from_one_used_stage(folder: Path, tmp_path: Path) -> None:
    recipe = recipe_of()
    with Stage() as stage:
        for shard in reversed(shard_numbers(recipe)):
            path = write_shard(recipe, shard, tmp_path, stage=stage)
            assert path.read_bytes() == (folder / "shards" / path.name).read_bytes()


def test_what_is_whole_is_left_alone_and_another_request_refused(folder: Path) -> None:
    before = {path: path.stat().st_mtime_ns for path in folder.rglob("*")}
    assert make_dataset(recipe_of(), folder).whole
    with pytest.raises(TurnstillError, match=r"request\.seed was 3 there and is 4 now; name a new folder"):
        make_dataset(recipe_of(seed=4), folder)
    assert {path: path.stat().st_mtime_ns for path in folder.rglob("*")} == before


def test_what_cannot_be_is_told_before_anything_is_written(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    for workers in (0, -1, 257):
        with pytest.raises(TurnstillError, match=f"--workers was {workers}, but must be a whole number from 1 to 256"):
            make_dataset(recipe_of(), tmp_path / "set", workers=workers)
    monkeypatch.setattr(work, "find_spec", lambda name: None if name == "pyarrow" else name)
    with pytest.raises(TurnstillError, match=r"Data sets need pyarrow; pip install 'turnstill\[data\]'"):
        make_dataset(recipe_of(), tmp_path / "set")
    monkeypatch.undo()
    (tmp_path / "mine").write_text("mine", "utf-8")
    with pytest.raises(TurnstillError, match="mine cannot be written: file exists"):
        make_dataset(recipe_of(), tmp_path / "mine")
    assert [path.name for path in tmp_path.iterdir()] == ["mine"]


def test_every_label_fits_the_schema(made: DataSet) -> None:
    schema = json.loads((ROOT / "docs" / "schemas" / "dataset-sample.json").read_text("utf-8"))
    for label in made.labels():
        jsonschema.validate(label, schema)


def test_places_in_the_picture_are_opencvs(made: DataSet) -> None:
    for label in made.labels():
        R, _, K, distortion = lens(label)
        turn, t = cv2.Rodrigues(R)[0], np.array(label["camera"]["t_m"])
        assert distortion[0] < -0.09
        world = np.array(list(label["joints_world_m"].values()))
        by_opencv = cv2.projectPoints(world, turn, t, K, distortion)[0][:, 0]
        np.testing.assert_allclose(list(label["joints_px"].values()), by_opencv, atol=0.1)
        np.testing.assert_allclose(list(label["joints_camera_m"].values()), world @ R.T + t, atol=2e-5)
        points = cv2.projectPoints(np.array(label["keypoints_3d_camera_m"]), np.zeros(3), np.zeros(3), K, distortion)[0]
        for (x, y, v), at in zip(label["keypoints"], points[:, 0], strict=True):
            assert (x, y) == (0, 0) if v == 0 else np.allclose((x, y), at, atol=0.1)


@pytest.fixture(scope="module")
def every() -> list[Cast]:
    return list(casts(recipe_of()))


def test_pixels_are_what_rays_meet(made: DataSet, every: list[Cast]) -> None:
    check_pixels(made, every, samples=400, ids=0.995)


def test_joints_are_seen_where_rays_see_them(made: DataSet, every: list[Cast]) -> None:
    check_sight(made, every)  # A pixel is 3 cm wide here, which must not matter.


def check_pixels(made: DataSet, every: Iterable[Cast], *, samples: int, ids: float) -> None:
    """Ids and depths at pixels' middles against the first surface that a ray meets there."""
    rng, same, apart = np.random.default_rng(0), [], []
    labels = {label["key"]: label for label in made.labels()}
    for cast in every:
        label, stored, depth = labels[cast.key], made.ids(cast.key), made.depth(cast.key)
        own = np.argwhere(~np.isin(stored, [SEGMENT_ID["ball"], SEGMENT_ID["occluder"]]))
        near = own[rng.integers(len(own), size=samples)]
        figure = np.argwhere((stored > 0) & (stored < SEGMENT_ID["ball"]))
        some = np.concatenate([near, figure[rng.integers(len(figure), size=samples)]])
        directions = rays_through(label, some[:, ::-1].astype(float))
        R, eye, _, _ = lens(label)
        away, found = cast.first(eye, directions)
        row, column = some.T
        same.append(found == stored[row, column])
        both = (found > 0) & same[-1] & (stored[row, column] != SEGMENT_ID["club"])
        apart.append(np.abs(away[both] * (directions[both] @ R[2]) - depth[row, column][both]))
    assert np.mean(np.concatenate(same)) >= ids
    off = np.concatenate(apart)
    assert len(off) > 100 and np.quantile(off, 0.999) <= 0.001


def check_sight(made: DataSet, every: Iterable[Cast]) -> None:
    """v against the same rule on lines that embree casts at a figure posed anew, body joints and face points apart."""
    labels, body, face = {label["key"]: label for label in made.labels()}, [], []
    for cast in every:
        label, ids = labels[cast.key], made.ids(cast.key)
        found = seen_by_casting(cast, label, KEYPOINTS, label["parts"])
        for name, (x, y, v), by_rays in zip(KEYPOINTS, label["keypoints"], found, strict=True):
            if v and ids[round(y), round(x)] != SEGMENT_ID["occluder"]:
                (face if name.endswith(("nose", "eye", "ear")) else body).append(v == by_rays)
    for agree in (body, face):
        assert np.mean(agree) >= 0.995, f"{np.mean(agree):.4f} of {len(agree)}"


@pytest.mark.heavy
def test_labels_of_many_pictures_hold_against_rays(tmp_path: Path) -> None:
    for name in ("plain", "phone", "hard"):
        recipe = load_recipe(name).model_copy(
            update={"subjects": 12, "subjects_per_shard": 6, "moments": 8, "seed": 71}
        )
        made = make_dataset(recipe, tmp_path / name, workers=2)
        check_pixels(made, casts(recipe), samples=300, ids=0.998)
        check_sight(made, casts(recipe))


@pytest.mark.heavy
def test_a_cluster_makes_the_same_bytes(folder: Path, tmp_path: Path) -> None:
    from distributed import LocalCluster

    with LocalCluster(n_workers=2, threads_per_worker=2, processes=True, dashboard_address=None) as cluster:
        make_dataset(recipe_of(), tmp_path / "set", scheduler=cluster.scheduler_address)
    assert contents(tmp_path / "set") == contents(folder)


@pytest.mark.heavy
def test_fifty_kills(folder: Path, tmp_path: Path) -> None:
    rng, whole = np.random.default_rng(5), contents(folder)
    signals = (signal.SIGKILL, signal.SIGINT, signal.SIGTERM)
    for k in range(50):
        run = start(tmp_path, recipe_of(), "--workers", str(k % 2 + 1))
        time.sleep(rng.uniform(1.0, 9.0))  # Later than Python itself takes to begin.
        number = signals[k % 3]
        run.send_signal(number)
        _, told = run.communicate(timeout=120)
        assert "Traceback" not in told and run.returncode in (0, 128 + number, -number), told
        there = contents(tmp_path / "set") if (tmp_path / "set").exists() else {}
        if number != signal.SIGKILL:
            assert not [name for name in there if ".turnstill-" in name]
        assert {name: data for name, data in there.items() if ".turnstill-" not in name}.items() <= whole.items()
        if k % 5 == 4:  # Begin again now and then.
            shutil.rmtree(tmp_path / "set", ignore_errors=True)
    assert start(tmp_path, recipe_of()).wait() == 0
    assert contents(tmp_path / "set") == whole


def test_keypoints_seen_without_drawing_are_the_labels(made: DataSet) -> None:
    """What a fault classifier of keypoints alone is measured on: all but the nose, which is drawn."""
    baseline = filmed(recipe_of())
    for k, name in enumerate(baseline.swings.names):
        split = str(baseline.split[k])
        labels = {(one["view"], one["moment"]): one for one in made.labels(split) if one["key"].startswith(name)}
        assert len(labels) == 4
        for v, view in enumerate(("face-on", "down-the-line")):
            for moment in (0, 1):
                label = labels[view, moment]
                places = np.array([label["joints_px"][joint] for joint in JOINTS])
                np.testing.assert_allclose(baseline.pixels[k, v, moment][1:], places[1:], atol=1e-9)
                assert np.linalg.norm(baseline.pixels[k, v, moment, 0] - places[0]) < 2.0
                lead = label["keypoints"][KEYPOINTS.index("right_hip" if baseline.left_handed[k] else "left_hip")]
                assert lead[:2] == list(baseline.pixels[k, v, moment, JOINTS.index("hip_lead")])
                assert label["faults"] == [
                    piece for piece, bad in zip(DEPARTURES, baseline.swings.faulty[k], strict=True) if bad
                ]
