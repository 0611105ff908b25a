"""Boxes of a picture's rows and columns: round each other, in each other, and what two have in common."""

from __future__ import annotations

from collections.abc import Sequence

Area = tuple[slice, slice]
"""Rows and columns of a picture, each with its start and stop."""


def around(areas: Sequence[Area]) -> Area:
    """The smallest box around boxes."""
    rows, columns = ([area[axis] for area in areas] for axis in (0, 1))
    return (
        slice(min(one.start for one in rows), max(one.stop for one in rows)),
        slice(min(one.start for one in columns), max(one.stop for one in columns)),
    )


def inside(area: Area, outer: Area) -> Area:
    """A box counted from another one's corner."""
    (rows, columns), top, left = area, outer[0].start, outer[1].start
    return slice(rows.start - top, rows.stop - top), slice(columns.start - left, columns.stop - left)


def common(first: Area, second: Area) -> Area:
    """What lies in both, empty where nothing does."""
    rows, columns = (
        slice(low := max(one.start, two.start), max(low, min(one.stop, two.stop)))
        for one, two in zip(first, second, strict=True)
    )
    return rows, columns
