"""How well impact is found in tracks, and what one frame there tells: why `read` reads none (docs/diagnosis.md).

    python tests/benchmarks/impact_on_film.py

Swings and faults at impact are those of `simulated_faults`, cameras and the detector's noise those of `filmed_swings`,
which were made for the way up: detectors are worse where pictures blur, so this is the best that can be hoped for.
Impact is taken to be where the hands are lowest after the top, or fastest; to the height they had at address they come
back in hardly any swing, since hips and shoulders are open.
"""

from __future__ import annotations

import sys
from itertools import product
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1]))

import filmed_swings as films
import simulated_faults as swings

from turnstill.model.films.hand_motion import hand_rows, hand_speed
from turnstill.model.films.tracks import KEYPOINTS, Track
from turnstill.model.golfer.impact import Impact, centred_at_impact
from turnstill.model.golfer.pieces import Pieces
from turnstill.model.swing.phases import IMPACT, PAST, TOP
from turnstill.model.swing.simulate import simulate

COUNT, FRAMES = 60, 41
STILL_S, BACK_S, PAST_S = 0.6, 0.9, 0.15
RATES = (30.0, 60.0, 120.0, 240.0)
HEAD = [KEYPOINTS.index(name) for name in ("nose", "left_eye", "right_eye", "left_ear", "right_ear")]


def main() -> None:
    """Print a row for each rate of frames and each way to find impact."""
    rng = np.random.default_rng(77)
    faulty = swings.draw(rng, COUNT, 1, at_impact=True)
    asked = Impact(swings.departing(centred_at_impact(), faulty.departures))
    swing = simulate(faulty.body, faulty.address, Pieces(), frames=FRAMES, impact=asked)
    world = np.stack([_points(swing, k) for k in range(COUNT)])
    turns = {name: np.degrees(swing.achieved[name]) for name in ("hip_turn", "shoulder_turn")}
    heights = world[:, :, [KEYPOINTS.index("left_wrist"), KEYPOINTS.index("right_wrist")], 2].mean(axis=-1)
    back = heights[:, FRAMES : swing.at_impact + 1].min(axis=1) <= heights[:, 0]
    print(f"hands come back to their height at address by impact in {back.sum()} of {COUNT} swings")
    print("by hands   fps   late, ms (sd)   hip turn  shoulders   head: toward target  up (cm, sd)")
    for how, fps in product(("lowest", "fastest", "told"), RATES):
        late, off, heads = [], [], []
        for k in range(COUNT):
            down = rng.uniform(0.24, 0.34)
            t = np.arange(int((STILL_S + BACK_S + down + PAST_S) * fps)) / fps + rng.uniform(0.0, 1.0 / fps)
            ends = np.cumsum([0.0, STILL_S, BACK_S, down, PAST_S])
            progress = np.interp(t, ends, [0.0, 0.0, TOP, IMPACT, PAST])
            pixels, scale, _ = films._camera(rng, _at(world[k], swing.progress, progress), 0, films.Conditions())
            track = films._detected(rng, pixels, scale, fps, 0, films.Conditions())
            found = _impact(track, how, t, ends)
            late.append(1e3 * (t[found] - ends[3]))
            there = [np.interp([progress[found], IMPACT], swing.progress, one[k]) for one in turns.values()]
            off.append([now - then for now, then in there])
            heads.append(_head(track.places, t < ends[1], found, scale) - _moved(swing, k))
        late, off, heads = (np.array(one) for one in (late, off, heads))
        rms, spread = np.sqrt((off**2).mean(axis=0)), np.sqrt((heads**2).mean(axis=0))
        print(
            f"{how:8s}   {fps:3.0f}   {late.mean():+5.1f} ({late.std():4.1f})    {rms[0]:5.1f}°   {rms[1]:5.1f}°     "
            f"{spread[0]:8.1f} {spread[1]:8.1f}"
        )


def _points(swing: object, k: int) -> np.ndarray:
    """``(M, 17, 3)`` m; the face by its head, which is all that is read of it."""
    joints = swing.skeleton.joints  # type: ignore[attr-defined]
    places = []
    for name in KEYPOINTS:
        side, _, kind = name.rpartition("_")
        lead = {"left": "lead", "right": "trail"}.get(side, "")
        places.append(joints["head" if kind in ("nose", "eye", "ear") else f"{kind}_{lead}"][k])
    return np.stack(places, axis=1)


def _at(world: np.ndarray, progress: np.ndarray, wanted: np.ndarray) -> np.ndarray:
    at = np.interp(wanted, progress, np.arange(len(progress)))
    low = np.minimum(at.astype(int), len(progress) - 2)
    share = (at - low)[:, None, None]
    return world[low] * (1.0 - share) + world[low + 1] * share


def _impact(track: Track, how: str, t: np.ndarray, ends: np.ndarray) -> int:
    """The frame that is taken for impact, between a tenth of a second after the top and the track's end."""
    down = np.flatnonzero(t > ends[2] + 0.1)
    if how == "told":
        return int(np.abs(t - ends[3]).argmin())
    told = hand_rows(track) if how == "lowest" else hand_speed(track)
    return int(down[np.nanargmax(told[down])])


def _head(places: np.ndarray, still: np.ndarray, frame: int, scale: np.ndarray) -> np.ndarray:
    """Toward the target and up, cm since address, of one frame by itself."""
    head = np.nanmean(places[:, HEAD], axis=1)
    moved = (head[frame] - np.nanmedian(head[still], axis=0)) / np.mean(scale[frame, HEAD]) * 100.0
    return np.array([moved[0], -moved[1]])


def _moved(swing: object, k: int) -> np.ndarray:
    moved = swing.measures.head_moved[k, swing.at_impact] * 100.0  # type: ignore[attr-defined]
    return moved[1:]


if __name__ == "__main__":
    main()
