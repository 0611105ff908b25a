"""The ``map`` command's work: over which amounts of two pieces, and how far the still band reaches there."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ...model.arrays import Array, BoolArray
from ...model.chain.steady import STILL_M
from ...model.errors import TurnstillError
from ...model.golfer.pieces import PIECES
from ...model.questions.steady_map import SteadyMap, steady_map
from ..delivery.deliver import deliver
from ..delivery.outputs import check_outputs
from ..setups.perform import FEWEST_FRAMES, Performed, perform
from ..setups.presets import Setup, load
from ..setups.quantities import echo, nearest, read_number, to_model, without_unit
from ..setups.settings import apply

Ends = tuple[float | str | None, float | str | None]
SMALLEST, LARGEST = 5, 201
_HALF = {
    "hip_turn": 25.0, "shoulder_turn": 30.0, "tilt": 20.0, "extension": 20.0, "lead_flex_change": 20.0,
    "trail_flex_change": 20.0, "sway": 8.0, "hips_toward_ball": 8.0, "lead_heel_rise": 5.0,
    "trail_heel_rise": 5.0,
}  # fmt: skip
"""How far a map reaches to both sides of the swing if nothing is said, in the piece's unit."""
NUMBERS_FILE = "map.json"
"""In a folder of results: the report, and the list of the folder's files."""
FINE = 480
"""The still band is traced on a grid with at least so many steps to each side."""


@dataclass(frozen=True)
class Mapped:
    """A map done.

    Attributes:
        performed: the swing it is about.
        found: its map, no batch axes.
    """

    performed: Performed
    found: SteadyMap


def in_unit(piece: str, values: Array) -> Array:
    """Amounts of a piece, rad or m, in its unit."""
    return np.asarray(values * (100.0 if PIECES[piece].unit == "cm" else np.degrees(1.0)))


def piece_of(name: str, option: str) -> str:
    """The piece of a name.

    Raises:
        TurnstillError: naming the option and the pieces there are.
    """
    cleaned = without_unit(name.strip().lower().replace("-", "_"))
    if cleaned not in PIECES:
        raise TurnstillError(
            f"{option} was {echo(name)}, but must be a piece: {', '.join(PIECES)}.{nearest(cleaned, PIECES)}"
        )
    return cleaned


def map_of(
    setup: Setup,
    x: str = "tilt",
    y: str = "extension",
    size: int = 61,
    x_range: Ends = (None, None),
    y_range: Ends = (None, None),
) -> Mapped:
    """Simulate a setup and map its head over two pieces.

    Args:
        setup: the swing.
        x: name of the piece across.
        y: name of the piece upward.
        size: places to each side.
        x_range: ends in the piece's unit, or texts with their own; what is None reaches a usual way to both sides of
            the swing.
        y_range: the same.

    Raises:
        TurnstillError: what cannot be mapped.
    """
    x, y = piece_of(x, "--x"), piece_of(y, "--y")
    if x == y:
        raise TurnstillError(f"--x and --y were both {x}; name two different pieces.")
    if not SMALLEST <= size <= LARGEST:
        shown = size if abs(size) < 10**12 else "a very large number"
        raise TurnstillError(f"--size was {shown}, but must be a whole number from {SMALLEST} to {LARGEST}.")
    performed = perform(setup, FEWEST_FRAMES)
    values = [
        _values(performed, piece, size, ends, option)
        for piece, ends, option in ((x, x_range, "--x"), (y, y_range, "--y"))
    ]
    return Mapped(performed, steady_map(performed.swing, x, y, *values))


def _values(performed: Performed, piece: str, size: int, ends: Ends, option: str) -> Array:
    quantity, swing = PIECES[piece], performed.swing
    scale = to_model(quantity.unit, 1.0)
    here = float(swing.asked[piece][-1]) / scale
    held = float(swing.steady[piece][-1]) / scale if piece in swing.steady else here
    # Far enough for the steady answer to be seen with a margin.
    half = max(_HALF[piece], abs(held - here) + 0.5 * _HALF[piece])
    usual = (max(here - half, quantity.low), min(here + half, quantity.high))
    names = (f"{option}-from", f"{option}-to")
    low, high = (
        own if end is None else read_number(name, end, quantity.unit)[0]
        for name, end, own in zip(names, ends, usual, strict=True)
    )
    for name, value in zip(names, (low, high), strict=True):
        if not quantity.low <= value <= quantity.high:
            raise TurnstillError(
                f"{name} was {value:g}, but {piece} must be between {quantity.low:g} and {quantity.high:g} "
                f"{quantity.unit}."
            )
    if not low < high:
        raise TurnstillError(f"{option}-from was {low:g} and {option}-to {high:g}; the first must be the smaller.")
    return np.linspace(low, high, size) * scale


def traced(x: Array, y: Array, target: Array, up: Array, reached: BoolArray) -> tuple[Array, Array, Array]:
    """How far the head is off on a finer grid, so that the still band can be drawn and read.

    Between the map's places the head is taken as linear in each piece, and what the joints allow as at the nearest.

    Args:
        x: ``(X,)`` in any unit.
        y: ``(Y,)`` in any unit.
        target: ``(Y, X)`` the head toward the target, from where it is wanted.
        up: ``(Y, X)`` the head upward from there, in the unit of ``target``.
        reached: ``(Y, X)`` whether the joints allow it.

    Returns:
        x and y values ``(X',)`` and ``(Y',)``, then how far the head is from its place face-on, ``(Y', X')``; NaN where
        the joints do not allow it.
    """
    fine_x, across, columns = _finer(x)
    fine_y, upward, rows = _finer(y)
    sideways, height = (upward @ values @ across.T for values in (target, up))
    return fine_x, fine_y, np.where(reached[np.ix_(rows, columns)], np.hypot(sideways, height), np.nan)


def _finer(values: Array) -> tuple[Array, Array, NDArray[np.intp]]:
    """Values between others, the weights ``(fine, values)`` of linear interpolation, and the nearest of the others."""
    count = values.size
    fine = np.linspace(values[0], values[-1], (count - 1) * -(-FINE // (count - 1)) + 1)
    weights = np.stack([np.interp(fine, values, one) for one in np.eye(count)], axis=1)
    return fine, weights, weights.argmax(axis=1)


def band(mapped: Mapped) -> tuple[tuple[float, float], tuple[float, float]] | None:
    """How far the still band reaches in x and in y on the map, in the pieces' units; None where there is none."""
    found = mapped.found
    x, y, off = traced(found.x_values, found.y_values, *found.away, found.reached)
    still = off <= STILL_M
    if not still.any():
        return None
    across, upward = in_unit(found.x, x)[still.any(axis=0)], in_unit(found.y, y)[still.any(axis=1)]
    return (across[0], across[-1]), (upward[0], upward[-1])


def stillest(mapped: Mapped) -> tuple[float, float, float] | None:
    """The amounts of x and y, in the pieces' units, of the place reached whose head is nearest to its own, and how far
    off it is there, cm, face-on; None where no place is reached.
    """
    found = mapped.found
    if not found.reached.any():
        return None
    off = np.where(found.reached, found.off, np.inf)
    row, column = np.unravel_index(int(np.argmin(off)), off.shape)
    x, y = in_unit(found.x, found.x_values), in_unit(found.y, found.y_values)
    return x[column], y[row], off[row, column] * 100.0


def map_to(
    preset_or_file: str,
    settings: list[str],
    *,
    x: str,
    y: str,
    size: int,
    x_range: Ends,
    y_range: Ends,
    json_file: str | None,
    out: str | None,
    inches: bool,
) -> None:
    """Print a map, and write it as JSON and as a page where asked.

    Args:
        preset_or_file: the swing.
        settings: laid over it.
        x: name of the piece across.
        y: name of the piece upward.
        size: places to each side.
        x_range: ends across, as `map_of` takes them.
        y_range: ends upward, likewise.
        json_file: where the report goes; ``-`` is standard output.
        out: the folder of the page.
        inches: lengths that are shown in inches.

    Raises:
        TurnstillError: for anything a user can mend; no file is then written.
    """
    from .page import map_page
    from .report import MapReport
    from .table import map_table

    setup = apply(load(preset_or_file), settings)
    check_outputs({"--json": json_file}, out, NUMBERS_FILE)
    mapped = map_of(setup, x, y, size, x_range, y_range)
    report = MapReport.of(mapped)
    shown = MapReport.of(mapped, inches=True) if inches else report
    deliver(
        report, lambda: map_page(shown, inches), lambda: map_table(shown, inches), numbers_file=NUMBERS_FILE,
        json_file=json_file, out=out,
    )  # fmt: skip
