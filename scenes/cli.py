"""The command line. Everything heavy is imported inside the commands, so that ``--help`` comes at once."""

from __future__ import annotations

from functools import cache
from typing import Annotated, Any

import typer

from .. import __version__
from .compare import command as compare_command
from .dataset import command as dataset_command
from .delivery import written
from .delivery.guard import guarded
from .delivery.outcome import USER_ERROR
from .delivery.terminal import LONGEST, say, shortened
from .detector import command as detector_command
from .diagnose import command as diagnose_command
from .experiment import command as experiment_command
from .export import command as export_command
from .film import command as film_command
from .film import strip_command
from .listing import command as listing_command
from .live import command as live_command
from .map import command as map_command
from .read import command as read_command
from .record import command as record_command
from .shares import command as shares_command
from .sheet import command as sheet_command
from .simulate import command as simulate_command
from .strike import command as strike_command

_LONGEST_REASON = LONGEST - 40

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
read_command.register(app)
detector_command.register(app)
experiment_command.register(app)
export_command.register(app)
film_command.register(app)
live_command.register(app)
map_command.register(app)
record_command.register(app)
dataset_command.register(app)
strike_command.register(app)
strip_command.register(app)
sheet_command.register(app)


def command_line(arguments: list[str] | None = None) -> int:
    """Do what a command line asks for.

    Args:
        arguments: after the command's name; the process's own if not given.

    Returns:
        The exit status.

    Raises:
        KeyboardInterrupt: where it was interrupted outside a command.
    """
    # typer passes on only the leaves of its errors; what they share tells every mistake in a command line.
    usage_error: Any = typer.BadParameter.__mro__[1]
    written.begin()
    try:
        status = _whole()(arguments, prog_name="turnstill", standalone_mode=False)
    except usage_error as wrong:
        return _usage(wrong)
    except typer.Abort:
        raise KeyboardInterrupt from None
    return status if isinstance(status, int) else 0


@cache
def _whole() -> Any:
    return typer.main.get_command(app)


def main() -> None:
    """The console command, for whoever has imported this already; ``start`` guards the imports too."""
    guarded(command_line)


def _usage(wrong: BaseException) -> int:
    """One sentence about a command line that cannot be understood; no command at all gets the help."""
    message = _not_a_number(wrong) or (wrong.format_message() if hasattr(wrong, "format_message") else str(wrong))
    if type(wrong).__name__ == "NoArgsIsHelpError":
        typer.echo(message, err=True)
    else:
        reason = shortened(message.rstrip("."), _LONGEST_REASON)
        asked = getattr(getattr(wrong, "ctx", None), "command_path", None) or "turnstill"
        say(f"{reason}{'' if reason.endswith('?') else '.'} See {asked} --help.")
    return USER_ERROR


def _not_a_number(wrong: BaseException) -> str | None:
    """What to say of an option that takes a number, in place of the words in which a program thinks of one."""
    options = getattr(getattr(wrong, "param", None), "opts", [])
    for told, meant in (("integer", "a whole number"), ("number", "a number"), ("unicode", "a number")):
        if isinstance(wrong, typer.BadParameter) and options and told in str(wrong):
            return f"{options[0]} must be {meant}, written in digits"
    return None
