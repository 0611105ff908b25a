"""A sheet of a data set: samples with their labels drawn over, and how the labels are spread."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from ....model.errors import TurnstillError
from ...delivery.terminal import tell
from ...delivery.writing import new_file
from ..checking.sound import read_picture, sound_label, sound_labels
from ..layout.reading import DataSet, open_dataset
from ..making.work import require_packages
from .spread import spread
from .tile import TILE_PX, tile

if TYPE_CHECKING:
    from PIL.Image import Image

ACROSS, DOWN = 4, 5


def look_to(folder: str, out: str, *, results: str | None, split: str) -> None:
    """Write the sheet.

    Raises:
        TurnstillError: where there is no data set, the file cannot be written, or results make no sense.
    """
    if Path(out).suffix.lower() != ".png":
        raise TurnstillError(f"--out was {out[:80]!r}, but must be a file that ends in .png.")
    require_packages()
    sheet = look(folder, results=results, split=split)
    with new_file(out) as part:
        sheet.save(part, "PNG")
    tell(f"The sheet: {out}")


def look(folder: str | Path, *, results: str | None = None, split: str = "test") -> Image:
    """Twenty samples spread over a data set, or the worst of a detector's results on a split, and all labels' spread.

    Args:
        folder: a data set.
        results: COCO keypoint results on the split.
        split: whose pictures the results are of; without results all splits are shown.

    Raises:
        TurnstillError: where there is no data set, or results make no sense.
    """
    from PIL import Image

    made = open_dataset(folder)
    keys = made.keys()
    if not keys:
        raise TurnstillError(f"{str(folder)[:80]} has no pictures yet; run turnstill dataset make again.")
    shown: list[tuple[str, Any]]
    if results is None:
        count = min(ACROSS * DOWN, len(keys))
        shown = [(keys[k], None) for k in np.unique(np.linspace(0, len(keys) - 1, count).astype(int))]
    else:
        shown = _worst(made, results, split)
    labels = [sound_label(made, key) for key in made.keys(None if results is None else split)]
    charts = spread(labels, ACROSS * TILE_PX)
    rows = -(-len(shown) // ACROSS)
    sheet = Image.new("RGB", (ACROSS * TILE_PX, rows * TILE_PX + charts.height), (255, 255, 255))
    for k, (key, found) in enumerate(shown):
        read = read_picture(made, key)
        one = tile(read.colours, read.ids, read.label, found)
        sheet.paste(one, ((k % ACROSS) * TILE_PX, (k // ACROSS) * TILE_PX))
    sheet.paste(charts, (0, rows * TILE_PX))
    return sheet


def _worst(made: DataSet, results: str, split: str) -> list[tuple[str, Any]]:
    """Keys of the pictures on which a detector is worst, and what it found there; the worst first."""
    from ..scoring.judged import Judged
    from ..scoring.results import best_of_each, read_results
    from ..scoring.truth import Truth

    labels = sound_labels(made, split)
    judged = Judged.of(Truth.of(labels), best_of_each(read_results(results, len(labels))))
    # A person who was not found is as bad as can be.
    error = np.where(judged.counts, np.minimum(judged.error, 10.0), 0.0).sum(axis=1) / judged.counts.sum(axis=1).clip(1)
    order = np.argsort(-error, kind="stable")[: ACROSS * DOWN]
    return [(labels[k]["key"], judged.found[k].tolist() if judged.person_found[k] else None) for k in order]
