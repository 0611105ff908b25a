"""Processes that draw shards side by side, each with one stage of its own; one that dies is replaced.

They are spawned: a forked child hangs where its parent has drawn. A worker tells of every picture, so that one whose
parent was killed notices at its next picture, and ends.
"""

from __future__ import annotations

import contextlib
import os
import signal
import traceback
from collections import deque
from collections.abc import Callable, Iterator, Sequence
from contextlib import AbstractContextManager
from dataclasses import dataclass
from multiprocessing import get_context
from multiprocessing.connection import Connection, wait
from pathlib import Path
from typing import Any

from ....model.errors import TurnstillError
from ..layout.placing import clear_parts
from ..plan.recipe import Recipe
from ..plan.schedule import Shard

Told = Callable[[int], object]
"""Called with the number of pictures made since the last call."""
Draw = Callable[[Recipe, Shard, Path, Told], object]
"""Makes a shard in a data set's folder, whole or not at all; what it returns goes to whoever asked."""
Done = Callable[[Shard, Any], object]
"""Called with each shard that is made, and with what whoever made it returned."""
Drawing = Callable[[], AbstractContextManager[Draw]]
"""What a worker opens once and makes all its shards with; a function of a module, since it goes to other processes."""
ONE_THREAD = dict.fromkeys(("LP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "OPENCV_FOR_THREADS_NUM"), "1")
"""In each worker, since workers side by side use the cores better than threads in each (measured)."""
TRIES = 3
"""A shard whose worker died so often is not tried again."""
_LOOK_AGAIN_S = 0.2
_PATIENCE_S = 5.0


@dataclass
class _Worker:
    process: Any
    line: Connection
    shard: Shard


def make_shards(
    recipe: Recipe,
    shards: Sequence[Shard],
    folder: Path,
    workers: int,
    drawing: Drawing,
    told: Told,
    let_in: Callable[[], object],
    done: Done = lambda shard, result: None,
) -> None:
    """Make shards in processes of their own.

    Args:
        recipe: what is asked for.
        shards: which are to be made.
        folder: the data set's.
        workers: how many processes.
        drawing: what each of them draws with.
        told: called with the number of pictures made since the last call; negative where some were lost.
        let_in: called now and then; whatever it raises ends the workers, and nothing half-made is left.
        done: called with each shard that is made, in any order.

    Raises:
        TurnstillError: what stopped a worker, or that workers die; shards made before that stay.
        RuntimeError: a fault of the program in a worker.
    """
    waiting, deaths = deque(shards), dict.fromkeys(shards, 0)
    running: list[_Worker] = []
    pictures = dict.fromkeys(shards, 0)
    try:
        while waiting or running:
            while waiting and len(running) < workers:
                running.append(_started(drawing, recipe, waiting.popleft(), folder))
            ready = wait([worker.line for worker in running], timeout=_LOOK_AGAIN_S)
            let_in()
            for worker in [one for one in running if one.line in ready]:
                try:
                    kind, content = worker.line.recv()
                except (EOFError, OSError):
                    _end([worker])
                    running.remove(worker)
                    deaths[worker.shard] += 1
                    told(-pictures[worker.shard])
                    pictures[worker.shard] = 0
                    if deaths[worker.shard] >= TRIES:
                        raise _died(worker) from None
                    waiting.append(worker.shard)
                    continue
                if kind == "picture":
                    pictures[worker.shard] += content
                    told(content)
                elif kind == "refused":
                    raise TurnstillError(content)
                elif kind == "fault":
                    raise _fault(content)
                else:
                    done(worker.shard, content)
                    if waiting:
                        worker.shard = waiting.popleft()
                        _hand(worker)
                    else:
                        running.remove(worker)
                        _end([worker], orderly=True)
    finally:
        _end(running)
        clear_parts(folder)


def _fault(trace: str) -> RuntimeError:
    """A fault of the program in a worker, told as one of the first process."""
    fault = RuntimeError(trace.strip().rpartition("\n")[2])
    fault.add_note(trace)
    return fault


def _died(worker: _Worker) -> TurnstillError:
    status = worker.process.exitcode
    how = f"signal {-status}" if status is not None and status < 0 else f"status {status}"
    return TurnstillError(
        f"The process that drew {worker.shard.split}-{worker.shard.index:05d} ended {TRIES} times ({how}), for want of "
        "memory perhaps: try fewer --workers; in a script of your own call make_dataset under "
        'if __name__ == "__main__".'
    )


def _started(drawing: Drawing, recipe: Recipe, shard: Shard, folder: Path) -> _Worker:
    spawn = get_context("spawn")
    ours, theirs = spawn.Pipe()
    process = spawn.Process(target=_work, args=(theirs, drawing, recipe, folder), daemon=True)
    with _environment(ONE_THREAD):
        process.start()
    theirs.close()
    worker = _Worker(process, ours, shard)
    with contextlib.suppress(OSError):  # It may have died at once, which is seen when it is listened to.
        _hand(worker)
    return worker


def _hand(worker: _Worker) -> None:
    worker.line.send(worker.shard)


def _end(workers: Sequence[_Worker], *, orderly: bool = False) -> None:
    for worker in workers:
        worker.line.close()
        if orderly:
            worker.process.join(_PATIENCE_S)
        worker.process.kill()
    for worker in workers:
        worker.process.join()


@contextlib.contextmanager
def _environment(changes: dict[str, str]) -> Iterator[None]:
    before = {name: os.environ.get(name) for name in changes}
    os.environ.update(changes)
    try:
        yield
    finally:
        for name, value in before.items():
            if value is None:
                del os.environ[name]
            else:
                os.environ[name] = value


def _work(line: Connection, drawing: Drawing, recipe: Recipe, folder: Path) -> None:
    """A worker: shard after shard, until the line is closed."""
    # A Ctrl-C reaches every process of a terminal; the first one ends the others.
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    with contextlib.suppress(EOFError, BrokenPipeError, ConnectionResetError):
        try:
            with drawing() as draw:
                while True:
                    made = draw(recipe, line.recv(), folder, lambda count: line.send(("picture", count)))
                    line.send(("made", made))
        except TurnstillError as wrong:
            line.send(("refused", str(wrong)))
        except (EOFError, BrokenPipeError, ConnectionResetError):
            raise
        except Exception:
            line.send(("fault", traceback.format_exc()))
