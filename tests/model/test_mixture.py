"""Mixtures of Gaussians against closed forms and scipy."""

import numpy as np
import pytest
from scipy.integrate import dblquad, quad
from scipy.optimize import brentq
from scipy.stats import multivariate_normal, norm

from turnstill.model.numeric.mixture import probability_of_largest, quantile, with_holes


def test_quantile_of_one_component_is_the_normal_one():
    for share in (0.05, 0.5, 0.95):
        found = quantile(share, np.array([1.0]), np.array([3.0]), np.array([2.0]))
        np.testing.assert_allclose(found, norm.ppf(share, 3.0, 2.0), atol=1e-9)


def test_quantile_of_a_mixture_solves_its_distribution_function():
    rng = np.random.default_rng(0)
    weight, mean, spread = rng.dirichlet(np.ones(5), 20), rng.normal(size=(20, 5)), rng.uniform(0.1, 2.0, (20, 5))
    found = quantile(0.2, weight, mean, spread)
    for k in range(20):
        own = brentq(lambda x, k=k: weight[k] @ norm.cdf(x, mean[k], spread[k]) - 0.2, -30.0, 30.0, xtol=1e-12)
        assert abs(found[k] - own) < 1e-9


def test_largest_of_two_centred_amounts_has_a_closed_form():
    # For centred independent normals, P(|x| > |y|) = 2/pi arctan(sx / sy).
    spread = np.array([1.0, 2.0])
    found = probability_of_largest(np.ones((1, 1)), np.zeros((1, 1, 2)), np.diag(spread**2)[None, None])
    np.testing.assert_allclose(found[0, 0, 0], 2.0 / np.pi * np.arctan(0.5), atol=0.07)  # 3 sd of 512 draws
    np.testing.assert_allclose(found.sum(axis=-1), 1.0)


def test_a_component_that_does_not_matter_is_not_drawn_from():
    covariance = np.broadcast_to(np.eye(2), (1, 2, 2, 2))
    mean = np.array([[[1.0, 0.5], [5.0, 0.0]]])
    found = probability_of_largest(np.array([[0.0, 1.0]]), mean, covariance)
    assert found[0, 0].tolist() == [1.0, 0.0]
    assert found[0, 1, 0] > 0.99


def test_the_same_question_has_the_same_answer():
    rng = np.random.default_rng(1)
    mean, covariance = rng.normal(size=(3, 4, 8)), np.broadcast_to(np.eye(8), (3, 4, 8, 8))
    weight = rng.dirichlet(np.ones(4), 3)
    one, other = (probability_of_largest(weight, mean, covariance) for _ in range(2))
    assert np.array_equal(one, other)


def hole(x, width):
    return (1.0 - np.exp(-0.5 * (x / width) ** 2)) ** 2


def test_one_hole_is_the_gaussian_times_the_hole():
    mean, spread, width = 1.5, 2.0, 3.0
    found = with_holes(np.array([[[mean]]]), np.array([[[[spread**2]]]]), np.array([[True]]), np.array([width]))
    left, _ = quad(lambda x: norm.pdf(x, mean, spread) * hole(x, width), -20.0, 20.0)
    assert found.left[0, 0] == pytest.approx(left, abs=1e-9)
    at = np.linspace(-8.0, 8.0, 33)
    density = (found.share[0] * norm.pdf(at[:, None], found.mean[0, :, 0], found.spread[0, :, 0])).sum(axis=1)
    np.testing.assert_allclose(density, norm.pdf(at, mean, spread) * hole(at, width) / left, atol=1e-12)


def test_two_holes_in_amounts_that_hang_together():
    mean, covariance = np.array([1.0, -0.5, 0.3]), np.array([[1.0, 0.6, 0.2], [0.6, 2.0, -0.3], [0.2, -0.3, 0.5]])
    width = np.array([1.5, 0.8, 1.0])
    found = with_holes(mean[None, None], covariance[None, None], np.array([[True, True, False]]), width)
    gauss = multivariate_normal(mean[:2], covariance[:2, :2])

    def density(y, x):
        return gauss.pdf([x, y]) * hole(x, width[0]) * hole(y, width[1])

    left, _ = dblquad(density, -7.0, 9.0, -9.0, 9.0, epsabs=1e-7)
    assert found.left[0, 0] == pytest.approx(left, abs=1e-6)
    below, _ = dblquad(density, -7.0, 0.5, -9.0, 9.0, epsabs=1e-7)
    share = (found.share[0] * norm.cdf(0.5, found.mean[0, :, 0], found.spread[0, :, 0])).sum()
    assert share == pytest.approx(below / left, abs=1e-6)
    # The amount without a hole follows through what it has in common with the others, here by its mean.
    drawn = np.random.default_rng(0).multivariate_normal(mean, covariance, 400_000)
    counts = hole(drawn[:, 0], width[0]) * hole(drawn[:, 1], width[1])
    assert (found.share[0] * found.mean[0, :, 2]).sum() == pytest.approx(
        np.average(drawn[:, 2], weights=counts), abs=0.01
    )


def test_components_without_a_hole_stay_whole():
    rng = np.random.default_rng(3)
    mean, covariance = rng.normal(size=(2, 3, 4)), np.broadcast_to(np.eye(4), (2, 3, 4, 4))
    holes = np.zeros((3, 4), dtype=bool)
    holes[2, [0, 3]] = True
    found = with_holes(mean, covariance, holes, np.ones(4))
    assert np.bincount(found.component).tolist() == [1, 1, 9]
    np.testing.assert_allclose(found.left[:, :2], 1.0)
    assert found.left[:, 2].max() < 1.0
    for k in range(3):
        np.testing.assert_allclose(found.share[:, found.component == k].sum(axis=1), 1.0)


def test_what_a_hole_all_but_empties_stays_a_distribution():
    found = with_holes(np.zeros((1, 1, 1)), np.full((1, 1, 1, 1), 1e-14), np.array([[True]]), np.ones(1))
    assert 0.0 < found.left[0, 0] < 1e-8
    np.testing.assert_allclose(found.share[0], [1.0, 0.0, 0.0])


def test_largest_counts_a_draw_by_what_the_hole_leaves():
    """Of two alike, the one with a hole is the larger more often; how much more has a closed form."""
    covariance, width = np.eye(2)[None, None], np.array([1.0, 1.0])
    found = probability_of_largest(np.ones((1, 1)), np.zeros((1, 1, 2)), covariance, np.array([[True, False]]), width)
    # P(|x| > |y|) = 2/pi arctan(sx / sy) for each term of the Gaussian, of variance 1, 1/2 and 1/3.
    terms = [(1.0, 1.0), (-2.0, np.sqrt(1.0 / 2.0)), (1.0, np.sqrt(1.0 / 3.0))]
    larger = sum(times * spread * 2.0 / np.pi * np.arctan(spread) for times, spread in terms)
    exact = larger / sum(times * spread for times, spread in terms)
    assert found[0, 0, 0] == pytest.approx(exact, abs=0.07)  # 3 sd of 512 draws
    assert exact > 0.75
