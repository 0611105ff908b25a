"""Workers die, disks are full, users stop: shards are whole or not there, and nothing else is left."""

from __future__ import annotations

import os
import time
from collections.abc import Callable
from pathlib import Path

import pytest
from drawing_by_hand import PICTURES, by_hand

from turnstill.model.errors import TurnstillError
from turnstill.scenes.dataset.making.engine import make_shards
from turnstill.scenes.dataset.plan.schedule import Shard


def made(folder: Path) -> dict[str, str]:
    return {path.name: path.read_text() for path in sorted(folder.rglob("*")) if path.is_file()}


def whole(shards: list[Shard]) -> dict[str, str]:
    return {
        f"{one.split}-{one.index:05d}.tar": "".join(f"a recipe {one.split} {one.index} {k}\n" for k in range(PICTURES))
        for one in shards
    }


def run(folder: Path, shards: list[Shard], workers: int = 2, let_in: Callable[[], object] = lambda: None) -> list[int]:
    told: list[int] = []
    make_shards("a recipe", shards, folder, workers, by_hand, told.append, let_in)  # type: ignore[arg-type]
    return told


def shards_of(*splits: str) -> list[Shard]:
    return [Shard(split, k, (k,)) for k, split in enumerate(splits)]


def children() -> set[str]:
    """Workers of this process."""
    pids = Path(f"/proc/{os.getpid()}/task/{os.getpid()}/children").read_text().split()
    return {pid for pid in pids if b"spawn_main" in Path(f"/proc/{pid}/cmdline").read_bytes()}


def test_more_shards_than_workers(tmp_path: Path) -> None:
    shards = shards_of(*["train"] * 5, "test")
    assert sum(run(tmp_path, shards)) == 6 * PICTURES
    assert made(tmp_path) == whole(shards)


def test_a_worker_that_dies_is_replaced_and_its_pictures_not_counted_twice(tmp_path: Path) -> None:
    shards = shards_of("train", "dies", "train")
    assert sum(run(tmp_path, shards)) == 3 * PICTURES
    assert made(tmp_path) == {**whole(shards), "died-1": ""}


def test_a_shard_of_which_workers_always_die_is_given_up(tmp_path: Path) -> None:
    with pytest.raises(TurnstillError, match=r"drew dying-00000 ended 3 times \(signal 9\).*fewer --workers"):
        run(tmp_path, shards_of("dying"), workers=1)
    assert made(tmp_path) == {"died-0": ""}


@pytest.mark.parametrize(
    ("split", "sentence"),
    [("full", r"full-00001\.tar cannot be written: no space left on device\."), ("refused", "No such golfer; take")],
)
def test_what_stops_a_worker_is_told_and_what_is_whole_stays(tmp_path: Path, split: str, sentence: str) -> None:
    with pytest.raises(TurnstillError, match=sentence):
        run(tmp_path, shards_of("train", split), workers=1)
    assert made(tmp_path) == whole(shards_of("train"))
    assert not children()


def test_a_fault_in_a_worker_is_a_fault_here(tmp_path: Path) -> None:
    with pytest.raises(RuntimeError) as caught:
        run(tmp_path, shards_of("faulty"))
    assert str(caught.value) == "KeyError: 'wrist'"
    assert "drawing_by_hand.py" in caught.value.__notes__[0]


def test_an_interruption_leaves_nothing_half_made_and_nobody_at_work(tmp_path: Path) -> None:
    began = time.monotonic()

    def stop() -> None:
        if list((tmp_path / "shards").glob(".*")) and time.monotonic() - began > 0.5:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        run(tmp_path, shards_of("slow", "slow", *["train"] * 3), let_in=stop)
    assert not list(tmp_path.rglob(".turnstill-*"))
    assert made(tmp_path).items() <= whole(shards_of("slow", "slow", *["train"] * 3)).items()
    assert not children()


def test_each_worker_keeps_to_one_thread(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("OPENBLAS_NUM_THREADS", "7")
    monkeypatch.delenv("LP_NUM_THREADS", raising=False)
    run(tmp_path, shards_of("threads"), workers=1)
    assert (tmp_path / "threads").read_text() == "1 1 1"
    assert os.environ["OPENBLAS_NUM_THREADS"] == "7" and "LP_NUM_THREADS" not in os.environ
