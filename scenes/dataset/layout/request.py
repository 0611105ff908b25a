"""What a data set was asked for and made with; only the same may be added to it."""

from __future__ import annotations

import tomllib
import zlib
from collections.abc import Iterator, Mapping
from importlib import metadata
from pathlib import Path
from typing import Any

from .... import __version__
from ....model.errors import TurnstillError
from ...delivery.parts import clear_stale, is_part
from ...delivery.refusals import shown, unwritable
from ...setups.toml_text import toml_text
from .names import REQUEST_FILE
from .placing import place_text
from .reading import open_dataset

DRAWN_WITH = (
    "numpy",
    "scipy",
    "vtk",
    "pyvista",
    "trimesh",
    "opencv-python-headless",
    "pillow",
    "pycocotools",
    "pyarrow",
)
"""Packages that the bytes of a data set may depend on."""
_HEAD = """\
# What this data set was asked for, seed included, and what it was made with: the same makes the same bytes again.
# turnstill dataset make adds what is missing only where all of this is the same.

"""


def request_tables(request: Mapping[str, Any]) -> dict[str, Any]:
    """The tables ``request`` and ``versions`` of ``dataset.toml``, as they are when read back."""
    tables = {
        "request": request,
        "versions": {
            "turnstill": __version__,
            **{name: _version(name) for name in DRAWN_WITH},
            "zlib": zlib.ZLIB_RUNTIME_VERSION,  # Python's own: ids and depth are packed with it.
        },
    }
    return tomllib.loads(toml_text(tables))


def _version(name: str) -> str:
    try:
        return metadata.version(name)
    except metadata.PackageNotFoundError:
        return "none"


def take_folder(folder: Path, request: Mapping[str, Any]) -> bool:
    """Make a folder a data set's, or find that it is this one's already.

    Args:
        folder: where the data set goes; made where it is missing, but not what it lies in.
        request: what is asked for.

    Returns:
        Whether something of it may be there already.

    Raises:
        TurnstillError: where it cannot be made, holds something else, or was asked for otherwise.
    """
    tables = request_tables(request)
    try:
        if folder.is_dir():
            clear_stale(folder)
            there = sorted(item.name for item in folder.iterdir() if not is_part(item.name))
        else:
            if not folder.parent.is_dir():
                raise TurnstillError(f"There is no folder to make {shown(str(folder))} in; make it first.")
            folder.mkdir()
            there = []
    except OSError as wrong:
        raise unwritable(str(folder), wrong) from wrong
    if REQUEST_FILE in there:
        _same(folder, tables)
        return True
    if there:
        raise TurnstillError(
            f"{shown(str(folder))} holds things that are no data set (such as {shown(there[0])}); name a new folder "
            "with --out."
        )
    place_text(folder / REQUEST_FILE, _HEAD + toml_text(tables))
    return False


def _same(folder: Path, tables: Mapping[str, Any]) -> None:
    there = open_dataset(folder)
    differing = list(differences({"request": there.request, "versions": there.versions}, tables))
    if differing:
        name, was, now = differing[0]
        more = f", and {len(differing) - 1} more differ" if len(differing) > 1 else ""
        raise TurnstillError(
            f"{shown(str(folder))} holds a data set of another request: {name} was {was} there and is {now} "
            f"now{more}; name a new folder with --out."
        )


def differences(was: Any, now: Any, name: str = "") -> Iterator[tuple[str, str, str]]:
    """Dotted name, value there and value now of all that differs."""
    if isinstance(was, Mapping) and isinstance(now, Mapping):
        for key in (*was, *(key for key in now if key not in was)):
            yield from differences(was.get(key), now.get(key), f"{name}.{key}" if name else key)
    elif was != now:
        yield name, _told(was), _told(now)


def _told(value: Any) -> str:
    return "missing" if value is None else str(value)[:60]
