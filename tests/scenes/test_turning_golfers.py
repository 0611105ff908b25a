"""The golfers in a comparison's page, in a real browser: moved, turned, printed, on a phone, and not to be drawn."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from browser import UNSEEN, browser, watched

from turnstill.model.films.camera import Camera
from turnstill.scenes.compare import work
from turnstill.scenes.setups.perform import swing_of
from turnstill.scenes.setups.presets import load
from turnstill.scenes.views.cameras import cameras
from turnstill.scenes.views.names import SEEN
from turnstill.scenes.words.at_impact import CAUTION
from turnstill.scenes.words.pieces import head_words

NAMES = ("centred", "too-much-tilt")
LAST = 40


@pytest.fixture(scope="module")
def address(tmp_path_factory: pytest.TempPathFactory) -> str:
    out = tmp_path_factory.mktemp("turning") / "out"
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(work, "cameras", lambda swings: cameras(swings, 360, 450))
        work.compare_to(NAMES, [], out=str(out))
    return (out / "index.html").as_uri()


@pytest.fixture(scope="module")
def opened() -> Iterator[Any]:
    with browser() as chromium:
        yield chromium


@pytest.fixture(scope="module")
def page(opened: Any, address: str) -> Iterator[Any]:
    with watched(opened, 1100, 900, **UNSEEN) as seen:
        begin(seen.page, address)
        yield seen.page
        assert not seen.elsewhere


def begin(page: Any, address: str) -> None:
    page.goto(address)
    page.locator("#turning").wait_for()
    page.locator("#turning").scroll_into_view_if_needed()
    page.locator('.row[data-view="face-on"] [data-mark="head now"]').first.wait_for(state="attached")


def go(page: Any, moment: int) -> None:
    page.locator("#turning-way").evaluate(
        "(way, value) => { way.value = value; way.dispatchEvent(new Event('input', { bubbles: true })); }", moment
    )
    page.evaluate("() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)))")


def row(page: Any, view: str) -> Any:
    return page.locator(f'.row[data-view="{view}"]')


def told(page: Any, view: str) -> list[str]:
    return [text.replace("−", "-") for text in row(page, view).locator(".now").all_text_contents()]


def test_every_moment_of_both_golfers_is_told_and_marked(page: Any) -> None:
    swings = [swing_of(load(name), LAST + 1) for name in NAMES]
    for moment in (0, 14, LAST):
        go(page, moment)
        assert page.locator("#turning-told").text_content() == {0: "address", 14: "35 %", LAST: "top"}[moment]
        for view in ("face-on", "down-the-line"):
            axes, _ = SEEN[view]
            places = [np.asarray(swing.measures.head_moved)[moment] * 100 for swing in swings]
            assert told(page, view) == [f"Head {head_words(place, False, axes)}" for place in places]
            camera = cameras(swings, 360, 450)[0][view]
            heads = row(page, view).locator('[data-mark="head now"]:nth-of-type(even)')
            marks = heads.evaluate_all("(all) => all.map((one) => [one.getAttribute('cx'), one.getAttribute('cy')])")
            for swing in swings:
                place = camera.project(swing.skeleton.joints["head"][moment]) + 0.5
                assert min(np.hypot(*(np.array(mark, float) - place)) for mark in marks) < 0.5
    # Whole degrees beside the lines, of the moment that is shown.
    words = row(page, "down-the-line").locator("text").all_text_contents()
    for swing in swings:
        angle = np.degrees(swing.measures.inclination_down_the_line)
        for degrees in (angle[0], angle[-1]):
            assert f"inclination {degrees:.0f}°" in words


def test_they_play_in_step_and_stop_where_they_are(page: Any) -> None:
    go(page, 0)
    play = page.locator("#turning-play")
    play.click()
    seen = []
    for _ in range(200):
        moment, *heads = page.evaluate(
            "() => [document.getElementById('turning-way').value,"
            ' ...[...document.querySelectorAll(\'.row[data-view="face-on"] [data-mark="head path"]\')]'
            ".map((one) => one.getAttribute('points').split(' ').length)]"
        )
        seen.append(int(moment))
        # One picture of all golfers: their paths have as many moments as the slider says.
        assert all(count == int(moment) + 1 for count in heads)
        if max(seen) > 25 and len(set(seen)) >= 3:  # on a busy machine few of them are drawn each time round
            break
        page.wait_for_timeout(30)
    assert len(set(seen)) >= 3
    play.click()
    stopped = page.locator("#turning-way").input_value()
    page.wait_for_timeout(150)
    assert page.locator("#turning-way").input_value() == stopped and play.text_content() == "Play"


def test_the_keyboard_moves_and_turns_them(page: Any) -> None:
    go(page, 21)
    page.locator("#turning-way").focus()
    page.keyboard.press("ArrowRight")
    assert page.locator("#turning-way").input_value() == "22"
    assert page.locator("#turning-way").get_attribute("aria-valuetext") == "55 %"
    panels = row(page, "face-on").locator(".panel")
    assert panels.evaluate_all("(all) => all.map((one) => one.getAttribute('aria-label'))") == [
        f"{name}, face-on" for name in NAMES
    ]
    panels.first.focus()
    back = row(page, "face-on").locator(".back")
    assert back.is_hidden()
    page.keyboard.press("ArrowLeft")
    back.wait_for()
    # Both turn, and no other view does.
    assert row(page, "face-on").locator("text").count() == 0 and row(page, "down-the-line").locator("text").count() > 0
    back.click()
    row(page, "face-on").locator("text").first.wait_for(state="attached")
    assert back.is_hidden()


def test_the_view_from_above_waits_to_be_chosen(page: Any) -> None:
    above = row(page, "above")
    assert above.is_hidden()
    page.get_by_label("From above", exact=True).check()
    above.wait_for()
    above.scroll_into_view_if_needed()
    above.locator("text", has_text="hip turn").first.wait_for(state="attached")
    page.get_by_label("From above", exact=True).uncheck()
    assert above.is_hidden()


def test_on_a_phone_nothing_overlaps_and_nothing_is_cut_off(opened: Any, address: str) -> None:
    # So high that all rows are in sight at once; others draw nothing.
    with watched(opened, 390, 5000, has_touch=True, **UNSEEN) as seen:
        begin(seen.page, address)
        seen.page.get_by_label("From above", exact=True).check()
        assert seen.page.evaluate("document.documentElement.scrollWidth") <= 390
        panels = [one.bounding_box() for one in seen.page.locator(".row:not([hidden]) .panel").all()]
        assert len(panels) == 6 and all(one["width"] > 340 for one in panels), "each as wide as the phone"
        for moment in (0, 20, LAST):
            go(seen.page, moment)
            seen.page.wait_for_timeout(400)
            boxes = seen.page.evaluate(
                "() => [...document.querySelectorAll('.row:not([hidden]) svg')].map((svg) =>"
                " [svg, ...svg.querySelectorAll('text')].map((one) => one.getBoundingClientRect())"
                ".map((b) => [b.left, b.top, b.right, b.bottom]))"
            )
            for whole, *words in boxes:
                assert words
                for k, one in enumerate(words):
                    assert one[0] > whole[0] - 1 and one[2] < whole[2] + 1 and one[3] - one[1] >= 11
                    # Boxes of letters, with the room above and below them that no letter fills.
                    for other in words[k + 1 :]:
                        across = min(one[2], other[2]) - max(one[0], other[0])
                        down = min(one[3], other[3]) - max(one[1], other[1])
                        assert across <= 0 or down <= 0.35 * (one[3] - one[1]), (moment, one, other)


def test_print_has_the_pictures_instead(opened: Any, address: str, tmp_path: Path) -> None:
    with watched(opened, 1100, 900) as seen:
        begin(seen.page, address)
        stills = seen.page.locator("figure img")
        assert not stills.first.is_visible()
        printed = seen.page.pdf(format="A4")
        assert 2 <= len(re.findall(rb"/Type\s*/Page\b", printed)) <= 4
        assert len(re.findall(rb"/Subtype\s*/Image\b", printed)) >= 4
        assert not stills.first.is_visible()
        seen.page.emulate_media(media="print")
        assert seen.page.locator("#turning").is_hidden()
        seen.page.emulate_media(media="screen")
        seen.page.locator("#stills > summary").click()
        assert stills.count() == 4 and all(one.is_visible() for one in stills.all())


def test_without_webgl_the_pictures_are_there_and_nothing_else_is_missing(address: str) -> None:
    with browser("--disable-3d-apis") as opened, watched(opened, 1100, 900) as seen:
        seen.page.goto(address)
        seen.page.wait_for_timeout(300)
        assert seen.page.locator("#turning").is_hidden()
        stills = seen.page.locator("figure img").all()
        assert len(stills) == 4 and all(one.is_visible() for one in [*stills, seen.page.locator("table")])


def test_the_page_may_ask_for_nothing(opened: Any, address: str) -> None:
    with watched(opened, 1100, 900, **UNSEEN) as seen:
        begin(seen.page, address)
        refused = seen.page.evaluate("() => fetch('https://example.invalid/').then(() => 'came', () => 'refused')")
        assert refused == "refused"
        assert any("Content Security Policy" in one for one in seen.wrong)
        seen.wrong.clear()
        assert not seen.elsewhere


def test_golfers_that_go_on_past_the_ball(opened: Any, tmp_path: Path) -> None:
    """Impact is called so, the head is where the chain has it there, and playing goes through it."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(work, "cameras", lambda swings: cameras(swings, 180, 225))
        work.compare_to(("centred", "stands-up"), [], out=str(tmp_path / "out"), views="face-on", through="impact")
    with watched(opened, 1100, 900, **UNSEEN) as seen:
        begin(seen.page, (tmp_path / "out" / "index.html").as_uri())
        words = seen.page.locator("#turning-told")
        # Alike up to the top, they stand at first where they differ.
        assert words.text_content() == "impact" and len(set(told(seen.page, "face-on"))) == 2
        called = {}
        for moment in (30, 50, 60, 70):
            go(seen.page, moment)
            called[moment] = words.text_content()
        assert called == {30: "75 %", 50: "50 % down", 60: "impact", 70: "past the ball"}
        go(seen.page, 60)
        labels = row(seen.page, "face-on").locator("svg text").all_text_contents()
        assert "impact" in labels and "now" not in labels
        swings = [swing_of(load(name), LAST + 1, through_impact=True) for name in ("centred", "stands-up")]
        told_cameras = json.loads(seen.page.locator("#turning-data").text_content() or "")["swings"]
        for swing, shown in zip(swings, told_cameras, strict=True):
            for camera in shown["cameras"].values():
                frame = camera["width"], camera["height"]
                K, R, t = (np.array(camera[key]) for key in "KRt")
                place = Camera(K, R, t, *frame).project(swing.skeleton.joints["clubhead"])
                assert (place > 0).all() and (place < frame).all(), "no club is cut off"
        places = [np.asarray(swing.measures.head_moved)[60] * 100 for swing in swings]
        assert told(seen.page, "face-on") == [
            f"Head {head_words(place, False, SEEN['face-on'][0])}" for place in places
        ]
        assert places[1][2] > 0.5, "one of them stands up"
        seen.page.locator("#turning-play").click()
        seen.page.wait_for_timeout(2600)  # Up, a short rest, down and past: a rest of 0.9 s there.
        assert words.text_content() == "past the ball"
        # On paper, where nothing moves, impact is there too, with what to take care of.
        caution = seen.page.locator("#stills").get_by_text(CAUTION)
        assert not caution.is_visible()
        seen.page.emulate_media(media="print")
        seen.page.evaluate("dispatchEvent(new Event('beforeprint'))")
        stills = seen.page.locator("#stills figure").all()
        assert len(stills) == 2 and all("at impact" in one.inner_text() and one.is_visible() for one in stills)
        assert caution.is_visible() and seen.page.locator("#turning").is_hidden()
        assert not seen.elsewhere and not seen.wrong
