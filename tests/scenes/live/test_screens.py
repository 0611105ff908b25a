"""Screens of all sizes, several pages at once, and what a lesson leaves behind in the browser."""

from __future__ import annotations

import time
from typing import Any

import numpy as np
import pytest
from browser import UNSEEN, browser, watched
from live_in_browser import TOP, begin, end_at, expected, go, id_of, numbers, rest, slide

from turnstill.scenes.live.page import start_of
from turnstill.scenes.setups.presets import load
from turnstill.scenes.setups.settings import apply


def test_two_pages_do_not_see_each_others_golfer(opened: Any, address: str) -> None:
    with watched(opened, 900, 700) as one, watched(opened, 900, 700, **UNSEEN) as other:
        begin(one.page, address)
        begin(other.page, address)
        slide(one.page, id_of("hip_turn"), 25)
        slide(other.page, id_of("hip_turn"), 50)
        rest(one.page)
        rest(other.page)
        for page, turn in ((one.page, 25), (other.page, 50)):
            assert numbers(page) == expected(apply(load("too-much-tilt"), [f"hip_turn={turn}"]), TOP)


def test_on_a_phone_the_golfers_stay_in_sight_of_the_sliders(opened: Any, address: str) -> None:
    with watched(opened, 390, 844, has_touch=True, is_mobile=True, pictures=False) as seen:
        begin(seen.page, address)
        assert seen.page.evaluate("document.documentElement.scrollWidth") <= 390
        slider = seen.page.locator(f'[id="{id_of("sway")}"]')
        slider.evaluate("(one) => one.scrollIntoView({ block: 'nearest' })")
        seen.page.wait_for_timeout(100)
        canvas = seen.page.locator("canvas:visible").first.bounding_box()
        low = slider.bounding_box()
        assert canvas["y"] >= 0 and canvas["y"] + canvas["height"] <= low["y"] and low["y"] + low["height"] < 845


@pytest.mark.parametrize("end", ["top", "impact"])
def test_on_a_phone_two_swings_stay_in_sight_of_the_sliders(opened: Any, address: str, end: str) -> None:
    with watched(opened, 390, 844, has_touch=True, is_mobile=True, pictures=False) as seen:
        page = seen.page
        begin(page, address)
        end_at(page, end)
        page.locator("#live-keep").click()
        rest(page)
        for views in (("face-on", "down-the-line", "above"), ("face-on", "down-the-line"), ("face-on",)):
            for view in ("face-on", "down-the-line", "above"):
                page.locator(f"#live-chips input[value={view}]").set_checked(view in views)
            assert page.evaluate("document.documentElement.scrollWidth") <= 390
            for name in ("tilt", "sway"):
                slider = page.locator(f'[id="{id_of(name)}"]')
                slider.evaluate("(one) => one.scrollIntoView({ block: 'start' })")
                page.wait_for_timeout(100)
                low = slider.bounding_box()
                golfers = [one.bounding_box() for one in page.locator("canvas:visible").all()]
                assert len(golfers) == 2 * len(views)
                for one in golfers:
                    assert one["y"] >= 0 and one["y"] + one["height"] <= low["y"] and one["width"] > 50
                assert low["y"] + low["height"] < 845


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
        # The moment plays all the same, and nothing is offered that needs a picture.
        page = seen.page
        told, headline = page.locator("#live-told"), page.locator("#live-head")
        page.locator("#live-play").click()
        page.wait_for_function("() => document.getElementById('live-told').textContent.endsWith(' %')")
        page.locator("#live-play").click()
        assert headline.inner_text().startswith(f"At {told.inner_text().replace(' ', '')} of the backswing")
        for name in ("#live-chips", ".views-live", ".tells .legend"):
            assert page.locator(name).is_hidden()


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


def test_on_a_tablet_and_on_a_phone_held_level_the_golfers_stand_beside_the_sliders(opened: Any, address: str) -> None:
    """Whole, beside every slider that is being moved, and never wider than the screen."""
    with watched(opened, 844, 390, has_touch=True, is_mobile=True, pictures=False) as seen:
        page = seen.page
        begin(page, address)
        for width, height in ((844, 390), (820, 1180), (1180, 820)):
            page.set_viewport_size({"width": width, "height": height})
            rest(page)
            assert page.evaluate("document.documentElement.scrollWidth") <= width
            page.evaluate("document.querySelector('.live').scrollIntoView()")
            for name in ("shoulder_turn", "hips_toward_ball"):
                page.locator(f'[id="{id_of(name)}"]').evaluate("(one) => one.scrollIntoView({ block: 'nearest' })")
                page.wait_for_timeout(100)
                slider = page.locator(f'[id="{id_of(name)}"]').bounding_box()
                assert slider["y"] >= 0 and slider["y"] + slider["height"] <= height, (width, name)
                for view in ("face-on", "down-the-line"):
                    golfer = page.locator(f'.view[data-view="{view}"] canvas:visible').bounding_box()
                    assert golfer["y"] >= 0 and golfer["y"] + golfer["height"] <= height, (width, name, view)
                    assert golfer["x"] >= slider["x"] + slider["width"] and golfer["x"] + golfer["width"] <= width


def test_a_golfer_who_is_made_the_tallest_stays_in_the_picture(page: Any) -> None:
    """And is seen by one tripod with the swing that is kept; whoever is small again by the first one."""
    page.locator("#live-full").check()
    page.locator("#live-keep").click()

    def heads() -> list[dict[str, float]]:
        drawn = page.locator('.view[data-view="face-on"] .panel svg').all()
        rings = [one.locator('[data-mark="head address"]').last for one in drawn]
        return [{name: float(ring.get_attribute(name)) for name in ("cx", "cy", "r")} for ring in rings]

    before = heads()
    slide(page, "live-body-stature_cm", 230)
    page.locator("body:not(.asking)").wait_for(timeout=60_000)
    rest(page)
    (kept, tall), tripods = heads(), start_of([load("too-much-tilt")])["tripods"]
    assert tall["cy"] - tall["r"] > 0.12 * 900 and tall["r"] < 1.35 * kept["r"]
    assert kept["r"] == pytest.approx(before[0]["r"] * tripods[0]["fits_cm"] / 230.0, rel=0.02)
    page.locator("#live-undo").click()
    rest(page)
    assert heads() == before


def test_the_narrowest_phone_cuts_nothing_off(opened: Any, address: str) -> None:
    """320 pixels, as the Web Content Accessibility Guidelines ask (1.4.10, Reflow); two swings, on to impact."""
    with watched(opened, 320, 640, has_touch=True, is_mobile=True, pictures=False) as seen:
        page = seen.page
        begin(page, address)
        end_at(page, "impact")
        page.locator("#live-keep").click()
        page.locator("#live-full").check()
        rest(page)
        for width in (320, 360):
            page.set_viewport_size({"width": width, "height": 640})
            rest(page)
            assert page.evaluate("document.documentElement.scrollWidth") <= width


def test_who_goes_through_the_sliders_by_keys_keeps_the_golfers_in_sight(opened: Any, address: str) -> None:
    with watched(opened, 1280, 900, **UNSEEN) as seen:
        page = seen.page
        begin(page, address)
        for width, height in ((1280, 900), (1280, 720), (820, 1180)):
            page.set_viewport_size({"width": width, "height": height})
            page.locator("#live-full").focus()
            names = set()
            for _ in range(22):
                page.keyboard.press("Tab")
                names.add(page.evaluate("() => document.activeElement.id"))
                assert page.evaluate("() => scrollY") == 0, (width, height, names)
                box = page.evaluate("() => document.activeElement.getBoundingClientRect().toJSON()")
                assert box["top"] >= 0 and box["bottom"] <= height
            assert {id_of("shoulder_turn"), id_of("hips_toward_ball")} <= names


def test_a_finger_that_turns_a_golfer_does_not_move_the_picture(opened: Any, address: str) -> None:
    with watched(opened, 390, 844, has_touch=True, is_mobile=True, pictures=False) as seen:
        page = seen.page
        begin(page, address)
        panel = page.locator('.view[data-view="face-on"] [data-who="now"] .panel')
        before = panel.bounding_box()
        panel.press("ArrowRight")
        rest(page)
        assert page.locator('.view[data-view="face-on"] .back').is_visible() and panel.bounding_box() == before


def test_words_in_small_pictures_are_whole_and_keep_off_the_golfer(opened: Any, address: str) -> None:
    """On a phone with two swings: no word is cut or lies on head or trunk; with three views there is no room."""
    with watched(opened, 390, 844, has_touch=True, is_mobile=True) as seen:
        page = seen.page
        begin(page, address)
        page.locator("#live-keep").click()
        for moment in (20, TOP):
            go(page, moment)
            page.wait_for_timeout(800)  # Words take their places when nothing moves any more.
            for view in ("face-on", "down-the-line"):
                for panel in page.locator(f'.view[data-view="{view}"] .panel:visible').all():
                    check_words(panel, [f"{'now' if moment == 20 else 'top'} ", "address "])
        page.locator("#live-chips input[value=above]").check()
        rest(page)
        page.wait_for_timeout(800)
        assert page.locator(".panel svg text:visible").count() == 0
        for caption in page.locator(".pair figcaption:visible").all():
            assert caption.evaluate("(one) => one.scrollWidth <= one.parentElement.clientWidth")


def check_words(panel: Any, begins: list[str]) -> None:
    frame = panel.bounding_box()
    kept_off = [one.bounding_box() for one in panel.locator('[data-mark$=" now"]').all()]
    texts = panel.locator("svg text").all()
    assert sorted(one.text_content().rstrip("−0123456789°") for one in texts) == sorted(begins)
    for one in texts:
        box = one.bounding_box()
        assert box["x"] >= frame["x"] and box["x"] + box["width"] <= frame["x"] + frame["width"], one.text_content()
        assert box["y"] + 1 >= frame["y"] and box["y"] + box["height"] <= frame["y"] + frame["height"] + 1
        for other in kept_off:
            apart = (
                box["x"] + box["width"] <= other["x"] or other["x"] + other["width"] <= box["x"]
                or box["y"] + box["height"] <= other["y"] + 1 or other["y"] + other["height"] <= box["y"] + 1
            )  # fmt: skip
            assert apart, (one.text_content(), box, other)


def test_angles_that_have_no_room_in_the_picture_stand_below_it_in_words(opened: Any, address: str) -> None:
    with watched(opened, 844, 390, pictures=False) as seen:
        begin(seen.page, address)
        go(seen.page, 20)
        told = seen.page.locator('.view[data-view="above"] svg text').all_text_contents()
        told = [text.rsplit(" ", 1) for text in told]
        due = numbers(seen.page)
        found = {word: float(degrees.rstrip("°")) for word, degrees in told}
        assert set(found) == {"hip turn", "shoulder turn", "lead flare", "trail flare"}
        for word in ("hip turn", "shoulder turn"):
            assert found[word] == pytest.approx(float(due[f"{word.replace(' ', '_')}_deg"]), abs=1.0)
        assert found["lead flare"] == 20
