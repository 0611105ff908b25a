"""Where the console command begins: guarded before anything else is imported."""

from __future__ import annotations

import os

from .delivery.guard import guarded


def main() -> None:
    """The console command."""
    # Every product of matrices here is small. numpy's usual BLAS would share them among all cores, which gains nothing,
    # and where other programs want the cores too its threads wait for each other, busily. Read when numpy is imported.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    guarded(_command_line)


def _command_line() -> int:
    from .cli import command_line

    return command_line()
