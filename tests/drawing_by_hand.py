"""What workers draw with in tests of the engine: text files, and whatever a shard's name asks to go wrong."""

from __future__ import annotations

import os
import signal
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from turnstill.model.errors import TurnstillError
from turnstill.scenes.dataset.layout.names import shard_path
from turnstill.scenes.dataset.layout.placing import placed

PICTURES = 4


def write(recipe: Any, shard: Any, folder: Path, told: Any) -> None:
    """A shard of four pictures: lines with the recipe's word.

    Of ``dies`` the process dies once in mid shard, of ``dying`` always; ``full`` finds no room, ``refused`` is refused,
    ``faulty`` meets a fault, ``slow`` takes a tenth of a second a picture, and ``threads`` notes how many it may have.
    """
    path = shard_path(folder, shard.split, shard.index)
    with placed(path) as part:
        for number in range(PICTURES):
            with part.open("a") as file:
                file.write(f"{recipe} {shard.split} {shard.index} {number}\n")
            told(1)
            once = folder / f"died-{shard.index}"
            if number == 1 and (shard.split == "dying" or (shard.split == "dies" and not once.exists())):
                once.touch()
                os.kill(os.getpid(), signal.SIGKILL)
            if shard.split == "full":
                raise OSError(28, "No space left on device")
            if shard.split == "refused":
                raise TurnstillError("No such golfer; take another.")
            if shard.split == "faulty":
                raise KeyError("wrist")
            if shard.split == "threads":
                names = ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "LP_NUM_THREADS")
                (folder / "threads").write_text(" ".join(os.environ.get(name, "none") for name in names))
            if shard.split == "slow":
                time.sleep(0.1)


@contextmanager
def by_hand() -> Iterator[Any]:
    """What a worker opens."""
    yield write
