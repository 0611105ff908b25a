"""What a record and the next feel say, from numbers that are all different."""

from __future__ import annotations

import pytest
from record_reports import BY_FILM, DOSE, FILM, FILMS, INSTEAD, NEXT, RESPONSES, SHOWN, amount
from shown import page, words

from turnstill.model.films import dose
from turnstill.scenes.record.next_report import NextReport
from turnstill.scenes.record.next_words import next_sentences, next_warnings
from turnstill.scenes.record.page import record_page
from turnstill.scenes.record.words import ASSUMPTIONS, response_sentence, show_warnings
from turnstill.scenes.setups.quantities import to_border

OF_SWAY = "Of a cm felt in sway this golfer gets about 0.37 (90 % between -0.05 and 0.83; 1 film of it)."
ASK = (
    "the hips 4.4 cm nearer to the target, counted from the swing on the last film; expect the next film to show about "
    "1.7 cm of it (90 % between -0.2 cm and 3.6 cm)."
)
SURE = "The hips nearer to the target: that this is the right way is 93% sure."
OFF = (
    "On the film of 2025-03-08 the head was 3.3 cm off face-on; what would bring it nearest to its place, everything "
    "else as it was, tilt and extension in degrees included: the hips 2.1 cm nearer to the target (90 % between 1.3 cm "
    "and 3.2 cm)."
)
EASE = (
    "What was overdone is extension (6.6° too much extension by now), so ease it: 11° less extension, the chest "
    "staying in its forward bend, counted from the swing on the last film; expect the next film to show about 5.2° of "
    "it (90 % between -0.5° and 10.9°)."
)
STEPS = "All of it at once would take a feel of {}; more than {} is not advised, so go in steps and film between them."


def told(report: NextReport, inches: bool = False) -> list[str]:
    return next_sentences(report, inches)


def test_the_next_feel_is_told_from_its_own_numbers() -> None:
    given = "Missing on the last film, as given: the hips 2.1 cm nearer to the target (90 % between 1.3 cm and 3.2 cm)."
    assert told(NEXT) == [given, OF_SWAY, f"Ask next for this feel: {ASK}", SURE]
    assert told(BY_FILM) == [OFF, OF_SWAY, f"Ask next for this feel: {ASK}", SURE]
    since = OFF.replace("nearer to the target (", "nearer to the target, counting what films showed of it since (")
    assert told(BY_FILM.replaced(since_film=True))[0] == since
    capped = NEXT.replaced(feel=DOSE.replaced(capped=True))
    assert told(capped)[3:] == [STEPS.format("7.7 cm", "6.0 cm"), SURE]
    assert told(NEXT, inches=True)[0].endswith(
        "the hips 0.83 in nearer to the target (90 % between 0.51 in and 1.26 in)."
    )
    assert "1.73 in nearer" in told(NEXT, inches=True)[2] and "about 0.67 in of it" in told(NEXT, inches=True)[2]


def test_what_is_not_asked_for_says_why_and_what_instead() -> None:
    refused = BY_FILM.replaced(
        held_back=True, hardly_helps=True, feel=DOSE.replaced(amount=None), expected=None, instead=INSTEAD
    )
    fault = (
        "That is not asked for: by the films so far there is 1.9 cm too much sway away from the target, if sway was at "
        "fault at all, so it would make a fault of its own."
    )
    assert told(refused) == [OFF, fault, EASE]
    assert told(refused.replaced(instead=None)) == [OFF, fault, "Ask turnstill diagnose which piece moved the head."]
    right = told(refused.replaced(stands=amount(0.7, 0, 1)))[1]
    assert (
        right == "That is not asked for: by the films so far sway is about right, so it would make a fault of its own."
    )
    assert "too much sway toward the target" in told(refused.replaced(stands=amount(-0.8, 0, 1)))[1]
    capped = INSTEAD.replaced(feel=INSTEAD.feel.replaced(capped=True))
    assert told(refused.replaced(instead=capped))[3] == STEPS.format("25°", "20°")
    still = refused.replaced(in_still_band=True, feel=DOSE.replaced(amount=0.0))
    assert told(still) == [
        "On the film of 2025-03-08 the head was still: 3.3 cm off face-on (the still band is 0.3 cm).",
        "Ask for nothing more: keep what was done on that film, and film again.",
    ]


MORE_AND_TOO_MUCH = {
    "hip_turn": ("{} more hip turn", "{} less hip turn", "{} too much hip turn", "{} too little hip turn"),
    "shoulder_turn": ("{} more shoulder turn", "{} less shoulder turn", "{} too much shoulder turn",
                      "{} too little shoulder turn"),
    "tilt": ("{} more tilt", "{} less tilt", "{} too much tilt", "{} too little tilt"),
    "extension": ("{} more extension", "{} less extension", "{} too much extension", "{} too little extension"),
    "lead_flex_change": ("{} more flex in the lead knee", "{} less flex in the lead knee",
                         "{} too much flex in the lead knee", "{} too little flex in the lead knee"),
    "trail_flex_change": ("{} more flex in the trail knee", "{} less flex in the trail knee",
                          "{} too much flex in the trail knee", "{} too little flex in the trail knee"),
    "sway": ("the hips {} farther from the target", "the hips {} nearer to the target",
             "{} too much sway away from the target", "{} too much sway toward the target"),
    "hips_toward_ball": ("the hips {} nearer to the ball", "the hips {} farther from the ball",
                         "{} too much of the hips toward the ball", "{} too much of the hips away from the ball"),
}  # fmt: skip
"""More and less of a piece, too much and too little of it, by hand."""


@pytest.mark.parametrize("piece", MORE_AND_TOO_MUCH)
def test_more_and_too_much_of_every_piece_is_called_what_it_is(piece: str) -> None:
    unit = "cm" if piece in ("sway", "hips_toward_ball") else "deg"
    amounts = {value: f"{value} cm" if unit == "cm" else f"{value}°" for value in (9.1, 6.2)}
    whole = "9.1 cm" if unit == "cm" else "9°"
    for sign, more, too_much in zip((1, -1), MORE_AND_TOO_MUCH[piece][:2], MORE_AND_TOO_MUCH[piece][2:], strict=True):
        report = BY_FILM.replaced(
            piece=piece, unit=unit, held_back=True, missing=BY_FILM.missing.replaced(mean=sign * 6.2),
            feel=DOSE.replaced(amount=sign * 9.1), stands=amount(sign * 6.2, 0, 1),
        )  # fmt: skip
        missing, _, held, ask, sure = told(report)
        assert f"included: {more.format(amounts[6.2])} (90 %" in missing
        assert f"by the films so far there is {too_much.format(amounts[6.2])}, if " in held
        assert ask.startswith(f"Ask next for this feel: {more.format(whole)}")
        way = " ".join(more.format("").split())
        assert sure.startswith(f"{way[0].upper()}{way[1:]}: that this is the right way")
        eased = INSTEAD.replaced(piece=piece, unit=unit, stands=amount(sign * 6.2, 0, 1))
        assert f"({too_much.format(amounts[6.2])} by now), so ease it" in told(report.replaced(instead=eased))[4]


def test_less_is_asked_for_where_more_would_make_a_fault_and_little_help_is_said() -> None:
    held = BY_FILM.replaced(held_back=True, wanted=-1.6)
    assert told(held)[2:4] == [
        "No more than 1.6 cm of that is asked for: by the films so far there is 1.9 cm too much sway away from the "
        "target, if sway was at fault at all, and more would make a fault of its own.",
        f"Ask next for this feel: {ASK}",
    ]
    hardly = BY_FILM.replaced(hardly_helps=True)
    lead = "It would hardly help: with all of it the head would be 1.2 cm off in place of 3.4 cm"
    assert told(hardly)[2:4] == [
        f"{lead}, so ask turnstill diagnose first which piece moved it.",
        f"If this is to be felt all the same, ask for this: {ASK}",
    ]
    assert told(hardly.replaced(instead=INSTEAD))[2::2] == [f"{lead}.", EASE]
    deaf = NEXT.replaced(feel=DOSE.replaced(amount=None), expected=None, answers=False)
    assert told(deaf)[2:] == [
        "The films do not show that this feel of sway brings any of it, so more of the same is no answer: try another "
        "feel for it, or check the signs in the record."
    ]
    assert told(NEXT.replaced(way_sure=0.995))[-1].endswith("is over 99% sure.")
    assert told(NEXT.replaced(way_sure=0.99))[-1].endswith("is 99% sure.")
    assert told(NEXT.replaced(way_sure=0.8))[-1].endswith("is 80% sure.")
    assert told(NEXT.replaced(way_sure=0.79))[-1] == (
        "The hips nearer to the target: that this is the right way is only 79% sure; such a film hardly differs from "
        "one with nothing missing, so film a few more swings first."
    )


def test_warnings_are_told_from_their_own_numbers() -> None:
    far = (
        "Even with that made up for the head would be 2.1 cm off face-on: another piece than this has moved it as well"
    )
    past = [FILM, FILM.replaced(date="2025-03-09", past_goal_probability=0.86)]
    report = BY_FILM.replaced(off_then_cm=2.1, past_films=past, surprising=[4])
    overdone, beyond, surprise = next_warnings(report)
    assert overdone == (
        "The last 2 films (2025-03-08 and 2025-03-09) went past the goal (probability 86% on the last): the feel of "
        "sway is overdone by now, so ease it."
    )
    assert beyond == f"{far}, which turnstill diagnose can look for."
    assert surprise.startswith("Entry 4 is far from what all the others expect of it; check its sign, unit and reading")
    for quiet in ({"off_then_cm": 2.0}, {"hardly_helps": True}, {"in_still_band": True}, {"off_then_cm": None}):
        assert far[:9] not in " ".join(next_warnings(report.replaced(**quiet)))
    assert "0.83 in off" in next_warnings(report, inches=True)[1]
    (away,) = show_warnings([FILM.replaced(was_short_before=False)], [])
    assert away == (
        "The last film (2025-03-08) went away from the goal (probability 77% on the last): the feel of sway asked for "
        "goes the wrong way for this head, so turn it round or work on another piece."
    )
    assert response_sentence(RESPONSES[0]) == (
        "Of a degree felt in extension this golfer gets about 0.44 (90 % between 0.12 and 0.71; 2 films of it)."
    )
    none = RESPONSES[0].replaced(films=0)
    lead = "No film tells yet what this golfer gets of a feel of extension: 0.44 of it (90 % between 0.12 and 0.71) is "
    lead += "taken"
    assert response_sentence(none) == f"{lead}, and it rests on 1 film of other pieces and on an assumption."
    assert response_sentence(none.replaced(films_of_other_pieces=0)) == f"{lead}, and that is an assumption."


def test_at_most_four_sentences_before_the_first_chart_and_the_rest_after_it() -> None:
    text = record_page(SHOWN, BY_FILM.replaced(sentences=told(BY_FILM), off_then_cm=2.1))
    document = page(text)
    short = [words(line) for line in document.xpath("//section[@class='short']/p")]
    assert short == [
        "On the last film of the head, of 2025-04-20, it was 2.3 cm higher, 1.1 cm nearer to the target and 0.4 cm "
        "farther from the ball; on the first, of 2025-03-01, 6.1 cm farther from the target and 0.7 cm higher.",
        "first warning.",
        f"Ask next for this feel: {ASK}".replace("between -", "between −"),
        "A feel is for slow practice swings: stop with pain, and never force a range to reach an amount.",
    ]
    assert words(document.xpath("//p[@class='who']")[0]) == "4 entries from 2025-03-01 to 2025-04-20."
    after = text.split('<svg class="chart"')[-1]
    assert "second warning." in after and "something taken." in after and "clinician" in after
    sections = {words(s.xpath("./h2")[0]): words(s) for s in document.xpath("//section[h2]")}
    following = sections["The next feel of sway"].replace("−", "-")
    assert OFF in following and SURE in following and "Even with that made up for" in following
    # What the golfer gets stands once, beside its chart.
    assert OF_SWAY not in following and OF_SWAY in sections["What this golfer gets of a feel"].replace("−", "-")
    eased = words(page(record_page(SHOWN, BY_FILM.replaced(instead=INSTEAD))).xpath("//section[@class='short']/p")[2])
    assert eased.replace("−", "-") == EASE
    legend = words(document.xpath("//ul[@class='signs']")[0])
    assert "a still head: within 0.3 cm of its place" in legend and "went past the goal" in legend
    calm = record_page(SHOWN.replaced(films=[film.replaced(past_goal_probability=0.4) for film in FILMS]))
    assert "went past the goal" not in calm.split("</style>")[1]


def test_what_is_assumed_is_told_in_its_own_unit() -> None:
    """4 degrees and 1 cm of reading a film, 2 degrees and 0.75 cm from swing to swing, 15 degrees or 6 cm at most."""
    read, most = ASSUMPTIONS[1], ASSUMPTIONS[2]
    assert "within 4° or 1 cm" in read and "scatters by 2° or 0.75 cm" in read
    degrees, length = (f"{to_border(unit, dose.FEEL_CAP[unit]):g}" for unit in ("deg", "cm"))
    assert degrees != length and f"above {degrees}° or {length} cm" in most
