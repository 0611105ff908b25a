"""The golfers inside the comparison's page, which move in step and turn under a finger."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from ...model.swing.swing import Swing
from ..paper.frame import with_minus
from ..setups.options import MOMENTS
from ..setups.perform import Performed, swing_of
from ..views.framing import cameras_for
from ..views.names import ABOVE, SEEN, VIEW_TITLES, VIEWS, angles_told
from ..views.web_figure import WebFigure, web_figure
from ..words.pieces import head_words
from .stills import ALL_ALIKE, ARMS_DOWN

if TYPE_CHECKING:
    from ...model.films.camera import Camera
    from ...render.stage.stage import Stage

FEWEST_MOMENTS, MOST_MOMENTS = 31, 81
"""A swing with fewer does not run smoothly, and one with more only makes the page large."""
LEAST_COLUMN = 170
"""CSS pixels a golfer takes at least; more than fit are scrolled sideways."""


@dataclass(frozen=True)
class PageFigure:
    """The section, ready to be put into a page.

    Attributes:
        web: what the module draws from.
        names: of the swings.
        views: shown at first; the others wait to be chosen.
        through_impact: whether the swings go on past the ball.
        opens_at_impact: whether that is the moment shown at first, and not the top, up to which all are alike.
    """

    web: WebFigure
    names: tuple[str, ...]
    views: tuple[str, ...]
    through_impact: bool = False
    opens_at_impact: bool = False

    @property
    def ends(self) -> str:
        """Where the swings end, in a sentence."""
        if self.through_impact:
            pictures = f" {ALL_ALIKE}" if self.opens_at_impact else ""
            return f"It goes on through impact, {ARMS_DOWN}; numbers that do not say impact are of the top.{pictures}"
        return "It shows the way to the top, and no downswing."

    @property
    def rows(self) -> list[tuple[str, str, bool]]:
        """Every view, its title, and whether it is shown at first."""
        order = [*self.views, *(view for view in VIEW_TITLES if view not in self.views)]
        return [(view, VIEW_TITLES[view], view in self.views) for view in order]

    @property
    def columns(self) -> int:
        """Golfers side by side."""
        return len(self.names)

    @property
    def least_width(self) -> int:
        """CSS pixels that a row takes at least."""
        return LEAST_COLUMN * self.columns

    @property
    def angles_told(self) -> str:
        """Which angles are written."""
        return angles_told(VIEWS)

    @property
    def angles_from_above(self) -> str:
        """The same of the view that waits to be chosen."""
        return angles_told((ABOVE,))


def page_figure(
    performed: Sequence[Performed],
    views: Sequence[str],
    cameras: Sequence[Mapping[str, Camera]],
    stage: Stage,
    *,
    inches: bool = False,
    through_impact: bool = False,
    opens_at_impact: bool = False,
) -> PageFigure:
    """All swings, with the figures that the stage has made for their pictures.

    Args:
        performed: the swings.
        views: shown at first.
        cameras: of the pictures of each swing, by view.
        stage: open, or at least with its figures.
        inches: lengths in inches.
        through_impact: whether the golfers go on past the ball.
        opens_at_impact: whether they stand at impact at first.

    Raises:
        TurnstillError: what was asked cannot be simulated with enough moments.
    """
    swings = [_shown(one, through_impact) for one in performed]
    if through_impact:
        # The club sweeps aside on both sides of the golfer, so there is little to see above: a square shows it all.
        width = cameras[0][views[0]].width
        cameras = cameras_for(swings, width, width)
    figures = [stage.figure(s.body, s.skeleton[0], left_handed=s.left_handed) for s in swings]
    words = [{view: [*_heads(swing, axes, inches)] for view, (axes, _) in SEEN.items()} for swing in swings]
    names = tuple(one.setup.name for one in performed)
    web = web_figure(swings, figures, cameras, words)
    return PageFigure(web, names, tuple(views), through_impact, opens_at_impact)


def _shown(performed: Performed, through_impact: bool) -> Swing:
    """The swing in as many moments as a page takes."""
    swing = performed.swing
    if through_impact:
        as_many = swing.impact is not None and swing.at_top + 1 == MOMENTS
        return swing if as_many else swing_of(performed.setup, MOMENTS, through_impact=True)
    return swing if FEWEST_MOMENTS <= len(swing.progress) <= MOST_MOMENTS else swing_of(performed.setup, MOMENTS)


def _heads(swing: Swing, axes: tuple[int, ...], inches: bool) -> Iterator[str]:
    """Where a view shows the head at each moment."""
    for place in np.asarray(swing.measures.head_moved) * 100.0:
        yield with_minus(f"Head {head_words(place, inches, axes)}")
