"""What a live page is told of a swing is what ``simulate`` tells, whatever was asked before and by whom."""

from __future__ import annotations

import threading
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from live_served import Page, opened, served

from turnstill.model.questions.available import most_hip_turn
from turnstill.scenes.live.drawn import Figures, key_of
from turnstill.scenes.live.studio import Studio
from turnstill.scenes.setups.past_the_ball import striking_of
from turnstill.scenes.setups.perform import address_of, body_of, perform, pieces_of, swing_of
from turnstill.scenes.setups.preset_file import checked
from turnstill.scenes.setups.presets import backswing_names, content_of, load, preset_names, setup_of
from turnstill.scenes.setups.quantities import entries
from turnstill.scenes.setups.reports import LimitedMoment
from turnstill.scenes.simulate.report import SwingReport
from turnstill.scenes.strike.report import StruckSwing, WholeStrike
from turnstill.scenes.strike.work import struck
from turnstill.scenes.words.low_point import low_point_goes
from turnstill.scenes.words.moments import moment_done

MOMENTS = 7
SLIDERS = {
    ("pieces", "hip_turn_deg"): (30, 60), ("pieces", "shoulder_turn_deg"): (70, 100), ("pieces", "tilt_deg"): (15, 50),
    ("pieces", "extension_deg"): (10, 45), ("pieces", "sway_cm"): (-4, 8), ("pieces", "lead_flex_change_deg"): (0, 25),
    ("address", "lead_flare_deg"): (0, 35), ("address", "trail_flare_deg"): (0, 35),
    ("address", "forward_bend_deg"): (32, 44), ("body", "stature_cm"): (160, 195),
    ("body.ranges_deg", "trail_hip_internal_rotation"): (20, 45),
}  # fmt: skip
Values = dict[str, dict[str, Any]]


@pytest.fixture
def page(tmp_path: Path) -> Any:
    with served(tmp_path, studio=Studio(moments=MOMENTS)) as page:
        yield page


def told_by_simulate(
    values: Values, timing: Any = None, moments: int = MOMENTS, *, through_impact: bool = False
) -> dict[str, Any]:
    """The report of ``turnstill simulate --json`` for the same settings."""
    document: dict[str, Any] = {"timing": timing} if timing else {}
    for section, given in values.items():
        outer, _, inner = section.partition(".")
        document.setdefault(outer, {}).update({inner: given} if inner else given)
    return SwingReport.of(
        perform(setup_of("swing", checked(document)), moments, through_impact=through_impact)
    ).model_dump()


def check(told: dict[str, Any], simulated: dict[str, Any]) -> None:
    for name in ("asked", "achieved", "limited_by", "arms_limited_by", "warnings"):
        assert told[name] == simulated[name], name
    steady = {key: value for key, value in simulated["steady"].items() if "centred" not in key}
    assert len(steady) == 6 and told["steady"] == steady
    assert len(told["moments"]) == len(simulated["moments"])
    for mine, theirs in zip(told["moments"], simulated["moments"], strict=True):
        assert mine == {name: theirs[name] for name in LimitedMoment.model_fields}


def dragged(rng: np.random.Generator, values: Values) -> Values:
    """One slider moved, tilt or extension sometimes to what holds the head."""
    section, key = list(SLIDERS)[rng.integers(len(SLIDERS))]
    low, high = SLIDERS[section, key]
    value: Any = round(float(rng.uniform(low, high)), 2)
    if key in ("tilt_deg", "extension_deg") and rng.random() < 0.5:
        value = f"steady{round(float(rng.normal(0, 6)), 1):+g}"
    return {**values, section: {**values.get(section, {}), key: value}}


def test_the_numbers_are_those_of_simulate_while_two_pages_are_dragged(page: Page) -> None:
    rng = np.random.default_rng(4)
    pages: list[Values] = [{"body": {"sex": "female"}}, {"body": {"handedness": "left"}}]
    for _ in range(8):
        which = int(rng.integers(2))
        pages[which] = dragged(rng, pages[which])
        for values in (pages[which], pages[1 - which]):
            check(page.swing(values), told_by_simulate(values))


def test_on_to_impact_the_numbers_are_those_of_simulate_and_of_strike_while_it_is_dragged(page: Page) -> None:
    """One slider after the other, of the top, of impact and of the head; and to the top again in between."""
    values: Values = {"body": {"handedness": "left"}}
    for section, key, value in (
        ("impact", "hip_turn_deg", -22.5), ("impact", "tilt_deg", "steady-7"), ("pieces", "sway_cm", 6.0),
        ("head", "up_cm", 1.5), ("impact", "hands_ahead_cm", 3.0),
    ):  # fmt: skip
        values = {**values, section: {**values.get(section, {}), key: value}}
        told, short = page.swing(values, through="impact"), page.swing(values)
        check(short, told_by_simulate(values))
        check(told, told_by_simulate(values, through_impact=True))
        setup = setup_of("swing", checked(values))
        impact, at = told["impact"], [one["progress"] for one in told["moments"]].index(2.0)
        assert impact["strike"] == WholeStrike.of_arc(striking_of(setup).arc()).model_dump()
        for name in ("hip_turn_deg", "shoulder_turn_deg", "tilt_deg", "extension_deg"):
            assert impact["achieved"][name] == told["moments"][at][name]
        departure = impact["achieved"]["tilt_deg"] - told["moments"][at]["steady_tilt_deg"]
        assert impact["departures_deg"]["tilt_deg"] == pytest.approx(departure, abs=2e-6)
        assert short["impact"] is None and len(told["heads"]) == len(told["moments"]) == len(short["moments"]) + 6
        assert told["heads"][: len(short["heads"])] == short["heads"]
    alone = StruckSwing.of_swing(struck(setup))
    assert page.post("strike", {"values": values, "through": "impact"}).json() == {"sentences": alone.sentences}
    assert impact["arc"] == alone.sentences[0] and impact["strike"] == alone.strike.model_dump()
    assert impact["ground_before_ball_cm"] == alone.ground_before_ball_cm
    assert impact["arms_short_cm"] == pytest.approx(alone.arms_short_cm, abs=1e-5)


def test_to_the_top_where_the_low_point_goes_is_what_the_base_of_the_neck_is_off_from_the_centred_turn(
    page: Page,
) -> None:
    for values in (
        {"pieces": {"extension_deg": "steady-9"}},
        {"pieces": {"tilt_deg": "steady+12"}, "body": {"stature_cm": 160.0}},
    ):
        neck = [
            told_by_simulate({**values, "pieces": pieces}, moments=2)["moments"][-1]["joints_m"]["neck_base"]
            for pieces in (values["pieces"], {})
        ]
        moved = 100.0 * np.subtract(*neck)
        assert page.post("strike", {"values": values}).json() == {"sentences": [low_point_goes(moved)]}
        assert np.abs(moved).max() > 2.0


def test_moments_past_the_top_are_called_what_they_are(page: Page) -> None:
    heads = page.swing({"impact": {"sway_cm": 0.0}}, through="impact")["heads"]
    begins = [head.partition(" the head is ")[0] for head in heads[MOMENTS - 1 :]]
    assert begins == ["At the top", "At 33% of the way down", "At 67% of the way down", "At impact"] + 3 * [
        "Past the ball"
    ]


def test_a_swing_that_ends_at_the_top_asks_nothing_of_impact(page: Page, monkeypatch: pytest.MonkeyPatch) -> None:
    """So a slider that is dragged there costs what it did before swings went on."""
    from turnstill.scenes.live import studio

    monkeypatch.setattr(studio, "striking_of", lambda *_: pytest.fail("a strike was asked for"))
    assert page.swing({"impact": {"hip_turn_deg": -20.0}})["impact"] is None


def test_why_a_strike_is_to_be_taken_with_care_is_told_with_it(page: Page) -> None:
    values = {"impact": {"hands_ahead_cm": 25.0}}
    told = page.swing(values, through="impact", name="far")["impact"]["doubts"]
    assert any("In far, with the wrists hinged so no hands are 25.0 cm ahead" in line for line in told)
    assert page.swing({}, through="impact")["impact"]["doubts"] == []


@pytest.mark.parametrize(("more", "said"), [
    ({"through": "finish"}, "through was \"finish\", but must be 'top' or 'impact'."),
    ({"values": {"impact": {"hip_turn_deg": 500}}}, "impact.hip_turn_deg was 500"),
    ({"values": {"head": {"up_cm": 40}}}, "head.up_cm was 40"), ({"values": {"head": {"ball_cm": 1}}}, "ball_cm"),
])  # fmt: skip
def test_impact_and_head_are_held_to_their_own_ranges(page: Page, more: dict[str, Any], said: str) -> None:
    for what in ("swing", "strike"):
        assert said in page.refused(what, {"through": "impact", **more})


@pytest.mark.parametrize("name", backswing_names())
def test_every_preset_can_be_sent_as_the_page_gets_it(page: Page, name: str) -> None:
    setup = load(name)
    told = page.swing({s: {k: str(v) if not isinstance(v, float) else v for k, v in given.items()}
                       for s, given in setup.values.items()}, timing=content_of(setup).get("timing", {}))  # fmt: skip
    check(told, SwingReport.of(perform(setup, MOMENTS)).model_dump())


def test_a_whole_swing_has_41_moments_and_a_timing(tmp_path: Path) -> None:
    timing = {"hip_turn": [[0, 0], [0.5, 0.7], [1, 1]]}
    with served(tmp_path) as page:
        told = page.swing({"pieces": {"hip_turn_deg": 50}}, timing=timing)
    assert len(told["moments"]) == 41
    check(told, told_by_simulate({"pieces": {"hip_turn_deg": 50}}, timing, 41))


def test_it_says_where_the_head_goes_and_what_holds_it(page: Page) -> None:
    told = page.swing({"pieces": {"tilt_deg": "steady+10"}})
    top = told["moments"][-1]
    head, held = told["sentences"]
    assert f"{abs(top['head_up_cm']):.1f} cm lower" in head and "than at address" in head
    assert f"{told['steady']['tilt_deg']:.1f}° of tilt (the swing has 10.0° more)" in held
    assert f"{told['steady']['extension_deg']:.1f}° of extension (the swing has just that)" in held
    (still, *_), top = (lambda told: (told["sentences"], told["moments"][-1]))(page.swing({}))
    assert top["head_toward_ball_cm"] < -0.3 and abs(top["head_up_cm"]) < 0.3
    assert (
        still == f"At the top the head is {-top['head_toward_ball_cm']:.1f} cm farther from the ball than at address."
    )


def test_it_says_where_the_head_is_at_every_moment(page: Page) -> None:
    told = page.swing({"pieces": {"tilt_deg": "steady+10"}})
    assert len(told["heads"]) == MOMENTS and told["heads"][-1] == told["sentences"][0]
    assert told["heads"][0] == "At address the head is in its place."
    for share, moment, head in list(zip(range(MOMENTS), told["moments"], told["heads"], strict=True))[2:-1]:
        assert head.startswith(f"At {moment_done(share / (MOMENTS - 1))}% of the backswing the head is ")
        assert f"{-moment['head_up_cm']:.1f} cm lower" in head


def test_the_most_hip_turn_comes_where_it_is_asked_for(page: Page) -> None:
    values = {"address": {"lead_flare_deg": 5.0, "trail_flare_deg": 30.0}}
    assert page.swing(values)["hip_room"] is None
    room = page.swing(values, most_hip_turn=True)["hip_room"]
    setup = setup_of("x", checked(values))
    found = most_hip_turn(body_of(setup), address_of(setup), pieces_of(setup))
    assert room["most_hip_turn_deg"] == pytest.approx(float(np.degrees(found.hip_turn)), abs=1e-6)
    stops = [name for name, stops in zip(found.limit_names, found.stopped_by, strict=True) if stops]
    assert room["stopped_by"] == stops != []
    assert "ceiling" in room["ceiling"]


def test_a_figure_is_called_the_same_by_what_shapes_it_alone(page: Page) -> None:
    def key(**values: Any) -> str:
        return str(page.swing({section.replace("_of_", "."): given for section, given in values.items()})["figure"])

    usual = key()
    assert usual == key(pieces={"hip_turn_deg": 30.0}) == key(address={"lead_flare_deg": 3.0})
    others = [
        key(address={"club_length_cm": 100.0}), key(body={"handedness": "left"}), key(body={"sex": "female"}),
        key(body={"stature_cm": 170.0}), key(body={"mass_kg": 90.0}), key(body_of_lengths_cm={"thigh": 40.0}),
    ]  # fmt: skip
    assert len({usual, *others}) == 1 + len(others)


def test_a_drawn_swing_brings_how_its_figure_moves(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from turnstill.render.web import payload
    from turnstill.render.web.payload import figure_bytes, motion_bytes
    from turnstill.scenes.views.web_marks import marks_of

    figures, written = Figures(), []
    monkeypatch.setattr(payload, "figure_bytes", lambda figure: written.append(figure) or figure_bytes(figure))
    values = {"pieces": {"sway_cm": 4.0}, "body": {"stature_cm": 170.0}}
    with served(tmp_path, studio=Studio(figures, MOMENTS)) as page:
        report, motion = opened(page.post("swing", {"values": values}).content)
        figure = page.post("figure", {"values": values})
        again = page.post("figure", {"values": {**values, "pieces": {"sway_cm": -2.0}}})
    swing = swing_of(setup_of("x", checked(values)), MOMENTS)
    assert report["figure"] == key_of(swing) and report["marks"] == marks_of(swing)
    assert motion == motion_bytes(figures.of(swing), swing.skeleton)
    assert figure.content == again.content == figure_bytes(figures.of(swing))
    assert written == [figures.of(swing)]
    assert figure.headers["content-type"] == "application/octet-stream"


def test_what_a_page_will_ask_for_first_is_worked_out_ahead(monkeypatch: pytest.MonkeyPatch) -> None:
    from turnstill.scenes.live import drawn

    asked: list[str] = []
    monkeypatch.setattr(drawn, "motion_payload", lambda figures, swing: asked.append(drawn.key_of(swing)) or b"")
    studio, setups = Studio(moments=2), [load("sway"), load("centred").changed("body", "stature_cm", 170.0)]
    studio.prepare(setups)
    assert asked == [drawn.key_of(swing_of(setup, 2)) for setup in setups] and asked[0] != asked[1]


def test_no_more_figures_are_kept_than_are_looked_at() -> None:
    made: list[str] = []
    figures: Any = Figures(lambda swing: made.append(key_of(swing)) or object(), most=2)  # type: ignore[arg-type]
    swings = [swing_of(load("centred").changed("body", "stature_cm", 160.0 + k), 2) for k in range(3)]
    for index in (0, 1, 0, 2, 0, 1):
        figures.of(swings[index])
    assert made == [key_of(swings[k]) for k in (0, 1, 2, 1)]


def test_nobodys_swing_waits_for_the_figure_of_another(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from turnstill.scenes.live import drawn

    begun, go_on = threading.Event(), threading.Event()

    def slowly(swing: Any) -> Any:
        if swing.left_handed:
            begun.set()
            assert go_on.wait(30)
        return object()

    monkeypatch.setattr(drawn, "motion_payload", lambda figures, swing: repr(figures.of(swing)).encode())
    left, right = {"body": {"handedness": "left"}}, {"body": {"handedness": "right"}}
    with served(tmp_path, studio=Studio(Figures(slowly), 2)) as page, ThreadPoolExecutor(1) as other:
        assert page.post("swing", {"values": right}).status_code == 200
        slow = other.submit(page.post, "swing", {"values": left})
        assert begun.wait(30)
        assert page.post("swing", {"values": right}).status_code == 200
        assert page.swing(left)["name"] == "swing"
        assert not slow.done()
        go_on.set()
        assert slow.result(30).status_code == 200


def test_the_page_brings_its_swings_every_quantity_and_every_preset(tmp_path: Path) -> None:
    from turnstill.scenes.live.page import start_of

    setups = [load("sway").renamed("one"), load("too-much-tilt").changed("body", "sex", "female").renamed("two")]
    start = start_of(setups)
    assert [one["name"] for one in start["swings"]] == ["one", "two"]
    assert [one["name"] for one in start["presets"]] == preset_names()
    assert [one["name"] for one in start["presets"] if not one["on"]] == backswing_names()
    assert start["swings"][1]["values"]["pieces"]["tilt_deg"] == "steady+10"
    sliders = [one for group in start["full"] for one in group["controls"]]
    quantities = {(section, key): one for one in sliders for section, key, *_ in one["parts"]}
    assert len(quantities) == len(sliders) == len(entries())
    for entry in entries():
        one = quantities[entry.section, entry.key]
        assert one["words"] == list(entry.words) and one["steady"] == entry.may_be_steady
        if entry.quantity:
            told = (one["unit"], one["low"], one["high"], one["meaning"])
            assert told == (entry.quantity.unit, entry.quantity.low, entry.quantity.high, entry.quantity.meaning)
    with served(tmp_path, studio=Studio(moments=MOMENTS), setups=setups) as page:
        html = page.client.get("/a-token-of-tests/").text
        assert all(f'"name": "{name}"' in html for name in ("one", "two"))
        for told, setup in zip(start["swings"], setups, strict=True):
            answer = page.swing(told["values"], timing=told["timing"], name=told["name"])
            check(answer, SwingReport.of(perform(setup, MOMENTS)).model_dump())


def test_a_file_that_is_opened_is_the_swing_that_the_command_line_loads_from_it(tmp_path: Path) -> None:
    with served(tmp_path, studio=Studio(moments=MOMENTS)) as page:
        for text in (
            "[pieces]\nhip_turn_deg = 33\ntilt_deg = 'steady+4'\n[body]\nhandedness = 'left'\n",
            "extends = 'sway'\n[address]\nlead_flare_deg = 7\n",
        ):
            file = tmp_path / "mine.toml"
            file.write_text(text)
            answer = page.post("open", {"name": "mine", "text": text})
            assert answer.status_code == 200, answer.text
            told = answer.json()["swing"]
            assert told["name"] == "mine"
            found = page.swing(told["values"], timing=told["timing"])
            check(found, SwingReport.of(perform(load(str(file)), MOMENTS)).model_dump())
        secret = tmp_path / "other.toml"
        secret.write_text("[pieces]\nsway_cm = 3\n")
        for text, said in (
            (f"extends = '{secret}'", "no preset that comes with turnstill"),
            ("extends = './other.toml'", "no preset that comes with turnstill"),
            ("[pieces]\nhip_turn_deg = 500", "hip_turn_deg was 500"),
            ("[pieces", "mine.toml"),
            ("a = " + "[" * 900, "mine.toml"),
        ):
            assert said in page.refused("open", {"name": "mine", "text": text})
        for more in (
            {},
            {"name": "", "text": ""},
            {"name": "a\nb", "text": ""},
            {"text": 3},
            {"text": "", "file": "a"},
        ):
            page.refused("open", {"name": "mine"} | more)
