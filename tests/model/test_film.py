"""What the films show is what `simulate` shows."""

import numpy as np
import pytest

from turnstill.model.chain.golfers import Golfers
from turnstill.model.films.readings import READINGS, Film
from turnstill.model.golfer.pieces import DEPARTURES, PIECES, Pieces, Steady
from turnstill.model.swing.simulate import simulate

COUNT = 60


@pytest.fixture(scope="module")
def swings():
    from turnstill.model.golfer.address import Address
    from turnstill.model.golfer.body import Body

    rng = np.random.default_rng(3)
    body = Body.draw(rng, COUNT)
    address = Address(
        forward_bend=np.radians(rng.uniform(32.0, 44.0, COUNT)), trail_flare=np.radians(rng.uniform(0.0, 35.0, COUNT))
    )
    size = np.array([0.05 if PIECES[name].unit == "cm" else np.radians(12.0) for name in DEPARTURES])
    departures = rng.uniform(-1.0, 1.0, (COUNT, len(DEPARTURES))) * size
    return body, address, departures


@pytest.fixture(scope="module")
def film(swings):
    body, address, _ = swings
    return Film.of(Golfers.at_address(body, address, (COUNT,)), Pieces())


@pytest.fixture(scope="module")
def simulated(swings):
    body, address, departures = swings
    by = dict(zip(DEPARTURES, departures.T, strict=True))
    plain = {name: getattr(Pieces(), name) + by[name] for name in DEPARTURES if name not in ("tilt", "extension")}
    pieces = Pieces(**plain, tilt=Steady(by["tilt"]), extension=Steady(by["extension"]))
    return simulate(body, address, pieces, frames=2)


def test_readings_are_those_of_simulate(film, swings, simulated):
    shown = film.readings(np.arange(COUNT), swings[2])
    read, top = simulated.measures, {name: value[:, -1] for name, value in simulated.achieved.items()}
    inclination = read.inclination_down_the_line
    expected = {
        "head_toward_target": read.head_moved[:, -1, 1],
        "head_up": read.head_moved[:, -1, 2],
        "head_toward_ball": read.head_moved[:, -1, 0],
        "pelvis_toward_target": read.pelvis_moved[:, -1, 1],
        "pelvis_toward_ball": read.pelvis_moved[:, -1, 0],
        "inclination_change": inclination[:, -1] - inclination[:, 0],
        "lean_face_on": read.lean_face_on[:, -1],
        "shoulder_plane": read.shoulder_plane[:, -1],
        **{n: top[n] for n in ("shoulder_turn", "hip_turn", "lead_knee_flex", "trail_knee_flex", "belt_line_tilt")},
    }
    assert list(expected) == list(READINGS)
    np.testing.assert_allclose(shown, np.stack(list(expected.values()), axis=-1), rtol=0.0, atol=1e-9)


def test_amounts_are_what_simulate_is_asked(film, swings, simulated):
    amounts = film.amounts(np.arange(COUNT), swings[2])
    asked = np.stack([simulated.asked[name][:, -1] for name in DEPARTURES], axis=-1)
    np.testing.assert_allclose(amounts, asked, rtol=0.0, atol=1e-9)


def test_slopes_are_differences_of_readings(film, swings):
    who, departures = np.arange(COUNT), swings[2]
    shown, slopes = film.readings_and_slopes(who, departures)
    np.testing.assert_allclose(shown, film.readings(who, departures), rtol=0.0, atol=1e-9)
    for k, name in enumerate(DEPARTURES):
        step = 0.005 if PIECES[name].unit == "cm" else np.radians(1.0)
        more = departures.copy()
        more[:, k] += step
        expected = (film.readings(who, more) - shown) / step
        np.testing.assert_allclose(slopes[..., k], expected, rtol=0.0, atol=1e-6, err_msg=name)
