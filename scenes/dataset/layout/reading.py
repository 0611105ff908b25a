"""A data set as a researcher reads it back: labels in order, and a picture's pixels by its key."""

from __future__ import annotations

import json
import tarfile
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ....model.errors import TurnstillError
from ...delivery.refusals import reason, shown
from .archive import Stored, members
from .arrays import unpacked
from .names import CHECKSUMS_FILE, DEPTH, IDS, LABEL, PICTURES, REQUEST_FILE, SHARDS

Members = dict[str, dict[str, Stored]]


@dataclass(frozen=True)
class DataSet:
    """A folder that ``turnstill dataset make`` filled, wholly or so far.

    Attributes:
        folder: where it lies.
        request: what was asked for, as the recipe's ``request()`` gives it, without what it leaves open.
        versions: what it was made with.
    """

    folder: Path
    request: dict[str, Any]
    versions: dict[str, str]

    @cached_property
    def shards(self) -> dict[str, list[Path]]:
        """Split to its archives, in order."""
        found: dict[str, list[Path]] = {}
        for path in sorted((self.folder / SHARDS).glob("*.tar")):
            found.setdefault(path.stem.rpartition("-")[0], []).append(path)
        return found

    @property
    def splits(self) -> tuple[str, ...]:
        """Names of the splits that have pictures."""
        return tuple(self.shards)

    @property
    def whole(self) -> bool:
        """Whether it was made to its end."""
        return (self.folder / CHECKSUMS_FILE).is_file()

    def keys(self, split: str | None = None) -> list[str]:
        """Every picture's name, in the order of the archives."""
        return [key for path in self._archives(split) for key in self._members_of(path)]

    def count(self, archive: Path) -> int:
        """How many pictures an archive holds."""
        return len(self._members_of(archive))

    def labels(self, split: str | None = None) -> Iterator[dict[str, Any]]:
        """Every picture's label as docs/dataset_fields.md tells it; pictures are skipped over, not read.

        Raises:
            TurnstillError: for a split there is not, or an archive that cannot be read.
        """
        for path in self._archives(split):
            for key, stored in self._members_of(path).items():
                yield _parsed(_content(stored, LABEL, key), key)

    def labelled(self, archive: Path) -> Iterator[tuple[dict[str, Any], str]]:
        """Of every picture of an archive its label, and how its own file's name ends, ``jpg`` or ``png``.

        Raises:
            TurnstillError: where the archive cannot be read.
        """
        for key, stored in self._members_of(archive).items():
            yield _parsed(_content(stored, LABEL, key), key), _ending(stored)

    def label(self, key: str) -> dict[str, Any]:
        """One picture's label."""
        return _parsed(self.stored(key, LABEL), key)

    def ending(self, key: str) -> str:
        """Of the picture's own file: ``jpg`` or ``png``."""
        return _ending(self._of(key))

    def shard_of(self, key: str) -> str:
        """Path within the data set of the archive that a picture lies in."""
        return next(iter(self._of(key).values())).file.relative_to(self.folder).as_posix()

    def picture(self, key: str) -> NDArray[np.uint8]:
        """``(h, w, 3)`` red, green, blue."""
        import io

        from PIL import Image

        with Image.open(io.BytesIO(self.stored(key, self.ending(key)))) as image:
            return np.asarray(image.convert("RGB"))

    def ids(self, key: str) -> NDArray[np.uint8]:
        """``(h, w)`` ids of segments, whose names are in the label's ``parts``."""
        return np.asarray(unpacked(self.stored(key, IDS)), np.uint8)

    def depth(self, key: str) -> NDArray[np.float32]:
        """``(h, w)`` metres along the optical axis; infinite where there is neither golfer, club, ball nor occluder."""
        steps = np.asarray(unpacked(self.stored(key, DEPTH)))
        return np.where(steps > 0, steps * np.float32(self.label(key)["depth_unit_m"]), np.float32(np.inf))

    def stored(self, key: str, ending: str) -> bytes:
        """The bytes of one of a picture's files: ``json``, ``jpg`` or ``png``, ``ids.npy.gz``, ``depth.npy.gz``.

        Raises:
            TurnstillError: for a picture or a file there is not.
        """
        return _content(self._of(key), ending, key)

    def _of(self, key: str) -> dict[str, Stored]:
        for path in self._archives(None):
            known = self._members_of(path)
            if key in known:
                return known[key]
        raise TurnstillError(f"There is no picture {key[:60]!r} in {shown(str(self.folder))}.")

    def _archives(self, split: str | None) -> list[Path]:
        if split is not None and split not in self.shards:
            raise TurnstillError(
                f"There is no split {split[:40]!r} in {shown(str(self.folder))}; there are: {', '.join(self.splits)}."
            )
        return [path for name, paths in self.shards.items() if split in (None, name) for path in paths]

    @cached_property
    def _known(self) -> dict[Path, Members]:
        return {}

    def _members_of(self, path: Path) -> Members:
        if path not in self._known:
            found: Members = {}
            try:
                for key, ending, stored in members(path):
                    found.setdefault(key, {})[ending] = stored
            except (tarfile.TarError, OSError) as wrong:
                why = reason(wrong) if isinstance(wrong, OSError) and wrong.strerror else "it is cut short or damaged"
                raise TurnstillError(
                    f"{shown(str(path))} cannot be read: {why}; make the data set again, or copy it again."
                ) from wrong
            self._known[path] = found
        return self._known[path]


def open_dataset(folder: str | Path) -> DataSet:
    """A data set that was made, for reading.

    Args:
        folder: what ``--out`` named.

    Raises:
        TurnstillError: where there is none.
    """
    place = Path(folder)
    try:
        tables = tomllib.loads((place / REQUEST_FILE).read_text(encoding="utf-8"))
        request, versions = tables["request"], tables["versions"]
    except FileNotFoundError:
        raise TurnstillError(
            f"{shown(str(folder))} holds no data set, for there is no {REQUEST_FILE} in it; name a folder that "
            "turnstill dataset make filled."
        ) from None
    except (OSError, ValueError, LookupError) as wrong:
        why = reason(wrong) if isinstance(wrong, OSError) else "it is not what turnstill dataset make writes"
        raise TurnstillError(f"{shown(str(place / REQUEST_FILE))} cannot be read: {why}.") from wrong
    return DataSet(place, request, versions)


def _ending(stored: dict[str, Stored]) -> str:
    return next((one for one in PICTURES if one in stored), PICTURES[0])


def _parsed(data: bytes, key: str) -> dict[str, Any]:
    try:
        label: dict[str, Any] = json.loads(data)
    except ValueError as wrong:
        raise TurnstillError(f"The label of {key} is no JSON; make the data set again, or copy it again.") from wrong
    return label


def _content(stored: dict[str, Stored], ending: str, key: str) -> bytes:
    plain = ending.removesuffix(".gz")
    if ending not in stored and plain in stored:
        raise TurnstillError(f"An earlier version made {key}: its {plain} is not gzipped; make the data set again.")
    if ending not in stored:
        raise TurnstillError(
            f"There is no {ending} of {key} in the archive; make the data set again, or copy it again."
        )
    return stored[ending].read()
