"""Whole numbers in one block of bytes that compresses well: a JSON header, then each array byte plane by plane."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

import numpy as np
from numpy.typing import NDArray

Integers = NDArray[np.integer[Any]]
_SIZES = (1, 2, 4)


def pack(header: Mapping[str, Any], arrays: Mapping[str, Integers]) -> bytes:
    """One block, the same bytes for the same content.

    Four bytes (little-endian) say how long the header is, a JSON object. Its ``arrays`` lists what follows, in order:
    name, shape and bytes a number. An array's low bytes come first, all of them, then the next higher ones, since
    neighbours are alike byte by byte; numbers are signed, in two's complement.

    Args:
        header: more to go into the header.
        arrays: whole numbers by name, each array in as few bytes a number as hold it.
    """
    listed, blocks = [], []
    for name, array in arrays.items():
        size = _bytes_for(array)
        listed.append([name, list(array.shape), size])
        low_first = np.ascontiguousarray(array, f"<i{size}").reshape(-1, 1).view(np.uint8)
        blocks.append(low_first.T.tobytes())
    text = json.dumps({**header, "arrays": listed}, separators=(",", ":"), allow_nan=False).encode()
    return b"".join([len(text).to_bytes(4, "little"), text, *blocks])


def unpack(block: bytes) -> tuple[dict[str, Any], dict[str, NDArray[np.int64]]]:
    """Header and arrays of a block that ``pack`` made."""
    start = 4 + int.from_bytes(block[:4], "little")
    header: dict[str, Any] = json.loads(block[4:start])
    arrays = {}
    for name, shape, size in header["arrays"]:
        count = int(np.prod(shape))
        planes = np.frombuffer(block, np.uint8, count * size, start).reshape(size, count)
        arrays[name] = np.ascontiguousarray(planes.T).view(f"<i{size}").reshape(shape).astype(np.int64)
        start += count * size
    return header, arrays


def _bytes_for(array: Integers) -> int:
    least, most = (int(array.min()), int(array.max())) if array.size else (0, 0)
    for size in _SIZES:
        if -(1 << (8 * size - 1)) <= least and most < 1 << (8 * size - 1):
            return size
    raise OverflowError(f"numbers from {least} to {most} do not fit into four bytes")
