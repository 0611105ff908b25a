"""A head that is wanted elsewhere on purpose: maps and experiments count from there, draw that place and say so."""

from __future__ import annotations

import re

import experiment_reports as experiments
import numpy as np
import pytest
from distinct import AT_ADDRESS
from map_reports import REPORT, TARGET, UP
from shown import MINUS, page, tables, words

from turnstill.model.golfer.head_place import HeadPlace
from turnstill.scenes.experiment.page import experiment_page
from turnstill.scenes.experiment.table import experiment_table
from turnstill.scenes.experiment.tried import try_out
from turnstill.scenes.map.drawing import panel
from turnstill.scenes.map.page import map_page
from turnstill.scenes.map.table import map_table
from turnstill.scenes.map.words import sentences
from turnstill.scenes.map.work import map_of
from turnstill.scenes.setups.perform import perform
from turnstill.scenes.setups.presets import load
from turnstill.scenes.setups.reports import HeldHead
from turnstill.scenes.setups.settings import apply
from turnstill.scenes.words.cautions import wanted_sentence
from turnstill.scenes.words.golfer import held_words

ELSEWHERE = HeldHead(toward_target_cm=-3.4, up_cm=1.9)
WANTED = ("head.toward_target=-3", "head.up=1")


@pytest.mark.parametrize(
    ("toward", "up", "told"),
    [
        (-3.4, 1.9, "3.4 cm farther from the target and 1.9 cm higher"),
        (2.6, 0.0, "2.6 cm nearer to the target"),
        (0.0, -0.7, "0.7 cm lower"),
    ],
)
def test_where_a_head_is_held_in_words(toward: float, up: float, told: str) -> None:
    head = HeldHead(toward_target_cm=toward, up_cm=up)
    assert held_words(head) == f"steady holds the head where it is wanted, {told} than at address"
    assert held_words(AT_ADDRESS) == "steady holds the head where it was at address"
    assert HeldHead.of(HeadPlace(toward_target=toward / 100.0, up=up / 100.0)) == head


def test_a_maps_cells_and_panels_count_from_there(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("turnstill.scenes.map.page.drawing", lambda *_: "<svg/>")
    report = REPORT.replaced(head_held=ELSEWHERE)
    text = map_page(report)
    (table,) = tables(text)
    for row, tilt in enumerate(report.y.values):
        for column, sway in enumerate(report.x.values):
            cell = table[f"{tilt:.1f}°", f"{sway:.1f} cm".replace("-", MINUS)].replace(MINUS, "-")
            target, up = map(float, re.findall(r"[-+]?\d+\.\d+", cell))
            assert target == pytest.approx(TARGET[row, column] + 3.4, abs=0.051)
            assert up == pytest.approx(UP[row, column] - 1.9, abs=0.051)
    captions = [words(one) for one in page(text).xpath("//figcaption")]
    assert captions == [
        "Head toward target from where it is wanted, cm",
        "Head up from where it is wanted, cm",
        "Head toward ball since address, cm",
    ]
    place = "3.4 cm farther from the target and 1.9 cm higher"
    who = words(page(text).xpath("//p[@class='who']")[0])
    assert who.endswith(f"steady holds the head where it is wanted, {place} than at address.")
    assert "Some places of the map: the head from where it is wanted," in words(page(text).xpath("//caption")[0])
    terminal = " ".join(map_table(report, False).split())
    assert f"Steady holds the head where it is wanted, {place} than at address. The head at the top from" in terminal
    told = sentences(report)
    assert told[0].endswith(f"than at address, and is wanted {place}.")
    assert any("within 0.5 cm of where it is wanted as seen face-on" in line for line in told)


@pytest.mark.parametrize("inches", [False, True])
def test_a_panel_does_not_move_where_the_head_is_as_far_as_it_is_wanted(inches: bool) -> None:
    """Of a head that is everywhere as much further as it is wanted, the same map is drawn."""
    moved = REPORT.replaced(
        head_held=ELSEWHERE, head_toward_target_cm=(TARGET - 3.4).tolist(), head_up_cm=(UP + 1.9).tolist()
    )
    for measure in ("head_toward_target_cm", "head_up_cm"):
        one, other = (panel(report, measure, inches).axes[0] for report in (REPORT, moved))
        levels = [
            [np.concatenate([path.vertices for path in drawn.get_paths()]) for drawn in axes.collections]
            for axes in (one, other)
        ]
        assert len(levels[0]) == len(levels[1])
        for mine, theirs in zip(*levels, strict=True):
            np.testing.assert_allclose(mine, theirs, atol=1e-6)


def test_a_map_of_a_swing_has_its_star_in_the_band_about_the_wanted_place() -> None:
    mapped = map_of(apply(load("too-much-tilt"), list(WANTED)), size=21)
    found = mapped.found
    assert found.wanted == pytest.approx([-0.03, 0.01])
    place = [int(np.abs(values - steady).argmin()) for values, steady in zip(
        (found.x_values, found.y_values), found.steady, strict=True)]  # fmt: skip
    column, row = place
    assert found.off[row, column] < 0.012 and found.toward_target[row, column] < -0.02
    # The note that places are told from address would not be true of what a map shows.
    from turnstill.scenes.map.report import MapReport

    report = MapReport.of(mapped)
    assert wanted_sentence(mapped.performed.swing) not in report.warnings
    assert report.head_held == HeldHead(toward_target_cm=-3.0, up_cm=1.0)
    assert report.still_band is not None
    assert report.still_band.x[0] < np.degrees(found.steady[0]) < report.still_band.x[1]


def test_an_experiment_holds_the_head_there_at_every_step() -> None:
    setup = apply(load("centred"), list(WANTED))
    tried = try_out(setup, "lead_flare", "10", "30", 2)
    moved = tried.found.swing.measures.head_moved[:, -1] * 100.0
    np.testing.assert_allclose(moved[:, 1:], [[-3.0, 1.0]] * 3, atol=0.05)
    assert perform(setup, 2).swing.measures.head_moved[-1] * 100.0 == pytest.approx(moved[-1], abs=1e-6)
    from turnstill.scenes.experiment.report import ExperimentReport

    report = ExperimentReport.of(tried)
    assert report.head_held == HeldHead(toward_target_cm=-3.0, up_cm=1.0)
    assert any("on purpose: steady holds it there" in line for line in report.warnings)


@pytest.mark.parametrize("inches", [False, True])
def test_an_experiment_draws_where_the_head_is_wanted_and_says_it(inches: bool) -> None:
    place = "1.34 in farther from the target and 0.75 in higher" if inches else (
        "3.4 cm farther from the target and 1.9 cm higher"
    )  # fmt: skip
    report = experiments.report(experiments.steps([50.0, 55.0, 60.0])).replaced(head_held=ELSEWHERE)
    text = experiment_page(report, inches=inches)
    assert words(page(text).xpath("//p[@class='who']")[0]).endswith(
        f"steady holds the head where it is wanted, {place} than at address."
    )
    assert f"steady holds the head where it is wanted, {place}" in " ".join(experiment_table(report, inches).split())
    (chart,) = [one for one in page(text).xpath("//figure") if "Head since address" in words(one)]
    wanted = [name for name in map(words, chart.xpath(".//li")) if name.endswith("where it is wanted")]
    assert wanted == ["head toward target, where it is wanted", "head up, where it is wanted"]
    marks = [t for t in chart.iter("text") if t.get("class") == "level"]
    ys = [float(t.getprevious().get("y1")) for t in marks]
    scale = np.poly1d(np.polyfit(ys, [float(words(t).replace(MINUS, "-")) for t in marks], 1))
    for name, far in (("head toward target", -3.4), ("head up", 1.9)):
        (line,) = chart.xpath(f".//polyline[@data-name='{name}, where it is wanted']")
        heights = [float(point.split(",")[1]) for point in line.get("points").split()]
        assert len(set(heights)) == 1
        assert scale(heights[0]) == pytest.approx(far / (2.54 if inches else 1.0), abs=0.06)
    home = experiments.report(experiments.steps([50.0, 55.0, 60.0]))
    assert "where it is wanted" not in experiment_page(home)
    assert "steady holds the head where it was at address" in " ".join(experiment_table(home).split())
