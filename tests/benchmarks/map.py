"""Maps of 61 by 61 places by the default golfer, the simulated swing itself not counted, and the same place by place.

Run as ``python tests/benchmarks/map.py``. The peer asks `head_asked.answer_plain`, and `simulate` as a user would, for
places drawn at random, one at a time; what either says must be what the map says there. The commands are fresh
processes, by the clock.
"""

from __future__ import annotations

import one_core  # before numpy, whose threads start with the import

# isort: split
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable

import numpy as np

from turnstill.model import Address, Body, Pieces
from turnstill.model.arrays import Array
from turnstill.model.chain.golfers import Golfers
from turnstill.model.golfer.pieces import PIECES
from turnstill.model.questions.head_asked import answer_plain
from turnstill.model.questions.steady_map import SteadyMap, steady_map
from turnstill.model.swing.simulate import simulate
from turnstill.model.swing.swing import Swing
from turnstill.scenes.map.work import map_of
from turnstill.scenes.setups.presets import load

SIZE, REPEATS, PLACES, AT_MOST_MS = 61, 5, 12, 500.0
PAIRS = (
    ("tilt", "extension"),
    ("shoulder_turn", "extension"),
    ("hip_turn", "extension"),
    ("hip_turn", "shoulder_turn"),
    ("hip_turn", "sway"),
)
COMMANDS = (
    "map centred",
    "map centred --out map",
    "map centred --x hip_turn --y sway",
    "experiment trail-flare --from 0 --to 40",
    "experiment trail-flare --from 0 --to 40 --steps 61",
    "experiment trail-flare --from 0 --to 40 --no-pictures --out flare",
)
COMMAND_AT_MOST_S = 3.0
SAME_M = 1e-6


def main() -> None:
    """Print the tables."""
    print(one_core.machine(), "\n")
    print(one_core.table(HEAD, [row(x, y) for x, y in PAIRS]), "\n")
    rows = [(f"`turnstill {words}`", f"{clock(words.split()):.2f}", f"{COMMAND_AT_MOST_S:g}") for words in COMMANDS]
    print(one_core.table(("command, cold", "s, median", "at most, s"), rows))


HEAD = (
    "pieces", "the joints allow", "ms a map", "at most, ms", "µs a place",
    "`answer_plain` one by one, µs a place", "`simulate` one by one, µs a place",
)  # fmt: skip


def row(x: str, y: str) -> tuple[str, ...]:
    """One map beside its peers."""
    mapped = map_of(load("centred"), x, y, SIZE)
    swing, found = mapped.performed.swing, mapped.found
    seconds = one_core.median_seconds(lambda: steady_map(swing, x, y, found.x_values, found.y_values), REPEATS)
    golfers = Golfers.at_address(Body.from_stature(), Address(), ())

    def by_answer(asked: dict[str, float]) -> Array:
        said = answer_plain(golfers, np.zeros(1, int), {name: np.array([value]) for name, value in asked.items()})
        return said.outcome[0, 0, :3]

    def by_simulate(asked: dict[str, float]) -> Array:
        return simulate(Body.from_stature(), Address(), Pieces(**asked), frames=2).measures.head_moved[-1]

    peers = [f"{1e6 * one_by_one(peer, swing, found):,.0f}" for peer in (by_answer, by_simulate)]
    return (
        f"{x} by {y}", f"{found.reached.mean():.0%}", f"{seconds * 1e3:.0f}", f"{AT_MOST_MS:.0f}",
        f"{seconds * 1e6 / SIZE**2:.0f}", *peers,
    )  # fmt: skip


def one_by_one(ask: Callable[[dict[str, float]], Array], swing: Swing, found: SteadyMap) -> float:
    """Median seconds of a place asked for alone, which must be the map's."""
    seconds = []
    for place in np.random.default_rng(3).integers(SIZE, size=(PLACES, 2)):
        row, column = (int(k) for k in place)
        asked = {name: float(swing.asked[name][-1]) for name in PIECES}
        asked |= {found.x: float(found.x_values[column]), found.y: float(found.y_values[row])}
        spent, head = one_core.cpu_seconds(lambda asked=asked: ask(asked))  # type: ignore[misc]
        if np.abs(head - found.outcome[row, column, :3]).max() > SAME_M:
            raise SystemExit(f"{ask.__name__} says otherwise at {found.x} {column}, {found.y} {row}: {head}")
        seconds.append(spent)
    return statistics.median(seconds)


def clock(words: list[str]) -> float:
    """Median seconds of five fresh processes."""
    code = f"import sys; sys.argv = {['turnstill', *words]!r}; from turnstill.scenes.cli import main; main()"
    seconds = []
    with tempfile.TemporaryDirectory() as folder:
        for _ in range(5):
            start = time.perf_counter()
            subprocess.run([sys.executable, "-c", code], check=True, capture_output=True, cwd=folder)
            seconds.append(time.perf_counter() - start)
    return statistics.median(seconds)


if __name__ == "__main__":
    main()
