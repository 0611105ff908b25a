"""The command line. Everything heavy is imported inside the commands, so that ``--help`` comes at once."""

from __future__ import annotations

import os
import signal
import sys
from typing import Annotated, Any

import typer

from .. import __version__
from .compare import command as compare_command
from .diagnose import command as diagnose_command
from .experiment import command as experiment_command
from .export import command as export_command
from .film import command as film_command
from .film import strip_command
from .listing import command as listing_command
from .map import command as map_command
from .record import command as record_command
from .setups.options import INTERRUPTED, USER_ERROR, say
from .shares import command as shares_command
from .simulate import command as simulate_command

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


listing_command.register(app)
simulate_command.register(app)
compare_command.register(app)
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
