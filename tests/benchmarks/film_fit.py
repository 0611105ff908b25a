"""One pair of films fitted, beside scipy's least squares on the same residuals: seconds, and how far apart they end.

    python tests/benchmarks/film_fit.py [SWINGS]

Both are given the same tracks, whose moments are found outside the timing; scipy gets slopes of all unknowns as one
batch. Processor seconds, for machines that others use.
"""

from __future__ import annotations

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import sys
from pathlib import Path
from time import process_time

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1]))

import film_judge
import filmed_swings
from scipy.optimize import least_squares

from turnstill.model.films import film_fit
from turnstill.model.films.film_fit import fit
from turnstill.model.films.film_noise import FilmNoise
from turnstill.model.films.film_problem import NUMBERS, Problem, Seen
from turnstill.model.films.filmed_golfer import Known
from turnstill.model.golfer.pieces import Pieces

NOISE = FilmNoise(wide={}, dragged=0.0)


def peer(known: Known, one: Seen) -> float:
    """Twice scipy's cost at its minimum."""
    problem = Problem(known, one, Pieces())
    start = np.zeros((1, NUMBERS))
    scale = problem.first_cameras(start, problem.pose(start))
    whitener = NOISE.whitener(one.seen, np.ones(one.seen.shape))

    def residuals(rows: np.ndarray) -> np.ndarray:
        count = len(rows)
        every = Seen(np.repeat(one.places, count, axis=0), np.repeat(one.size, count, axis=0))
        many = Problem(Known(np.repeat(known.stature, count), np.repeat(known.female, count)), every, Pieces())
        off = many.off(many.pixels(rows, many.pose(rows)))
        white = film_fit._whitened(np.repeat(whitener, count, axis=0), off[..., None], np.repeat(scale, count, axis=0))
        return np.concatenate([white[..., 0], rows], axis=1)

    def slopes(row: np.ndarray) -> np.ndarray:
        moved = residuals(np.concatenate([row[None], row + 1e-3 * np.eye(NUMBERS)]))
        return ((moved[1:] - moved[0]) / 1e-3).T

    return 2.0 * least_squares(lambda row: residuals(row[None])[0], start[0], slopes, max_nfev=25).cost


def main(count: int) -> None:
    """Print a line a swing and the medians."""
    film_fit.TRUSTED_TO = 1e9  # A plain least-squares problem for both.
    filmed = film_judge.filmed(1, count, filmed_swings.Conditions(), 77)
    seen, body = film_judge.seen_of(filmed), filmed.faulty.body
    rows = []
    for k in range(count):
        one, known = (
            Seen(seen.places[k : k + 1], seen.size[k : k + 1]),
            Known(body.stature[k : k + 1], body.female[k : k + 1]),
        )
        begin = process_time()
        ours = float(fit(known, one, NOISE).misfit[0])
        middle = process_time()
        theirs = peer(known, one)
        rows.append((middle - begin, process_time() - middle, ours - theirs))
        print(
            f"swing {k}: ours {rows[-1][0]:.2f} s, scipy {rows[-1][1]:.2f} s, minimum {rows[-1][2]:+.3f} above scipy's"
        )
    ours, theirs, apart = np.median(rows, axis=0)
    begin = process_time()
    fit(Known(body.stature, body.female), seen, NOISE)
    batch = (process_time() - begin) / count
    print(f"median: ours {ours:.2f} s, scipy {theirs:.2f} s, {apart:+.3f}; all {count} at once {batch:.3f} s each")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 12)
