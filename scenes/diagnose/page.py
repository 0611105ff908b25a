"""A diagnosis as one page that needs no network and no second file."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from scipy.stats import norm

from ..paper.arrows import Arrow
from ..paper.frame import rendered
from ..paper.piece_styles import PIECE_STYLES
from ..paper.styles import Style
from ..paper.tables import ShownRow
from ..words.cautions import capital, listed
from ..words.golfer import golfer_words, held_words, is_wanted_elsewhere, wanted_place
from ..words.pieces import ALL_ELSE_STAYS, NAMES
from ..words.units import CM_PER_INCH, length_unit, percent
from .charts import Bar, Span, amount_chart, probability_chart
from .columns import DEPARTED, Column, read_columns
from .drawing import Read, head_drawing
from .moments import TOP
from .next_reading import MENTIONED
from .readings import KINDS
from .words import either_way, explanation, further, leading, when

if TYPE_CHECKING:
    from markupsafe import Markup

    from .parts import PieceReport
    from .report import DiagnosisReport, MomentDiagnosis

_WITHIN = float(norm.ppf(0.95))
_SMALLEST_ARROW_CM = 0.05
_NOTHING = Style("#1c252e", "", "circle")
VIEWS = (
    ("Face-on", "head_toward_target", ("away from target", "toward target")),
    ("Down the line", "head_toward_ball", ("away from ball", "toward ball")),
)
"""Title of a view, the reading it shows across, and what the two ends of that mean."""
AMOUNTS = (("deg", "Turns, bends and knees"), ("cm", "Sway and hips toward ball"))


@dataclass(frozen=True)
class ShownView:
    """The head from one view."""

    caption: str
    left_out: str
    chart: Markup


@dataclass(frozen=True)
class ShownTable:
    """A table, its first heading over the rows' names."""

    title: str
    caption: str
    headings: tuple[str, ...]
    rows: tuple[ShownRow[str], ...]


def diagnose_page(report: DiagnosisReport, inches: bool = False, go_on: Sequence[tuple[str, str]] = ()) -> str:
    """The whole page: whose swing, what to do, how sure that is, then the head and what stands behind it.

    Args:
        report: the diagnosis.
        inches: lengths in inches.
        go_on: what one may do next, and the command that does it.
    """
    return rendered("diagnose/page.html", **shown_of(report, inches, go_on))


def shown_of(report: DiagnosisReport, inches: bool = False, go_on: Sequence[tuple[str, str]] = ()) -> dict[str, Any]:
    """What the page's template names; arguments as of `diagnose_page`."""
    first, *_ = report.diagnoses
    read = listed([f"{when(one).at}{' of the backswing' if when(one) is TOP else ''}" for one in report.diagnoses])
    held = "; ".join(
        dict.fromkeys(
            f"{held_words(one.head_held, inches)}{'' if alike(report) else f' {when(one).at}'}"
            for one in report.diagnoses
        )
    )
    return {
        "title": "What moved the head: from the films to the piece",
        "who": f"{golfer_words(report.body, inches)}; from what was read off the films {read}; {held}",
        "sentences": leading(first, inches),
        "first": capital(when(first).at) if report.at_impact is not None else "",
        "further": further(first, inches),
        "notes": report.warnings,
        "all_else_stays": ALL_ELSE_STAYS,
        "mentioned": percent(MENTIONED),
        "moments": [_moment(one, report.body.handedness == "left", inches, one is first) for one in report.diagnoses],
        "go_on": go_on,
    }


def alike(report: DiagnosisReport) -> bool:
    """Whether the head is held at one place at every moment that was read."""
    return len({(one.head_held.toward_target_cm, one.head_held.up_cm) for one in report.diagnoses}) == 1


def _moment(report: MomentDiagnosis, mirrored: bool, inches: bool, first: bool) -> dict[str, Any]:
    """What is shown of one moment; of the first, what to do stands at the page's head."""
    candidates = [one for one in report.each_piece if report.fits and one.piece in report.candidates]
    moment, held = when(report), report.head_held
    return {
        "at": moment.at,
        "lead": "" if moment is TOP else f"{capital(moment.at)}: ",
        "signs": moment.signs,
        "sentences": () if first else leading(report, inches),
        "further": () if first else further(report, inches),
        "named": bool(candidates),
        "wanted": wanted_place(held, inches) if is_wanted_elsewhere(held) else "",
        "views": [_view(report, candidates, *view, inches, mirrored=mirrored) for view in VIEWS],
        "on_film": _on_film(report),
        "amounts": [_amounts(report, unit, title, inches) for unit, title in AMOUNTS] if report.fits else (),
        "probabilities": _probabilities(report) if report.fits else "",
        "tables": [_readings(report, inches), *([_departures(report, inches)] if report.fits else [])],
    }


def _on_film(report: MomentDiagnosis) -> tuple[tuple[str, str], ...]:
    feel = report.feel
    if feel is None:
        return ()
    return (("Face-on", f"{feel.face_on}."), ("Down the line", f"{feel.down_the_line}."), ("How to go on", feel.check))


def _probabilities(report: MomentDiagnosis) -> Markup:
    bars = [
        Bar(
            NAMES[one.piece],
            one.probability * 100.0,
            percent(one.probability),
            one.piece in report.candidates,
            PIECE_STYLES[one.piece],
        )
        for one in report.each_piece
    ]
    nothing = report.nothing_at_fault
    bars.append(Bar("nothing", nothing * 100.0, percent(nothing), False, _NOTHING))
    return probability_chart("Probability that each piece is at fault", bars, report.probability_before * 100.0)


def _amounts(report: MomentDiagnosis, unit: str, title: str, inches: bool) -> tuple[str, Markup]:
    scale = 1.0 / CM_PER_INCH if inches and unit == "cm" else 1.0
    shown = "°" if unit == "deg" else length_unit(inches)
    spans = [_span(one, scale) for one in report.each_piece if one.unit == unit]
    return f"{title}, {shown}", amount_chart(title, shown, spans, ("less", "more"))


def _span(one: PieceReport, scale: float) -> Span:
    """A piece's interval; where the readings fit, all its amounts can be told."""
    low, likely, high = ((value or 0.0) * scale for value in (one.low, one.most_likely, one.high))
    return Span(
        NAMES[one.piece],
        low=low,
        likely=None if either_way(one) else likely,
        high=high,
        usual=one.not_at_fault_sd * _WITHIN * scale,
        sure=one.probability >= MENTIONED,
        style=PIECE_STYLES[one.piece],
    )


def _view(
    report: MomentDiagnosis,
    candidates: Sequence[PieceReport],
    title: str,
    across: str,
    ends: tuple[str, str],
    inches: bool,
    *,
    mirrored: bool,
) -> ShownView:
    scale, unit = 1.0 / CM_PER_INCH if inches else 1.0, length_unit(inches)
    read = {one.reading: one for one in report.readings}
    side, up = read.get(across), read.get("head_up")
    seen = Read(
        side.value * scale if side else None,
        side.sd * scale if side else 0.0,
        up.value * scale if up else None,
        up.sd * scale if up else 0.0,
    )
    arrows, small, open_ = [], [], []
    for one in candidates:
        name = NAMES[one.piece]
        there = [getattr(one.head_by_itself, f"{way}_cm") or 0.0 for way in (across, "head_up")]
        if either_way(one):
            open_.append(name)
        elif max(abs(value) for value in there) < _SMALLEST_ARROW_CM:
            small.append(name)
        else:
            arrows.append(Arrow(name, there[0] * scale, there[1] * scale, PIECE_STYLES[one.piece]))
    held = report.head_held
    wanted = (held.toward_target_cm if across == "head_toward_target" else 0.0) * scale, held.up_cm * scale
    chart = head_drawing(
        f"{title}{'' if when(report) is TOP else f', {when(report).at}'}", unit, seen, arrows, ends,
        mirrored=mirrored, least=0.5 if inches else 1.0, wanted=wanted,
    )  # fmt: skip
    unread = [name for name, value in ((ends[1], seen.across), ("up", seen.up)) if value is None]
    left_out = {"Not read": unread, "Too short to draw": small, "Either way, so not drawn": open_}
    told = " ".join(f"{why}: {', '.join(who)}." for why, who in left_out.items() if who)
    return ShownView(f"{title}, {unit}", told, chart)


def _table(
    title: str,
    caption: str,
    first: str,
    columns: Sequence[Column],
    rows: Sequence[tuple[str, str, object]],
    inches: bool,
) -> ShownTable:
    return ShownTable(
        title,
        caption,
        (first, *(column.heading for column in columns)),
        tuple(ShownRow(name, note, [column.text(row, inches) for column in columns]) for name, note, row in rows),
    )


def _readings(report: MomentDiagnosis, inches: bool) -> ShownTable:
    explained = f", and as explained: with {explanation(report)}, which these readings make likeliest"
    return _table(
        _titled(report, "What was read"),
        "Each reading beside what the films of this golfer would show without a fault"
        f"{explained if report.fits else ''}. Signs are as said under each name.",
        "reading",
        read_columns(report),
        [(KINDS[one.reading].words, KINDS[one.reading].counted(when(report)), one) for one in report.readings],
        inches,
    )


def _departures(report: MomentDiagnosis, inches: bool) -> ShownTable:
    return _table(
        _titled(report, "Departures, counted in two ways"),
        f"As explained, with {explanation(report)}. The first count is what a fault is: more or less than holds this "
        f"head for the turn this golfer made. The second compares with {_own_centred(report)}; a shorter turn needs "
        f"less tilt and extension, so a difference there alone is no fault. {when(report).signs}".rstrip(),
        "piece",
        DEPARTED,
        [(NAMES[one.piece], "", one) for one in report.departures],
        inches,
    )


def _titled(report: MomentDiagnosis, title: str) -> str:
    """A table's title, with the moment where that is not the top."""
    return title if when(report) is TOP else f"{capital(when(report).at)}: {title[0].lower()}{title[1:]}"


def _own_centred(report: MomentDiagnosis) -> str:
    return (
        "the centred preset's turn of this golfer" if when(report) is TOP else f"this golfer in {when(report).centred}"
    )
