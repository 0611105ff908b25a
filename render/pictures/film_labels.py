"""What is written in a film: names, the view, and the trunk's angle at address and now, large enough for a phone."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

import numpy as np

from ..figure.look import Look
from ..stage.layers import Patch
from .marks import Marks
from .picture import SwingView, address_style

LABEL_PX = 42
"""Text height in a view 720 pixels wide: 11 pixels where two views share a phone's 390 (by looking)."""
_LEAST_PX = 30
_FIRST_ROW, _SECOND_ROW, _HEIGHT, _EDGE = 36.0, 92.0, 128, 20.0


class Labels(Protocol):
    """What one view of a film has written behind its figure."""

    def still(self, width: int, look: Look) -> Patch | None:
        """What never changes, for a picture ``width`` pixels wide."""
        ...

    def words(self, shown: SwingView) -> str:
        """What is written at a moment."""
        ...

    def written(self, words: str, width: int, look: Look) -> Patch:
        """Those words, drawn."""
        ...


def degrees_text(angle_deg: float) -> str:
    """Whole degrees with a true minus sign."""
    return f"{angle_deg:.0f}°".replace("-", "−")


@dataclass(frozen=True)
class Legend:
    """The names at the upper left; at the upper right the circles' meaning with the trunk's angles.

    Attributes:
        title: the swing's name.
        view: the view's name.
        address_deg: the trunk's angle at address, as this view shows it.

    """

    title: str
    view: str
    address_deg: float

    def still(self, width: int, look: Look) -> Patch:
        """Title, view, circles, and the angle at address."""
        band = _band(width, look)
        with band as marks:
            u = marks.unit
            left = self._left(marks)
            for row, words, bold in ((_FIRST_ROW, self.title, True), (_SECOND_ROW, self.view, False)):
                text, size = fitted(marks, words, left - 2 * _EDGE * u, bold=bold)
                marks.text((_EDGE * u, row * u), text, look.mark_ink, size=size, bold=bold)
            marks.circle((left + 15 * u, _FIRST_ROW * u), 14 * u, look.mark_address, **address_style(look))
            marks.circle((left + 15 * u, _SECOND_ROW * u), 14 * u, look.mark_top)
            marks.text((left + 44 * u, _FIRST_ROW * u), self._at_address, look.mark_ink, size=LABEL_PX)
        return _drawn(band)

    def words(self, shown: SwingView) -> str:
        """The angle at the moment."""
        return f"now {degrees_text(shown.inclination_top_deg)}"

    def written(self, words: str, width: int, look: Look) -> Patch:
        """The angle at the moment, beside the solid circle."""
        band = _band(width, look)
        with band as marks:
            u = marks.unit
            left = self._left(marks)
            marks.text((left + 44 * u, _SECOND_ROW * u), words, look.mark_top, size=LABEL_PX)
        return _drawn(band, left=int(left + 34 * u), top=int(0.5 * (_FIRST_ROW + _SECOND_ROW) * u))

    @property
    def _at_address(self) -> str:
        return f"address {degrees_text(self.address_deg)}"

    def _left(self, marks: Marks) -> float:
        """Where the right-hand column begins, wide enough for any angle it will show."""
        widest = max((self._at_address, "now −88°"), key=len)
        return marks.width - (_EDGE + 48) * marks.unit - marks.text_size(widest, size=LABEL_PX)[0]


@dataclass(frozen=True)
class CornerAngle:
    """The trunk's angle alone, in an upper corner that the club passes far from.

    Attributes:
        size: text height in a view 720 pixels wide.
        on_the_left: in the left corner, as for a left-handed golfer.

    """

    size: int
    on_the_left: bool

    def still(self, width: int, look: Look) -> None:
        """Nothing."""
        del width, look

    def words(self, shown: SwingView) -> str:
        """The angle at the moment."""
        return degrees_text(shown.inclination_top_deg)

    def written(self, words: str, width: int, look: Look) -> Patch:
        """The angle in its corner."""
        band = _band(width, look)
        with band as marks:
            u = marks.unit
            place = (_EDGE * u if self.on_the_left else width - _EDGE * u, 0.5 * _HEIGHT * u)
            anchor = "lm" if self.on_the_left else "rm"
            marks.text(place, words, look.mark_top, size=self.size, bold=True, anchor=anchor)
        return _drawn(band)


def _band(width: int, look: Look) -> Marks:
    """Marks over an empty band along the picture's upper edge."""
    return Marks(np.zeros((max(8, round(_HEIGHT * width / 720)), width, 3), np.uint8), look.halo)


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
