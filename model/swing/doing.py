"""How the stages of a walk are done: at once, or by whoever keeps what they made before (`rehearsal`)."""

from __future__ import annotations

from collections.abc import Callable
from typing import ParamSpec, Protocol, TypeVar

Given = ParamSpec("Given")
Made = TypeVar("Made")


class Doing(Protocol):
    """How a stage is done."""

    def __call__(self, stage: Callable[Given, Made], *given: Given.args, **named: Given.kwargs) -> Made:
        """What the stage makes of what it is given."""


def at_once(stage: Callable[Given, Made], *given: Given.args, **named: Given.kwargs) -> Made:
    """A stage done anew."""
    return stage(*given, **named)
