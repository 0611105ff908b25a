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
        pace: what a step makes, in the plural: how many of it a second and how long it will take is told too.
    """

    def __init__(self, steps: int, *, pace: str = "") -> None:
        from rich.console import Console
        from rich.progress import BarColumn, TextColumn, TimeRemainingColumn
        from rich.progress import Progress as Bar

        console = Console(stderr=True)
        told = (TextColumn("{task.fields[pace]}", markup=False), TimeRemainingColumn()) if pace else ()
        self._bar = Bar(
            BarColumn(bar_width=24), TextColumn("{task.description}", markup=False), *told,
            console=console, transient=True, disable=not console.is_terminal,
        )  # fmt: skip
        self._pace = pace
        self._interruptions = Interruptions()
        self._task = self._bar.add_task("starting", total=steps, pace="")

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
        self.let_in()
        self._bar.update(self._task, advance=1, description=legible(doing))

    def more(self, steps: int) -> None:
        """So many steps more than were thought."""
        self._bar.update(self._task, total=(self._bar.tasks[0].total or 0) + steps)

    def made(self, count: int) -> None:
        """So many steps more are done; fewer than none where some were lost."""
        speed = self._bar.tasks[0].speed
        pace = f"{speed:.1f} {self._pace} a second," if speed else ""
        self._bar.update(self._task, advance=count, description="drawing", pace=pace)

    def let_in(self) -> None:
        """Act on an interruption while waiting for something.

        Raises:
            KeyboardInterrupt: where there was one.
        """
        self._interruptions.let_in()

    def over(self, items: Iterable[Item], doing: str) -> Iterator[Item]:
        """The items, a step for each."""
        for item in items:
            self.step(doing)
            yield item
