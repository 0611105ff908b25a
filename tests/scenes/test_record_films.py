"""What the films of a record say of a piece: by which piece each is seen, what was short before it, what went past."""

from __future__ import annotations

from types import SimpleNamespace

import numpy as np
import pytest

from turnstill.model.golfer.pieces import DEPARTURES
from turnstill.scenes.record.entry import Entry
from turnstill.scenes.record.films import Record, films_in_turn, films_of, went_past, work_out
from turnstill.scenes.record.next_feel import next_feel, overdone_instead
from turnstill.scenes.record.report import ShowReport
from turnstill.scenes.setups.presets import load

SLOPES = np.zeros((8, 3))
"""Extension takes the head 1 cm toward the target for a hundredth, sway 0.6 cm away for a centimetre, tilt down."""
SLOPES[DEPARTURES.index("extension"), 0] = 1.0
SLOPES[DEPARTURES.index("sway"), 0] = -0.6
SLOPES[DEPARTURES.index("tilt"), 2] = -0.5


def record(*entries: Entry) -> Record:
    """Entries numbered from eleven on."""
    return work_out(list(enumerate(entries, start=11)), SLOPES)


def day(number: int, piece: str | None = None, felt: float | None = None, at: float | None = None) -> Entry:
    return Entry(f"2025-03-{number:02}", piece, felt, head_toward_target_cm=at, head_up_cm=None if at is None else 0.0)


@pytest.mark.parametrize("way", [1, -1])
def test_a_film_knows_whether_one_before_it_was_short_of_the_goal(way: int) -> None:
    """Extension that is missing is a head away from the target; seen the way the feels go."""

    def short(*places: float | None) -> list[tuple[int, bool]]:
        """Films at so many centimetres, the feel coming with the second; None is a feel that nobody filmed."""
        entries = [
            day(k + 1, "extension" if k == 1 else None, 9.0 * way if k == 1 else None, None if at is None else at * way)
            for k, at in enumerate(places)
        ]
        return [(film.way * way, film.short_before) for film in films_of(record(*entries), "extension")]

    assert short(-6.0, -3.0, -2.0) == [(0, False), (1, True), (1, True)]
    assert short(3.0, 4.0, 5.0) == [(0, False), (1, False), (1, False)]
    assert short(3.0, -4.0, 5.0) == [(0, False), (1, False), (1, True)]
    # What nobody filmed before the first feel was not short.
    first = day(1, "extension", 9.0 * way, 4.0 * way)
    assert [(film.way, film.short_before) for film in films_of(record(first), "extension")] == [(way, False)]


def test_films_count_as_past_only_up_to_the_last_that_was_not() -> None:
    def past(*chances: float) -> list[float]:
        return [film.past for film in went_past([SimpleNamespace(past=one) for one in chances])]

    assert past() == past(0.6) == past(0.89) == past(0.95, 0.2) == past(0.95, 0.95, 0.4) == []
    assert past(0.6, 0.2, 0.6) == past(0.95, 0.3, 0.55) == []
    assert past(0.95) == [0.95] and past(0.2, 0.91) == [0.91]
    assert past(0.3, 0.6, 0.7) == [0.6, 0.7] and past(0.9, 0.1, 0.6, 0.7, 0.8) == [0.6, 0.7, 0.8]


def test_a_film_alone_is_seen_as_of_the_piece_worked_on_last() -> None:
    lesson = record(
        day(1, at=-5.0), day(2, "extension", 9.0, -4.0), day(3, at=-3.5), day(4, "sway", -2.0), day(5, at=-3.0),
        day(6, "extension", 5.0, -2.0), day(7, at=-1.0),
    )  # fmt: skip
    assert [(film.number, piece) for film, piece in films_in_turn(lesson)] == [
        (12, "extension"), (13, "extension"), (15, "sway"), (16, "extension"), (17, "extension"),
    ]  # fmt: skip


def test_the_overdone_piece_is_found_behind_the_one_asked_about() -> None:
    """Extension brought the head 5 cm past its place; sway that would bring it back is a fault."""
    over = [day(3, "extension", 15.0, -3.0), day(4, "extension", 10.0, 1.5), day(5, "extension", 5.0, 5.0)]
    for before in ([day(1, at=-6.0)], [day(1, at=-6.0), day(2, "sway", 0.5)], [day(1, "sway", 0.5, -6.0)]):
        told = record(*before, *over)
        instead = overdone_instead(told, next_feel(told, "sway"))
        assert instead is not None and instead.piece == "extension" and float(instead.wanted.mean) < 0.0


def test_what_a_report_assumes_is_told_in_its_own_unit() -> None:
    """4 degrees and 1 cm of reading a film, 2 degrees and 0.75 cm from swing to swing."""
    told = ShowReport.of(record(day(1, at=-5.0)), "anna", load("centred")).assumptions
    assert told[1] == (
        "A film is read within 4° or 1 cm (sd) where nothing else was written down, and a piece scatters by 2° or "
        "0.75 cm (sd) from swing to swing (assumptions)."
    )
