"""The same shards on a dask cluster, whose workers see the same folder."""

from __future__ import annotations

import threading
from collections.abc import Callable, Sequence
from importlib import import_module
from pathlib import Path
from typing import Any

from ....model.errors import TurnstillError
from ..plan.recipe import Recipe
from ..plan.schedule import Shard
from .engine import Done, Drawing, Told

RETRIES = 3
_CONNECT_S = 10
_LOOK_AGAIN_S = 0.5
_ONE_AT_A_TIME = threading.Lock()
"""A process draws in one thread only, however many a worker has."""


def make_shards_on(
    address: str,
    recipe: Recipe,
    shards: Sequence[Shard],
    folder: Path,
    drawing: Drawing,
    told: Told,
    let_in: Callable[[], object],
    done: Done = lambda shard, result: None,
) -> None:
    """Make shards on a cluster; work of a worker that dies is done again by another.

    Args:
        address: the scheduler's, for example ``tcp://10.0.0.1:8786``.
        recipe: what is asked for.
        shards: which are to be made.
        folder: the data set's, under the same path on every worker.
        drawing: what workers draw with.
        told: called with the number of pictures of each shard that is made.
        let_in: called now and then; whatever it raises ends the work.
        done: called with each shard that is made, in any order.

    Raises:
        TurnstillError: where dask is not installed, no scheduler answers, or a worker could not make a shard.
    """
    try:
        distributed: Any = import_module("distributed")
    except ImportError as wrong:
        raise TurnstillError("--scheduler needs dask; pip install 'turnstill[cluster]'.") from wrong
    try:
        client = distributed.Client(address, timeout=_CONNECT_S, set_as_default=False)
    except (OSError, ValueError) as wrong:  # A timeout is one of the system's errors.
        raise TurnstillError(
            f"No dask scheduler answers at {address[:80]}; start one with dask scheduler, and give its tcp://host:port."
        ) from wrong
    with client, client.as_current():
        place = folder.resolve()
        of_future: dict[Any, Shard] = {
            client.submit(_shard_of, drawing, recipe, shard, str(place), retries=RETRIES, pure=False): shard
            for shard in shards
        }
        waiting = set(of_future)
        while waiting:
            let_in()
            try:
                state = distributed.wait(waiting, timeout=_LOOK_AGAIN_S, return_when="FIRST_COMPLETED")
            except TimeoutError:
                continue
            for future in state.done:
                count, made = _result(future, distributed.KilledWorker)
                done(of_future.pop(future), made)
                told(count)
            waiting = state.not_done


def _result(future: Any, killed: type[Exception]) -> tuple[int, Any]:
    try:
        result: tuple[int, Any] = future.result()
    except killed as wrong:
        raise TurnstillError(
            "Workers of the cluster died of the same shard again and again, for want of memory perhaps; give each 2 GB "
            "and one thread."
        ) from wrong
    return result


def _shard_of(drawing: Drawing, recipe: Recipe, shard: Shard, folder: str) -> tuple[int, Any]:
    """On a worker: the shard; how many pictures it has, and what whoever draws returns."""
    made: list[int] = []
    with _ONE_AT_A_TIME, drawing() as draw:
        result = draw(recipe, shard, Path(folder), made.append)
    return sum(made), result
