"""Memory of a data set's worker as it goes through hundreds of golfers.

Run as ``python tests/benchmarks/dataset_memory.py [SUBJECTS WIDTH HEIGHT]``: golfers of recipe ``plain``, two swings of
two moments each from two tripods, in archives of sixteen golfers that are thrown away. What is told is what the process
has in memory, in whole and at most so far.
"""

from __future__ import annotations

import one_thread  # noqa: F401  before numpy, whose threads start with the import

# isort: split

import resource
import sys
import tempfile
from pathlib import Path

from turnstill.scenes.dataset.making.shard import drawing
from turnstill.scenes.dataset.plan.loading import load_recipe
from turnstill.scenes.dataset.plan.schedule import shard_numbers

EVERY = 48


def resident_mb() -> float:
    """What the process has in memory now."""
    pages = int(Path("/proc/self/statm").read_text(encoding="ascii").split()[1])
    return pages * resource.getpagesize() / 1e6


def main() -> None:
    """Print the table."""
    subjects, width, height = (int(one) for one in (*sys.argv[1:4], *("500", "640", "480")[len(sys.argv) - 1 :]))
    recipe = load_recipe("plain").model_copy(
        update={"subjects": subjects, "moments": 2, "width": width, "height": height, "splits": {"train": 1.0}}
    )
    print(f"{width}x{height}\n\n| golfers | MB | at most, MB |\n| ---: | ---: | ---: |")
    with tempfile.TemporaryDirectory() as folder, drawing() as draw:
        done = 0
        for shard in shard_numbers(recipe):
            draw(recipe, shard, Path(folder), lambda count: None)
            for path in Path(folder).rglob("*.tar"):
                path.unlink()
            done += len(shard.subjects)
            if done % EVERY == 0 or done == subjects:
                most = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * 1024 / 1e6
                print(f"| {done} | {resident_mb():.0f} | {most:.0f} |", flush=True)


if __name__ == "__main__":
    main()
