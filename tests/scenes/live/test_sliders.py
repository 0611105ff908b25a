"""What sliders and switches set, and that the page says what `simulate` says of it."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
import pytest
from browser import UNSEEN, watched
from live_in_browser import IMPACT, TOP, begin, end_at, expected, go, id_of, numbers, rest, slide
from live_server import live

from turnstill.model.errors import TurnstillError
from turnstill.scenes.live.page import start_of
from turnstill.scenes.live.sliders import COACH, COACH_AT_IMPACT, sliders_of
from turnstill.scenes.live.words import head_sentences
from turnstill.scenes.setups.amounts import amount
from turnstill.scenes.setups.knobs import knob
from turnstill.scenes.setups.perform import perform
from turnstill.scenes.setups.presets import load
from turnstill.scenes.setups.quantities import entries
from turnstill.scenes.setups.settings import apply


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


def test_no_slider_of_a_lesson_leaves_what_may_be_asked() -> None:
    told = sliders_of(load("centred"))["coach"]
    known = {(entry.section, entry.key): entry for entry in entries()}
    ends = [
        (known[section, key], sign * one[end])
        for group in told
        for one in group["controls"]
        if not one["words"]
        for section, key, sign, *_ in one["parts"]
        for end in ("low", "high")
    ]
    assert len(ends) == 2 * (len(COACH_AT_IMPACT) + len(COACH) + 2 + 2), "two of the pivot's turn both sides"
    for entry, value in ends:
        assert entry.check(value) == value


def test_sides_that_are_apart_stay_within_what_may_be_asked(opened: Any, folder: Path) -> None:
    made = live(folder, [apply(load("centred"), ["lead_flare=10", "trail_flare=60"])])
    try:
        with watched(opened, 900, 700, **UNSEEN) as seen:
            begin(seen.page, made.address)
            slide(seen.page, id_of("flare"), 50)
            rest(seen.page)
            note = seen.page.locator(".control", has_text="flare of both feet").locator(".note")
            assert "lead 25.0°, trail 75.0°" in note.inner_text(), "75 is as far as a foot may be turned out"
    finally:
        made.stop()


def test_what_is_drawn_and_what_is_written_are_the_same_moment_of_the_same_swing(page: Any) -> None:
    """While a slider is dragged, every picture's head is where its numbers say."""
    start = start_of([load("too-much-tilt")])
    camera = start["tripods"][0]["cameras"]["right"]["face-on"]
    seen = page.evaluate(
        """async ([id]) => {
          const slider = document.querySelector(`input[type="range"][id="${id}"]`), seen = [];
          const head = () => document.querySelectorAll('.view[data-view="face-on"] [data-mark="head now"]')[1];
          const cell = (key) => document.querySelector(`#live-numbers tr[data-key="${key}"] td`).textContent;
          const way = document.getElementById("live-way");
          let last = document.body.dataset.drawn;
          const turns = new Set(), until = performance.now() + 30000;
          for (let k = 0; performance.now() < until && (k < 30 || turns.size < 6); k++) {
            slider.value = 40 + k % 60;
            slider.dispatchEvent(new Event("input", { bubbles: true }));
            if (k % 7 === 0) { way.value = 40 - (k % 5) * 6; way.dispatchEvent(new Event("input", { bubbles: true })); }
            await new Promise((done) => requestAnimationFrame(() => setTimeout(done)));
            if (document.body.dataset.drawn === last) continue;
            last = document.body.dataset.drawn;
            seen.push([head().getAttribute("cx"), head().getAttribute("cy"), cell("head_toward_target_cm"),
              cell("head_up_cm"), cell("head_toward_ball_cm"), cell("shoulder_turn_deg")]);
            turns.add(cell("shoulder_turn_deg"));
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


@pytest.mark.heavy
def test_all_there_is_can_be_set(page: Any) -> None:
    page.locator("#live-full").check()
    told = start_of([load("too-much-tilt")])

    def ids(on: bool) -> set[str]:
        groups = [group for group in told["full"] if on or not group["on"]]
        parts = [part for group in groups for one in group["controls"] for part in one["parts"]]
        return {f"live-{section}-{key}".replace(".", "-") for section, key, *_ in parts}

    def there() -> set[str]:
        return set(page.locator(".control [id]").evaluate_all("(all) => all.map((one) => one.id)"))

    assert there() == ids(on=False) and len(there()) > 60
    end_at(page, "impact")
    assert there() == ids(on=True) and len(there()) == len(entries())
    end_at(page, "top")
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


def test_a_box_says_what_it_does_not_take_and_takes_a_number_with_its_unit(page: Any) -> None:
    def box(name: str) -> Any:
        return page.locator(".control", has=page.locator(f'[id="{id_of(name)}"]'))

    def typed(name: str, text: str) -> tuple[str, str]:
        number = box(name).locator("input.number")
        number.fill(text)
        number.press("Enter")
        rest(page)
        return number.input_value(), box(name).locator("[aria-live=polite]").inner_text()

    assert typed("hip_turn", "abc") == ("45", "“abc” is not an angle, such as 30, 30° or 30 deg, so it stays 45°.")
    assert typed("hip_turn", "2in")[1].startswith("“2in” is not an angle")
    assert typed("hip_turn", "") == (
        "45",
        "Nothing was written, so it stays 45°; write an angle, such as 30, 30° or 30 deg.",
    )
    for text in ("NaN", "1e999", "30°40", "4 5"):
        value, told = typed("hip_turn", text)
        assert value == "45" and told.startswith(f"“{text}” is not"), text
    # What is held to an end says so, and where more may be asked; an angle and a length with their units are taken.
    assert typed("hip_turn", "999") == (
        "90",
        "“999” is more than this slider takes, so it is 90°, the most; Everything there is to set goes farther.",
    )
    for text, value in (("30°", "30"), ("31 deg", "31"), ("32,5", "32.5")):
        assert typed("hip_turn", text) == (value, "")
    for text, value in (("2in", "5.08"), ("−2in", "−5.08"), ("-3 cm", "−3"), ("35mm", "3.5")):
        assert typed("sway", text) == (value, "")
    assert typed("sway", "-99")[1].startswith("“-99” is less than this slider takes, so it is −12 cm, the least")
    assert typed("tilt", "much")[1].endswith("more than what keeps the head still.")
    assert numbers(page) == expected(apply(load("too-much-tilt"), ["hip_turn=32.5", "sway=-12"]), TOP)
    # The sentence goes with what it was about.
    slide(page, id_of("sway"), 2)
    assert box("sway").locator("[aria-live=polite]").inner_text() == ""


def test_a_box_reads_amounts_as_the_command_line_does(page: Any) -> None:
    page.locator("#live-full").check()
    for name, unit, texts in (
        ("stature", "cm", ("5ft10", "5'10\"", "1.8m", "6 ft", "70 inches")),
        ("mass", "kg", ("170lb", "12st4", "80 kg", "12 stone")),
    ):
        number = page.locator(".control", has=page.locator(f"#live-body-{name}_{unit}")).locator("input.number")
        for text in texts:
            number.fill(text)
            number.press("Enter")
            read = amount(text, unit)
            assert read and float(number.input_value()) == pytest.approx(read[0], abs=0.006), text
        number.fill("5ft14" if unit == "cm" else "12st15")
        number.press("Enter")
        assert float(number.input_value()) == pytest.approx(read[0], abs=0.006), "a slip of the hand"
    rest(page)


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


@pytest.mark.heavy
def test_every_slider_there_is_gives_simulates_numbers_or_its_sentence(opened: Any, address: str) -> None:
    """One after the other, each from the same swing; what cannot be is told, and the last swing stays."""
    base = load("too-much-tilt")
    names = {(entry.section, entry.key): entry.name for entry in entries()}
    # Those of impact last: from there on the swing goes as far.
    groups = sorted(start_of([base])["full"], key=lambda group: bool(group["on"]))
    rng = np.random.default_rng(7)
    with watched(opened, 1280, 900, **UNSEEN) as seen:
        page = seen.page
        begin(page, address)
        page.locator("#live-full").check()
        for group in groups:
            end = IMPACT if group["on"] else TOP
            if group["on"]:
                end_at(page, "impact")
            for one in group["controls"]:
                ((section, key, _, usual, *_),) = one["parts"]
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
                    due = expected(apply(base, [f"{names[section, key]}={given}"]), end)
                except TurnstillError as wrong:
                    assert page.locator("#live-wrong").text_content() == f"{wrong} Undo takes it back.", key
                    seen.wrong.clear()
                else:
                    assert numbers(page) == due, (section, key, given)
                if page.locator("#live-undo").is_enabled():
                    page.locator("#live-undo").click()
                rest(page)
            assert numbers(page) == expected(base, end)


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
