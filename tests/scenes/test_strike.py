"""The ``strike`` command: its numbers are the model's, stand where their labels say, and its sentences follow them."""

from __future__ import annotations

import json
import re
from typing import Any

import numpy as np
import pytest
from browser import browser, watched
from diagnosis_reports import PIECES
from shown import number, page, tables, words
from strike_reports import REPORT, struck_preset, swing_of_preset
from typer.testing import CliRunner

from turnstill.model import DEPARTURES, Steady
from turnstill.model.golfer.head_place import HeadPlace
from turnstill.model.golfer.impact import Impact, centred_at_impact
from turnstill.model.golfer.pieces import HEELS
from turnstill.model.questions.strike_causes import strike_causes
from turnstill.scenes.cli import app
from turnstill.scenes.setups.perform import address_of, body_of, head_of, impact_of, pieces_of
from turnstill.scenes.setups.presets import load
from turnstill.scenes.setups.settings import apply
from turnstill.scenes.strike import words as sentences
from turnstill.scenes.strike.drawing import lines
from turnstill.scenes.strike.page import strike_page
from turnstill.scenes.strike.report import StrikeOutcome, StrikeReport, StruckSwing
from turnstill.scenes.strike.table import strike_table
from turnstill.scenes.strike.work import struck
from turnstill.scenes.words.at_ball import BALL_CM

COLUMNS = {
    "low point past, cm": "low_point_ahead_cm",
    "low point up, cm": "low_point_up_cm",
    "club up at ball, cm": "club_up_at_ball_cm",
    "club out at ball, cm": "club_out_at_ball_cm",
    "goes down, °": "descent_deg",
    "goes out- ward, °": "outward_deg",
}
WAY_DOWN = ("stands-up", "stays-back", "head-dips", "hips-stay-square", "too-much-trail-tilt")


def run(*arguments: str) -> Any:
    return CliRunner().invoke(app, list(arguments))


def test_the_page_shows_each_number_under_its_label() -> None:
    swing = REPORT.swings[0]
    strikes, pieces, more = tables(strike_page(REPORT))
    for name, row in (
        ("this swing", swing.strike),
        ("centred swing", swing.centred),
        ("head as at address", swing.from_address),
    ):
        for heading, key in COLUMNS.items():
            assert number(strikes[name, heading]) == pytest.approx(getattr(row, key), abs=0.051), (name, heading)
    for one in swing.pieces_at_impact:
        (row,) = {first for first, _ in pieces if first.startswith(PIECES[one.piece][0] + " (")}
        assert number(row.partition("(")[2]) == pytest.approx(one.beyond_centred, abs=0.051)
        for heading, key in COLUMNS.items():
            assert number(pieces[row, heading]) == pytest.approx(getattr(one.share, key), abs=0.051), row
            slope = more[f"{'1 cm' if one.unit == 'cm' else '1°'} more {PIECES[one.piece][0]}", heading]
            assert number(slope) == pytest.approx(getattr(one.one_more, key), abs=0.0051), row
    for way, told in (("ball", "toward the ball"), ("target", "toward the target"), ("up", "up")):
        (adds,) = (one.adds for one in swing.neck if one.toward == way)
        for heading, key in COLUMNS.items():
            shown = more[f"1 cm of the neck’s base, {told}", heading]
            assert number(shown) == pytest.approx(getattr(adds, key), abs=0.0051), way
    text = words(page(strike_page(REPORT)))
    assert "One sentence." in text and sentences.LEFT_OUT in text


def test_the_table_shows_the_same_numbers_in_the_same_order(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "120")  # Numbers this large do not fit a narrower terminal.
    swing = REPORT.swings[0]
    lines = strike_table(REPORT).splitlines()
    keys = list(StrikeOutcome.model_fields)

    def row(first: str) -> list[float]:
        (line,) = (one for one in lines if one.strip().startswith(first))
        return [number(cell) for cell in line.split()[-6:]]

    assert row("this swing") == pytest.approx([getattr(swing.strike, key) for key in keys], abs=0.051)
    assert row("centred swing") == pytest.approx([getattr(swing.centred, key) for key in keys], abs=0.051)
    one = swing.pieces_at_impact[2]
    assert row("1° more tilt") == pytest.approx([getattr(one.one_more, key) for key in keys], abs=0.0051)


def test_the_report_is_what_the_model_finds() -> None:
    setup = apply(load("centred"), ["impact.tilt=steady+6", "impact.sway=-5", "hip_turn=38", "impact.hands_ahead=4"])
    found = struck(setup)
    told = StruckSwing.of_swing(found)
    causes = strike_causes(body_of(setup), address_of(setup), pieces_of(setup), impact_of(setup), head_of(setup))
    arc = causes.arc
    for key, value, unit in (
        ("low_point_ahead_cm", arc.low_ahead, 100), ("low_point_up_cm", arc.low_up, 100),
        ("club_up_at_ball_cm", arc.up, 100), ("club_out_at_ball_cm", arc.out, 100),
        ("descent_deg", arc.descent, 180 / np.pi), ("outward_deg", arc.outward, 180 / np.pi),
        ("slope_of_arc_deg", arc.slope, 180 / np.pi),
    ):  # fmt: skip
        assert getattr(told.strike, key) == pytest.approx(float(value) * unit, abs=1e-6), key
    for k, one in enumerate(told.pieces_at_impact):
        assert one.piece == DEPARTURES[k]
        unit = 100 if one.unit == "cm" else 180 / np.pi
        assert one.share.club_up_at_ball_cm == pytest.approx(100 * causes.share[k, 2], abs=1e-6)
        assert one.one_more.club_up_at_ball_cm == pytest.approx(100 * causes.slope[k, 2] / unit, abs=1e-6)
        assert one.one_more.descent_deg == pytest.approx(180 / np.pi * causes.slope[k, 4] / unit, abs=1e-6)
    assert told.given_back == ["hip_turn"]
    assert told.moment.progress == 2.0 and told.moment.pelvis_toward_target_cm == pytest.approx(5.0, abs=0.1)
    assert told.impact["tilt_deg"] == "steady+6" and told.impact["hands_ahead_cm"] == 4.0
    assert told.impact["hip_turn_deg"] == pytest.approx(-40.0)
    ends = [(one.toward_target_cm, one.up_cm) for one in (told.path[0], told.path[-1])]
    assert ends[0][0] < -30.0 < 30.0 < ends[1][0]


def test_the_key_to_an_arc_has_the_marks_that_are_on_it() -> None:
    """Colour, dash and a ring: the chart has no other mark."""
    html = page(strike_page(StrikeReport.of([struck_preset("centred"), struck_preset("stands-up")])))
    keys, chart = html.xpath("//svg[@class='key']"), html.xpath("//figure/svg")[0]
    arcs, rings = chart.xpath(".//polyline"), chart.xpath(".//circle[@class='low']")
    assert len(keys) == len(arcs) == len(rings) == 2
    for one, arc, ring in zip(keys, arcs, rings, strict=True):
        (line,), marks = one.xpath("./line"), one.xpath("./*[not(self::line)]")
        assert (line.get("stroke"), line.get("stroke-dasharray")) == (arc.get("stroke"), arc.get("stroke-dasharray"))
        assert [(mark.tag, mark.get("fill"), mark.get("stroke")) for mark in marks] == [
            ("circle", ring.get("fill"), ring.get("stroke"))
        ]


def test_each_centred_swing_is_drawn_once_under_its_name() -> None:
    """A heel that is told otherwise makes another centred swing; a swing in which nothing is off is its own."""
    found = {name: struck_preset(name) for name in ("centred", "stays-back", "stands-up", "head-dips")}

    def named(*swings: str) -> list[str]:
        report = StrikeReport.of([found[name] for name in swings])
        drawn = [name for _, name, _, _ in lines(report)]
        html = strike_page(report)
        assert all(f'data-name="{name}"' in html for name in drawn)
        return drawn[: -len(swings)]

    assert named("stays-back", "stands-up") == ["the centred swing of stays-back", "the centred swing of stands-up"]
    assert named("head-dips", "stands-up") == ["the centred swing"]
    assert named("centred", "stays-back") == ["the centred swing of stays-back"]
    assert named("centred", "stands-up") == named("centred") == []
    assert named("stays-back") == ["the centred swing"]


def test_what_a_preset_asks_at_impact_is_what_the_model_is_asked() -> None:
    setup = apply(load("centred"), ["head.toward_target=-2", "impact.head_up=1.5", "impact.extension=12"])
    impact = impact_of(setup)
    assert head_of(setup) == HeadPlace(toward_target=-0.02)
    assert impact.head == HeadPlace(toward_target=-0.02, up=0.015)
    assert impact.pieces == centred_at_impact().replace(extension=np.radians(12.0))
    assert impact_of(load("centred")) == Impact()
    assert impact_of(load("too-much-trail-tilt")).pieces.tilt == Steady(np.radians(-10.0))


@pytest.mark.parametrize("name", WAY_DOWN)
def test_a_fault_of_the_way_down_is_the_centred_swing_up_to_the_top(name: str) -> None:
    setup, centred = load(name), load("centred")
    assert pieces_of(setup) == pieces_of(centred) and impact_of(setup) != Impact()


OF_THE_TOP = {
    "too-much-tilt": "tilt", "too-little-tilt": "tilt", "too-much-extension": "extension",
    "too-little-extension": "extension", "sway": "sway", "braced-knees": "lead flex change and trail flex change",
}  # fmt: skip
"""Presets whose fault is of the top alone, and what is said to be given back."""


@pytest.mark.parametrize("name", OF_THE_TOP)
def test_a_fault_of_the_top_costs_the_strike_nothing_and_that_is_said(name: str) -> None:
    found = swing_of_preset(name)
    for key in StrikeOutcome.model_fields:
        assert getattr(found.strike, key) == pytest.approx(getattr(found.centred, key), abs=1e-9), key
    report = StrikeReport.of([struck_preset(name)])
    off = OF_THE_TOP[name]
    said = f"What is off at the top ({off}) is given back before the ball, so it costs this strike nothing."
    assert said in " ".join(strike_table(report).split()) and said in words(page(strike_page(report)))


@pytest.mark.parametrize("name", ["centred", *WAY_DOWN, "driver-from-behind"])
def test_where_nothing_is_off_at_the_top_nothing_is_said_to_be_given_back(name: str) -> None:
    assert "off at the top" not in " ".join(sentences.sentences(swing_of_preset(name)))


def test_faults_of_the_way_down_do_what_golfers_say_they_do() -> None:
    """Common practice: standing up comes in high, a head that dips digs, weight that stays back bottoms out sooner."""
    found = {name: swing_of_preset(name) for name in (*WAY_DOWN, "centred", "driver-from-behind")}
    usual = found["centred"].strike
    stands, still = found["stands-up"], found["centred"].moment
    assert stands.strike.club_up_at_ball_cm > BALL_CM and "pass over the ball" in " ".join(stands.sentences)
    assert stands.moment.inclination_deg < still.inclination_deg - 4.0
    assert stands.moment.inclination_down_the_line_deg < still.inclination_down_the_line_deg - 4.0
    assert stands.moment.head_up_cm > 2.0 and stands.moment.head_toward_ball_cm < 0.0
    assert found["head-dips"].strike.club_up_at_ball_cm < -1.0 and found["head-dips"].moment.head_up_cm < -3.0
    assert found["head-dips"].ground_before_ball_cm is not None
    ahead = found["stays-back"].strike.low_point_ahead_cm
    assert ahead is not None and usual.low_point_ahead_cm is not None and ahead < usual.low_point_ahead_cm - 3.0
    assert found["stays-back"].moment.head_toward_target_cm < -3.0
    assert found["hips-stay-square"].strike.outward_deg < -4.0
    driver = found["driver-from-behind"]
    assert driver.strike.descent_deg < -2.0 and driver.moment.head_toward_target_cm == pytest.approx(-3.0, abs=0.1)
    assert any("wanted" in sentences.held_words(one) for one in (driver,))


def test_the_command_prints_and_writes(tmp_path: Any) -> None:
    done = run("strike", "centred", "head-dips", "--json", "-")
    assert done.exit_code == 0, done.output
    told = json.loads(done.stdout)
    assert [one["preset"] for one in told["swings"]] == ["centred", "head-dips"]
    assert told["swings"][0]["strike"]["club_up_at_ball_cm"] == pytest.approx(0.0, abs=1e-4)
    assert len(told["sentences"]) == 2 and all("head-dips" in one for one in told["sentences"])
    out = tmp_path / "strike"
    done = run("strike", "centred", "--out", str(out), "--left-handed", "--inches")
    assert done.exit_code == 0 and sentences.CAUTION[:40] in " ".join(done.stdout.split())
    assert (out / "index.html").stat().st_size > 10_000 and (out / "strike.json").exists()


def test_a_wished_head_is_held_and_told_of() -> None:
    done = run("simulate", "centred", "--set", "head.toward_target=-3", "--json", "-", "--frames", "3")
    told = json.loads(done.stdout)
    assert told["moments"][-1]["head_toward_target_cm"] == pytest.approx(-3.0, abs=0.06)
    assert told["moments"][-1]["head_up_cm"] == pytest.approx(0.0, abs=0.06)
    says = "3.0 cm farther from the target at the top than at address, on purpose"
    assert any(says in one for one in told["warnings"])


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (["--set", "impact.hip_turn=-400"], "must be a number between -60 and 150 deg"),
        (["--set", "impact.hip_trun=-40"], "Did you mean impact.hip_turn?"),
        (["--set", "impakt.tilt=-20"], "Did you mean impact.tilt?"),
        (["--set", "pieces.hip_turn=40"], "Did you mean hip_turn?"),
        (
            ["--set", "head.toward_the_target=1"],
            "is none of head’s toward_target, up. Did you mean head.toward_target?",
        ),
        (["--set", "impact.sway=steady"], "must be a number between -40 and 40 cm"),
        (["--set", "head.toward_target=50"], "must be a number between -15 and 15 cm"),
        (["--set", "head.toward_target_deg=5"], "has the wrong unit"),
    ],
)
def test_mistakes_get_one_sentence(arguments: list[str], says: str) -> None:
    done = run("strike", "centred", *arguments)
    assert done.exit_code == 2 and says in " ".join(done.stderr.split()), done.stderr
    assert "Traceback" not in done.output


@pytest.mark.parametrize(
    ("name", "near"),
    [("impact.foo", ""), ("impact.wings", ""), ("impact.trail_flex_chnage", "impact.trail_flex_change")],
)
def test_an_unknown_name_of_impact_is_told_all_that_there_are_and_what_is_near_alone(name: str, near: str) -> None:
    told = " ".join(run("strike", "centred", "--set", f"{name}=3").stderr.split())
    known = (*DEPARTURES, *HEELS, "hands_ahead", "wrist_hinge", "head_toward_target", "head_up")
    assert all(re.search(rf"\b{one}\b", told) for one in known) and "..." not in told, told
    assert told.endswith(f" Did you mean {near}?") if near else "Did you mean" not in told


def test_on_a_phone_every_column_of_the_page_is_seen() -> None:
    html = strike_page(StrikeReport.of([struck_preset("stands-up")]))
    with browser() as opened, watched(opened, 390, 844) as seen:
        seen.page.set_content(html.replace("<details>", "<details open>"))
        wide = "() => [...document.querySelectorAll('.scroll')].map((one) => [one.scrollWidth, one.clientWidth])"
        held = seen.page.evaluate(wide)
    assert len(held) >= 3 and all(needed <= there for needed, there in held), held
