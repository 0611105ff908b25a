"""Each marker's place under its own label: on a swing whose every joint at every moment is somewhere else."""

from __future__ import annotations

from pathlib import Path
from types import SimpleNamespace
from typing import Any

import ezc3d
import numpy as np
import pytest
from distinct_swings import distinct_swing

from turnstill.model.arrays import Array
from turnstill.render.body import body_surface, skin_points
from turnstill.scenes.export import work
from turnstill.scenes.export.c3d import c3d_bytes
from turnstill.scenes.export.markers import MarkerPaths, marker_paths
from turnstill.scenes.export.trc import trc_text

MOMENTS = 4
JOINT_OF = {
    "VERTEX": "vertex", "NOSE": "nose", "HEAD": "head", "C7T1": "neck_base", "STERNUM": "sternum",
    "L5S1": "lumbosacral", "MIDHJC": "pelvis", "GRIP": "grip", "CLUBHEAD": "clubhead",
}  # fmt: skip
SIDED_JOINT_OF = {
    "SJC": "shoulder", "EJC": "elbow", "WJC": "wrist", "HJC": "hip", "KJC": "knee", "AJC": "ankle", "HEE": "heel",
    "TOE": "toe",
}  # fmt: skip
SKIN_OF = {"C7": "c7", "T10": "t10", "CLAV": "suprasternale", "STRN": "xiphoid"}
SIDED_SKIN_OF = {"GTR": "trochanter", "KNE": "epicondyle", "ANK": "malleolus"}
TOLD = {
    "VERTEX": "top of the head", "C7T1": "C7 and T1", "MIDHJC": "half way between the hips", "LKJC": "knee, left",
    "RSJC": "shoulder, right", "LTOE": "foot's tip, left", "CLUBHEAD": "club's head", "RANK": "malleolus, right",
    "LGTR": "greater trochanter, left", "CLAV": "notch above the breastbone", "STRN": "breastbone's lower end",
}  # fmt: skip


@pytest.fixture
def skin(monkeypatch: pytest.MonkeyPatch) -> dict[str, Array]:
    """Points of the skin that are anywhere, instead of a body's surface."""
    rng = np.random.default_rng(8)
    places = {name: rng.normal(size=(MOMENTS, 3)) for name in skin_points.SKIN_POINTS}
    monkeypatch.setattr(body_surface, "BodySurface", lambda body, address, *, left_handed: (body, address, left_handed))

    def skinned(surface: Any) -> Any:
        return SimpleNamespace(
            places=lambda skeleton: np.stack([places[name] for name in skin_points.SKIN_POINTS], axis=1)
        )

    monkeypatch.setattr(skin_points, "SkinPoints", skinned)
    return places


def expected(swing: Any, skin: dict[str, Array]) -> dict[str, Array]:
    """Every label with the path it should have: a left-hander leads with the right side."""
    joints = swing.skeleton.joints
    sides = {"L": "trail", "R": "lead"} if swing.left_handed else {"L": "lead", "R": "trail"}
    paths = {label: joints[name] for label, name in JOINT_OF.items()}
    paths |= {label: skin[name] for label, name in SKIN_OF.items()}
    for letter, side in sides.items():
        paths |= {letter + label: joints[f"{name}_{side}"] for label, name in SIDED_JOINT_OF.items()}
        paths |= {letter + label: skin[f"{name}_{side}"] for label, name in SIDED_SKIN_OF.items()}
    return paths


@pytest.mark.parametrize("left_handed", [False, True])
def test_every_label_has_its_own_path(skin: dict[str, Array], left_handed: bool, tmp_path: Path) -> None:
    swing = distinct_swing(5, MOMENTS, left_handed)
    paths, wanted = marker_paths(swing), expected(swing, skin)
    assert set(paths.names) == set(wanted) and len(paths.names) == len(wanted) == len(paths.descriptions)
    for k, name in enumerate(paths.names):
        assert np.array_equal(paths.places[:, k], wanted[name]), name
    told = dict(zip(paths.names, paths.descriptions, strict=True))
    assert all(words in told[name] for name, words in TOLD.items())
    # The middle's skin says that it is skin, a joint's centre never.
    on_skin = {*SKIN_OF, *(side + name for side in "LR" for name in SIDED_SKIN_OF)}
    assert {name for name in told if told[name].startswith("skin")} == on_skin

    # The same in the files: a marker's three columns, a moment's row.
    seconds = np.linspace(0, 0.6, MOMENTS)
    lines = trc_text(paths, seconds).split("\n")
    labels = lines[3].split("\t")[2::3][: len(paths.names)]
    assert lines[4].split("\t")[2:8] == ["X1", "Y1", "Z1", "X2", "Y2", "Z2"]
    for moment, line in enumerate(lines[6:-1]):
        cells = [float(cell) for cell in line.split("\t")]
        assert cells[:2] == [moment + 1, pytest.approx(0.2 * moment, abs=1e-6)]
        for k, label in enumerate(labels):
            assert np.allclose(cells[2 + 3 * k : 5 + 3 * k], 1000 * wanted[label][moment], atol=1e-4), label
    (tmp_path / "a.c3d").write_bytes(c3d_bytes(paths, seconds))
    file = ezc3d.c3d(str(tmp_path / "a.c3d"))
    point = file["parameters"]["POINT"]
    for k, label in enumerate(point["LABELS"]["value"]):
        assert np.allclose(file["data"]["points"][:3, k].T, 1000 * wanted[label], atol=1e-3), label
        assert point["DESCRIPTIONS"]["value"][k] == told[label]


def test_a_trcs_head_by_hand() -> None:
    places = np.arange(12.0).reshape(2, 2, 3) / 1000
    assert trc_text(MarkerPaths(("A", "B"), ("a", "b"), places), np.array([0.0, 0.5])) == (
        "PathFileType\t4\t(X/Y/Z)\tturnstill.trc\n"
        "DataRate\tCameraRate\tNumFrames\tNumMarkers\tUnits\tOrigDataRate\tOrigDataStartFrame\tOrigNumFrames\n"
        "2.000000\t2.000000\t2\t2\tmm\t2.000000\t1\t2\n"
        "Frame#\tTime\tA\t\t\tB\n"
        "\t\tX1\tY1\tZ1\tX2\tY2\tZ2\n"
        "\n"
        "1\t0.000000\t0.0000\t1.0000\t2.0000\t3.0000\t4.0000\t5.0000\n"
        "2\t0.500000\t6.0000\t7.0000\t8.0000\t9.0000\t10.0000\t11.0000\n"
    )


def test_each_file_holds_what_its_ending_says(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """And lasts as long as asked."""
    from turnstill.render.gltf import gltf_figure

    swing, asked = distinct_swing(6, 3), []

    def simulated(setup: Any, frames: int, *, through_impact: bool) -> Any:
        asked.append((setup.name, frames, through_impact))
        return swing

    monkeypatch.setattr(work, "swing_of", simulated)
    monkeypatch.setattr(work, "warnings", lambda of: ["It would fall over."] if of is swing else [])
    monkeypatch.setattr(work, "marker_paths", lambda of: ("paths", of is swing))

    def figure(body: Any, skeleton: Any, when: Array, *, left_handed: bool, generator: str) -> bytes:
        assert body is swing.body and skeleton is swing.skeleton and not left_handed and "turnstill" in generator
        return b"glb" + bytes([round(20 * when[-1])])

    monkeypatch.setattr(gltf_figure, "figure_glb", figure)
    monkeypatch.setattr(work, "bvh_text", lambda of, when: f"bvh {of is swing} {when[1]:g}")
    monkeypatch.setattr(work, "trc_text", lambda paths, when: f"trc {paths} {when[1]:g}")
    monkeypatch.setattr(work, "c3d_bytes", lambda paths, when: f"c3d {paths} {when[1]:g}".encode())
    files = {suffix: str(tmp_path / f"a{suffix}") for suffix in (".glb", ".trc", ".c3d", ".bvh")}
    work.export_to("sway", [], 3, files, 3.0)
    held = {suffix: Path(file).read_bytes() for suffix, file in files.items()}
    assert held == {
        ".glb": b"glb" + bytes([60]), ".bvh": b"bvh True 1.5", ".trc": b"trc ('paths', True) 1.5",
        ".c3d": b"c3d ('paths', True) 1.5",
    }  # fmt: skip
    assert asked == [("sway", 3, False)]
    told = {".glb": "moving figure", ".trc": "markers", ".c3d": "markers", ".bvh": "skeleton"}
    written = "".join(f"The {told[suffix]}: {file}\n" for suffix, file in files.items())
    assert capsys.readouterr().out == f"{written}Note: It would fall over.\n"
