"""What a comparison says, word by word, of swings whose numbers are all different: whose, how much, and which way."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from compared import cause, side

from turnstill.scenes.compare.causes import head_at_top
from turnstill.scenes.compare.hip_room import HipRoomReport, more_sentence, room_sentence
from turnstill.scenes.compare.words import matters_to_hips, sentences, strays

NAMES = ("A", "B")
STAYS = "everything else as it was, tilt and extension in degrees included"
FIRST = side((0.1, -0.1, 0.2))
LATER = side((3.2, -1.8, -3.9), asked={"tilt": 47.5}, inclination=(35.2, 17.3))
TILT = cause("tilt", (47.5, 37.5, 38.5), (0.1, 0.0, 0.15), 5.2)


def test_heads_then_why_then_the_trunk() -> None:
    assert sentences(FIRST, LATER, NAMES, [TILT]) == [
        "In A the head stays still from face-on (within 0.5 cm); in B the head ends the backswing 3.9 cm lower, 3.2 cm "
        "nearer to the ball and 1.8 cm farther from the target than at address.",
        "Why B differs: tilt is 47.5° (A has 37.5°), 10° more than would keep this head still. With 38.5° instead, "
        f"{STAYS}, the head would end where it does in A.",
        "Seen down the line, the trunk's inclination goes from 33° to 22° in A and from 35° to 17° in B.",
    ]


def test_two_causes_are_told_one_at_a_time_the_rest_not() -> None:
    found = [
        cause("sway", (4.25, 0.0, 0.0), (1.0, 2.0, -3.0), 4.0, "cm"),
        cause("extension", (22.3, 30.0, 27.5), (0.1, -1.5, 0.0), 2.0),
        cause("hip turn", (50.0, 45.0, 45.0), (0.0, 0.0, 0.0), 1.0),
    ]
    later = side((3.2, -1.8, -3.9), asked={"extension": 22.3, "sway": 4.25})
    told = sentences(FIRST, later, NAMES, found)[1]
    assert told == (
        "Why B differs, one thing at a time: sway is 4.2 cm (A has 0.0 cm). With 0.0 cm instead, "
        f"{STAYS}, the head would end 3.0 cm lower, 2.0 cm nearer to the target and 1.0 cm nearer to the ball. "
        "Extension is 22.3° (A has 30.0°), 8° less than would keep this head still. With 27.5° instead, the head would "
        "end 1.5 cm farther from the target."
    )
    assert sentences(FIRST, later, NAMES, found, inches=True)[1].startswith(
        "Why B differs, one thing at a time: sway is 1.67 in (A has 0.00 in). With 0.00 in instead"
    )


@pytest.mark.parametrize(("part", "told"), [(0.81, True), (0.79, False)])
def test_a_cause_that_does_a_fifth_of_the_main_one_is_told_a_lesser_one_not(part: float, told: bool) -> None:
    found = [TILT, cause("hip turn", (50.0, 45.0, 45.0), (0.0, 0.0, 2.0), part * 5.2 / 4.0)]
    assert ("ip turn is 50.0°" in sentences(FIRST, LATER, NAMES, found)[1]) == told


def test_another_body_is_put_back_as_a_whole() -> None:
    body = cause("the body", None, (0.0, 0.0, 2.0), 3.0)
    assert sentences(FIRST, LATER, NAMES, [body])[1] == (
        f"Why B differs: the body is not that of A. With that body, {STAYS}, the head would end 2.0 cm higher."
    )


def test_where_nothing_moves_the_head_on_its_own_all_is_told() -> None:
    found = [cause("tilt", (39.5, 37.5, 37.5), (0, 0, 0), 0.29), cause("hip turn", (50.0, 45.0, 45.0), (0, 0, 0), 0.1)]
    assert sentences(FIRST, LATER, NAMES, found)[1] == (
        "None of what was asked differently moves the head much on its own: tilt is 39.5° (A has 37.5°) and hip "
        "turn is "
        "50.0° (A has 45.0°)."
    )


@pytest.mark.parametrize(("asked", "told"), [(38.4, ""), (38.6, ", 1° more than"), (36.4, ", 1° less than")])
def test_a_departure_below_a_degree_is_not_worth_a_word(asked: float, told: str) -> None:
    later = side((3.2, -1.8, -3.9), asked={"tilt": asked})
    said = sentences(FIRST, later, NAMES, [TILT])[1].split(". With")[0]
    assert said.endswith("(A has 37.5°)") if not told else told in said


def test_what_the_body_did_not_allow_is_told_of_each() -> None:
    first = side((0.1, -0.1, 0.2), asked={"hip_turn": 60.0}, achieved={"hip_turn": 51.25, "pelvis_bend": 40.0})
    later = side(
        (3.2, -1.8, -3.9), asked={"sway": 5.0, "tilt": 47.5}, achieved={"sway": 3.5, "tilt": 46.4, "extension": 29.1}
    )
    told = sentences(first, later, NAMES, [TILT])
    assert told[2:4] == [
        "This body does not allow all of A; it gets 51.2° of hip turn where 60.0° were asked.",
        "This body does not allow all of B; it gets 46.4° of tilt where 47.5° were asked and 3.5 cm of sway where "
        "5.0 cm was asked.",
    ]
    assert sentences(first, later, NAMES, [TILT], both=False)[2:3] == told[3:4]
    assert "1.38 in of sway where 1.97 in was asked" in sentences(first, later, NAMES, [TILT], inches=True)[3]


def room(name: str, turn: float, *stopped: str) -> HipRoomReport:
    bend = {"A": 38.4, "B": 21.7}[name]
    return HipRoomReport(swing=name, most_hip_turn_deg=turn, stopped_by=list(stopped), trunk_bend_deg=bend)


ROOMS = [room("A", 61.3, "lead_hip_flexion"), room("B", 52.6, "trunk", "girdle")]
SAME_HEAD = side((0.2, -0.1, 0.2), asked={"tilt": 47.5}, inclination=(35.2, 17.3))


def test_the_hip_turn_there_is_leads_where_the_heads_are_the_same() -> None:
    told = sentences(FIRST, SAME_HEAD, NAMES, [TILT], ROOMS)
    assert told == [
        "With the knees and the place of the pelvis as asked, the hips could turn at most 61° in A (where lead hip "
        "flexion would stop them) and 53° in B (where trunk and girdle would stop them).",
        "Take that as a ceiling, not as what people reach: 20 men (feet and knees not told) turned the pelvis at "
        "most about 64° standing upright and 38° with the trunk bent 45° (Montgomery et al. 2011); here it is bent 22° "
        "to 38° at address.",
        "The two heads end in the same place (within 0.3 cm), although tilt is 47.5° (A has 37.5°).",
        "Seen down the line, the trunk's inclination goes from 33° to 22° in A and from 35° to 17° in B.",
    ]
    assert "(within 0.12 in)" in sentences(FIRST, SAME_HEAD, NAMES, [TILT], ROOMS, True)[2]
    between = sentences(FIRST, LATER, NAMES, [TILT], ROOMS)
    assert [line[:14] for line in between] == [
        "In A the head ", "Why B differs:", "With the knees", "Take that as a", "Seen down the ",
    ]  # fmt: skip


def test_what_changes_nothing_is_told_in_one_line() -> None:
    same = side((0.2, -0.1, 0.2), inclination=(33.5, 21.5))
    near = [room("A", 61.3, "trunk"), room("B", 61.9, "trunk")]
    found = [cause("lead flare", (21.0, 20.0, 20.0), (0, 0, 0), 0.0)]
    told = "Lead flare is 21.0° (A has 20.0°), which moves neither the head nor the trunk's inclination noticeably"
    assert sentences(FIRST, same, NAMES, found) == [f"{told}."]
    assert sentences(FIRST, same, NAMES, found, near) == [f"{told}, nor the hip turn there is."]
    far = [near[0], room("B", 62.4, "trunk")]
    assert len(sentences(FIRST, same, NAMES, found, far)) == 4
    # Another inclination at either end, or something the body did not allow, is worth more than that line.
    for inclination in ((34.5, 21.5), (33.5, 20.5)):
        assert len(sentences(FIRST, side((0.2, -0.1, 0.2), inclination=inclination), NAMES, found)) == 2
    short = side((0.2, -0.1, 0.2), achieved={"tilt": 30.0}, inclination=(33.5, 21.5))
    assert len(sentences(FIRST, short, NAMES, found)) == 3


def test_nothing_asked_differently_is_told_first() -> None:
    alike = ["B was asked for just what A was, so nothing differs at the top."]
    assert sentences(FIRST, LATER, NAMES, []) == alike
    at_the_ball = replace(LATER, setup=replace(LATER.setup, values={"impact": {"tilt": -3.0}}))
    assert sentences(FIRST, at_the_ball, NAMES, []) == [
        *alike, "What they are asked at impact differs: turnstill strike says what that does.",
    ]  # fmt: skip


def test_a_head_wanted_elsewhere_is_not_said_to_differ_in_nothing() -> None:
    setup = replace(LATER.setup, values={**LATER.setup.values, "head": {"toward_target_cm": -1.8}}, timing={"tilt": ()})
    told = sentences(FIRST, replace(LATER, setup=setup), NAMES, [])
    assert told[0] == (
        "B has the body, address and pieces of A; asked otherwise: the place of the head and the timing."
    )
    assert "in B the head ends the backswing 3.9 cm lower" in told[1] and len(told) == 3


@pytest.mark.parametrize(("apart", "told"), [(0.29, "Tilt is"), (0.31, "In A the head")])
def test_heads_less_than_three_millimetres_apart_end_in_the_same_place(apart: float, told: str) -> None:
    first, later = side((0.0, 0.0, 0.0)), side((0.0, 0.0, apart))
    assert sentences(first, later, NAMES, [TILT])[0].startswith(told)


def test_a_head_is_still_by_what_it_does_seen_face_on() -> None:
    """Toward the ball is not seen face-on; what strays on the way counts, what ends elsewhere is told."""

    def told(head: tuple[float, float, float], way: tuple[float, float, float] = (0.0, 0.0, 0.0)) -> str:
        return sentences(side(head, on_the_way=way), side((30.0, 0.0, 0.0)), NAMES, [TILT])[0].split(";")[0]

    still = "In A the head stays still from face-on (within 0.5 cm)"
    assert told((0.1, 0.0, 0.1)) == still
    assert told((2.0, 0.0, 0.1)) == f"{still} and ends 2.0 cm nearer to the ball than at address"
    assert told((0.1, 0.0, 0.1), (0.0, 0.4, 0.4)) == "In A the head ends the backswing within 0.3 cm of its place"
    assert told((0.1, 0.0, 0.6)) == "In A the head ends the backswing 0.6 cm higher than at address"
    inches = sentences(side((0, 0, 0)), LATER, NAMES, [TILT], inches=True)[0]
    assert "(within 0.20 in)" in inches and "1.54 in lower" in inches
    strayed = side((9.0, 1.0, 2.0), on_the_way=(7.0, 3.0, -4.0)).swing
    assert strays(strayed) == pytest.approx(5.0)
    np.testing.assert_allclose(head_at_top(strayed), [9.0, 1.0, 2.0])


@pytest.mark.parametrize(
    ("name", "matters"),
    [("hip turn", False), ("shoulder turn", False), ("tilt", False), ("extension", False), ("ball position", False),
     ("club length", False), ("sway", True), ("lead flare", True), ("the body", True), ("lead flex change", True)],
)  # fmt: skip
def test_what_cannot_change_the_hip_turn_there_is(name: str, matters: bool) -> None:
    assert matters_to_hips([cause("tilt", None, (0, 0, 0), 1.0), cause(name, None, (0, 0, 0), 1.0)]) == matters
    assert not matters_to_hips([])


def test_the_most_hip_turn_of_two_swings() -> None:
    lead = "With the knees and the place of the pelvis as asked, the hips could turn at most"
    both = [room("A", 61.3, "trunk", "girdle"), room("B", 52.6, "trunk", "girdle")]
    assert room_sentence(both) == f"{lead} 61° in A and 53° in B; there trunk and girdle would stop both."
    assert room_sentence([room("A", 61.3), room("B", 52.6)]) == f"{lead} 61° in A and 53° in B."
    assert room_sentence([room("A", 61.3), room("B", 52.6, "trunk")]) == (
        f"{lead} 61° in A and 53° in B (where trunk would stop them)."
    )
    assert more_sentence(both[1]) == (
        "Asked for more hip turn, knees and place of the pelvis as they are, trunk and girdle would stop the hips "
        "at 53°."
    )
    assert more_sentence(room("A", 61.3)) == "" and room("A", 1.0, "lead_hip_flexion").stops == "lead hip flexion"


def test_a_still_head_is_told_only_where_face_on_does_not_look() -> None:
    """0.4 cm of height are within the still band, though more than other words would pass over."""
    near = side((-1.2, 0.1, 0.4))
    heads = sentences(near, LATER, NAMES, [TILT])[0].split("; ")[0]
    assert heads == (
        "In A the head stays still from face-on (within 0.5 cm) and ends 1.2 cm farther from the ball than at address"
    )
    moved = side((-1.2, 0.1, 0.6))
    assert sentences(moved, LATER, NAMES, [TILT])[0].split("; ")[0] == (
        "In A the head ends the backswing 1.2 cm farther from the ball and 0.6 cm higher than at address"
    )
