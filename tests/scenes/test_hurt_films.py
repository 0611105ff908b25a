"""Hurt tracks, drawn from a seed: each is read or refused in a sentence, never with an error of the program, and what
is said with more than 70 % stays right. Run with ``-m heavy -s``; it takes some minutes.
"""

from __future__ import annotations

import warnings

import film_judge
import filmed_swings
import numpy as np
import pytest

from turnstill.model.errors import TurnstillError
from turnstill.model.films.tracks import Track
from turnstill.model.golfer.pieces import DEPARTURES
from turnstill.scenes.read.found import films_read
from turnstill.scenes.read.report import ReadReport

CASES, SWINGS = 400, 12


def hurt(rng: np.random.Generator, track: Track) -> Track:
    """A track with one or two things done to it that detectors, files and people do."""
    places, fps, width, height = track.places.copy(), track.fps, track.width, track.height
    for _ in range(rng.integers(1, 3)):
        done = rng.integers(15)
        if done == 0:
            places[rng.integers(len(places))] = 9e5
        elif done == 1:
            places[:] = np.nan
        elif done == 2:
            places[:, rng.integers(17)] = np.nan
        elif done == 3:
            places = np.clip(places * rng.choice([1e-6, 0.01, 0.5, 2.0, 1e3]), -1e6, 1e6)
        elif done == 4:
            places = places[: rng.integers(8, len(places) + 1)]
        elif done == 5:
            places = places[rng.integers(0, len(places) - 7) :]
        elif done == 6:
            places[:] = places[0]
        elif done == 7:
            places = places + rng.normal(0.0, rng.choice([5.0, 50.0, 500.0]), places.shape)
        elif done == 8:
            places[rng.random(places.shape[:2]) < 0.9] = np.nan
        elif done == 9:
            places = places[::-1].copy()
        elif done == 10:
            fps = float(rng.choice([10.0, 15.0, 240.0, 1000.0]))
        elif done == 11:
            places = places[:, rng.permutation(17)]
        elif done == 12:
            places[rng.random(places.shape[:2]) < 0.05] = rng.uniform(-5000.0, 5000.0, 2)
        elif done == 13:
            places = np.repeat(places, rng.integers(2, 6), axis=0)
        else:
            width, height = height, width
    confidence = np.where(np.isfinite(places).all(axis=-1), 0.8, 0.0)
    return Track(places, confidence, width, height, fps)


@pytest.mark.heavy
def test_hurt_films_are_read_or_refused_and_what_is_said_stays_right():
    filmed = film_judge.filmed(1, SWINGS, filmed_swings.Conditions(), 901)
    rng = np.random.default_rng(17)
    told = {"read": 0, "refused": 0, "sure": 0, "right": 0}
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        for case in range(CASES):
            who = case % SWINGS
            try:
                tracks = {}
                for view in ("face_on", "down_the_line"):
                    track = getattr(filmed, view)[who]
                    track = hurt(rng, track) if rng.random() < 0.6 else track
                    if rng.random() < 0.85 or (view == "down_the_line" and not tracks):
                        tracks[view] = track
                report = ReadReport.of_films(
                    films_read(tracks, stature_m=None, female=False, left_handed=None, frames={})
                )
            except TurnstillError as wrong:
                assert "\n" not in str(wrong)
                told["refused"] += 1
                continue
            told["read"] += 1
            best = report.each_piece[0]
            if best.probability > film_judge.SURE:
                told["sure"] += 1
                told["right"] += bool(filmed.faulty.at_fault[who, DEPARTURES.index(best.piece)])
    print(told)
    assert told["refused"] > 0.3 * CASES
    assert told["sure"] >= 30
    assert told["right"] >= 0.9 * told["sure"]
