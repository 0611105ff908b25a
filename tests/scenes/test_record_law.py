"""A feel never makes a fault that the tool names: it takes its piece to its reference and no farther, on any record."""

from __future__ import annotations

import datetime

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from shown import page, words

from turnstill.model.errors import TurnstillError
from turnstill.model.films import dose
from turnstill.model.films.standing import fault_from
from turnstill.model.golfer.pieces import DEPARTURES, PIECES
from turnstill.scenes.record.entry import Entry, ImpactReading
from turnstill.scenes.record.films import films_of, stands, work_out
from turnstill.scenes.record.next_feel import next_feel, overdone_instead
from turnstill.scenes.record.next_report import NextReport
from turnstill.scenes.record.page import record_page
from turnstill.scenes.record.report import ShowReport
from turnstill.scenes.setups.presets import load
from turnstill.scenes.words.at_impact import TWO_FEELS
from turnstill.scenes.words.cautions import NOTICEABLE_CM, STILL_CM

SETUP = load("centred")
SIZE = {"deg": 30.0, "cm": 12.0}


@st.composite
def entries(draw: st.DrawFn) -> list[tuple[int, Entry]]:
    count = draw(st.integers(1, 7))
    day, found = datetime.date(2025, 1, 1), []
    for number in range(1, count + 1):
        day += datetime.timedelta(days=draw(st.integers(0, 3)))
        piece = draw(st.sampled_from([None, *DEPARTURES]))
        size = SIZE[PIECES[piece].unit] if piece else 0.0
        amount = st.none() | st.floats(-size, size)
        head = st.none() | st.floats(-15.0, 15.0)
        found.append(
            (
                number,
                Entry(
                    str(day), piece, draw(amount) if piece else None, draw(amount) if piece else None, None, draw(head),
                    draw(head), draw(head), draw(st.none() | st.floats(0.2, 3.0)),
                ),
            )
        )  # fmt: skip
    return found


@settings(
    max_examples=120, deadline=None, derandomize=True, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(entries(), st.sampled_from(DEPARTURES))
def test_no_feel_takes_its_piece_past_its_reference_by_a_fault(slopes, drawn, piece) -> None:
    record = work_out(drawn, slopes)
    try:
        feel = next_feel(record, piece)
    except TurnstillError:
        assert not films_of(record, piece)
        return
    report = NextReport.of(record, "a", SETUP, feel)
    check_stands(record, piece, report.feel.amount, report.expected, report.stands)
    if report.feel.amount:
        assert np.sign(report.feel.amount) == np.sign(report.missing.mean)
        assert report.off_then_cm <= report.off_now_cm + 1e-5
        assert abs(report.expected.mean) <= abs(report.wanted) + 1e-5 <= abs(report.missing.mean) + 2e-5
    if report.instead is not None:
        check_stands(record, report.instead.piece, report.instead.feel.amount, report.instead.expected,
                     report.instead.stands)  # fmt: skip
        assert report.instead.piece != piece and report.off_now_cm - report.instead.off_then_cm >= NOTICEABLE_CM - 1e-5
        # Easing goes against the way of its feels.
        way = np.sign(sum(entry.felt or 0.0 for _, entry in drawn if entry.piece == report.instead.piece))
        assert way * report.instead.feel.amount <= 0
    if report.feel.amount is None:
        refused = report.held_back and report.hardly_helps
        assert refused or not report.answers


def check_stands(record, piece, amount, expected, told) -> None:
    """The law itself, in the piece's unit."""
    unit = PIECES[piece].unit
    border = 100.0 if unit == "cm" else np.degrees(1.0)
    where = float(stands(record, piece).mean) * border
    assert told.mean == pytest.approx(where, abs=1e-5)
    if amount:
        assert np.sign(amount) * (where + expected.mean) <= fault_from(piece) * border


def lesson(slopes: np.ndarray, rng: np.random.Generator) -> tuple[list[tuple[int, Entry]], np.ndarray]:
    """A golfer short of extension who gets too much of it in the end, and how far every piece departs by then."""
    x = np.zeros(8)
    k, scatter = DEPARTURES.index("extension"), np.array([dose.SCATTER[PIECES[n].unit] for n in DEPARTURES])
    x[k] = -np.radians(rng.uniform(6.0, 12.0))
    response, found, goal = rng.uniform(0.3, 0.7), [], np.radians(rng.uniform(5.0, 10.0))

    def film(felt: float | None) -> Entry:
        head = 100.0 * ((x + scatter * rng.normal(size=8) * 0.5) @ slopes + 0.01 * rng.normal(size=3))
        got = None if felt is None else response * felt + 3.0 * rng.normal()
        return Entry(f"2025-01-{len(found) + 1:02}", None if felt is None else "extension", felt, got, None, head[0],
                     head[1], head[2])  # fmt: skip

    found.append((1, film(None)))
    while x[k] < goal:
        x[k] += response * np.radians(12.0)
        found.append((len(found) + 1, film(12.0)))
    return found, x


def test_after_extension_was_overdone_no_sway_is_asked_for_and_extension_is_eased(slopes) -> None:
    rng, sway = np.random.default_rng(11), DEPARTURES.index("sway")
    made, offered, asked_before = 0, 0, 0
    for _ in range(60):
        drawn, true = lesson(slopes, rng)
        record = work_out(drawn, slopes)
        feel = next_feel(record, "sway")
        # What would bring the head back is hips farther from the target, as it is far toward it.
        asked_before += float(feel.missing.mean) > fault_from("sway")
        report = NextReport.of(record, "a", SETUP, feel)
        got = 0.0 if report.expected is None else report.expected.mean / 100.0
        made += abs(true[sway] + got) > fault_from("sway")
        offered += report.instead is not None and report.instead.piece == "extension" and report.instead.feel.amount < 0
    assert made == 0 and asked_before > 40 and offered > 50


FIRST = Entry("2025-03-01", head_toward_target_cm=-6.0, head_up_cm=0.5)
OVER = [Entry(f"2025-03-{8 + k:02}", "extension", felt, got, head_toward_target_cm=at)
        for k, (felt, got, at) in enumerate([(15.0, 6.0, -3.0), (10.0, 7.0, 1.5), (5.0, 5.0, 4.0)])]  # fmt: skip


def asked(slopes: np.ndarray, piece: str, *given_entries: Entry) -> NextReport:
    record = work_out(list(enumerate(given_entries, start=1)), slopes)
    return NextReport.of(record, "a", SETUP, next_feel(record, piece))


def test_sway_after_overdone_extension_says_so_and_offers_less_extension(slopes) -> None:
    report = asked(slopes, "sway", FIRST, *OVER)
    assert report.feel.amount is None and report.expected is None and report.answers
    assert report.instead.piece == "extension" and report.instead.feel.amount < 0 < report.instead.stands.mean
    assert "That is not asked for" in report.sentences[1] and "What was overdone is extension" in report.sentences[2]
    # Extension itself is eased as ever, by what the head asks.
    eased = asked(slopes, "extension", FIRST, *OVER)
    assert eased.feel.amount == report.instead.feel.amount and not eased.held_back and eased.instead is None


def test_a_piece_that_was_at_fault_on_the_first_film_is_taken_back(slopes) -> None:
    toward = asked(slopes, "sway", Entry("2025-03-01", head_toward_target_cm=3.0, head_up_cm=0.0))
    assert toward.stands.mean < 0 < toward.feel.amount and toward.instead is None
    # More than a swing's worth is not: what is left is another piece's.
    far = asked(slopes, "sway", Entry("2025-03-01", head_toward_target_cm=9.0, head_up_cm=0.0))
    assert far.held_back and far.feel.amount > 0 and far.wanted < far.missing.mean
    assert "No more than" in " ".join(far.sentences) and "Even with that made up for" in " ".join(far.warnings)


def test_nothing_is_offered_where_nothing_was_overdone(slopes) -> None:
    record = work_out([(1, FIRST), (2, OVER[0])], slopes)
    assert overdone_instead(record, next_feel(record, "tilt")) is None
    # The head came far by something that nobody wrote down.
    report = asked(slopes, "sway", FIRST, FIRST, Entry("2025-03-08", head_toward_target_cm=3.0, head_up_cm=0.5))
    assert report.feel.amount is None and report.instead is None
    assert report.sentences[-1] == "Ask turnstill diagnose which piece moved the head."


def test_a_still_head_refuses_and_offers_nothing(slopes) -> None:
    still = Entry("2025-03-30", head_toward_target_cm=0.5 * STILL_CM, head_up_cm=0.0)
    report = asked(slopes, "sway", FIRST, *OVER, still)
    assert report.in_still_band and report.feel.amount == 0.0 and report.instead is None


@pytest.mark.parametrize(
    ("heads", "piece", "two"),
    [(OVER, "sway", True), (OVER[:1], "extension", True), ([], "sway", False)],
    ids=["eased", "asked", "still"],
)
def test_two_feels_are_told_where_there_are_two(slopes, heads, piece, two) -> None:
    first = FIRST if heads else Entry("2025-03-01", head_toward_target_cm=0.5 * STILL_CM, head_up_cm=0.0)
    read = Entry("2025-03-30", at_impact=(ImpactReading("head_up", -3.0, 1.27), ImpactReading("hip_turn", -15.0)))
    report = asked(slopes, piece, first, *heads, read)
    assert report.impact.piece == "hip_turn"
    # One that is eased is a feel, though none of the piece asked about; a still head gives none, and says so by nought.
    assert (report.instead is not None, report.in_still_band) == (piece == "sway" and two, not two)
    assert (TWO_FEELS in report.warnings) is two
    record = work_out(list(enumerate([first, *heads, read], start=1)), slopes)
    html = record_page(ShowReport.of(record, "a", SETUP), report)
    assert (TWO_FEELS in words(page(html))) is two
