"""Marker paths as a TRC file (tab-separated text, millimetres)."""

from __future__ import annotations

from ...model.arrays import Array
from .markers import MarkerPaths


def trc_text(paths: MarkerPaths, seconds: Array) -> str:
    """The file: one row a moment, the axes those of the room (toward the ball, to the golfer's left, up).

    Args:
        paths: ``M`` moments.
        seconds: ``(M,)`` evenly spaced.
    """
    places = paths.places * 1000
    moments, count = places.shape[:2]
    rate = f"{(moments - 1) / float(seconds[-1] - seconds[0]):.6f}"
    rows = [
        "PathFileType\t4\t(X/Y/Z)\tturnstill.trc",
        "DataRate\tCameraRate\tNumFrames\tNumMarkers\tUnits\tOrigDataRate\tOrigDataStartFrame\tOrigNumFrames",
        f"{rate}\t{rate}\t{moments}\t{count}\tmm\t{rate}\t1\t{moments}",
        "Frame#\tTime\t" + "\t\t\t".join(paths.names),
        "\t\t" + "\t".join(f"{axis}{k}" for k in range(1, count + 1) for axis in "XYZ"),
        "",
    ]
    for k, (time, row) in enumerate(zip(seconds, places.reshape(moments, -1), strict=True), start=1):
        rows.append("\t".join([str(k), f"{time:.6f}", *(f"{value:.4f}" for value in row)]))
    return "\n".join(rows) + "\n"
