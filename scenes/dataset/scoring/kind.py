"""Whether a file of results is of keypoints or of faults."""

from __future__ import annotations

from pathlib import Path

from ...delivery.reading import plain_bytes
from ...delivery.refusals import shown
from .results import MOST_BYTES


def are_faults(file: str) -> bool:
    """Whether a file is a table of faults rather than JSON: by its ending, and where that is neither by what it begins
    with.

    Raises:
        TurnstillError: where it must be looked into and cannot be read.
    """
    ending = Path(file).suffix.lower()
    if ending in (".csv", ".json"):
        return ending == ".csv"
    try:
        data = plain_bytes(Path(file), shown(file), most=MOST_BYTES, what="results file", instead="name a results file")
    except FileNotFoundError:
        return False
    return not data.removeprefix(b"\xef\xbb\xbf").lstrip().startswith((b"[", b"{"))
