"""A student's record as one page that needs no network and no second file."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ...model.films.readings import USUAL_SD_SHOWN
from ...model.golfer.pieces import PIECES
from ..paper.frame import rendered
from ..words.legible import legible
from ..words.measures import MEASURES
from ..words.pieces import NAMES
from ..words.units import CM_PER_INCH, length_unit, told_length
from . import next_words, words
from .chart import BY_HEAD, PAST, READ, Felt, Seen, band_sign, head_chart, response_chart, sign
from .table import BY_HEAD_MARK, COLUMNS

if TYPE_CHECKING:
    from markupsafe import Markup

    from .next_report import NextReport
    from .report import EntryReport, ShowReport

VIEWS = {"head_toward_target_cm": True, "head_up_cm": True, "head_toward_ball_cm": False}
"""Measures charted, and whether they are seen face-on, where the still band is."""
LATEST = 12
"""Entries shown open; the earlier ones are folded."""
_LIKELY_PAST = 0.5
_BY_HEAD_WORDS = "as the head's movement since the film before tells; other pieces move it too"


@dataclass(frozen=True)
class Chart:
    """A chart under its title."""

    title: str
    drawn: Markup


def record_page(report: ShowReport, following: NextReport | None = None, inches: bool = False, who: str = "") -> str:
    """The whole page.

    Args:
        report: the record.
        following: the next feel, its sentences in the unit to be shown; None where the record tells none.
        inches: lengths in inches.
        who: whom the numbers are about.
    """
    heads, responses = _heads(report, inches), _responses(report, inches)
    lead = [
        *words.head_sentences(report.entries, inches),
        *report.warnings[:1],
        *([_lead(following, inches), words.STOP] if following else []),
    ]
    told = [words.response_sentence(response) for response in report.responses]
    rows = [_row(entry, inches) for entry in report.entries]
    return rendered(
        "record/page.html",
        title=f"{report.record}: feel and film",
        who=who,
        span=words.span_sentence(report.entries),
        sentences=lead,
        notes=report.warnings[1:],
        heads=heads,
        head_signs=_head_signs(report, inches) if heads else [],
        next_name=NAMES[following.piece] if following else "",
        next_lines=_next_lines(following, told, inches) if following else [],
        told=told,
        responses=responses,
        response_signs=_response_signs(report) if responses else [],
        impact=report.impact.sentences if report.impact else [],
        columns=[(" ".join(column.heading), column.shown_unit(inches, "°")) for column in COLUMNS],
        rows=rows[-LATEST:],
        earlier=rows[:-LATEST],
        by_head_mark=BY_HEAD_MARK,
        assumptions=report.assumptions,
        first_cautions=words.FEEL_CAUTIONS,
    )


def _lead(following: NextReport, inches: bool) -> str:
    """What to do, in one sentence."""
    if following.instead is not None:
        return next_words.instead_sentence(following.instead, inches)
    return next_words.asked_sentence(following, inches)


def _next_lines(following: NextReport, told: Sequence[str], inches: bool) -> list[str]:
    """Everything of the next feel but what stands beside the charts of responses."""
    lines = [*following.sentences, *next_words.far_warnings(following, inches), *next_words.two_feels(following)]
    return [line for line in lines if line not in told]


def _row(entry: EntryReport, inches: bool) -> tuple[list[str], str]:
    return [column.text(entry, inches) for column in COLUMNS], legible(entry.note, keep="\n\t")


def _heads(report: ShowReport, inches: bool) -> list[Chart]:
    unit, scale = length_unit(inches), 1.0 / CM_PER_INCH if inches else 1.0
    past, charts = _past(report), []
    for key, face_on in VIEWS.items():
        measure = MEASURES[key]
        films = [
            Seen(
                entry.id,
                entry.date,
                measure.number(entry, inches),
                (USUAL_SD_SHOWN["cm"] if entry.head_sd_cm is None else entry.head_sd_cm) * scale,
                face_on and entry.id in past,
            )
            for entry in report.entries
            if getattr(entry, key) is not None
        ]
        if films:
            title, still = f"{measure.words} at the top since address", report.still_within_cm * scale
            drawn = head_chart(title, unit, films, still if face_on else None, measure.ends)
            charts.append(Chart(f"{title}, {unit} ({_years(films)})", drawn))
    return charts


def _years(films: Sequence[Seen]) -> str:
    first, last = films[0].date[:4], films[-1].date[:4]
    return first if first == last else f"{first} to {last}"


def _past(report: ShowReport) -> set[int]:
    """Numbers of the films that, more likely than not, went past the goal."""
    return {film.id for film in report.films if film.past_goal_probability >= _LIKELY_PAST}


def _head_signs(report: ShowReport, inches: bool) -> list[tuple[Markup, str]]:
    still = told_length(report.still_within_cm, inches)
    signs = [
        (band_sign(), f"a still head: within {still} of its place at address, face-on"),
        (sign(READ), "a film, with the uncertainty of reading it (one sd up and down)"),
    ]
    if _past(report):
        signs.append((sign(PAST), "a film that, more likely than not, went past the goal of the feels before it"))
    return signs


def _responses(report: ShowReport, inches: bool) -> list[Chart]:
    charts = []
    for response in report.responses:
        length = PIECES[response.piece].unit == "cm"
        unit, scale = (length_unit(inches), 1.0 / CM_PER_INCH if inches else 1.0) if length else ("°", 1.0)
        feels = [
            Felt(entry.felt * scale, entry.got_taken * scale, entry.got_taken_sd * scale, entry.got_from == "head")
            for entry in report.entries
            if entry.piece == response.piece and entry.got_from
            if entry.felt is not None and entry.got_taken is not None and entry.got_taken_sd is not None
        ]
        if feels:
            title = f"{NAMES[response.piece]}: got against felt"
            drawn = response_chart(title, unit, feels, (response.mean, response.low, response.high))
            charts.append(Chart(f"{title}, {unit}", drawn))
    return charts


def _response_signs(report: ShowReport) -> list[tuple[Markup, str]]:
    signs = [(sign(READ), "read off the film")]
    if any(entry.got_from == "head" for entry in report.entries):
        signs.append((sign(BY_HEAD), _BY_HEAD_WORDS))
    return signs
