"""A student's record worked out: responses, what is missing and the next feel, in degrees and centimetres."""

from __future__ import annotations

from typing import Any

import numpy as np

from ...model.chain.steady import STILL_M
from ...model.errors import TurnstillError
from ...model.films import dose
from ...model.films.dose import Amount
from ...model.golfer.pieces import PIECES
from ..setups.numbers import rounded
from ..setups.presets import Setup
from ..setups.quantities import to_border, to_model
from ..words import cautions
from ..words.pieces import NAMES
from . import words
from .entry import FIELDS
from .films import FACE_ON, Film, Record, films_in_turn, films_of, heads_m, surprising, went_past

Report = dict[str, Any]


def interval(amount: Amount, unit: str | None = None) -> dict[str, float]:
    """Mean, sd and the 90 % interval, in the unit at the border; a plain ratio without one."""
    mean, sd = (float(v) if unit is None else to_border(unit, v) for v in (amount.mean, amount.sd))
    spread = dose.Z90 * sd
    return {"mean": rounded(mean), "sd": rounded(sd), "low": rounded(mean - spread), "high": rounded(mean + spread)}


def response_report(record: Record, piece: str) -> Report:
    """A piece's response with its uncertainty."""
    return {
        "piece": piece,
        "per": PIECES[piece].unit,
        **interval(record.response(piece)),
        "films": record.films(piece),
        "films_of_other_pieces": sum(map(bool, record.source)) - record.films(piece),
    }


def film_report(film: Film, piece: str) -> Report:
    """What one film says is missing of a piece."""
    unit = PIECES[piece].unit
    return {
        "id": film.number,
        "date": film.date,
        "piece": piece,
        "missing": interval(film.missing, unit),
        "off_cm": rounded(film.off * 100.0),
        "off_without_cm": rounded(film.left * 100.0),
        "past_goal_probability": rounded(film.past),
        "was_short_before": film.short_before,
    }


def _frame(record: Record, name: str, setup: Setup) -> Report:
    return {
        "record": name,
        "swing": setup.name,
        "still_within_cm": rounded(STILL_M * 100.0),
        "prior": {"mean": dose.PRIOR.mean, "sd": dose.PRIOR.sd, "alike": dose.PRIOR.alike, "assumption": True},
    }


def show_report(record: Record, name: str, setup: Setup) -> Report:
    """Everything in a record and what it tells, as a dictionary that JSON can carry; documented in docs/json.md."""
    piece = record.last_piece
    past = went_past(films_of(record, piece)) if piece else []
    worked = list(dict.fromkeys(entry.piece for _, entry in record.entries if entry.piece))
    report = _frame(record, name, setup) | {
        "entries": [
            {
                "id": number,
                **{field: getattr(entry, field) for field in FIELDS},
                "unit": entry.unit if entry.piece else None,
                "got_from": source or None,
                "got_taken": None if got is None else rounded(to_border(entry.unit, got.mean)),
                "got_taken_sd": None if got is None else rounded(to_border(entry.unit, got.sd)),
            }
            for (number, entry), source, got in zip(record.entries, record.source, record.got, strict=True)
        ],
        "responses": [response_report(record, one) for one in worked],
        "piece": piece,
        "films": [film_report(film, one) for film, one in films_in_turn(record)],
        "went_past": [film.number for film in past],
        "past_films": [film_report(film, piece) for film in past] if piece else [],
        "surprising": surprising(record),
    }
    return finished(report, words.show_sentences, words.show_warnings)


def finished(report: Report, sentences: Any, warnings: Any, inches: bool = False) -> Report:
    """A report with its words, lengths in the unit asked for."""
    return {
        **report,
        "sentences": sentences(report, inches),
        "warnings": warnings(report, inches),
        "cautions": [words.FEEL_CAUTION, *cautions.CAUTIONS],
        "assumptions": list(words.ASSUMPTIONS),
    }


def next_report(
    record: Record, name: str, setup: Setup, piece: str | None, missing: float | None, missing_sd: float | None
) -> Report:
    """The next feel to ask for, with everything it rests on.

    Args:
        record: worked out.
        name: the file, as it is told.
        setup: the swing whose sensitivities were taken.
        piece: to work on; the last one worked on if not given.
        missing: how much more of it the last film lacks, in its unit; as the head says if not given.
        missing_sd: uncertainty of that, in its unit.

    Raises:
        TurnstillError: where it cannot be said.
    """
    piece = piece or record.last_piece
    if piece is None:
        raise TurnstillError("The record names no piece worked on yet; name one with --piece, such as extension.")
    unit = PIECES[piece].unit
    films = films_of(record, piece)
    film: Film | None
    if missing is None:
        film, wanted = _missing_by_head(record, piece, films)
        since = wanted is not film.missing
        inside = film.off <= STILL_M and not since
    else:
        sd = missing_sd if missing_sd is not None else words.usual_sd(unit)
        wanted = Amount(np.array(to_model(unit, missing)), np.array(to_model(unit, sd)))
        film, since, inside = None, False, False
    noise = np.sqrt(2.0) * dose.SCATTER[unit]
    found = dose.next_feel(wanted, record.response(piece), dose.FEEL_CAP[unit], noise)
    past = went_past(films) if film else []
    shown = bool(found.shown)
    report = _frame(record, name, setup) | {
        "entries": len(record.entries),
        "piece": piece,
        "unit": unit,
        "missing": {"from": "head" if film else "given", **interval(wanted, unit)},
        "film": film_report(film, piece) if film else None,
        "since_film": since,
        "in_still_band": inside,
        "response": response_report(record, piece),
        "feel": {
            "amount": rounded(0.0 if inside else to_border(unit, found.feel)) if shown or inside else None,
            "capped": bool(abs(found.best) > dose.FEEL_CAP[unit]) and not inside,
            "cap": rounded(to_border(unit, dose.FEEL_CAP[unit])),
            "before_cap": rounded(to_border(unit, found.best)),
        },
        "expected": interval(found.got, unit) if shown and not inside else None,
        "left": interval(found.left, unit) if shown and not inside else None,
        "way_sure": rounded(float(found.way_sure)),
        "went_past": [one.number for one in past],
        "past_films": [film_report(one, piece) for one in past],
        "surprising": surprising(record),
    }
    return finished(report, words.next_sentences, words.next_warnings)


def _missing_by_head(record: Record, piece: str, films: list[Film]) -> tuple[Film, Amount]:
    """What is missing as of the last film: by the head as last seen, less what films have shown of the piece since."""
    unit = PIECES[piece].unit
    if not films:
        read = any(np.isfinite(heads_m(entry)[list(FACE_ON)]).any() for _, entry in record.entries)
        why = (
            f"{NAMES[piece].capitalize()} moves the head too little face-on to be dosed by it"
            if read
            else "No film in the record says where the head was face-on"
        )
        raise TurnstillError(
            f"{why}, so say what is missing with --missing, for example what turnstill diagnose finds"
            f"{'' if read else ', or add a film with --head-toward-target-cm'}."
        )
    film, wanted = films[-1], films[-1].missing
    place = [number for number, _ in record.entries].index(film.number)
    for _, entry in record.entries[place + 1 :]:
        if entry.piece == piece and entry.got is not None:
            sd = np.hypot(wanted.sd, to_model(unit, entry.got_read_sd))
            wanted = Amount(np.asarray(wanted.mean - to_model(unit, entry.got)), np.asarray(sd))
    return film, wanted
