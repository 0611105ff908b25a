"""The ``read`` command: from two films to the pieces that moved the head, with no ruler."""

from __future__ import annotations

from typing import Annotated

import typer

from ..setups.options import Inches_, Json_, Sex_, Stature_, fail, spoken_errors


def register(app: typer.Typer) -> None:
    """Add the command to the command line."""
    app.command()(read)


@spoken_errors
def read(
    face_on: Annotated[
        str, typer.Argument(metavar="FACE_ON", help="The face-on film, or its track; none if there is no such film.")
    ],
    down_the_line: Annotated[
        str, typer.Argument(metavar="[DOWN_THE_LINE]", help="The film down the line, likewise.")
    ] = "none",
    stature: Stature_ = None,
    sex: Sex_ = None,
    left_handed: Annotated[
        bool | None,
        typer.Option("--left-handed/--right-handed", help="Which hand leads; found from the tracks if not said."),
    ] = None,
    face_on_frames: Annotated[
        str | None, typer.Option(metavar="ADDRESS,TOP", help="Frames set by eye; either may be left out, as in ,95.")
    ] = None,
    down_the_line_frames: Annotated[
        str | None, typer.Option(metavar="ADDRESS,TOP", help="The same of the film down the line.")
    ] = None,
    fps: Annotated[float | None, typer.Option(metavar="NUMBER", help="Frames a second, over what files say.")] = None,
    size: Annotated[
        str | None, typer.Option(metavar="WIDTHxHEIGHT", help="Of the pictures, where files do not say it.")
    ] = None,
    face_detector: Annotated[
        bool,
        typer.Option(
            "--face-detector",
            help="Nose, eyes and ears come from a face detector; without one the head is trusted less, since pose "
            "detectors drag it.",
        ),
    ] = False,
    detector: Annotated[
        str | None,
        typer.Option(
            metavar="FOLDER",
            envvar="TURNSTILL_DETECTOR",
            help="Where the detector of films is, if it was made elsewhere; turnstill detector make makes it.",
        ),
    ] = None,
    cache: Annotated[
        bool, typer.Option("--cache/--no-cache", help="Keep what the detector saw beside the film, and read it there.")
    ] = True,
    by_hand: Annotated[
        list[str] | None,
        typer.Option(
            "--read",
            metavar="impact.NAME=VALUE",
            help="What you read at impact, in the frame in which the club meets the ball, with the names and units of "
            "turnstill diagnose; repeat for more: --read impact.head_up=-3 --read impact.hip_turn=-20. Films are not "
            "read at impact by themselves.",
        ),
    ] = None,
    head_sd_cm: Annotated[
        str | None, typer.Option(metavar="CM", help="With --read: how sure the head is (one sd); 1 if not given.")
    ] = None,
    pelvis_sd_cm: Annotated[str | None, typer.Option(metavar="CM", help="With --read: the same of the pelvis.")] = None,
    angle_sd_deg: Annotated[
        str | None, typer.Option(metavar="DEG", help="With --read: the same of all angles; 6 if not given.")
    ] = None,
    sd: Annotated[
        list[str] | None,
        typer.Option(metavar="impact.NAME=VALUE", help="With --read: the same of one reading; repeat for more."),
    ] = None,
    json_file: Json_ = None,
    out: Annotated[
        str | None,
        typer.Option(metavar="FOLDER", help="Write a page with charts and the fitted golfer, and the JSON."),
    ] = None,
    inches: Inches_ = False,
    record: Annotated[
        str | None,
        typer.Option(
            metavar="FILE",
            help="Keep the head's movement in a student's record, for turnstill record next; what the record keeps of "
            "the body is taken.",
        ),
    ] = None,
    date: Annotated[
        str | None, typer.Option(metavar="YYYY-MM-DD", help="With --record: day of the films; today if not given.")
    ] = None,
    piece: Annotated[
        str | None, typer.Option(metavar="PIECE", help="With --record: what was worked on since the film before.")
    ] = None,
    felt: Annotated[
        str | None, typer.Option(metavar="AMOUNT", help="With --record: how much of it was felt, deg or cm.")
    ] = None,
    note: Annotated[
        str | None, typer.Option(metavar="TEXT", help="With --record: anything else, in your words.")
    ] = None,
) -> None:
    """Say which pieces of the pivot moved the head, from one or two films of a swing.

    Films are those of a phone, MP4 or MOV: turnstill read face_on.mp4 line.mov --stature-cm 178. A detector finds the
    golfer in them (turnstill detector make, once); tracks of another one can be given instead: CSV files (first line #
    width=720 height=1280 fps=60, then the columns frame, keypoint, x, y and confidence), COCO results or arrays;
    docs/film_reading.md has them. Nothing leaves this machine. Not medical advice.
    """
    told = {
        name: value
        for name, value in (("date", date), ("piece", piece), ("felt", felt), ("note", note))
        if value is not None
    }
    if told and record is None:
        fail(f"--{next(iter(told))} is for the entry of a record; name it by --record, or leave that out.")
    from .by_hand import ByHand
    from .keeping import Keeping
    from .work import read_to

    read_to(
        face_on,
        down_the_line,
        stature=stature,
        sex=sex,
        left_handed=left_handed,
        frames={"face_on": face_on_frames, "down_the_line": down_the_line_frames},
        fps=fps,
        size=size,
        face_detector=face_detector,
        detector=detector,
        cache=cache,
        json_file=json_file,
        out=out,
        inches=inches,
        keeping=Keeping(record, told) if record is not None else None,
        by_hand=ByHand(by_hand or [], sd or [], {"head": head_sd_cm, "pelvis": pelvis_sd_cm, "angle": angle_sd_deg}),
    )
