"""Every number of a sheet stands where its label says: reports with numbers that are all different."""

from __future__ import annotations

import re
from collections.abc import Callable
from types import SimpleNamespace

import pytest
from distinct import filled
from shown import MINUS, figures, number, page, tables, words

from turnstill.model.golfer.pieces import DEPARTURES
from turnstill.model.questions.places import PLACES
from turnstill.scenes.setups.perform import Performed
from turnstill.scenes.sheet.page import MOST_NOTES, OF_PIECE, PICTURE_MM, sheet_page
from turnstill.scenes.sheet.report import PlaceMovedReport, SheetMoment, SheetReport
from turnstill.scenes.sheet.touching import THINGS
from turnstill.scenes.sheet.words import PLACE_NAMES, feel_sentences, head_sentence, sentences, warnings_of
from turnstill.scenes.views.pictures import ViewPicture
from turnstill.scenes.words.cautions import warnings
from turnstill.scenes.words.low_point import low_point_sentence

PICTURES = [
    ViewPicture(0, "face-on", b"now front"), ViewPicture(1, "face-on", b"after front"),
    ViewPicture(0, "down-the-line", b"now side"), ViewPicture(1, "down-the-line", b"after side"),
]  # fmt: skip


def report() -> SheetReport:
    raw = filled(SheetReport, items=4, warnings=[])
    feel = raw.feel.replaced(piece="tilt", unit="deg", change=11.4, felt=18.0, felt_given=False, capped=False)
    places = [
        one.replaced(place=place, on_film=_far(one.on_film), as_felt=_far(one.as_felt))
        for one, place in zip(raw.on_the_body, PLACES, strict=True)
    ]
    against = [one.replaced(thing=thing) for one, thing in zip(raw.against, list(THINGS)[3:], strict=True)]
    hand = abs(raw.hand_width_cm)
    made = raw.replaced(feel=feel, on_the_body=places, against=against, hand_width_cm=hand)
    return made.replaced(sentences=sentences(made))


def _far(moved: PlaceMovedReport) -> PlaceMovedReport:
    """A distance is never below zero."""
    return moved.replaced(distance_cm=abs(moved.distance_cm), hand_widths=abs(moved.hand_widths))


REPORT = report()


def told(value: float, inches: bool, unit: str = "cm") -> str:
    """A number as it is shown, without its sign."""
    if unit == "deg":
        return f"{abs(value):.1f}°"
    return f"{abs(value) / 2.54:.2f} in" if inches else f"{abs(value):.1f} cm"


@pytest.mark.parametrize("inches", [False, True])
def test_what_a_film_shows_stands_under_now_and_after(inches: bool) -> None:
    on_film, _ = tables(sheet_page(REPORT, PICTURES, inches))
    rows = {
        "Tilt": "tilt_deg",
        "Head toward target": "head_toward_target_cm", "Head up": "head_up_cm", "Lean face-on": "lean_face_on_deg",
        "Head toward ball": "head_toward_ball_cm", "Inclination down the line": "inclination_down_the_line_deg",
    }  # fmt: skip
    for name, key in rows.items():
        for column, moment in (("now", REPORT.now), ("after", REPORT.after)):
            value = getattr(moment, key)
            cell = on_film[name, column]
            unit = "deg" if key.endswith("_deg") else "cm"
            assert told(value, inches, unit) in cell and (MINUS in cell) == (value < 0), (name, column)
    assert len(on_film) == 2 * len(rows)


USUAL = {
    "hip_turn": 40,
    "shoulder_turn": 85,
    "tilt": 34,
    "extension": 27,
    "lead_flex_change": 10,
    "trail_flex_change": -9,
}


@pytest.mark.parametrize("piece", DEPARTURES)
def test_a_film_shows_of_a_piece_what_it_is(performed: Callable[..., Performed], piece: str) -> None:
    """So much more asked of a piece is so much more of what stands in its row, or less toward the target for a sway."""
    key, usual = OF_PIECE[piece], USUAL.get(piece, 0)
    less, more = (
        getattr(SheetMoment.of(performed("centred", f"{piece}={usual + by}", frames=2).swing), key) for by in (0, 2)
    )
    assert more - less == pytest.approx(-2.0 if piece == "sway" else 2.0, abs=0.01)
    (on_film, _) = tables(sheet_page(REPORT.replaced(feel=REPORT.feel.replaced(piece=piece)), PICTURES))
    cell = next(iter(on_film.values()))
    assert number(cell) == pytest.approx(getattr(REPORT.now, key), abs=0.051)


@pytest.mark.parametrize("inches", [False, True])
def test_what_a_hand_finds_stands_beside_its_place(inches: bool) -> None:
    text = sheet_page(REPORT, PICTURES, inches)
    _, body = tables(text)
    assert {head for _, head in body} == {"11.4° on film", "18° as felt"}
    for one in REPORT.on_the_body:
        name = PLACE_NAMES[one.place]
        for column, moved in (("11.4° on film", one.on_film), ("18° as felt", one.as_felt)):
            cell = body[name[0].upper() + name[1:], column]
            assert cell.startswith(f"{told(moved.distance_cm, inches)} ({moved.hand_widths:.1f} hand widths) "), cell
            for word, value in (("target", moved.toward_target_cm), ("ball", moved.toward_ball_cm)):
                if word in cell:
                    assert (f"nearer to the {word}" in cell) == (value > 0), cell
            assert ("higher" if moved.up_cm < 0 else "lower") not in cell, cell
    assert f"One hand width is {told(REPORT.hand_width_cm, inches)}," in words(page(text))


@pytest.mark.parametrize("inches", [False, True])
def test_sentences_hold_the_numbers_that_they_are_about(inches: bool) -> None:
    text = " ".join(sentences(REPORT, inches))
    feel, now, after = REPORT.feel, REPORT.now, REPORT.after
    assert f"Feel 18° {feel.what}: {feel.do}." in text
    assert feel.expected is not None and f"expect about {told(feel.expected, False, 'deg')} on the next one" in text
    head = text.partition(" than at address")[0]
    for value in (now.head_toward_target_cm, now.head_toward_ball_cm, now.head_up_cm):
        assert told(value, inches) in head
    second = text.partition("it ends ")[2].partition(" than at address")[0]
    for value in (after.head_toward_target_cm, after.head_toward_ball_cm, after.head_up_cm):
        assert told(value, inches) in second
    low = low_point_sentence(REPORT.arc_now, inches, after=REPORT.arc_after)
    assert low[1:] in text
    for one in REPORT.against:
        (said,) = [
            line
            for line in sentences(REPORT, inches)
            if f"{told(one.distance_cm, inches)} ({one.hand_widths:.1f} hand widths)" in line
        ]
        before, _, behind = said.partition(" now; after, ")
        for part, touch in ((before, one.now), (behind, one.after)):
            assert told(touch.short_cm, inches) in part and touch.part in part
            assert ("past it" in part) == (touch.short_cm <= 0) and ("short of it" in part) == (touch.short_cm > 0)
    assert all(caution in text for caution in feel.cautions)


@pytest.mark.parametrize(
    ("now", "after", "said"),
    [
        ((0.0, -6.0, -2.0), (-1.2, 0.0, 0.0), ""),
        ((0.0, -6.0, -2.0), (0.0, -2.1, 0.0), " Another piece has moved it as well; that is for another day."),
        ((0.0, -6.0, -2.0), (6.0, 2.0, 0.0), " So the head is no reason to change that."),
        ((0.2, 0.1, 0.0), (0.1, 0.0, 0.0), " So the head is no reason to change that."),
    ],
)
def test_what_a_change_leaves_is_said(
    now: tuple[float, float, float], after: tuple[float, float, float], said: str
) -> None:
    keys = ("head_toward_ball_cm", "head_toward_target_cm", "head_up_cm")
    both = [
        one.replaced(**dict(zip(keys, place, strict=True))) for one, place in ((REPORT.now, now), (REPORT.after, after))
    ]
    at_address = REPORT.head_held.replaced(toward_target_cm=0.0, up_cm=0.0)
    line = head_sentence(REPORT.replaced(now=both[0], after=both[1], head_held=at_address))
    assert line.partition(".")[0] and line.endswith(f"{said}" if said else "than at address.")
    assert (" as well" in line, " no reason" in line) == (" as well" in said, " no reason" in said)
    # Of tilt and extension it is the other one that stays in degrees, of all other pieces both.
    assert "everything else as it was, it ends" in line
    sway = REPORT.replaced(feel=REPORT.feel.replaced(piece="sway"))
    assert "everything else as it was, tilt and extension in degrees included, it ends" in head_sentence(sway)


def test_what_a_change_leaves_counts_from_where_the_head_is_wanted() -> None:
    """Where it ends after the change is its place; from address the other one would be nearer."""
    now, after = (
        one.replaced(head_toward_ball_cm=0.0, head_toward_target_cm=target, head_up_cm=up)
        for one, target, up in ((REPORT.now, 0.0, 1.0), (REPORT.after, -5.0, 2.0))
    )
    wanted = REPORT.head_held.replaced(toward_target_cm=-5.0, up_cm=2.0)
    line = head_sentence(REPORT.replaced(now=now, after=after, head_held=wanted))
    wish = "5.0 cm farther from the target and 2.0 cm higher than at address"
    assert line.endswith(f" It is wanted {wish}, on purpose, and counts as still there.")


def test_how_much_is_said_as_it_is_asked_for() -> None:
    """Whole degrees or tenths of a centimetre to feel; the change to a tenth; the cap only where it acts."""
    assert "Why it matters: if the move" in " ".join(sentences(REPORT))
    feel = REPORT.feel.replaced(piece="sway", unit="cm", change=-5.04, felt=-6.0, capped=True, cap=6.0, before_cap=-9.0)
    told = feel_sentences(REPORT.replaced(feel=feel))
    assert told[0].startswith(f"Feel 6.0 cm {feel.what}: ")
    assert told[1].startswith(
        "In the end a film is to show 5.0 cm. You are to feel more, since a film shows only a part"
    )
    assert told[2].startswith("Why not feel 12.6 cm? Golfers differ") and told[2].endswith(
        "9.0 cm would come nearest on average, but more than 6.0 cm at once is not advised: go in steps and film "
        "between them."
    )
    assert feel_sentences(REPORT.replaced(feel=feel), True)[0].startswith("Feel 2.36 in ")
    once = feel_sentences(REPORT.replaced(feel=feel.replaced(capped=False)))
    assert (
        len(once) == 3
        and once[2].startswith("Why not feel 12.6 cm")
        and once[2].endswith("6.0 cm comes nearest on average.")
    )
    less = feel_sentences(REPORT.replaced(feel=feel.replaced(felt=-5.0)))[1]
    assert less.startswith("In the end a film is to show 5.0 cm. A film shows only a part of what is felt")
    # What is left is what the next film is not expected to show.
    for expected, left in ((2.0, "the other 3.0 cm are for later films."), (4.9, "about 4.9 cm on the next one.")):
        assert feel_sentences(REPORT.replaced(feel=feel.replaced(expected=-expected)))[1].endswith(left)


def test_what_is_true_of_both_swings_is_said_once(performed: Callable[..., Performed]) -> None:
    now = performed("centred", "hip_turn=72", "trail_hip_internal_rotation=60", "shoulder_turn=170")
    after = performed("centred", "hip_turn=72", "trail_hip_internal_rotation=60", "shoulder_turn=20")
    lines = warnings_of(SimpleNamespace(now=now, after=after))  # type: ignore[arg-type]
    assert lines and not any("arms" in line for line in lines)
    marks = [line.partition(": ")[0] for line in lines]
    assert set(marks) == {"In both swings", "Now", "After"}
    assert marks == sorted(marks, key=["In both swings", "Now", "After"].index)
    own = {mark: {line.partition(": ")[2] for line in lines if line.startswith(mark)} for mark in marks}
    told = {"Now": set(warnings(now.swing)), "After": set(warnings(after.swing))}
    assert own["In both swings"] <= told["Now"] & told["After"]
    assert own["Now"] <= told["Now"] - told["After"] and own["After"] <= told["After"] - told["Now"]


def test_each_picture_has_its_own_caption() -> None:
    shown = figures(sheet_page(REPORT, PICTURES))
    assert "away from the target positive" in sheet_page(REPORT, PICTURES), "which way a lean is that has a sign"
    assert [one.picture for one in shown] == [one.png for one in PICTURES]
    seen = ("head_toward_target_cm", "head_toward_ball_cm")
    for k, one in enumerate(shown):
        moment, (own, hidden) = (REPORT.now, REPORT.after)[k % 2], seen if k < 2 else seen[::-1]
        name, view = one.caption.partition(":")[0].split(", ")
        assert name == ("now", "after")[k % 2] and view == ("face-on" if k < 2 else "down the line")
        for value in (getattr(moment, own), moment.head_up_cm):
            assert told(value, False) in one.caption and told(value, False) in one.alt
        assert told(getattr(moment, hidden), False) not in one.caption


def test_whose_sheet_it_is_stands_under_the_title() -> None:
    document = page(sheet_page(REPORT, PICTURES))
    (title,), (who,) = document.xpath("//h1"), document.xpath("//p[@class='who']")
    assert words(title) == f"One feel: 18° {REPORT.feel.what}"
    told = f"{REPORT.preset}, {REPORT.body.stature_cm:.0f} cm, {REPORT.body.mass_kg:.0f} kg, "
    assert words(who).startswith(told.replace("-", MINUS))
    heads = [[words(head) for head in table.xpath("./thead/tr/th")] for table in document.iter("table")]
    assert heads == [["at the top", "now", "after"], ["at the top", "11.4° on film", "18° as felt"]]


def test_what_is_not_there_is_said() -> None:
    plain = REPORT.replaced(against=[])
    assert "No wall or stick tells the two swings apart" in " ".join(sentences(plain))
    first = REPORT.on_the_body[0]
    still = first.replaced(on_film=first.on_film.replaced(distance_cm=0.2))
    _, body = tables(sheet_page(REPORT.replaced(on_the_body=[still]), PICTURES))
    assert body["Breastbone, its upper end", "11.4° on film"] == "hardly moves"
    given = " ".join(sentences(REPORT.replaced(feel=REPORT.feel.replaced(expected=None, felt_given=True))))
    assert "is taken to come" not in given and "11.4°" in given


def test_notes_make_the_pictures_smaller_and_too_many_say_so() -> None:
    heights = []
    for size in (-1, *(most for most, _ in PICTURE_MM[:-1])):
        text = sheet_page(REPORT.replaced(warnings=["n" * (size + 1)] if size >= 0 else []), PICTURES)
        heights.append(int(re.findall(r"figure img \{ max-height: (\d+)mm; \}", text)[0]))
    assert heights == [height for _, height in PICTURE_MM] and heights == sorted(heights, reverse=True)
    many = sheet_page(REPORT.replaced(warnings=[f"note {k} {'x' * 290}" for k in range(9)]), PICTURES)
    kept = MOST_NOTES // 297
    assert f"note {kept - 1} " in many and f"note {kept} " not in many
    assert f"{9 - kept} more notes are told by the command" in many
