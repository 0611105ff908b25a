"""C3D files, read back by ezc3d, which shares nothing with what wrote them."""

from __future__ import annotations

import struct
from pathlib import Path

import ezc3d
import numpy as np
import pytest

from turnstill.model.arrays import Array
from turnstill.model.errors import TurnstillError
from turnstill.model.swing.swing import Swing
from turnstill.scenes.export.c3d import BLOCK, c3d_bytes
from turnstill.scenes.export.markers import SIDED, SKIN_SIDED, MarkerPaths, joint_markers, skin_markers
from turnstill.scenes.export.work import export_to
from turnstill.scenes.setups.perform import swing_of
from turnstill.scenes.setups.presets import load
from turnstill.scenes.setups.settings import apply

FRAMES, SECONDS = 9, 0.8
GOLFERS = {"right": [], "left": ["handedness=left", "sex=female", "stature=164", "mass=64"]}
Exported = tuple[Swing, dict[str, Path]]


@pytest.fixture(scope="module", params=GOLFERS, ids=str)
def exported(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Exported:
    folder, settings = tmp_path_factory.mktemp("c3d"), GOLFERS[request.param]
    files = {suffix: folder / f"swing{suffix}" for suffix in (".c3d", ".trc")}
    export_to("too-much-tilt", settings, FRAMES, {suffix: str(path) for suffix, path in files.items()}, SECONDS)
    assert {path.name for path in folder.iterdir()} == {path.name for path in files.values()}
    return swing_of(apply(load("too-much-tilt"), settings), FRAMES), files


def read(path: Path) -> tuple[list[str], Array, dict]:
    """Labels, places ``(M, K, 3)`` in metres and the parameters of the group POINT."""
    file = ezc3d.c3d(str(path))
    point = {name: item["value"] for name, item in file["parameters"]["POINT"].items() if "value" in item}
    assert point["UNITS"] == ["mm"]
    return point["LABELS"], file["data"]["points"][:3].transpose(2, 1, 0) / 1000, point


def test_the_c3d_reads_back(exported: Exported) -> None:
    swing, files = exported
    labels, seen, point = read(files[".c3d"])
    named = joint_markers(swing.left_handed)
    assert labels == [*named, *skin_markers(swing.left_handed)] and len(set(labels)) == len(labels)
    assert seen.shape == (FRAMES, len(labels), 3)
    for name, (joint, _) in named.items():
        np.testing.assert_allclose(seen[:, labels.index(name)], swing.skeleton.joints[joint], atol=1e-4, err_msg=name)
    assert point["RATE"] == pytest.approx((FRAMES - 1) / SECONDS) and point["FRAMES"] == FRAMES
    assert len(point["DESCRIPTIONS"]) == len(labels) and all(point["DESCRIPTIONS"])
    assert (point["X_SCREEN"], point["Y_SCREEN"]) == (["+Y"], ["+Z"])
    # The golfer faces x: what is named left lies toward y, whoever leads with it.
    for name in (*SIDED, *SKIN_SIDED):
        assert seen[0, labels.index("L" + name), 1] > seen[0, labels.index("R" + name), 1], name


def test_c3d_and_trc_hold_the_same_paths(exported: Exported) -> None:
    _, files = exported
    lines = files[".trc"].read_text().split("\n")
    names = [name for name in lines[3].split("\t")[2:] if name]
    rows = np.array([[float(value) for value in line.split("\t")] for line in lines[6:-1]])
    labels, seen, _ = read(files[".c3d"])
    assert labels == names
    np.testing.assert_allclose(rows[:, 2:].reshape(FRAMES, -1, 3) / 1000, seen, atol=1e-6)


def test_every_marker_is_seen(exported: Exported) -> None:
    points = ezc3d.c3d(str(exported[1][".c3d"]))["data"]
    assert np.isfinite(points["points"]).all()
    assert (points["meta_points"]["residuals"] == 0).all()


def test_the_headers_words_agree_with_the_parameters(exported: Exported) -> None:
    """The guide has some numbers twice, and programs differ in which they read."""
    content = exported[1][".c3d"].read_bytes()
    labels, _, point = read(exported[1][".c3d"])
    first, kind, count, analog, start, end, gap, scale, data, _, rate = struct.unpack_from("<BB5HfHHf", content)
    assert (first, kind, count, analog, start, end, gap) == (2, 0x50, len(labels), 0, 1, FRAMES, 0)
    assert scale < 0 and scale == pytest.approx(float(point["SCALE"][0]))
    assert rate == pytest.approx(float(point["RATE"][0])) and data == point["DATA_START"]
    assert content[BLOCK + 2] == data - first  # blocks of parameters
    assert len(content) % BLOCK == 0 and 0 <= len(content) - (data - 1) * BLOCK - 16 * count * FRAMES < BLOCK


@pytest.mark.parametrize("count", [1, 7, 8, 64, 255])
@pytest.mark.parametrize("moments", [2, 41])
def test_any_number_of_markers_and_moments_reads_back(tmp_path: Path, count: int, moments: int) -> None:
    rng = np.random.default_rng(count)
    names = tuple(f"M{k}" for k in range(count))
    paths = MarkerPaths(names, tuple("x" * (k % 60 + 1) for k in range(count)), rng.normal(size=(moments, count, 3)))
    path = tmp_path / "any.c3d"
    path.write_bytes(c3d_bytes(paths, np.linspace(0, 1.7, moments)))
    labels, seen, point = read(path)
    assert tuple(labels) == names and tuple(point["DESCRIPTIONS"]) == paths.descriptions
    np.testing.assert_allclose(seen, paths.places, atol=1e-6)
    assert point["RATE"] == pytest.approx((moments - 1) / 1.7)


def test_another_ending_is_told_in_one_sentence(tmp_path: Path) -> None:
    with pytest.raises(TurnstillError, match=r"ends in \.c3d"):
        export_to("centred", [], 3, {".c3d": str(tmp_path / "a.trc")})
    assert not list(tmp_path.iterdir())


def test_the_same_asking_writes_the_same_bytes(tmp_path: Path) -> None:
    first, second = tmp_path / "a.c3d", tmp_path / "b.c3d"
    for path in (first, second):
        export_to("centred", [], 3, {".c3d": str(path)})
    assert first.read_bytes() == second.read_bytes()
