"""Diagnosis at impact: simulated ways down whose faults are known, and a head that is wanted elsewhere."""

import numpy as np
import pytest
import simulated_faults as swings
from average_man import MAN, read

from turnstill.model.films.after_diagnosis import beyond_centred, take_back
from turnstill.model.films.diagnose import diagnose
from turnstill.model.films.readings import READINGS, USUAL_SD_AT_IMPACT_SHOWN, USUAL_SD_SHOWN
from turnstill.model.golfer.address import Address
from turnstill.model.golfer.body import Body
from turnstill.model.golfer.head_place import HeadPlace
from turnstill.model.golfer.impact import Impact, centred_at_impact, pace_at_impact
from turnstill.model.golfer.pieces import DEPARTURES, Pieces, plain

HEAD = tuple(name for name in READINGS if name.startswith("head"))


def read_at_impact(departures_deg_cm, off_at_top=None, names=tuple(READINGS)):
    """Noiseless readings at impact of an average man who departs so much there, and at the top before."""
    flat = Body.from_stature(np.array([1.78]), np.array([80.0]), "male")
    there, before = (
        np.array([[of.get(name, 0.0) for name in DEPARTURES]]) for of in (departures_deg_cm, off_at_top or {})
    )
    shown, _ = swings.film_at_impact(flat, Address(), there, before)
    values = dict(zip(READINGS, shown[0] * swings.READ_TO_MODEL, strict=True))
    return {name: values[name] for name in names}


@pytest.mark.parametrize(
    ("piece", "amount"),
    [("hip_turn", 20.0), ("tilt", 15.0), ("extension", 14.0), ("sway", 7.0), ("hips_toward_ball", 6.0)],
)
def test_a_plain_fault_of_the_way_down_is_named_and_measured(piece, amount):
    found = diagnose(MAN, Address(), read_at_impact({piece: amount}), reference=Impact())
    k = DEPARTURES.index(piece)
    assert found.largest[0].argmax() == k
    assert found.probability[0, k] > 0.7
    assert found.fits[0]
    assert found.low[0, k] < amount * swings.TO_MODEL[k] < found.high[0, k]


def test_what_was_off_at_the_top_is_no_fault_at_impact():
    seen = read_at_impact({}, {"tilt": 15.0, "sway": 6.0})
    found = diagnose(MAN, Address(), seen, reference=Impact())
    assert (
        found.largest[0].argmax()
        == diagnose(MAN, Address(), read_at_impact({}), reference=Impact()).largest[0].argmax()
    )
    assert found.nothing[0] > 0.4
    np.testing.assert_allclose(found.hypotheses.departures[0, 0], 0.0, atol=1e-6)


def test_readings_of_the_top_taken_for_impact_fit_nothing():
    assert not diagnose(MAN, Address(), read({}), reference=Impact()).fits[0]


def test_a_fault_taken_back_alone_leaves_what_the_others_show():
    """Hips that stay 7 cm back: put back alone, the head goes with them as the trunk's degrees are kept."""
    found = diagnose(MAN, Address(), read_at_impact({"sway": 7.0}), reference=Impact())
    back = take_back(found).shown[0, DEPARTURES.index("sway")]
    assert back[list(READINGS).index("pelvis_toward_target")] == pytest.approx(
        found.amount[0, DEPARTURES.index("sway")], abs=1e-3
    )
    assert back[list(READINGS).index("head_toward_target")] > 0.02


def test_departures_at_impact_are_counted_from_a_turn_that_aims_elsewhere():
    """Asked for 6 cm less of the way toward the target, a golfer who does so departs by nothing; from centred by 6."""
    k = DEPARTURES.index("sway")
    aims = Impact(centred_at_impact().replace(sway=float(plain(centred_at_impact().sway)) + 0.06))
    found = diagnose(MAN, Address(), read_at_impact({"sway": 6.0}), reference=aims)
    assert abs(found.likeliest()[0, k]) < 0.002
    assert beyond_centred(found)[0, k] == pytest.approx(0.06, abs=0.002)


@pytest.mark.parametrize("at_impact", [False, True])
def test_a_head_held_where_it_is_wanted_is_no_fault(at_impact):
    """A head 8 cm behind on purpose: from there nothing is off; from its place at address something is."""
    place = HeadPlace(toward_target=-0.08)
    none = np.zeros((1, len(DEPARTURES)))
    about = Impact(head=place) if at_impact else Pieces()
    one = diagnose(MAN, Address(), {"hip_turn": 0.5}, reference=about, head=place)
    seen = dict(zip(READINGS, one.film.readings(np.zeros(1, int), none)[0], strict=True))
    assert seen["head_toward_target"] == pytest.approx(-0.08, abs=1e-3)
    wanted = diagnose(MAN, Address(), seen, reference=about, head=place)
    home = diagnose(MAN, Address(), seen, reference=Impact() if at_impact else Pieces())
    assert wanted.nothing[0] > home.nothing[0] + 0.2
    np.testing.assert_allclose(wanted.hypotheses.departures[0, 0], 0.0, atol=1e-9)


def test_angles_at_impact_are_as_unsure_as_a_frame_lets_them_be():
    """Half of 1/30 s off at most: how far the centred shoulders turn in that, one sd, with a way down of 0.28 s."""
    top, impact = Pieces(), centred_at_impact()
    for name, unit, per_unit, within in (("shoulder_turn", "deg", np.radians(1.0), 0.3), ("sway", "cm", 0.01, 0.1)):
        way = abs(getattr(impact, name) - getattr(top, name)) / per_unit
        blur = pace_at_impact(name) * way / 0.28 / 30.0 / np.sqrt(12.0)
        assert np.hypot(USUAL_SD_SHOWN[unit], blur) == pytest.approx(USUAL_SD_AT_IMPACT_SHOWN[unit], abs=within)
