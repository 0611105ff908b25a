"""What a command says once something is stored: it reaches whoever asked, and never makes a stored entry look lost.

The exit status is about the record and not about the screen: 0 where what was given is in the record by now, 2 where
nothing was stored. A screen that refuses, for want of room or because nobody reads it, is told on standard error.
"""

from __future__ import annotations

import io
import os
import sys

from ..delivery.outcome import reason
from ..delivery.terminal import say, tell


def acknowledge(stored: str, *lines: str) -> None:
    """Tell on standard output that something is stored, or on standard error where that cannot be written.

    Args:
        stored: what is, without a full stop.
        lines: what a screen shows; the same if not given.
    """
    try:
        for line in lines or (stored,):
            tell(line)
        sys.stdout.flush()
    except OSError as wrong:
        say(f"{stored}; only standard output could not be written: {reason(wrong)}.")
        # What is still waiting to be written would fail once more at the end.
        try:
            os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        except (OSError, ValueError):  # A stream of nobody's but this process.
            sys.stdout = io.StringIO()
