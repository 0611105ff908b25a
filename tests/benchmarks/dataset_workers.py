"""Labelled pictures a second with one worker and with several, on whatever draws here.

Run as ``python tests/benchmarks/dataset_workers.py [WIDTH HEIGHT SUBJECTS WORKERS...]``. The clock runs from the first
picture of a run, so that processes that start are left out: to its last picture, and to its end, when index, COCO
files, card and sums are written too. Shards are as large as a recipe's own where that leaves one for each worker.
"""

from __future__ import annotations

import os
import sys
import tempfile
import time
from pathlib import Path

from turnstill.scenes.dataset.making import work
from turnstill.scenes.dataset.making.work import make_dataset
from turnstill.scenes.dataset.plan.recipe import Recipe
from turnstill.scenes.dataset.plan.schedule import pictures_of, shard_numbers

MOST_PER_SHARD = 16


def rate(recipe: Recipe, workers: int, folder: Path) -> tuple[float, float]:
    """Pictures a second since the first picture: until the last, and until all is written."""
    told: list[float] = []
    count = 0

    class Clock(work.Progress):
        def made(self, number: int) -> None:
            nonlocal count
            told.append(time.perf_counter())
            count += number
            super().made(number)

    kept, work.Progress = work.Progress, Clock  # type: ignore[misc]
    try:
        make_dataset(recipe, folder, workers=workers)
    finally:
        work.Progress = kept  # type: ignore[misc]
    ended = time.perf_counter()
    assert count == sum(pictures_of(recipe, shard) for shard in shard_numbers(recipe))
    return (count - 1) / (told[-1] - told[0]), (count - 1) / (ended - told[0])


def main() -> None:
    """Print the table."""
    width, height, subjects = (int(one) for one in (*sys.argv[1:4], "1280", "720", "16")[:3])
    print(f"{os.cpu_count()} cores, {width}x{height}, {subjects} subjects of 2 swings, 8 moments, 2 views\n")
    print("| workers | pictures a second | writing what is beside them counted in |\n| ---: | ---: | ---: |")
    for workers in [int(one) for one in sys.argv[4:]] or [1, 2]:
        size = {"width": width, "height": height, "subjects": subjects, "splits": {"train": 1.0}}
        shards = {"subjects_per_shard": min(MOST_PER_SHARD, max(subjects // workers, 1))}
        with tempfile.TemporaryDirectory() as folder:
            drawing, overall = rate(Recipe.model_validate(size | shards), workers, Path(folder) / "set")
        print(f"| {workers} | {drawing:.1f} | {overall:.1f} |", flush=True)


if __name__ == "__main__":
    main()
