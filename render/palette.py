"""What each colour means, the same in pictures, films, charts and maps: one meaning a colour on any page.

Our own colours. Any two meanings stay apart for the common colour blindnesses too (``tests/render/test_palette.py``
simulates them), and nothing is told by colour alone: the address is dashed or an outline, and swings have dashes and
markers of their own.
"""

from __future__ import annotations

Colour = tuple[int, int, int]
"""Red, green, blue, each 0 to 255 (sRGB)."""

INK: Colour = (24, 28, 34)
"""Words, and the thin dark edge that light marks have."""
HALO: Colour = (255, 255, 255)
"""The edge around words and dark marks."""

ADDRESS: Colour = (255, 255, 255)
"""The address: its outline, its circle and its trunk line, edged in ink."""
NOW: Colour = (192, 68, 0)
"""The moment shown, or the top: its circle, its trunk line, the head's path there, its angle."""
PLUMB_LINE: Colour = (224, 188, 8)
"""The plumb line through the head at address, edged in ink."""
FIRST_SWING: Colour = (28, 60, 124)
SECOND_SWING: Colour = (19, 122, 108)
OVERSHOOT: Colour = (112, 12, 32)
"""Too much: what was overdone, lies beyond a range, or differs from what it is compared with."""


def css(colour: Colour) -> str:
    """``#rrggbb``."""
    return "#{:02x}{:02x}{:02x}".format(*colour)
