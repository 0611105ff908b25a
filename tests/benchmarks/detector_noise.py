"""How far the detector is off at the top in drawn films: figures of pairs and faces in `model/films/detector_noise.py`.

    python tests/benchmarks/detector_noise.py FOLDER [GOLFERS] [SEED]

Of films that `film_end_to_end` drew and had looked at, of a seed of its own: never of those that the reading is judged
by. All are root mean squares, of habits and scatter together, and of pairs taken for each other too.
"""

from __future__ import annotations

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import sys
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1]))

import drawn_films
import simulated_faults

from turnstill.model.arrays import Array
from turnstill.model.errors import TurnstillError
from turnstill.model.films.film_moments import VIEWS, find
from turnstill.model.films.filmed_golfer import FACE, FITTED, face_of
from turnstill.model.films.one_person import of_one_person
from turnstill.model.films.seen_moments import seen_at
from turnstill.model.films.swaps import mended
from turnstill.scenes.read.found import LEAST_CONFIDENCE
from turnstill.scenes.read.kept_track import place_of
from turnstill.scenes.read.tracks_file import Picture, read_made

SEED, GOLFERS = 61, 24
PAIRS = ("shoulder", "hip", "knee", "ankle")
BODY = FITTED[FACE:]


def drawn(faulty: simulated_faults.Faulty, k: int) -> Array:
    """``(2, 13, 3)`` m, world, where the keypoints are at address and at the top."""
    skeleton, body = drawn_films.swing_of(faulty, k).skeleton, faulty.body[np.array([k])]
    joints, head = skeleton.joints, skeleton.frames["head"][[0, -1]]
    face = joints["head"][[0, -1], None] + face_of(body, np.ones(1))[0] @ np.swapaxes(head, -1, -2)
    names = [name.replace("left", "lead").replace("right", "trail").split("_") for name in BODY]
    below = np.stack([joints[f"{kind}_{side}"][[0, -1]] for side, kind in names], axis=1)
    return np.concatenate([face, below], axis=1)


def shown(home: Path, view: str) -> tuple[Array, str]:
    """``(2, 13, 2)`` pixels, where the detector has them, and what says where the face is."""
    track, maker = read_made(str(place_of(home / f"{view}.mp4")), Picture())
    own = mended(of_one_person(track.trusted(LEAST_CONFIDENCE)), view).track
    return seen_at(own, find(own, view)), maker.face


def main(folder: Path, count: int, seed: int) -> None:
    """Measure and print."""
    faulty = simulated_faults.draw(np.random.default_rng(seed), count, 1)
    for number, view in enumerate(VIEWS):
        off, faces, refused = [], [], []
        for k in range(count):
            home, camera = folder / f"{k:03d}", drawn_films.camera(seed, k, number)
            if not place_of(home / f"{view}.mp4").exists():
                continue
            world = drawn(faulty, k)
            to_metres = camera.depth(world)[..., None] / camera.K[0, 0]
            try:
                places, face = shown(home, view)
            except TurnstillError as wrong:
                refused.append(f"{k}: {wrong}")
                continue
            off.append((places - camera.project(world)) * to_metres)
            faces.append(face)
        print(f"{view}: {len(off)} golfers; refused {refused}")
        tell(np.stack(off)[:, :, FACE:])
        for face in sorted(set(faces)):
            own = np.stack([one for one, by in zip(off, faces, strict=True) if by == face])[:, :, :FACE].mean(axis=2)
            change = own[:, 1] - own[:, 0]
            print(
                f"  whole face by {face} in {len(own)}, at the top, right and down: "
                f"{np.sqrt(np.nanmean(change**2, axis=0)).round(4)}; habit {np.nanmean(change, axis=0).round(4)}, "
                f"most {np.nanmax(np.abs(change), axis=0).round(4)}"
            )


def tell(off: Array) -> None:
    """Print the figures of a view: errors ``(S, 2, 8, 2)`` m, right and down in the picture."""
    for kind in PAIRS:
        pair = [BODY.index(f"{side}_{kind}") for side in ("left", "right")]
        change = off[:, 1, pair] - off[:, 0, pair]
        change = change[np.isfinite(change).all(axis=(1, 2))]
        square = np.einsum("spa,sqa->apq", change, change) / len(change)
        lead, trail = np.sqrt(square[:, 0, 0]), np.sqrt(square[:, 1, 1])
        together, habit = square[:, 0, 1] / (lead * trail), change.mean(axis=0)
        print(
            f"  {kind}, at the top, right and down: lead {lead.round(3)}, trail {trail.round(3)}, together "
            f"{together.round(2)}; habit lead {habit[0].round(3)}, trail {habit[1].round(3)}"
        )


if __name__ == "__main__":
    main(
        Path(sys.argv[1]), int(sys.argv[2]) if len(sys.argv) > 2 else GOLFERS,
        int(sys.argv[3]) if len(sys.argv) > 3 else SEED,
    )  # fmt: skip
