"""Keys of the JSON of a record against what they are made from, whose numbers all differ."""

from __future__ import annotations

import json

import numpy as np
import pytest

from turnstill.model.films import dose
from turnstill.model.films.dose import Amount, Dose, Responses
from turnstill.model.films.standing import fault_from
from turnstill.model.golfer.pieces import DEPARTURES
from turnstill.scenes.delivery.json_text import json_text
from turnstill.scenes.record.entry import FIELDS, Entry
from turnstill.scenes.record.films import Film, Record
from turnstill.scenes.record.next_feel import NextFeel
from turnstill.scenes.record.next_report import DoseReport, InsteadReport, NextReport
from turnstill.scenes.record.report import EntryReport, FilmReport, ShowReport
from turnstill.scenes.setups.presets import load
from turnstill.scenes.words.cautions import STILL_CM

SWAY, EXTENSION = DEPARTURES.index("sway"), DEPARTURES.index("extension")


def amount(mean: float, sd: float) -> Amount:
    return Amount(np.array(mean), np.array(sd))


def ends(mean: float, sd: float) -> dict[str, float]:
    return {"mean": mean, "sd": sd, "low": mean - 1.6448536 * sd, "high": mean + 1.6448536 * sd}


FILM = Film(
    number=4, date="2025-03-02", missing=amount(0.021, 0.013), head=np.array([-0.03, -0.04]),
    slope=np.array([0.5, 0.25]), still=0.0077, way=1, past=0.31, short_before=True,
)  # fmt: skip
ENTRY = Entry("2025-03-02", "sway", 3.1, -1.2, 0.9, -4.4, 2.2, 0.6, 1.3, -5.5, "a note")
RECORD = Record(
    entries=[(4, ENTRY), (6, Entry("2025-03-09", "extension", felt=8.5)), (7, Entry("2025-03-10", head_up_cm=1.0))],
    source=["read", "head", ""],
    got=[amount(0.017, 0.006), amount(np.radians(5.3), np.radians(2.4)), None],
    found=Responses(
        mean=np.linspace(0.31, 0.38, 8),
        covariance=np.diag(np.linspace(0.11, 0.18, 8) ** 2),
        surprise=np.array([0.5, 3.2]),
    ),
    slopes=np.zeros((8, 3)),
)
FEEL = NextFeel(
    piece="sway", missing=amount(0.041, 0.012), film=FILM, stands=amount(-0.023, 0.007), wanted=amount(0.029, 0.012),
    dose=Dose(feel=np.array(0.051), best=np.array(0.073), got=amount(0.019, 0.008), left=amount(0.011, 0.014),
              shown=np.array(True)),
)  # fmt: skip


def test_a_film_is_told_by_its_own_keys() -> None:
    found = FilmReport.of(FILM, "sway").model_dump()
    assert found.pop("missing") == pytest.approx(ends(2.1, 1.3), abs=1e-5)
    assert found == {
        "id": 4, "date": "2025-03-02", "piece": "sway", "off_cm": 5.0,
        "off_without_cm": round(float(np.hypot(-3.0 + 2.1 * 0.5, -4.0 + 2.1 * 0.25)), 6), "past_goal_probability": 0.31,
        "was_short_before": True,
    }  # fmt: skip
    assert FilmReport.of(FILM, "tilt").missing.mean == pytest.approx(np.degrees(0.021), abs=1e-5)


def test_an_entry_is_told_by_its_own_keys() -> None:
    found = EntryReport.of(4, ENTRY, "read", amount(0.017, 0.006)).model_dump()
    for field in FIELDS:
        assert found.pop(field) == getattr(ENTRY, field)
    assert found == {
        "id": 4, "unit": "cm", "got_from": "read", "got_taken": 1.7, "got_taken_sd": 0.6, "at_impact": []
    }  # fmt: skip
    alone = EntryReport.of(7, Entry("2025-03-10", head_up_cm=1.0), "", None)
    assert alone.unit is alone.got_from is alone.got_taken is alone.got_taken_sd is None


def test_show_holds_every_entry_response_and_what_surprises() -> None:
    found = ShowReport.of(RECORD, "a.turnstill", load("centred"))
    assert [(one.id, one.got_taken) for one in found.entries] == [(4, 1.7), (6, 5.3), (7, None)]
    assert [(one.piece, one.per, one.films, one.films_of_other_pieces) for one in found.responses] == [
        ("sway", "cm", 1, 1), ("extension", "deg", 1, 1)
    ]  # fmt: skip
    for response, k in zip(found.responses, (SWAY, EXTENSION), strict=True):
        assert response.mean == pytest.approx(0.31 + 0.01 * k) and response.sd == pytest.approx(0.11 + 0.01 * k)
    assert found.surprising == [6] and found.piece == "extension" and found.record == "a.turnstill"
    assert found.swing == "centred" and found.still_within_cm == STILL_CM and found.warnings
    assert found.prior.model_dump() == {"mean": 0.4, "sd": 0.25, "alike": 0.5, "assumption": True}


def test_next_is_told_by_its_own_keys() -> None:
    found = json.loads(json_text(NextReport.of(RECORD, "a.turnstill", load("centred"), FEEL)))
    assert found["piece"] == "sway" and found["unit"] == "cm" and found["entries"] == 3
    assert found["missing"].pop("from") == "head"
    for key, (mean, sd) in {
        "missing": (4.1, 1.2), "stands": (-2.3, 0.7), "expected": (1.9, 0.8), "left": (1.1, 1.4)
    }.items():  # fmt: skip
        assert found[key] == pytest.approx(ends(mean, sd), abs=1e-5), key
    assert found["feel"] == {"amount": 5.1, "capped": True, "cap": 6.0, "before_cap": 7.3}
    # Of 4.1 cm missing the film said 2.1, so it has moved 2 cm the other way since.
    for key, made_up in (("off_now_cm", -2.0), ("off_then_cm", -2.0 + 2.9)):
        assert found[key] == pytest.approx(np.hypot(-3.0 + made_up * 0.5, -4.0 + made_up * 0.25), abs=1e-5), key
    assert found["wanted"] == 2.9 and found["held_back"] is True and found["since_film"] is True
    assert found["fault_from"] == pytest.approx(fault_from("sway") * 100.0, abs=1e-5)
    assert found["way_sure"] == pytest.approx(float(dose.way_sure(FEEL.missing)), abs=1e-6)
    assert found["film"]["id"] == 4 and found["response"]["piece"] == "sway" and found["answers"] is True
    assert found["in_still_band"] is False and found["hardly_helps"] is False
    assert found["cautions"][0].startswith("A feel is for slow practice swings: stop with pain")


def test_what_is_given_has_no_film_and_what_is_not_answered_no_feel() -> None:
    deaf = Dose(FEEL.dose.feel, FEEL.dose.best, FEEL.dose.got, FEEL.dose.left, np.array(False))
    given = NextFeel("sway", FEEL.missing, None, None, FEEL.missing, deaf)
    found = NextReport.of(RECORD, "a", load("centred"), given)
    assert found.missing.told_by == "given" and not found.answers and not found.hardly_helps
    for key in ("film", "stands", "off_now_cm", "off_then_cm", "expected", "left", "instead"):
        assert getattr(found, key) is None, key
    assert found.feel.amount is None and not found.feel.capped and found.went_past == found.past_films == []


def test_an_offered_piece_is_told_by_its_own_keys() -> None:
    found = InsteadReport.of(FEEL)
    assert found.piece == "sway" and found.unit == "cm" and found.feel == DoseReport.of(FEEL)
    assert found.stands.mean == -2.3 and found.expected.mean == 1.9
    assert found.off_then_cm == pytest.approx(np.hypot(-3.0 + 0.9 * 0.5, -4.0 + 0.9 * 0.25), abs=1e-5)


@pytest.mark.parametrize(
    ("wanted", "refused", "helps"),
    [(0.029, False, True), (0.001, True, False), (0.041, False, True), (-0.041, False, False)],
)
def test_a_feel_is_refused_where_it_is_held_back_and_hardly_helps(wanted: float, refused: bool, helps: bool) -> None:
    feel = NextFeel("sway", FEEL.missing, FILM, FEEL.stands, amount(wanted, 0.01), FEEL.dose)
    assert feel.refused is refused and feel.hardly_helps is (not helps)


@pytest.mark.parametrize("then", [STILL_CM - 0.01, STILL_CM + 0.01])
def test_a_piece_that_brings_the_head_into_the_still_band_helps(then: float) -> None:
    # The head is nearly still, and the little that is left is along the piece's way.
    film = Film(
        4, "2025-03-02", amount(0.001, 0.01), np.array([(then + 0.1) / 100.0]), np.array([-1.0]), 0.1, 0, 0.0, False
    )
    feel = NextFeel("sway", film.missing, film, FEEL.stands, film.missing, FEEL.dose)
    assert feel.off(0.001) == pytest.approx(then / 100.0) and feel.gain == pytest.approx(0.001)
    assert feel.hardly_helps == (then > STILL_CM) and not feel.since and not feel.inside
