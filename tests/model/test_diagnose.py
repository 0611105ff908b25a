"""Diagnosis: laws, closed forms, and simulated swings whose faults are known."""

from itertools import combinations

import numpy as np
import pytest
import simulated_faults as swings
from average_man import EXTENSION, MAN, read
from scipy.integrate import quad
from scipy.stats import norm

from turnstill.model.errors import TurnstillError
from turnstill.model.films.after_diagnosis import (
    beyond_centred,
    cannot_tell_apart,
    worth_reading,
)
from turnstill.model.films.diagnose import diagnose, smallest_set
from turnstill.model.films.fault_prior import AT_FAULT, HYPOTHESES, FaultPrior
from turnstill.model.films.readings import READINGS
from turnstill.model.golfer.address import Address
from turnstill.model.golfer.pieces import DEPARTURES


@pytest.mark.parametrize(
    ("piece", "amount"),
    [
        ("tilt", 15.0),
        ("tilt", -15.0),
        ("extension", -20.0),
        ("hip_turn", -20.0),
        ("sway", 7.0),
        ("hips_toward_ball", 7.0),
    ],
)
def test_a_plain_fault_is_named_and_measured(piece, amount):
    found = diagnose(MAN, Address(), read({piece: amount}))
    k = DEPARTURES.index(piece)
    assert found.largest[0].argmax() == k
    assert found.probability[0, k] > 0.8
    assert found.candidates[0, k]
    assert found.fits[0]
    amount_si = amount * swings.TO_MODEL[k]
    assert found.low[0, k] < amount_si < found.high[0, k]


def test_no_fault_is_told_as_none():
    found = diagnose(MAN, Address(), read({}))
    assert found.nothing[0] > FaultPrior().faults[0] * 2.0
    assert found.probability[0].max() < 0.25
    assert found.fits[0]


def test_a_departure_of_next_to_nothing_is_no_fault():
    """Readings so sharp that extension is known to a fraction of a degree: at fault by little is not at fault."""
    sharp = {name: 1e-3 if unit == "cm" else np.radians(0.5) for name, unit in READINGS.items()}
    told = FaultPrior(stature=1e-6, address={"forward_bend": 1e-6})
    chance = [
        diagnose(MAN, Address(), read({"extension": -amount}), sharp, told).probability[0, EXTENSION]
        for amount in (0.0, 2.0, 5.0, 8.0)
    ]
    assert chance == sorted(chance)
    assert chance[0] < 0.01
    assert chance[-1] > 0.95


def test_readings_that_say_nothing_leave_the_prior():
    found = diagnose(MAN, Address(), {"hip_turn": 0.8}, {"hip_turn": 1e4})
    prior = np.exp(FaultPrior().log_probability)
    np.testing.assert_allclose(found.weight[0], prior, atol=1e-6)
    slab = FaultPrior().slabs

    # If so, the slab with its hole: 90 % of it are between the ends, wherever the piece is at fault.
    def density(x):
        return norm.pdf(x) * (1.0 - np.exp(-0.5 * (x / FaultPrior().hole) ** 2)) ** 2

    whole, _ = quad(density, -9.0, 9.0)
    for end, share in ((found.low[0], 0.05), (found.high[0], 0.95)):
        for at in end / slab:
            below, _ = quad(density, -9.0, at)
            assert below / whole == pytest.approx(share, abs=1e-4)
    assert (prior @ AT_FAULT) == pytest.approx(found.probability[0], abs=1e-6)


def test_probabilities_are_probabilities():
    found = diagnose(MAN, Address(), {"head_toward_target": -0.06, "head_up": 0.0})
    assert found.weight.sum() == pytest.approx(1.0)
    assert found.largest.sum() == pytest.approx(1.0)
    assert found.probability.min() >= 0.0
    assert found.probability.max() <= 1.0
    assert np.all((found.low <= found.amount) & (found.amount <= found.high))


def test_many_swings_are_answered_like_each_alone():
    rng = np.random.default_rng(2)
    faulty = swings.noisy(swings.draw(rng, 6, 1), rng)
    seen = {name: faulty.shown[:, k] * swings.READ_TO_MODEL[k] for k, name in enumerate(READINGS)}
    together = diagnose(faulty.body, faulty.address, seen)
    for k in range(6):
        own = faulty.address.broadcast((6,))[[k]]
        alone = diagnose(faulty.body[[k]], own, {n: v[k : k + 1] for n, v in seen.items()})
        np.testing.assert_allclose(alone.probability[0], together.probability[k], atol=1e-6)
        np.testing.assert_allclose(alone.amount[0], together.amount[k], atol=1e-6)


def test_noisier_readings_say_less():
    seen = read({"extension": -15.0})
    width = []
    for angle_deg in (2.0, 4.0, 8.0):
        sd = {name: 0.01 if unit == "cm" else np.radians(angle_deg) for name, unit in READINGS.items()}
        found = diagnose(MAN, Address(), seen, sd)
        width.append((found.high - found.low)[0, EXTENSION])
    assert width == sorted(width)


def test_an_uncertain_body_and_address_say_less():
    seen = read({"extension": -15.0})
    sure = FaultPrior(stature=1e-6, address={"forward_bend": 1e-6})
    unsure = FaultPrior(stature=0.05, address={"forward_bend": np.radians(8.0), "pelvis_bend": np.radians(8.0)})
    one, other = (diagnose(MAN, Address(), seen, prior=prior) for prior in (sure, unsure))
    assert (other.high - other.low)[0, EXTENSION] > (one.high - one.low)[0, EXTENSION]


def test_readings_no_body_can_make_are_not_explained():
    # A head that rises a hand's breadth and goes as far toward the ball, over hips and trunk that did nothing amiss.
    seen = read({}) | {"head_up": 0.15, "head_toward_ball": 0.20}
    assert not diagnose(MAN, Address(), seen).fits[0]
    ten_times = {"head_toward_target": -0.60}
    assert not diagnose(MAN, Address(), ten_times).fits[0]


def test_body_and_readings_must_agree_in_number():
    with pytest.raises(TurnstillError, match="flat"):
        diagnose(MAN, Address(), {"hip_turn": np.zeros((2, 2))})


@pytest.mark.parametrize(
    ("seen", "sd", "words"),
    [
        ({}, {}, "at least one"),
        ({"hip": 1.0}, {}, "no reading named hip"),
        ({"hip_turn": np.nan}, {}, "finite"),
        ({"hip_turn": np.inf}, {}, "finite"),
        ({"hip_turn": 0.8}, {"hip_turn": 0.0}, "above zero"),
        ({"hip_turn": 0.8}, {"hip_turn": -1.0}, "above zero"),
        ({"hip_turn": 0.8}, {"hop_turn": 1.0}, "no reading named hop_turn"),
    ],
)
def test_nonsense_is_refused_in_words(seen, sd, words):
    with pytest.raises(TurnstillError, match=words):
        diagnose(MAN, Address(), seen, sd)


def test_smallest_set_is_the_smallest():
    rng = np.random.default_rng(0)
    probability = rng.dirichlet(np.ones(8), 50)
    inside = smallest_set(probability, 0.9)
    held = (probability * inside).sum(axis=1)
    assert held.min() >= 0.9 - 1e-9
    least_in = np.where(inside, probability, 2.0).min(axis=1)
    assert np.all(held - least_in < 0.9), "the least of them is needed"
    assert np.all(np.where(inside, 0.0, probability).max(axis=1) <= least_in)


def test_what_was_read_is_not_worth_reading_again():
    found = diagnose(MAN, Address(), {"head_up": -0.05, "head_toward_ball": 0.04})
    worth = worth_reading(found)[0]
    names = list(READINGS)
    assert worth[names.index("head_up")] == worth[names.index("head_toward_ball")] == 0.0
    assert worth.min() >= 0.0
    assert worth.max() > 0.0


def test_the_reading_that_is_worth_most_narrows_most():
    """The set of candidates shrinks more, on average over what may be, for the reading said to be worth more."""
    seen = read({"tilt": 12.0}, ("head_up", "head_toward_ball"))
    found = diagnose(MAN, Address(), seen)
    worth = dict(zip(READINGS, worth_reading(found)[0], strict=True))
    best, least = max(worth, key=worth.__getitem__), "trail_knee_flex"
    assert worth[best] > worth[least]
    left = {}
    for name in (best, least):
        more = diagnose(MAN, Address(), seen | read({"tilt": 12.0}, (name,)))
        share = more.largest[0]
        left[name] = -(share * np.log(np.maximum(share, 1e-12))).sum()
    assert left[best] < left[least]


def test_pairs_left_open_are_those_of_which_probably_one_is_at_fault_and_either_may_be():
    # The head toward the ball: tilt, or the hips.
    found = diagnose(MAN, Address(), {"head_toward_ball": 0.04})
    pairs = cannot_tell_apart(found)[0]
    assert pairs.any()
    assert np.array_equal(pairs, pairs.T)

    def chance(says):
        return sum(w for w, who in zip(found.weight[0], HYPOTHESES, strict=True) if says(who))

    for a, b in combinations(range(len(DEPARTURES)), 2):
        one, other = DEPARTURES[a], DEPARTURES[b]
        alone = (
            chance(lambda who, one=one, other=other: one in who and other not in who),
            chance(lambda who, one=one, other=other: other in who and one not in who),
        )
        either = chance(lambda who, one=one, other=other: one in who or other in who)
        assert pairs[a, b] == (min(alone) >= 0.1 and either >= 0.5)


def test_what_is_all_but_certain_is_told_from_everything():
    found = diagnose(MAN, Address(), read({"extension": -15.0}, ("head_toward_target", "head_up")))
    assert found.probability[0, EXTENSION] > 0.95
    assert not cannot_tell_apart(found)[0, EXTENSION].any()


def test_a_short_turn_with_a_still_head_is_no_fault_of_extension():
    found = diagnose(MAN, Address(), read({"shoulder_turn": -20.0}))
    assert found.largest[0].argmax() == DEPARTURES.index("shoulder_turn")
    assert found.probability[0, EXTENSION] < 0.2
    assert abs(found.likeliest()[0, EXTENSION]) < np.radians(2.0)
    # The centred turn needs more extension than this shorter one.
    assert beyond_centred(found)[0, EXTENSION] < np.radians(-2.0)


def test_what_is_as_probable_as_the_last_of_the_set_is_in_it_too():
    probability = np.array([[0.6, 0.25, 0.052, 0.050, 0.048, 0.0, 0.0, 0.0]])
    assert smallest_set(probability, 0.9).sum() == 3
    assert smallest_set(probability, 0.9, 0.01)[0].tolist() == [True] * 5 + [False] * 3


@pytest.fixture(scope="module")
def judged():
    rng = np.random.default_rng(21)
    faulty = swings.noisy(swings.draw(rng, 80, 1), rng)
    seen = {name: faulty.shown[:, k] * swings.READ_TO_MODEL[k] for k, name in enumerate(READINGS)}
    return faulty, diagnose(faulty.body, faulty.address, seen)


def test_one_fault_among_eighty_drawn_swings_is_named(judged):
    """The thorough judge is tests/model/test_diagnosis_judge.py; this one only notices that something broke."""
    faulty, found = judged
    named = found.largest.argmax(axis=1) == faulty.at_fault.argmax(axis=1)
    assert named.mean() > 0.85, "0.94 is asked of 2,000; 0.85 is more than three sd below it"
    assert found.candidates[faulty.at_fault].mean() > 0.9
    assert found.fits.mean() > 0.9
