"""The judge of the diagnosis: rows of simulated swings with known faults, and how well they were read back."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache

import numpy as np
import simulated_faults as swings
from scipy.special import ndtri
from simulated_faults import Faulty

from turnstill.model.arrays import Array, BoolArray
from turnstill.model.chain.golfers import Golfers
from turnstill.model.films import fault_fit
from turnstill.model.films.diagnose import Diagnosis, diagnose
from turnstill.model.films.fault_prior import AT_FAULT, FaultPrior
from turnstill.model.films.readings import READINGS, Film
from turnstill.model.golfer.body import Body
from turnstill.model.golfer.impact import Impact
from turnstill.model.golfer.pieces import DEPARTURES, Pieces
from turnstill.model.numeric.mixture import HOLE

ALL: tuple[str, ...] = tuple(READINGS)
WITHOUT = tuple(name for name in ALL if name not in ("shoulder_plane", "pelvis_toward_ball"))
HEAD = tuple(name for name in ALL if name.startswith("head"))
SLABS = FaultPrior().slabs / swings.TO_MODEL
BINS = np.linspace(0.0, 1.0, 11)
KEPT = (
    "probability", "amount", "low", "high", "overall_low", "overall_high", "nothing", "largest", "candidates",
    "misfit", "fits", "weight",
)  # fmt: skip
"""What is judged of a diagnosis."""
ENOUGH = 200
"""Swings a bin needs before its truth is worth comparing."""


@cache
def drawn(faults: int, count: int, at_impact: bool = False) -> Faulty:
    """The same swings for every row with so many faults; seeds that nothing was tuned on."""
    rng = np.random.default_rng(1000 + faults)
    return swings.draw(rng, count, faults, at_impact)


def read(faults: int, count: int, length_cm: float = 1.0, angle_deg: float = 4.0, at_impact: bool = False) -> Faulty:
    """Those swings with readings as noisy as that."""
    return swings.noisy(drawn(faults, count, at_impact), np.random.default_rng(2000 + faults), length_cm, angle_deg)


def answer(
    faulty: Faulty,
    names: tuple[str, ...] = ALL,
    counted_from: Pieces | Impact | None = None,
    sd: Mapping[str, float] | None = None,
) -> Diagnosis:
    """The diagnosis, in parts that fit the memory of a small machine; at impact where it is counted from there."""
    seen = {name: faulty.shown[:, list(READINGS).index(name)] for name in names}
    scale = {name: swings.READ_TO_MODEL[list(READINGS).index(name)] for name in names}
    parts = []
    for index in np.array_split(np.arange(len(faulty.shown)), max(1, len(faulty.shown) // 250)):
        address = faulty.address[index] if faulty.address.batch else faulty.address
        read_here = {n: v[index] * scale[n] for n, v in seen.items()}
        parts.append(diagnose(faulty.body[index], address, read_here, sd, reference=counted_from))
    together = {name: np.concatenate([getattr(part, name) for part in parts]) for name in KEPT}
    return replace(parts[0], **together)


def known_by_size_only(faulty: Faulty) -> Faulty:
    """What is said of the body is its stature, mass and sex; proportions and ranges are its own all the same."""
    body = faulty.body
    return replace(faulty, body=Body.from_stature(body.stature, body.mass, body.female))


def body_wrong(faulty: Faulty) -> Faulty:
    """What is said of the body is 3 cm too tall, and of both feet 5 degrees too much flare."""
    scale = (faulty.body.stature + 0.03) / faulty.body.stature
    body = replace(
        faulty.body,
        stature=faulty.body.stature * scale,
        lengths={name: value * scale for name, value in faulty.body.lengths.items()},
    )
    five = np.radians(5.0)
    address = faulty.address.replace(
        lead_flare=faulty.address.lead_flare + five, trail_flare=faulty.address.trail_flare + five
    )
    return replace(faulty, body=body, address=address)


def as_uncertain_as_believed(faulty: Faulty) -> Faulty:
    """What is said of the body's size and of the address is off by as much as the prior believes; other rows are told
    both exactly, and then the diagnosis is more careful than it need be.
    """
    prior, count = FaultPrior(), len(faulty.shown)
    rng = np.random.default_rng(3000 + int(faulty.at_fault[0].sum()))
    scale = 1.0 + prior.stature * rng.standard_normal(count) / faulty.body.stature
    body = replace(
        faulty.body,
        stature=faulty.body.stature * scale,
        lengths={name: value * scale for name, value in faulty.body.lengths.items()},
        shape={name: value * scale for name, value in faulty.body.shape.items()},
    )
    address = faulty.address.replace(
        **{name: getattr(faulty.address, name) + sd * rng.standard_normal(count) for name, sd in prior.address.items()}
    )
    return replace(faulty, body=body, address=address)


def contradictory(faulty: Faulty) -> Faulty:
    """The head is read 12 cm higher than it went."""
    return replace(faulty, shown=faulty.shown + 12.0 * (np.arange(len(ALL)) == ALL.index("head_up")))


@dataclass(frozen=True)
class Score:
    """How well a row was read.

    Attributes:
        named: the piece named (the likeliest to depart furthest) is at fault.
        larger: where the lesser fault is under 0.7 of the larger, in slabs: the piece named is the larger.
        recall, precision: of tilt and extension among the pieces named.
        held: the 90 % set holds the piece that departs furthest; ``size`` is how many pieces it has.
        covers_all, covers_fault: share of 90 % intervals that hold the truth, of all pieces and of faults, if so.
        width: median width of the latter, deg (cm for sway and hips toward ball), by piece.
        off_named, off_all: the largest difference, in bins of at least ``ENOUGH``, of stated and true probability of
            being at fault: of the piece named, and of every piece.
        fits: share of swings that something the body can do explains.
        nothing: mean probability that nothing is at fault.
    """

    named: float
    larger: float
    recall: dict[str, float]
    held: float
    precision: dict[str, float]
    size: float
    covers_all: float
    covers_fault: float
    width: dict[str, float]
    off_named: float
    off_all: float
    fits: float
    nothing: float


def score(faulty: Faulty, found: Diagnosis) -> Score:
    """Of a row."""
    who, name = np.arange(len(faulty.at_fault)), found.largest.argmax(axis=1)
    in_slabs = np.abs(faulty.departures / SLABS)
    furthest = np.where(faulty.at_fault, in_slabs, 0.0 if faulty.at_fault.any() else in_slabs).argmax(axis=1)
    at_fault = np.sort(np.where(faulty.at_fault, in_slabs, 0.0), axis=1)
    clear = at_fault[:, -2] < 0.7 * at_fault[:, -1]
    done = faulty.departures * swings.TO_MODEL
    inside = (done >= found.low) & (done <= found.high)
    both = {"tilt": DEPARTURES.index("tilt"), "extension": DEPARTURES.index("extension")}
    return Score(
        named=_mean(faulty.at_fault[who, name]),
        larger=_mean((name == furthest)[clear]),
        recall={piece: _mean((name == k)[furthest == k]) for piece, k in both.items()},
        precision={piece: _mean((furthest == k)[name == k]) for piece, k in both.items()},
        held=_mean(found.candidates[who, furthest]),
        size=_mean(found.candidates.sum(axis=1)),
        covers_all=_mean((done >= found.overall_low) & (done <= found.overall_high)),
        covers_fault=_mean(inside[faulty.at_fault]),
        width={
            piece: float(np.median((found.high - found.low)[faulty.at_fault[:, k], k] / swings.TO_MODEL[k]))
            for k, piece in enumerate(DEPARTURES)
            if faulty.at_fault[:, k].any()
        },
        off_named=miscalibrated(found.probability[who, name], faulty.at_fault[who, name]),
        off_all=miscalibrated(found.probability, faulty.at_fault),
        fits=_mean(found.fits),
        nothing=_mean(found.nothing),
    )


def mixed_as_believed(answers: Sequence[tuple[Faulty, Diagnosis]]) -> tuple[Faulty, Diagnosis]:
    """Swings with no, one and two faults in the shares that the prior believes in: only of such a mixture can all
    stated probabilities be true. Bodies, addresses and what was shown are those of the first, for no one to use.
    """
    shares = FaultPrior().faults
    swings_in_all = min(len(faulty.shown) / share for (faulty, _), share in zip(answers, shares, strict=True))
    counts = [round(share * swings_in_all) for share in shares]

    def mixed(each: Callable[[Faulty, Diagnosis], Array]) -> Array:
        return np.concatenate([each(*pair)[:count] for pair, count in zip(answers, counts, strict=True)])

    faulty, found = answers[0]
    return (
        replace(
            faulty,
            departures=mixed(lambda swing, _: swing.departures),
            at_fault=mixed(lambda swing, _: swing.at_fault),
        ),
        replace(found, **{name: mixed(lambda _, found, name=name: getattr(found, name)) for name in KEPT}),
    )


def miscalibrated(stated: Array, true: BoolArray) -> float:
    """The largest difference of stated and true probability in any bin with enough."""
    rows = by_bin(stated, true)
    return float(max((abs(said - was) for _, count, said, was in rows if count >= ENOUGH), default=0.0))


def calibration_error(stated: Array, true: BoolArray) -> float:
    """The mean difference of stated and true probability, bins weighed by what is in them."""
    rows = by_bin(stated, true)
    return float(sum(count * abs(said - was) for _, count, said, was in rows) / sum(row[1] for row in rows))


def by_bin(stated: Array, true: BoolArray) -> list[tuple[float, int, float, float]]:
    """For each bin of stated probability: where it begins, how many there are, what was said and what was true."""
    bins = np.digitize(stated.reshape(-1), BINS[1:-1])
    rows = []
    for k in np.unique(bins):
        inside = bins == k
        said, was = stated.reshape(-1)[inside].mean(), true.reshape(-1)[inside].mean()
        rows.append((round(float(BINS[k]), 1), int(inside.sum()), float(said), float(was)))
    return rows


def when_sure(faulty: Faulty, found: Diagnosis, sure: float = 0.7) -> tuple[float, float]:
    """Of how many swings the piece named is said to be at fault with ``sure`` or more; of how many of these it is."""
    who, name = np.arange(len(faulty.at_fault)), found.largest.argmax(axis=1)
    enough = found.probability[who, name] >= sure
    return _mean(enough), _mean(faulty.at_fault[who, name][enough])


def straight_only(run: Callable[[], Diagnosis]) -> Diagnosis:
    """What a linear map about the centred turn would answer: no hypothesis is followed on the true chain."""
    followed = fault_fit.FOLLOWED
    fault_fit.FOLLOWED = (-np.inf, -np.inf)
    try:
        return run()
    finally:
        fault_fit.FOLLOWED = followed


@dataclass(frozen=True)
class Dense:
    """How well one Gaussian over all departures reads a row.

    Attributes:
        named: the largest mean, in slabs, is of the piece at fault.
        amount: median of the fault as read, as a share of what it is.
        covers_fault: share of 90 % intervals of faults that hold them.
        innocent: pieces a swing that are not at fault and are read to depart by more than anybody wanders.
    """

    named: float
    amount: float
    covers_fault: float
    innocent: float


def dense(faulty: Faulty) -> Dense:
    """One Gaussian over all departures, of the mixture's variance, fitted on the true chain like every hypothesis."""
    prior, count = FaultPrior(), len(faulty.shown)
    # A slab with a hole is that Gaussian and narrower ones, some taken away, which leaves it more variance.
    terms = [(times, 1.0 / (1.0 + power / prior.hole**2)) for power, times in {0: 1.0, **HOLE}.items()]
    holed = sum(times * of**1.5 for times, of in terms) / sum(times * of**0.5 for times, of in terms)
    of_slab = np.where(AT_FAULT, holed, 1.0)
    variance = (np.exp(prior.log_probability) @ (prior.variance * of_slab))[None]
    noise = np.where(swings.READ_IN_CM, 0.01, np.radians(4.0)) ** 2 * np.eye(len(ALL))
    film = Film.of(Golfers.at_address(faulty.body, faulty.address, (count,)), Pieces())
    fitted = fault_fit.fit(
        film,
        faulty.shown * swings.READ_TO_MODEL,
        np.arange(len(ALL)),
        np.broadcast_to(noise, (count, *noise.shape)),
        variance,
        np.zeros(1),
    )
    read = fitted.departures[:, 0] / swings.TO_MODEL
    spread = np.sqrt(np.einsum("spp->sp", fitted.covariance[:, 0])) / swings.TO_MODEL
    named = np.abs(read / SLABS).argmax(axis=1)
    inside = np.abs(read - faulty.departures) <= ndtri(0.95) * spread
    astray = (np.abs(read) > swings.WANDER) & ~faulty.at_fault
    return Dense(
        named=_mean(faulty.at_fault[np.arange(count), named]),
        amount=float(np.median((read / faulty.departures)[faulty.at_fault])),
        covers_fault=_mean(inside[faulty.at_fault]),
        innocent=float(astray.sum(axis=1).mean()),
    )


def _mean(values: Array | BoolArray) -> float:
    return float(np.mean(values)) if np.size(values) else float("nan")
