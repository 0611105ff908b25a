"""What a record tells: responses, what is missing, the next feel, its words, and the ways it can be overdone."""

from __future__ import annotations

import re
import time
from itertools import pairwise

import numpy as np
import pytest

from turnstill.model.films import dose
from turnstill.model.films.dose import Amount
from turnstill.model.golfer.pieces import DEPARTURES
from turnstill.scenes.record import words
from turnstill.scenes.record.entry import FIELDS, HEADS, Entry
from turnstill.scenes.record.films import films_of, work_out
from turnstill.scenes.record.next_feel import next_feel
from turnstill.scenes.record.next_report import NextReport
from turnstill.scenes.record.report import ShowReport
from turnstill.scenes.setups.presets import load
from turnstill.scenes.words.cautions import STILL_CM

SETUP = load("centred")


def films(*entries: Entry) -> list[tuple[int, Entry]]:
    return list(enumerate(entries, start=1))


FIRST = Entry("2025-03-01", head_toward_target_cm=-6.0, head_up_cm=0.0)
SECOND = Entry("2025-03-08", "extension", felt=15.0, got=6.0, head_toward_target_cm=-3.0, head_up_cm=0.0)


def following(
    entries: list[tuple[int, Entry]], slopes: np.ndarray, piece: str | None = None, given: Amount | None = None
) -> NextReport:
    record = work_out(entries, slopes)
    return NextReport.of(record, "a", SETUP, next_feel(record, piece or record.last_piece, given))


def shown(entries: list[tuple[int, Entry]], slopes: np.ndarray) -> ShowReport:
    return ShowReport.of(work_out(entries, slopes), "a", SETUP)


def test_order_of_writing_does_not_matter(slopes) -> None:
    entries = [
        FIRST,
        SECOND,
        Entry("2025-03-20", "tilt", felt=-5.0, head_toward_target_cm=-2.0),
        Entry("2025-04-01", "extension", felt=8.0, got=2.0, got_sd=2.0),
    ]
    there, back = (following(films(*some), slopes) for some in (entries, entries[::-1]))
    for key in ("missing", "response", "feel", "expected", "left", "way_sure"):
        assert getattr(there, key) == getattr(back, key)


def test_more_films_make_it_surer(slopes) -> None:
    spans = []
    for count in range(4):
        later = [Entry(f"2025-03-{10 + k}", "extension", felt=15.0, got=6.0) for k in range(count)]
        found = work_out(films(FIRST, *later), slopes).response("extension")
        spans.append(float(found.sd))
    assert spans[0] == pytest.approx(dose.PRIOR.sd) and all(after < before for before, after in pairwise(spans))


def test_a_mirrored_record_gets_the_mirrored_feel(slopes) -> None:
    def mirrored(entry: Entry) -> Entry:
        signs = {name: -getattr(entry, name) for name in ("felt", "got", *HEADS) if getattr(entry, name) is not None}
        return Entry(**{name: signs.get(name, getattr(entry, name)) for name in FIELDS})

    there, back = (following(films(*some), slopes) for some in ((FIRST, SECOND), (mirrored(FIRST), mirrored(SECOND))))
    assert back.feel.amount == -there.feel.amount and back.response == there.response
    assert "more extension" in there.sentences[0] and "less extension" in back.sentences[0]
    # An interval is told the way its amount goes, so both read alike.
    assert re.findall(r"\(90 % [^)]*\)", there.sentences[0]) == re.findall(r"\(90 % [^)]*\)", back.sentences[0])


def test_every_pieces_words_say_which_way(slopes) -> None:
    for piece in DEPARTURES:
        more, less = (words.asked(piece, amount, "deg") for amount in (7.0, -7.0))
        assert more != less and "7°" in more and "7°" in less


def test_the_goal_is_the_head_in_its_place(slopes) -> None:
    report = following(films(FIRST, SECOND), slopes)
    k = DEPARTURES.index("extension")
    cm_per_deg = slopes[k, [0, 2]] * 100 * np.radians(1.0)
    after = np.array([-3.0, 0.0]) + report.missing.mean * cm_per_deg
    around = [np.linalg.norm(np.array([-3.0, 0.0]) + (report.missing.mean + d) * cm_per_deg) for d in (-0.1, 0.1)]
    assert np.linalg.norm(after) < min(around)
    assert report.film.off_without_cm == pytest.approx(np.linalg.norm(after), abs=1e-5)
    # What later films showed of the piece is taken off.
    later = following(films(FIRST, SECOND, Entry("2025-03-09", "extension", felt=5.0, got=2.0)), slopes)
    assert later.missing.mean == pytest.approx(report.missing.mean - 2.0, abs=1e-5) and later.since_film
    assert later.missing.sd > report.missing.sd


def test_a_head_in_the_still_band_asks_for_nothing_more(slopes) -> None:
    near, off = (Entry("2025-03-15", "extension", 5.0, 2.0, head_toward_target_cm=-0.8 * b, head_up_cm=0.5 * b)
                 for b in (STILL_CM, 1.3 * STILL_CM))  # fmt: skip
    report = following(films(FIRST, SECOND, near), slopes)
    assert report.in_still_band and report.feel.amount == 0.0 and report.still_within_cm == STILL_CM
    assert "the head was still" in report.sentences[0] and "Ask for nothing more" in report.sentences[1]
    assert not following(films(FIRST, SECOND, off), slopes).in_still_band


def test_films_past_the_goal_are_warned_of(slopes) -> None:
    over = [
        Entry(f"2025-04-0{k}", "extension", felt=5.0, got=3.0, head_toward_target_cm=c) for k, c in ((1, 1.2), (2, 2.2))
    ]
    short = work_out(films(FIRST, SECOND), slopes)
    assert ShowReport.of(short, "a", SETUP).warnings == []
    once = shown(films(FIRST, SECOND, over[0]), slopes)
    twice = shown(films(FIRST, SECOND, *over), slopes)
    # One film just past may be the reading; two in a row are said.
    assert once.went_past == [] and 0.5 < once.films[-1].past_goal_probability < 0.9
    assert twice.went_past == [3, 4] and "last 2 films" in twice.warnings[0] and "overdone" in twice.warnings[0]
    eased = following(films(FIRST, SECOND, *over), slopes)
    assert eased.feel.amount < 0 and "less extension" in " ".join(eased.sentences)
    sure = following(
        films(FIRST, SECOND, Entry("2025-04-01", "extension", felt=9.0, head_toward_target_cm=4.0)), slopes
    )
    assert sure.went_past == [3] and "overdone" in sure.warnings[0]


def test_a_feel_that_leads_away_is_not_called_overdone(slopes) -> None:
    wrong = Entry("2025-03-08", "extension", felt=-10.0, got=-4.0, head_toward_target_cm=-8.0)
    report = following(films(FIRST, wrong), slopes)
    assert "wrong way" in report.warnings[0] and "overdone" not in report.warnings[0]
    assert report.feel.amount > 0


def test_the_cap_is_said_and_kept(slopes) -> None:
    report = following(films(Entry("2025-03-01", head_toward_target_cm=-15.0)), slopes, "extension")
    assert report.feel.capped and report.feel.amount == report.feel.cap == 20.0
    assert report.feel.before_cap > 20.0 and "more than 20° is not advised" in " ".join(report.sentences)


def test_a_golfer_who_does_not_answer_is_not_asked_for_more(slopes) -> None:
    deaf = [Entry(f"2025-03-1{k}", "extension", felt=20.0, got=-1.0, got_sd=1.0) for k in range(5)]
    report = following(
        films(FIRST, *deaf), slopes, "extension", Amount(np.array(np.radians(8.0)), np.array(np.radians(4.0)))
    )
    assert report.feel.amount is None and report.expected is None
    assert "more of the same is no answer" in report.sentences[-1]


def test_a_film_that_fits_nothing_else_is_pointed_out(slopes) -> None:
    good = [Entry(f"2025-03-1{k}", "extension", felt=15.0, got=6.0 + 0.3 * k) for k in range(4)]
    record = work_out(films(*good, Entry("2025-03-20", "extension", felt=15.0, got=-60.0)), slopes)
    assert ShowReport.of(record, "a", SETUP).surprising == [5]
    assert "Entry 5 is far" in " ".join(ShowReport.of(record, "a", SETUP).warnings)
    assert shown(films(*good), slopes).surprising == []


def test_the_head_tells_what_nobody_read(slopes) -> None:
    silent = Entry("2025-03-08", "extension", felt=15.0, head_toward_target_cm=-2.0, head_up_cm=0.0)
    record = work_out(films(FIRST, silent), slopes)
    assert record.source == ["", "head"] and record.films("extension") == 1
    read = work_out(films(FIRST, SECOND), slopes)
    assert record.response("extension").sd < dose.PRIOR.sd and read.source == ["", "read"]
    # No film before, nothing that both films show, or a piece that hardly moves the head: nothing is made up.
    for entries in (
        (silent,),
        (Entry("2025-03-01", head_toward_ball_cm=1.0), silent),
        (FIRST, Entry("2025-03-08", "trail_flex_change", felt=5.0, head_up_cm=0.0)),
    ):
        assert not any(work_out(films(*entries), slopes).source)


def test_bodies_move_the_head_as_the_model_says(slopes) -> None:
    k = DEPARTURES.index("extension")
    assert slopes[k, 0] > 0 and slopes[DEPARTURES.index("tilt"), 2] < 0  # common practice
    (film,) = films_of(work_out(films(FIRST), slopes), "extension")
    assert film.way == 0 and film.past == 0.0 and float(film.missing.mean) > 0


def test_a_long_record_takes_as_long_as_it_has_films(slopes: np.ndarray) -> None:
    """Sixteen times the films take about sixteen times as long; where each looks back at all before it, 256 times.

    No film here is short of the goal, so that whoever looks back for one looks at all of them.
    """
    pieces = ["tilt", "extension", "sway", "hip_turn"]

    def seconds(count: int) -> float:
        entries = films(
            *(
                Entry("2025-03-01", pieces[k % 4], felt=3.0 + k % 5, head_toward_target_cm=0.1, head_up_cm=0.1)
                for k in range(count)
            )
        )
        began = time.process_time()
        shown(entries, slopes)
        return time.process_time() - began

    seconds(100)
    few, many = min(seconds(1000) for _ in range(3)), seconds(16_000)
    assert many < 64.0 * few  # Four times to either side: other work on the machine takes up to twice.
