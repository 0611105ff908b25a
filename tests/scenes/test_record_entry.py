"""What an entry of a record may hold: each refusal in its own words, each limit from both sides."""

from __future__ import annotations

import datetime
import re

import pytest

from turnstill.model.errors import TurnstillError
from turnstill.model.golfer.pieces import DEPARTURES
from turnstill.scenes.record.entry import Entry, checked, read_piece, unit_of

TODAY = datetime.date(2025, 3, 14)
PIECES = ", ".join(DEPARTURES)


def entry(**given: object) -> Entry:
    return Entry(**({"date": "2025-03-08"} | given))  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("given", "told"),
    [
        ({"date": "2025-03-15", "head_up_cm": 1.0},
         "date was 2025-03-15, which is still to come; today is 2025-03-14, so give that or an earlier day."),
        ({"date": "1899-12-31", "head_up_cm": 1.0},
         'date was "1899-12-31", but must be a day from 1900-01-01 on written year-month-day, such as 2025-03-14.'),
        ({"piece": "tlt", "felt": 3.0}, f'piece was "tlt", but must be one of {PIECES}. Did you mean tilt?'),
        ({"felt": 3.0, "got": 2.0},
         f"piece was not given with felt, so name what was worked on: {PIECES}."),
        ({"got": 2.0}, f"piece was not given with got, so name what was worked on: {PIECES}."),
        ({"piece": "tilt", "felt": 3.0, "got_sd": 1.0},
         "got_sd was given without got, so give that as well or leave it out."),
        ({"piece": "tilt", "felt": 3.0, "head_sd_cm": 1.0},
         "head_sd_cm was given without a reading of the head, so give that as well or leave it out."),
        ({"note": "x"}, "An entry must hold something: what was felt, what the film shows of the piece, or a reading "
         "of the head, of the inclination or at impact; give at least one."),
        ({"head_up_cm": 1.0, "note": "y" * 2001},
         "note was 2001 characters long, but may be 2000 at most; shorten it."),
        *(({"head_up_cm": 1.0, "note": f"a{c}b"},
           "note holds characters that cannot be read, but may be any text with tabs and new lines.")
          for c in "\x00\x1b\x1f\x7f\ud800\udcff\udfff"),
        ({"piece": "sway", "felt": 40.1}, "felt was 40.1, but must be a number between -40 and 40 cm."),
        ({"piece": "tilt", "got": -90.1}, "got was -90.1, but must be a number between -90 and 90 deg."),
        ({"piece": "sway", "felt": 1.0, "got": 1.0, "got_sd": 20.1},
         "got_sd was 20.1, but must be a number between 0.1 and 20 cm."),
        ({"piece": "tilt", "felt": 1.0, "got": 1.0, "got_sd": 30.1},
         "got_sd was 30.1, but must be a number between 0.1 and 30 deg."),
        ({"inclination_change_deg": 90.1}, "inclination_change_deg was 90.1, but must be a number between -90 and 90 "
         "deg."),
    ],
    ids=repr,
)  # fmt: skip
def test_what_no_entry_may_hold_is_told_in_its_own_words(given: dict[str, object], told: str) -> None:
    with pytest.raises(TurnstillError, match=f"^{re.escape(told)}$"):
        checked(entry(**given), TODAY)


@pytest.mark.parametrize("given", [
    {"date": "2025-03-14", "head_up_cm": 40.0}, {"date": "1900-01-01", "head_toward_ball_cm": -40.0},
    {"head_toward_target_cm": 0.0, "head_sd_cm": 0.1}, {"head_up_cm": 1.0, "head_sd_cm": 20.0},
    {"piece": "tilt", "felt": -90.0}, {"piece": "tilt", "got": 90.0, "got_sd": 30.0}, {"inclination_change_deg": 0.0},
    {"piece": "sway", "felt": 40.0, "got": -40.0, "got_sd": 20.0},
    {"head_up_cm": 1.0, "note": "\t" + "ü" * 1997 + "\r\n"}, {"head_up_cm": 1.0, "note": " \x80\ud7ff\ue000\U0001f3cc"},
])  # fmt: skip
def test_an_entry_up_to_every_limit_is_kept_as_it_is(given: dict[str, object]) -> None:
    assert checked(entry(**given), TODAY) == entry(**given)


def test_a_number_has_its_own_unit_or_its_pieces() -> None:
    for name in ("felt", "got", "got_sd"):
        assert (unit_of(name, "sway"), unit_of(name, "tilt"), unit_of(name, None)) == ("cm", "deg", "deg")
    for piece in (None, "tilt", "sway"):
        assert unit_of("head_up_cm", piece) == unit_of("head_sd_cm", piece) == "cm"
        assert unit_of("inclination_change_deg", piece) == "deg"
    assert (entry(piece="sway").got_read_sd, entry(piece="tilt").got_read_sd, entry(got_sd=2.5).got_read_sd) == (
        1,
        4,
        2.5,
    )
    assert (entry().head_read_sd_cm, entry(head_sd_cm=0.4).head_read_sd_cm) == (1, 0.4)


def test_a_piece_is_read_as_people_write_it() -> None:
    for text, piece in {"Hip-Turn": "hip_turn", " hip turn ": "hip_turn", "sway_cm": "sway",
                        "thrust": "hips_toward_ball"}.items():  # fmt: skip
        assert read_piece(text) == piece
    with pytest.raises(TurnstillError, match=r'piece was "tlit".* Did you mean tilt\?$'):
        read_piece("tlit")


def test_a_feel_counts_from_a_hundredth_on_and_only_of_a_piece() -> None:
    asks = {0.0: False, 0.009: False, -0.009: False, 0.01: True, -0.01: True, 7.0: True}
    for felt, told in asks.items():
        assert entry(piece="tilt", felt=felt).asks == told and not entry(felt=felt).asks
    assert not entry(piece="tilt", got=7.0).asks
