"""Where a score may be written: on nothing that it is made from."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from ...delivery.outputs import check_outputs
from ...delivery.this_command import note_read
from ..layout.names import COCO, SHARDS

NUMBERS_FILE = "score.json"
"""In a folder of results: the report, and the list of the folder's files."""


def check_score_outputs(folder: str, read: Sequence[str], json_file: str | None, out: str | None) -> None:
    """Find out before anything is read whether what was asked for can be written.

    Args:
        folder: the data set's, none of whose files is written on.
        read: what else the command reads.
        json_file: where the JSON goes; ``-`` is standard output.
        out: the folder of the page.

    Raises:
        TurnstillError: naming the output that cannot be.
    """
    place = Path(folder)
    note_read(*read, *(file for below in (".", SHARDS, COCO) for file in (place / below).glob("*")))
    check_outputs({"--json": json_file}, out, NUMBERS_FILE)
