"""A diagnosis in plain sentences made from the computed numbers only: what to do, how sure that is, and the rest."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from ...model.golfer.pieces import MAY_BE_STEADY
from ..words.cautions import NOTICEABLE_CM, NOTICEABLE_DEG, capital, listed
from ..words.golfer import is_wanted_elsewhere, wanted_place
from ..words.pieces import ALL_ELSE_STAYS, NAMES, head_words, told_amount
from ..words.units import percent, told_length
from .moments import IMPACT, MOMENTS, TOP, Moment
from .next_reading import MENTIONED, apart, is_lone, no_feel, read_first, to_be_surer
from .overshoot import overshoot
from .reading_words import nothing_fits
from .readings import HEADS, KINDS

if TYPE_CHECKING:
    from .feel import FeelReport
    from .parts import PieceReport
    from .report import MomentDiagnosis

SPOKEN_AGAINST = 0.05
"""One reading alone speaks against a piece that it leaves less probable than this, a third of before (our choice)."""
MOST_TOLD, MOST_LEADING = 4, 4
TOO_SMALL_TO_READ = (
    "That is no word on the strike: a departure too small to read on film may still be enough to be fat or thin, and "
    "turnstill strike says what a swing does."
)
"""Of impact, where no piece stands out: 5° less extension, half of what the preset head-dips has, are fat."""
FILMS = "films"
"""What is doubted where that is no reading."""
DOUBTED = "No feel is advised on films that hardly go together; make sure that both show the same golfer."
"""Of films, in place of why these readings give no feel and of what to read next: no reading would mend that."""
_SHORT_TURN = "A short turn with a still head needs less extension than a full one; that is no fault."


def sided(piece: str, value: float, unit: str, inches: bool, moment: Moment = TOP) -> str:
    """A departure in words: ``12.3° less``, ``5.0 cm farther from the target``, at impact ``12.3° more open``."""
    return f"{told_amount(abs(value), unit, inches)} {moment.called(piece, value)}"


def when(report: MomentDiagnosis) -> Moment:
    """The moment that is told of."""
    return MOMENTS[report.moment]


def either_way(one: PieceReport) -> bool:
    """Whether not even the sign of a piece's departure is known: then there is no most likely one to tell."""
    return one.low is not None and one.high is not None and one.low < 0.0 < one.high


def sentences(report: MomentDiagnosis, inches: bool = False) -> list[str]:
    """What a coach is told, what to do first."""
    return [*_all(report, inches), *_on_film(report), *_then(report)]


def leading(report: MomentDiagnosis, inches: bool = False) -> list[str]:
    """What to do and how sure that is, in at most ``MOST_LEADING`` sentences beside what to read first."""
    return _all(report, inches)[: _most_leading(report)]


def further(report: MomentDiagnosis, inches: bool = False) -> list[str]:
    """All the rest, but for how a feel looks on film."""
    return [*_all(report, inches)[_most_leading(report) :], *_then(report)]


def _most_leading(report: MomentDiagnosis) -> int:
    return MOST_LEADING + len(read_first(report)) if report.fits else MOST_LEADING


def _all(report: MomentDiagnosis, inches: bool) -> list[str]:
    head = [_head(report, inches)] if any(one.reading in HEADS for one in report.readings) else []
    doubted = _doubted(report, inches)
    if not report.fits:
        return [*doubted, *nothing_fits(report, inches), *head]
    pieces = _pieces(report, inches)
    if report.feel is not None:
        own = pieces.pop(report.feel.piece)
        what = [_do(report.feel, inches, when(report)), _alone(report, report.feel, inches)]
        first = [*read_first(report), *what, own, report.feel.caution, *head]
    else:
        first = [*(doubted or [_withheld(report) if report.withheld else no_feel(report)]), *head]
    told = [*pieces.values()] or ([] if report.feel else _none_stands_out(report, inches))
    named = bool(pieces) or report.feel is not None
    rest = [_lone(report, named=named)] if is_lone(report) else _candidates(report, named=named)
    rest += _short_turn(report)
    if named and not doubted:
        rest += apart(report)
    return [*first, *told, *rest]


def _doubted(report: MomentDiagnosis, inches: bool) -> list[str]:
    """Why no feel is advised on readings that are doubted as a whole, the one reason."""
    if report.doubted is None:
        return []
    if report.doubted == FILMS:
        return [DOUBTED]
    one = next(one for one in report.readings if one.reading == report.doubted)
    axis = HEADS.index(report.doubted)
    explained, as_read = (
        head_words(np.eye(3)[axis] * value, inches, (axis,)) for value in (one.most_probable, one.value)
    )
    than = "" if as_read.startswith("within") else " than at address"
    beside = f", and {_viewed(report.measure_next)} beside it" if report.measure_next is not None else ""
    return [
        f"No feel is advised on these readings: what they make likeliest would have the head {explained}, and it was "
        f"read {as_read}{than}. Several pieces by a little each, something that is no piece or a slip of reading may "
        f"have done the rest: read {_viewed(one.reading)} on another film{beside}, and ask again."
    ]


def _viewed(reading: str) -> str:
    return f"{KINDS[reading].words} ({KINDS[reading].view})"


def _pieces(report: MomentDiagnosis, inches: bool) -> dict[str, str]:
    """The pieces worth a word, each with its sentence; that of the feel is always among them."""
    turn, feel = turn_words(report), report.feel
    told = [one for one in report.each_piece if one.probability >= MENTIONED][:MOST_TOLD]
    told += [one for one in report.each_piece if feel and one.piece == feel.piece and one not in told]
    return {one.piece: _piece(one, turn, inches, when(report)) for one in told}


def _head(report: MomentDiagnosis, inches: bool) -> str:
    read, moment = {one.reading: one for one in report.readings if one.reading in HEADS}, when(report)
    shown = [name for name in HEADS if name in read]
    ways = listed([KINDS[name].words.removeprefix("head ") for name in shown])
    elsewhere = is_wanted_elsewhere(report.head_held)
    if report.head_still:
        sd = told_length(max(one.sd for one in read.values()), inches)
        if elsewhere:
            place = wanted_place(report.head_held, inches)
            return (
                f"{capital(moment.at)} the head is where it is wanted, {place} than at address, as far as it was read "
                f"({ways}): it is no further from there than reading may be off, {sd}."
            )
        lead = "The head did not move" if moment is TOP else "At impact the head is where it was at address"
        return f"{lead}, as far as it was read ({ways}): it is no further from its place than reading may be off, {sd}."
    place_cm = np.array([read[name].value if name in read else 0.0 for name in HEADS])
    axes = tuple(k for k, name in enumerate(HEADS) if name in read)
    unread = [KINDS[name].words.removeprefix("head ") for name in HEADS if name not in read]
    left_out = f" ({listed(unread)} not read)" if unread else ""
    meant = f"; it is wanted {wanted_place(report.head_held, inches)}" if elsewhere else ""
    where = head_words(place_cm, inches, axes)
    than = "" if where.startswith("within") else " than at address"
    return f"{capital(moment.at)} the head is {where}{than}{left_out}{meant}."


def _piece(one: PieceReport, turn: str, inches: bool, moment: Moment) -> str:
    steady = one.piece in MAY_BE_STEADY
    than = " than holds the head for the turn that was made" if steady else f" than in {turn}"
    name = NAMES[one.piece].capitalize() if moment is TOP else f"{capital(moment.at)} {NAMES[one.piece]}"
    at_fault = f"{name} is at fault with a probability of {percent(one.probability)}; if so, "
    if one.low is None or one.high is None or one.most_likely is None:
        return f"{at_fault}by how much cannot be told."
    low, high = (sided(one.piece, value, one.unit, inches, moment) for value in (one.low, one.high))
    if either_way(one):
        away = "what holds the head for the turn that was made" if steady else turn
        return f"{at_fault}either way from {away} (90 % between {low} and {high})."
    about = sided(one.piece, one.most_likely, one.unit, inches, moment)
    return f"{at_fault}by about {about}{than} (90 % between {low} and {high})."


def turn_words(report: MomentDiagnosis) -> str:
    """The turn that departures are counted from."""
    moment = when(report)
    if report.counted_from_centred:
        return moment.centred
    if moment is TOP:
        return f"the turn of {report.preset} as it was set"
    return f"the swing of {report.preset} {moment.at}, as it was set"


def _none_stands_out(report: MomentDiagnosis, inches: bool) -> list[str]:
    """What is said where no piece is worth a word by itself."""
    most, at = max(one.probability for one in report.each_piece), "" if when(report) is TOP else f" {when(report).at}"
    line = (
        f"No piece stands out{at}: none is at fault with more than {percent(most)}, and that nothing is at fault has "
        f"{percent(report.nothing_at_fault)}."
    )
    if when(report) is IMPACT:
        line += f" {TOO_SMALL_TO_READ}"
    return [line, *_small_together(report, inches)]


def _small_together(report: MomentDiagnosis, inches: bool) -> list[str]:
    """What moved the head where, most probably, nothing is at fault."""
    if report.head_still or report.likeliest_at_fault or report.doubted:
        return []
    usual = {one.piece: one.not_at_fault_sd for one in report.each_piece}
    size = {one.piece: abs(one.from_what_holds_the_head) / usual[one.piece] for one in report.departures}
    most = sorted((one for one in report.departures if size[one.piece] >= 0.5), key=lambda one: -size[one.piece])
    if not most:
        return []
    parts = [
        f"{NAMES[one.piece]} {sided(one.piece, one.from_what_holds_the_head, one.unit, inches, when(report))}"
        for one in most[:MOST_TOLD]
    ]
    return [f"Most probably the head went there by departures hardly larger than everybody's: {listed(parts)}."]


def explanation(report: MomentDiagnosis) -> str:
    """What these readings make likeliest."""
    at_fault = [NAMES[piece] for piece in report.likeliest_at_fault]
    return f"{' and '.join(at_fault)} at fault" if at_fault else "nothing at fault"


def _candidates(report: MomentDiagnosis, *, named: bool) -> list[str]:
    """Which piece departs furthest; a still head where no piece is worth a word leaves nothing to ask."""
    first, *others = [NAMES[piece] for piece in report.candidates]
    if not others:
        return [f"With 90 % or more the piece that departs furthest is {first}."]
    all_of_them = len(report.candidates) == len(report.each_piece)
    if not named:
        none = report.head_still or all_of_them
        return [] if none else [f"Whichever departs furthest is, with 90 %, one of these: {listed([first, *others])}."]
    if all_of_them:
        return [f"Most probably {first} departs furthest, but these readings leave room for any other piece to."]
    return [f"Most probably {first} departs furthest; with 90 % it is that or one of these: {listed(others)}."]


def _short_turn(report: MomentDiagnosis) -> list[str]:
    """Where less extension than in the centred turn is no fault, or might be taken for one; of the top alone."""
    if when(report) is not TOP:
        return []
    extension, turn = (
        next(one for one in report.departures if one.piece == piece) for piece in ("extension", "shoulder_turn")
    )
    chance = next(one.probability for one in report.each_piece if one.piece == "extension")
    less = extension.from_centred - extension.from_what_holds_the_head
    short = turn.from_centred <= -NOTICEABLE_DEG and less <= -NOTICEABLE_DEG
    if short and chance < MENTIONED:
        return [
            f"The shoulders turned about {abs(turn.from_centred):.0f}° less than in the centred turn, and so short a "
            f"turn needs about {abs(less):.0f}° less extension to hold the head: that is no fault of extension."
        ]
    return [_SHORT_TURN] if report.head_still else []


def _lone(report: MomentDiagnosis, *, named: bool) -> str:
    """What one reading alone tells of the pieces that it does not name."""
    read = KINDS[report.readings[0].reading].words
    against = [NAMES[one.piece] for one in report.each_piece if one.probability < SPOKEN_AGAINST]
    unlikely = f"it speaks against a fault of {listed(against)}, and " if against else ""
    keep = f"{unlikely}most other pieces keep about the probability they had before any film."
    return (
        f"Of the rest this one reading ({read}) tells little: {keep}"
        if named
        else (f"One reading alone ({read}) tells little: {keep}")
    )


def _do(feel: FeelReport, inches: bool, moment: Moment) -> str:
    lead = moment.do
    if feel.brings_head_back_cm < NOTICEABLE_CM:
        held = "" if feel.piece in MAY_BE_STEADY else ", which tilt and extension can hold all the same"
        reason = f"head is no reason to change {NAMES[feel.piece]}{held}"
        lead = f"The {reason}" if moment is TOP else f"{capital(moment.at)} the {reason}, though the strike may be one"
        lead += "; if it is to be changed"
    return f"{lead}: {told_amount(abs(feel.amount), feel.unit, inches)} {feel.what}: {feel.do}."


def _alone(report: MomentDiagnosis, feel: FeelReport, inches: bool) -> str:
    """Where the head would go by a feel alone, and what tilt and extension would then be."""
    change = feel.alone_it_would_change
    place = np.array([change.head_toward_ball_cm, change.head_toward_target_cm, change.head_up_cm])
    moved = bool(np.any(np.abs(place) >= NOTICEABLE_CM))
    shift = f"would bring the head {head_words(place, inches)}" if moved else "would hardly move the head"
    then = "" if feel.piece in MAY_BE_STEADY else _left(feel, when(report))
    return " ".join([f"By itself, {ALL_ELSE_STAYS}, it {shift}{then}.", *overshoot(report, feel, inches)])


def _left(feel: FeelReport, moment: Moment) -> str:
    """What mending a turn, a knee or the hips leaves of tilt and extension."""
    parts = []
    for name, value in (("tilt", feel.leaves_tilt_deg), ("extension", feel.leaves_extension_deg)):
        if abs(value) < NOTICEABLE_DEG:
            continue
        amount, called = told_amount(abs(value), "deg"), moment.called(name, value)
        parts.append(f"{amount} {called} {name}" if called in ("more", "less") else f"{name} {amount} {called}")
    return f"; there would then be {listed(parts)} than holds the head" if parts else ""


def _on_film(report: MomentDiagnosis) -> list[str]:
    feel = report.feel
    return [f"Face-on, {feel.face_on}; down the line, {feel.down_the_line}.", feel.check] if feel else []


def _then(report: MomentDiagnosis) -> list[str]:
    """How to be surer of a feel, and what to go on with after it."""
    feel = report.feel
    if feel is None:
        return []
    lines = to_be_surer(report)
    if feel.then:
        more = listed([NAMES[piece] for piece in feel.then])
        lines.append(f"One thing at a time: {more} {'is' if len(feel.then) == 1 else 'are'} next, after a new film.")
    return lines


def _withheld(report: MomentDiagnosis) -> str:
    names = listed([NAMES[piece] for piece in report.withheld])
    return (
        f"No feel is given of {names}: the opposite would lead back to what {report.preset} aims at, which is a fault "
        "by itself."
    )
