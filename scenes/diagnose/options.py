"""The options of ``diagnose`` that say what was read and how sure it is.

A reading's option may be repeated as far as the parser is concerned, so that one given twice is noticed.
"""

from __future__ import annotations

from typing import Annotated, Any

import typer


def _cm(what: str) -> Any:
    return typer.Option(metavar="CM", help=what)


def _deg(what: str) -> Any:
    return typer.Option(metavar="DEG", help=what)


HeadTowardTarget_ = Annotated[list[str] | None, _cm("Head toward the target since address; away is negative. Face-on.")]
HeadUp_ = Annotated[list[str] | None, _cm("Head up since address; down is negative.")]
HeadTowardBall_ = Annotated[list[str] | None, _cm("Head toward the ball since address. Down the line.")]
PelvisTowardTarget_ = Annotated[list[str] | None, _cm("Middle of the pelvis toward the target since address. Face-on.")]
PelvisTowardBall_ = Annotated[
    list[str] | None, _cm("Middle of the pelvis toward the ball since address. Down the line.")
]
InclinationChange_ = Annotated[
    list[str] | None,
    _deg("Line from pelvis to base of neck, top less address; toward the ball positive. Down the line."),
]
LeanFaceOn_ = Annotated[
    list[str] | None, _deg("The same line from the vertical at the top; away from the target positive. Face-on.")
]
ShoulderPlane_ = Annotated[
    list[str] | None, _deg("Shoulder line from the horizontal at the top; lead shoulder down positive.")
]
ShoulderTurn_ = Annotated[list[str] | None, _deg("Turn of the shoulder line at the top; square at address is 0.")]
HipTurn_ = Annotated[list[str] | None, _deg("Turn of the pelvis at the top.")]
LeadKneeFlex_ = Annotated[list[str] | None, _deg("Lead knee at the top; straight is 0.")]
TrailKneeFlex_ = Annotated[list[str] | None, _deg("Trail knee at the top; straight is 0.")]
BeltLineTilt_ = Annotated[list[str] | None, _deg("Belt line from the horizontal at the top; lead side down positive.")]
Read_ = Annotated[
    list[str] | None,
    typer.Option(
        metavar="NAME=VALUE",
        help="A reading in another unit, and repeat for more: --read head_toward_target=-2.5in --read "
        "head_up=-0.4hw. With impact. before its name it is one at impact: --read impact.head_up=-3 --read "
        "impact.hip_turn=-20, where turns toward the target are negative. "
        "cm, mm, m, in, hw (head widths, ear to ear as seen face-on), hl (head lengths, brow to back as seen down "
        "the "
        "line).",
    ),
]
HeadSd_ = Annotated[
    str | None, typer.Option(metavar="CM", help="How sure readings of the head are (one sd); 1 if not given.")
]
PelvisSd_ = Annotated[str | None, typer.Option(metavar="CM", help="The same of the pelvis; 1 if not given.")]
AngleSd_ = Annotated[
    str | None, typer.Option(metavar="DEG", help="The same of all angles; 4 if not given, 6 at impact.")
]
Sd_ = Annotated[
    list[str] | None,
    typer.Option(
        metavar="NAME=VALUE",
        help="The same of one reading, and repeat for more: --sd hip_turn=6 --sd impact.head_up=0.5in.",
    ),
]
HeadWidth_ = Annotated[
    str | None,
    typer.Option(
        metavar="CM", help="What one hw is: this head ear to ear; the survey's mean for this body if not given."
    ),
]
HeadLength_ = Annotated[
    str | None, typer.Option(metavar="CM", help="What one hl is: this head brow to back; likewise.")
]
