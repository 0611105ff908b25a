"""One whole swing of 41 moments, the centred preset by the default golfer, and where its time goes.

Run as ``python tests/benchmarks/swing.py``.
"""

from __future__ import annotations

import one_core  # before numpy, whose threads start with the import

# isort: split
import importlib
import statistics
import time
import tracemalloc
from collections import defaultdict
from collections.abc import Callable
from typing import Any

from turnstill.model import Swing
from turnstill.scenes.setups.perform import swing_of
from turnstill.scenes.setups.presets import load

FRAMES, REPEATS, AT_MOST_MS, THROUGH_MS = 41, 15, 100.0, 110.0
PARTS = {  # the stages, as simulate() walks through them
    "Golfers.at_address": "address, balanced over the feet",
    "Moments.lower": "legs and pelvis",
    "OnLegs.hold": "steady: the tilt and extension that hold the head",
    "OnHeld.reach": "trunk inside its range, girdle",
    "Moments.figure": "figure: spine, head, arms, club",
}


class Watch:
    """Adds up what each part takes, a part inside another counting for the outer one."""

    def __init__(self) -> None:
        self.seconds: dict[str, float] = defaultdict(float)
        self.inside = False

    def around(self, name: str, work: Callable[..., Any]) -> Callable[..., Any]:
        def timed(*given: Any, **named: Any) -> Any:
            if self.inside:
                return work(*given, **named)
            self.inside, start = True, time.thread_time()
            try:
                return work(*given, **named)
            finally:
                self.inside = False
                self.seconds[name] += time.thread_time() - start

        return timed


def watched(perform: Callable[[], Swing]) -> tuple[dict[str, float], float]:
    """Seconds of each part of one run, and of all of it."""
    stages = [vars(importlib.import_module(f"turnstill.model.chain.{name}")) for name in ("golfers", "walk")]
    watch, before = Watch(), []
    for path in PARTS:
        owner, name = path.split(".")
        holder: Any = next(stage[owner] for stage in stages if owner in stage)
        work = vars(holder)[name]  # as it stands in the class: at_address is a class method
        plain = work.__func__ if isinstance(work, classmethod) else work
        timed = watch.around(path, plain)
        before.append((holder, name, work))
        setattr(holder, name, classmethod(timed) if plain is not work else timed)
    try:
        whole, _ = one_core.cpu_seconds(perform)
    finally:
        for holder, name, work in before:
            setattr(holder, name, work)
    return watch.seconds, whole


def main() -> None:
    """Print the table."""
    print(one_core.machine(), "\n")
    setup = load("centred")

    def perform() -> Swing:
        return swing_of(setup, FRAMES)

    whole = one_core.median_seconds(perform, REPEATS)
    runs = [watched(perform)[0] for _ in range(REPEATS)]
    part = {name: statistics.median(run[name] for run in runs) for name in PARTS}
    rows = [(words, f"{part[name] * 1e3:.1f}", f"{part[name] / whole:.0%}", "") for name, words in PARTS.items()]
    rest = whole - sum(part.values())
    rows.append(("reading it all off", f"{rest * 1e3:.1f}", f"{rest / whole:.0%}", ""))
    rows.append((f"one swing of {FRAMES} moments", f"{whole * 1e3:.1f}", "100%", f"{AT_MOST_MS:.0f}"))
    through = one_core.median_seconds(lambda: swing_of(setup, FRAMES, through_impact=True), REPEATS)
    moments = 2 * FRAMES - 1
    rows.append(
        (f"through impact, {moments} moments", f"{through * 1e3:.1f}", f"{through / whole:.0%}", f"{THROUGH_MS:.0f}")
    )
    print(one_core.table(("part", "ms", "share", "at most, ms"), rows))
    tracemalloc.start()
    perform()
    print(f"\nMost memory held at once by its arrays: {tracemalloc.get_traced_memory()[1] / 1e6:.1f} MB")


if __name__ == "__main__":
    main()
