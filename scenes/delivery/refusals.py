"""How messages about files name them, and what the system had against one."""

from __future__ import annotations

from ...model.errors import TurnstillError


def shown(name: str) -> str:
    """A file's name in a sentence: one line, its middle left out where it is long."""
    text = "".join(c if c.isprintable() else "?" for c in name)
    return text if len(text) <= 120 else f"{text[:60]}...{text[-50:]}"


def reason(wrong: Exception) -> str:
    """Why the system refused a file."""
    told = wrong.strerror if isinstance(wrong, OSError) and wrong.strerror else "no such name is possible"
    return told.lower()


def unwritable(target: str, wrong: Exception) -> TurnstillError:
    """The sentence for a place where nothing can be written."""
    return TurnstillError(f"{shown(target)} cannot be written: {reason(wrong)}.")


def in_the_way(target: str) -> TurnstillError:
    """The sentence for a file that somebody else wrote where an output was to go."""
    return TurnstillError(
        f"Something else wrote {shown(target)} while this ran, so the result was not put there; move that file away or "
        "name another place."
    )
