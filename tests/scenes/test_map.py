"""The map command: its numbers as the model's, its drawings, files and mistakes."""

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
from turnstill.scenes.map.report import MapReport
from turnstill.scenes.map.work import Mapped, map_of, traced
from turnstill.scenes.setups.perform import body_of
from turnstill.scenes.setups.presets import load
from turnstill.scenes.setups.settings import apply
from turnstill.scenes.simulate.report import SwingReport

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
    report = MapReport.of(found)
    top = SwingReport.of(found.performed).moments[-1]
    for key in ("head_toward_target_cm", "head_toward_ball_cm", "head_up_cm"):
        assert getattr(report, key)[10][10] == pytest.approx(getattr(top, key), abs=1e-5)
        assert getattr(report.this_swing, key) == getattr(top, key)
    assert report.inclination_deg[10][10] == pytest.approx(top.inclination_deg, abs=1e-5)
    assert report.x.this_swing - report.x.steady == pytest.approx(10.0, abs=1e-5)
    assert report.y.this_swing == pytest.approx(report.y.steady, abs=1e-5)
    assert report.can_be_held and report.steady_miss_cm == top.steady_miss_cm


@pytest.mark.parametrize("preset", ["centred", "too-much-tilt"])
def test_the_still_band_holds_the_steady_answer_and_ends_at_half_a_centimetre(mapped, preset: str) -> None:
    report = MapReport.of(mapped(preset, size=61))
    for axis, (low, high) in ((report.x, report.still_band.x), (report.y, report.still_band.y)):
        assert low < axis.steady < high

    def least_off(name: str, value: float, other: str, held: float) -> float:
        """How little the head is off with one piece kept, whatever the other."""
        pieces = Pieces(**{name: np.radians(value), other: np.radians(held + OTHER)})
        swing = simulate(body_of(load("centred")), Address(), pieces, frames=2)
        return float(np.hypot(*swing.measures.head_moved[:, -1, 1:].T).min()) * 100

    for ends, name, other in ((report.still_band.x, "tilt", report.y), (report.still_band.y, "extension", report.x)):
        for end in ends:
            # The band is traced in twelfths of a degree, which move the head by up to 0.06 cm.
            off = least_off(name, end, other.piece, other.steady)
            assert off == pytest.approx(0.5, abs=0.06)


@pytest.mark.parametrize("size", [5, 21, 61])
def test_the_finer_map_is_the_map_at_its_places(mapped, size: int) -> None:
    found = mapped("centred", size=size).found
    x, y, off = traced(found.x_values, found.y_values, found.toward_target, found.up, found.reached)
    step = (x.size - 1) // (size - 1)
    assert x.size == y.size == step * (size - 1) + 1 > 480
    np.testing.assert_allclose(x[::step], found.x_values)
    np.testing.assert_allclose(y[::step], found.y_values)
    np.testing.assert_array_equal(np.isfinite(off[::step, ::step]), found.reached)
    np.testing.assert_allclose(off[::step, ::step][found.reached], found.off[found.reached], atol=1e-12)


def test_a_map_may_have_no_still_place(mapped) -> None:
    far = MapReport.of(map_of(load("centred"), "tilt", "extension", 7, (0.0, 10.0), (0.0, 5.0)))
    assert far.still_band is None and far.stillest is not None and far.stillest.off_cm > far.still_within_cm
    off = np.hypot(far.head_toward_target_cm, far.head_up_cm)
    row, column = np.argwhere(np.isclose(off, far.stillest.off_cm, atol=1e-5))[0]
    assert (far.x.values[column], far.y.values[row]) == (far.stillest.x, far.stillest.y)


def test_reach_is_said_and_marked(mapped) -> None:
    report = MapReport.of(mapped("too-much-tilt"))
    share = np.mean(report.reached)
    assert 0.3 < share < 0.9
    assert any(f"allow {share:.0%} of the places" in line and "trunk" in line for line in report.sentences)
    assert report.stopped_cells["trunk"] == np.size(report.reached) - np.sum(report.reached)


def test_a_drawing_is_the_same_each_time(mapped) -> None:
    report = MapReport.of(mapped("too-much-tilt", size=5))
    ET.fromstring(drawing(report, "head_up_cm"))
    assert drawing(report, "head_up_cm") == drawing(report, "head_up_cm")


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


def test_map_page_stands_alone(mapped) -> None:
    html = map_page(MapReport.of(mapped("too-much-tilt", size=5)))
    assert html.count("data:image/svg+xml;base64,") == 3
    assert not re.search(r"https?:", html)
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


def test_a_map_reaches_past_its_star_however_far_the_swing_is_from_it() -> None:
    found = map_of(apply(load("centred"), ["tilt=5"]), size=5).found
    assert found.steady[0] - found.place[0] > np.radians(20.0)
    assert found.x_values[-1] > found.steady[0] + np.radians(9.9)
