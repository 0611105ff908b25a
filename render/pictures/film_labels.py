"""What is written in a film: names, the view, and its lines' angles at address and now, large enough for a phone."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Protocol

import numpy as np

from ..palette import INK, NOW, Colour
from ..stage.layers import Patch
from .lines import SHOULDER_TURN
from .marks import Marks, circle
from .picture import SwingView, angle_text, degrees_text, draw_address

LABEL_PX = 42
"""Text height in a view 720 pixels wide: 11 pixels where two views share a phone's 390 (by looking)."""
_LEAST_PX = 30
_WIDEST = 8 / 9
"""Width over height of a pane beyond which a legend of several lines grows no more: that of a film's own."""
_ROWS, _HEIGHT, _EDGE = (36.0, 92.0, 148.0), 184, 20.0


class Labels(Protocol):
    """What one view of a film has written behind its figure."""

    def still(self, width: int, height: int) -> Patch | None:
        """What never changes, for a picture of that size in pixels."""
        ...

    def words(self, shown: SwingView) -> str:
        """What is written at a moment."""
        ...

    def written(self, words: str, width: int, height: int) -> Patch:
        """Those words, drawn."""
        ...


@dataclass(frozen=True)
class Legend:
    """Of a view with one line: the names at the upper left; at the upper right the angle's word, and under it each
    circle with its angle.

    Attributes:
        title: the swing's name.
        view: the view's name.
        angle_word: what the trunk's angle is called in this view.
        address_deg: the trunk's angle at address, as this view shows it.

    """

    title: str
    view: str
    angle_word: str
    address_deg: float

    def still(self, width: int, height: int) -> Patch:
        """Title, view, circles, the angle's word and the angle at address."""
        del height
        band = _band(width)
        with band as marks:
            u = marks.unit
            left = self._left(marks)
            first, second, third = (row * u for row in _ROWS)
            for row, words, bold in ((first, self.title, True), (second, self.view, False)):
                text, size = fitted(marks, words, left - 2 * _EDGE * u, bold=bold)
                marks.text((_EDGE * u, row), text, INK, size=size, bold=bold)
            marks.text((left, first), self.angle_word, INK, size=LABEL_PX)
            draw_address(marks, circle((left + 15 * u, second), 14 * u))
            marks.text((left + 44 * u, second), self._at_address, INK, size=LABEL_PX)
            marks.line(circle((left + 15 * u, third), 14 * u), NOW)
        return _drawn(band)

    def words(self, shown: SwingView) -> str:
        """The angle at the moment."""
        return f"now {degrees_text(shown.angles[self.angle_word].top_deg)}"

    def written(self, words: str, width: int, height: int) -> Patch:
        """The angle at the moment, beside the solid circle."""
        del height
        band = _band(width)
        with band as marks:
            u = marks.unit
            left = self._left(marks)
            marks.text((left + 44 * u, _ROWS[2] * u), words, NOW, size=LABEL_PX)
        return _drawn(band, left=int(left + 34 * u), top=int(0.5 * (_ROWS[1] + _ROWS[2]) * u))

    @property
    def _at_address(self) -> str:
        return f"address {degrees_text(self.address_deg)}"

    def _left(self, marks: Marks) -> float:
        """Where the right-hand column begins, wide enough for any angle it will show."""
        beside = max(marks.text_size(words, size=LABEL_PX)[0] for words in (self._at_address, "now −88°"))
        column = max(beside + 44 * marks.unit, marks.text_size(self.angle_word, size=LABEL_PX)[0])
        return marks.width - (_EDGE + 4) * marks.unit - column


@dataclass(frozen=True)
class LegendOfLines:
    """Of a view with several lines: the title over everything; under it at the left the view's name and the circles, at
    the right each line's angle with its word, first those that move.

    Attributes:
        title: the swing's name.
        view: the view's name.
        address: words and angles of what is told of the address only.
        moving: how many angles are told of the moment.

    """

    title: str
    view: str
    address: Mapping[str, float]
    moving: int

    def still(self, width: int, height: int) -> Patch:
        """Title, view, circles with what they mean, and the angles at address."""
        band = _band(width, self._row(self.moving + len(self.address)) + _EDGE, _fitted_width(width, height))
        with band as marks:
            u = marks.unit
            text, size = fitted(marks, self.title, marks.width - 2 * _EDGE * u)
            marks.text((_EDGE * u, _ROWS[0] * u), text, INK, size=size, bold=True)
            marks.text((_EDGE * u, self._row(1) * u), self.view, INK, size=LABEL_PX)
            draw_address(marks, circle(((_EDGE + 15) * u, self._row(2) * u), 14 * u))
            marks.text(((_EDGE + 44) * u, self._row(2) * u), "address", INK, size=LABEL_PX)
            marks.line(circle(((_EDGE + 15) * u, self._row(3) * u), 14 * u), NOW)
            marks.text(((_EDGE + 44) * u, self._row(3) * u), "now", NOW, size=LABEL_PX)
            for k, (word, angle) in enumerate(self.address.items()):
                self._angle(marks, self.moving + 1 + k, angle_text(word, angle), INK)
        return _drawn(band)

    def words(self, shown: SwingView) -> str:
        """The angles at the moment, a line each."""
        return words_now(shown)

    def written(self, words: str, width: int, height: int) -> Patch:
        """The angles at the moment, at the right."""
        band = _band(width, self._row(self.moving) + 0.5 * (_ROWS[1] - _ROWS[0]), _fitted_width(width, height))
        with band as marks:
            for k, text in enumerate(words.split("\n")):
                self._angle(marks, 1 + k, text, NOW)
            left, u = self._left(marks), marks.unit
        return _drawn(band, left=int(left - 10 * u), top=int(0.5 * (_ROWS[0] + _ROWS[1]) * u))

    def _angle(self, marks: Marks, row: int, text: str, colour: Colour) -> None:
        marks.text((self._left(marks), self._row(row) * marks.unit), text, colour, size=LABEL_PX)

    @staticmethod
    def _row(number: int) -> float:
        return _ROWS[0] + number * (_ROWS[1] - _ROWS[0])

    @staticmethod
    def _left(marks: Marks) -> float:
        """Where the right-hand column begins, wide enough for any angle it will show."""
        return marks.width - (_EDGE + 4) * marks.unit - marks.text_size(f"{SHOULDER_TURN} −88°", size=LABEL_PX)[0]


@dataclass(frozen=True)
class CornerAngle:
    """The angles of the moment under their words, in an upper corner that the club passes far from.

    Attributes:
        size: text height in a view 720 pixels wide.
        on_the_left: in the left corner, as for a left-handed golfer.

    """

    size: int
    on_the_left: bool

    def still(self, width: int, height: int) -> None:
        """Nothing."""
        del width, height

    def words(self, shown: SwingView) -> str:
        """The angles at the moment with their words, a line each."""
        return words_now(shown)

    def written(self, words: str, width: int, height: int) -> Patch:
        """Word and angle in one line where any angle would fit, else the word over the angle."""
        del height
        size, edge = self.size, _EDGE * width / 720
        measure = _band(width)
        lines: list[list[tuple[str, bool]]] = []
        for told in words.split("\n"):
            word, angle = told.rsplit(" ", 1)
            both = [(f"{word} ", False), (angle, True)]
            wide = measure.text_size(f"{word} ", size=size)[0] + measure.text_size("−88°", size=size, bold=True)[0]
            lines += [both] if wide <= width - 2 * edge else [[(word, False)], [(angle, True)]]
        band = _band(width, 1.3 * size + 1.1 * size * (len(lines) - 1))
        with band as marks:
            for k, parts in enumerate(lines):
                across, down = edge if self.on_the_left else width - edge, (0.64 + 1.1 * k) * size * marks.unit
                for text, bold in parts if self.on_the_left else reversed(parts):
                    anchor = "lm" if self.on_the_left else "rm"
                    marks.text((across, down), text, NOW, size=size, bold=bold, anchor=anchor)
                    long = marks.text_size(text, size=size, bold=bold)[0]
                    across += long if self.on_the_left else -long
        return _drawn(band)


def words_now(shown: SwingView) -> str:
    """The angles that are told of the moment with their words, a line each."""
    return "\n".join(
        angle_text(line.word, shown.angles[line.word].top_deg) for line in shown.lines if "top" in line.told
    )


def words_at_address(shown: SwingView) -> dict[str, float]:
    """Words and angles of the lines that are told of the address only."""
    return {line.word: shown.angles[line.word].address_deg for line in shown.lines if "top" not in line.told}


def _band(width: int, height: float = _HEIGHT, as_wide: int | None = None) -> Marks:
    """Marks over an empty band along the picture's upper edge, ``height`` high in one 720 pixels wide; ``as_wide``: the
    width that sizes go by, if it is not the picture's.
    """
    sized = as_wide or width
    return Marks(np.zeros((max(8, round(height * sized / 720)), width, 3), np.uint8), whole_width=sized)


def _fitted_width(width: int, height: int) -> int:
    """The width that sizes go by where many words must not fill a picture that is wide and low."""
    return min(width, round(_WIDEST * height))


def _drawn(band: Marks, left: int = 0, top: int = 0) -> Patch:
    assert band.overlay is not None  # Set on leaving its block.
    left, top = max(left, 0), max(top, 0)
    return Patch(band.overlay[top:, left:].copy(), left, top)


def fitted(marks: Marks, text: str, room: float, *, bold: bool = True) -> tuple[str, int]:
    """A text made smaller, then cut, until it takes no more than ``room`` pixels; and its size."""
    size = LABEL_PX
    while size > _LEAST_PX and marks.text_size(text, size=size, bold=bold)[0] > room:
        size -= 1
    if marks.text_size(text, size=size, bold=bold)[0] <= room:
        return text, size
    while len(text) > 1 and marks.text_size(text + "…", size=size, bold=bold)[0] > room:
        text = text[:-1].rstrip()
    return text + "…", size
