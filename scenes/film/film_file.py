"""Film files: MP4 with H.264 for everywhere, GIF and WebP for pages and messages that take no film."""

from __future__ import annotations

import errno
import os
from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from ...model.errors import TurnstillError

if TYPE_CHECKING:
    from PIL import Image

Frame = NDArray[np.uint8]

MP4, GIF, WEBP = ".mp4", ".gif", ".webp"
SUFFIXES = (MP4, GIF, WEBP)
CODEC = "libx264"
RATE = {MP4: 25.0, GIF: 12.5, WEBP: 12.5}
"""Frames a second; a GIF counts in hundredths of a second, and both pictures' formats grow with every frame."""
SCALE = {MP4: 1.0, GIF: 0.5, WEBP: 0.75}
"""Of the default size, for the same reason."""
QUALITY = {"crf": "20", "preset": "veryfast", "x264-params": "asm=SSE4.2"}
"""Where a processor has AVX-512, the encoder's own code for it makes other bytes of the same frames from one time to
the next (x264 with its tree of blocks, as PyAV 18.1 brings it); with that of SSE4.2 or of AVX2 it does not."""
THREADS = 4
"""Of the encoder, on every machine: with another number it makes other bytes."""
_HELD_BYTES = 600_000_000


def suffix_of(target: str) -> str:
    """The film's container by the file's name.

    Raises:
        TurnstillError: where that is none of ``SUFFIXES``.
    """
    suffix = Path(target).suffix.lower()
    if suffix not in SUFFIXES:
        shown = f"ends in {suffix[:20]!r}" if suffix else "has no ending"
        raise TurnstillError(f"The film's file {shown}, but must end in .mp4, .gif or .webp.")
    return suffix


def check_codec(suffix: str) -> None:
    """Find out before the drawing whether a film of that kind can be encoded.

    Raises:
        TurnstillError: where the codec is missing.
    """
    if suffix == MP4:
        _av()
    elif suffix == WEBP:
        from PIL import features

        if not features.check("webp"):
            raise TurnstillError("This Pillow was built without WebP; name a film that ends in .mp4 or .gif.")


def _av() -> Any:
    try:
        import av

        av.codec.Codec(CODEC, "w")
    except (ImportError, ValueError) as missing:  # PyAV's error for an unknown codec is a ValueError.
        raise TurnstillError(
            "A film that ends in .mp4 needs the package av with its codec libx264; install it by pip install av, "
            "or name a film that ends in .gif or .webp."
        ) from missing
    return av


def write_mp4(
    file: Path, frames: Iterable[Frame], size: tuple[int, int], rate: float, options: dict[str, str] | None = None
) -> None:
    """H.264 in MP4, its index at the front so that a page can play it while it loads.

    Args:
        file: where to.
        frames: ``(height, width, 3)`` red, green, blue; each is read before the next is drawn.
        size: width and height, even.
        rate: frames a second.
        options: of the encoder, beside ``QUALITY``.

    Raises:
        OSError: where the file cannot be written.
        TurnstillError: where the codec is missing.
    """
    from fractions import Fraction

    av = _av()
    video = av.video.reformatter
    with av.open(str(file), "w", format="mp4", options={"movflags": "+faststart", "fflags": "+bitexact"}) as container:
        stream = container.add_stream(CODEC, rate=Fraction(rate).limit_denominator(1000))
        stream.width, stream.height = size
        stream.pix_fmt = "yuv420p"
        stream.options = {**QUALITY, "flags": "+bitexact", **(options or {})}
        context = stream.codec_context
        context.thread_count = THREADS
        # Said outright, since players guess an unsaid matrix by the picture's size and show other colours.
        context.colorspace, context.color_range = video.Colorspace.ITU709, video.ColorRange.MPEG
        context.color_primaries, context.color_trc = 1, 1
        for pixels in frames:
            picture = av.VideoFrame.from_ndarray(pixels, format="rgb24").reformat(
                format="yuv420p", dst_colorspace=video.Colorspace.ITU709, dst_color_range=video.ColorRange.MPEG
            )
            container.mux(stream.encode(picture))
        container.mux(stream.encode(None))
    if not mp4_is_whole(file):
        raise OSError(errno.EIO, os.strerror(errno.EIO))


def mp4_is_whole(file: Path) -> bool:
    """Whether a file is a row of boxes (ISO/IEC 14496-12) that ends with the last one, pictures and index among them.

    A film on a full disk was once closed without an error, for a reason that was not found.
    """
    size, at, names = file.stat().st_size, 0, []
    with file.open("rb") as data:
        while at + 8 <= size:
            data.seek(at)
            head = data.read(16)
            length, name = int.from_bytes(head[:4], "big"), head[4:8]
            if length == 1:  # The length did not fit: it follows in eight bytes.
                length = int.from_bytes(head[8:], "big")
            if length < 8:
                return False
            names.append(name)
            at += length
    return at == size and {b"moov", b"mdat"} <= set(names)


def write_pictures(file: Path, suffix: str, frames: Iterable[Frame], order: Sequence[int], rate: float) -> None:
    """An endless GIF or WebP; frames that stay are stored once.

    Args:
        file: where to.
        suffix: ``GIF`` or ``WEBP``.
        frames: ``(height, width, 3)`` in the order shown.
        order: for each frame, which moment it shows.
        rate: frames a second.

    Raises:
        OSError: where the file cannot be written.
        TurnstillError: where the film is too long for such a file.
    """
    shown = 1 + sum(one != other for one, other in pairwise(order))
    durations = [0] * shown
    place = 0
    for k, moment in enumerate(order):
        place += k > 0 and moment != order[k - 1]
        durations[place] += round(1000 / rate)
    pictures = list(_distinct(frames, order, shown, suffix))
    if suffix == GIF:
        pictures = _with_one_palette(pictures)
    with file.open("wb") as out:
        common = {"save_all": True, "append_images": pictures[1:], "duration": durations, "loop": 0}
        if suffix == GIF:
            pictures[0].save(out, "GIF", optimize=False, disposal=1, **common)
        else:
            pictures[0].save(out, "WEBP", quality=72, method=2, **common)


def _distinct(frames: Iterable[Frame], order: Sequence[int], shown: int, suffix: str) -> Iterator[Image.Image]:
    from PIL import Image

    last = -1
    for pixels, moment in zip(frames, order, strict=True):
        if last < 0 and pixels.nbytes * shown > _HELD_BYTES:
            raise TurnstillError(
                f"A film of {shown} pictures this large is too much for {suffix}; ask for fewer --seconds or a smaller "
                "--size, or name a film that ends in .mp4."
            )
        if moment != last:
            yield Image.fromarray(pixels.copy())
        last = moment


def _with_one_palette(pictures: list[Image.Image]) -> list[Image.Image]:
    """In 255 colours taken from pictures all over the film, the same for each, so that what stands still does so."""
    from PIL import Image

    width, height = pictures[0].size
    chosen = pictures[:: max(1, len(pictures) // 6)]
    together = Image.new("RGB", (width, height * len(chosen)))
    for k, picture in enumerate(chosen):
        together.paste(picture, (0, k * height))
    palette = together.quantize(255, method=Image.Quantize.MEDIANCUT)
    return [picture.quantize(palette=palette, dither=Image.Dither.NONE) for picture in pictures]
