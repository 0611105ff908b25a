"""Arrays about a golfer, who takes a part of the picture's columns, as gzipped ``.npy`` files: a fiftieth of the bytes.

Columns come one after the other (numpy's Fortran order), so that what lies left and right of the golfer is two long
runs of noughts. A gzip file is any number of members, one after the other (RFC 1952): members of noughts are made
once, and only what is between them is packed for each picture. The whole picture would take some four times as long.
"""

from __future__ import annotations

import gzip
import io
import zlib
from collections.abc import Iterator
from functools import lru_cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ....render.stage.areas import Area

MOST_BYTES = 1 << 28
"""No array that is read back has more: so many bytes of noughts would be small in an archive."""
_GZIP = zlib.MAX_WBITS + 16


def packed(
    array: NDArray[np.uint8] | NDArray[np.uint16], area: Area | None = None, size: tuple[int, int] | None = None
) -> bytes:
    """An array as the bytes of a gzipped ``.npy`` file, the same for the same array and columns.

    Args:
        array: ``(h, w)`` of a picture, or of an area of it beyond which all is 0.
        area: that area.
        size: rows and columns of the picture that it is in.
    """
    height, width = size or array.shape
    rows, columns = area or (slice(0, height), slice(0, width))
    kind = array.dtype.newbyteorder("<")
    before, after = (count * height * kind.itemsize for count in (columns.start, width - columns.stop))
    part = _columns(array.astype(kind, copy=False), rows.start, height)
    return b"".join([_head(height, width, kind.str), *_noughts(before), _member(part), *_noughts(after)])


def unpacked(data: bytes) -> NDArray[np.generic]:
    """The array of the bytes of a gzipped ``.npy`` file, rows first in memory.

    Raises:
        ValueError: where there is none in them, or one larger than any picture's.
    """
    try:
        plain = gzip.GzipFile(fileobj=io.BytesIO(data)).read(MOST_BYTES + 1)
        if len(plain) > MOST_BYTES:
            raise ValueError("too large")
        return np.ascontiguousarray(np.load(io.BytesIO(plain), allow_pickle=False))
    except (OSError, EOFError, zlib.error) as wrong:
        raise ValueError(str(wrong)) from wrong


def _columns(array: NDArray[Any], top: int, height: int) -> memoryview | bytes:
    """Its columns one after the other, each with what is above and below it in a picture."""
    import cv2

    if not array.size:
        return b""
    down = np.zeros((array.shape[1], height), array.dtype)
    down[:, top : top + len(array)] = cv2.transpose(array)
    return down.data.cast("B")


@lru_cache(maxsize=16)
def _head(height: int, width: int, kind: str) -> bytes:
    """What stands before the array in its file, packed."""
    out = io.BytesIO()
    about = {"descr": kind, "fortran_order": True, "shape": (height, width)}
    np.lib.format.write_array_header_1_0(out, about)
    return _member(out.getvalue())


def _member(data: bytes | memoryview) -> bytes:
    # Runs are all that is looked for: in ids and depths it is as small as a search for repeats, in less time.
    deflate = zlib.compressobj(1, zlib.DEFLATED, _GZIP, zlib.DEF_MEM_LEVEL, zlib.Z_RLE)
    return deflate.compress(data) + deflate.flush()


def _noughts(count: int) -> Iterator[bytes]:
    """So many bytes that are 0, as members of powers of two."""
    return (_power_of_noughts(power) for power in range(count.bit_length()) if count >> power & 1)


@lru_cache(maxsize=64)
def _power_of_noughts(power: int) -> bytes:
    return _member(bytes(1 << power))
