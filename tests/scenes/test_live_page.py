"""The live page in a real browser: what is set, drawn, told, kept, undone and saved, one swing at a time."""

from __future__ import annotations

import time
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from browser import browser, watched
from live_server import served

from turnstill.model.errors import TurnstillError
from turnstill.scenes.live.page import COACH, SHOWN, start_of
from turnstill.scenes.setups.knobs import knob
from turnstill.scenes.setups.perform import perform
from turnstill.scenes.setups.presets import Setup, load
from turnstill.scenes.setups.reports import numbers_at
from turnstill.scenes.setups.settings import apply

TOP = 40


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("live")


@pytest.fixture(scope="module")
def address(folder: Path) -> Iterator[str]:
    with served(folder, "too-much-tilt") as made:
        yield made.address


@pytest.fixture(scope="module")
def opened() -> Iterator[Any]:
    with browser() as chromium:
        yield chromium


@pytest.fixture
def page(opened: Any, address: str) -> Iterator[Any]:
    with watched(opened, 1280, 900) as seen:
        begin(seen.page, address)
        yield seen.page
        assert all(url.startswith(address) for url in seen.asked)


def begin(page: Any, address: str) -> None:
    page.goto(address)
    page.locator("body[data-drawn]").wait_for(timeout=30_000)
    rest(page)


def rest(page: Any) -> None:
    """Wait until the server has answered and what came is drawn."""
    page.locator("body:not(.asking)").wait_for(timeout=30_000)
    page.evaluate("() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)))")


def slide(page: Any, name: str, value: float, *, done: bool = True) -> None:
    page.locator(f'input[type="range"][id="{name}"]').evaluate(
        "(one, [value, done]) => { one.value = value; one.dispatchEvent(new Event('input', { bubbles: true }));"
        " if (done) one.dispatchEvent(new Event('change', { bubbles: true })); }",
        [value, done],
    )


def id_of(name: str) -> str:
    """Of a slider, as its quantities are called."""
    return "live-" + "-".join(f"{entry.section}-{entry.key}".replace(".", "-") for entry, _ in knob(name).parts)


def go(page: Any, moment: int) -> None:
    slide(page, "live-way", moment)
    rest(page)


def numbers(page: Any, column: int = -1) -> dict[str, str]:
    told = page.locator("#live-numbers tr").evaluate_all(
        "(rows) => rows.map((row) => [row.dataset.key, [...row.querySelectorAll('td')].map((one) => one.textContent)])"
    )
    return {key: cells[column] if cells else "" for key, cells in told}


def expected(setup: Setup, moment: int) -> dict[str, str]:
    """What `simulate` says of a setup at a moment, written as the page writes it."""
    told = numbers_at(perform(setup, TOP + 1).swing, moment)
    found = {}
    for key in SHOWN:
        value = told[key]
        if value is None:
            found[key] = "–"
        elif key.endswith("_share"):
            found[key] = f"{100 * value:.0f}"
        else:
            text = f"{value:.1f}"
            text = "0.0" if float(text) == 0 else text
            sign = "+" if key.endswith("_cm") and float(text) > 0 else ""
            found[key] = f"{sign}{text}".replace("-", "−")
    return found


def test_every_slider_of_a_lesson_moves_its_quantity_and_the_numbers_are_simulates(page: Any) -> None:
    setup = load("too-much-tilt")
    assert numbers(page) == expected(setup, TOP)
    assert len(COACH) == 8
    for (name, low, high), share in zip(COACH, np.linspace(0.2, 0.9, 8), strict=True):
        value = round((low + share * (high - low)) * 2) / 2
        turned = knob(name)
        steady = name in ("tilt", "extension")
        value = round(20 * share - 10) / 2 if steady else value
        slide(page, id_of(name), value)
        rest(page)
        if len(turned.parts) > 1:
            # Both sides go as far, each from where it was.
            first, second = (float(setup.section(entry.section)[entry.key]) for entry, _ in turned.parts)
            (one, _), (other, sign) = turned.parts
            setup = setup.changed(one.section, one.key, value)
            setup = setup.changed(other.section, other.key, second + sign * (value - first))
        else:
            setup = turned.set(setup, value, steady)
        for moment in (TOP, 11):
            go(page, moment)
            assert numbers(page) == expected(setup, moment), (name, value, moment)


def test_what_is_drawn_and_what_is_written_are_the_same_moment_of_the_same_swing(page: Any) -> None:
    """While a slider is dragged, every picture's head is where its numbers say."""
    start = start_of([load("too-much-tilt")])
    camera = start["cameras"]["right"]["face-on"]
    seen = page.evaluate(
        """async ([id]) => {
          const slider = document.querySelector(`input[type="range"][id="${id}"]`), seen = [];
          const head = () => document.querySelectorAll('.view[data-view="face-on"] [data-mark="head now"]')[1];
          const cell = (key) => document.querySelector(`#live-numbers tr[data-key="${key}"] td`).textContent;
          const way = document.getElementById("live-way");
          let last = document.body.dataset.drawn;
          for (let k = 0; k < 60; k++) {
            slider.value = 40 + k;
            slider.dispatchEvent(new Event("input", { bubbles: true }));
            if (k % 7 === 0) { way.value = 40 - (k % 5) * 6; way.dispatchEvent(new Event("input", { bubbles: true })); }
            await new Promise((done) => requestAnimationFrame(() => setTimeout(done)));
            if (document.body.dataset.drawn === last) continue;
            last = document.body.dataset.drawn;
            seen.push([head().getAttribute("cx"), head().getAttribute("cy"), cell("head_toward_target_cm"),
              cell("head_up_cm"), cell("head_toward_ball_cm"), cell("shoulder_turn_deg")]);
          }
          return seen;
        }""",
        [id_of("shoulder_turn")],
    )
    rest(page)
    address = perform(load("too-much-tilt"), 2).swing.skeleton.joints["head"][0]
    K, R, t = (np.array(camera[name]) for name in ("K", "R", "t"))
    assert len(seen) > 5 and len({one[-1] for one in seen}) > 3
    for x, y, target, up, ball, _ in seen:
        moved = np.array([float(text.replace("−", "-")) for text in (ball, target, up)]) / 100
        u, v, w = K @ (R @ (address + moved) + t)
        # A twentieth of a centimetre, as exactly as it is written, is a fifth of a pixel of the camera's.
        assert np.hypot(u / w + 0.5 - float(x), v / w + 0.5 - float(y)) < 0.45


def test_steady_is_a_switch(page: Any) -> None:
    switch = page.locator(".control", has_text="tilt").first.locator(".switch input")
    assert switch.is_checked()
    at_top = float(numbers(page)["tilt_deg"])
    switch.uncheck()
    rest(page)
    # From what it was, in whole steps of the slider.
    assert float(numbers(page)["tilt_deg"]) == pytest.approx(at_top, abs=0.26)
    slide(page, id_of("shoulder_turn"), 70)
    rest(page)
    assert float(numbers(page)["tilt_deg"]) == pytest.approx(at_top, abs=0.26)
    switch.check()
    rest(page)
    # Counted from what keeps the head still it is what it was, until told otherwise.
    assert float(numbers(page)["tilt_deg"]) == pytest.approx(at_top, abs=0.3)
    slide(page, id_of("tilt"), 0)
    rest(page)
    setup = apply(load("too-much-tilt"), ["shoulder_turn=70", "tilt=steady"])
    assert numbers(page) == expected(setup, TOP)


def test_undo_and_redo_go_back_and_forth(page: Any) -> None:
    first = numbers(page)
    undo, redo = page.locator("#live-undo"), page.locator("#live-redo")
    assert undo.is_disabled() and redo.is_disabled()
    told = [first]
    for value in (30, 55):
        for step in range(3):  # A drag is one step.
            slide(page, id_of("hip_turn"), value - 2 + step, done=step == 2)
        rest(page)
        told.append(numbers(page))
    for expected_now in (told[1], told[0]):
        undo.click()
        rest(page)
        assert numbers(page) == expected_now
    assert undo.is_disabled()
    page.keyboard.press("Control+Shift+Z")
    page.keyboard.press("Control+Shift+Z")
    rest(page)
    assert numbers(page) == told[2] and redo.is_disabled()
    page.keyboard.press("Control+Z")
    slide(page, id_of("sway"), 4)
    rest(page)
    assert redo.is_disabled()


def test_a_swing_is_kept_beside_and_let_go(page: Any) -> None:
    kept = numbers(page)
    page.locator("#live-keep").click()
    slide(page, id_of("extension"), -12)
    rest(page)
    assert numbers(page, 0) == kept and numbers(page, 1)["extension_deg"] != kept["extension_deg"]
    assert page.locator(".view").first.locator("canvas:visible").count() == 2
    lines = page.locator("#live-chart-head_up_cm polyline")
    assert lines.count() == 2
    page.locator("#live-back-to-kept").click()
    rest(page)
    assert numbers(page, 1) == kept
    page.locator("#live-let-go").click()
    rest(page)
    assert page.locator("#live-numbers tr").first.locator("td").count() == 1 and lines.count() == 1
    assert page.locator(".view").first.locator("canvas:visible").count() == 1


def test_of_two_swings_the_first_is_kept_beside_the_second(opened: Any, folder: Path) -> None:
    with served(folder, "centred", "sway") as made, watched(opened, 1280, 900) as seen:
        begin(seen.page, made.address)
        seen.page.locator("#live-numbers td:nth-of-type(2)").first.wait_for()
        rest(seen.page)
        assert numbers(seen.page, 0) == expected(load("centred"), TOP)
        assert numbers(seen.page, 1) == expected(load("sway"), TOP)
        told = seen.page.locator("#live-chart-head_toward_target_cm svg").get_attribute("aria-label")
        assert "kept" in told and "now" in told and seen.page.locator("canvas:visible").count() == 6


def test_a_preset_takes_the_swing_and_leaves_the_body(page: Any) -> None:
    page.locator("#live-full").check()
    slide(page, "live-body-stature_cm", 190)
    page.locator("select[id='live-body-handedness']").select_option("left")
    rest(page)
    page.locator("#live-preset").select_option("sway")
    rest(page)
    setup = apply(load("sway"), ["stature=190", "handedness=left"])
    assert numbers(page) == expected(setup, TOP)
    # A left-hander is seen from the other side, from where a coach would film one.
    camera = start_of([load("too-much-tilt")])["cameras"]["left"]["down-the-line"]
    K, R, t = (np.array(camera[name]) for name in ("K", "R", "t"))
    u, v, w = K @ (R @ perform(setup, 2).swing.skeleton.joints["head"][-1] + t)
    head = page.locator('.view[data-view="down-the-line"] [data-mark="head now"]').last
    assert [float(head.get_attribute(name)) for name in ("cx", "cy")] == pytest.approx(
        [u / w + 0.5, v / w + 0.5], abs=0.1
    )


def test_all_there_is_can_be_set(page: Any) -> None:
    page.locator("#live-full").check()
    told = start_of([load("too-much-tilt")])
    ids = {
        f"live-{s}-{k}".replace(".", "-")
        for group in told["full"]
        for one in group["controls"]
        for s, k, *_ in one["parts"]
    }
    there = set(page.locator(".control [id]").evaluate_all("(all) => all.map((one) => one.id)"))
    assert there == ids and len(ids) > 60
    # A number that is typed is held to what is allowed; what is none is not taken.
    stature = page.locator(".control", has=page.locator("#live-body-stature_cm")).locator("input.number")
    stature.fill("999")
    stature.press("Tab")
    rest(page)
    (most,) = [one["high"] for group in told["full"] for one in group["controls"] if one["name"] == "stature"]
    assert float(stature.input_value()) == most
    for nonsense in ("much", "1e999", ""):
        stature.fill(nonsense)
        stature.press("Tab")
        assert float(stature.input_value()) == most
    stature.fill("181,5")
    stature.press("Enter")
    rest(page)
    assert stature.input_value() == "181.5" and numbers(page) == expected(
        apply(load("too-much-tilt"), ["stature=181.5"]), TOP
    )


def test_the_most_hip_turn_is_told_while_flare_is_dragged(page: Any) -> None:
    note = page.locator(".control .note.room")
    assert note.text_content() == ""
    slide(page, id_of("flare"), 0)
    rest(page)
    straight = note.text_content()
    slide(page, id_of("flare"), 20)
    rest(page)
    turned_out = note.text_content()
    degrees = [int("".join(c for c in text if c.isdigit())) for text in (straight, turned_out)]
    assert degrees[1] > degrees[0] and "ceiling" in page.locator("#live-room").text_content()


def test_what_limits_the_swing_is_told(page: Any) -> None:
    assert page.locator("#live-free").is_visible() and page.locator("#live-limits li").count() == 0
    slide(page, id_of("hip_turn"), 88)
    rest(page)
    told = " ".join(page.locator("#live-limits li").all_text_contents())
    assert "hip" in told and page.locator(".control", has_text="hip turn").locator(".note").inner_text().startswith(
        "reaches"
    )
    assert page.locator("#live-free").is_hidden()


def test_a_swing_is_saved_and_opens_again(opened: Any, address: str, folder: Path) -> None:
    with watched(opened, 900, 700) as seen:
        page = seen.page
        begin(page, address)
        slide(page, id_of("hip_turn"), 33)
        page.locator("#live-save").click()
        page.locator("#live-save-name").fill("lesson one")
        page.locator("#live-save-form button[type=submit]").click()
        page.locator("#live-saved", has_text="lesson one.toml").wait_for()
        saved = folder / "lesson one.toml"
        assert tomllib.loads(saved.read_text())["pieces"]["hip_turn_deg"] == 33
        assert expected(load(str(saved)), TOP)["hip_turn_deg"] == "33.0" and not seen.wrong
        # It opens again in the page, whatever has been changed since.
        slide(page, id_of("hip_turn"), 60)
        rest(page)
        page.locator("#live-saving").evaluate("(dialog) => dialog.close()")
        page.locator("#live-file").set_input_files(str(saved))
        rest(page)
        page.wait_for_timeout(300)
        rest(page)
        assert numbers(page) == expected(load(str(saved)), TOP)
        # Again under the same name: not without being told so.
        page.locator("#live-save").click()
        page.locator("#live-save-form button[type=submit]").click()
        page.locator("#live-saved", has_text="there already").wait_for()
        assert len(seen.wrong) == 1 and "422" in seen.wrong.pop()
        empty = folder / "empty.toml"
        empty.write_text("")
        page.locator("#live-file").set_input_files(str(empty))
        page.locator("#live-wrong", has_text="sets nothing").wait_for()
        assert "422" in seen.wrong.pop()
        # A file that is none is told in a sentence, and the swing stays.
        page.locator("#live-saving").evaluate("(dialog) => dialog.close()")
        none = folder / "none.toml"
        none.write_text("[pieces]\nhip_turn_deg = 'much'\n")
        before = numbers(page)
        page.locator("#live-file").set_input_files(str(none))
        page.locator("#live-wrong", has_text="hip_turn_deg was").wait_for()
        assert numbers(page) == before and "422" in seen.wrong.pop()


def test_what_a_file_leaves_out_is_shown_as_it_is(opened: Any, address: str, folder: Path) -> None:
    """Tilt and extension that no file sets keep the head still, and their sliders say so."""
    file = folder / "little.toml"
    file.write_text("[pieces]\nhip_turn_deg = 50\n")
    with watched(opened, 900, 700) as seen:
        page = seen.page
        begin(page, address)
        page.locator("#live-file").set_input_files(str(file))
        page.wait_for_timeout(300)
        rest(page)
        assert numbers(page) == expected(load(str(file)), TOP)
        for name in ("tilt", "extension"):
            control = page.locator(".control", has=page.locator(f"[id='{id_of(name)}']"))
            assert (
                control.locator(".switch input").is_checked() and control.locator("input.number").input_value() == "0"
            )
            assert control.locator(".note").text_content() == f"{numbers(page)[f'{name}_deg']}° at the top"
        slide(page, id_of("tilt"), 0.5)
        rest(page)
        assert numbers(page) == expected(apply(load(str(file)), ["tilt=steady+0.5"]), TOP)


def test_two_pages_do_not_see_each_others_golfer(opened: Any, address: str) -> None:
    with watched(opened, 900, 700) as one, watched(opened, 900, 700) as other:
        begin(one.page, address)
        begin(other.page, address)
        slide(one.page, id_of("hip_turn"), 25)
        slide(other.page, id_of("hip_turn"), 50)
        rest(one.page)
        rest(other.page)
        for page, turn in ((one.page, 25), (other.page, 50)):
            assert numbers(page) == expected(apply(load("too-much-tilt"), [f"hip_turn={turn}"]), TOP)


def test_a_page_whose_server_is_gone_says_so_and_stays(opened: Any, folder: Path) -> None:
    with served(folder, "centred") as made, watched(opened, 900, 700) as seen:
        begin(seen.page, made.address)
        before = numbers(seen.page)
        made.stop()
        slide(seen.page, id_of("hip_turn"), 20)
        seen.page.locator("#live-wrong", has_text="does not answer").wait_for()
        assert numbers(seen.page) == before and seen.page.locator("canvas").first.is_visible()
        go(seen.page, 0)
        assert numbers(seen.page)["hip_turn_deg"] == "0.0"
        assert all("ERR_CONNECTION" in one or "Failed to load" in one for one in seen.wrong)
        seen.wrong.clear()


def test_on_a_phone_the_golfers_stay_in_sight_of_the_sliders(opened: Any, address: str) -> None:
    with watched(opened, 390, 844, has_touch=True, is_mobile=True) as seen:
        begin(seen.page, address)
        assert seen.page.evaluate("document.documentElement.scrollWidth") <= 390
        slider = seen.page.locator(f'[id="{id_of("sway")}"]')
        slider.evaluate("(one) => one.scrollIntoView({ block: 'nearest' })")
        seen.page.wait_for_timeout(100)
        canvas = seen.page.locator("canvas:visible").first.bounding_box()
        low = slider.bounding_box()
        assert canvas["y"] >= 0 and canvas["y"] + canvas["height"] <= low["y"] and low["y"] + low["height"] < 845


def test_without_webgl_the_numbers_follow_all_the_same(address: str) -> None:
    with browser("--disable-3d-apis") as opened, watched(opened, 900, 700) as seen:
        seen.page.goto(address)
        seen.page.locator("#live-no-figure").wait_for()
        for _ in range(100):
            if numbers(seen.page)["hip_turn_deg"] == "45.0":
                break
            time.sleep(0.1)
        slide(seen.page, id_of("hip_turn"), 31)
        rest(seen.page)
        assert numbers(seen.page) == expected(apply(load("too-much-tilt"), ["hip_turn=31"]), TOP)


@pytest.mark.heavy
def test_every_slider_there_is_gives_simulates_numbers_or_its_sentence(opened: Any, address: str) -> None:
    """One after the other, each from the same swing; what cannot be is told, and the last swing stays."""
    base = load("too-much-tilt")
    told = start_of([base])
    rng = np.random.default_rng(7)
    with watched(opened, 1280, 900) as seen:
        page = seen.page
        begin(page, address)
        page.locator("#live-full").check()
        for group in told["full"]:
            for one in group["controls"]:
                ((section, key, _, usual),) = one["parts"]
                if one["words"]:
                    continue
                low, high = one["low"], one["high"]
                near = usual if isinstance(usual, float) else 0.0
                value = near + rng.normal() * 0.1 * (high - low)
                value = float(np.clip(round(value / one["step"]) * one["step"], low, high))
                given: float | str = value
                if one["steady"]:
                    value = round(float(rng.uniform(-8, 8)), 1) if key != "extension_deg" else 2.5
                    value = round(value / 0.5) * 0.5
                    given = f"steady{value:+g}" if value else "steady"
                slide(page, f"live-{section}-{key}".replace(".", "-"), value)
                rest(page)
                try:
                    due = expected(apply(base, [f"{key}={given}"]), TOP)
                except TurnstillError as wrong:
                    assert page.locator("#live-wrong").text_content() == f"{wrong} Undo takes it back.", key
                    seen.wrong.clear()
                else:
                    assert numbers(page) == due, (key, given)
                if page.locator("#live-undo").is_enabled():
                    page.locator("#live-undo").click()
                rest(page)
        assert numbers(page) == expected(base, TOP)


@pytest.mark.heavy
def test_a_lesson_leaks_nothing(opened: Any, address: str) -> None:
    """Memory of the page after 100 and after 700 moves of sliders, to and fro between two bodies."""
    with watched(opened, 900, 700) as seen:
        page = seen.page
        begin(page, address)
        page.locator("#live-full").check()
        devtools = page.context.new_cdp_session(page)
        rng = np.random.default_rng(3)

        def used() -> float:
            devtools.send("HeapProfiler.collectGarbage")
            return float(page.evaluate("() => performance.memory.usedJSHeapSize")) / 1e6

        held = []
        for turn in range(7):
            for _ in range(100):
                slide(page, id_of("hip_turn"), float(rng.integers(10, 70)))
            slide(page, "live-body-stature_cm", 170.0 + turn % 2)
            rest(page)
            held.append(used())
        assert max(held[2:]) - held[1] < 20, held
