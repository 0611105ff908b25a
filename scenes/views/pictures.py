"""A picture of a view, and how a page shows it: whose it is and what is said of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from ..setups.options import TOP
from .names import VIEW_NOTES, VIEW_TITLES


@dataclass(frozen=True)
class ViewPicture:
    """One of several pictures.

    Attributes:
        index: of what it shows: a swing of a comparison, a step of an experiment.
        view: a key of ``VIEW_TITLES``.
        png: the file's content.
        moment: that of the solid figure, ``top`` or ``impact``.
    """

    index: int
    view: str
    png: bytes
    moment: str = field(default=TOP, kw_only=True)


@dataclass(frozen=True)
class ShownPicture:
    """A picture with what is said of it."""

    png: bytes
    name: str
    caption: str
    alt: str


@dataclass(frozen=True)
class ShownView:
    """All pictures of one view, under its title and what its marks mean."""

    title: str
    note: str
    pictures: Sequence[ShownPicture]

    @classmethod
    def of(cls, view: str, pictures: Sequence[ShownPicture]) -> ShownView:
        """A view by its name."""
        return cls(VIEW_TITLES[view], VIEW_NOTES[view], pictures)
