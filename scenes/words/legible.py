"""Text that somebody else wrote, fit to be shown."""

from __future__ import annotations

_JOINERS = "\u200c\u200d"
"""Zero-width joiners, which Persian, Hindi and many emoji are not written without; they move nothing."""


def legible(text: str, keep: str = "") -> str:
    """A text without what a terminal acts on, what turns the reading order, and what is left of bytes that are no text.

    It keeps its length. File names, notes and names go through here on their way to a screen.

    Args:
        text: any text.
        keep: characters that may stay all the same, such as line ends.
    """
    if text.isprintable():
        return text
    return "".join(c if c.isprintable() or c in keep or c in _JOINERS else " " if c.isspace() else "?" for c in text)


def sound(text: str) -> str:
    """A text that can be written as UTF-8: bytes of a file's name that are no text become U+FFFD."""
    return text.encode("utf-8", "surrogateescape").decode("utf-8", "replace") if not text.isprintable() else text
