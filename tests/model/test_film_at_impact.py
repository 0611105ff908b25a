"""At impact too, and with a head that is wanted elsewhere, what the films show is what `simulate` shows."""

import numpy as np
import pytest
import simulated_faults as swings

from turnstill.model.chain.golfers import Golfers
from turnstill.model.errors import TurnstillError
from turnstill.model.films.readings import Film
from turnstill.model.golfer.address import Address
from turnstill.model.golfer.body import Body
from turnstill.model.golfer.head_place import HeadPlace
from turnstill.model.golfer.impact import Impact, centred_at_impact
from turnstill.model.golfer.pieces import DEPARTURES, PIECES, Pieces
from turnstill.model.swing.simulate import simulate

COUNT = 12
ELSEWHERE = HeadPlace(toward_target=-0.023, up=0.011)
"""A place on purpose, unlike in both ways."""


@pytest.fixture(scope="module")
def golfers():
    rng = np.random.default_rng(5)
    body = Body.draw(rng, COUNT)
    address = Address(forward_bend=np.radians(rng.uniform(32.0, 44.0, COUNT)))
    size = np.array([0.05 if PIECES[name].unit == "cm" else np.radians(12.0) for name in DEPARTURES])
    return body, address, rng.uniform(-1.0, 1.0, (COUNT, len(DEPARTURES))) * size


@pytest.mark.parametrize("head", [HeadPlace(), ELSEWHERE])
def test_readings_at_impact_are_those_of_simulate_whatever_was_off_at_the_top(golfers, head):
    body, address, departures = golfers
    film = Film.of(Golfers.at_address(body, address, (COUNT,)), Impact(head=head))
    assert film.at_impact
    # Off at the top in everything, the other way and as far: it is given back before the ball.
    impact = Impact(swings.departing(centred_at_impact(), departures / swings.TO_MODEL), head=head)
    swing = simulate(body, address, swings.departing(Pieces(), -departures / swings.TO_MODEL), frames=2, impact=impact)
    shown, asked = swings.seen(swing, swing.at_impact), swing.asked
    who = np.arange(COUNT)
    np.testing.assert_allclose(film.readings(who, departures), shown, rtol=0.0, atol=1e-9)
    amounts = np.stack([asked[name][:, swing.at_impact] for name in DEPARTURES], axis=-1)
    np.testing.assert_allclose(film.amounts(who, departures), amounts, rtol=0.0, atol=1e-9)


def test_slopes_at_impact_are_differences_of_readings(golfers):
    body, address, departures = golfers
    film = Film.of(Golfers.at_address(body, address, (COUNT,)), Impact(head=ELSEWHERE))
    who = np.arange(COUNT)
    shown, slopes = film.readings_and_slopes(who, departures)
    np.testing.assert_allclose(shown, film.readings(who, departures), rtol=0.0, atol=1e-9)
    for k, name in enumerate(DEPARTURES):
        step = 0.005 if PIECES[name].unit == "cm" else np.radians(1.0)
        expected = (film.readings(who, departures + step * (np.arange(len(DEPARTURES)) == k)) - shown) / step
        np.testing.assert_allclose(slopes[..., k], expected, rtol=0.0, atol=1e-6, err_msg=name)


def test_a_head_wanted_elsewhere_at_the_top_is_held_there(golfers):
    body, address, departures = golfers
    film = Film.of(Golfers.at_address(body, address, (COUNT,)), Pieces(), ELSEWHERE)
    assert not film.at_impact
    swing = simulate(body, address, swings.departing(Pieces(), departures / swings.TO_MODEL), frames=2, head=ELSEWHERE)
    np.testing.assert_allclose(film.readings(np.arange(COUNT), departures), swings.seen(swing, -1), rtol=0.0, atol=1e-9)


def test_what_is_centred_goes_by_the_moment():
    who = Golfers.at_address(Body.from_stature(1.78, 80.0, "male"), Address(), (1,))
    off = centred_at_impact().replace(sway=-0.031)
    film = Film.of(who, Impact(off))
    assert film.asked["sway"] == -0.031
    assert film.centred().asked["sway"] == -0.08
    assert Film.of(who, Pieces(sway=0.02)).centred().asked["sway"] == 0.0


def test_a_plain_tilt_at_impact_holds_no_head():
    who = Golfers.at_address(Body.from_stature(1.78, 80.0, "male"), Address(), (1,))
    with pytest.raises(TurnstillError, match="tilt"):
        Film.of(who, Impact(centred_at_impact().replace(tilt=-0.5)))
