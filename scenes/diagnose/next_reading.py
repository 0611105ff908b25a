"""What to read next, in sentences: one reading in an answer, and why where a pair of pieces needs another one."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..words.cautions import listed
from ..words.pieces import NAMES
from ..words.units import percent
from .readings import HEADS, KINDS

if TYPE_CHECKING:
    from .parts import ApartReport
    from .report import MomentDiagnosis

MENTIONED = 0.3
"""Pieces less probably at fault are in the table only; before any film it is half of that (our choice)."""
WORTH_A_NUMBER = 0.1
"""Of the doubt; by how much less a further reading helps is not told (our choice)."""
BEFORE_A_FEEL = 0.5
"""A reading that takes away more of the doubt between the piece advised and another is made first (our choice)."""
MOST_PAIRS = 3


def is_lone(report: MomentDiagnosis) -> bool:
    """Whether one reading alone was given, which nothing checks."""
    return len(report.readings) == 1


def read_first(report: MomentDiagnosis) -> list[str]:
    """The reading to make before a feel, where it would take away most of the doubt whether that is the piece."""
    pair = _doubted(report)
    if pair is None or pair.reading is None:
        return []
    kind, (a, b) = KINDS[pair.reading], (NAMES[piece] for piece in pair.of)
    return [
        f"First read {kind.words} ({kind.view}) and ask again: these readings cannot tell {a} from {b}, and it would "
        f"take away about {percent(pair.doubt_removed)} of the doubt between them."
    ]


def to_be_surer(report: MomentDiagnosis) -> list[str]:
    """The reading that would make a feel surer, where none is to be made before it."""
    if report.measure_next is None or read_first(report):
        return []
    kind = KINDS[report.measure_next]
    return [f"To be surer first, read {kind.words} ({kind.view}) and ask again."]


def apart(report: MomentDiagnosis) -> list[str]:
    """The pairs that cannot be told apart, that of `read_first` left out, each with what would tell it."""
    first = _doubted(report)
    pairs = [pair for pair in report.told_apart_by if pair is not first]
    lines, more = [_pair(report, pair) for pair in pairs[:MOST_PAIRS]], len(pairs) - MOST_PAIRS
    if more > 0:
        count = "is 1 more such pair" if more == 1 else f"are {more} more such pairs"
        lines.append(f"There {count}; the JSON lists them all.")
    return lines


def _doubted(report: MomentDiagnosis) -> ApartReport | None:
    """The likeliest pair of the piece advised and another that one reading would tell apart well."""
    if report.feel is None:
        return None
    own = (pair for pair in report.told_apart_by if report.feel.piece in pair.of and pair.reading)
    return next((pair for pair in own if pair.doubt_removed > BEFORE_A_FEEL), None)


def _pair(report: MomentDiagnosis, pair: ApartReport) -> str:
    a, b = (NAMES[piece] for piece in pair.of)
    how = "no one further reading would tell them apart well"
    if pair.reading:
        reading, why = _advised(report)
        after = "" if pair.reading == reading else f"after {KINDS[reading].words}, which is read first {why}, "
        worth = f"about {percent(pair.doubt_removed)} of the doubt"
        how = f"{after}{KINDS[pair.reading].words} would tell them apart best ({worth})"
    return f"These readings cannot tell {a} from {b}; {how}."


def _advised(report: MomentDiagnosis) -> tuple[str, str]:
    """The one reading that an answer says to make next, and why; there is a pair that a reading tells apart."""
    if report.measure_next is not None and _doubted(report) is None:
        return report.measure_next, "for all the candidates"
    pair = _doubted(report) or next(pair for pair in report.told_apart_by if pair.reading)
    return str(pair.reading), f"to tell {NAMES[pair.of[0]]} from {NAMES[pair.of[1]]}"


def no_feel(report: MomentDiagnosis) -> str:
    """Why no feel is advised, and what to read next."""
    if is_lone(report):
        return _next_to_one(report)
    by, before = report.measure_next, "No feel is advised on these readings: "
    if report.head_still and not any(one.probability >= MENTIONED for one in report.each_piece):
        return f"{before}nothing needs changing that they can show; film again after a while."
    if by is None:
        return (
            f"{before}no one further reading would settle it, so read what is still unread, read each twice to make "
            "it surer, or film a few more swings."
        )
    kind = KINDS[by]
    return (
        f"{before}first read {kind.words} ({kind.view}), which would take away about "
        f"{percent(report.doubt_removed_by_next)} of the doubt between the candidates, and ask again."
    )


def _next_to_one(report: MomentDiagnosis) -> str:
    """Why one reading alone gives no feel, however sure it seems, and what to read beside it."""
    before, by = "No feel is advised on one reading alone, since nothing checks it", report.measure_next
    if by is None:
        unread = [name for name in HEADS if name != report.readings[0].reading]
        ways = listed([KINDS[name].words.removeprefix("head ") for name in unread])
        return f"{before}: read where the head went too ({ways}), and ask again."
    kind, share = KINDS[by], report.doubt_removed_by_next
    worth = f", which would take away about {percent(share)} of the doubt" if share >= WORTH_A_NUMBER else ""
    return f"{before}: read {kind.words} too ({kind.view}){worth}, and ask again."
