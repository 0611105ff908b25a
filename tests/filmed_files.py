"""Small films as files, as phones save them: turned by a flag, unevenly timed, cut short."""

from __future__ import annotations

import struct
from collections.abc import Iterable, Sequence
from fractions import Fraction
from pathlib import Path

import av
import numpy as np

TICKS = 90_000
"""Of a film's clock a second."""
QUARTERS = {0: (1, 0, 0, 1), 90: (0, 1, -1, 0), 180: (-1, 0, 0, -1), 270: (0, -1, 1, 0)}
"""Degrees clockwise to the matrix of ISO/IEC 14496-12 that has a picture shown so turned."""
MIRRORED = (-1, 0, 0, 1)


def write(
    file: Path,
    pictures: Iterable[np.ndarray],
    seconds: Sequence[float],
    shown: tuple[int, int, int, int] = QUARTERS[0],
    metadata: dict[str, str] | None = None,
    index_first: bool = True,
    loss: int = 14,
) -> Path:
    """A film of pictures ``(h, w, 3)`` taken at ``seconds``, its index before or after them; ``loss`` is 0 to 51."""
    flags = "use_metadata_tags" + ("+faststart" if index_first else "")
    with av.open(str(file), "w", format="mp4", options={"movflags": flags}) as container:
        container.metadata.update(metadata or {})
        stream = container.add_stream("libx264", rate=Fraction(TICKS))
        stream.pix_fmt, stream.options = "yuv420p", {"preset": "veryfast", "crf": str(loss), "g": "10"}
        stream.codec_context.time_base = Fraction(1, TICKS)
        for number, (picture, second) in enumerate(zip(pictures, seconds, strict=True)):
            if number == 0:
                stream.height, stream.width = picture.shape[:2]
            frame = av.VideoFrame.from_ndarray(np.ascontiguousarray(picture), format="rgb24")
            frame.pts, frame.time_base = round(second * TICKS), Fraction(1, TICKS)
            frame.duration = round(
                TICKS / 30
            )  # Else the last frame has none, and is cut off where frames are reordered.
            container.mux(stream.encode(frame))
        container.mux(stream.encode(None))
    return turned(file, shown)


def turned(file: Path, shown: tuple[int, int, int, int]) -> Path:
    """The matrix in a film's header, as a phone held another way writes it."""
    data = bytearray(file.read_bytes())
    header = data.index(b"tkhd") + 4
    matrix = header + 4 + (32 if data[header] else 20) + 16
    a, b, c, d = (65536 * one for one in shown)
    data[matrix : matrix + 36] = struct.pack(">9i", a, b, 0, c, d, 0, 0, 0, 1 << 30)
    file.write_bytes(data)
    return file


def numbered(count: int, width: int = 128, height: int = 96) -> list[np.ndarray]:
    """Pictures that tell their number by their right edge, and which way up they are by a red corner."""
    pictures = []
    for k in range(count):
        picture = np.full((height, width, 3), 60, np.uint8)
        picture[: height // 4, : width // 4] = (240, 20, 20)
        picture[:, -16:] = 100 + 3 * k
        pictures.append(picture)
    return pictures
