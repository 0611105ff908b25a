"""Where the time of a labelled picture goes, part by part, in one worker's loop on whatever draws here.

Run as ``python tests/benchmarks/dataset_parts.py [RECIPE WIDTH HEIGHT SUBJECTS]``. Time of all processors of the
process, each part without the parts inside it; one thread each, as workers have. Swings are worked out for sixteen
golfers together and counted by the picture.
"""

from __future__ import annotations

import one_thread  # noqa: F401  before numpy, whose threads start with the import

# isort: split

import functools
import io
import sys
import time
from typing import Any

from turnstill.render.body.body_surface import BodySurface
from turnstill.render.body.skinning import Carried
from turnstill.render.figure import figure as figures
from turnstill.render.figure.made import Made
from turnstill.render.photograph.exposing import Readout
from turnstill.render.photograph.tripod import Tripod
from turnstill.render.stage.stage import Stage
from turnstill.scenes.dataset.layout.archive import ArchiveWriter
from turnstill.scenes.dataset.making import photographs as making
from turnstill.scenes.dataset.making import sight
from turnstill.scenes.dataset.making.labels import TripodLabels
from turnstill.scenes.dataset.plan.loading import load_recipe
from turnstill.scenes.dataset.plan.subjects import draw_subjects

TOGETHER = 16
PARTS: tuple[tuple[str, Any, str], ...] = (
    ("figure: body surface", BodySurface, "__init__"),
    ("figure: clothes", figures, "coverings"),
    ("figure: clothes", Carried, "of"),
    ("figure: hands", figures, "hand_parts"),
    ("figure: head and shoes", Made, "head"),
    ("figure: head and shoes", Made, "shoes"),
    ("figure: the rest", figures.Figure, "__init__"),
    ("ground, backdrop, what stands in front", Tripod, "__init__"),
    ("points", figures.Posed, "each"),
    ("normals", figures.Figure, "normals"),
    ("drawing ids and depth", Stage, "labels"),
    ("drawing the shadow", Stage, "shadow_samples"),
    ("drawing colours", Stage, "figure_samples"),
    ("laying together", Tripod, "take"),
    ("label: lines of sight", sight, "first_met"),
    ("label", TripodLabels, "of"),
    ("label", TripodLabels, "__init__"),
    ("noise", Readout, "__init__"),
    ("noise", Readout, "noisy"),
    ("JPEG or PNG", making, "encoded"),
    ("packing ids and depth", making, "packed"),
    ("archive", ArchiveWriter, "add"),
)
"""Name, and where the function is."""


class Clock:
    """Seconds of each part, the parts inside it left out."""

    def __init__(self) -> None:
        self.seconds: dict[str, float] = {}
        self._open = ["the rest"]
        self._since = time.process_time()

    def _turn(self) -> None:
        now = time.process_time()
        self.seconds[self._open[-1]] = self.seconds.get(self._open[-1], 0.0) + now - self._since
        self._since = now

    def around(self, name: str, where: Any, function: str) -> None:
        """Count what a function takes."""
        plain = where.__dict__[function]
        bound = isinstance(plain, classmethod)
        inner = plain.__func__ if bound else plain

        @functools.wraps(inner)
        def counted(*args: Any, **named: Any) -> Any:
            self._turn()
            self._open.append(name)
            try:
                return inner(*args, **named)
            finally:
                self._turn()
                self._open.pop()

        setattr(where, function, classmethod(counted) if bound else counted)

    def read(self) -> dict[str, float]:
        """What has been counted since the last reading."""
        self._turn()
        read, self.seconds = self.seconds, {}
        return read


def main() -> None:
    """Print the table."""
    name, width, height, subjects = (*sys.argv[1:5], *("plain", "1280", "720", "3")[len(sys.argv) - 1 :])
    size = {"width": int(width), "height": int(height), "subjects": TOGETHER, "splits": {"train": 1.0}}
    recipe = load_recipe(name).model_copy(update=size)
    each = recipe.swings * recipe.moments * len(recipe.views)
    start = time.process_time()
    draw_subjects(recipe, range(TOGETHER))
    swings = (time.process_time() - start) / (TOGETHER * each)
    clock = Clock()
    for part in PARTS:
        clock.around(*part)
    began = time.perf_counter()
    with Stage() as stage, ArchiveWriter(io.BytesIO()) as archive:
        for number in range(int(subjects) + 1):
            if number == 1:  # The first one warms up.
                clock.read()
                began = time.perf_counter()
            (subject,) = draw_subjects(recipe, [number])
            for photograph in making.photographs(recipe.seed, subject, stage):
                archive.add(photograph.key, photograph.members)
        seconds, wall = clock.read(), time.perf_counter() - began
    count = int(subjects) * each
    print(f"{name}, {width}x{height}, {count} pictures; by the clock {1e3 * wall / count:.1f} ms a picture\n")
    print("| ms a picture, by processor time | |\n| ---: | --- |")
    rows = [(value / count, part) for part, value in seconds.items()] + [(swings, "swings")]
    for value, part in sorted(rows, reverse=True):
        print(f"| {1e3 * value:.1f} | {part} |")
    print(f"| {1e3 * sum(value for value, _ in rows):.1f} | in all |")


if __name__ == "__main__":
    main()
