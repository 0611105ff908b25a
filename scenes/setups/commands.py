"""Commands that go on with what another command has found, each in one line to copy."""

from __future__ import annotations

import shlex
from collections.abc import Mapping, Sequence

from ...model.golfer.pieces import PIECES
from .presets import Setup, load
from .quantities import PIECES_SECTION, Departure, Value


def sheet_command(
    swing: str,
    settings: Sequence[str],
    pieces: Mapping[str, Value],
    feel: tuple[str, float],
    *,
    felt: float | None = None,
    student: str | None = None,
) -> str:
    """What to type for the sheet of a swing.

    Args:
        swing: a preset or file.
        settings: laid over it, as they were given.
        pieces: what the present swing has of pieces, in their units; the rest are the swing's.
        feel: the piece and how much more of it a film is to show, in its unit.
        felt: how much to feel, in its unit; as for an unknown golfer if not given.
        student: a record whose body is taken.
    """
    piece, change = feel
    words = ["turnstill", "sheet", *_swing(swing, settings, pieces, student), "--feel", f"{piece}={_tenths(change)}"]
    if felt is not None:
        words += ["--felt", _tenths(felt)]
    return shlex.join(words)


def live_command(
    swing: str,
    settings: Sequence[str],
    pieces: Mapping[str, Value],
    *,
    student: str | None = None,
    to_impact: bool = False,
) -> str:
    """What to type for a page in which the swing can be moved, past the ball where asked; else as `sheet_command`."""
    through = ["--through", "impact"] if to_impact else []
    return shlex.join(["turnstill", "live", *_swing(swing, settings, pieces, student), *through])


def strike_command(swing: str, settings: Sequence[str], pieces: Mapping[str, Value]) -> str:
    """What to type for the strike of a swing; arguments as for ``sheet_command``, pieces at impact as they are set."""
    return shlex.join(["turnstill", "strike", *_swing(swing, settings, pieces, None)])


def _swing(swing: str, settings: Sequence[str], pieces: Mapping[str, Value], student: str | None) -> list[str]:
    """A swing as the command line takes it."""
    words = [swing] if student is None else [swing, "--student", student]
    for setting in (*settings, *(f"{name}={_written(value)}" for name, value in pieces.items())):
        words += ["--set", setting]
    return words


def short_of(setup: Setup, piece: str, change: float) -> Value:
    """What a swing that lacks so much of a piece has of it, in the piece's unit.

    Args:
        setup: the swing that lacks nothing of it.
        piece: of ``PIECES``.
        change: what is missing, in its unit.
    """
    key = f"{piece}_{PIECES[piece].unit}"
    value = setup.section(PIECES_SECTION).get(key, load("centred").section(PIECES_SECTION)[key])
    if isinstance(value, Departure):
        return Departure(value.plus_deg - change)
    return float(value) - change


def _written(value: Value) -> str:
    if isinstance(value, Departure):
        return str(Departure(round(value.plus_deg, 1) + 0.0))
    return value if isinstance(value, str) else _tenths(value)


def _tenths(value: float) -> str:
    return f"{round(value, 1) + 0.0:g}"
