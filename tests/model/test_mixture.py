"""Mixtures of Gaussians against closed forms and scipy."""

import numpy as np
from scipy.optimize import brentq
from scipy.stats import norm

from turnstill.model.mixture import probability_of_largest, quantile


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
