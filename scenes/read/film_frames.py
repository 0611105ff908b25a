"""Films as phones make them, frame by frame: upright, at their own times, and no larger than asked.

A film is never held whole: a frame is decoded, made smaller, turned upright and handed on. Its times are those that
stand in the file, so that a rate that varies is no trouble. Only the file that was named is opened: formats that lead
to other files or to the network are left out.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ...model.arrays import Array
from ...model.errors import OutOfRange, TurnstillError
from ...model.films.tracks import FASTEST_FPS, FEWEST_FRAMES, MOST_FRAMES, SLOWEST_FPS
from ..delivery.reading import check_plain
from ..delivery.refusals import reason
from ..delivery.this_command import note_read

Picture = NDArray[np.uint8]

SUFFIXES = (".mp4", ".mov", ".m4v", ".3gp", ".mkv", ".webm", ".avi")
LONGEST = 1280
"""Pixels of a frame's longer side, at most, unless asked otherwise: detectors look at less."""
_FORMATS = {"format_whitelist": "mov,mp4,m4a,3gp,3g2,mj2,matroska,webm,avi", "protocol_whitelist": "file"}
_INSTEAD = "name a film as the camera made it, MP4 or MOV"
_CAPTURED = "com.android.capture.fps"
"""Where phones of one system say how fast they filmed what is to be played slowly (from memory)."""
SLOWED = 1.5
"""A film that took so many times as long to play as to make was slowed down on purpose."""
UPRIGHT = (1, 0, 0, 1)


@dataclass(frozen=True)
class Film:
    """A film that was opened and found whole.

    Attributes:
        name: as it was given.
        path: the file.
        seconds: ``(F,)`` when each frame was taken, from the first; the golfer's time.
        width, height: pixels, upright.
        turned: ``(a, b, c, d)`` each -1, 0 or 1: a stored pixel (p, q) is shown at (a p + c q, b p + d q).
        stretched: how many times as broad as high a stored pixel is.
    """

    name: str
    path: Path
    seconds: Array
    width: int
    height: int
    turned: tuple[int, int, int, int]
    stretched: float

    @property
    def frames(self) -> int:
        """How many there are."""
        return len(self.seconds)

    @property
    def fps(self) -> float:
        """Frames a second, the mean."""
        return float((self.frames - 1) / self.seconds[-1])

    def at_rate(self, fps: float) -> Film:
        """The same film, its frames taken at so many a second, whatever times stand in its file.

        Raises:
            OutOfRange: no film of a swing is taken at that.
        """
        if not SLOWEST_FPS <= fps <= FASTEST_FPS:  # Not a number fails this as well.
            raise OutOfRange("--fps", fps, SLOWEST_FPS, FASTEST_FPS)
        return replace(self, seconds=np.arange(self.frames) / fps)

    def pictures(self, longest: int = LONGEST, which: range | None = None) -> Iterator[Picture]:
        """Frames in turn, each ``(h, w, 3)`` red, green, blue.

        Args:
            longest: pixels that the longer side has at most.
            which: numbers of the frames, from 0, rising; all of them if not given.

        Raises:
            TurnstillError: a frame that cannot be decoded.
        """
        which = range(self.frames) if which is None else which
        any_came = False
        with _opened(self.name, self.path) as container:
            for number, frame in _decoded(container, _stream(self.name, container), which.start):
                if number in which:
                    any_came = True
                    yield self._picture(frame, longest)
                if number >= which[-1]:
                    break
        if not any_came:
            raise _broken(self.name)

    def frame_at(self, index: int, longest: int = LONGEST) -> Picture:
        """One frame by its number from 0, ``(h, w, 3)``; the nearest where there is none such."""
        index = min(max(index, 0), self.frames - 1)
        with _opened(self.name, self.path) as container:
            last = None
            for number, frame in _decoded(container, _stream(self.name, container), index):
                last = frame
                if number >= index:
                    break
            if last is None:
                raise _broken(self.name)
            return self._picture(last, longest)

    def index_at(self, seconds: float) -> int:
        """Number of the frame that is nearest to a time."""
        return int(np.abs(self.seconds - seconds).argmin())

    def _picture(self, frame: Any, longest: int) -> Picture:
        scale = min(1.0, longest / max(self.width, self.height))
        size = [max(1, round(scale * side)) for side in (self.width, self.height)]
        across, down = size if self.turned[0] else size[::-1]
        small = frame.reformat(width=across, height=down, format="rgb24", interpolation="AREA").to_ndarray()
        return upright(small, self.turned)


def upright(picture: Picture, turned: tuple[int, int, int, int]) -> Picture:
    """A stored picture ``(h, w, 3)`` as it is to be shown; ``turned`` as of `Film`."""
    a, b, c, d = turned
    if a == 0:
        picture, a, d = picture.swapaxes(0, 1), c, b
    return np.ascontiguousarray(picture[:: -1 if d < 0 else 1, :: -1 if a < 0 else 1])


def open_film(name: str) -> Film:
    """Open a film and look through it, without decoding it.

    Args:
        name: of the file.

    Raises:
        TurnstillError: in one sentence, for what is no film, is cut short or is too short or too long.
    """
    path = Path(name)
    try:
        check_plain(path, name, instead=_INSTEAD)
    except FileNotFoundError:
        raise TurnstillError(f"There is no file {name}; {_INSTEAD}.") from None
    note_read(path)
    with _opened(name, path) as container:
        stream = _stream(name, container)
        times = _times(container, stream)
        if not times.size:
            raise _broken(name)
        if stream.frames > times.size + 1:
            raise TurnstillError(
                f"{name} is cut short: {times.size} of its {stream.frames} frames are there; copy it from the camera "
                "again."
            )
        if not FEWEST_FRAMES <= times.size <= MOST_FRAMES:
            raise TurnstillError(
                f"{name} has {times.size} frames, but must have {FEWEST_FRAMES} to {MOST_FRAMES:,}; film from before "
                "the takeaway to after the ball is hit."
            )
        seconds = (times - times[0]) * float(stream.time_base)
        captured = _number(container.metadata.get(_CAPTURED))
        if captured * seconds[-1] > SLOWED * (times.size - 1):
            # To be played slowly: the golfer's time is the camera's.
            seconds = seconds * ((times.size - 1) / seconds[-1] / captured)
        container.seek(int(times[0]), stream=stream, backward=True)
        first = next(iter(container.decode(stream)), None)
        if first is None or not seconds[-1] > 0.0:
            raise _broken(name)
        turned, aspect = _turned(first), stream.sample_aspect_ratio
        stretched = float(aspect) if aspect else 1.0
        shown = round(first.width * stretched), first.height
    width, height = shown if turned[0] else shown[::-1]
    return Film(name, path, seconds, width, height, turned, stretched)


@contextmanager
def _opened(name: str, path: Path) -> Iterator[Any]:
    """A container that is open; whatever its library finds wrong is told in one sentence."""
    import av

    try:
        with av.open(str(path.resolve()), options=dict(_FORMATS), metadata_errors="replace") as container:
            yield container
    except av.error.FFmpegError as wrong:
        if isinstance(wrong, PermissionError):
            raise TurnstillError(f"{name} cannot be read: {reason(wrong)}.") from wrong
        raise _broken(name) from wrong


def _broken(name: str) -> TurnstillError:
    return TurnstillError(f"{name} is no film, or one that is cut short or damaged; {_INSTEAD}, and copy it again.")


def _stream(name: str, container: Any) -> Any:
    if not container.streams.video:
        raise TurnstillError(f"{name} holds no pictures; {_INSTEAD}.")
    stream = container.streams.video[0]
    stream.thread_type = "AUTO"
    return stream


def _times(container: Any, stream: Any) -> NDArray[np.int64]:
    """``(F,)`` when each frame is shown, in the stream's own units, in order; nothing is decoded."""
    times = []
    for packet in container.demux(stream):
        at = packet.pts if packet.pts is not None else packet.dts
        if at is not None and packet.size and not getattr(packet, "is_discard", False):
            times.append(at)
    return np.unique(np.array(times, dtype=np.int64))


def _decoded(container: Any, stream: Any, first: int) -> Iterator[tuple[int, Any]]:
    """Frames and their numbers, from ``first`` on or somewhat before: a film can be decoded from some frames only."""
    if first == 0:
        yield from enumerate(container.decode(stream))
        return
    times = _times(container, stream)
    container.seek(int(times[first]), stream=stream, backward=True)
    for frame in container.decode(stream):
        if frame.pts is not None:
            yield int(np.searchsorted(times, frame.pts)), frame


def _turned(frame: Any) -> tuple[int, int, int, int]:
    """How a frame is to be turned and mirrored, by the matrix in its file (ISO/IEC 14496-12, 6.2.2; from memory)."""
    matrix = frame.side_data.get("DISPLAYMATRIX")
    if matrix is None:
        return UPRIGHT
    a, b, _, c, d = np.frombuffer(bytes(matrix), dtype=np.int32)[:5] / 65536.0
    # Quarter turns only: whatever lies between is taken for the nearest.
    if abs(a) + abs(d) >= abs(b) + abs(c):
        return (-1 if a < 0 else 1, 0, 0, -1 if d < 0 else 1)
    return (0, -1 if b < 0 else 1, -1 if c < 0 else 1, 0)


def _number(text: str | None) -> float:
    """Frames a second; 0 where none are told."""
    try:
        number = float(text or "")
    except ValueError:
        return 0.0
    return number if 0.0 < number <= FASTEST_FPS else 0.0
