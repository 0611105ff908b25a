"""Every sentence of a diagnosis, from reports whose numbers are all different."""

from __future__ import annotations

import pytest
from diagnosis_reports import PIECES, made, said

from turnstill.scenes.diagnose import words
from turnstill.scenes.diagnose.page import diagnose_page
from turnstill.scenes.diagnose.report import DiagnosisReport
from turnstill.scenes.diagnose.table import diagnose_table
from turnstill.scenes.words.units import percent

QUIET: dict = {"feel": None, "measure_next": None}


def with_pieces(probability: float, **given: object) -> DiagnosisReport:
    """A report whose pieces are all as probable as that."""
    report = made(**given)
    return report.replaced(each_piece=[one.replaced(probability=probability) for one in report.each_piece])


def departed(report: DiagnosisReport, **amounts: tuple[float, float]) -> DiagnosisReport:
    """So much of some pieces from what holds the head, and from the centred turn; nothing of the others."""
    each = []
    for one in report.departures:
        held, centred = amounts.get(one.piece, (0.0, 0.0))
        each.append(one.replaced(from_what_holds_the_head=held, from_centred=centred))
    return report.replaced(departures=each)


@pytest.mark.parametrize(
    ("piece", "more", "less"),
    [
        *((piece, "more", "less") for piece in ("hip_turn", "shoulder_turn", "tilt", "extension")),
        ("lead_flex_change", "more bent", "less bent"),
        ("trail_flex_change", "more bent", "less bent"),
        ("sway", "farther from the target", "nearer to the target"),
        ("hips_toward_ball", "nearer to the ball", "farther from the ball"),
    ],
)
def test_a_departure_is_told_with_its_side(piece: str, more: str, less: str) -> None:
    for value in (0.4, 6.2):
        assert words.sided(piece, value, "deg", False) == f"{value}° {more}"
        assert words.sided(piece, -value, "deg", False) == f"{value}° {less}"
    assert words.sided(piece, 5.08, "cm", True) == f"2.00 in {more}"


@pytest.mark.parametrize(
    ("probability", "told"),
    [(0.0, "under 1%"), (0.0099, "under 1%"), (0.01, "1%"), (0.474, "47%"), (0.99, "99%"), (0.9901, "over 99%")],
)
def test_nothing_is_told_to_be_certain(probability: float, told: str) -> None:
    assert percent(probability) == told


def test_unless_inches_are_asked_for_all_is_in_centimetres() -> None:
    report = made()
    for told in (words.sentences, words.leading, words.further, diagnose_page, diagnose_table):
        assert told(report) == told(report, inches=False) != told(report, inches=True), told


def test_the_pieces_of_the_largest_departure_are_named_and_counted() -> None:
    assert said(made(), "departs furthest") == (
        "Most probably sway departs furthest; with 90 % it is that or one of these: tilt and trail knee."
    )
    assert said(made(candidates=["tilt"]), "departs furthest") == (
        "With 90 % or more the piece that departs furthest is tilt."
    )
    assert said(made(candidates=list(PIECES)), "departs furthest") == (
        "Most probably hip turn departs furthest, but these readings leave room for any other piece to."
    )
    quiet = with_pieces(0.29, **QUIET)
    assert said(quiet, "departs furthest") == (
        "Whichever departs furthest is, with 90 %, one of these: sway, tilt and trail knee."
    )
    every = quiet.replaced(candidates=list(PIECES))
    assert not any("departs furthest" in line for line in words.sentences(every))


@pytest.mark.parametrize(
    ("turned", "held", "centred", "told"),
    [
        (-20.4, -0.3, -7.5, True),
        (-1.0, 2.0, 1.0, True),  # Just worth a word, both.
        (-0.9, -0.3, -7.5, False),
        (20.4, -0.3, -7.5, False),
        (-20.4, -0.3, -1.2, False),
        (-20.4, -7.5, 0.3, False),
    ],
)
def test_less_extension_is_no_fault_where_the_turn_is_short_and_needs_less(
    turned: float, held: float, centred: float, told: bool
) -> None:
    for probability, head_still in ((0.29, False), (0.29, True), (0.31, False)):
        report = departed(
            with_pieces(probability, head_still=head_still), shoulder_turn=(5.5, turned), extension=(held, centred)
        )
        lines = [line for line in words.sentences(report) if "no fault" in line]
        if told and probability < 0.3:
            assert lines == [
                f"The shoulders turned about {-turned:.0f}° less than in the centred turn, and so short a turn needs "
                f"about {held - centred:.0f}° less extension to hold the head: that is no fault of extension."
            ]
        else:
            general = "A short turn with a still head needs less extension than a full one; that is no fault."
            assert lines == [general] * head_still


def test_where_no_piece_stands_out_the_highest_probability_is_told_and_what_moved_the_head() -> None:
    report = with_pieces(0.13, likeliest_at_fault=[], **QUIET)
    report = report.replaced(each_piece=[report.each_piece[0].replaced(probability=0.24), *report.each_piece[1:]])
    sds = {one.piece: one.not_at_fault_sd for one in report.each_piece}
    moved = departed(
        report,
        sway=(-0.9 * sds["sway"], 40.0), tilt=(0.6 * sds["tilt"], 41.0), hip_turn=(0.49 * sds["hip_turn"], 42.0),
        shoulder_turn=(1.4 * sds["shoulder_turn"], 43.0), extension=(-0.7 * sds["extension"], 44.0),
        hips_toward_ball=(-1.1 * sds["hips_toward_ball"], 45.0),
    )  # fmt: skip
    assert said(moved, "stands out") == (
        f"No piece stands out: none is at fault with more than 24%, and that nothing is at fault has "
        f"{report.nothing_at_fault:.0%}."
    )
    assert said(moved, "hardly larger") == (
        "Most probably the head went there by departures hardly larger than everybody's: "
        f"shoulder turn {1.4 * sds['shoulder_turn']:.1f}° more, "
        f"hips toward ball {1.1 * sds['hips_toward_ball']:.1f} cm farther from the ball, "
        f"sway {0.9 * sds['sway']:.1f} cm nearer to the target and extension {0.7 * sds['extension']:.1f}° less."
    )
    for quiet in (departed(report), moved.replaced(head_still=True), moved.replaced(likeliest_at_fault=["tilt"])):
        assert not any("hardly larger" in line for line in words.sentences(quiet))


def test_where_the_head_is_is_told_of_what_was_read_of_it() -> None:
    report = made()
    read = {one.reading: one for one in report.readings}

    def at(**heads: float) -> DiagnosisReport:
        shown = [read[f"head_{name}"].replaced(value=value) for name, value in heads.items()]
        return report.replaced(readings=[*shown, read["hip_turn"]])

    assert said(at(toward_target=-6.3, up=0.7, toward_ball=2.4), "At the top") == (
        "At the top the head is 6.3 cm farther from the target, 2.4 cm nearer to the ball and 0.7 cm higher than at "
        "address."
    )
    assert said(at(up=-2.54), "At the top", inches=True) == (
        "At the top the head is 1.00 in lower than at address (toward the ball and toward the target not read)."
    )
    still = [read["head_up"].replaced(value=0.2, sd=0.8), read["head_toward_target"].replaced(value=0.1, sd=1.3)]
    assert said(report.replaced(readings=still, head_still=True), "did not move") == (
        "The head did not move, as far as it was read (toward the target and up): it is no further from its place than "
        "reading may be off, 1.3 cm."
    )
    without = report.replaced(readings=[read["hip_turn"]])
    assert not any("the head is" in line and "than at address" in line for line in words.sentences(without))


def test_a_piece_is_told_with_its_amount_and_what_it_is_counted_from() -> None:
    report = made(**QUIET)
    by_name = {one.piece: one for one in report.each_piece}
    than = {"tilt": "holds the head for the turn that was made", "hip_turn": "in the turn of mine as it was set"}
    for piece, from_what in than.items():
        one, name = by_name[piece], PIECES[piece][0]
        assert said(report, f"{name.capitalize()} is at fault") == (
            f"{name.capitalize()} is at fault with a probability of {one.probability:.0%}; if so, by about "
            f"{one.most_likely:.1f}° more than {from_what} (90 % between {one.low:.1f}° more and {one.high:.1f}° more)."
        )
    centred = made(counted_from_centred=True, **QUIET)
    assert "more than in the centred turn (90 %" in said(centred, "Hip turn is at fault")
    knee = by_name["trail_flex_change"].replaced(probability=0.95)
    assert said(report.replaced(each_piece=[knee, *report.each_piece]), "Trail knee is") == (
        "Trail knee is at fault with a probability of 95%; if so, either way from the turn of mine as it was set "
        f"(90 % between {-knee.low:.1f}° less bent and {knee.high:.1f}° more bent)."
    )
    unknown = [one.replaced(low=None) if one.piece == "tilt" else one for one in report.each_piece]
    assert said(report.replaced(each_piece=unknown), "Tilt is").endswith("; if so, by how much cannot be told.")


def test_at_most_four_pieces_are_told_and_only_those_worth_a_word() -> None:
    def told(report: DiagnosisReport) -> list[str]:
        lines = [line for line in words.sentences(report) if " is at fault with a probability" in line]
        return [line.split(" is at fault")[0].lower() for line in lines]

    assert told(with_pieces(0.31, **QUIET)) == [name for name, _ in PIECES.values()][:4]
    assert told(with_pieces(0.29, **QUIET)) == []
    assert told(with_pieces(0.29)) == ["sway"], "the feel's own is always told"
    assert sorted(told(with_pieces(0.31))) == sorted([*[name for name, _ in PIECES.values()][:4], "sway"])


def test_what_to_do_and_where_the_head_would_then_be() -> None:
    report = made()
    change = report.feel.alone_it_would_change.replaced(
        head_toward_ball_cm=0.2, head_toward_target_cm=-4.1, head_up_cm=2.6
    )
    feel = report.feel.replaced(alone_it_would_change=change)
    own = "everything else as it was, tilt and extension in degrees included"
    assert said(report.replaced(feel=feel), "By itself") == (
        f"By itself, {own}, it would bring the head 4.1 cm farther from the target and 2.6 cm higher; there would then "
        "be 6.2° less tilt and 7.3° more extension than holds the head."
    )
    still = change.replaced(head_toward_target_cm=0.2, head_up_cm=-0.2)
    quiet = feel.replaced(alone_it_would_change=still, leaves_tilt_deg=0.9, leaves_extension_deg=-0.9)
    assert said(report.replaced(feel=quiet), "By itself") == f"By itself, {own}, it would hardly move the head."
    trunk = feel.replaced(piece="tilt", unit="deg", brings_head_back_cm=0.29)
    assert "holds the head" not in said(report.replaced(feel=trunk), "By itself")
    assert said(report.replaced(feel=trunk), "31.7°") == (
        f"The head is no reason to change tilt; if it is to be changed: 31.7° {feel.what}: {feel.do}."
    )
    sway = feel.replaced(brings_head_back_cm=0.29)
    assert said(report.replaced(feel=sway), "31.7 cm").startswith(
        "The head is no reason to change sway, which tilt and extension can hold all the same; if it is to be changed: "
    )
    assert said(report.replaced(feel=feel.replaced(brings_head_back_cm=0.3)), "31.7 cm").startswith("What to do: ")


def test_a_head_that_is_hardly_explained_is_the_one_reason_for_no_feel() -> None:
    """What is likeliest, and what was read, each with its way; and what might be read beside it."""
    for moment in ("top", "impact"):
        quiet = made(moment=moment, feel=None, likeliest_at_fault=[], doubted="head_up")
        report = quiet.replaced(
            readings=[
                one.replaced(value=-3.4, most_probable=-1.2) if one.reading == "head_up" else one
                for one in quiet.readings
            ]
        )
        first, *rest = words.sentences(report)
        assert first == (
            "No feel is advised on these readings: what they make likeliest would have the head 1.2 cm lower, and it "
            "was read 3.4 cm lower than at address. Several pieces by a little each, something that is no piece or a "
            "slip of reading may have done the rest: read head up (either view) on another film, and hip turn (either "
            "view) beside it, and ask again."
        )
        # Not in a second way, nor that small departures took the head to where it hardly is by them.
        assert not any("No feel" in line or "ask again" in line or "hardly larger" in line for line in rest)
        assert "0.47 in lower, and it was read 1.34 in lower" in words.sentences(report, inches=True)[0]
        alone = words.sentences(report.replaced(measure_next=None))[0]
        assert alone.endswith("read head up (either view) on another film, and ask again.")
        past = report.replaced(
            readings=[
                one.replaced(value=0.1, most_probable=2.6) if one.reading == "head_up" else one
                for one in report.readings
            ]
        )
        assert "2.6 cm higher, and it was read within 0.3 cm of its place. Several" in words.sentences(past)[0]


def test_at_impact_what_film_cannot_show_may_still_be_fat_or_thin() -> None:
    strike = "may still be enough to be fat or thin, and turnstill strike says what a swing does."
    for moment, told in (("impact", True), ("top", False)):
        quiet = with_pieces(0.13, moment=moment, likeliest_at_fault=[], **QUIET)
        for report in (quiet, quiet.replaced(head_still=True)):
            assert said(report, "No piece stands out").endswith(strike) == told
            assert any(strike in line for line in words.leading(report)) == told, "not folded away"
        assert not any(strike in line for line in words.sentences(made(moment=moment)))


def test_why_no_feel_is_given() -> None:
    report = made(feel=None, measure_next="trail_knee_flex", doubt_removed_by_next=0.37)
    assert said(report, "No feel") == (
        "No feel is advised on these readings: first read trail knee flexion (down the line), which would take away "
        "about 37% of the doubt between the candidates, and ask again."
    )
    assert said(report.replaced(measure_next=None), "No feel") == (
        "No feel is advised on these readings: no one further reading would settle it, so read what is still unread, "
        "read each twice to make it surer, or film a few more swings."
    )
    lone = report.replaced(readings=report.readings[8:9])
    assert said(lone, "No feel") == (
        "No feel is advised on one reading alone, since nothing checks it: read trail knee flexion too (down the "
        "line), which would take away about 37% of the doubt, and ask again."
    )
    assert said(lone.replaced(doubt_removed_by_next=0.09), "No feel").endswith(
        "read trail knee flexion too (down the line), and ask again."
    )
    assert said(lone.replaced(measure_next=None), "No feel").endswith(
        "nothing checks it: read where the head went too (toward the ball, toward the target and up), and ask again."
    )
    assert said(lone, "before any film") == (
        "Of the rest this one reading (shoulder turn) tells little: most other pieces keep about the probability they "
        "had before any film."
    )
    unlike = with_pieces(0.29, feel=None, readings=report.readings[8:9])
    against = [one.replaced(probability=0.04) if one.piece in ("tilt", "sway") else one for one in unlike.each_piece]
    assert said(unlike.replaced(each_piece=against), "before any film") == (
        "One reading alone (shoulder turn) tells little: it speaks against a fault of tilt and sway, and most other "
        "pieces keep about the probability they had before any film."
    )
    assert not any("departs furthest" in line for line in (*words.sentences(lone), *words.sentences(unlike)))
    assert not any("before any film" in line for line in words.sentences(report))
    aimed = report.replaced(withheld=["tilt", "hips_toward_ball"])
    assert said(aimed, "No feel") == (
        "No feel is given of tilt and hips toward ball: the opposite would lead back to what mine aims at, which is a "
        "fault by itself."
    )
    still = with_pieces(0.29, head_still=True, **QUIET)
    nothing = (
        "No feel is advised on these readings: nothing needs changing that they can show; film again after a while."
    )
    assert said(still, "No feel") == nothing
    assert not any("departs furthest" in line for line in words.sentences(still))
    for other in (still.replaced(head_still=False), with_pieces(0.3, head_still=True, **QUIET)):
        assert said(other, "No feel") != nothing
        assert any("departs furthest" in line for line in words.sentences(other))


def test_what_is_told_first_is_not_told_again() -> None:
    report = made()
    first, rest, every = words.leading(report), words.further(report), words.sentences(report)
    feel = report.feel
    film = [f"Face-on, {feel.face_on}; down the line, {feel.down_the_line}.", feel.check]
    assert len(first) == 4 and every[:4] == first
    assert sorted([*first, *rest, *film]) == sorted(every)
