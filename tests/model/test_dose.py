"""The dose's arithmetic against brute force, on simulated golfers, and by its symmetries."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from scipy.stats import norm

from turnstill.model.films import dose
from turnstill.model.films.dose import (
    PRIOR,
    Amount,
    Prior,
    chance_past,
    got_from_head,
    missing_for_head,
    next_feel,
    responses,
    way_sure,
)
from turnstill.model.golfer.pieces import DEPARTURES, PIECES

SLOPES = np.random.default_rng(5).normal(size=(8, 3)) * 0.3


def _films(seed: int, count: int, pieces: int = 3) -> tuple[np.ndarray, ...]:
    rng = np.random.default_rng(seed)
    return (
        rng.integers(0, pieces, count),
        rng.uniform(-0.3, 0.3, count),
        rng.uniform(-0.1, 0.2, count),
        rng.uniform(0.02, 0.1, count),
    )


def test_no_film_gives_the_prior() -> None:
    found = responses([], [], [], [])
    np.testing.assert_allclose(found.mean, PRIOR.mean, rtol=1e-12)
    np.testing.assert_allclose(found.sd, PRIOR.sd, rtol=1e-12)
    assert found.covariance[0, 1] == pytest.approx(PRIOR.alike * PRIOR.sd**2)


def test_one_piece_agrees_with_integrating_prior_times_likelihood() -> None:
    _, felt, got, sd = _films(1, 6)
    found = responses(np.zeros(6, dtype=int), felt, got, sd, count=1)
    ratio = np.linspace(-3.0, 4.0, 400_001)
    log = norm.logpdf(ratio, PRIOR.mean, PRIOR.sd)
    log += norm.logpdf(got[:, None], felt[:, None] * ratio, sd[:, None]).sum(axis=0)
    weight = np.exp(log - log.max())
    weight /= weight.sum()
    mean = (weight * ratio).sum()
    assert found.mean[0] == pytest.approx(mean, abs=1e-9)
    assert found.sd[0] == pytest.approx(np.sqrt((weight * (ratio - mean) ** 2).sum()), abs=1e-9)
    low, high = np.interp([0.05, 0.95], np.cumsum(weight), ratio)
    assert found.mean[0] + dose.Z90 * found.sd[0] == pytest.approx(high, abs=1e-4)
    assert found.mean[0] - dose.Z90 * found.sd[0] == pytest.approx(low, abs=1e-4)


def test_two_alike_pieces_agree_with_integration_over_both() -> None:
    piece, felt, got, sd = _films(2, 5, pieces=2)
    prior = Prior(0.4, 0.25, 0.7)
    found = responses(piece, felt, got, sd, count=2, prior=prior)
    axis = np.linspace(-1.6, 2.4, 801)
    first, second = np.meshgrid(axis, axis, indexing="ij")
    off = np.stack([first, second], axis=-1) - prior.mean
    log = -0.5 * np.einsum("xyi,ij,xyj->xy", off, np.linalg.inv(prior.covariance(2)), off)
    for k in range(5):
        log += norm.logpdf(got[k], felt[k] * (first, second)[piece[k]], sd[k])
    weight = np.exp(log - log.max())
    weight /= weight.sum()
    for k, values in enumerate((first, second)):
        mean = (weight * values).sum()
        assert found.mean[k] == pytest.approx(mean, abs=1e-8)
        assert found.sd[k] == pytest.approx(np.sqrt((weight * (values - mean) ** 2).sum()), abs=1e-8)


def test_order_batches_and_units_do_not_matter() -> None:
    piece, felt, got, sd = _films(3, 9)
    found = responses(piece, felt, got, sd)
    turned = np.random.default_rng(0).permutation(9)
    again = responses(piece[turned], felt[turned], got[turned], sd[turned])
    np.testing.assert_allclose(again.mean, found.mean, atol=1e-13)
    np.testing.assert_allclose(again.covariance, found.covariance, atol=1e-14)
    np.testing.assert_allclose(again.surprise, found.surprise[turned], atol=1e-11)
    in_degrees = responses(piece, *(np.degrees(values) for values in (felt, got, sd)))
    np.testing.assert_allclose(in_degrees.mean, found.mean, atol=1e-12)
    many = responses(*(np.broadcast_to(values, (3, 1, 9)) for values in (piece, felt, got, sd)))
    assert many.mean.shape == (3, 1, 8) and many.covariance.shape == (3, 1, 8, 8)
    np.testing.assert_allclose(many.mean, np.broadcast_to(found.mean, (3, 1, 8)), atol=1e-14)


def test_turning_every_sign_changes_nothing() -> None:
    piece, felt, got, sd = _films(4, 7)
    np.testing.assert_allclose(responses(piece, -felt, -got, sd).mean, responses(piece, felt, got, sd).mean, atol=1e-14)
    there, back = (
        next_feel(Amount(np.array(m), np.array(0.05)), Amount(np.array(0.5), np.array(0.1)), 0.3) for m in (0.1, -0.1)
    )
    assert there.feel == -back.feel
    there, back = (way_sure(Amount(np.array(m), np.array(0.05))) for m in (0.1, -0.1))
    assert there == back == pytest.approx(norm.cdf(2.0))


def test_every_film_makes_it_surer_of_its_piece_and_a_little_of_the_others() -> None:
    sds = [responses([0] * n, [0.2] * n, [0.1] * n, [0.08] * n).sd for n in range(6)]
    for before, after in pairwise(sds):
        assert np.all(after < before)
        assert after[0] < after[1]
    # What is known of one piece cannot make another better known than their likeness allows.
    endless = responses([0] * 10_000, [0.2] * 10_000, [0.1] * 10_000, [0.08] * 10_000).sd
    assert endless[0] < 0.01
    assert endless[1] == pytest.approx(PRIOR.sd * np.sqrt(1 - PRIOR.alike**2), rel=1e-3)


def test_a_film_of_no_feel_tells_nothing() -> None:
    found = responses([0, 0], [0.0, 0.0], [0.3, -0.2], [0.05, 0.05])
    np.testing.assert_allclose(found.mean, PRIOR.mean)
    np.testing.assert_allclose(found.sd, PRIOR.sd)


def test_surprise_is_that_of_leaving_the_film_out() -> None:
    piece, felt, got, sd = _films(6, 8)
    found = responses(piece, felt, got, sd)
    for k in range(8):
        rest = np.delete(np.arange(8), k)
        others = responses(piece[rest], felt[rest], got[rest], sd[rest])
        spread = np.hypot(sd[k], felt[k] * others.sd[piece[k]])
        assert found.surprise[k] == pytest.approx((got[k] - felt[k] * others.mean[piece[k]]) / spread, abs=1e-9)


def test_intervals_cover_golfers_drawn_from_the_prior() -> None:
    rng = np.random.default_rng(7)
    golfers, films = 4000, 6
    true = rng.multivariate_normal(np.full(8, PRIOR.mean), PRIOR.covariance(8), golfers)
    piece = rng.integers(0, 3, (golfers, films))
    felt = rng.uniform(-0.35, 0.35, (golfers, films))
    sd = rng.uniform(0.05, 0.12, (golfers, films))
    got = felt * np.take_along_axis(true, piece, axis=-1) + sd * rng.normal(size=sd.shape)
    for count in (0, 1, 3, 6):
        found = responses(piece[:, :count], felt[:, :count], got[:, :count], sd[:, :count])
        inside = np.abs(true - found.mean) <= dose.Z90 * found.sd
        # Four sd of a share of 4,000 golfers; pieces of one golfer are not independent, so each is looked at alone.
        np.testing.assert_allclose(inside.mean(axis=0), 0.90, atol=4 * np.sqrt(0.9 * 0.1 / golfers))


def test_the_feel_leaves_the_least_expected_square() -> None:
    rng = np.random.default_rng(8)
    missing, response = Amount(np.array(0.15), np.array(0.07)), Amount(np.array(0.45), np.array(0.2))
    feel = float(next_feel(missing, response, 10.0).feel)
    lacks = missing.mean + missing.sd * rng.normal(size=400_000)
    ratio = response.mean + response.sd * rng.normal(size=400_000)
    tried = np.linspace(0.5, 1.5, 101) * feel
    square = [np.mean((lacks - ratio * f) ** 2) for f in tried]
    assert tried[int(np.argmin(square))] == pytest.approx(feel, rel=0.03)
    done = next_feel(missing, response, 10.0)
    assert np.mean(lacks - ratio * feel) == pytest.approx(float(done.left.mean), abs=1e-3)
    assert np.std(lacks - ratio * feel) == pytest.approx(float(done.left.sd), rel=0.01)


def test_a_feel_is_capped_and_asked_only_of_a_golfer_who_answers() -> None:
    missing = Amount(np.array([0.5, -0.5, 0.5, 0.5]), np.full(4, 0.05))
    response = Amount(np.array([0.4, 0.4, 0.05, -0.3]), np.array([0.1, 0.1, 0.2, 0.1]))
    done = next_feel(missing, response, 0.35)
    np.testing.assert_allclose(done.feel, [0.35, -0.35, 0.0, 0.0])
    np.testing.assert_array_equal(done.shown, [True, True, False, False])
    assert np.all(np.abs(done.best[:2]) > 0.35)
    # Surer of the response, bolder with the feel; never bolder than what is missing over the response.
    feels = [
        float(next_feel(Amount(np.array(0.1), np.array(0.05)), Amount(np.array(0.4), np.array(sd)), 9.0).feel)
        for sd in (0.3, 0.1, 1e-6)
    ]
    assert feels == sorted(feels) and feels[-1] == pytest.approx(0.25)


def test_what_the_head_tells_is_unbiased_and_as_sure_as_it_says() -> None:
    rng = np.random.default_rng(9)
    scatter = np.array([dose.SCATTER[PIECES[name].unit] for name in DEPARTURES])
    true = 0.12
    for k, name in ((2, "tilt"), (3, "extension"), (6, "sway")):
        changed = np.sqrt(2.0) * scatter * rng.normal(size=(20_000, 8))
        changed[:, k] = true
        moved = changed @ SLOPES + 0.014 * rng.normal(size=(20_000, 3))
        found = got_from_head(moved, 0.014, SLOPES, name)
        assert found.mean.mean() == pytest.approx(true, abs=4 * found.mean.std() / np.sqrt(20_000))
        stated = np.sqrt(found.sd**2 - (dose.SLOPE_SD * found.mean) ** 2)
        np.testing.assert_allclose(stated, found.mean.std(), rtol=0.03)


def test_what_is_missing_brings_the_head_nearest() -> None:
    head, slope = np.array([-0.05, 0.01]), np.array([0.38, 0.1])
    missing = missing_for_head(head, 0.01, slope)
    tried = missing.mean + np.linspace(-0.02, 0.02, 9)
    assert int(np.argmin(np.linalg.norm(head + tried[:, None] * slope, axis=-1))) == 4
    mirrored = missing_for_head(-head, 0.01, slope)
    assert mirrored.mean == -missing.mean and mirrored.sd == missing.sd
    alone = missing_for_head(np.array([-0.05]), 0.01, np.array([0.5]))
    assert alone.mean == pytest.approx(0.1)
    assert alone.sd == pytest.approx(np.hypot(0.02, dose.SLOPE_SD * 0.1))


def test_past_the_goal_is_a_matter_of_the_way_the_feels_went() -> None:
    missing = Amount(np.array([-0.1, 0.1, 0.0]), np.full(3, 0.05))
    ahead, behind = chance_past(missing, 1, 0.02), chance_past(missing, -1, 0.02)
    np.testing.assert_allclose(ahead[:2], behind[[1, 0]])
    assert ahead[0] == pytest.approx(norm.cdf(0.08 / 0.05)) and ahead[0] > 0.9 > 0.5 > ahead[2] > ahead[1]
    assert np.all(chance_past(missing, 1, 0.0) > ahead)
