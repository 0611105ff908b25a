"""Interruptions that wait for a safe place.

An exception that a signal raises in the middle of drawing or of an import can be lost: VTK calls back into Python and
drops what is raised there, and some packages take any error during their import for a missing package.
"""

from __future__ import annotations

import signal
import threading
from types import FrameType
from typing import Any

from .guard import STOPS


class Interruptions:
    """Holds back the first signal that ends a command until ``let_in`` is called; a second one acts at once.

    Use it as a context manager. Outside the main thread, where no signal arrives, it does nothing.
    """

    def __init__(self) -> None:
        self._before: dict[int, Any] = {}
        self._waiting: int | None = None

    def __enter__(self) -> Interruptions:
        if threading.current_thread() is threading.main_thread():
            for number in STOPS:
                # What ignores the signal, or is not Python's, stays as it is.
                if callable(signal.getsignal(number)):
                    self._before[number] = signal.signal(number, self._arrived)
        return self

    def __exit__(self, kind: type[BaseException] | None, *error: object) -> None:
        self._restore()
        # A child process that got the Ctrl-C too may have failed first: the interruption is what happened.
        if kind is None or issubclass(kind, Exception):
            self.let_in()

    def let_in(self) -> None:
        """Act on what has arrived.

        Raises:
            KeyboardInterrupt: after a Ctrl-C.
            SystemExit: after another of them, where the program asks for that.
        """
        if self._waiting is not None:
            number, self._waiting = self._waiting, None
            self._act(number, None)

    def _arrived(self, number: int, frame: FrameType | None) -> None:
        if self._waiting is None:
            self._waiting = number
        else:
            self._act(number, frame)

    def _act(self, number: int, frame: FrameType | None) -> None:
        before = self._before[number]
        self._restore()
        before(number, frame)

    def _restore(self) -> None:
        for number, before in self._before.items():
            signal.signal(number, before)
