"""A data set is read back by what researchers read it with, and holds what was put in."""

from __future__ import annotations

import gzip
import hashlib
import io
import json
import subprocess
import tarfile
from dataclasses import replace
from pathlib import Path

import jsonschema
import numpy as np
import pytest
from made_sets import PICTURES, REQUEST, made_by_hand, pixels

from turnstill.model.errors import TurnstillError
from turnstill.scenes.dataset.layout import arrays
from turnstill.scenes.dataset.layout.archive import ArchiveWriter, members
from turnstill.scenes.dataset.layout.arrays import packed, unpacked
from turnstill.scenes.dataset.layout.beside import beside_of
from turnstill.scenes.dataset.layout.finishing import finish
from turnstill.scenes.dataset.layout.reading import open_dataset
from turnstill.scenes.dataset.layout.request import take_folder
from turnstill.scenes.dataset.layout.sample import Sample
from turnstill.scenes.dataset.making.masks import run_lengths
from turnstill.scenes.setups.toml_text import toml_text

ROOT = Path(__file__).parents[2]
KEYS = [key for keys in PICTURES.values() for key in keys]

Made = tuple[Path, dict[str, Sample]]


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Made:
    folder = tmp_path_factory.mktemp("made") / "set"
    return folder, made_by_hand(folder)


def test_what_was_put_in_is_read_back(made: Made) -> None:
    folder, labels = made
    there = open_dataset(folder)
    assert there.splits == ("test", "train") and there.whole and there.request == REQUEST
    assert [label["key"] for label in there.labels("train")] == list(PICTURES["train"])
    for number, key in enumerate(KEYS):
        ids, depth, colours = pixels(number)
        assert there.label(key) == json.loads(json.dumps(labels[key].model_dump()))
        np.testing.assert_array_equal(there.ids(key), ids)
        np.testing.assert_array_equal(there.picture(key), colours)
        found = there.depth(key)
        np.testing.assert_array_equal(np.isfinite(found), np.isfinite(depth))
        np.testing.assert_allclose(found, depth, atol=0.00013)


def test_every_label_fits_the_schema_and_no_key_goes_unnoticed(made: Made) -> None:
    schema = json.loads((ROOT / "docs" / "schemas" / "dataset-sample.json").read_text("utf-8"))
    judge = jsonschema.Draft202012Validator(schema)
    for label in open_dataset(made[0]).labels():
        judge.validate(label)
        for wrong in (
            {**label, "more": 1},
            {k: v for k, v in label.items() if k != "bbox"},
            {**label, "progress": 3.2},
        ):
            assert not judge.is_valid(wrong)


def test_webdataset_reads_it(made: Made) -> None:
    import webdataset

    folder, labels = made
    read = webdataset.WebDataset(str(folder / "shards" / "train-00000.tar"), shardshuffle=False).decode("rgb8")
    samples = list(read)
    assert [one["__key__"] for one in samples] == list(PICTURES["train"])
    for number, one in enumerate(samples):
        ids, depth, colours = pixels(number)
        np.testing.assert_array_equal(one["png"], colours)
        np.testing.assert_array_equal(one["ids.npy.gz"], ids)
        steps = one["depth.npy.gz"]
        assert steps.dtype == np.uint16
        np.testing.assert_allclose(np.where(steps, steps * one["json"]["depth_unit_m"], np.inf), depth, atol=0.00013)
        assert one["json"]["head_cm"]["up"] == labels[one["__key__"]].head_cm.up


def test_pycocotools_finds_the_labels_perfect(made: Made, capsys: pytest.CaptureFixture[str]) -> None:
    from pycocotools import mask
    from pycocotools.coco import COCO
    from pycocotools.cocoeval import COCOeval

    folder, labels = made
    truth = COCO(str(folder / "coco" / "train.json"))
    assert [image["file_name"] for image in truth.loadImgs([1, 2, 3])] == [f"{key}.png" for key in PICTURES["train"]]
    found = [
        {"image_id": one["image_id"], "category_id": 1, "keypoints": one["keypoints"], "score": 0.5 + one["id"] / 10}
        for one in truth.anns.values()
    ]
    judge = COCOeval(truth, truth.loadRes(found), "keypoints")
    judge.evaluate()
    judge.accumulate()
    judge.summarize()
    assert judge.stats[0] == judge.stats[1] == judge.stats[5] == 1.0
    for number, key in enumerate(PICTURES["train"]):
        one = truth.anns[number + 1]
        ids = pixels(number)[0]
        person = (ids > 0) & (ids < 17)  # The club is no part of the golfer.
        np.testing.assert_array_equal(mask.decode(one["segmentation"]), person)
        rows, columns = np.nonzero(person)
        box = [columns.min(), rows.min(), np.ptp(columns) + 1, np.ptp(rows) + 1]
        assert one["bbox"] == box and one["area"] == person.sum() and one["num_keypoints"] == 16
        assert one["keypoints"] == [value for point in labels[key].keypoints for value in point]
    names = truth.cats[1]["keypoints"]
    assert [names[k - 1] for k in truth.cats[1]["skeleton"][0]] == ["left_ankle", "left_knee"]


def test_pandas_reads_the_index(made: Made) -> None:
    import pandas
    from pyarrow import parquet

    folder, labels = made
    table = pandas.read_parquet(folder / "index.parquet").set_index("key")
    assert sorted(table.index) == sorted(KEYS) and table.loc["s00002-w01-line-m01", "image_id"] == 3
    for key, label in labels.items():
        row = table.loc[key]
        by_hand = {
            "split": label.split, "subject": label.subject, "progress": label.progress, "view": label.view,
            "faults_at": label.faults_at, "backswing_s": label.backswing_s, "downswing_s": label.downswing_s,
            "head_toward_target_cm": label.head_cm.toward_target, "head_toward_ball_cm": label.head_cm.toward_ball,
            "head_up_cm": label.head_cm.up, "inclination_deg": label.inclination_deg,
            "stature_cm": label.body.stature_cm, "mass_kg": label.body.mass_kg, "sex": label.body.sex,
            "asked_asked_0": label.pieces.asked["asked_0"], "achieved_achieved_1": label.pieces.achieved["achieved_1"],
            "departures_departures_0": label.pieces.departures["departures_0"], "area_px": label.area,
            "bbox_left_px": label.bbox[0], "bbox_top_px": label.bbox[1], "bbox_width_px": label.bbox[2],
            "bbox_height_px": label.bbox[3], "exposure": label.sensor.exposure, "shutter_s": label.sensor.shutter_s,
            "focal_px": label.camera.K[0][0], "distortion_k1": label.camera.distortion[0],
            "stripes_depth": label.appearance.light.stripes.depth,
            "light_key_strength": label.appearance.light.key_strength, "skin_tone": label.appearance.skin_tone,
            "place_ground": label.appearance.place.ground, "look_hair_style": label.appearance.look["hair_style"],
            "look_shirt": "#" + bytes(label.appearance.look["shirt"]).hex(),
            "faults": "+".join(label.faults) or "none", "seen": 14, "occluders": len(label.appearance.occluders),
            "place_ground_other": "#" + bytes(label.appearance.place.ground_other).hex(),
        }  # fmt: skip
        assert {name: row[name] for name in by_hand} == by_hand
        np.testing.assert_array_equal(np.reshape(row["keypoints"], (17, 3)), label.keypoints)
    units = {field.name: (field.metadata or {}).get(b"unit") for field in parquet.read_schema(folder / "index.parquet")}
    assert units["head_up_cm"] == b"cm" and units["inclination_deg"] == b"deg" and units["shutter_s"] == b"s"
    assert units["faults"] is None


def test_mlcroissant_reads_it(made: Made) -> None:
    import mlcroissant

    folder, labels = made
    there = mlcroissant.Dataset(jsonld=str(folder / "croissant.json"))
    assert not there.metadata.issues.errors
    rows = {row["pictures/key"].decode(): row for row in there.records("pictures")}
    assert set(rows) == set(KEYS)
    for key, label in labels.items():
        assert rows[key]["pictures/head_up_cm"] == label.head_cm.up
        assert rows[key]["pictures/mass_kg"] == label.body.mass_kg
        assert rows[key]["pictures/split"].decode() == label.split
    listed = {one.name: one.sha256 for one in there.metadata.distribution}
    for name in ("shards/train-00000.tar", "shards/test-00000.tar", "index.parquet"):
        assert listed[name] == hashlib.sha256((folder / name).read_bytes()).hexdigest()


def test_the_sums_are_those_of_all_files(made: Made) -> None:
    done = subprocess.run(
        ["sha256sum", "--check", "--strict", "checksums.txt"], cwd=made[0], capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stdout
    named = {line.split("  ")[1] for line in (made[0] / "checksums.txt").read_text("utf-8").splitlines()}
    assert named == {
        "LICENSE.txt", "card.md", "croissant.json", "dataset.toml", "index.parquet", "coco/train.json",
        "coco/test.json", "shards/train-00000.tar", "shards/test-00000.tar",
    }  # fmt: skip


def test_archives_know_no_clock_and_no_user(made: Made) -> None:
    with tarfile.open(made[0] / "shards" / "test-00000.tar") as archive:
        for one in archive:
            assert (one.mtime, one.uid, one.gid, one.uname, one.gname, one.mode) == (0, 0, 0, "", "", 0o644)


def test_an_archive_cut_anywhere_before_its_end_is_told(made: Made, tmp_path: Path) -> None:
    whole = next((made[0] / "shards").glob("*.tar")).read_bytes()
    cut = tmp_path / "cut.tar"
    ends = [stored.begin + -(-stored.size // 512) * 512 for *_, stored in members(_stored(cut, whole))]
    # In a content, behind one, in the header after it; and the padding of the last one.
    for at in (ends[0] - 600, ends[0], ends[0] + 300, ends[-1] - 1, ends[-1], ends[-1] + 512):
        with pytest.raises(tarfile.ReadError, match=r"cut short|unexpected end"):
            list(members(_stored(cut, whole[:at])))


def _stored(path: Path, content: bytes) -> Path:
    path.write_bytes(content)
    return path


def test_the_same_set_is_the_same_bytes(made: Made, tmp_path: Path) -> None:
    made_by_hand(tmp_path / "again")
    for path in made[0].rglob("*"):
        if path.is_file():
            assert path.read_bytes() == (tmp_path / "again" / path.relative_to(made[0])).read_bytes(), path.name


def test_only_the_same_request_is_added_to(made: Made, tmp_path: Path) -> None:
    assert take_folder(made[0], REQUEST)
    other = {**REQUEST, "swing": {"clubs": ["iron", "wood"], "fault": {"least_deg": 3.5}}}
    with pytest.raises(TurnstillError, match=r"request\.swing\.fault\.least_deg was 2\.5 there and is 3\.5 now; name"):
        take_folder(made[0], other)
    with pytest.raises(TurnstillError, match=r"request\.seed was 5 there and is 6 now, and 2 more differ"):
        take_folder(
            made[0], {**REQUEST, "seed": 6, "swing": {**other["swing"], "clubs": ["wood"]}} | {"name": "by-hand"}
        )
    (tmp_path / "mine.txt").write_text("mine", "utf-8")
    with pytest.raises(TurnstillError, match=r"no data set .such as mine\.txt"):
        take_folder(tmp_path, REQUEST)
    with pytest.raises(TurnstillError, match="no folder to make"):
        take_folder(tmp_path / "a" / "b", REQUEST)


@pytest.mark.parametrize("damage", ["cut", "no label", "no toml", "nonsense"])
def test_what_is_damaged_is_told_in_a_sentence(tmp_path: Path, damage: str) -> None:
    folder = tmp_path / "set"
    made_by_hand(folder)
    shard = folder / "shards" / "train-00000.tar"
    data = shard.read_bytes()
    if damage == "cut":
        shard.write_bytes(data[: len(data) // 2 + 100])
    elif damage == "nonsense":
        shard.write_bytes(b"nonsense" * 200)
    elif damage == "no label":
        out = io.BytesIO()
        with tarfile.open(fileobj=io.BytesIO(data)) as old, tarfile.open(fileobj=out, mode="w") as new:
            for one in old:
                if not one.name.endswith("json"):
                    new.addfile(one, old.extractfile(one))
        shard.write_bytes(out.getvalue())
    else:
        (folder / "dataset.toml").unlink()
    with pytest.raises(TurnstillError, match=r"cut short or damaged|There is no json of|holds no data set"):
        list(open_dataset(folder).labels())


def test_toml_is_read_back_as_it_was() -> None:
    import tomllib

    tables = {
        "a": 1, "b": 2.5, "c": True, "d": "ü \"quoted\" \\ \n line", "e": [1, [2.0, 3]], "tiny": 1e-7, "large": 1e22,
        "f": {"g": {"h x": [{"i": 1}], "j": False}}, "k-l": {},
    }  # fmt: skip
    assert tomllib.loads(toml_text({**tables, "left out": None})) == tables


def test_what_makers_of_archives_tell_is_what_the_archives_say(made: Made, tmp_path: Path) -> None:
    """Told or read back, the same files; a count that cannot be is not believed."""
    made_by_hand(tmp_path / "set")
    archives = sorted((tmp_path / "set" / "shards").glob("*.tar"))
    for first in (1, 7):
        finish(tmp_path / "set", {path: beside_of(path, first) for path in archives})
        for path in made[0].rglob("*"):
            if path.is_file():
                assert path.read_bytes() == (tmp_path / "set" / path.relative_to(made[0])).read_bytes(), path.name
    told = replace(beside_of(archives[1], 1), coco=beside_of(archives[0], 1).coco)
    finish(tmp_path / "set", {archives[1]: told})
    assert (tmp_path / "set" / "coco" / "train.json").read_bytes() != (made[0] / "coco" / "train.json").read_bytes()


@pytest.mark.parametrize("kind", [np.uint8, np.uint16])
def test_packed_arrays_are_what_numpy_saves_and_gzip_opens(kind: type[np.uint8 | np.uint16]) -> None:
    rng = np.random.default_rng(4)
    for height, width, left, right in (
        (5, 7, 0, 7),
        (9, 300, 40, 41),
        (720, 1280, 301, 777),
        (3, 4, 4, 4),
        (2, 9, 0, 3),
    ):
        array = np.zeros((height, width), kind)
        array[:, left:right] = rng.integers(0, np.iinfo(kind).max, (height, right - left), kind, endpoint=True)
        area = slice(height // 3, height), slice(left, right)
        array[: height // 3] = 0
        by_numpy = io.BytesIO()
        np.save(by_numpy, np.asfortranarray(array))
        for data in (packed(array), packed(array[area], area, array.shape)):
            assert gzip.decompress(data) == by_numpy.getvalue()
            np.testing.assert_array_equal(unpacked(data), array)
            assert unpacked(data).dtype == kind and unpacked(data).flags.c_contiguous


def test_noughts_take_no_room_and_too_many_are_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    data = packed(np.zeros((2000, 0), np.uint16), (slice(0, 2000), slice(1200, 1200)), (2000, 4000))
    assert len(data) < 16_000_000 / 250  # Deflate makes a byte of no more than 1032, in the best of cases.
    for wrong in (data[:-9], b"none", b"", gzip.compress(b"none")):
        with pytest.raises(ValueError):
            unpacked(wrong)
    monkeypatch.setattr(arrays, "MOST_BYTES", 16_000_000)
    with pytest.raises(ValueError, match="too large"):
        unpacked(data)


def test_archives_are_written_as_the_library_writes_them() -> None:
    members_of = {"ids.npy.gz": b"y" * 700, "depth.npy.gz": b"z" * 512, "json": b"x" * 1024, "jpg": b""}
    for count in (0, 1, 9):
        ours, theirs = io.BytesIO(), io.BytesIO()
        with ArchiveWriter(ours) as archive, tarfile.open(fileobj=theirs, mode="w", format=tarfile.USTAR_FORMAT) as tar:
            for number in range(count):
                archive.add(f"s{number}", members_of)
                for ending, data in members_of.items():
                    about = tarfile.TarInfo(f"s{number}.{ending}")
                    about.size, about.mode = len(data), 0o644
                    tar.addfile(about, io.BytesIO(data))
        assert ours.getvalue() == theirs.getvalue()


def test_runs_of_an_area_are_those_of_the_whole_picture() -> None:
    from pycocotools import mask as coco

    rng = np.random.default_rng(6)
    for _ in range(60):
        whole = np.zeros((17, 23), np.bool_)
        top, left = rng.integers(0, 12, 2)
        area = slice(int(top), int(top + rng.integers(1, 6))), slice(int(left), int(left + rng.integers(1, 12)))
        whole[area] = rng.random(whole[area].shape) < rng.choice([0.0, 0.2, 0.8, 1.0])
        found = run_lengths(whole[area], area, whole.shape)
        assert found == run_lengths(whole)
        due = coco.encode(np.asfortranarray(whole, np.uint8))
        assert found[0]["counts"] == due["counts"].decode() and found[1] == whole.sum()
