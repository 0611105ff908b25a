"""Text that somebody else wrote: nothing in it acts on a terminal, and all of it can be written down."""

from __future__ import annotations

import pytest

from turnstill.scenes.words.legible import legible, sound


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("Anna's swing, 2. März", "Anna's swing, 2. März"),
        ("red \x1b[31m and back\x07", "red ?[31m and back?"),
        ("one\ntwo\tthree\r", "one two three "),
        ("turned \u202eround\u2066", "turned ?round?"),
        ("joined\u200c \u200d, marked \ufeff", "joined\u200c \u200d, marked ?"),
        ("bytes \udcff of no text \ud800", "bytes ? of no text ?"),
        ("no\u00a0break", "no break"),
        ("", ""),
    ],
)
def test_what_a_terminal_would_act_on_is_taken_out_and_a_text_keeps_its_length(text: str, told: str) -> None:
    assert legible(text) == told and len(told) == len(text)


def test_what_is_kept_all_the_same_is_kept() -> None:
    assert legible("one\ntwo\tthree\x1b", keep="\n\t") == "one\ntwo\tthree?"


@pytest.mark.parametrize(
    ("name", "told"),
    [
        ("anna.turnstill", "anna.turnstill"),
        ("März\n2", "März\n2"),
        (b"caf\xe9.json".decode("utf-8", "surrogateescape"), "caf\ufffd.json"),
        (b"\xff\xfe".decode("utf-8", "surrogateescape"), "\ufffd\ufffd"),
    ],
)
def test_a_name_that_is_no_text_can_be_written_all_the_same(name: str, told: str) -> None:
    assert sound(name) == told
    assert sound(name).encode("utf-8")
