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
