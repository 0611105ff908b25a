"""The map command: its numbers, sentences, drawings, page and mistakes."""

from __future__ import annotations

import json
import re
import xml.etree.ElementTree as ET
from pathlib import Path

import numpy as np
import pytest
from typer.testing import CliRunner

from turnstill.model import Address, Pieces
from turnstill.model.swing.simulate import simulate
from turnstill.scenes.cli import app
from turnstill.scenes.map.drawing import drawing
from turnstill.scenes.map.labels import CLEAR, label_places
from turnstill.scenes.map.page import map_page
from turnstill.scenes.map.report import map_report
from turnstill.scenes.map.work import Mapped, map_of, traced
from turnstill.scenes.setups.numbers import moment_row
from turnstill.scenes.setups.perform import body_of
from turnstill.scenes.setups.presets import load

RUNNER = CliRunner()
OTHER = np.linspace(-3.0, 3.0, 121)
"""Degrees about its steady amount over which the other of tilt and extension is searched."""


@pytest.fixture(scope="module")
def mapped():
    known: dict[tuple, Mapped] = {}

    def get(preset: str, x: str = "tilt", y: str = "extension", size: int = 21) -> Mapped:
        if (preset, x, y, size) not in known:
            known[preset, x, y, size] = map_of(load(preset), x, y, size)
        return known[preset, x, y, size]

    return get


def test_the_maps_middle_is_the_swing(mapped) -> None:
    found = mapped("too-much-tilt")
    report = map_report(found)
    top = moment_row(found.performed.swing, -1)
    for way in ("toward_target", "toward_ball", "up"):
        assert report[f"head_{way}_cm"][10][10] == pytest.approx(top[f"head_{way}_cm"], abs=1e-5)
        assert report["this_swing"][f"head_{way}_cm"] == top[f"head_{way}_cm"]
    assert report["x"]["this_swing"] - report["x"]["steady"] == pytest.approx(10.0, abs=1e-5)
    assert report["y"]["this_swing"] == pytest.approx(report["y"]["steady"], abs=1e-5)
    json.dumps(report, allow_nan=False)


@pytest.mark.parametrize("preset", ["centred", "too-much-tilt"])
def test_the_still_band_holds_the_steady_answer_and_ends_at_half_a_centimetre(mapped, preset: str) -> None:
    report = map_report(mapped(preset, size=61))
    for axis in "xy":
        low, high = report["still_band"][axis]
        assert low < report[axis]["steady"] < high

    def least_off(name: str, value: float, other: str, held: float) -> float:
        """How little the head is off with one piece kept, whatever the other."""
        pieces = Pieces(**{name: np.radians(value), other: np.radians(held + OTHER)})
        swing = simulate(body_of(load("centred")), Address(), pieces, frames=2)
        return float(np.hypot(*swing.measures.head_moved[:, -1, 1:].T).min()) * 100

    for axis, name, other in (("x", "tilt", "y"), ("y", "extension", "x")):
        for end in report["still_band"][axis]:
            # The band is traced in twelfths of a degree, which move the head by up to 0.06 cm.
            off = least_off(name, end, report[other]["piece"], report[other]["steady"])
            assert off == pytest.approx(0.5, abs=0.06)
    assert "within 0.5 cm of its place" in " ".join(report["sentences"])


@pytest.mark.parametrize("size", [5, 21, 61])
def test_the_finer_map_is_the_map_at_its_places(mapped, size: int) -> None:
    found = mapped("centred", size=size).found
    x, y, off = traced(found)
    step = (x.size - 1) // (size - 1)
    assert x.size == y.size == step * (size - 1) + 1 > 480
    np.testing.assert_allclose(x[::step], found.x_values)
    np.testing.assert_allclose(y[::step], found.y_values)
    np.testing.assert_array_equal(np.isfinite(off[::step, ::step]), found.reached)
    np.testing.assert_allclose(off[::step, ::step][found.reached], found.off[found.reached], atol=1e-12)


def test_maps_without_tilt_and_extension_and_without_a_still_place(mapped) -> None:
    report = map_report(mapped("centred", "hip_turn", "sway", 9))
    assert not any("What holds this head" in line for line in report["sentences"])
    one = map_report(mapped("centred", "hip_turn", "extension", 9))
    assert any("here tilt is kept at" in line for line in one["sentences"])
    far = map_report(map_of(load("centred"), "tilt", "extension", 7, (0.0, 10.0), (0.0, 5.0)))
    assert far["still_band"] is None and any("Nowhere on this map" in line for line in far["sentences"])


def test_reach_is_said_and_marked(mapped) -> None:
    found = mapped("too-much-tilt")
    report = map_report(found)
    share = np.mean(report["reached"])
    assert 0.3 < share < 0.9
    assert any(f"allow {share:.0%} of the places" in line and "trunk" in line for line in report["sentences"])
    assert report["stopped_cells"]["trunk"] == np.size(report["reached"]) - np.sum(report["reached"])


def test_drawings_say_units_and_hold_every_sign(mapped) -> None:
    found = mapped("too-much-tilt")
    for what in ("toward_target", "up", "toward_ball"):
        svg = drawing(found, what)
        ET.fromstring(svg)
        assert "<!-- tilt, ° -->" in svg and "<!-- extension, ° -->" in svg
        assert svg.count("stroke: #b34700") >= 1 and "pattern" in svg  # the still band, the hatched reach
    assert drawing(found, "up") == drawing(found, "up")
    assert "<!-- sway, in -->" in drawing(mapped("centred", "sway", "hips_toward_ball", 5), "up", inches=True)


def test_labels_stand_on_their_lines_clear_of_everything() -> None:
    x, y = np.array([0.0, 10.0]), np.array([-1.0, 1.0])
    along = np.linspace(0.0, 10.0, 101)
    lines = [[np.stack([along, np.full(101, height)], axis=1)] for height in (-0.5, 0.0, 0.02, 0.99)]
    wall = np.stack([along[:60], np.zeros(60)], axis=1)
    places = label_places(lines, wall, x, y)
    assert places[3] is None and label_places([[]], wall, x, y) == [None]  # at the edge; no line
    found = [(place - [0.0, -1.0]) / [10.0, 2.0] for place in places if place is not None]
    obstacles = (wall - [0.0, -1.0]) / [10.0, 2.0]
    for k, place in enumerate(found):
        others = np.array([*obstacles, *found[:k], *found[k + 1 :]])
        assert np.linalg.norm(others - place, axis=1).min() >= CLEAR
    for place, line in zip(places[:3], lines, strict=False):
        assert place is None or (line[0] == place).all(axis=1).any()
    assert places[0] is not None and places[1] is not None and places[1][0] > 6.0


def test_a_star_is_there_only_where_tilt_or_extension_is(mapped) -> None:
    with_star, without = mapped("centred", "sway", "tilt", 5), mapped("centred", "sway", "hips_toward_ball", 5)
    for found, count in ((with_star, 1), (without, 0)):
        assert map_page(map_report(found), found).count("<polygon") == count


def test_map_page_stands_alone(mapped) -> None:
    found = mapped("too-much-tilt")
    html = map_page(map_report(found), found)
    assert html.count("data:image/svg+xml;base64,") == 3
    assert not re.search(r"https?:", html) and "within 0.5 cm" in html
    assert "never force a range" in html.lower()


def test_map_command_writes_json_and_a_folder(tmp_path: Path) -> None:
    out = tmp_path / "map"
    arguments = ["map", "sway", "--x", "sway", "--y", "extension", "--size", "9", "--x-from", "0", "--x-to", "8"]
    done = RUNNER.invoke(app, [*arguments, "--out", str(out), "--inches"])
    assert done.exit_code == 0, done.output
    report = json.loads((out / "map.json").read_text(encoding="utf-8"))
    assert report["x"]["values"] == [0, 1, 2, 3, 4, 5, 6, 7, 8]
    assert np.shape(report["head_up_cm"]) == (9, 9) == np.shape(report["reached"])
    piped = json.loads(RUNNER.invoke(app, [*arguments, "--json", "-"]).stdout)
    assert piped["head_up_cm"] == report["head_up_cm"]


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (["--x", "flare"], '--x was "flare", but must be a piece'),
        (["--x", "tilt", "--y", "tilt"], "two different pieces"),
        (["--size", "4"], "from 5 to 201"),
        (["--x-from", "50", "--x-to", "40"], "the first must be the smaller"),
        (["--x-to", "900"], "--x-to was 900"),
        (["--y-from", "nan"], "--y-from was nan"),
        (["--size", "1000000"], "--size was 1000000"),
        (["--x-to", "1e308"], "--x-to was 1e+308"),
        (["--json", "nowhere/at/all.json"], "no folder to write"),
    ],
)
def test_map_mistakes_are_one_sentence(options, said) -> None:
    done = RUNNER.invoke(app, ["map", "centred", *options])
    assert done.exit_code == 2 and said in done.stderr and done.stdout == "" and len(done.stderr.splitlines()) == 1
