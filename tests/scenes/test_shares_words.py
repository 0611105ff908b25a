"""What is said of shares, word for word, from numbers made for it."""

from __future__ import annotations

from typing import Any

import pytest
from distinct import filled

from turnstill.scenes.shares.report import PieceShare, SharesReport, StoppedCombination
from turnstill.scenes.shares.words import sentences, stopped_sentence, warnings

UNITS = {"sway": "cm", "hips_toward_ball": "cm"}
NAMES = ("hip_turn", "shoulder_turn", "tilt", "extension", "lead_flex_change", "trail_flex_change", *UNITS)
SPREAD = (
    "Counted from address like this, large shares cancel and a fault is spread over pieces that nobody changed; to "
    "find a fault, use --against steady."
)


def share(piece: str, place: tuple[float, float, float], asked: float = 20.0, held: float = 20.0) -> PieceShare:
    """Of a place toward ball, toward target, up."""
    ball, target, up = place
    return PieceShare(
        piece=piece, unit=UNITS.get(piece, "deg"), asked=asked, in_reference=held, head_toward_ball_cm=ball,
        head_toward_target_cm=target, head_up_cm=up, inclination_deg=77.0,
    )  # fmt: skip


def report(*changed: PieceShare, reference: str = "steady", **given: Any) -> SharesReport:
    own = {one.piece: one for one in changed}
    shares = [own.get(name, share(name, (0.0, 0.0, 0.0))) for name in NAMES]
    raw = filled(SharesReport, reference=reference, shares=shares, **given)
    ways = ("head_toward_ball_cm", "head_toward_target_cm", "head_up_cm")
    return raw.replaced(total=raw.total.replaced(**{way: sum(getattr(one, way) for one in shares) for way in ways}))


ONE = share("tilt", (3.1, 2.0, -4.0), 47.5, 37.5)
CASES = {
    "nothing": (
        (),
        "This swing asks for just what this golfer's centred turn does, so no piece moved the head from there.",
    ),
    "one": (
        (ONE,),
        "Tilt of 47.5° (centred: 37.5°) does all of it: it takes the head 4.0 cm lower, 3.1 cm nearer to the ball and "
        "2.0 cm nearer to the target than the centred turn does.",
    ),
    "one, hardly": (
        (share("hips_toward_ball", (0.2, -0.2, 0.2), 1.5, 0.0),),
        "Only hips toward ball of 1.5 cm (centred: 0.0 cm) differs from the centred turn, too little to move the head.",
    ),
    "two, hardly": (
        (share("sway", (0.2, -0.2, 0.2), 1.0, 0.0), share("tilt", (0.0, 0.29, 0.0), 30.0)),
        "2 pieces differ from the centred turn, each too little to move the head.",
    ),
    "two that cancel": (
        (share("sway", (0.0, -2.0, 0.0), 4.0, 0.0), share("extension", (0.0, 2.1, 0.0), 33.0, 29.5)),
        "The head ends within 0.3 cm of its place in the centred turn because what moves it cancels: extension of "
        "33.0° (centred: 29.5°) takes it 2.1 cm nearer to the target; sway of 4.0 cm (centred: 0.0 cm) takes it 2.0 cm "
        "farther from the target.",
    ),
    "four, and one that does little": (
        (
            share("hip_turn", (0.0, -5.0, 2.4), 35.0, 45.0),
            share("tilt", (4.0, 0.0, 2.0), 30.0, 37.2),
            share("lead_flex_change", (0.0, 0.0, 3.0), 5.0, 15.0),
            share("trail_flex_change", (0.0, 1.0, 0.0), 0.0, -12.0),
            share("sway", (0.0, 0.1, 0.1), 1.0, 0.0),
        ),
        "The head ends 7.5 cm higher, 4.0 cm nearer to the ball and 3.9 cm farther from the target than in the centred "
        "turn: hip turn of 35.0° (centred: 45.0°) takes it 5.0 cm farther from the target; tilt of 30.0° (centred: "
        "37.2°) takes it 4.0 cm nearer to the ball and 2.0 cm higher; lead flex change of 5.0° (centred: 15.0°) takes "
        "it 3.0 cm higher; trail knee and sway together 1.1 cm nearer to the target.",
    ),
    "one told and one left": (
        (share("tilt", (4.0, 0.0, 0.0), 30.0, 37.2), share("sway", (0.0, 0.1, 0.0), 1.0, 0.0)),
        "The head ends 4.0 cm nearer to the ball than in the centred turn: tilt of 30.0° (centred: 37.2°) takes it 4.0 "
        "cm nearer to the ball; sway less than 0.3 cm.",
    ),
}  # fmt: skip


@pytest.mark.parametrize("case", CASES)
def test_departures_are_said_largest_first(case: str) -> None:
    changed, said = CASES[case]
    assert sentences(report(*changed)) == [said]


def test_departures_in_inches() -> None:
    assert sentences(report(ONE), inches=True) == [
        "Tilt of 47.5° (centred: 37.5°) does all of it: it takes the head 1.57 in lower, 1.22 in nearer to the ball "
        "and 0.79 in nearer to the target than the centred turn does."
    ]


HOLDING = (
    share("hip_turn", (9.0, -15.9, 9.0)),
    share("shoulder_turn", (9.0, 8.1, 9.0)),
    share("tilt", (9.0, 0.8, 9.0)),
    share("extension", (9.0, 2.1, 9.0)),
    share("lead_flex_change", (9.0, 3.3, 9.0)),
    share("trail_flex_change", (9.0, 1.6, 9.0)),
    share("sway", (9.0, -0.6, 9.0)),
    share("hips_toward_ball", (9.0, 0.2, 9.0)),
)


def test_what_holds_the_head_is_said_as_a_coach_would() -> None:
    assert sentences(report(*HOLDING, reference="turn")) == [
        "From face-on the hips' turn takes the head 15.9 cm away from the target, sway 0.6 cm the same way; the "
        "shoulders' turn about the spine's own axis 8.1 cm, the knees 4.9 cm, the extension added to that 2.1 cm and "
        "the tilt added to that 0.8 cm bring it back toward it. All together it ends 0.4 cm away from the target."
    ]
    assert sentences(report(*HOLDING, reference="address")) == [
        "From face-on the hips' turn takes the head 15.9 cm away from the target, sway 0.6 cm the same way; the "
        "shoulders' turn 8.1 cm, the knees 4.9 cm, extension 2.1 cm and tilt 0.8 cm bring it back toward it. All "
        "together it ends 0.4 cm away from the target.",
        SPREAD,
    ]


def test_what_holds_the_head_the_other_way_and_alone() -> None:
    knees = (share("lead_flex_change", (0.0, 2.0, 0.0)), share("trail_flex_change", (0.0, 1.0, 0.0)))
    assert sentences(report(*knees, share("tilt", (0.0, -0.5, 0.0)), reference="turn")) == [
        "From face-on the knees take the head 3.0 cm toward the target; the tilt added to that 0.5 cm brings it back. "
        "All together it ends 2.5 cm toward the target."
    ]
    assert sentences(report(*knees, share("hips_toward_ball", (0.0, -3.1, 0.0)), reference="turn")) == [
        "From face-on hips toward ball takes the head 3.1 cm away from the target; the knees 3.0 cm bring it back "
        "toward it. All together it ends where it was."
    ]
    assert sentences(report(share("tilt", (5.0, 0.29, 5.0)), reference="turn")) == [
        "From face-on, no piece takes the head anywhere along the target line."
    ]


def test_a_reference_that_does_not_hold_the_head_is_said_with_how_far_it_leaves_it() -> None:
    base = report(ONE, stopped=[])
    off = base.reference_at_top.replaced(head_toward_target_cm=-0.6, head_up_cm=0.8, head_toward_ball_cm=9.0)
    said = "Even the centred turn cannot hold this head: it leaves it {} off face-on, and shares count from there."
    assert warnings(base.replaced(reference_at_top=off)) == [said.format("1.0 cm")]
    assert warnings(base.replaced(reference_at_top=off), inches=True) == [said.format("0.39 in")]
    assert warnings(base.replaced(reference_at_top=off, reference="turn")) == []
    near = off.replaced(head_toward_target_cm=0.3, head_up_cm=-0.4)
    assert warnings(base.replaced(reference_at_top=near)) == []


STOPPED = [
    StoppedCombination(of=["tilt", "sway"], ranges=["trunk", "lead_hip_flexion"]),
    StoppedCombination(of=["hip_turn", "tilt", "sway"], ranges=["trunk"]),
    StoppedCombination(of=[], ranges=["trunk"]),
    StoppedCombination(of=["tilt"], ranges=["trunk"]),
    StoppedCombination(of=["lead_flex_change", "tilt", "extension"], ranges=["trunk"]),
]


def test_stopped_combinations_are_told_simplest_first() -> None:
    said = (
        "In 5 of the 8 combinations of pieces a range of this body stops part of what is asked, and the shares count "
        "what it lets happen: the trunk's range stops the reference, tilt, tilt with sway and 2 more; lead hip flexion "
        "stops tilt with sway."
    )
    assert stopped_sentence(STOPPED, 8) == said
    assert said in warnings(report(ONE, stopped=STOPPED, combinations=8))
    assert stopped_sentence(STOPPED[:1], 1) == "" == stopped_sentence([], 8)
