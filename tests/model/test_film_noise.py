"""How far detectors are off: variances as they are said, pairs that go wrong together or against each other."""

import numpy as np
import pytest

from turnstill.model.films.detector_noise import KNOWN, WIDER, Pair, ViewNoise
from turnstill.model.films.film_noise import FilmNoise
from turnstill.model.films.filmed_golfer import FITTED

ALL = np.ones((1, 2, 2, 13), dtype=bool)
MADE = ViewNoise(
    lasting={"nose": 0.011, "eye": 0.012, "ear": 0.013, "shoulder": 0.014, "hip": 0.015, "knee": 0.016, "ankle": 0.017},
    varying=0.003,
    pairs={
        "shoulder": Pair((0.021, 0.022), (0.031, 0.032), (-0.1, 0.2)),
        "hip": Pair((0.023, 0.024), (0.033, 0.034), (-0.3, 0.4)),
        "knee": Pair((0.025, 0.026), (0.035, 0.036), (-0.5, 0.6)),
        "ankle": Pair((0.027, 0.028), (0.037, 0.038), (-0.7, 0.8)),
    },
    face={"pose_net": (0.051, 0.052), "face_detector": (0.041, 0.042), "followed": (0.031, 0.032)},
)
HALF = ViewNoise(MADE.lasting, MADE.varying, MADE.pairs, {by: (2.0 * x, 3.0 * y) for by, (x, y) in MADE.face.items()})


def covariance(noise):
    """``(2, 2, 26, 26)`` by view and axis, m^2."""
    white = noise.whitener(ALL, np.ones(ALL.shape))[0]
    return np.linalg.inv(np.swapaxes(white, -1, -2) @ white)


def test_pairs_have_the_spread_that_was_measured_lead_and_trail_and_together():
    whole = covariance(FilmNoise(known=(MADE, HALF), face=("followed", "followed"), shared=0.0))
    for axis in (0, 1):
        for kind, pair in MADE.pairs.items():
            lead, trail = (FITTED.index(f"{side}_{kind}") for side in ("left", "right"))
            # What changed from address to the top: what lasts is in neither.
            change = np.zeros((2, 26))
            change[[0, 1], [13 + lead, 13 + trail]], change[[0, 1], [lead, trail]] = 1.0, -1.0
            spread = change @ whole[0, axis] @ change.T / WIDER**2
            told = np.array([pair.lead[axis], pair.trail[axis]])
            np.testing.assert_allclose(np.diag(spread), told**2 + 2.0 * MADE.varying**2, rtol=1e-6)
            assert spread[0, 1] == pytest.approx(pair.together[axis] * told.prod(), rel=1e-5)
        lasting = np.sqrt(np.diag(whole[0, axis])[:13]) / WIDER
        kinds = [MADE.lasting[name.rpartition("_")[2]] for name in FITTED]
        np.testing.assert_allclose(lasting**2, np.square(kinds) + MADE.varying**2, rtol=1e-6)


@pytest.mark.parametrize("by", MADE.face)
def test_the_whole_face_goes_as_what_tells_of_it_lets_it(by):
    whole = covariance(FilmNoise(known=(MADE, HALF), face=(by, by)))
    for view, noise in enumerate((MADE, HALF)):
        sd = noise.face[by]
        for axis in (0, 1):
            # Of nose and shoulder nothing but what drags the face is seen at the top and not at address.
            change = np.zeros(26)
            change[13], change[0] = 1.0, -1.0
            spread = change @ whole[view, axis] @ change
            assert spread == pytest.approx(WIDER**2 * (sd[axis] ** 2 + 2.0 * noise.varying**2), rel=1e-6)


def test_one_view_known_leaves_the_other_as_it_is_believed_of_any_detector():
    usual, mixed = covariance(FilmNoise()), covariance(FilmNoise(known=(None, MADE)))
    np.testing.assert_allclose(mixed[0], usual[0])
    assert not np.allclose(mixed[1], usual[1])
    np.testing.assert_array_equal(usual[:, 0], usual[:, 1])


def test_what_is_trusted_less_varies_more_and_what_is_unseen_says_nothing():
    noise = FilmNoise(known=(MADE, HALF))
    weight, seen = np.ones(ALL.shape), ALL.copy()
    weight[0, 0, 1, 5] = 0.25
    seen[0, 1, 0, 2] = False
    white = noise.whitener(seen, weight)[0]
    whole = np.linalg.inv(np.swapaxes(white, -1, -2) @ white)
    before = covariance(noise)
    own = before[0, 0, 18, 18] - noise.lasting_by(0)[5, 5]
    assert whole[0, 0, 18, 18] - noise.lasting_by(0)[5, 5] == pytest.approx(4.0 * own)
    assert whole[1, 1, 2, 2] > 1e5 and abs(whole[1, 1, 2, 3]) < 1.0


def test_the_measured_ones_say_every_kind():
    kinds = {name.rpartition("_")[2] for name in FITTED}
    for views in KNOWN.values():
        for view in views:
            assert set(view.lasting) == kinds
            assert set(view.pairs) == kinds - {"nose", "eye", "ear"}
            for pair in view.pairs.values():
                assert min(*pair.lead, *pair.trail) > 0.0
                assert np.abs(pair.together).max() < 1.0
