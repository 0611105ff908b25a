"""The outermost guard: whatever happens, a person reads a sentence, never a traceback.

It imports next to nothing, and nothing before it has taken the signals: a Ctrl-C hits a program that has hardly begun.
"""

from __future__ import annotations

import os
import signal
import sys
from collections.abc import Callable
from types import FrameType

TRACEBACK = "TURNSTILL_TRACEBACK"
"""The environment variable that shows what a fault of the program was."""
STOPS = tuple(getattr(signal, name) for name in ("SIGINT", "SIGTERM", "SIGHUP") if hasattr(signal, name))
"""Signals that end a command in order: Ctrl-C, a termination, and the terminal that is closed."""
ENDED = 128
"""A signal ends with a status this much above its number."""
_SOON = 0.02
"""Seconds until an interruption that came during an import is looked at again."""
_IMPORTING = "<frozen importlib._bootstrap>"


def guarded(work: Callable[[], int]) -> None:
    """Run a whole program and leave with its exit status.

    Args:
        work: imports what it needs itself, so that this is guarded too; returns an exit status.
    """
    stops = Stops()
    sys.unraisablehook = stops.lost
    try:
        try:
            status = run(lambda: _ready_for(work), stops)
        finally:
            stops.over = True
    except BaseException as late:  # Interrupted in the middle of the last words.
        status = late.code if isinstance(late, SystemExit) and isinstance(late.code, int) else 128 + signal.SIGINT
    _empty_streams()
    stops.let_go()
    sys.exit(status)


def run(work: Callable[[], int], stops: Stops | None = None) -> int:
    """Run a program; every error is told in one sentence.

    Args:
        work: returns an exit status.
        stops: tells whether a signal arrived, of which an error is then a consequence.

    Returns:
        The exit status: 2 for a mistake a user can mend, 70 for a fault of the program.
    """
    try:
        status = work()
        if status == 0:  # Otherwise all is said.
            sys.stdout.flush()
        elif stops is not None and status == ENDED + signal.SIGINT == ENDED + (stops.arrived or 0):
            from .terminal import has_spoken

            # The command line's own library takes an interruption for itself where no command has begun.
            if not has_spoken():
                raise KeyboardInterrupt
        return status
    except BaseException as wrong:
        return _told(wrong if stops is None else stops.behind(wrong))


def _told(wrong: BaseException) -> int:
    from . import written
    from .outcome import FAULT, outcome
    from .terminal import say

    if isinstance(wrong, SystemExit):
        status = wrong.code if isinstance(wrong.code, int) else int(wrong.code is not None)
        if status > ENDED and written.any_kept():  # A closed terminal shows it no more, a log does.
            say(f"Ended from outside; {written.told()}.")
        return status
    known = outcome(wrong)
    if known is not None:
        status, sentence = known
        if sentence:
            say(sentence)
        return status
    if os.environ.get(TRACEBACK):
        import traceback

        traceback.print_exception(wrong)
    what = f"{type(wrong).__name__}: {wrong}"
    say(
        f"This is a fault of turnstill, not of what you gave; no file was left half-written. Run it again with "
        f"{TRACEBACK}=1 in the environment for the details, and report them ({what[:80]})."
    )
    return FAULT


class Stops:
    """Takes the signals that end a command, and lets none act in the middle of an import.

    There it could be lost, or come out as another error: some packages take any error during their import for a
    missing package. A second one acts at once.

    Attributes:
        arrived: the signal that came, if one did.
        over: from now on nothing is left that could be told or tidied; a signal ends the process where it stands.
    """

    def __init__(self) -> None:
        self.arrived: int | None = None
        self.over = False
        # What is ignored, as under nohup or in the background of a shell, stays ignored.
        self._taken = [number for number in STOPS if signal.getsignal(number) not in (signal.SIG_IGN, None)]
        self._timed = hasattr(signal, "setitimer")
        if self._timed:
            signal.signal(signal.SIGALRM, self._look_again)
        for number in self._taken:
            signal.signal(number, self._stop)

    def behind(self, wrong: BaseException) -> BaseException:
        """The interruption that an error is a consequence of, or the error."""
        return self._interruption() if self.arrived is not None and isinstance(wrong, Exception) else wrong

    def lost(self, unraisable: sys.UnraisableHookArgs) -> None:
        """An error that Python could raise nowhere: an interruption comes again, others show on request only."""
        if self.arrived is not None and not issubclass(unraisable.exc_type, Exception):
            self._soon()
        elif os.environ.get(TRACEBACK):
            sys.__unraisablehook__(unraisable)

    def let_go(self) -> None:
        """From now on a signal does what it does to any program."""
        if self._timed:
            signal.setitimer(signal.ITIMER_REAL, 0.0)
        for number in self._taken:
            signal.signal(number, signal.SIG_DFL)

    def _stop(self, number: int, frame: FrameType | None) -> None:
        if self.over:
            os._exit(128 + number)
        first, self.arrived = self.arrived is None, number
        if first and self._timed and _is_importing(frame):
            self._soon()
        else:
            raise self._interruption()

    def _soon(self) -> None:
        if self._timed:
            signal.setitimer(signal.ITIMER_REAL, _SOON)

    def _look_again(self, _: int, frame: FrameType | None) -> None:
        if self.arrived is None or self.over:
            return
        if _is_importing(frame):
            self._soon()
        else:
            raise self._interruption()

    def _interruption(self) -> BaseException:
        number = self.arrived or signal.SIGINT
        return KeyboardInterrupt() if number == signal.SIGINT else SystemExit(128 + number)


def _is_importing(frame: FrameType | None) -> bool:
    while frame is not None:
        if frame.f_code.co_filename == _IMPORTING:
            return True
        frame = frame.f_back
    return False


def _ready_for(work: Callable[[], int]) -> int:
    """The work, once all is ready for it; an interruption of either is told."""
    _make_ready()
    return work()


def _make_ready() -> None:
    """Streams that can be written to or say why not, and nothing of other people's libraries on them."""
    import io
    import warnings

    from .terminal import Output

    for number in (0, 1, 2):
        # A file opened later would take a closed stream's place, and get what was meant for the screen.
        try:
            os.fstat(number)
        except OSError:
            os.open(os.devnull, os.O_WRONLY if number != 1 else os.O_RDONLY)
    if sys.stdout is None:
        sys.stdout = Output(open(1, "wb", closefd=False), encoding="utf-8")  # noqa: SIM115
    elif isinstance(sys.stdout, io.TextIOWrapper):
        sys.stdout = Output(
            sys.stdout.buffer, encoding=sys.stdout.encoding, errors="backslashreplace",
            line_buffering=sys.stdout.line_buffering, write_through=sys.stdout.write_through,
        )  # fmt: skip
    if sys.stderr is None:
        sys.stderr = open(2, "w", encoding="utf-8", closefd=False)  # noqa: SIM115
    elif isinstance(sys.stderr, io.TextIOWrapper):
        sys.stderr.reconfigure(errors="backslashreplace")
    if not sys.warnoptions and not os.environ.get(TRACEBACK):
        warnings.showwarning = lambda *_, **__: None
    # Matplotlib draws our charts into files; a notebook's choice of a window is not for us, and may not be installed.
    os.environ.pop("MPLBACKEND", None)


def _empty_streams() -> None:
    """What cannot be written any more is dropped, so that Python does not try once more on its way out."""
    for number, stream in ((1, sys.stdout), (2, sys.stderr)):
        try:
            stream.flush()
        except (OSError, ValueError):
            os.dup2(os.open(os.devnull, os.O_WRONLY), number)
