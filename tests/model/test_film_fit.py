"""The fit of films: laws of the filmed golfer, what it finds without noise, and scipy's minimum as the peer."""

import film_judge
import filmed_swings
import numpy as np
import pytest
from film_judge import EVEN, seen_of
from scipy.optimize import least_squares

from turnstill.model.chain.golfers import Golfers
from turnstill.model.films import film_fit, phone_camera
from turnstill.model.films.film_fit import fit
from turnstill.model.films.film_problem import CAMERA, NUMBERS, Problem, Seen
from turnstill.model.films.filmed_golfer import (
    ADDRESS_MEAN_SD,
    CHAIN,
    DEPARTURE_SD,
    FITTED,
    HEADS,
    Known,
    address_of,
    body_of,
    posed,
)
from turnstill.model.films.readings import Film
from turnstill.model.golfer.body import Body
from turnstill.model.golfer.pieces import Pieces
from turnstill.model.swing.simulate import simulate


def known_of(filmed):
    return Known(filmed.faulty.body.stature, filmed.faulty.body.female)


@pytest.fixture(scope="module")
def clear():
    """Films without the detector's noise; cameras, tempo and bodies are drawn as ever."""
    return film_judge.filmed(1, 6, filmed_swings.Conditions(noise=0.01), 40)


@pytest.fixture(scope="module")
def films():
    return film_judge.filmed(1, 4, filmed_swings.Conditions(), 41)


def test_the_filmed_golfer_is_the_simulated_one():
    rng = np.random.default_rng(8)
    known = Known(np.array([1.70, np.nan, 1.85]), np.array([1.0, 0.0, 0.0]))
    numbers = np.clip(rng.normal(size=(3, CHAIN)), -1.0, 1.0)
    numbers[:, :8] *= 0.2
    golfer = posed(known, numbers, Pieces())
    body, address = body_of(known, numbers[:, 15:]), address_of(numbers[:, 8:15])
    departures = numbers[:, :8] * DEPARTURE_SD
    film = Film.of(Golfers.at_address(body, address, (3,)), Pieces())
    np.testing.assert_allclose(golfer.shown, film.readings(np.arange(3), departures), atol=1e-9)
    np.testing.assert_allclose(golfer.amounts, film.amounts(np.arange(3), departures), atol=1e-9)
    joints = simulate(body, address, Pieces(), frames=2).skeleton.joints
    np.testing.assert_allclose(
        golfer.keypoints(np.zeros((3, 2, 3)))[:, 0, FITTED.index("left_hip")], joints["hip_lead"][:, 0], atol=1e-9
    )
    np.testing.assert_allclose(golfer.keypoints(np.zeros((3, 2, 3)))[:, 0, 0], joints["nose"][:, 0], atol=1e-9)


def test_what_is_believed_before_has_its_mean_and_spread():
    known = Known(np.full(400, np.nan), np.zeros(400))
    numbers = np.random.default_rng(9).normal(size=(400, 8))
    body = body_of(known, numbers)
    assert np.log(body.stature).std() == pytest.approx(0.04, rel=0.1)
    drawn = Body.draw(np.random.default_rng(11), 800)[::2]  # Every other one is a man.
    for name in ("thigh", "shank", "spine", "shoulder_width"):
        own, theirs = (np.log(each.lengths[name] / each.stature) for each in (body, drawn))
        assert own.std() == pytest.approx(theirs.std(), rel=0.15)
        assert own.mean() == pytest.approx(theirs.mean(), abs=0.2 * theirs.std())
    address = address_of(np.random.default_rng(10).normal(size=(400, 7)))
    for name, (mean, sd) in ADDRESS_MEAN_SD.items():
        assert np.mean(getattr(address, name)) == pytest.approx(mean, abs=0.2 * sd)


def test_without_noise_the_swing_is_found(clear):
    found = fit(known_of(clear), seen_of(clear), EVEN)
    off = found.numbers[:, :8] * DEPARTURE_SD - clear.faulty.departures * film_judge.swings.TO_MODEL
    # Moments, proportions and ranges that are the golfer's own remain.
    limits = np.array([4.0, 3.0, 1.0, 0.7, 2.0, 2.0, 0.8, 0.5]) * film_judge.swings.TO_MODEL
    assert np.all(np.sqrt((off**2).mean(axis=0)) < limits)


def test_the_cameras_are_found_off_square():
    filmed = film_judge.filmed(1, 4, filmed_swings.Conditions(noise=0.01, exact_yaw=10.0), 42)
    found = fit(known_of(filmed), seen_of(filmed), EVEN)
    for view in (0, 1):
        first = CHAIN + HEADS + view * CAMERA
        told = phone_camera.told(found.numbers[:, first : first + CAMERA])
        drawn = np.array([filmed.cameras[2 * k + view]["yaw"] for k in range(4)])
        assert np.degrees(np.abs(told["azimuth"] - drawn)).max() < 4.0


def test_scipy_finds_the_same_minimum(films, monkeypatch):
    monkeypatch.setattr(film_fit, "TRUSTED_TO", 1e9)  # A plain least-squares problem: no keypoint is trusted less.
    everything, who = seen_of(films), slice(0, 1)
    one = Seen(everything.places[who], everything.size[who])
    known = Known(films.faulty.body.stature[who], films.faulty.body.female[who])
    ours = fit(known, one, EVEN)

    problem = Problem(known, one, Pieces())
    scale = problem.first_cameras(np.zeros((1, NUMBERS)), problem.pose(np.zeros((1, NUMBERS))))
    whitener = EVEN.whitener(one.seen, np.ones(one.seen.shape))

    def residuals(rows):
        """``(n, 104 + 43)`` for ``rows (n, 43)``, one after another through the same functions of pixels."""
        many = Problem(
            Known(np.repeat(known.stature, len(rows)), np.repeat(known.female, len(rows))),
            Seen(np.repeat(one.places, len(rows), axis=0), np.repeat(one.size, len(rows), axis=0)), Pieces(),
        )  # fmt: skip
        off = many.off(many.pixels(rows, many.pose(rows)))
        white = film_fit._whitened(
            np.repeat(whitener, len(rows), axis=0), off[..., None], np.repeat(scale, len(rows), axis=0)
        )
        return np.concatenate([white[..., 0], rows], axis=1)

    def slopes(row):
        moved = residuals(np.concatenate([row[None], row + 1e-3 * np.eye(NUMBERS)]))
        return ((moved[1:] - moved[0]) / 1e-3).T

    peer = least_squares(lambda row: residuals(row[None])[0], np.zeros(NUMBERS), slopes, x_scale=1.0, max_nfev=25)
    assert ours.misfit[0] == pytest.approx(2.0 * peer.cost, abs=0.3)
    mine = ours.numbers[0, :8]
    assert np.abs(mine - peer.x[:8]).max() < 0.1 * np.sqrt(np.diag(ours.covariance[0])[:8]).max() + 0.03


def test_a_swing_does_not_depend_on_its_neighbours(films):
    everything = seen_of(films)
    all_of_them = fit(known_of(films), everything, EVEN)
    one = fit(Known(films.faulty.body.stature[2:3], films.faulty.body.female[2:3]),
              Seen(everything.places[2:3], everything.size[2:3]), EVEN)  # fmt: skip
    # The batch looks as long as any of it has not settled.
    np.testing.assert_allclose(one.numbers[0, :8], all_of_them.numbers[2, :8], atol=0.02)


def test_one_keypoint_gone_astray_hardly_matters(films):
    everything = seen_of(films)
    wrong = everything.places.copy()
    wrong[:, 0, 1, FITTED.index("left_knee")] += 150.0
    right, astray = (fit(known_of(films), Seen(places, everything.size), EVEN) for places in (everything.places, wrong))
    moved = np.abs(astray.numbers - right.numbers)[:, :8] * DEPARTURE_SD
    assert np.degrees(moved[:, :6]).max() < 6.0
    assert astray.residual[:, 0, 1, FITTED.index("left_knee")].min() > 4.0
