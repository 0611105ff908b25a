"""What a page is sent poses every vertex as the figure does, in few bytes; read here by other code."""

from __future__ import annotations

import gzip
import json
import re
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray
from scipy.spatial.transform import Rotation

from turnstill.render.figure.figure import Figure
from turnstill.render.figure.look import Look
from turnstill.render.web.module import bundled, figure_module
from turnstill.render.web.packing import pack, unpack
from turnstill.render.web.payload import figure_bytes, motion_bytes
from turnstill.scenes.setups.perform import swing_of
from turnstill.scenes.setups.presets import backswing_names, load
from turnstill.scenes.setups.settings import apply
from turnstill.scenes.views.web_figure import web_figure

WORST_M = 0.5e-3


@given(st.lists(st.lists(st.integers(-(2**31), 2**31 - 1), min_size=3, max_size=3), max_size=5), st.text(max_size=5))
def test_blocks_come_back_as_they_went(rows: list[list[int]], words: str) -> None:
    arrays = {"rows": np.array(rows, np.int64).reshape(-1, 3), "none": np.zeros((0, 4), int), "low": np.arange(-3, 4)}
    header, found = unpack(pack({"words": words}, arrays))
    assert header["words"] == words and found.keys() == arrays.keys()
    for name, array in arrays.items():
        assert found[name].shape == array.shape and (found[name] == array).all()


def test_numbers_take_as_few_bytes_as_hold_them() -> None:
    for most, size in ((127, 1), (128, 2), (32767, 2), (32768, 4), (-128, 1), (-129, 2)):
        header, _ = unpack(pack({}, {"one": np.array([most])}))
        assert header["arrays"] == [["one", [1], size]]
    with pytest.raises(OverflowError):
        pack({}, {"one": np.array([2**31])})


def told(block: bytes) -> tuple[NDArray[Any], NDArray[Any], NDArray[Any], dict[str, Any], NDArray[Any]]:
    """A figure's block: vertex and frame of each carried place, ``(C, 4)`` what is carried, header and faces."""
    header, a = unpack(gzip.decompress(block))
    vertex = np.repeat(np.arange(len(a["carried"])), a["carried"])
    rest = np.cumsum(a["rest"], axis=1).T
    share = a["shares"] * header["share_unit"]
    place = (share[:, None] * rest[vertex] + a["aside"].T) * header["place_unit_m"]
    low = np.cumsum(a["faces"][0])
    faces = np.stack([low, low + a["faces"][1], low + a["faces"][1] + a["faces"][2]], axis=1)
    return vertex, a["frames"], np.concatenate([place, share[:, None]], axis=1), header, faces


def frames(block: bytes, header: dict[str, Any]) -> NDArray[Any]:
    """``(M, F, 3, 4)`` all frames of a motion."""
    motion, a = unpack(block)
    units = np.array([motion["turn_unit"]] * 3 + [motion["shift_unit_m"]])
    steps = np.concatenate([a["first"][None], a["speed"], a["change"].T])
    course = np.concatenate([steps[:1], steps[:1] + np.cumsum(np.cumsum(steps[1:], axis=0), axis=0)])
    cut = 12 * header["moving"]
    moving = course[:, :cut].reshape(len(course), -1, 3, 4) * units
    club, all_frames = moving[:, header["club"]], [moving]
    for hinge, now in zip(header["hinges"], np.split(course[:, cut:], len(header["hinges"]), axis=1), strict=True):
        for share in hinge["share"]:
            # The shortest turn from one direction to the other, a share of it.
            way = [
                Rotation.from_rotvec(share * np.arccos(np.clip(unit @ hinge["toward"], -1, 1)) * axis).as_matrix()
                for unit, axis in _turns(now, np.array(hinge["toward"]))
            ]
            origin = club[:, :, :3] @ hinge["held"] + club[:, :, 3]
            all_frames.append(np.concatenate([club[:, :, :3] @ np.stack(way), origin[..., None]], axis=-1)[:, None])
    return np.concatenate(all_frames, axis=1)


def _turns(now: NDArray[Any], toward: NDArray[Any]) -> list[tuple[NDArray[Any], NDArray[Any]]]:
    found = []
    for row in now:
        unit = row / np.linalg.norm(row)
        axis = np.cross(toward, unit)
        found.append((unit, axis / max(float(np.linalg.norm(axis)), 1e-12)))
    return found


def worst(figure: Figure, skeleton: Any) -> float:
    """Metres: how far any vertex is from where the figure poses it, at any moment."""
    vertex, frame, carried, header, faces = told(figure_bytes(figure))
    given_faces = {tuple(np.roll(face, -int(np.argmin(face)))) for face in figure.faces.tolist()}
    assert {tuple(face) for face in faces.tolist()} == given_faces and len(faces) == len(figure.faces)
    moves = frames(motion_bytes(figure, skeleton), header)
    exact, away = figure.pose(skeleton), 0.0
    for moment, matrices in enumerate(moves):
        posed = np.zeros_like(exact[0])
        np.add.at(posed, vertex, np.einsum("cij,cj->ci", matrices[frame], carried))
        away = max(away, float(np.linalg.norm(posed - exact[moment], axis=-1).max()))
    return away


@pytest.mark.parametrize(
    ("preset", "settings", "look"),
    [("centred", (), None), ("sway", ("sex=female", "handedness=left", "lead_heel_rise=4", "trail_heel_rise=7"), None),
     ("straight-toes", ("sex=female", "stature=152"),
      Look(legwear="skirt", hair_style="tied back", sleeves="long", headwear="cap"))],
)  # fmt: skip
def test_every_vertex_is_where_the_figure_has_it(preset: str, settings: tuple[str, ...], look: Look | None) -> None:
    first, swing = (swing_of(apply(load(name), settings), 5) for name in ("pinched-toes", preset))
    figure = Figure(first.body, first.skeleton[0], left_handed=first.left_handed, look=look)
    assert worst(figure.dressed(swing.skeleton[0]), swing.skeleton) < WORST_M


@pytest.mark.heavy
@pytest.mark.parametrize("sex", ["male", "female"])
@pytest.mark.parametrize("hand", ["left", "right"])
def test_every_vertex_is_where_the_figure_has_it_in_every_preset_at_every_moment(sex: str, hand: str) -> None:
    figure: Figure | None = None
    for name in backswing_names():
        swing = swing_of(apply(load(name), [f"sex={sex}", f"handedness={hand}"]))
        address = swing.skeleton[0]
        figure = Figure(swing.body, address, left_handed=hand == "left") if figure is None else figure.dressed(address)
        assert worst(figure, swing.skeleton) < WORST_M, name


def test_a_page_stays_small() -> None:
    """One swing in at most 640 kB, each further one of the same body in at most 45."""
    for settings in (["sex=male"], ["sex=female"]):
        swings = [swing_of(apply(load(name), settings)) for name in ("centred", "too-much-tilt")]
        figure = Figure(swings[0].body, swings[0].skeleton[0])
        words = {view: ["Head 3.9 cm lower and 1.8 cm nearer to the target"] * 41 for view in ("one", "other")}
        made = web_figure(swings, [figure, figure], [{}, {}], [words, words])
        assert len(made.figures) == 1 and len(made.motions) == 2
        told = len(json.dumps(made.data))
        assert len(made.figures[0]) + len(made.motions[0]) + told < 640_000 and len(made.motions[1]) + told < 45_000


def test_the_module_is_one_text_without_imports() -> None:
    text = figure_module()
    assert "import " not in text and "export " not in text
    for name in ("Figure", "Motion", "Camera", "Window", "Golfer", "Marks", "Panel", "Show"):
        assert text.count(f"\nclass {name} ") == 1
    # Names at the top level are told apart, since the files meet in one text.
    names = re.findall(r"^(?:const|class|function|async function) (\w+)", text, re.MULTILINE)
    assert len(names) == len(set(names))


def test_a_script_comes_after_what_it_imports(tmp_path: Path) -> None:
    (tmp_path / "deep").mkdir()
    (tmp_path / "deep" / "c.js").write_text("export const c = 3;\n")
    (tmp_path / "b.js").write_text('import { c } from "./deep/c.js";\nexport const b = c + 1;\n')
    (tmp_path / "a.js").write_text('import {\n  b,\n} from "./b.js";\nimport { c } from "./deep/c.js";\nshow(b, c);\n')
    assert bundled(tmp_path / "a.js").split("\n") == ["const c = 3;", "", "const b = c + 1;", "", "show(b, c);", ""]
