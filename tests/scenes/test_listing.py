"""What can be chosen and set: every row has its own unit, limits and meaning."""

from __future__ import annotations

import re

import pytest

from turnstill.model.golfer.address import ADDRESS
from turnstill.model.golfer.pieces import PIECES
from turnstill.scenes.listing.table import preset_table, settable_table
from turnstill.scenes.setups.quantities import Entry, Quantity, entries


@pytest.fixture(autouse=True)
def wide(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "200")


def rows(text: str) -> list[list[str]]:
    return [re.split(r"\s{2,}", line.strip()) for line in text.splitlines() if line.strip()]


def test_a_preset_stands_beside_what_it_shows() -> None:
    assert rows(preset_table([("one", "first [thing]"), ("two", "second")])) == [
        ["one", "first [thing]"],
        ["two", "second"],
    ]


def test_each_quantity_stands_under_its_section_and_headings() -> None:
    made = (
        Entry("first", "a", "a_cm", Quantity("cm", -3.5, 7.25, "what a is")),
        Entry("first", "b", "b_deg", Quantity("deg", 1.0, 180.0, "what b is")),
        Entry("second", "c", "c", None, ("this", "that")),
    )
    told = [row for row in rows(settable_table(made)) if not set(row[0]) <= set("─ ")]
    heads = ["name", "unit", "allowed", "what it is"]
    assert told == [
        ["[first]"], heads, ["a", "cm", "-3.5 to 7.25", "what a is"], ["b", "deg", "1 to 180", "what b is"],
        ["[second]"], heads, ["c", "this or that"],
    ]  # fmt: skip


def test_all_that_can_be_set_is_listed_with_the_models_limits() -> None:
    told = {row[0]: row[1:] for row in rows(settable_table(entries()))}
    for name, quantity in (*ADDRESS.items(), *PIECES.items()):
        assert told[name][:2] == [quantity.unit, f"{quantity.low:g} to {quantity.high:g}"]
        assert told[name][2] == quantity.meaning
    assert {entry.name for entry in entries()} <= set(told)
