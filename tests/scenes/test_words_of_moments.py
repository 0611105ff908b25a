"""What a moment is called in a table and on a sheet."""

from __future__ import annotations

import pytest

from turnstill.scenes.words.moments import moment_done, moment_name


@pytest.mark.parametrize(
    ("progress", "name", "done"),
    [
        (0.0, "address", "0"), (0.25, "25 %", "25"), (0.125, "13 %", "13"), (1.0, "top", "top"),
        (1.25, "25 % down", "25"), (2.0, "impact", "ball"), (2.5, "past", "past"), (3.0, "past", "past"),
    ],
)  # fmt: skip
def test_what_is_done_counts_anew_from_the_top(progress: float, name: str, done: str) -> None:
    assert moment_name(progress) == name and moment_done(progress) == done
