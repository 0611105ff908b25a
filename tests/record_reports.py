"""Reports of a record whose numbers all differ."""

from __future__ import annotations

from typing import Any

from distinct import filled

from turnstill.scenes.record.next_report import DoseReport, InsteadReport, NextReport
from turnstill.scenes.record.report import AmountReport, EntryReport, FilmReport, ResponseReport, ShowReport


def entry(number: int, date: str, **given: Any) -> EntryReport:
    empty = dict.fromkeys(EntryReport.model_fields) | {"note": "", "at_impact": []}
    return EntryReport(**empty | {"id": number, "date": date} | given)


ENTRIES = [
    entry(3, "2025-03-01", head_toward_target_cm=-6.1, head_up_cm=0.7, note="first film"),
    entry(7, "2025-03-08", piece="extension", unit="deg", felt=15.5, got=6.2, got_from="read", got_taken=6.3,
          got_taken_sd=4.1, head_toward_target_cm=-3.4, head_toward_ball_cm=1.9, head_sd_cm=0.6),
    entry(8, "2025-03-08", piece="extension", unit="deg", felt=-9.5, got_from="head", got_taken=-2.6,
          got_taken_sd=2.9, head_toward_target_cm=2.8, head_up_cm=-1.2),
    entry(9, "2025-04-20", piece="sway", unit="cm", felt=-3.3, got=-1.6, got_sd=0.9, got_from="read", got_taken=-1.5,
          got_taken_sd=0.8, head_toward_target_cm=1.1, head_toward_ball_cm=-0.4, head_up_cm=2.3, head_sd_cm=1.4,
          inclination_change_deg=-4.3, note="last"),
]  # fmt: skip
RESPONSES = [
    ResponseReport(piece="extension", per="deg", mean=0.44, sd=0.18, low=0.12, high=0.71, films=2,
                   films_of_other_pieces=1),
    ResponseReport(piece="sway", per="cm", mean=0.37, sd=0.21, low=-0.05, high=0.83, films=1, films_of_other_pieces=2),
]  # fmt: skip
FILMS = [
    filled(FilmReport, id=number, piece="extension", past_goal_probability=past, was_short_before=True, start=900)
    for number, past in ((7, 0.49), (8, 0.5), (9, 0.2))
]
SHOWN = filled(
    ShowReport,
    record="anna.turnstill",
    entries=ENTRIES,
    responses=RESPONSES,
    films=FILMS,
    past_films=[],
    piece="extension",
    still_within_cm=0.35,
    impact=None,
    warnings=["first warning.", "second warning."],
    assumptions=["something taken."],
)


def amount(mean: float, low: float, high: float) -> AmountReport:
    return AmountReport(mean=mean, sd=99.0, low=low, high=high)


DOSE = DoseReport(amount=-4.4, capped=False, cap=6.0, before_cap=-7.7)
NEXT = filled(
    NextReport,
    record="anna.turnstill", piece="sway", unit="cm", film=None, since_film=False, in_still_band=False,
    missing={"mean": -2.1, "sd": 0.5, "low": -3.2, "high": -1.3, "told_by": "given"}, stands=None, wanted=-2.1,
    held_back=False, off_now_cm=None, off_then_cm=None, hardly_helps=False, response=RESPONSES[1], answers=True,
    feel=DOSE, expected=amount(-1.7, -3.6, 0.2), way_sure=0.93, instead=None, past_films=[], surprising=[],
    still_within_cm=0.35, impact=None,
)  # fmt: skip
FILM = FilmReport(id=8, date="2025-03-08", piece="sway", missing=amount(-2.9, 1, 2), off_cm=3.3, off_without_cm=0.9,
                  past_goal_probability=0.77, was_short_before=True)  # fmt: skip
BY_FILM = NEXT.replaced(film=FILM, stands=amount(1.9, 0, 1), off_now_cm=3.4, off_then_cm=1.2)
INSTEAD = InsteadReport(piece="extension", unit="deg", stands=amount(6.6, 0, 1), off_then_cm=0.4,
                        feel=DoseReport(amount=-11.3, capped=False, cap=20.0, before_cap=-25.4),
                        expected=amount(-5.2, -10.9, 0.5))  # fmt: skip
