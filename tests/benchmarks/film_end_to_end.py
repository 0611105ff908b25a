"""The whole way from films to a fault: films are drawn and saved, the real detector looks at them, `read` reads them.

    python tests/benchmarks/film_end_to_end.py FOLDER [GOLFERS] [SEED] [FPS]

Each golfer has one fault; bodies, addresses, faults, looks, places, lights, sensors and phones' cameras are drawn, see
`drawn_films`. Films and tracks stay in the folder: what is there is not made again. It needs the detector
(``turnstill detector make``, or a folder named by TURNSTILL_DETECTOR), one process and some 40 s a golfer. Golfers of
seed 60 are those that the table in docs/film_reading.md is of: nothing was tuned on them. Films are of 30 frames a
second unless said otherwise; each rate needs a folder of its own.
"""

from __future__ import annotations

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import sys
from pathlib import Path
from time import perf_counter
from types import SimpleNamespace

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1]))

import drawn_films
import film_judge
import simulated_faults

from turnstill.model.errors import TurnstillError
from turnstill.model.films.film_moments import VIEWS
from turnstill.model.films.film_reading import Reading
from turnstill.model.golfer.pieces import DEPARTURES
from turnstill.render.stage.stage import Stage
from turnstill.scenes.read.found import FilmsRead, films_read
from turnstill.scenes.read.given import Given
from turnstill.scenes.read.tracks_file import Picture

SEED, GOLFERS = 60, 60
FILMS = {"both": VIEWS, "face-on": VIEWS[:1], "down the line": VIEWS[1:]}


def read(folder: Path, faulty: simulated_faults.Faulty, k: int, views: tuple[str, ...]) -> FilmsRead:
    """One golfer's films as the command reads them; the stature and the sex are told."""
    films = {view: str(folder / f"{view}.mp4") for view in views}
    given = Given(films, Picture(), os.environ.get("TURNSTILL_DETECTOR"), True)
    tracks, makers = given.tracks()
    body = faulty.body[k]
    return films_read(
        tracks, stature_m=float(body.stature), female=bool(body.female), left_handed=None, frames={}, makers=makers
    )


def _by_piece(faulty: simulated_faults.Faulty, parts: list[tuple[np.ndarray, Reading]]) -> str:
    """Of each piece's faults, how many were named."""
    said = []
    for k, name in enumerate(DEPARTURES):
        own = [reading.diagnosis.largest[0].argmax() == k for which, reading in parts if faulty.at_fault[which[0], k]]
        said.append(f"{name} {sum(own)} of {len(own)}")
    return "named: " + ", ".join(said)


def main(folder: Path, count: int, seed: int, fps: float) -> None:
    """Draw, read and print."""
    faulty = simulated_faults.draw(np.random.default_rng(seed), count, 1)
    homes = [folder / f"{k:03d}" for k in range(count)]
    times = []
    with Stage() as stage:
        for k, home in enumerate(homes):
            if not (home / "drawn").exists():
                home.mkdir(parents=True, exist_ok=True)
                start = perf_counter()
                drawn_films.draw(faulty, k, seed, home, stage, fps)
                (home / "drawn").touch()
                times.append(perf_counter() - start)
    if times:
        print(f"drawing: {np.mean(times):.1f} s a golfer\n")
    truth = [drawn_films.tempos(seed, k, fps) for k in range(count)]
    off: dict[str, list[tuple[float, float]]] = {view: [] for view in VIEWS}
    lines = []
    for name, views in FILMS.items():
        parts, refused, seconds = [], [], []
        for k, home in enumerate(homes):
            start = perf_counter()
            try:
                result = read(home, faulty, k, views)
            except TurnstillError as wrong:
                refused.append(f"{k}: {wrong}")
                continue
            seconds.append(perf_counter() - start)
            parts.append((np.array([k]), result.reading))
            for view in views if name == "both" else ():
                moments, true = result.films[view].moments, truth[k][view]
                off[view].append((moments.address - true.takeaway, moments.top - true.top))
        print(_by_piece(faulty, parts))
        lines.append(film_judge.line(name, film_judge._row(SimpleNamespace(faulty=faulty), parts)))
        print(f"{name}: {len(parts)} read in {np.mean(seconds):.1f} s each; refused {refused}", flush=True)
    print(
        "\n| films | named, % | 90 % set holds it (size) | where over 70 % is said, right (share said) | rms tilt, "
        "extension, ° | rms head: target / up / ball, cm | 90 % intervals of pieces hold | of readings | refused, % |\n"
        "|---|---:|---:|---:|---:|---:|---:|---:|---:|"
    )
    print("\n".join(lines))
    for view, rows in off.items():
        ms = np.array(rows) / fps * 1e3
        print(f"{view}: moments off by, mean, sd and most, ms:", end="")
        for which, name in enumerate(("address", "top")):
            own = ms[:, which]
            print(f" {name} {own.mean():.0f}, {own.std():.0f}, {np.abs(own).max():.0f}", end="")
        print()


if __name__ == "__main__":
    main(
        Path(sys.argv[1]), int(sys.argv[2]) if len(sys.argv) > 2 else GOLFERS,
        int(sys.argv[3]) if len(sys.argv) > 3 else SEED, float(sys.argv[4]) if len(sys.argv) > 4 else drawn_films.FPS,
    )  # fmt: skip
