"""One marked picture of a swing from one view: the front door of this room."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from ...model.arrays import Array, ArrayLike
from ...model.chain.skeleton import Skeleton
from ...model.films.camera import Camera
from ..body.body_surface import MeasuredBody
from ..figure.figure import Posed
from ..figure.look import Look
from ..palette import ADDRESS, INK, NOW, PLUMB_LINE
from ..stage.stage import Stage
from .lines import FACE_ON, LINES, Angle, Line
from .marks import LINE_PX, Marks, circle, free_place

if TYPE_CHECKING:
    from PIL import Image

ANGLE_PX, MOMENT_PX = 30, 26
"""Heights of an angle and of the moment's name over it, in a picture 720 pixels wide (by looking)."""


@dataclass(frozen=True)
class SwingView:
    """What one picture shows of one swing.

    Attributes:
        address: the posture at address, one moment.
        top: the posture that is compared with it, one moment: the top, or a later or earlier one.
        head_path: ``(M, 3)`` metres, world: the head's centre from address to that moment.
        head_radius_m: of the circle drawn round the head.
        angles: by the words of the view's ``LINES``, written beside them: give the ones seen from this view, so that
            number and line agree.
        view: ``FACE_ON``, which adds a plumb line through the address head, ``DOWN_THE_LINE`` or ``ABOVE``.
        title: name of the swing.
        left_handed: the skeletons are mirror images (world y negated).
        moment: what a picture calls the moment of ``top``.

    """

    address: Skeleton
    top: Skeleton
    head_path: Array
    head_radius_m: float
    angles: Mapping[str, Angle]
    view: str
    title: str
    left_handed: bool
    moment: str = "top"

    @property
    def lines(self) -> tuple[Line, ...]:
        """What this view marks."""
        return LINES[self.view]

    def ends(self, line: Line) -> dict[str, Array]:
        """``(2, 3)`` metres, world, by moment: where a line is drawn."""
        return {
            moment: line.ends(posture, self.angles[line.word].at(moment), self.left_handed)
            for moment, posture in (("address", self.address), ("top", self.top))
        }


def angle_text(word: str, angle_deg: float) -> str:
    """An angle with its word, in whole degrees with a true minus sign."""
    return f"{word} {degrees_text(angle_deg)}"


def degrees_text(angle_deg: float) -> str:
    """Whole degrees with a true minus sign."""
    return f"{angle_deg:.0f}°".replace("-", "−")


def comparison_picture(
    body: MeasuredBody,
    swing_view: SwingView,
    camera: Camera,
    look: Look | None = None,
    *,
    stage: Stage | None = None,
) -> Image.Image:
    """Address as an outline and the top, or another moment, as a solid figure; head and the view's lines are marked.

    Args:
        body: the body's measures.
        swing_view: what to show.
        camera: where from.
        look: what is worn and all colours; the stage's by default.
        stage: an open stage to draw on, so that several pictures share one window.

    Returns:
        The picture, ``camera.width`` by ``camera.height``, RGB.

    Raises:
        OpenGLMissing: where no window can be opened.

    """
    if stage is None:
        with Stage() as opened:
            return comparison_picture(body, swing_view, camera, look, stage=opened)
    figure = stage.figure(body, swing_view.address, left_handed=swing_view.left_handed, look=look)
    top, address = Posed.of(figure, swing_view.top), Posed.of(figure, swing_view.address)
    drawn = stage.layers(camera, top, address)
    return marked(drawn.compose(), drawn.covered(), swing_view, camera)


def marked(
    picture: NDArray[np.uint8], covered: NDArray[np.bool_], swing_view: SwingView, camera: Camera
) -> Image.Image:
    """The picture with its marks drawn over it.

    Args:
        picture: ``(h, w, 3)`` red, green, blue.
        covered: ``(h, w)`` true where the figures are, which labels avoid.
        swing_view: what is shown.
        camera: where from.

    """
    with Marks(picture) as marks:
        draw_plumb_line(marks, swing_view, camera)
        lines = draw_lines(marks, swing_view, camera)
        heads = draw_heads(marks, swing_view, camera)
        taken = _draw_titles(marks, swing_view)
        if len(lines) > 1:  # More words than the sides have room for: they may not run into the heads.
            taken += heads
        _draw_angles(marks, swing_view, covered, lines, taken)
    assert marks.result is not None  # Set on leaving the block.
    return marks.result


def draw_plumb_line(marks: Marks, shown: SwingView, camera: Camera) -> None:
    """Through the head at address, in the face-on view only."""
    if shown.view != FACE_ON:
        return
    head = np.asarray(shown.head_path[0], float)
    above = np.array([0.0, 0.0, 2.4 * shown.head_radius_m])
    ends = camera.project(np.stack([head + above, head * [1.0, 1.0, 0.0]]))
    marks.line(ends, PLUMB_LINE, width=2.4, dashed=True, edge=INK, edge_px=0.8)


def draw_address(marks: Marks, points: ArrayLike) -> None:
    """A line of the address: thinner, dashed, with a dark edge."""
    marks.line(points, ADDRESS, width=0.6 * LINE_PX, dashed=True, edge=INK, edge_px=1.1)


def draw_lines(marks: Marks, shown: SwingView, camera: Camera) -> dict[str, dict[str, Array]]:
    """The view's lines at both moments; returns them as ``(2, 2)`` pixels by word and moment."""
    drawn = {}
    for line in shown.lines:
        ends = {moment: camera.project(places) for moment, places in shown.ends(line).items()}
        # The dashes go over the solid line, so that both are seen where nothing moved.
        marks.line(ends["top"], NOW)
        draw_address(marks, ends["address"])
        marks.dot(ends["address"][0], ADDRESS, edge=INK)
        marks.dot(ends["top"][0], NOW)
        drawn[line.word] = ends
    return drawn


def draw_heads(marks: Marks, shown: SwingView, camera: Camera) -> list[Array]:
    """Circles round the head at address and at the moment shown, and its path between; returns the circles' boxes."""
    path = np.asarray(shown.head_path, float)
    centres = camera.project(path)
    radius = camera.K[0, 0] * shown.head_radius_m / camera.depth(path)
    marks.line(circle(centres[-1], float(radius[-1])), NOW)
    draw_address(marks, circle(centres[0], float(radius[0])))
    marks.line(centres, NOW, width=0.8 * LINE_PX)
    marks.dot(centres[0], ADDRESS, edge=INK)
    marks.dot(centres[-1], NOW)
    return [np.concatenate([centres[k] - radius[k], centres[k] + radius[k]]) for k in (0, -1)]


def _draw_titles(marks: Marks, shown: SwingView) -> list[Array]:
    """Names of swing and view at the upper left, the legend at the upper right; returns the boxes in use."""
    u = marks.unit
    legend = marks.width - 22 * u - marks.text_size("address", size=28)[0] - 44 * u
    size = 34
    while size > 22 and marks.text_size(shown.title, size=size, bold=True)[0] > legend - 44 * u:
        size -= 1
    marks.text((22 * u, 34 * u), shown.title, INK, size=size, bold=True)
    marks.text((22 * u, 76 * u), shown.view, INK, size=28)
    draw_address(marks, circle((legend + 14 * u, 34 * u), 13 * u))
    marks.text((legend + 40 * u, 34 * u), "address", INK, size=28)
    marks.line(circle((legend + 14 * u, 76 * u), 13 * u), NOW)
    marks.text((legend + 40 * u, 76 * u), shown.moment, INK, size=28)
    return [np.array([0.0, 0.0, marks.width, 104 * u])]


def _draw_angles(
    marks: Marks,
    shown: SwingView,
    covered: NDArray[np.bool_],
    drawn: Mapping[str, Mapping[str, Array]],
    taken: list[Array],
) -> None:
    """Beside each line, what its angle is: the moment's name over the angle with its word."""
    u = marks.unit
    named = [(line, moment, share) for line in shown.lines for moment, share in line.told.items()]
    for line, moment, share in named:
        colour = {"top": NOW, "address": INK}[moment]
        words = angle_text(line.word, shown.angles[line.word].at(moment))
        called = shown.moment if moment == "top" else moment
        width = max(marks.text_size(words, size=ANGLE_PX, bold=True)[0], marks.text_size(called, size=MOMENT_PX)[0])
        first, second = drawn[line.word][moment]
        point = first + share * (second - first)
        # Nor over a line of the view, or the leader of another label.
        middle = free_place(covered | marks.inked(), (width + 8 * u, 76 * u), point, 12 * u, taken)
        toward = float(np.sign(point[0] - middle[0]))
        start = middle + np.array([toward * (width / 2 + 8 * u), 17 * u])
        marks.line([start, point], INK, width=1.4, edge_px=1.2)
        marks.dot(point, colour, radius=3.0)
        # Flush with the leader, so that both lines of words begin or end where it does.
        edge, anchor = middle[0] + toward * width / 2, "rm" if toward > 0 else "lm"
        marks.text((edge, middle[1] - 17 * u), called, colour, size=MOMENT_PX, anchor=anchor)
        marks.text((edge, middle[1] + 17 * u), words, colour, size=ANGLE_PX, bold=True, anchor=anchor)
