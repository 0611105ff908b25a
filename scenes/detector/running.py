"""Running the detector: pictures go into a process of its own, one by one, and keypoints come back."""

from __future__ import annotations

import contextlib
import json
import os
import subprocess
import tempfile
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import IO, Any

import numpy as np
from numpy.typing import NDArray

from ...model.arrays import Array
from ...model.errors import TurnstillError

Picture = NDArray[np.uint8]

POINTS, FACE_POINTS = 33, 5
AHEAD = 1
"""Pictures that are made while the detector looks at the one before."""
_QUIET = {"GLOG_minloglevel": "2", "TF_CPP_MIN_LOG_LEVEL": "2"}


@dataclass(frozen=True)
class Found:
    """What a picture shows; places are shares of its width and height, from its left and upper edge.

    Attributes:
        pose: ``(33, 3)`` place and visibility, 0 to 1; NaN where nobody was found.
        face: ``(5, 2)`` nose, left eye, right eye, left ear, right ear by a face detector; NaN where it found none.
        face_confidence: 0 to 1.
        followed: ``(2,)`` the face by what moves with it, see `face_following`; NaN where it was lost.
        other: trunk length of another person over this one's; 0 where there is none, None where nobody looked.
    """

    pose: Array
    face: Array
    face_confidence: float
    followed: Array
    other: float | None


def answers(
    python: Path, worker: Path, pictures: Iterator[Picture], size: tuple[int, int], quick: bool = False
) -> Iterator[Found]:
    """What each picture shows, in order.

    Args:
        python: of the detector's environment.
        worker: the program that answers, see `worker`.
        pictures: ``(h, w, 3)`` red, green, blue, all of one size.
        size: their width and height.
        quick: about where the body is will do.

    Raises:
        TurnstillError: the detector ended or does not answer as it should.
    """
    with tempfile.TemporaryFile() as told:
        process = subprocess.Popen(
            [str(python), "-I", str(worker)], stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=told,
            env={**os.environ, **_QUIET}, start_new_session=True,
        )  # fmt: skip
        try:
            assert process.stdin is not None and process.stdout is not None
            told_first = {"width": size[0], "height": size[1], **({"quick": True} if quick else {})}
            yield from _asked(process.stdin, process.stdout, pictures, told_first)
        except _Ended as ended:
            process.kill()  # One that has ended has said its last words; one that mumbles would wait for more.
            process.wait()
            raise TurnstillError(
                f"The detector {ended} ({_last_words(told)}); make it anew: delete its folder, then turnstill detector "
                "make."
            ) from None
        finally:
            process.kill()
            for stream in (process.stdin, process.stdout):
                # What could not be written any more is lost with the process.
                with contextlib.suppress(OSError):
                    if stream:
                        stream.close()
            process.wait()


class _Ended(Exception):
    pass


def _asked(
    questions: IO[bytes], replies: IO[bytes], pictures: Iterator[Picture], first: Mapping[str, object]
) -> Iterator[Found]:
    try:
        questions.write(json.dumps(first).encode() + b"\n")
        questions.flush()
        if "detector" not in _line(replies):
            raise _Ended("does not say what it is")
        waiting = 0
        for picture in pictures:
            questions.write(np.ascontiguousarray(picture, np.uint8).data)
            questions.flush()
            waiting += 1
            if waiting > AHEAD:
                yield _found(_line(replies))
                waiting -= 1
        questions.close()
        for _ in range(waiting):
            yield _found(_line(replies))
    except BrokenPipeError:
        raise _Ended("ended") from None


def _line(replies: IO[bytes]) -> dict[str, Any]:
    line = replies.readline()
    if not line:
        raise _Ended("ended")
    try:
        told = json.loads(line)
    except (ValueError, RecursionError):
        told = None
    if not isinstance(told, dict):
        raise _Ended("answers what cannot be read")
    return told


def _found(told: dict[str, Any]) -> Found:
    try:
        pose, face = (
            np.full(shape, np.nan) if told[name] is None else np.asarray(told[name], float).reshape(shape)
            for name, shape in (("pose", (POINTS, 3)), ("face", (FACE_POINTS, 2)))
        )
        other, followed = told["other"], told.get("followed")
        followed = np.full(2, np.nan) if followed is None else np.asarray(followed, float).reshape(2)
        return Found(pose, face, float(told["face_confidence"]), followed, None if other is None else float(other))
    except (KeyError, TypeError, ValueError):
        raise _Ended("answers what cannot be read") from None


def _last_words(told: IO[bytes]) -> str:
    told.seek(0)
    lines = [line.strip() for line in told.read().decode(errors="replace").split("\n")]
    return next((line for line in reversed(lines) if line), "without a word")[:120]
