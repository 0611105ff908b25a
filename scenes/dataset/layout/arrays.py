"""Arrays about a golfer, who takes a part of the picture's columns, as gzipped ``.npy`` files: a fiftieth of the bytes.

Columns come one after the other (numpy's Fortran order), so that what lies left and right of the golfer is two long
runs of noughts. How those are packed is known, and only what is between them is worked on: the whole picture would
take some four times as long.
"""

from __future__ import annotations

import io
import zlib
from collections.abc import Iterator
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

MOST_BYTES = 1 << 28
"""No array that is read back has more: so many bytes of noughts would be small in an archive."""
_HEAD = bytes([0x1F, 0x8B, 8, 0, 0, 0, 0, 0, 4, 255])
"""Of a gzip file (RFC 1952): deflated, without name and time, by the fastest way, on no system in particular."""
_END = bytes([3, 0])
"""An empty last block, in codes that deflate knows without a table (RFC 1951)."""
_GZIP = zlib.MAX_WBITS + 16
_MEMORY = 9
"""Of levels of memory the highest: the fewest blocks."""
_FLIPPED = 0xFFFFFFFF
"""A check sum is its register with every bit turned round."""


def packed(array: NDArray[np.uint8] | NDArray[np.uint16], columns: slice | None = None) -> bytes:
    """An array as the bytes of a gzipped ``.npy`` file, the same for the same array and columns.

    Args:
        array: ``(h, w)``.
        columns: beyond which all is 0.
    """
    height, width = array.shape
    left, right = (columns.start, columns.stop) if columns else (0, width)
    head = _npy_head(array.shape, array.dtype.newbyteorder("<").str)
    between = _columns(array[:, left:right])
    before, after = (count * height * array.itemsize for count in (left, width - right))
    # Runs are all that is looked for: in ids and depths it is as small as a search for repeats, in less time.
    deflate = _deflate()
    parts = [_HEAD, deflate.compress(head), deflate.flush(zlib.Z_FULL_FLUSH), *_noughts(before)]
    parts += [deflate.compress(between), deflate.flush(zlib.Z_FULL_FLUSH), *_noughts(after), _END]
    check = _checked_noughts(before, zlib.crc32(head))
    check = _checked_noughts(after, zlib.crc32(between, check))
    size = len(head) + array.nbytes
    return b"".join([*parts, check.to_bytes(4, "little"), (size & 0xFFFFFFFF).to_bytes(4, "little")])


def unpacked(data: bytes) -> NDArray[np.generic]:
    """The array of the bytes of a gzipped ``.npy`` file, rows first in memory.

    Raises:
        ValueError: where there is none in them, or one larger than any picture's.
    """
    inflate = zlib.decompressobj(_GZIP)
    try:
        plain = inflate.decompress(data, MOST_BYTES)
    except zlib.error as wrong:
        raise ValueError(str(wrong)) from wrong
    if not inflate.eof:
        raise ValueError("cut short, or too large")
    return np.ascontiguousarray(np.load(io.BytesIO(plain), allow_pickle=False))


def _columns(array: NDArray[np.uint8] | NDArray[np.uint16]) -> memoryview | bytes:
    """Its columns one after the other."""
    import cv2

    if not array.size:
        return b""
    return np.asarray(cv2.transpose(array)).astype(array.dtype.newbyteorder("<"), copy=False).data.cast("B")


def _deflate() -> zlib._Compress:
    return zlib.compressobj(1, zlib.DEFLATED, -zlib.MAX_WBITS, _MEMORY, zlib.Z_RLE)


@lru_cache(maxsize=16)
def _npy_head(shape: tuple[int, ...], kind: str) -> bytes:
    out = io.BytesIO()
    np.lib.format.write_array_header_1_0(out, {"descr": kind, "fortran_order": True, "shape": shape})
    return out.getvalue()


def _noughts(count: int) -> Iterator[bytes]:
    """So many bytes that are 0, deflated piece by piece; whatever may follow."""
    return (_power_of_noughts(power) for power in range(count.bit_length()) if count >> power & 1)


@lru_cache(maxsize=64)
def _power_of_noughts(power: int) -> bytes:
    deflate = _deflate()
    return deflate.compress(bytes(1 << power)) + deflate.flush(zlib.Z_FULL_FLUSH)


def _checked_noughts(count: int, check: int) -> int:
    """The check sum ``check`` of some bytes, with so many that are 0 after them: without looking at each."""
    register = check ^ _FLIPPED
    for power in range(count.bit_length()):
        if count >> power & 1:
            register = _sum_of_chosen(_after_noughts(power), register)
    return register ^ _FLIPPED


@lru_cache(maxsize=64)
def _after_noughts(power: int) -> tuple[int, ...]:
    """What each of the register's 32 bits alone becomes by two to a power noughts, which act on it linearly."""
    if power == 0:
        return tuple(zlib.crc32(b"\0", 1 << bit ^ _FLIPPED) ^ _FLIPPED for bit in range(32))
    half = _after_noughts(power - 1)
    return tuple(_sum_of_chosen(half, one) for one in half)


def _sum_of_chosen(columns: tuple[int, ...], chosen: int) -> int:
    """Modulo 2, of those columns whose bits are set."""
    total = 0
    for column in columns:
        total ^= column * (chosen & 1)
        chosen >>= 1
    return total
