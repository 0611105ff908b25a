"""The judge of reading films: tracks of known swings in, a row of the table out; in parts that fit memory."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import filmed_swings
import numpy as np
import simulated_faults as swings
from diagnosis_judge import SLABS

from turnstill.model.arrays import Array
from turnstill.model.films.film_moments import VIEWS, find
from turnstill.model.films.film_noise import FilmNoise
from turnstill.model.films.film_problem import Seen
from turnstill.model.films.film_reading import Reading, departures_of, read
from turnstill.model.films.filmed_golfer import Known
from turnstill.model.films.readings import READINGS
from turnstill.model.films.seen_moments import of_films
from turnstill.model.films.swaps import mended
from turnstill.model.golfer.pieces import DEPARTURES

FILMS = {"both": (True, True), "face_on": (True, False), "down_the_line": (False, True)}
SURE = 0.7
EVEN = FilmNoise(wide={}, dragged=0.0)
"""The generator's own kind of noise."""
PART = 60


@cache
def filmed(faults: int, count: int, how: filmed_swings.Conditions, seed: int = 7000) -> filmed_swings.Filmed:
    """The same swings for every row with so many faults; seeds that nothing was tuned on."""
    faulty = swings.draw(np.random.default_rng(seed + faults), count, faults)
    return filmed_swings.film(np.random.default_rng(seed + 100 + faults), faulty, how)


def seen_of(filmed: filmed_swings.Filmed, views: tuple[bool, bool] = (True, True)) -> Seen:
    """What is fitted, of films whose moments are all found."""
    films = []
    for tracks, view, used in zip((filmed.face_on, filmed.down_the_line), VIEWS, views, strict=True):
        right = [mended(track, view).track for track in tracks]
        films.append([(track, find(track, view)) if used else None for track in right])
    return of_films(*films)


@dataclass(frozen=True)
class Row:
    """One row: per cent, degrees and centimetres.

    Attributes:
        count: swings read; ``refused`` were not: no moments were found, or no golfer shows such films.
        named: the piece named is at fault.
        held: the 90 % set holds the piece that departs furthest.
        size: of that set.
        sure, right: share of swings with a piece over 70 %, and how often that piece is at fault.
        tilt, extension: rms of the departure as the diagnosis has it.
        head: rms of the head's readings: toward the target, up, toward the ball.
        covers: share of the 90 % intervals of all pieces that hold the truth.
        covers_readings: share of the readings within 1.645 sd.
    """

    count: int
    refused: float
    named: float
    held: float
    size: float
    sure: float
    right: float
    tilt: float
    extension: float
    tilt_fitted: float
    extension_fitted: float
    head: tuple[float, float, float]
    covers: float
    covers_readings: float


def judged(filmed: filmed_swings.Filmed, films: str, noise: FilmNoise | None = None, stature_known: bool = True) -> Row:
    """Read them and compare."""
    faulty, use = filmed.faulty, FILMS[films]
    good, given = [], ([], [])
    for k, tracks in enumerate(zip(filmed.face_on, filmed.down_the_line, strict=True)):
        try:
            found = [mended(*film) if used else None for *film, used in zip(tracks, VIEWS, use, strict=True)]
            both = [(one.track, find(one.track, view)) if one else None for one, view in zip(found, VIEWS, strict=True)]
        except ValueError:
            continue
        good.append(k)
        for view in (0, 1):
            given[view].append(both[view])
    index = np.array(good)
    parts = []
    for part in np.array_split(np.arange(index.size), max(1, index.size // PART)):
        body = faulty.body[index[part]]
        stature = body.stature if stature_known else np.full(part.size, np.nan)
        seen = of_films([given[0][k] for k in part], [given[1][k] for k in part])
        parts.append((index[part], read(Known(stature, body.female), seen, noise)))
    return _row(filmed, parts)


def _row(filmed: filmed_swings.Filmed, parts: list[tuple[Array, Reading]]) -> Row:
    faulty = filmed.faulty
    index = np.concatenate([which for which, _ in parts])

    def all_of(get) -> Array:
        return np.concatenate([get(reading) for _, reading in parts])

    fits = all_of(lambda r: r.of_a_golfer)
    keep = np.flatnonzero(fits)
    index = index[keep]
    who = np.arange(index.size)
    truth, at_fault = faulty.departures[index], faulty.at_fault[index]
    largest, probability = all_of(lambda r: r.diagnosis.largest)[keep], all_of(lambda r: r.diagnosis.probability)[keep]
    candidates = all_of(lambda r: r.diagnosis.candidates)[keep]
    named = largest.argmax(axis=1)
    in_slabs = np.abs(truth / SLABS)
    furthest = np.where(at_fault, in_slabs, 0.0 if at_fault.any() else in_slabs).argmax(axis=1)
    top = probability.argmax(axis=1)
    sure = probability[who, top] > SURE
    off = all_of(lambda r: r.departures)[keep] / swings.TO_MODEL - truth
    off_fitted = all_of(lambda r: departures_of(r.fitted)[0])[keep] / swings.TO_MODEL - truth
    read_off = all_of(lambda r: r.value)[keep] / swings.READ_TO_MODEL - faulty.shown[index]
    sd = all_of(lambda r: r.sd)[keep] / swings.READ_TO_MODEL
    done = truth * swings.TO_MODEL
    low, high = all_of(lambda r: r.diagnosis.overall_low)[keep], all_of(lambda r: r.diagnosis.overall_high)[keep]
    tilt, extension = DEPARTURES.index("tilt"), DEPARTURES.index("extension")
    names = list(READINGS)
    head = [names.index(f"head_{way}") for way in ("toward_target", "up", "toward_ball")]

    def share(values: Array) -> float:
        return float(100.0 * np.mean(values)) if np.size(values) else float("nan")

    def rms(values: Array) -> float:
        return float(np.sqrt(np.mean(values**2)))

    return Row(
        count=index.size,
        refused=100.0 * (1.0 - index.size / len(faulty.departures)),
        named=share(at_fault[who, named]),
        held=share(candidates[who, furthest]),
        size=float(candidates.sum(axis=1).mean()),
        sure=share(sure),
        right=share(at_fault[who, top][sure]),
        tilt=rms(off[:, tilt]),
        extension=rms(off[:, extension]),
        tilt_fitted=rms(off_fitted[:, tilt]),
        extension_fitted=rms(off_fitted[:, extension]),
        head=tuple(rms(read_off[:, k]) for k in head),
        covers=share((done >= low) & (done <= high)),
        covers_readings=share(np.abs(read_off) < 1.645 * sd),
    )


def line(name: str, row: Row) -> str:
    """As a row of the documentation's table."""
    head = " / ".join(f"{value:.2f}" for value in row.head)
    return (
        f"| {name} | {row.named:.1f} | {row.held:.1f} ({row.size:.1f}) | {row.right:.1f} ({row.sure:.0f}) | "
        f"{row.tilt:.2f}, {row.extension:.2f} | {head} | {row.covers:.1f} | {row.covers_readings:.1f} | "
        f"{row.refused:.1f} |"
    )
