from __future__ import annotations

import math
import os
import tomllib
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from turnstill.model.errors import TurnstillError
from turnstill.model.golfer.address import ADDRESS, Address
from turnstill.model.golfer.pieces import PIECES, Pieces, Steady
from turnstill.scenes.setups.perform import Performed, address_of, body_of, pieces_of
from turnstill.scenes.setups.preset_file import parse
from turnstill.scenes.setups.presets import (
    DEEPEST_CHAIN,
    Setup,
    content_of,
    load,
    preset_names,
    preset_text,
    setup_of,
)
from turnstill.scenes.setups.quantities import PIECES_SECTION, SECTIONS, Departure, entries
from turnstill.scenes.setups.toml_text import toml_text

NAMES = {
    "centred", "too-much-tilt", "too-little-tilt", "too-little-extension", "too-much-extension", "straight-toes",
    "pinched-toes", "braced-knees", "sway", "stands-up", "stays-back", "head-dips", "hips-stay-square",
    "too-much-trail-tilt", "driver-from-behind",
}  # fmt: skip

Write = Callable[[str, str], str]


def message(path: str) -> str:
    with pytest.raises(TurnstillError) as wrong:
        load(path)
    text = str(wrong.value)
    assert "\n" not in text and "Traceback" not in text
    return text


def test_every_preset_loads_and_says_what_it_shows() -> None:
    assert set(preset_names()) == NAMES and preset_names()[0] == "centred"
    for name in NAMES:
        setup = load(name)
        assert setup.shows and setup.name == name
        # Whatever it changes, a preset says the whole of address and pieces, but for the club, which fits the golfer,
        # and where its amounts come from.
        unsaid = set() if name == "driver-from-behind" else {"club_length_cm"}
        assert {f"{key}_{q.unit}" for key, q in ADDRESS.items()} - set(setup.section("address")) == unsaid
        assert len(setup.section(PIECES_SECTION)) == len(PIECES)
        text = preset_text(name)
        assert "common practice" in text or "our own choice" in text


def test_the_centred_preset_is_the_models_default() -> None:
    setup = load("centred")
    assert address_of(setup) == Address()
    pieces, default = pieces_of(setup), Pieces()
    for name in PIECES:
        given, expected = getattr(pieces, name), getattr(default, name)
        if isinstance(expected, Steady):
            assert given == expected
        else:
            assert np.isclose(given, expected, rtol=1e-14, atol=0)


def test_the_sway_preset_keeps_the_centred_trunk(performed: Callable[..., Performed]) -> None:
    sway, centred = performed("sway").swing, performed("centred").swing
    for piece in ("tilt", "extension"):
        assert abs(np.degrees(sway.asked[piece][-1] - centred.asked[piece][-1])) < 1.0
    assert sway.measures.head_moved[-1, 1] < -0.015


def test_a_file_extends_a_preset_key_by_key(write: Write) -> None:
    path = write(
        "mine.toml",
        'extends = "too-much-tilt"\n[pieces]\nhip_turn_deg = 50\n[body]\nsex = "female"\n[body.lengths_cm]\n'
        "thigh = 42\n[body.ranges_deg]\ntrail_hip_internal_rotation = 25\n"
        "[timing]\nhip_turn = [[0, 0], [0.5, 0.7], [1, 1]]",
    )
    setup = load(path)
    assert setup.name == "mine" and setup.shows == "too-much-tilt with hip turn and timing changed"
    assert setup.section(PIECES_SECTION)["tilt_deg"] == Departure(10.0)
    assert setup.section(PIECES_SECTION)["hip_turn_deg"] == 50.0
    assert setup.timing == {"hip_turn": ((0.0, 0.0), (0.5, 0.7), (1.0, 1.0))}
    body = body_of(setup)
    assert body.stature == 1.75 and body.female == 1
    assert body.lengths["thigh"] == pytest.approx(0.42)
    assert np.degrees(body.ranges["trail_hip_internal_rotation"]) == pytest.approx(25.0)


def test_a_file_extends_another_beside_it(write: Write) -> None:
    write("base.toml", 'extends = "centred"\n[pieces]\nsway_cm = 2')
    path = write("top.toml", 'extends = "base.toml"\n[pieces]\nhips_toward_ball_cm = 1')
    pieces = load(path).section(PIECES_SECTION)
    assert pieces["sway_cm"] == 2.0 and pieces["hips_toward_ball_cm"] == 1.0 and pieces["hip_turn_deg"] == 45.0


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("[pieces]\nhip_turn_deg = 500", ["hip_turn_deg", "500", "-60", "150", "deg"]),
        ("[pieces]\nhip_turn_deg = nan", ["hip_turn_deg", "nan", "between"]),
        ("[pieces]\nhip_turn_deg = inf", ["hip_turn_deg", "inf", "between"]),
        ("[pieces]\nhip_turn_deg = true", ["hip_turn_deg", "true"]),
        ('[pieces]\nhip_turn_deg = "steady"', ["hip_turn_deg", '"steady"', "a number between"]),
        ("[pieces]\nhip_turn_cm = 5", ["hip_turn_cm", "wrong unit", "hip_turn_deg"]),
        ("[pieces]\nhip_turn = 5", ["hip_turn", "unit", "hip_turn_deg"]),
        ("[pieces]\nhip_trun_deg = 5", ["hip_trun_deg", "Did you mean hip_turn_deg?"]),
        ("[pieces]\nlead_flare_deg = 5", ["lead_flare_deg", "[address]"]),
        ("hip_turn_deg = 5", ["hip_turn_deg", "[pieces]"]),
        ('[pieces]\ntilt_deg = "steady*2"', ["tilt_deg", "steady*2", "steady+10"]),
        ('[pieces]\ntilt_deg = "steady+500"', ["tilt_deg", "steady+500"]),
        ("[pieces]\ntilt_deg = [1]", ["tilt_deg", "a list"]),
        ("[pieces]\nsway_cm = 1" + "0" * 500, ["sway_cm", "more than 40 digits"]),
        ("[address]\nstance_width_cm = -3", ["stance_width_cm", "-3", "10", "120", "cm"]),
        ("[body]\nstature_cm = 20", ["stature_cm", "20", "120", "230"]),
        ('[body]\nsex = "tall"', ["sex", "tall", "male", "female"]),
        ("[body]\nhandedness = 1", ["handedness", "1", "right", "left"]),
        ("[body.lengths_cm]\nthigh = 0", ["thigh", "0", "0.5", "150"]),
        ("[body.lengths_cm]\nthigh_cm = 40", ["thigh_cm", "thigh"]),
        ("[body.lengths_cm]\nthihg = 40", ["thihg", "Did you mean thigh?"]),
        ("[body.ranges_deg]\nhip_internal_rotation = 30", ["hip_internal_rotation", "Did you mean"]),
        ("[timing]\nhip_turn = [[0, 0], [0.5, 2]]", ["timing of hip_turn", "[1, 1]"]),
        ("[timing]\nhip_turn = 3", ["timing of hip_turn", "pairs"]),
        ('[timing]\nhip_turn = [["a", 0], [1, 1]]', ["timing of hip_turn", "pairs"]),
        ("[timing]\nhips = [[0, 0], [1, 1]]", ["hips", "hip_turn"]),
        ("pieces = 3", ["pieces", "3", "[pieces]"]),
        ("[body]\nlengths_cm = 3", ["lengths_cm", "3", "[body.lengths_cm]"]),
        ("peices = 3", ["peices", "Did you mean pieces?"]),
        ("shows = 3", ["shows", "3"]),
        ('shows = "a\\nb"', ["shows", "one line"]),
        ('extends = ""', ["extends"]),
        ("extends = 7", ["extends", "7"]),
        ("[pieces\n", ["TOML", "line"]),
        ("a = " + "[" * 100_000, ["nested"]),
        ("a" + ".a" * 400_000 + " = 1", ["nested"]),
        ("\n".join("[" + "a." * k + "a]" for k in range(900)), ["nested"]),
        ("a = " + "{a = " * 10_000, ["nested"]),
        ('extends = "centrd"', ["extends", "centrd", "Did you mean centred?"]),
        ('extends = "nowhere.toml"', ["extends", "nowhere.toml"]),
    ],
)
def test_the_message_names_file_key_given_and_allowed(write: Write, text: str, words: list[str]) -> None:
    said = message(write("mine.toml", text))
    for word in ["mine.toml", *words]:
        assert word in said, said


def test_every_numeric_key_is_checked_at_both_ends(write: Write) -> None:
    sections: dict[str, list[tuple[str, float, float]]] = {}
    for entry in entries():
        if entry.quantity:
            sections.setdefault(entry.section, []).append((entry.key, entry.quantity.low, entry.quantity.high))
    for section, keys in sections.items():
        for key, low, high in keys:
            for value in (math.nextafter(low, -math.inf) - 1e-9, math.nextafter(high, math.inf) + 1e-9):
                assert key in message(write("mine.toml", f"[{section}]\n{key} = {value!r}"))
        for pick in (1, 2):
            load(write("mine.toml", f"[{section}]\n" + "\n".join(f"{row[0]} = {row[pick]!r}" for row in keys)))


def test_extending_itself_is_refused(write: Write) -> None:
    write("a.toml", 'extends = "b.toml"')
    assert "extends itself" in message(write("b.toml", 'extends = "a.toml"'))
    assert "extends itself" in message(
        write("c.toml", 'extends = "./../' + Path(write("x", "")).parent.name + '/c.toml"')
    )


def test_a_chain_too_deep_is_refused(write: Write) -> None:
    write("0.toml", "[pieces]\nsway_cm = 1")
    for k in range(1, DEEPEST_CHAIN + 1):
        path = write(f"{k}.toml", f'extends = "{k - 1}.toml"')
    assert message(path).endswith(f"is the end of more than {DEEPEST_CHAIN} files that extend one another.")
    load(str(Path(path).with_name(f"{DEEPEST_CHAIN - 1}.toml")))


def test_a_file_that_sets_nothing_is_no_swing(write: Write) -> None:
    for text in ("", "# Nothing yet.\n", 'shows = "my swing"', "[pieces]\n", "[body.lengths_cm]\n"):
        told = message(write("mine.toml", text))
        assert told.startswith("mine.toml sets nothing") and "turnstill presets show centred" in told
    for text in ('extends = "sway"', "[pieces]\nsway_cm = 0", "[timing]\ntilt = [[0, 0], [1, 1]]"):
        load(write("mine.toml", text))


def test_files_that_are_no_presets(tmp_path: Path, write: Write) -> None:
    big = write("big.toml", "#" + "x" * 1_000_000)
    assert "larger than 1 MB" in message(big)
    (tmp_path / "latin.toml").write_bytes(b'shows = "\xe9"')
    assert "UTF-8" in message(str(tmp_path / "latin.toml"))
    assert "folder" in message(str(tmp_path))
    assert "not a plain file" in message("/dev/zero")
    os.mkfifo(tmp_path / "pipe.toml")
    assert "not a plain file" in message(str(tmp_path / "pipe.toml"))
    assert "no file" in message(str(tmp_path / "missing.toml"))
    (tmp_path / "loop.toml").symlink_to(tmp_path / "loop.toml")
    message(str(tmp_path / "loop.toml"))
    for odd in ("", "\0", "a" * 5000, "~nobody-of-that-name/x.toml", "\udcff"):
        assert "There is no" in message(odd) or "cannot be read" in message(odd)


@pytest.mark.skipif(os.geteuid() == 0, reason="root reads everything")
def test_an_unreadable_file(write: Write) -> None:
    path = write("mine.toml", "")
    Path(path).chmod(0)
    assert "cannot be read" in message(path)


@pytest.mark.parametrize(("name", "near"), [("too-much-tlit", " Did you mean too-much-tilt?"), ("zzz", "")])
def test_unknown_names_say_what_is_near_and_where_all_are_listed(name: str, near: str) -> None:
    assert message(name) == f'There is no preset or file "{name}".{near} turnstill presets lists those there are.'


def test_a_byte_order_mark_is_not_in_the_way(tmp_path: Path) -> None:
    (tmp_path / "mine.toml").write_bytes(b'\xef\xbb\xbfextends = "centred"')
    assert load(str(tmp_path / "mine.toml")).section(PIECES_SECTION)


def test_shown_presets_start_an_own_file(write: Write) -> None:
    for name in NAMES:
        text = preset_text(name)
        tomllib.loads(text)
        assert load(write("own.toml", text)).values == load(name).values


@pytest.mark.parametrize("name", preset_names())
def test_a_setup_reads_back_from_what_it_would_write(name: str) -> None:
    for setup in (
        load(name),
        load(name).changed("pieces", "tilt_deg", Departure(0.1 + 0.2)).changed("pieces", "extension_deg",
                                                                               Departure(-1e-7)),
        load(name).changed("body", "sex", "female").changed("body.lengths_cm", "thigh", 41.123456789012345),
    ):  # fmt: skip
        assert setup_of(name, parse(toml_text(content_of(setup)), name)) == _said(setup)


def _said(setup: Setup) -> Setup:
    """A setup with every section, said or not, as files are read."""
    return Setup(setup.name, setup.shows, {section: dict(setup.section(section)) for section in SECTIONS}, setup.timing)
