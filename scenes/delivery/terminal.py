"""Text for the terminal: what is told, coloured only where it is one, and which moments are shown.

Nothing that somebody wrote reaches a terminal raw: ``tell``, ``say`` and ``render`` make it legible.
"""

from __future__ import annotations

import io
import re
import sys
from typing import TYPE_CHECKING

from ..words.legible import legible

if TYPE_CHECKING:
    from collections.abc import Iterator

    from rich.console import Console, ConsoleOptions, RenderableType
    from rich.segment import Segment

ROWS = 9
"""Moments shown of a swing; files hold them all."""
LONGEST = 300
"""Characters of a sentence on standard error, its beginning ``turnstill:`` among them."""
_NARROWEST = 80
_LONG_WORD = re.compile(r"\S{61,}")
_TAIL = 110


class OutputFailed(OSError):
    """Standard output did not take what was told: a full disk behind it, or nothing at all."""


class Output(io.TextIOWrapper):
    """Standard output whose failures tell themselves from those of files."""

    def write(self, text: str) -> int:
        """As every text stream's; a reader that went away stays a ``BrokenPipeError``."""
        try:
            return super().write(text)
        except BrokenPipeError:
            raise
        except OSError as wrong:
            raise OutputFailed(wrong.errno, wrong.strerror) from wrong

    def flush(self) -> None:
        """As every text stream's."""
        try:
            super().flush()
        except BrokenPipeError:
            raise
        except OSError as wrong:
            raise OutputFailed(wrong.errno, wrong.strerror) from wrong


def tell(line: str) -> None:
    """One line on standard output, whatever the names in it."""
    sys.stdout.write(f"{legible(line)}\n")


_has_spoken = False


def say(sentence: str) -> None:
    """One line on standard error, of ``LONGEST`` characters at most; where nobody can hear it, it is lost."""
    global _has_spoken
    _has_spoken = True
    line = f"turnstill: {legible(' '.join(sentence.split()))}"
    try:
        sys.stderr.write(f"{shortened(line)}\n")
        sys.stderr.flush()
    except (OSError, ValueError):
        pass


def has_spoken() -> bool:
    """Whether anything was said on standard error."""
    return _has_spoken


def tell_data(data: str) -> None:
    """Data on standard output, to the letter but on a terminal, which would act on some of it."""
    sys.stdout.write(legible(data, keep="\r\n\t") if sys.stdout.isatty() else data)
    sys.stdout.flush()


def shortened(line: str, longest: int = LONGEST) -> str:
    """A line that is short enough: endless words first lose their middle, then the line does."""
    if len(line) > longest:
        line = _LONG_WORD.sub(lambda word: f"{word[0][:40]}...{word[0][-15:]}", line)
    if len(line) <= longest:
        return line
    before, after = line[: longest - _TAIL - 4], line[-_TAIL - 1 :]
    # Between words: what is told there is mostly a list of names.
    return f"{before.rpartition(' ')[0]} ... {after.partition(' ')[2]}"


class _Legible:
    """A renderable whose every piece of text is legible; what rich itself adds stays."""

    def __init__(self, item: RenderableType) -> None:
        self._item = item

    def __rich_console__(self, console: Console, options: ConsoleOptions) -> Iterator[Segment]:
        from rich.segment import Segment

        for text, style, control in console.render(self._item, options):
            yield Segment(text if control else legible(text, keep="\n"), style, control)


def render(*items: RenderableType) -> str:
    """Text for standard output, coloured only where that is a terminal."""
    console = _console()
    with console.capture() as captured:
        for item in items:
            console.print(_Legible(item))
    return captured.get()


def _console() -> Console:
    import shutil

    from rich.console import Console

    width = max(_NARROWEST, shutil.get_terminal_size((100, 24)).columns)
    return Console(file=sys.stdout, width=width, highlight=False)


def shown_moments(count: int, rows: int = ROWS) -> list[int]:
    """Indices of moments evenly spread from the first to the last."""
    if count <= rows:
        return list(range(count))
    return [round(k * (count - 1) / (rows - 1)) for k in range(rows)]
