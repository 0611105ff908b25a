"""After a diagnosis: a piece put back leaves the others as they were, and what to read next."""

from dataclasses import replace

import numpy as np
import pytest
from average_man import EXTENSION, MAN, TILT, read

from turnstill.model.films.after_diagnosis import (
    FAR,
    hardly_explained,
    leading,
    take_back,
    worth_reading,
)
from turnstill.model.films.diagnose import diagnose
from turnstill.model.films.fault_prior import FaultPrior
from turnstill.model.films.readings import READINGS
from turnstill.model.golfer.address import Address
from turnstill.model.golfer.impact import Impact
from turnstill.model.golfer.pieces import DEPARTURES, HEELS, Pieces
from turnstill.model.questions.head_asked import answer_plain

SIDEWAYS_AND_UP = ("head_toward_target", "head_up")


def test_taking_a_lone_fault_back_brings_the_head_back():
    found = diagnose(MAN, Address(), read({"tilt": 15.0}))
    seen, due = read({"tilt": np.degrees(found.amount[0, TILT])}), read({})
    back = take_back(found).shown[0, TILT]
    head = [list(READINGS).index(name) for name in ("head_toward_target", "head_up", "head_toward_ball")]
    for k in head:
        # What so much tilt moves it; the other pieces depart by next to nothing.
        name = list(READINGS)[k]
        assert back[k] == pytest.approx(due[name] - seen[name], abs=0.001)


@pytest.fixture(scope="module")
def swayed():
    """Hips that went 5 cm from the target, and a trunk that is short of extension for it, read by a sharp eye."""
    sharp = {name: 0.002 if unit == "cm" else np.radians(1.0) for name, unit in READINGS.items()}
    return diagnose(MAN, Address(), read({"sway": 5.0, "extension": -4.0}), sharp)


def as_told(found):
    """Departures ``(8, 8)`` under the likeliest hypothesis that blames each piece, its own as it is told."""
    departures = found.likeliest_with_fault()[0].copy()
    np.fill_diagonal(departures, found.amount[0])
    return departures


def test_a_piece_taken_back_leaves_all_others_in_degrees(swayed):
    taken = take_back(swayed)
    who = np.zeros(len(DEPARTURES), dtype=np.intp)
    before = swayed.film.amounts(who, as_told(swayed))
    after = swayed.film.amounts(who, taken.beyond[0])
    np.testing.assert_allclose(before - after, np.diag(swayed.amount[0]), atol=1e-9)


def test_the_head_then_goes_where_those_plain_amounts_take_it(swayed):
    """Along the way of the maps and shares, which ask for every piece as a plain number."""
    taken, pieces = take_back(swayed), len(DEPARTURES)
    who = np.zeros(pieces, dtype=np.intp)
    heads = []
    for departures in (as_told(swayed), taken.beyond[0]):
        made = dict(zip(DEPARTURES, swayed.film.amounts(who, departures).T, strict=True))
        made |= dict.fromkeys(HEELS, np.zeros(pieces))
        heads.append(answer_plain(swayed.film.golfers, who, made).outcome[0])
    ball, target, up = (heads[1] - heads[0])[:, :3].T
    rows = [list(READINGS).index(name) for name in ("head_toward_ball", "head_toward_target", "head_up")]
    np.testing.assert_allclose(taken.shown[0][:, rows], np.stack([ball, target, up], axis=-1), atol=2e-6)
    # A centimetre of hips takes the head about 0.6 cm with it where the trunk stays.
    assert target[DEPARTURES.index("sway")] == pytest.approx(0.028, abs=0.004)


def test_hips_put_back_leave_more_extension_than_holds_the_head(swayed):
    sway = DEPARTURES.index("sway")
    beyond = dict(zip(DEPARTURES, take_back(swayed).beyond[0, sway], strict=True))
    missing = swayed.likeliest_with_fault()[0, sway, EXTENSION]
    # Over hips that went back the head is held by more extension than over hips that did not.
    assert beyond["extension"] - missing > np.radians(3.0)
    assert abs(beyond["sway"]) < 0.002


def test_an_amount_that_cannot_be_told_is_not_taken_back(swayed):
    unknown = np.where(np.arange(len(DEPARTURES)) == TILT, np.nan, swayed.amount)
    taken = take_back(replace(swayed, amount=unknown))
    assert np.isnan(taken.shown[0, TILT]).all()
    assert np.isfinite(np.delete(taken.shown[0], TILT, axis=0)).all()
    assert np.isfinite(taken.beyond).all()


def far_from_the_others(found, swing, k):
    """How far a reading is from where the likeliest hypothesis and all the others would have it, in sd, the long way;
    and the share of what it is off that the hypothesis shows.
    """
    best, fitted, none = int(found.weight[swing].argmax()), found.hypotheses, np.zeros((1, len(DEPARTURES)))
    slopes, shown = (of[swing, best][found.read] for of in (fitted.slopes, fitted.shown))
    spread = slopes @ np.diag(FaultPrior().variance[best]) @ slopes.T + found.noise[swing]
    seen, due = found.seen[swing], found.film.readings(np.array([swing]), none)[0, found.read]
    off = seen - shown + slopes @ fitted.departures[swing, best]
    others = np.delete(np.arange(len(off)), k)
    gain = spread[k, others] @ np.linalg.inv(spread[np.ix_(others, others)])
    sd = np.sqrt(spread[k, k] - gain @ spread[others, k])
    return abs(off[k] - gain @ off[others]) / sd, (shown[k] - due[k]) / (seen[k] - due[k])


@pytest.mark.parametrize("reference", [Pieces(), Impact()])
def test_a_head_lower_than_the_others_and_the_likeliest_fault_would_have_it_is_hardly_explained(reference):
    """Straight down, where no one piece takes a head: each that lowers it takes it aside or toward the ball as well."""
    up = np.array([-0.012, -0.03, -0.045])
    seen = {"head_toward_target": np.zeros(3), "head_up": up, "head_toward_ball": np.zeros(3)}
    found = diagnose(MAN, Address(), seen, reference=reference)
    told = hardly_explained(found)
    for swing, k in np.ndindex(told.shape):
        far, share = far_from_the_others(found, swing, k)
        assert told[swing, k] == (far > FAR and not 0.5 <= share <= 1.5), (swing, k)
    of_up = told[:, list(found.read).index(list(READINGS).index("head_up"))]
    assert not of_up[0] and of_up[-1]


@pytest.mark.parametrize("names", [tuple(READINGS), SIDEWAYS_AND_UP])
def test_a_head_that_went_where_a_fault_takes_it_is_explained(names):
    each = [read(one, names) for one in ({"tilt": 15.0}, {"extension": -14.0}, {"hip_turn": 20.0, "extension": 10.0})]
    found = diagnose(MAN, Address(), {name: np.array([one[name] for one in each]) for name in names})
    assert not hardly_explained(found).any()


def test_an_angle_that_is_off_is_no_head_that_is_hardly_explained():
    seen = {"head_up": 0.0, "hip_turn": np.radians(45.0), "shoulder_turn": np.radians(90.0), "lead_knee_flex": 0.0}
    assert not hardly_explained(diagnose(MAN, Address(), seen)).any()


SEEN = {"head_toward_target": -0.06, "head_up": 0.005, "shoulder_turn": np.radians(88.0)}
SD = {"head_toward_target": 0.01, "head_up": 0.01, "shoulder_turn": np.radians(4.0)}


@pytest.mark.parametrize("seen", [SEEN, SEEN | {"head_toward_target": -0.03, "head_up": -0.01}])
def test_hips_sideways_is_to_be_read_where_sway_or_extension_moved_the_head(seen):
    found = diagnose(MAN, Address(), seen, SD)
    told = leading(found, seen, SD, FaultPrior().slabs)[0]
    named = {name for name, is_told in zip(DEPARTURES, told, strict=True) if is_told}
    assert {"sway", "extension"} <= named
    # Hips nearer to the ball take the head toward the ball, which was not read, and hardly back.
    assert found.candidates[0, DEPARTURES.index("hips_toward_ball")]
    assert "hips_toward_ball" not in named
    worth = worth_reading(found, among=told)[0]
    assert list(READINGS)[worth.argmax()] == "pelvis_toward_target"


def test_where_the_head_was_not_read_or_did_not_go_every_candidate_leads():
    seen = {"hip_turn": 0.6}
    found = diagnose(MAN, Address(), seen)
    assert np.array_equal(leading(found, seen, {"hip_turn": 0.07}, FaultPrior().slabs), found.candidates)
    still = {"head_toward_target": 0.001, "head_up": 0.0}
    found = diagnose(MAN, Address(), still)
    far_off = dict.fromkeys(still, 1.0)
    assert np.array_equal(leading(found, still, far_off, FaultPrior().slabs), found.candidates)
