"""Readings at impact of a golfer whom films have told: the fitted body, and as much doubt as the fit has of it."""

from types import SimpleNamespace

import numpy as np

from turnstill.model.chain.golfers import Golfers
from turnstill.model.films.diagnose import diagnose
from turnstill.model.films.fault_prior import FaultPrior
from turnstill.model.films.filmed_golfer import ADDRESS_MEAN_SD, CHAIN, Known, address_of, body_of
from turnstill.model.films.impact_beside_films import FilmedGolfer
from turnstill.model.films.readings import READINGS, Film
from turnstill.model.golfer.impact import Impact
from turnstill.model.golfer.pieces import DEPARTURES

KNOWN = Known(np.array([1.71]), np.array([1.0]))
OWN = np.array([0.4, -0.8, 0.5, 0.3, -0.6, 0.2, 0.7, -0.3, 0.6, -0.5, 0.1, 0.9, -0.4, 0.3, 0.2])
SEEN = {"head_up": -0.03, "hip_turn": np.radians(-18.0), "inclination_change": np.radians(-4.0)}
SD = {"head_up": 0.012, "hip_turn": np.radians(6.0), "inclination_change": np.radians(5.0)}


def fitted(covariance):
    numbers = np.concatenate([np.ones((1, len(DEPARTURES))), OWN[None]], axis=1)
    every = np.eye(CHAIN)[None].copy()
    every[0, len(DEPARTURES) :, len(DEPARTURES) :] = covariance
    return SimpleNamespace(fitted=SimpleNamespace(numbers=numbers, covariance=every))


def shown(own):
    """Readings ``(N, 13)`` of golfers of numbers ``(N, 15)`` who depart in nothing."""
    count, split = len(own), len(ADDRESS_MEAN_SD)
    same = Known(np.repeat(KNOWN.stature, count), np.repeat(KNOWN.female, count))
    golfers = Golfers.at_address(body_of(same, own[:, split:]), address_of(own[:, :split]), (count,))
    return Film.of(golfers, Impact()).readings(np.arange(count), np.zeros((count, len(DEPARTURES))))


def test_a_golfer_known_exactly_is_diagnosed_as_diagnose_does_it():
    golfer = FilmedGolfer.of(KNOWN, fitted(np.zeros((15, 15))))
    assert not golfer.by_unknown.any()
    found = golfer.diagnose(SEEN, SD)
    exact = FaultPrior(stature=1e-9, address={})
    plain = diagnose(golfer.body, golfer.address, SEEN, SD, exact, Impact())
    assert found.film.at_impact
    np.testing.assert_allclose(found.probability, plain.probability, atol=1e-6)
    np.testing.assert_allclose(found.amount, plain.amount, atol=1e-6)
    np.testing.assert_allclose(golfer.body.stature, body_of(KNOWN, OWN[None, 7:]).stature)


def test_doubt_of_the_body_is_the_fits_through_the_chain():
    """The covariance that comes of it is J C J', J by differences of the chain of each number by itself."""
    root = 0.05 * np.random.default_rng(7).normal(size=(15, 15))
    golfer = FilmedGolfer.of(KNOWN, fitted(root @ root.T))
    ahead, back = np.split(shown(OWN + 1e-3 * np.concatenate([np.eye(15), -np.eye(15)])), 2)
    jacobian = (ahead - back).T / 2e-3
    expected = jacobian @ root @ root.T @ jacobian.T
    scale = np.sqrt(np.diag(expected))
    off = np.abs(golfer.by_unknown @ golfer.by_unknown.T - expected)
    assert (off <= 0.08 * np.outer(scale, scale) + 1e-12).all(), (off / np.outer(scale, scale)).max()
    assert (scale > 1e-3).sum() == 7, "what is not asked or held of readings"


def test_with_more_doubt_a_fault_is_less_sure():
    sure, unsure = (FilmedGolfer.of(KNOWN, fitted(size * np.eye(15))).diagnose(SEEN, SD) for size in (1e-4, 4.0))
    k = DEPARTURES.index("hip_turn")
    assert sure.probability[0, k] > 0.5
    assert unsure.high[0, k] - unsure.low[0, k] > sure.high[0, k] - sure.low[0, k]
    assert list(READINGS)[sure.read[1]] in SEEN


def test_a_reading_that_nothing_is_said_of_is_as_sure_as_usual_at_impact():
    golfer = FilmedGolfer.of(KNOWN, fitted(1e-4 * np.eye(15)))
    usual = {"head_up": 0.01, "hip_turn": np.radians(6.0), "inclination_change": np.radians(6.0)}
    np.testing.assert_allclose(golfer.diagnose(SEEN, {}).amount, golfer.diagnose(SEEN, usual).amount)
