"""Shards on a dask cluster, whose workers may die."""

from __future__ import annotations

from pathlib import Path

import pytest
from drawing_by_hand import PICTURES, by_hand

from turnstill.model.errors import TurnstillError
from turnstill.scenes.dataset.making.cluster import make_shards_on
from turnstill.scenes.dataset.plan.schedule import Shard


def test_a_scheduler_that_does_not_answer_is_told_of(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("turnstill.scenes.dataset.making.cluster._CONNECT_S", 0.3)
    for address in ("tcp://127.0.0.1:1", "no address"):
        with pytest.raises(TurnstillError, match="No dask scheduler answers at"):
            make_shards_on(address, "a recipe", [], tmp_path, by_hand, print, print)  # type: ignore[arg-type]


@pytest.mark.heavy
def test_a_cluster_makes_all_shards_though_a_worker_dies(tmp_path: Path) -> None:
    from distributed import LocalCluster

    shards = [Shard("dies" if k == 3 else "train", k, (k,)) for k in range(8)]
    told: list[int] = []
    with LocalCluster(n_workers=2, threads_per_worker=2, processes=True, dashboard_address=None) as cluster:
        make_shards_on(
            cluster.scheduler_address, "a recipe", shards, tmp_path, by_hand, told.append, lambda: None,  # type: ignore[arg-type]
        )  # fmt: skip
    assert told == [PICTURES] * 8 and (tmp_path / "died-3").exists()
    for one in shards:
        text = (tmp_path / "shards" / f"{one.split}-{one.index:05d}.tar").read_text()
        assert text == "".join(f"a recipe {one.split} {one.index} {k}\n" for k in range(PICTURES))


@pytest.mark.heavy
def test_a_shard_that_kills_every_worker_is_given_up(tmp_path: Path) -> None:
    from distributed import LocalCluster

    with (
        LocalCluster(n_workers=1, threads_per_worker=1, processes=True, dashboard_address=None) as cluster,
        pytest.raises(TurnstillError, match="Workers of the cluster died of the same shard again and again"),
    ):
        make_shards_on(
            cluster.scheduler_address, "a recipe", [Shard("dying", 0, (0,))], tmp_path, by_hand, print, lambda: None,  # type: ignore[arg-type]
        )  # fmt: skip


@pytest.mark.heavy
def test_what_a_worker_is_refused_is_told(tmp_path: Path) -> None:
    from distributed import LocalCluster

    with (
        LocalCluster(n_workers=1, threads_per_worker=1, processes=True, dashboard_address=None) as cluster,
        pytest.raises(TurnstillError, match="No such golfer; take another"),
    ):
        make_shards_on(
            cluster.scheduler_address, "a recipe", [Shard("refused", 0, (0,))], tmp_path, by_hand, print, lambda: None,  # type: ignore[arg-type]
        )  # fmt: skip
