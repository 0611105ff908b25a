"""What the live page tells of a swing: under its sliders, in its headline, of limits and refusals."""

from __future__ import annotations

from typing import Any

from browser import UNSEEN, watched
from live_in_browser import TOP, begin, go, id_of, numbers, rest, slide

from turnstill.scenes.live.sliders import sliders_of
from turnstill.scenes.live.words import head_sentences
from turnstill.scenes.setups.perform import perform
from turnstill.scenes.setups.presets import load


def test_which_way_a_slider_went_stands_under_it(page: Any) -> None:
    """A sway counts away from the target, the table's pelvis toward it: nobody is to guess."""
    for name, value, way in (
        ("sway", -4, "4 cm toward the target"), ("sway", 3, "3 cm away from the target"),
        ("hips_toward_ball", -2, "2 cm away from the ball"),
    ):  # fmt: skip
        slide(page, id_of(name), value)
        rest(page)
        control = page.locator(".control", has=page.locator(f'[id="{id_of(name)}"]'))
        told = control.locator(".note").inner_text().replace(".0 cm", " cm")
        assert told == way and control.locator("input[type=range]").get_attribute("aria-valuetext").endswith(way)
    assert numbers(page)["pelvis_toward_target_cm"] == "−3.0"
    # What a quantity means is there without a mouse, and its name is the one that other tables have.
    full = [one for group in sliders_of(load("centred"))["full"] for one in group["controls"]]
    assert {"lead knee flex change", "trail knee flex change"} <= {one["name"] for one in full}
    told = page.locator(f'[id="{id_of("sway")}"]').get_attribute("aria-description")
    assert told and "target" in told


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


def test_the_headline_is_of_the_moment_that_is_shown(page: Any) -> None:
    headline, told = page.locator("#live-head"), perform(load("too-much-tilt"), TOP + 1).swing
    for moment in (TOP, 23, 0):
        go(page, moment)
        assert headline.text_content() == head_sentences(told)[moment]
    assert headline.text_content() == "At address the head is in its place."
    # 82.5 per cent of the backswing, too, are rounded alike in the headline and beside the slider.
    for moment in (33, 1, 2, 39):
        go(page, moment)
        done = page.locator("#live-told").inner_text().replace(" ", "")
        assert headline.text_content().startswith(f"At {done} of the backswing ")


def test_a_refused_slider_is_marked_where_it_stands(opened: Any, address: str) -> None:
    with watched(opened, 1280, 900, **UNSEEN) as seen:
        begin(seen.page, address)
        check_refused(seen.page)
        assert all("422" in one for one in seen.wrong) and len(seen.wrong) >= 2
        seen.wrong.clear()


def check_refused(page: Any) -> None:
    page.locator("#live-full").check()

    def placed() -> list[Any]:
        those = ("canvas", "[id='live-address-club_length_cm']", "#live-way", "#live-undo")
        return [page.locator(one).first.bounding_box() for one in those]

    before = placed()
    slide(page, "live-address-club_length_cm", 60)
    rest(page)
    refused = page.locator(".control.refused")
    # It is told at the foot of the screen too, and nothing has moved.
    assert placed() == before
    foot = page.locator("#live-wrong").bounding_box()
    assert foot["y"] + foot["height"] <= 900 and foot["x"] + foot["width"] <= 1280
    assert refused.count() == 1 and refused.locator("label").first.text_content() == "club length"
    sentence = page.locator("#live-wrong").text_content()
    assert refused.locator(".note").text_content() == sentence and "does not reach the ball" in sentence
    assert refused.locator("input[type=range]").get_attribute("aria-invalid") == "true"
    # Another slider that is refused takes the mark over, and one that mends it takes it away.
    slide(page, "live-address-knee_flex_deg", 21)
    rest(page)
    assert refused.locator("label").first.text_content() == "knee flex"
    slide(page, "live-address-club_length_cm", 95)
    rest(page)
    assert refused.count() == 0 and page.locator("#live-wrong").is_hidden()


def test_the_head_is_charted_in_all_three_ways(page: Any) -> None:
    top = numbers(page)
    for way in ("up", "toward_target", "toward_ball"):
        told = page.locator(f"#live-chart-head_{way}_cm svg").get_attribute("aria-label")
        assert told.endswith(f"this one {top[f'head_{way}_cm']} cm at the top"), told
