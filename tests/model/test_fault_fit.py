"""The fit of hypotheses: closed forms on a straight chain, optimality on the true one."""

import numpy as np
import pytest
import simulated_faults
from scipy.stats import multivariate_normal

from turnstill.model.chain.golfers import Golfers
from turnstill.model.films.fault_fit import fit
from turnstill.model.films.fault_prior import AT_FAULT, HYPOTHESES, FaultPrior
from turnstill.model.films.readings import READINGS, Film
from turnstill.model.golfer.pieces import DEPARTURES, Pieces

PRIOR = FaultPrior()
ALL = np.arange(len(READINGS))


class Straight:
    """A film whose readings are straight in the departures."""

    def __init__(self, offset, slopes):
        self.offset, self.slopes = offset, slopes

    def readings_and_slopes(self, who, departures):
        shown = self.offset + departures @ self.slopes.T
        return shown, np.broadcast_to(self.slopes, (len(who), *self.slopes.shape)).copy()


@pytest.fixture(scope="module")
def straight():
    rng = np.random.default_rng(4)
    film = Straight(rng.normal(size=13), rng.normal(size=(13, 8)))
    noise = np.broadcast_to(np.diag(rng.uniform(0.01, 0.1, 13)) ** 2, (5, 13, 13))
    seen = film.offset + 0.1 * rng.normal(size=(5, 13))
    return film, seen, noise


def test_thirty_seven_hypotheses_whose_probabilities_add_up():
    assert len(HYPOTHESES) == 37
    assert len(set(HYPOTHESES)) == 37
    assert np.exp(PRIOR.log_probability).sum() == pytest.approx(1.0)
    by_piece = np.exp(PRIOR.log_probability) @ AT_FAULT
    np.testing.assert_allclose(by_piece, by_piece[0])


def test_evidence_of_a_straight_chain_is_the_gaussian_one(straight):
    film, seen, noise = straight
    variance = PRIOR.variance
    fitted = fit(film, seen, ALL, noise, variance, PRIOR.log_probability)
    for swing in range(5):
        exact = [
            multivariate_normal.logpdf(
                seen[swing], film.offset, film.slopes @ np.diag(v) @ film.slopes.T + noise[swing]
            )
            for v in variance
        ]
        # Up to the constant of a swing.
        np.testing.assert_allclose(np.diff(fitted.log_evidence[swing]), np.diff(exact), rtol=1e-9, atol=1e-6)


def test_departures_of_a_straight_chain_are_the_posterior_mean(straight):
    film, seen, noise = straight
    fitted = fit(film, seen, ALL, noise, PRIOR.variance, PRIOR.log_probability)
    for hypothesis, variance in enumerate(PRIOR.variance):
        precision = film.slopes.T @ np.linalg.inv(noise[0]) @ film.slopes + np.diag(1.0 / variance)
        mean = np.linalg.solve(precision, film.slopes.T @ np.linalg.inv(noise[0]) @ (seen[0] - film.offset))
        np.testing.assert_allclose(fitted.departures[0, hypothesis], mean, rtol=1e-6, atol=1e-9)
        np.testing.assert_allclose(fitted.covariance[0, hypothesis], np.linalg.inv(precision), rtol=1e-6, atol=1e-12)


@pytest.fixture(scope="module")
def fitted_swings():
    rng = np.random.default_rng(8)
    faulty = simulated_faults.noisy(simulated_faults.draw(rng, 24, 1), rng)
    film = Film.of(Golfers.at_address(faulty.body, faulty.address, (24,)), Pieces())
    noise = np.where(simulated_faults.READ_IN_CM, 0.01, np.radians(4.0)) ** 2 * np.eye(13)
    seen = faulty.shown * simulated_faults.READ_TO_MODEL
    return (
        film,
        seen,
        noise,
        fit(film, seen, ALL, np.broadcast_to(noise, (24, 13, 13)), PRIOR.variance, PRIOR.log_probability),
    )


def test_the_likeliest_hypothesis_is_at_a_minimum_of_the_true_chain(fitted_swings):
    film, seen, noise, fitted = fitted_swings
    who, best = np.arange(24), (fitted.log_evidence + PRIOR.log_probability).argmax(axis=1)
    departures, variance = fitted.departures[who, best], PRIOR.variance[best]

    def value(there):
        """``(K, 24)`` of departures ``(K, 24, 8)``."""
        swings = np.tile(who, len(there))
        off = np.tile(seen, (len(there), 1)) - film.readings(swings, there.reshape(-1, 8))
        misfit = np.einsum("si,ij,sj->s", off, np.linalg.inv(noise), off).reshape(-1, 24)
        return misfit + (there**2 / variance).sum(axis=-1)

    rng = np.random.default_rng(0)
    steps = []
    for size in (0.05, 0.1, 0.3):
        steps += [size * side * np.tile(one, (24, 1)) for one in np.eye(8) for side in (-1.0, 1.0)]
        steps += list(size * rng.choice([-1.0, 1.0], (20, 24, 8)))
    lower = (value(departures[None]) - value(departures + np.array(steps) * np.sqrt(variance))).max(axis=0).clip(0.0)
    # Smooth chains are at their minimum but for a settled step; where a range of motion bends one, nearly.
    assert np.mean(lower < 0.05) > 0.8
    assert lower.max() < 1.0, "half a power of e in evidence"


def test_what_would_be_shown_is_what_the_chain_shows(fitted_swings):
    film, _, _, fitted = fitted_swings
    who, best = np.arange(24), (fitted.log_evidence + PRIOR.log_probability).argmax(axis=1)
    shown = film.readings(who, fitted.departures[who, best])
    off = np.abs(shown - fitted.shown[who, best]) / np.where(simulated_faults.READ_IN_CM, 0.01, np.radians(4.0))
    worst = np.sort(off.max(axis=1))
    assert worst[-2] < 0.1, "a tenth of a reading's noise"
    # One of the 24 ends at a bend of the chain, where a hip comes to its end: 0.8 of the 4 degrees of its turn's noise.
    assert worst[-1] < 0.25


def test_a_hypothesis_followed_in_any_case_does_not_stop_the_others(straight):
    film, seen, noise = straight
    alone = fit(film, seen, ALL, noise, PRIOR.variance, PRIOR.log_probability)
    variance = np.concatenate([PRIOR.variance, PRIOR.slabs[None] ** 2])
    beside = fit(film, seen, ALL, noise, variance, np.append(PRIOR.log_probability, np.inf))
    np.testing.assert_allclose(beside.departures[:, :-1], alone.departures)
    assert DEPARTURES[0] in HYPOTHESES[1]
