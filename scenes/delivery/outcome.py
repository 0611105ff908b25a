"""What becomes of an error: a sentence and an exit status."""

from __future__ import annotations

import errno

from . import written
from .terminal import OutputFailed

USER_ERROR, CLOSED_PIPE, FAULT, INTERRUPTED = 2, 1, 70, 130


def outcome(wrong: BaseException) -> tuple[int, str] | None:
    """Exit status and sentence of whatever is no fault of the program; an empty sentence needs no saying.

    Returns:
        None for what nobody foresaw, and for what only ends the program.
    """
    if isinstance(wrong, KeyboardInterrupt):
        after = f"; {written.told()}" if written.any_kept() else ""
        return INTERRUPTED, f"Interrupted; nothing was left half-written{after}."
    if isinstance(wrong, BrokenPipeError):
        # Who reads the first lines only wants no word about it, unless there is more to it than the lines.
        gone = "Nobody reads standard output any more"
        return CLOSED_PIPE, f"{gone}; {written.told()}." if written.any_kept() else ""
    if isinstance(wrong, OutputFailed):
        return USER_ERROR, f"Standard output cannot be written ({reason(wrong)}); {written.told()}."
    if isinstance(wrong, MemoryError):
        return USER_ERROR, "There is not enough memory for this; ask for fewer --frames."
    if isinstance(wrong, RecursionError):
        return USER_ERROR, "The input is nested too deeply."
    if isinstance(wrong, OSError):
        where = f" ({wrong.filename})" if wrong.filename else ""
        after = f"; {written.told()}" if written.any_kept() else ""
        return USER_ERROR, f"The system refused: {reason(wrong)}{where}{after}."
    return _mistake(wrong) if isinstance(wrong, ValueError) else None


def _mistake(wrong: ValueError) -> tuple[int, str] | None:
    # The model's package is not imported before it is needed, and its error class lives in it.
    from ...model.errors import TurnstillError

    return (USER_ERROR, str(wrong)) if isinstance(wrong, TurnstillError) else None


def reason(wrong: OSError) -> str:
    """Why the system refused, in its own words but for a stream that is closed."""
    if isinstance(wrong, OutputFailed) and wrong.errno == errno.EBADF:
        return "it is closed"
    return (wrong.strerror or str(wrong) or type(wrong).__name__).lower()
