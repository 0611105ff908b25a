"""Where the console command begins: guarded before anything else is imported."""

from __future__ import annotations

from .delivery.guard import guarded


def main() -> None:
    """The console command."""
    guarded(_command_line)


def _command_line() -> int:
    from .cli import command_line

    return command_line()
