"""``turnstill read --read impact...``: what was read at impact by hand stands beside what the films say of the top."""

import json

import film_judge
import filmed_swings
import pytest
from read_by_command import read, refused, save, stature
from shown import page, words

from turnstill.scenes.diagnose.readings import KINDS
from turnstill.scenes.record.entry import ImpactReading
from turnstill.scenes.record.store import entries_of
from turnstill.scenes.words.at_impact import CAUTION

BY_HAND = ("--read", "impact.head_up=-3", "--read", "impact.hip_turn=-15", "--sd", "impact.head_up=0.5in")


@pytest.fixture(scope="module")
def films(tmp_path_factory):
    filmed, folder = film_judge.filmed(1, 6, filmed_swings.Conditions(), 900), tmp_path_factory.mktemp("films")
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
