"""Files that the page saves and opens, and what it does when nobody serves it any more."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

from browser import UNSEEN, watched
from live_in_browser import TOP, begin, end_at, expected, go, id_of, numbers, rest, slide
from live_server import live, served

from turnstill.scenes.setups.presets import content_of, load
from turnstill.scenes.setups.settings import apply
from turnstill.scenes.setups.toml_text import toml_text


def test_a_swing_is_saved_and_opens_again(opened: Any, address: str, folder: Path) -> None:
    with watched(opened, 900, 700, **UNSEEN) as seen:
        page = seen.page
        begin(page, address)
        slide(page, id_of("hip_turn"), 33)
        page.locator("#live-save").click()
        page.locator("#live-save-name").fill("lesson one")
        page.locator("#live-save-form button[type=submit]").click()
        saved = folder / "lesson one.toml"
        page.locator("#live-saved", has_text=f"is kept in {saved};").wait_for()
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
        switch = page.locator("label", has=page.locator("#live-save-replace")).inner_text().strip()
        assert f"switch on '{switch}'" in page.locator("#live-saved").inner_text(), "what is to be done is there to do"
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


def test_a_changed_swing_is_saved_under_a_name_that_says_so(opened: Any, address: str) -> None:
    with watched(opened, 900, 700, **UNSEEN) as seen:
        page = seen.page
        begin(page, address)
        sent: list[Any] = []

        def save(route: Any) -> None:
            sent.append(route.request.post_data_json)
            route.fulfill(json={"saved": "kept"})

        page.route("**/save", save)
        page.locator("#live-preset").select_option("sway")
        rest(page)
        assert page.locator("#live-name").inner_text() == "sway", "as it came, whatever the page began with"
        page.locator("#live-keep").click()
        slide(page, id_of("hip_turn"), 33)
        rest(page)
        assert page.locator("#live-name").inner_text() == "sway, changed"
        page.locator("#live-save").click()
        for kind in ("page", "picture"):
            page.locator("#live-save-as").select_option(kind)
            page.locator("#live-saved").evaluate("(one) => { one.textContent = ''; }")
            page.locator("#live-save-form button[type=submit]").click()
            page.locator("#live-saved", has_text="kept").wait_for()
        names = [[one["name"] for one in message["setups"]] for message in sent]
        assert names == [["sway", "sway, changed"], ["sway, changed"]], "a picture is of one swing"


def test_what_a_file_leaves_out_is_shown_as_it_is(opened: Any, address: str, folder: Path) -> None:
    """Tilt and extension that no file sets keep the head still, and their sliders say so."""
    file = folder / "little.toml"
    file.write_text("[pieces]\nhip_turn_deg = 50\n")
    with watched(opened, 900, 700, **UNSEEN) as seen:
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


def test_a_page_whose_server_is_gone_says_so_and_stays(opened: Any, folder: Path) -> None:
    with served(folder, "centred") as made, watched(opened, 900, 700, **UNSEEN) as seen:
        begin(seen.page, made.address)
        before = numbers(seen.page)
        made.stop()
        slide(seen.page, id_of("hip_turn"), 20)
        seen.page.locator("#live-wrong", has_text="does not answer").wait_for()
        assert numbers(seen.page) == before and seen.page.locator("canvas").first.is_visible()
        # It is told where the finger is, too, and the swing that is seen keeps its name.
        moved = seen.page.locator(".control", has=seen.page.locator(f"[id='{id_of('hip_turn')}']"))
        assert "does not answer" in moved.locator(".note").inner_text()
        assert seen.page.locator("#live-name").inner_text() == "centred"
        go(seen.page, 0)
        assert numbers(seen.page)["hip_turn_deg"] == "0.0"
        assert all("ERR_CONNECTION" in one or "Failed to load" in one for one in seen.wrong)
        seen.wrong.clear()


def test_a_swing_is_taken_along_when_nobody_serves_it(opened: Any, folder: Path, tmp_path: Path) -> None:
    """The page makes the preset file itself, and it is the same swing to the last digit."""
    timing = tmp_path / "timed.toml"
    timing.write_text(toml_text(content_of(load("sway"))) + "\n[timing]\nhip_turn = [[0, 0], [0.4, 0.6], [1, 1]]\n")
    made = live(folder, [load(str(timing))])
    with watched(opened, 900, 700, **UNSEEN, accept_downloads=True) as seen:
        page = seen.page
        begin(page, made.address)
        page.locator("#live-full").check()
        slide(page, "live-body-stature_cm", 181.5)
        slide(page, id_of("tilt"), 2.5)
        slide(page, "live-body-ranges_deg-trunk_rotation", 33)
        rest(page)
        shown = numbers(page)
        made.stop()
        slide(page, id_of("hip_turn"), 44.5)
        page.locator("#live-wrong", has_text="Save still gives you this swing").wait_for()
        page.locator("#live-save").click()
        assert page.locator("#live-save-text").is_visible()
        with page.expect_download() as kept:
            page.locator("#live-save-file").click()
        kept.value.save_as(tmp_path / "kept.toml")
        assert kept.value.suggested_filename == "timed.toml" and shown["hip_turn_deg"] != "44.5"
        asked = ["stature=181.5", "tilt=steady+2.5", "trunk_rotation=33", "hip_turn=44.5"]
        due, back = apply(load(str(timing)), asked), load(str(tmp_path / "kept.toml"))
        assert back.values == due.values and back.timing == due.timing
        seen.wrong.clear()


def test_a_swing_that_cannot_be_is_not_saved_while_another_one_is_seen(opened: Any, address: str, folder: Path) -> None:
    with watched(opened, 900, 700, **UNSEEN) as seen:
        page = seen.page
        begin(page, address)
        end_at(page, "impact")
        page.locator("#live-full").check()
        before, there = numbers(page), sorted(folder.iterdir())
        sent: list[str] = []
        page.on("request", lambda request: sent.append(request.url) if request.url.endswith("/save") else None)
        # At once, before it is answered, as well as when it rests.
        slide(page, "live-impact-hip_turn_deg", 150)
        for _ in range(2):
            page.locator("#live-save").click()
            told = page.locator("#live-saved", has_text="Nothing is saved: what the sliders ask for cannot be")
            told.wait_for()
            assert "At impact so much is asked of this swing" in told.inner_text() and "[" not in told.inner_text()
            for name in ("#live-save-form button[type=submit]", "#live-save-text", "#live-save-name"):
                assert page.locator(name).is_hidden()
            page.locator("#live-save-form").evaluate("(form) => form.requestSubmit()")
            page.locator("#live-save-close").click()
            rest(page)
        assert numbers(page) == before and not sent and sorted(folder.iterdir()) == there
        page.locator("#live-undo").click()
        rest(page)
        page.locator("#live-save").click()
        page.locator("#live-save-name").fill("taken back")
        page.locator("#live-save-form button[type=submit]").click()
        page.locator("#live-saved", has_text="is kept in").wait_for()
        assert load(str(folder / "taken back.toml")).values == load("too-much-tilt").values
        assert all("422" in one for one in seen.wrong) and seen.wrong
        seen.wrong.clear()


def test_names_that_cannot_be_are_told_in_a_sentence(opened: Any, address: str, folder: Path) -> None:
    with watched(opened, 900, 700, **UNSEEN) as seen:
        page = seen.page
        begin(page, address)
        before = sorted(folder.iterdir())
        page.locator("#live-save").click()
        for kind, name, told in (
            ("student record", "con", '"con" is a name that Windows keeps for itself; save under another one.'),
            ("preset", "   ", "A name needs letters or digits; give it one first."),
            ("preset", "a/b", '"a/b" cannot name a file'),
        ):
            page.locator("#live-save-as").select_option(kind)
            page.locator("#live-save-name").fill(name)
            page.locator("#live-save-form button[type=submit]").click()
            page.locator("#live-saved", has_text=told).wait_for()
        assert sorted(folder.iterdir()) == before
        assert all("422" in one for one in seen.wrong) and len(seen.wrong) == 2
        seen.wrong.clear()
