"""On to impact the page says what ``simulate --through impact`` and ``strike`` say, and its switch is kept to."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from browser import UNSEEN, watched
from live_in_browser import (
    IMPACT,
    TOP,
    begin,
    end_at,
    expected,
    expected_strike,
    go,
    id_of,
    numbers,
    rest,
    slide,
    struck_numbers,
)
from live_server import live

from turnstill.scenes.live.sliders import COACH_AT_IMPACT
from turnstill.scenes.setups.perform import swing_of
from turnstill.scenes.setups.presets import load
from turnstill.scenes.setups.settings import apply
from turnstill.scenes.strike.report import StruckSwing
from turnstill.scenes.strike.work import struck

SETUP = load("stands-up")


@pytest.fixture(scope="module")
def on(folder: Path) -> Iterator[str]:
    """The address of a page that begins on to impact."""
    made = live(folder, [SETUP], through="impact")
    yield made.address
    made.stop()


@pytest.fixture
def down(opened: Any, on: str) -> Iterator[Any]:
    """That page."""
    with watched(opened, 900, 700, **UNSEEN) as seen:
        begin(seen.page, on)
        yield seen.page


def at_impact(key: str) -> str:
    return f"live-impact-{key}"


def test_every_number_is_simulates_and_strikes(down: Any) -> None:
    assert numbers(down) == expected(SETUP, IMPACT), "it begins at impact"
    assert struck_numbers(down) == expected_strike(SETUP)
    setup = SETUP
    for key, value in (("tilt_deg", -6), ("head_toward_target_cm", -3)):
        slide(down, at_impact(key), value)
        rest(down)
        given = f"steady{value:+d}" if key == "tilt_deg" else value
        setup = apply(setup, [f"impact.{key}={given}"])
        assert numbers(down) == expected(setup, IMPACT), key
        assert struck_numbers(down) == expected_strike(setup), key
    for moment in (50, TOP):
        go(down, moment)
        assert numbers(down) == expected(setup, moment), moment
    line = {one.get_attribute("data-key"): one.inner_text() for one in down.locator("#live-strike-line span").all()}
    for key, told in line.items():
        assert struck_numbers(down)[key] in told
    assert set(line) == {"low_point_ahead_cm", "club_up_at_ball_cm", "club_out_at_ball_cm", "descent_deg"}
    # When nothing moves any more, the sentences are those of the command.
    down.locator("#live-strike-waits").wait_for(state="hidden", timeout=30_000)
    told = down.locator("#live-strike-says li").all_text_contents()
    assert told == StruckSwing.of_swing(struck(setup)).sentences and len(told) > 2


def test_while_a_slider_is_dragged_strike_moment_and_picture_are_of_one_swing(down: Any) -> None:
    seen = down.evaluate(
        """async ([id]) => {
          const slider = document.querySelector(`input[type="range"][id="${id}"]`), seen = new Map();
          const cells = (body) => Object.fromEntries([...document.querySelectorAll(`#live-${body} tr`)]
            .map((row) => [row.dataset.key, row.querySelector("td").textContent]));
          const head = () => document.querySelectorAll('.view[data-view="face-on"] [data-mark="head now"]')[1];
          let last = document.body.dataset.drawn;
          const until = performance.now() + 30000;
          for (let k = 0; performance.now() < until && seen.size < 4; k++) {
            slider.value = -44 + k % 40;
            slider.dispatchEvent(new Event("input", { bubbles: true }));
            await new Promise((done) => requestAnimationFrame(() => setTimeout(done)));
            if (document.body.dataset.drawn === last) continue;
            last = document.body.dataset.drawn;
            const moment = cells("numbers");
            seen.set(moment.hip_turn_deg, [moment, cells("strike-numbers"), head().getAttribute("cx")]);
          }
          return [...seen.values()];
        }""",
        [at_impact("hip_turn_deg")],
    )
    assert len(seen) == 4
    places = {}
    for moment, strike, x in seen:
        setup = apply(SETUP, [f"impact.hip_turn={moment['hip_turn_deg'].replace('−', '-')}"])
        assert moment == expected(setup, IMPACT) and strike == expected_strike(setup)
        places[float(x)] = swing_of(setup, through_impact=True).skeleton.joints["head"][IMPACT][1]
    # Face-on, what is nearer to the target is farther to one side, picture by picture.
    order = np.argsort(list(places))
    along = np.array(list(places.values()))[order]
    assert np.all(np.diff(along) > 0) or np.all(np.diff(along) < 0)


@pytest.mark.heavy
def test_the_switch_takes_both_swings_and_the_sliders_along(down: Any) -> None:
    down.locator("#live-keep").click()
    slide(down, at_impact("sway_cm"), -2)
    rest(down)
    mine = apply(SETUP, ["impact.sway=-2"])
    assert (numbers(down, 0), numbers(down, 1)) == (expected(SETUP, IMPACT), expected(mine, IMPACT))
    assert (struck_numbers(down, 0), struck_numbers(down, 1)) == (expected_strike(SETUP), expected_strike(mine))
    assert down.locator("#live-why").is_hidden(), (
        "what would come of the top's move is no matter of a strike that is told"
    )
    end_at(down, "top")
    assert down.locator("#live-why").is_visible()
    assert numbers(down, 0) == numbers(down, 1) == expected(mine, TOP), "the two part past the top alone"
    assert down.locator("#live-strike").is_hidden() and down.locator("#live-strike-line").is_hidden()
    assert down.locator(f'[id="{at_impact("sway_cm")}"]').count() == 0
    assert down.locator("#live-way").get_attribute("max") == str(TOP)
    slide(down, id_of("sway"), 5)
    rest(down)
    end_at(down, "impact")
    assert down.locator("#live-way").get_attribute("aria-valuetext") == "impact"
    # What is off at the top is given back; the kept swing is there again, to the same end.
    assert struck_numbers(down, 1) == expected_strike(mine) and numbers(down, 0) == expected(SETUP, IMPACT)
    down.locator("#live-undo").click()
    down.locator("#live-undo").click()
    rest(down)
    assert numbers(down, 1) == numbers(down, 0) == expected(SETUP, IMPACT)


def test_a_fault_of_the_way_down_is_shown_where_it_is_one_and_saved_with_all_it_asks(
    opened: Any, address: str, folder: Path
) -> None:
    with watched(opened, 900, 700, **UNSEEN) as seen:
        page = seen.page
        begin(page, address)
        page.locator("#live-preset").select_option("hips-stay-square")
        rest(page)
        assert page.locator("#live-ends input[value=impact]").is_checked()
        assert numbers(page) == expected(load("hips-stay-square"), IMPACT)
        page.locator("#live-full").check()
        slide(page, "live-head-toward_target_cm", -2)
        rest(page)
        # At impact the head is wanted where it is at the top, until somebody says where.
        follows = page.locator(f'[id="{at_impact("head_toward_target_cm")}"]')
        assert follows.input_value() == "-2"
        slide(page, at_impact("hands_ahead_cm"), 2)
        rest(page)
        page.locator("#live-save").click()
        page.locator("#live-save-name").fill("square")
        page.locator("#live-save-form button[type=submit]").click()
        page.locator("#live-saved", has_text="is kept in").wait_for()
        told = tomllib.loads((folder / "square.toml").read_text())
        assert told["head"] == {"toward_target_cm": -2} and told["impact"] == {"hip_turn_deg": -10, "hands_ahead_cm": 2}
        assert struck_numbers(page) == expected_strike(load(str(folder / "square.toml")))


def test_on_a_phone_all_is_in_sight_and_every_slider_has_a_name_of_its_own(opened: Any, on: str) -> None:
    with watched(opened, 390, 844, has_touch=True, is_mobile=True, pictures=False) as seen:
        page = seen.page
        begin(page, on)
        assert page.evaluate("document.documentElement.scrollWidth") <= 390
        slider = page.get_by_role("slider", name="sway at impact", exact=True)
        slider.evaluate("(one) => one.scrollIntoView({ block: 'nearest' })")
        page.wait_for_timeout(100)
        canvas, low = page.locator("canvas:visible").first.bounding_box(), slider.bounding_box()
        line = page.locator("#live-strike-line").bounding_box()
        assert line["y"] >= 0 and line["y"] + line["height"] <= canvas["y"]
        assert canvas["y"] + canvas["height"] <= low["y"] and low["y"] + low["height"] < 845
        items = [one.bounding_box() for one in page.locator("#live-strike-line span").all()]
        rows = sorted({round(one["y"]) for one in items})
        assert len(rows) == 2 and max(one["x"] + one["width"] for one in items) <= 390
        left, right = (one for one in items if round(one["y"]) == rows[0])
        assert left["x"] + left["width"] < right["x"]
        assert slider.get_attribute("aria-valuetext") == "8 cm toward the target"
        ids = page.locator(".control input[type=range]").evaluate_all(
            "(all) => all.map((one) => one.labels[0].textContent)"
        )
        assert len(set(ids)) == len(ids) and sum(one.endswith(" at impact") for one in ids) == len(COACH_AT_IMPACT)
        assert page.get_by_role("group", name="The swing goes").get_by_role("radio").count() == 2


def test_the_slider_of_the_moment_is_as_long_at_every_moment(opened: Any, on: str) -> None:
    """Or it would run away from under the finger that drags it past the ball."""
    with watched(opened, 390, 844, has_touch=True, is_mobile=True, pictures=False) as seen:
        begin(seen.page, on)
        way, longs = seen.page.locator("#live-way"), set()
        for moment in (0, 33, TOP, 55, IMPACT, IMPACT + 1):
            go(seen.page, moment)
            box = way.bounding_box()
            longs.add((box["x"], box["y"], box["width"]))
        assert len(longs) == 1, longs


def test_what_stops_a_moment_past_the_top_is_told_there(down: Any) -> None:
    go(down, 2 * TOP)
    stopped = down.locator("#live-limits-now")
    swing = swing_of(SETUP, through_impact=True)
    names = [n for n, on in zip(swing.arm_limit_names, swing.arms_limited[2 * TOP], strict=True) if on]
    assert names and all(name.replace("_", " ") in stopped.inner_text() for name in names)
    go(down, TOP)
    assert stopped.is_hidden()
    assert "At impact the low back bends" in down.locator("#live-strike").inner_text()


@pytest.mark.heavy
def test_played_it_goes_past_the_ball(down: Any) -> None:
    go(down, 0)
    down.locator("#live-play").click()
    down.wait_for_function("() => document.getElementById('live-told').textContent === 'past the ball'", timeout=20_000)
    down.locator("#live-play").click()
