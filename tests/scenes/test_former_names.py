"""Files of earlier versions are read under today's names."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from pathlib import Path

from turnstill.scenes.record.entry import Entry, read_piece
from turnstill.scenes.record.store import add, entries_of
from turnstill.scenes.setups.presets import load
from turnstill.scenes.setups.settings import apply


def test_a_preset_with_former_names_says_what_it_said(write: Callable[[str, str], str]) -> None:
    text = "[pieces]\nthrust_cm = 2.5\n[timing]\nthrust = [[0, 0], [0.5, 0.9], [1, 1]]\n"
    setup = load(write("old.toml", f"{text}[body.ranges_deg]\nlead_tibial_internal_rotation = 21\n"))
    assert setup.section("pieces") == {"hips_toward_ball_cm": 2.5}
    assert setup.timing == {"hips_toward_ball": ((0.0, 0.0), (0.5, 0.9), (1.0, 1.0))}
    assert setup.section("body.ranges_deg") == {"lead_shin_internal_rotation": 21.0}


def test_where_a_name_stands_both_ways_todays_counts(tmp_path: Path) -> None:
    file = tmp_path / "both.toml"
    file.write_text("[pieces]\nhips_toward_ball_cm = 3.5\nthrust_cm = 1.5\n")
    assert load(str(file)).section("pieces") == {"hips_toward_ball_cm": 3.5}


def test_settings_take_former_names() -> None:
    setup = apply(load("centred"), ["thrust=1.25", "trail-tibial-external-rotation=33"])
    assert setup.section("pieces")["hips_toward_ball_cm"] == 1.25
    assert setup.section("body.ranges_deg")["trail_shin_external_rotation"] == 33.0


def test_a_record_of_an_earlier_version_is_read(tmp_path: Path) -> None:
    target = str(tmp_path / "a.turnstill")
    add(target, [Entry("2025-03-01", piece="hips_toward_ball", felt=2.0)])
    with sqlite3.connect(target) as base:
        base.execute("UPDATE entry SET piece = 'thrust'")
    assert [entry.piece for _, entry in entries_of(target)] == ["hips_toward_ball"]
    assert read_piece("Thrust") == "hips_toward_ball"
