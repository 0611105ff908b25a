"""What a diagnosis says to read next: one reading, and why where a pair of pieces needs another."""

from __future__ import annotations

from diagnosis_reports import READ, SHOWN, made, said

from turnstill.scenes.diagnose import words
from turnstill.scenes.diagnose.parts import ApartReport


def test_each_pair_that_cannot_be_told_apart_has_what_would_tell_it() -> None:
    pairs = [
        ApartReport(of=("sway", "tilt"), reading="belt_line_tilt", doubt_removed=0.42),
        ApartReport(of=("extension", "trail_flex_change"), reading=None, doubt_removed=0.03),
        ApartReport(of=("hip_turn", "shoulder_turn"), reading="head_up", doubt_removed=0.17),
        ApartReport(of=("lead_flex_change", "sway"), reading="hip_turn", doubt_removed=0.21),
        ApartReport(of=("tilt", "hip_turn"), reading="hip_turn", doubt_removed=0.11),
    ]
    told = [
        "These readings cannot tell sway from tilt; after hip turn, which is read first for all the candidates, belt "
        "line tilt would tell them apart best (about 42% of the doubt).",
        "These readings cannot tell extension from trail knee; no one further reading would tell them apart well.",
        "These readings cannot tell hip turn from shoulder turn; after hip turn, which is read first for all the "
        "candidates, head up would tell them apart best (about 17% of the doubt).",
    ]
    assert said(made(told_apart_by=pairs[:4]), "more such") == "There is 1 more such pair; the JSON lists them all."
    for count in range(4):
        report = made(told_apart_by=pairs[:count])
        assert [line for line in words.sentences(report) if "cannot tell" in line] == told[:count]
        assert not any("more such pairs" in line for line in words.sentences(report))
    assert [line for line in words.sentences(made(told_apart_by=pairs)) if "cannot tell" in line] == told
    assert said(made(told_apart_by=pairs), "more such") == "There are 2 more such pairs; the JSON lists them all."


def test_how_to_be_surer_and_what_comes_after_a_feel() -> None:
    for name, (view, _) in SHOWN.items():
        report = made(measure_next=name)
        assert said(report, "To be surer") == f"To be surer first, read {READ[name][0]} ({view}) and ask again."
    assert said(report, "One thing") == "One thing at a time: tilt is next, after a new film."
    more = report.replaced(feel=report.feel.replaced(then=["tilt", "hip_turn", "sway"]), measure_next=None)
    assert said(more, "One thing") == "One thing at a time: tilt, hip turn and sway are next, after a new film."
    none = more.replaced(feel=more.feel.replaced(then=[]))
    assert not any(part in line for line in words.sentences(none) for part in ("To be surer", "One thing"))


def pair(of: tuple[str, str], reading: str | None, doubt: float) -> ApartReport:
    return ApartReport(of=of, reading=reading, doubt_removed=doubt)


def test_a_reading_that_may_show_the_feel_to_be_of_the_wrong_piece_is_asked_for_before_it() -> None:
    doubted = pair(("tilt", "sway"), "head_toward_ball", 0.94)
    others = [pair(("tilt", "hip_turn"), "head_toward_ball", 0.92), pair(("tilt", "extension"), "hip_turn", 0.3)]
    report = made(told_apart_by=[others[0], doubted, others[1]])
    plain = made(told_apart_by=[])
    first = (
        "First read head toward the ball (down the line) and ask again: these readings cannot tell tilt from sway, and "
        "it would take away about 94% of the doubt between them."
    )
    assert words.leading(report) == [first, *words.leading(plain)], "nothing of the lead gives way to it, no caution"
    rest = words.further(report)
    assert [line for line in rest if "cannot tell" in line] == [
        "These readings cannot tell tilt from hip turn; head toward the ball would tell them apart best (about 92% of "
        "the doubt).",
        "These readings cannot tell tilt from extension; after head toward the ball, which is read first to tell tilt "
        "from sway, hip turn would tell them apart best (about 30% of the doubt).",
    ]
    assert not any("To be surer" in line for line in rest), "one reading is next, not two"
    assert not words.leading(report.replaced(fits=False))[0].startswith("First read")
    for quiet in (
        doubted.replaced(doubt_removed=0.5),
        doubted.replaced(of=("tilt", "hip_turn")),
        doubted.replaced(reading=None),
    ):
        assert words.leading(made(told_apart_by=[quiet])) == words.leading(plain)
        assert said(made(told_apart_by=[quiet]), "To be surer")


def test_an_answer_names_one_reading_to_make_next_or_says_why_two() -> None:
    both = [pair(("extension", "tilt"), "head_toward_ball", 0.17), pair(("tilt", "sway"), "head_up", 0.12)]
    for feel in ({"feel": None}, {}):
        report = made(told_apart_by=both, measure_next="head_toward_ball", **feel)
        assert said(report, "cannot tell extension from tilt").endswith(
            "tilt; head toward the ball would tell them apart best (about 17% of the doubt)."
        )
        other = report.replaced(measure_next="pelvis_toward_target")
        assert said(other, "cannot tell extension from tilt").endswith(
            "; after pelvis toward the target, which is read first for all the candidates, head toward the ball would "
            "tell them apart best (about 17% of the doubt)."
        )
        none = report.replaced(measure_next=None)
        assert "; head toward the ball would" in said(none, "cannot tell extension from tilt")
        assert "; after head toward the ball, which is read first to tell extension from tilt, head up" in said(
            none, "cannot tell tilt from sway"
        )
