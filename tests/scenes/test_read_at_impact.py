"""``turnstill read --read impact...``: what was read at impact by hand stands beside what the films say of the top."""

import dataclasses
import json

import film_judge
import filmed_swings
import numpy as np
import pytest
from read_by_command import read, refused, save, stature
from shown import page, words

from turnstill.model.films.diagnose import diagnose
from turnstill.model.films.film_moments import VIEWS
from turnstill.model.films.filmed_golfer import Known
from turnstill.model.films.impact_beside_films import FilmedGolfer
from turnstill.model.films.one_golfer import DOUBTFUL
from turnstill.model.golfer.address import Address
from turnstill.model.golfer.impact import Impact
from turnstill.scenes.diagnose.page import shown_of
from turnstill.scenes.diagnose.readings import KINDS
from turnstill.scenes.diagnose.words import DOUBTED, sentences
from turnstill.scenes.read.as_diagnosed import as_diagnosed
from turnstill.scenes.read.by_hand import ByHand
from turnstill.scenes.read.found import films_read
from turnstill.scenes.read.report import ReadReport
from turnstill.scenes.record.entry import ImpactReading
from turnstill.scenes.record.store import entries_of
from turnstill.scenes.setups.perform import body_of
from turnstill.scenes.setups.presets import load
from turnstill.scenes.words.at_impact import CAUTION

BY_HAND = ("--read", "impact.head_up=-3", "--read", "impact.hip_turn=-15", "--sd", "impact.head_up=0.5in")


@pytest.fixture(scope="module")
def filmed():
    return film_judge.filmed(1, 6, filmed_swings.Conditions(), 900)


@pytest.fixture(scope="module")
def found(filmed):
    """What the films and the readings by hand say, before it is told."""
    body = filmed.faulty.body
    return films_read(
        {view: getattr(filmed, view)[0] for view in VIEWS}, stature_m=float(body.stature[0]),
        female=bool(body.female[0]), left_handed=None, frames={}, by_hand=ByHand(BY_HAND[1:4:2], BY_HAND[5:]),
    )  # fmt: skip


@pytest.fixture(scope="module")
def films(filmed, tmp_path_factory):
    folder = tmp_path_factory.mktemp("films")
    tracks = [save(getattr(filmed, view)[0], folder / f"{view}.csv") for view in ("face_on", "down_the_line")]
    return [*tracks, "--stature-cm", stature(filmed, 0)]


@pytest.fixture(scope="module")
def both(films, tmp_path_factory):
    folder = tmp_path_factory.mktemp("out")
    out, record = folder / "page", str(folder / "anna.turnstill")
    said = read(*films, *BY_HAND, "--out", str(out), "--record", record)
    ((_, entry),) = entries_of(record)
    assert entry.at_impact == (ImpactReading("head_up", -3.0, 1.27), ImpactReading("hip_turn", -15.0))
    assert entry.head_up_cm is not None, "what the films say is kept beside it"
    return " ".join(said.split()), json.loads((out / "read.json").read_text()), (out / "index.html").read_text()


def test_impact_stands_beside_the_top_with_its_own_readings(both):
    said, found, html = both
    then = found["at_impact"]
    assert (found["moment"], then["moment"]) == ("top", "impact")
    told = {one["reading"]: (one["value"], one["sd"], one["sd_given"]) for one in then["readings"]}
    assert told == {
        "head_up": (-3.0, pytest.approx(1.27), True), "hip_turn": (pytest.approx(-15.0), pytest.approx(6.0), False)
    }  # fmt: skip
    assert then["each_piece"][0]["piece"] == "hip_turn" and then["each_piece"][0]["most_likely"] > 0.0
    shown = words(page(html))
    for sentence in then["sentences"][:2]:
        assert " ".join(sentence.split()) in said and " ".join(sentence.split()) in shown
    assert CAUTION in said or CAUTION in " ".join(then["sentences"])
    assert "--through impact" in shown and "impact.hip_turn=" in shown, "commands to go on with"
    assert KINDS["hip_turn"].words in said


def test_the_top_is_what_it_is_without_impact(films, both):
    _, found, _ = both
    alone = json.loads(read(*films, "--json", "-"))
    assert alone["at_impact"] is None
    for key in ("readings", "each_piece", "feel", "sentences", "body"):
        assert alone[key] == found[key], key


ORDINARY = ("to be changed", "What to do", "ask again", "further reading", "tell them apart", "on one reading alone")
"""Of the feel, of why there is none and of what to read next, where nothing is amiss with the films."""


def test_films_that_hardly_go_together_give_that_as_the_one_reason_at_both_moments(found):
    ordinary = ReadReport.of_films(found)
    assert all(one.feel and any(word in one.sentences[0] for word in ORDINARY) for one in ordinary.diagnoses)
    report = ReadReport.of_films(dataclasses.replace(found, apart=DOUBTFUL + 1.0))
    assert report.hardly_together and report.at_impact is not None
    shown = shown_of(report, False, ())
    for one, on_page in zip(report.diagnoses, (shown, shown["moments"][1]), strict=True):
        assert one.feel is None and one.measure_next is None
        told = [*on_page["sentences"], *on_page["further"]]
        assert one.sentences[0] == told[0] == DOUBTED
        assert len(one.sentences) > 1, "what was read is told all the same"
        for line in (*one.sentences, *told):
            assert not any(word in line for word in ORDINARY), line
        # The same readings without the doubt would have given one.
        assert any(word in sentences(one.replaced(doubted=None))[0] for word in ORDINARY)


def test_impact_is_diagnosed_for_the_golfer_as_fitted_with_the_doubt_of_the_fit(filmed, found):
    body = filmed.faulty.body
    known = Known(body.stature[:1], body.female[:1].astype(float))
    golfer = FilmedGolfer.of(known, found.reading)
    given = [f"impact.{name}" for name in ("head_toward_target=4cm", "lean_face_on=20deg", "shoulder_plane=-20deg")]
    by_hand = ByHand(given, [f"impact.{name}" for name in ("head_toward_target=0.2cm", "shoulder_plane=1deg")])
    _, then = as_diagnosed(known, found.reading, bool(body.female[0]), False, by_hand)
    seen, sure = then.asked.seen, then.asked.seen_sd_of_read
    own = golfer.diagnose(seen, sure)
    np.testing.assert_allclose(then.found.probability, own.probability, rtol=1e-9)
    np.testing.assert_allclose(then.found.amount, own.amount, rtol=1e-9)
    # Neither the average golfer's nor that of a fit without doubt is that.
    average = diagnose(body_of(load("centred")), Address(), seen, sd=sure, reference=Impact())
    sharp = dataclasses.replace(golfer, by_unknown=np.zeros_like(golfer.by_unknown)).diagnose(seen, sure)
    for other in (average, sharp):
        assert not np.allclose(other.probability, own.probability, atol=1e-4)


@pytest.mark.parametrize(
    ("given", "says"),
    [
        (("--read", "head_up=-3"), "is of the top, which the films tell by themselves"),
        (("--read", "impact.head_up=-3", "--sd", "head_up=2"), '--sd "head_up=2" is of the top'),
        (("--sd", "impact.head_up=2"), "--sd is of readings at impact, and there are none"),
        (("--angle-sd-deg", "4"), "--angle-sd-deg is of readings at impact, and there are none"),
        (("--read", "impact.hed_up=3"), "Did you mean head_up?"),
        (("--read", "impact.hip_turn=999"), "must be a number between -180 and 180 deg"),
    ],
)
def test_what_is_no_reading_at_impact_is_refused_before_films_are_looked_at(given, says):
    assert says in refused("no-such-film.mp4", "none", *given)
