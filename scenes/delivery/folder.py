"""Folders of results: never a page without what it tells, and nobody else's file touched.

A result is made in a hidden part and put in its place at the end. Where there is no folder yet, the part becomes it, at
once. Where there is an earlier result, its files are taken out one by one and the new ones put in one by one:

1. out: the page, then the other files, then the file that lists them;
2. in: the file that lists them, then the other files, then the page.

So a folder with a page is whole, and whatever of ours lies in it is listed there: after a kill at any point the next
run knows what it may replace. An error or an interruption undoes what was done. Only files are taken out that were
listed, and are still what they were when the command began; and a file is put in only under a name that is free. A file
that somebody else saves there in the meantime stays, and where it has the name of one of ours the new result is
refused.
"""

from __future__ import annotations

import contextlib
import json
import stat
from collections.abc import Iterable, Iterator
from pathlib import Path

from ...model.errors import TurnstillError
from . import written
from .interruption import Interruptions
from .parts import clear_stale, is_part, new_part, put
from .reading import plain_bytes
from .refusals import in_the_way, shown, unwritable
from .this_command import Print, print_of
from .writing import to_disk

PAGE_FILE = "index.html"
CONTENTS_FILE = "comparison.json"
"""In a folder of results: lists the folder's files, so that a later run knows what it may replace."""
KINDS = (".html", ".json", ".png", ".mp4")
"""Endings of all files of results; a list that names others was not written here, or not only."""
_BEFORE = "before"
_LARGEST_CONTENTS = 500_000_000
"""Bytes; a hundred thousand entries of a record have a tenth of it."""


@contextlib.contextmanager
def new_folder(target: str, contents: str = CONTENTS_FILE) -> Iterator[Path]:
    """A folder to fill that is in its place only when the block ends well.

    It may be there already if it is empty or holds nothing but an earlier result of the same kind, which is replaced.

    Args:
        target: the folder's path.
        contents: the file that lists the folder's files, itself and the page among them.

    Yields:
        A temporary folder; write flat files into it.

    Raises:
        TurnstillError: where the folder cannot be made, or something else is in its place; an earlier result is then
            as it was.
    """
    path, own = folder_target(target, contents)
    with contextlib.ExitStack() as ends:
        try:
            clear_stale(path.parent)
            part = ends.enter_context(new_part(path if path.is_dir() else path.parent, folder=True))
        except OSError as wrong:
            raise unwritable(target, wrong) from wrong
        yield part
        try:
            for file in part.iterdir():
                to_disk(file)
            with Interruptions():
                if path.exists():
                    _exchange(part, path, own, contents)
                else:
                    part.rename(path)
                written.keep(target)
        except FileExistsError as taken:
            raise in_the_way(f"{target}/{Path(taken.filename2 or '').name}") from taken
        except OSError as wrong:
            raise unwritable(target, wrong) from wrong


def folder_target(target: str, contents: str) -> tuple[Path, dict[str, Print]]:
    """Where a folder of results would lie, and the files of an earlier result there.

    Raises:
        TurnstillError: where it cannot be made, or something else is in its place.
    """
    try:
        path = Path(target).resolve()
        if not target or path == Path.cwd():
            raise TurnstillError("The folder you are in cannot be the result; name a new folder with --out.")
        if not path.parent.is_dir():
            raise TurnstillError(f"There is no folder to make {shown(target)} in; make it first.")
        if path.exists() and not path.is_dir():
            raise TurnstillError(f"{shown(target)} is a file; name a new folder with --out.")
        own, strangers = _earlier(path, contents) if path.is_dir() else ({}, [])
    except (OSError, ValueError, RuntimeError) as wrong:
        if isinstance(wrong, TurnstillError):
            raise
        raise unwritable(target, wrong) from wrong
    if strangers:
        raise TurnstillError(
            f"{shown(target)} holds things that are no earlier result of this command (such as "
            f"{shown(strangers[0])}); name a new folder with --out."
        )
    return path, own


def _earlier(folder: Path, contents: str) -> tuple[dict[str, Print], list[str]]:
    """The files of an earlier result, and what stands beside them."""
    known = _listed(folder / contents)
    own, strangers = {}, []
    for name in sorted(item.name for item in folder.iterdir() if not is_part(item.name)):
        kind = (folder / name).lstat()
        if name in known and stat.S_ISREG(kind.st_mode):
            own[name] = print_of(kind)
        else:
            strangers.append(name)
    return own, strangers


def _listed(contents: Path) -> set[str]:
    """The files that a folder's list names; none where it is not one of ours."""
    try:
        data = plain_bytes(contents, contents.name, most=_LARGEST_CONTENTS, what="list of files", instead="")
        names = json.loads(data)["files"]
        known = {name for name in names if isinstance(name, str)} if isinstance(names, list) else set()
    except (OSError, ValueError, LookupError, TypeError, RecursionError):
        return set()
    # Other programs have files of that name too; ours names itself and the page.
    return {name for name in known if Path(name).suffix in KINDS} if {contents.name, PAGE_FILE} <= known else set()


def _exchange(part: Path, path: Path, own: dict[str, Print], contents: str) -> None:
    """Take the earlier result out and put the new one in; all of it or nothing.

    Raises:
        FileExistsError: where somebody else's file has the name of one of ours.
    """
    new = _page_first((file.name for file in part.iterdir()), contents)
    before = part / _BEFORE
    before.mkdir()
    with contextlib.ExitStack() as undo:
        for name in _page_first(own, contents):
            there, aside = path / name, before / name
            with contextlib.suppress(FileNotFoundError):  # Somebody removed it: then it need not be taken out.
                there.rename(aside)
                undo.callback(put, aside, there)
                if print_of(aside.lstat()) != own[name]:
                    raise FileExistsError(0, "", str(aside), None, str(there))
        for name in reversed(new):
            put(part / name, path / name)
            undo.callback((path / name).unlink)
        undo.pop_all()


def _page_first(names: Iterable[str], contents: str) -> list[str]:
    return sorted(names, key=lambda name: (name == contents, name != PAGE_FILE, name))
