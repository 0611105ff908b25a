"""How well films are read, 500 simulated swings with one fault a row: the tables of docs/film_reading.md.

    python tests/benchmarks/film_table.py [WORDS]

Of the rows whose name has the words, all if none are given; some 15 s of processor time a row and kind of films. The
seeds are those of the judge (``pytest -m heavy tests/model/test_film_reading.py``): nothing was tuned on them.
"""

from __future__ import annotations

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from film_judge import EVEN, FILMS, filmed, judged, line
from filmed_swings import Conditions

from turnstill.model.films.film_noise import FilmNoise

COUNT = 500
NO_FACE_DRAGGED = FilmNoise(dragged=0.0)
ROWS: dict[str, tuple[Conditions, FilmNoise, bool]] = {
    "as they are": (Conditions(), EVEN, True),
    "as shipped": (Conditions(), FilmNoise(), True),
    "as shipped, habits and face dragged": (Conditions(habits=1.0, face_dragged=True), FilmNoise(), True),
    "--face-detector, habits": (Conditions(habits=1.0), NO_FACE_DRAGGED, True),
    "shoulders and hips taken wide face-on at the top": (Conditions(), NO_FACE_DRAGGED, True),
    "cameras 10° off square": (Conditions(exact_yaw=10.0), EVEN, True),
    "30 % of frames exchanged": (Conditions(swapped=0.3), EVEN, True),
    "40 % of detections missing": (Conditions(dropped=0.4), EVEN, True),
    "feet cut off": (Conditions(no_feet=True), EVEN, True),
    "stature unknown": (Conditions(), EVEN, False),
    "two swings 2° / 0.75 cm apart": (Conditions(apart=1.0), EVEN, True),
    "head turns up to 15° more": (Conditions(head_turn=15.0), EVEN, True),
}
"""What is filmed how, what is believed of the noise, and whether the stature is told."""


def main() -> None:
    """Print the rows."""
    words = " ".join(sys.argv[1:])
    for name, (how, noise, stature_known) in ROWS.items():
        for films in FILMS:
            if words in name:
                row = judged(filmed(1, COUNT, how), films, noise, stature_known)
                print(line(f"{name}, {films.replace('_', ' ')}", row), flush=True)


if __name__ == "__main__":
    main()
