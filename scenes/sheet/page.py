"""The sheet as one page: one column on a phone, one A4 side in print."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from ..paper.frame import rendered
from ..paper.tables import ShownRow
from ..views.names import SEEN, VIEW_TITLES
from ..views.pictures import ShownPicture
from ..words.golfer import golfer_words
from ..words.low_point import WHY
from ..words.measures import MEASURES
from ..words.pieces import told_amount
from ..words.units import told_length
from . import words
from .sheet import AFTER, NOW

if TYPE_CHECKING:
    from ..views.pictures import ViewPicture
    from .report import SheetMoment, SheetReport

ON_FILM = (
    "head_toward_target_cm", "head_up_cm", "lean_face_on_deg", "head_toward_ball_cm", "inclination_down_the_line_deg",
)  # fmt: skip
"""Measures that a film shows, those of the face-on view first."""

OF_PIECE = {
    "hip_turn": "hip_turn_deg",
    "shoulder_turn": "shoulder_turn_deg",
    "tilt": "tilt_deg",
    "extension": "extension_deg",
    "lead_flex_change": "lead_knee_flex_deg",
    "trail_flex_change": "trail_knee_flex_deg",
    "sway": "pelvis_toward_target_cm",
    "hips_toward_ball": "pelvis_toward_ball_cm",
}
"""Piece to what a film shows of it."""
MOST_NOTES = 900
"""Characters of notes that one side of paper holds."""
PICTURE_MM = ((0, 54), (300, 47), (600, 38), (2000, 22))
"""Characters of notes, and how high the pictures are in print where there are no more."""


def sheet_page(report: SheetReport, pictures: Sequence[ViewPicture], inches: bool = False) -> str:
    """The whole page.

    Args:
        report: the sheet, its sentences in the unit to be shown.
        pictures: of both swings in the views, the present one's index being 0.
        inches: lengths in inches.
    """
    feel, notes = report.feel, _notes(report.warnings)
    change = told_amount(abs(feel.change), feel.unit, inches)
    return rendered(
        "sheet/page.html",
        title=f"One feel: {words.felt_words(report, inches)} {feel.what.partition(',')[0]}",
        who=f"{report.preset}, {golfer_words(report.body, inches)}",
        sentences=words.feel_sentences(report, inches),
        head=words.head_sentence(report, inches),
        pictures=[_picture(one, report, inches) for one in pictures],
        columns=(NOW, AFTER),
        film_rows=_film_rows(report, inches),
        on_film=words.film_sentences(report),
        body_columns=(f"{change} on film", f"{words.felt_words(report, inches)} as felt"),
        body_rows=[
            ShownRow(
                words.PLACE_NAMES[one.place],
                "",
                list(words.both_moved_words(one.on_film, one.as_felt, inches)),
            )
            for one in report.on_the_body
        ],
        hand=told_length(report.hand_width_cm, inches),
        at_home=words.at_home_sentences(report, inches),
        why_title=WHY,
        why=words.why_sentence(report, inches),
        hurt=feel.cautions[0],
        first_cautions=feel.cautions[1:],
        notes=notes,
        picture_mm=_picture_mm(notes),
    )


def _notes(warnings: Sequence[str]) -> list[str]:
    """As many of the warnings as one side of paper holds, and where the others are told."""
    kept: list[str] = []
    used = 0
    for note in warnings:
        if used + len(note) > MOST_NOTES:
            more = len(warnings) - len(kept)
            return [*kept, f"{more} more {'note is' if more == 1 else 'notes are'} told by the command that made this."]
        kept.append(note)
        used += len(note)
    return kept


def _picture_mm(notes: Sequence[str]) -> int:
    """How high the pictures are in print, so that notes have room on the same side."""
    return next(height for most, height in PICTURE_MM if sum(map(len, notes)) <= most)


def _picture(picture: ViewPicture, report: SheetReport, inches: bool) -> ShownPicture:
    name = (NOW, AFTER)[picture.index]
    moment = (report.now, report.after)[picture.index]
    said = words.head_words_in(moment, inches, SEEN[picture.view][0])
    view = VIEW_TITLES[picture.view]
    alt = f"{name}, {view.lower()}: the golfer at address as an outline and at the top of the backswing, head {said}"
    return ShownPicture(picture.png, f"{name}, {view[0].lower()}{view[1:]}", f"head {said}", alt)


def _film_rows(report: SheetReport, inches: bool) -> list[ShownRow[str]]:
    """What a film shows of the piece itself, then of head and trunk, now and after."""
    return [_measured(key, report.now, report.after, inches) for key in (OF_PIECE[report.feel.piece], *ON_FILM)]


def _measured(key: str, now: SheetMoment, after: SheetMoment, inches: bool) -> ShownRow[str]:
    measure = MEASURES[key]
    unit = measure.unit(inches)
    gap = "" if unit == "°" else " "
    return ShownRow(measure.words, "", [f"{measure.text(moment, inches)}{gap}{unit}" for moment in (now, after)])
