"""Exported files, read back by readers that share nothing with what wrote them: VTK's for glTF, and small ones here."""

from __future__ import annotations

import json
import os
import re
import shutil
import struct
import subprocess
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import trimesh
from typer.testing import CliRunner

from turnstill.model.arrays import Array
from turnstill.model.errors import TurnstillError
from turnstill.model.swing.swing import Swing
from turnstill.render.body.body_surface import BodySurface
from turnstill.render.figure.figure import Figure
from turnstill.scenes.cli import app
from turnstill.scenes.export.markers import SIDED, joint_markers
from turnstill.scenes.export.work import export_to
from turnstill.scenes.setups.perform import swing_of
from turnstill.scenes.setups.presets import load
from turnstill.scenes.setups.settings import apply

RUNNER = CliRunner()
FRAMES = 9
GOLFERS = {
    "right": [],
    "left": ["handedness=left", "sex=female", "stature=164", "mass=64", "lead_heel_rise=2", "trail_heel_rise=4"],
}
Exported = tuple[Swing, dict[str, Path]]


@pytest.fixture(scope="module", params=GOLFERS, ids=str)
def exported(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Exported:
    folder, settings = tmp_path_factory.mktemp("export"), GOLFERS[request.param]
    files = {suffix: folder / f"swing{suffix}" for suffix in (".glb", ".trc", ".bvh")}
    export_to("too-much-tilt", settings, FRAMES, {suffix: str(path) for suffix, path in files.items()}, 0.8)
    assert {path.name for path in folder.iterdir()} == {path.name for path in files.values()}
    return swing_of(apply(load("too-much-tilt"), settings), FRAMES), files


def chunks(path: Path) -> tuple[dict[str, Any], bytes]:
    """JSON and binary of a GLB file, by the format's own words."""
    data = path.read_bytes()
    magic, version, length = struct.unpack_from("<4sII", data)
    assert (magic, version, length) == (b"glTF", 2, len(data))
    size, kind = struct.unpack_from("<I4s", data, 12)
    assert kind == b"JSON" and size % 4 == 0
    more, kind = struct.unpack_from("<I4s", data, 20 + size)
    assert kind == b"BIN\0" and more % 4 == 0 and 28 + size + more == length
    return json.loads(data[20 : 20 + size]), data[28 + size :]


def leaves(block: Any) -> Iterator[Any]:
    """The meshes of nested blocks."""
    for k in range(block.GetNumberOfBlocks()):
        inner = block.GetBlock(k)
        if inner is not None:
            yield from leaves(inner) if inner.IsA("vtkMultiBlockDataSet") else [inner]


def places(path: Path, moments: int, seconds: float) -> list[list[Array]]:
    """For each moment, the vertices ``(V, 3)`` of every primitive, metres, room, as VTK's own reader animates them."""
    from vtkmodules.util.numpy_support import vtk_to_numpy
    from vtkmodules.vtkIOGeometry import vtkGLTFReader

    found = []
    for k in range(moments):
        # A new reader each time: VTK 9.7 mixes up the primitives of a mesh without skin when it is asked again.
        reader = vtkGLTFReader()
        reader.SetFileName(str(path))
        reader.SetApplyDeformationsToGeometry(True)
        reader.UpdateInformation()
        assert reader.GetNumberOfAnimations() == 1 and reader.GetAnimationName(0) == "backswing"
        assert reader.GetAnimationDuration(0) == pytest.approx(seconds)
        reader.EnableAnimation(0)
        reader.UpdateTimeStep(float(np.float32(seconds * k / (moments - 1))))
        shown = [vtk_to_numpy(leaf.GetPoints().GetData()) for leaf in leaves(reader.GetOutput())]
        found.append([place[:, [2, 0, 1]].copy() for place in shown])
    return found


def test_the_glb_moves_as_the_model_does(exported: Exported) -> None:
    swing, files = exported
    surface = BodySurface(swing.body, swing.skeleton[0], left_handed=swing.left_handed)
    expected = surface.pose_linearly(swing.skeleton)
    seen = places(files[".glb"], FRAMES, 0.8)
    for k in range(FRAMES):
        skin = [place for place in seen[k] if len(place) == expected.shape[1]]
        assert len(skin) == 1
        np.testing.assert_allclose(skin[0], expected[k], atol=1e-4)
    assert np.abs(expected[-1] - expected[0]).max() > 0.5


def test_the_glbs_club_and_ball_are_where_the_figures_are(exported: Exported) -> None:
    swing, files = exported
    figure = Figure(swing.body, swing.skeleton[0], left_handed=swing.left_handed)
    seen = places(files[".glb"], FRAMES, 0.8)
    for k in (0, FRAMES // 2, FRAMES - 1):
        drawn = figure.pose(swing.skeleton[k])
        for name in ("shaft", "grip", "clubhead"):
            start, end = figure.vertex_ranges[[part.name for part in figure.parts].index(name)]
            same = [place for place in seen[k] if len(place) == end - start]
            assert min(np.abs(place - drawn[start:end]).max() for place in same) < 1e-4, name
    ball = swing.skeleton.joints["ball"][0]
    assert any(np.abs(place.mean(axis=0) - ball)[:2].max() < 1e-4 for place in seen[-1])


def test_the_glb_keeps_the_formats_rules(exported: Exported) -> None:
    swing, files = exported
    document, binary = chunks(files[".glb"])

    def array(number: int) -> Array:
        accessor = document["accessors"][number]
        view = document["bufferViews"][accessor["bufferView"]]
        kind = {5126: "<f4", 5121: "u1", 5123: "<u2", 5125: "<u4"}[accessor["componentType"]]
        width = {"SCALAR": 1, "VEC3": 3, "VEC4": 4, "MAT4": 16}[accessor["type"]]
        assert view["byteOffset"] % 4 == 0
        values = np.frombuffer(binary, kind, accessor["count"] * width, view["byteOffset"])
        return values.reshape(accessor["count"], width)

    assert document["asset"]["version"] == "2.0" and document["asset"]["generator"].startswith("turnstill ")
    assert document["buffers"][0]["byteLength"] <= len(binary)
    assert not any("matrix" in node for node in document["nodes"])
    skin, body = document["skins"][0], next(node for node in document["nodes"] if "skin" in node)
    attributes = document["meshes"][body["mesh"]]["primitives"][0]["attributes"]
    weights, joints = array(attributes["WEIGHTS_0"]), array(attributes["JOINTS_0"])
    np.testing.assert_allclose(weights.sum(axis=1), 1, atol=2e-7)
    assert joints.max() < len(skin["joints"]) and np.all(joints[weights == 0] == 0)
    matrices = array(skin["inverseBindMatrices"])
    assert len(matrices) == len(skin["joints"])
    np.testing.assert_array_equal(matrices[:, [3, 7, 11, 15]], np.tile([0, 0, 0, 1], (len(matrices), 1)))
    np.testing.assert_allclose(np.linalg.norm(array(attributes["NORMAL"]), axis=1), 1, atol=1e-5)
    assert "COLOR_0" in attributes
    for sampler in document["animations"][0]["samplers"]:
        times, values = array(sampler["input"])[:, 0], array(sampler["output"])
        assert sampler["interpolation"] == "LINEAR" and len(times) == len(values) == FRAMES
        np.testing.assert_allclose(times, swing.progress * 0.8, atol=1e-6)
        if values.shape[1] == 4:
            np.testing.assert_allclose(np.linalg.norm(values, axis=1), 1, atol=1e-6)
            assert np.all((values[1:] * values[:-1]).sum(axis=1) > 0)  # never the long way round


def test_the_glbs_body_is_closed_and_as_heavy_as_the_golfer(exported: Exported) -> None:
    swing, files = exported
    shapes = trimesh.load(files[".glb"], process=False, force="scene").geometry
    body = max(shapes.values(), key=lambda mesh: mesh.volume)
    assert body.is_watertight and body.is_winding_consistent
    assert body.volume * 1000 == pytest.approx(float(swing.body.mass), rel=0.06)


@pytest.mark.skipif("GLTF_VALIDATOR" not in os.environ, reason="GLTF_VALIDATOR names no folder of npm's gltf-validator")
def test_khronos_validator_finds_nothing(exported: Exported, tmp_path: Path) -> None:
    node = shutil.which("node")
    assert node is not None, "GLTF_VALIDATOR is set, but there is no node"
    ask = tmp_path / "ask.js"
    ask.write_text(
        f"require({json.dumps(os.environ['GLTF_VALIDATOR'])}).validateBytes(new Uint8Array(require('fs').readFileSync("
        "process.argv[2]))).then(told => console.log(JSON.stringify(told.issues)))"
    )
    told = subprocess.run([node, str(ask), str(exported[1][".glb"])], capture_output=True, text=True, check=True)
    issues = json.loads(told.stdout)
    assert (issues["numErrors"], issues["numWarnings"]) == (0, 0), issues


def test_the_trc_reads_back(exported: Exported) -> None:
    swing, files = exported
    lines = files[".trc"].read_text().split("\n")
    rate, _, moments, count, unit = lines[2].split("\t")[:5]
    names = [name for name in lines[3].split("\t")[2:] if name]
    rows = np.array([[float(value) for value in line.split("\t")] for line in lines[6:-1]])
    assert (int(moments), int(count), unit) == (FRAMES, len(names), "mm") and rows.shape == (FRAMES, 2 + 3 * len(names))
    np.testing.assert_array_equal(rows[:, 0], np.arange(1, FRAMES + 1))
    np.testing.assert_allclose(rows[:, 1], np.arange(FRAMES) / float(rate), atol=1e-5)
    seen = rows[:, 2:].reshape(FRAMES, -1, 3) / 1000
    for name, (joint, _) in joint_markers(swing.left_handed).items():
        np.testing.assert_allclose(seen[:, names.index(name)], swing.skeleton.joints[joint], atol=1e-4, err_msg=name)
    # The golfer faces x: what is named left lies toward y, whoever leads with it.
    assert all(seen[0, names.index("L" + n), 1] > seen[0, names.index("R" + n), 1] for n in SIDED)


def test_the_bvh_reads_back(exported: Exported) -> None:
    swing, files = exported
    words = iter(files[".bvh"].read_text().split())
    offsets: dict[str, Array] = {}
    parents: dict[str, str | None] = {}
    channels: list[tuple[str, str]] = []
    above: list[str] = []
    name = ""
    for word in words:
        if word in ("ROOT", "JOINT", "End"):
            name = next(words)
            if word == "End":
                name = f"End of {above[-1]}"
            parents[name] = above[-1] if above else None
        elif word == "{":
            above.append(name)
        elif word == "}":
            above.pop()
        elif word == "OFFSET":
            offsets[name] = np.array([float(next(words)) for _ in range(3)])
        elif word == "CHANNELS":
            channels += [(name, next(words)) for _ in range(int(next(words)))]
        elif word == "MOTION":
            break
    assert next(words) == "Frames:" and int(next(words)) == FRAMES
    assert (next(words), next(words)) == ("Frame", "Time:") and float(next(words)) == pytest.approx(0.8 / (FRAMES - 1))
    rows = np.array([float(word) for word in words]).reshape(FRAMES, len(channels))

    left, right = ("trail", "lead") if swing.left_handed else ("lead", "trail")
    known = {"Hips": "pelvis", "Spine1": "lumbosacral", "Neck": "neck_base", "End of Head": "vertex"}
    limbs = {"UpLeg": "hip", "Leg": "knee", "Foot": "ankle", "Shoulder": "sternoclavicular", "Arm": "shoulder",
             "ForeArm": "elbow", "Hand": "wrist"}  # fmt: skip
    for side, own in (("Left", left), ("Right", right)):
        known |= {side + word: f"{joint}_{own}" for word, joint in limbs.items()}
        known[f"End of {side}ToeBase"] = f"toe_{own}"
    for k, row in enumerate(rows):
        turns: dict[str, Array] = {}
        spots: dict[str, Array] = {}
        for joint, parent in parents.items():
            turn, spot = np.eye(3), offsets[joint].copy()
            for (of, what), value in zip(channels, row, strict=True):
                if of == joint and what.endswith("position"):
                    spot["XYZ".index(what[0])] += value
                elif of == joint:
                    c, s, i = np.cos(np.radians(value)), np.sin(np.radians(value)), "XYZ".index(what[0])
                    axis = np.eye(3)
                    a, b = (i + 1) % 3, (i + 2) % 3
                    axis[a, a], axis[a, b], axis[b, a], axis[b, b] = c, -s, s, c
                    turn = turn @ axis
            above_turn, above_spot = (turns[parent], spots[parent]) if parent else (np.eye(3), np.zeros(3))
            turns[joint], spots[joint] = above_turn @ turn, above_spot + above_turn @ spot
        for joint, own in known.items():
            np.testing.assert_allclose(spots[joint][[2, 0, 1]], swing.skeleton.joints[own][k], atol=1e-4, err_msg=joint)
        for level in range(18):
            seen = spots[f"Spine{level + 1}"][[2, 0, 1]]
            np.testing.assert_allclose(seen, swing.skeleton.spine[k, level], atol=1e-4, err_msg=f"Spine{level + 1}")
        for side, own in (("Left", left), ("Right", right)):
            # The hand ends where it grips, down its own long axis.
            hand = -float(swing.body.lengths["wrist_to_grip"]) * swing.skeleton.frames[f"hand_{own}"][k, :, 2]
            grips = swing.skeleton.joints[f"wrist_{own}"][k] + hand
            np.testing.assert_allclose(spots[f"End of {side}Hand"][[2, 0, 1]], grips, atol=1e-4, err_msg=side)


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["centred"], "no file to write"),
        (["centred", "--glb", "a.gltf"], r"ends in \.glb"),
        (["centred", "--glb", "a.glb", "--trc", "a.glb"], r"ends in \.trc"),
        (["centred", "--glb", "no/such/a.glb"], "no folder"),
        (["centred", "--glb", "a.glb", "--seconds", "0"], "--seconds"),
        (["centred", "--glb", "a.glb", "--seconds", "nan"], "--seconds"),
        (["centred", "--glb", "a.glb", "--frames", "1"], "--frames"),
        (["no-such-preset", "--bvh", "a.bvh"], "no-such-preset"),
        (["centred", "--bvh", "a.bvh", "--mass-kg", "5"], "mass"),
    ],
)
def test_what_cannot_be_is_told_in_one_sentence(
    arguments: list[str], said: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    done = RUNNER.invoke(app, ["export", *arguments])
    assert done.exit_code == 2 and done.stdout == "" and len(done.stderr.splitlines()) == 1
    assert re.search(said, done.stderr), done.stderr
    assert not list(tmp_path.iterdir())


@pytest.mark.parametrize("ending", [".bvh", ".c3d"])
def test_a_write_that_fails_leaves_the_earlier_file(tmp_path: Path, failing_disk: None, ending: str) -> None:
    path = tmp_path / f"a{ending}"
    path.write_text("an earlier one")
    with pytest.raises((KeyboardInterrupt, TurnstillError)):
        export_to("centred", [], 3, {ending: str(path)})
    assert path.read_text() == "an earlier one" and list(tmp_path.iterdir()) == [path]


def test_the_same_asking_writes_the_same_bytes(tmp_path: Path) -> None:
    first, second = tmp_path / "a.glb", tmp_path / "b.glb"
    for path in (first, second):
        export_to("centred", [], 3, {".glb": str(path)})
    assert first.read_bytes() == second.read_bytes()
