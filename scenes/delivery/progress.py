"""How far a long command has come."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from types import TracebackType
from typing import TypeVar

from ..words.legible import legible
from .interruption import Interruptions

Item = TypeVar("Item")


class Progress:
    """A bar on standard error, only where that is a terminal; use it as a context manager.

    An interruption waits for the next step, so that none is lost in the middle of a drawing.

    Args:
        steps: how many there will be.
    """

    def __init__(self, steps: int) -> None:
        from rich.console import Console
        from rich.progress import BarColumn, TextColumn
        from rich.progress import Progress as Bar

        console = Console(stderr=True)
        self._bar = Bar(
            BarColumn(bar_width=24), TextColumn("{task.description}", markup=False),
            console=console, transient=True, disable=not console.is_terminal,
        )  # fmt: skip
        self._interruptions = Interruptions()
        self._task = self._bar.add_task("starting", total=steps)

    def __enter__(self) -> Progress:
        self._interruptions.__enter__()
        self._bar.start()
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._bar.stop()
        self._interruptions.__exit__(kind, error, trace)

    def step(self, doing: str) -> None:
        """Say what is done next.

        Raises:
            KeyboardInterrupt: where the last step was interrupted.
        """
        self._interruptions.let_in()
        self._bar.update(self._task, advance=1, description=legible(doing))

    def over(self, items: Iterable[Item], doing: str) -> Iterator[Item]:
        """The items, a step for each."""
        for item in items:
            self.step(doing)
            yield item
