"""What a command has written so far, so that whatever ends it can say so truly."""

from __future__ import annotations

_written: list[str] = []
_MOST = 3
"""Named one by one; of more the rest is counted."""
_LONGEST_NAME = 48


def begin() -> None:
    """A command begins: nothing is written yet."""
    _written.clear()


def keep(what: str) -> None:
    """Something stands on the disk from now on, as its user calls it: ``a.json``, ``entry 3 in a.turnstill``."""
    if what not in _written:
        _written.append(what)


def any_kept() -> bool:
    """Whether anything was written."""
    return bool(_written)


def told() -> str:
    """``nothing was written``, or what was."""
    if not _written:
        return "nothing was written"
    named = ", ".join(_short(what) for what in _written[:_MOST])
    more = f" and {len(_written) - _MOST} more" if len(_written) > _MOST else ""
    return f"written before that, and whole: {named}{more}"


def _short(what: str) -> str:
    return what if len(what) <= _LONGEST_NAME else f"{what[:20]}...{what[-25:]}"
