"""The ``record`` commands: a student's record, what was asked for and what the film showed."""

from __future__ import annotations

import functools
from typing import Annotated

import typer

from ..setups.options import Inches_, Json_, fail, of_a_golfer, spoken_errors

record_app = typer.Typer(
    help="Keep a student's record and dose the next feel: what was asked for, what the film showed.",
    no_args_is_help=True,
    rich_markup_mode=None,
)
File_ = Annotated[str, typer.Argument(metavar="FILE", help="The student's record, such as student.turnstill.")]
Swing_ = Annotated[
    str,
    typer.Option("--swing", metavar="PRESET_OR_FILE", help="The swing from which a piece moves the head."),
]


of_a_student = functools.partial(of_a_golfer, student=False)


def register(app: typer.Typer) -> None:
    """Add the commands to the command line."""
    app.add_typer(record_app, name="record")


@record_app.command("add")
@spoken_errors
def record_add(
    file: File_,
    date: Annotated[
        str | None, typer.Option(metavar="YYYY-MM-DD", help="Day of the lesson or film; today if not given.")
    ] = None,
    piece: Annotated[
        str | None,
        typer.Option(
            metavar="PIECE",
            help="What was worked on: hip_turn, shoulder_turn, tilt, extension, lead_flex_change, trail_flex_change, "
            "sway or hips toward ball. Not needed for a film alone.",
        ),
    ] = None,
    felt: Annotated[
        str | None,
        typer.Option(
            metavar="AMOUNT",
            help="What was asked for or felt, degrees (cm, or such as 1in, for sway and hips toward ball) more than on "
            "the film before.",
        ),
    ] = None,
    got: Annotated[
        str | None, typer.Option(metavar="AMOUNT", help="What the new film shows of it, counted likewise.")
    ] = None,
    got_sd: Annotated[
        str | None,
        typer.Option(metavar="AMOUNT", help="How sure that reading is (sd); 4 deg or 1 cm if not given."),
    ] = None,
    head_toward_target_cm: Annotated[
        str | None,
        typer.Option(metavar="CM", help="The head at the top since address, on film; away is negative."),
    ] = None,
    head_toward_ball_cm: Annotated[str | None, typer.Option(metavar="CM", help="The same toward the ball.")] = None,
    head_up_cm: Annotated[str | None, typer.Option(metavar="CM", help="The same upward; down is negative.")] = None,
    head_sd_cm: Annotated[
        str | None, typer.Option(metavar="CM", help="How sure these readings are (sd); 1 cm if not given.")
    ] = None,
    inclination_change_deg: Annotated[
        str | None,
        typer.Option(metavar="DEG", help="The trunk's inclination down the line, top less address; kept, not used."),
    ] = None,
    at_impact: Annotated[
        list[str] | None,
        typer.Option(
            "--read",
            metavar="impact.NAME=VALUE",
            help="What the film shows at impact, with the names and units of turnstill diagnose; repeat for more: "
            "--read impact.head_up=-3 --read impact.hip_turn=-20.",
        ),
    ] = None,
    sd: Annotated[
        list[str] | None,
        typer.Option(metavar="impact.NAME=VALUE", help="How sure one of these is (one sd), and repeat for more."),
    ] = None,
    note: Annotated[str | None, typer.Option(metavar="TEXT", help="Anything else, in your words.")] = None,
    csv_file: Annotated[
        str | None,
        typer.Option("--csv", metavar="IN", help="Add all rows of a CSV file instead, or none where one is wrong."),
    ] = None,
    again: Annotated[
        bool, typer.Option("--again", help="Add it also where the record has an entry that is alike in everything.")
    ] = False,
) -> None:
    """Add what was asked for and what the film showed to a student's record.

    A record that is not there yet is begun. The first film, before any feel, is an entry too: turnstill record add
    student.turnstill --head-toward-target-cm -6
    """
    given = {
        "date": date,
        "piece": piece,
        "felt": felt,
        "got": got,
        "got_sd": got_sd,
        "head_toward_target_cm": head_toward_target_cm,
        "head_toward_ball_cm": head_toward_ball_cm,
        "head_up_cm": head_up_cm,
        "head_sd_cm": head_sd_cm,
        "inclination_change_deg": inclination_change_deg,
        "note": note,
    }
    if csv_file is not None:
        if again:
            fail("--again is for one entry; rows of a CSV file that stand there twice are in the record twice.")
        if at_impact or sd or any(value is not None for value in given.values()):
            fail("--csv brings whole entries, so nothing else of an entry can be given with it; give one or the other.")
        from .work import add_csv_to

        add_csv_to(file, csv_file)
        return
    from .work import add_given_to

    entry = {name: value for name, value in given.items() if value is not None}
    add_given_to(file, entry, read=at_impact or [], sd=sd or [], again=again)


@record_app.command("body")
@of_a_student
def record_body(
    file: File_,
    *,
    settings: Annotated[
        list[str],
        typer.Option(
            "--set",
            metavar="NAME=VALUE",
            help="Keep one thing more of the body or of the usual address, and repeat for more: --set thigh=17in --set "
            "trail_hip_internal_rotation=25 --set lead_flare=10.",
        ),
    ],
    forget: Annotated[
        list[str] | None,
        typer.Option(metavar="NAME", help="Keep this no longer, and repeat for more; or all."),
    ] = None,
    inches: Inches_ = False,
) -> None:
    """Keep the student's body and usual address in the record, or show what is kept.

    What is kept is used by record show and next, and by other commands with --student FILE: turnstill record body
    student.turnstill --stature 5ft10 --mass 170lb --sex female
    """
    from .body import body_to

    body_to(file, settings, forget or [], inches=inches)


@record_app.command("show")
@of_a_student
def record_show(
    file: File_,
    swing: Swing_ = "centred",
    *,
    settings: list[str],
    json_file: Json_ = None,
    csv_file: Annotated[
        str | None, typer.Option("--csv", metavar="OUT", help="Write the entries as a spreadsheet; - means the screen.")
    ] = None,
    out: Annotated[
        str | None, typer.Option(metavar="FOLDER", help="Write a page with the head over the sessions, and the JSON.")
    ] = None,
    inches: Inches_ = False,
) -> None:
    """Show a student's record and how much of a feel this golfer gets."""
    from .work import show_to

    own = settings
    show_to(file, swing, own, json_file=json_file, csv_file=csv_file, out=out, inches=inches)


@record_app.command("next")
@of_a_student
def record_next(
    file: File_,
    piece: Annotated[
        str | None, typer.Option(metavar="PIECE", help="What to work on; the last one worked on if not given.")
    ] = None,
    missing: Annotated[
        str | None,
        typer.Option(
            metavar="AMOUNT",
            help="How much more of it the last film lacks, degrees or cm, as turnstill diagnose says; if not given, "
            "what would hold the head still.",
        ),
    ] = None,
    missing_sd: Annotated[
        str | None, typer.Option(metavar="AMOUNT", help="How sure that is (sd); 4 degrees or 1 cm if not given.")
    ] = None,
    swing: Swing_ = "centred",
    *,
    settings: list[str],
    json_file: Json_ = None,
    inches: Inches_ = False,
) -> None:
    """Say the next feel to ask for, and how sure that is.

    Stop with pain; never force a range of motion.
    """
    from .work import next_to

    next_to(
        file,
        swing,
        settings,
        piece=piece,
        missing=missing,
        missing_sd=missing_sd,
        json_file=json_file,
        inches=inches,
    )
