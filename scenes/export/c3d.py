"""Marker paths as a C3D file (binary, millimetres), as the format's user guide at c3d.org describes it.

Blocks of 512 bytes: a header, named parameters in groups, then four numbers for each marker of each moment;
little-endian, which the guide calls Intel. docs/export.md says why no library writes it.
"""

from __future__ import annotations

import struct
from collections.abc import Sequence

import numpy as np

from ...model.arrays import Array
from .markers import MarkerPaths

BLOCK, FIRST_PARAMETER_BLOCK = 512, 2
POINTS_FILE, INTEL, FOUR_LETTER_EVENTS = 0x50, 84, 12345
CHARACTERS, INTEGER, REAL = -1, 2, 4
"""Kinds of parameter, by the bytes of an element."""
WHOLE_NUMBERS = 32000.0
"""Coordinates over the scale stay below this if a program turns the file into one of whole numbers."""


def c3d_bytes(paths: MarkerPaths, seconds: Array) -> bytes:
    """The file, its axes those of the room (toward the ball, to the golfer's left, up).

    Args:
        paths: ``M`` moments, at most 65,535.
        seconds: ``(M,)`` evenly spaced.
    """
    places = (paths.places * 1000).astype("<f4")
    moments, count = places.shape[:2]
    rate = (moments - 1) / float(seconds[-1] - seconds[0])
    # A scale below nought says that coordinates are real numbers of the unit, to be multiplied by nothing.
    scale = -max(float(np.abs(places).max()) / WHOLE_NUMBERS, 1e-3)
    # The place of the data stands among the parameters, whose length does not depend on it.
    blocks = len(_parameters(paths, moments, rate, scale, 0)) // BLOCK
    data_start = FIRST_PARAMETER_BLOCK + blocks
    header = struct.pack(
        "<BB5HfHHf", FIRST_PARAMETER_BLOCK, POINTS_FILE, count, 0, 1, moments, 0, scale, data_start, 1, rate
    )
    header = header.ljust(2 * 149, b"\0") + struct.pack("<H", FOUR_LETTER_EVENTS)
    # The fourth number holds which cameras saw the marker and how far off its place may be: nought, for a computed one.
    data = np.concatenate([places, np.zeros((moments, count, 1), "<f4")], axis=-1).tobytes()
    return _whole_blocks(header) + _parameters(paths, moments, rate, scale, data_start) + _whole_blocks(data)


def _parameters(paths: MarkerPaths, moments: int, rate: float, scale: float, data_start: int) -> bytes:
    """The section of parameters, in whole blocks."""
    point, analog = 1, 2
    records = [
        _group(point, "POINT", "X toward the ball, Y to the golfer's left, Z up"),
        _integer(point, "USED", len(paths.names), "markers"),
        _real(point, "SCALE", scale, "below nought: coordinates are real numbers"),
        _real(point, "RATE", rate, "moments a second"),
        _integer(point, "DATA_START", data_start, "first block of the data"),
        _integer(point, "FRAMES", moments, "moments"),
        _texts(point, "UNITS", ["mm"], "of the coordinates"),
        _texts(point, "LABELS", paths.names, "of the markers"),
        _texts(point, "DESCRIPTIONS", paths.descriptions, "of the markers"),
        _texts(point, "X_SCREEN", ["+Y"], "to the right, face-on"),
        _texts(point, "Y_SCREEN", ["+Z"], "up"),
        # Programs that read force plates too ask for this group even where there are none.
        _group(analog, "ANALOG", "nothing"),
        _integer(analog, "USED", 0, "channels"),
        _real(analog, "GEN_SCALE", 1.0, "of all channels"),
        _real(analog, "RATE", rate, "samples a second"),
    ]
    section = b"".join(records)
    # Four bytes before the first record, and at least two noughts behind the last: a name of no length ends the list.
    blocks = -(-(4 + len(section) + 2) // BLOCK)
    return (struct.pack("<4B", 1, POINTS_FILE, blocks, INTEL) + section).ljust(blocks * BLOCK, b"\0")


def _record(name: str, number: int, content: bytes) -> bytes:
    """A name, the group's number, how far it is from here to the next record, and what it holds."""
    head = struct.pack("<bb", len(name), number) + name.encode("ascii")
    return head + struct.pack("<h", 2 + len(content)) + content


def _described(text: str) -> bytes:
    return struct.pack("<B", len(text)) + text.encode("ascii")


def _group(number: int, name: str, description: str) -> bytes:
    return _record(name, -number, _described(description))


def _parameter(group: int, name: str, kind: int, sizes: Sequence[int], values: bytes, description: str) -> bytes:
    shape = struct.pack(f"<bB{len(sizes)}B", kind, len(sizes), *sizes)
    return _record(name, group, shape + values + _described(description))


def _integer(group: int, name: str, value: int, description: str) -> bytes:
    return _parameter(group, name, INTEGER, [], struct.pack("<H", value), description)


def _real(group: int, name: str, value: float, description: str) -> bytes:
    return _parameter(group, name, REAL, [], struct.pack("<f", value), description)


def _texts(group: int, name: str, texts: Sequence[str], description: str) -> bytes:
    """Texts of one length, filled up with blanks; the size that changes fastest comes first, as in Fortran."""
    width = max(map(len, texts))
    filled = "".join(text.ljust(width) for text in texts).encode("ascii")
    sizes = [width] if len(texts) == 1 else [width, len(texts)]
    return _parameter(group, name, CHARACTERS, sizes, filled, description)


def _whole_blocks(content: bytes) -> bytes:
    return content.ljust(-(-len(content) // BLOCK) * BLOCK, b"\0")
