"""Steps that are taken back, swings kept beside, presets taken."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
import pytest
from browser import UNSEEN, watched
from live_in_browser import TOP, begin, expected, go, id_of, numbers, rest, slide
from live_server import served

from turnstill.scenes.live.page import start_of
from turnstill.scenes.setups.perform import perform
from turnstill.scenes.setups.presets import load
from turnstill.scenes.setups.settings import apply


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
    with served(folder, "centred", "sway") as made, watched(opened, 1280, 900, **UNSEEN) as seen:
        begin(seen.page, made.address)
        seen.page.locator("#live-numbers td:nth-of-type(2)").first.wait_for()
        rest(seen.page)
        assert numbers(seen.page, 0) == expected(load("centred"), TOP)
        assert numbers(seen.page, 1) == expected(load("sway"), TOP)
        told = seen.page.locator("#live-chart-head_toward_target_cm svg").get_attribute("aria-label")
        assert "kept" in told and "this one" in told and seen.page.locator("canvas:visible").count() == 6


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
    # Who is taller than the first tripod's pictures are high has the next one's.
    tripod = start_of([load("too-much-tilt")])["tripods"][1]
    assert tripod["fits_cm"] == 200.0
    camera = tripod["cameras"]["left"]["down-the-line"]
    K, R, t = (np.array(camera[name]) for name in ("K", "R", "t"))
    u, v, w = K @ (R @ perform(setup, 2).swing.skeleton.joints["head"][-1] + t)
    head = page.locator('.view[data-view="down-the-line"] [data-mark="head now"]').last
    assert [float(head.get_attribute(name)) for name in ("cx", "cy")] == pytest.approx(
        [u / w + 0.5, v / w + 0.5], abs=0.1
    )


def test_keeping_and_letting_go_are_taken_back_too(page: Any) -> None:
    def columns() -> int:
        return int(page.locator("#live-numbers tr").first.locator("td").count())

    undo, redo = page.locator("#live-undo"), page.locator("#live-redo")
    first = numbers(page)
    page.locator("#live-keep").click()
    slide(page, id_of("sway"), 6)
    rest(page)
    page.locator("#live-let-go").click()
    rest(page)
    moved = numbers(page)
    assert columns() == 1 and moved != first
    undo.click()  # The letting go.
    rest(page)
    assert columns() == 2 and numbers(page, 0) == first and numbers(page, 1) == moved
    assert page.locator(".view").first.locator("canvas:visible").count() == 2
    undo.click()  # The sway.
    rest(page)
    assert columns() == 2 and numbers(page, 1) == first
    undo.click()  # The keeping, which was no change of the swing.
    rest(page)
    assert columns() == 1 and undo.is_disabled() and page.locator("#live-name").text_content() == "too-much-tilt"
    for _ in range(3):
        redo.click()
    rest(page)
    assert columns() == 1 and numbers(page) == moved and redo.is_disabled()


def test_what_takes_long_is_not_asked_for_while_a_swing_is_awaited(page: Any) -> None:
    page.locator("#live-low", has_not_text="worked out when").wait_for(state="attached", timeout=30_000)
    looked: list[str] = []
    asked: list[Any] = []
    page.on("request", lambda request: looked.append(request.url) if request.url.endswith("/strike") else None)

    def hold_the_second(route: Any) -> None:
        asked.append(route)
        if len(asked) != 2:
            route.continue_()

    page.route("**/swing", hold_the_second)
    page.evaluate(
        """async (id) => {
          const slider = document.getElementById(id), drawn = document.body.dataset.drawn;
          const to = (value) => {
            slider.value = value;
            slider.dispatchEvent(new Event("input", { bubbles: true }));
          };
          to(40);
          while (document.body.dataset.drawn === drawn || document.body.classList.contains("asking"))
            await new Promise((done) => setTimeout(done, 5));
          to(42);
        }""",
        id_of("tilt"),
    )
    page.wait_for_timeout(1500)  # More than twice what the page takes for rest.
    assert len(asked) == 2 and looked == []
    with page.expect_request("**/strike", timeout=30_000):
        asked[1].continue_()
    rest(page)
    assert len(looked) == 1


def test_the_preset_that_is_named_is_the_one_that_is_shown_as_it_came(page: Any) -> None:
    named = page.locator("#live-preset")
    assert named.input_value() == "too-much-tilt", "with which the page begins"
    named.select_option("sway")
    rest(page)
    taken = numbers(page)
    assert named.input_value() == "sway"
    slide(page, id_of("hip_turn"), 33)
    rest(page)
    assert named.input_value() == ""
    named.select_option("sway")  # So it can be taken once more.
    rest(page)
    assert numbers(page) == taken and named.input_value() == "sway"
    for _ in range(3):
        page.locator("#live-undo").click()
    rest(page)
    assert named.input_value() == page.locator("#live-name").inner_text() == "too-much-tilt"


def test_who_works_by_keys_is_never_left_without_a_place(page: Any) -> None:
    def focus() -> str:
        return str(page.evaluate("() => [document.activeElement].map((one) => one.id || one.ariaLabel)[0]"))

    def press(name: str) -> None:
        page.locator(name).focus()
        page.keyboard.press("Enter")
        rest(page)

    slide(page, id_of("hip_turn"), 33)
    rest(page)
    press("#live-undo")
    assert focus() == "live-redo" and page.locator("#live-undo").is_disabled()
    page.keyboard.press("Enter")
    rest(page)
    assert focus() == "live-undo" and page.locator("#live-redo").is_disabled()
    press("#live-keep")
    press("#live-let-go")
    assert focus() == "live-keep"
    panel = page.locator('.view[data-view="face-on"] [data-who="now"] .panel')
    panel.press("ArrowRight")
    press('.view[data-view="face-on"] .back')
    assert focus() == panel.get_attribute("aria-label")
    assert page.locator('.view[data-view="face-on"] .back').is_hidden()


def test_the_two_swings_and_the_moment_have_words_of_their_own(page: Any) -> None:
    """*Now* is the moment in both pictures, so the swing of the sliders is not called so."""
    page.locator("#live-keep").click()
    go(page, 20)
    captions = page.locator(".pair figcaption").all_inner_texts()
    heads = [one.replace("\u00a0", " ") for one in page.locator("#live-tells th[scope=col]").all_inner_texts()]
    assert {one.replace("\u00a0", " ") for one in captions} == {"kept", "this one"}
    assert heads[:3] == ["At 50 %", "kept", "this one"]
    go(page, TOP)
    assert page.locator("#live-when").inner_text() == "At the top"
    words = page.locator(".legend").first.inner_text()
    assert "away from the target positive" in words and "turns of hip line" in words, "what each angle is, and its sign"
    # Paper tells it too, and nothing of fingers and keys.
    page.emulate_media(media="print")
    printed = page.locator(".legend").first.inner_text()
    assert "turns of hip line" in printed and "Drag" in words and "Drag" not in printed and "keys" not in printed


def test_a_voice_is_not_kept_talking_while_the_swing_plays(page: Any) -> None:
    page.wait_for_timeout(700)
    page.evaluate(
        """() => {
          window.said = [];
          new MutationObserver(() => said.push(document.getElementById('live-say').textContent))
            .observe(document.getElementById('live-say'), { childList: true });
        }"""
    )
    page.locator("#live-play").click()
    page.wait_for_timeout(4000)  # It rests at the top for longer than a voice waits.
    assert page.evaluate("() => said") == []
    page.locator("#live-play").click()
    page.wait_for_function("() => said.length === 1")
    assert page.evaluate("() => said[0]") == page.locator("#live-head").inner_text()
    assert page.locator("output").first.get_attribute("aria-live") == "off"
