"""The command line. Everything heavy is imported inside the commands, so that ``--help`` comes at once."""

from __future__ import annotations

import os
import signal
import sys
from typing import Annotated, Any

import typer

from .. import __version__
from . import (
    diagnose_command,
    experiment_command,
    export_command,
    film_command,
    map_command,
    record_command,
    shares_command,
    strip_command,
)
from .options import (
    INTERRUPTED,
    USER_ERROR,
    Frames_,
    Inches_,
    Json_,
    Left_,
    Mass_,
    Set_,
    Sex_,
    Stature_,
    Swing_,
    say,
    spoken_errors,
    with_body,
)  # fmt: skip

CLOSED_PIPE = 1

app = typer.Typer(
    name="turnstill",
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
    context_settings={"help_option_names": ["-h", "--help"]},
    help=(
        "The pivot of a golf backswing in three dimensions: what moves the head, and what keeps it still.\n\n"
        "Start with: turnstill compare centred too-much-tilt\n\n"
        "A kinematic model, not medical advice: never force a range of motion."
    ),
)
presets_app = typer.Typer(
    help="List the presets, or print one to start your own file from.",
    invoke_without_command=True,
    rich_markup_mode=None,
)
app.add_typer(presets_app, name="presets")


def _version(asked: bool) -> None:
    if asked:
        typer.echo(f"turnstill {__version__}")
        raise typer.Exit


@app.callback()
def _root(
    version: Annotated[
        bool, typer.Option("--version", callback=_version, is_eager=True, help="Print the version.")
    ] = False,
) -> None:
    """Options of the whole command; the help text stands with the app."""


@presets_app.callback()
@spoken_errors
def presets(context: typer.Context) -> None:
    """List the presets with one line each."""
    if context.invoked_subcommand is not None:
        return
    from .presets import load, preset_names
    from .tables import preset_table

    sys.stdout.write(preset_table([(name, load(name).shows) for name in preset_names()]))


@presets_app.command("show")
@spoken_errors
def show(name: Annotated[str, typer.Argument(metavar="PRESET", help="Its name, for example centred.")]) -> None:
    """Print a preset as TOML, to start your own file from."""
    from .presets import preset_text

    sys.stdout.write(preset_text(name))


@presets_app.command("settable")
@spoken_errors
def settable() -> None:
    """List every name that --set and a file of your own can give, with what is allowed."""
    from .quantities import entries
    from .tables import settable_table

    sys.stdout.write(settable_table(entries()))


@app.command()
@spoken_errors
def simulate(
    preset_or_file: Swing_,
    settings: Set_ = None,
    frames: Frames_ = 41,
    stature_cm: Stature_ = None,
    mass_kg: Mass_ = None,
    sex: Sex_ = None,
    left_handed: Left_ = False,
    json_file: Json_ = None,
    csv_file: Annotated[
        str | None,
        typer.Option("--csv", metavar="FILE", help="Write a spreadsheet, a row a moment; - means the screen."),
    ] = None,
    inches: Inches_ = False,
) -> None:
    """Simulate one backswing and print it as a table.

    The table says where the head goes, what the trunk's inclination and each piece do on the way, and what the body
    did not allow.
    """
    from .simulated import simulate_to

    simulate_to(
        preset_or_file,
        with_body(settings, stature_cm, mass_kg, sex, left_handed),
        frames,
        json_file=json_file,
        csv_file=csv_file,
        inches=inches,
    )


@app.command()
@spoken_errors
def compare(
    swings: Annotated[list[str], typer.Argument(metavar="SWING...", help="Two to six presets or files of your own.")],
    out: Annotated[
        str | None,
        typer.Option(
            metavar="FOLDER",
            help="Where to write; named after the swings if not given. An earlier comparison there is replaced.",
        ),
    ] = None,
    settings: Set_ = None,
    frames: Frames_ = 41,
    stature_cm: Stature_ = None,
    mass_kg: Mass_ = None,
    sex: Sex_ = None,
    left_handed: Left_ = False,
    film: Annotated[
        bool, typer.Option("--film/--no-film", help="Put a film of all swings into the page; without is quicker.")
    ] = True,
    inches: Inches_ = False,
) -> None:
    """Compare two or more swings in one page.

    It shows them from face-on and down the line with pictures, numbers and charts, says what differs and why, and
    can be printed. What you set acts on all of them.
    """
    from .compare import compare_to

    compare_to(
        swings, with_body(settings, stature_cm, mass_kg, sex, left_handed), frames, out=out, film=film, inches=inches
    )


shares_command.register(app)
diagnose_command.register(app)
experiment_command.register(app)
export_command.register(app)
film_command.register(app)
map_command.register(app)
record_command.register(app)
strip_command.register(app)


def main() -> None:
    """The console command: every user's error is one sentence on standard error and exit status 2."""
    # typer passes on only the leaves of its errors; what they share tells every mistake in a command line.
    usage_error: Any = typer.BadParameter.__mro__[1]
    signal.signal(signal.SIGTERM, lambda *_: sys.exit(128 + signal.SIGTERM))
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="backslashreplace")
    try:
        status = typer.main.get_command(app)(standalone_mode=False)
        sys.stdout.flush()
    except usage_error as wrong:
        status = _usage(wrong)
    except (typer.Abort, KeyboardInterrupt):
        status = INTERRUPTED
    except BrokenPipeError:
        # Python flushes standard output once more on its way out; let that go nowhere.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        status = CLOSED_PIPE
    sys.exit(status if isinstance(status, int) else 0)


def _usage(wrong: BaseException) -> int:
    """One sentence about a command line that cannot be understood; no command at all gets the help."""
    message = wrong.format_message() if hasattr(wrong, "format_message") else str(wrong)
    if type(wrong).__name__ == "NoArgsIsHelpError":
        typer.echo(message, err=True)
    else:
        say(f"{message.rstrip('.')}. See turnstill --help.")
    return USER_ERROR


if __name__ == "__main__":
    main()
