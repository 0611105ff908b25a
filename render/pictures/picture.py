"""One marked picture of a swing from one view: the front door of this room."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from ...model.arrays import Array
from ...model.chain.skeleton import Skeleton
from ...model.films.camera import Camera
from ..body.body_surface import MeasuredBody
from ..figure.figure import Posed
from ..figure.look import Look
from ..stage.stage import Stage
from .marks import LINE_PX, TEXT_PX, Marks, free_place

if TYPE_CHECKING:
    from PIL import Image

FACE_ON, DOWN_THE_LINE = "face-on", "down the line"


@dataclass(frozen=True)
class SwingView:
    """What one picture shows of one swing.

    Attributes:
        address: the posture at address, one moment.
        top: the posture at the top, one moment.
        head_path: ``(M, 3)`` metres, world: the head's centre from address to the top.
        head_radius_m: of the circle drawn round the head.
        inclination_address_deg: the trunk line's angle from the vertical at address, written beside it: give
            the one seen from this view, so that number and line agree.
        inclination_top_deg: the same at the top.
        view: name of the view; ``FACE_ON`` adds a plumb line through the address head.
        title: name of the swing.
        left_handed: the skeletons are mirror images (world y negated).

    """

    address: Skeleton
    top: Skeleton
    head_path: Array
    head_radius_m: float
    inclination_address_deg: float
    inclination_top_deg: float
    view: str
    title: str
    left_handed: bool = field(default=False)


def comparison_picture(
    body: MeasuredBody,
    swing_view: SwingView,
    camera: Camera,
    look: Look | None = None,
    *,
    stage: Stage | None = None,
) -> Image.Image:
    """Address as a ghost and the top as a solid figure, with the head and the trunk marked.

    Args:
        body: the body's measures.
        swing_view: what to show.
        camera: where from.
        look: the colours.
        stage: an open stage to draw on, so that several pictures share one window; its look is used.

    Returns:
        The picture, ``camera.width`` by ``camera.height``, RGB.

    Raises:
        OpenGLMissing: where no window can be opened.

    """
    if stage is None:
        with Stage(look) as opened:
            return comparison_picture(body, swing_view, camera, stage=opened)
    figure = stage.figure(body, swing_view.address, left_handed=swing_view.left_handed)
    top, address = Posed.of(figure, swing_view.top), Posed.of(figure, swing_view.address)
    drawn = stage.layers(camera, top, address)
    return marked(drawn.compose(), drawn.covered(), swing_view, camera, stage.look)


def marked(
    picture: NDArray[np.uint8], covered: NDArray[np.bool_], swing_view: SwingView, camera: Camera, look: Look
) -> Image.Image:
    """The picture with its marks drawn over it.

    Args:
        picture: ``(h, w, 3)`` red, green, blue.
        covered: ``(h, w)`` true where the figures are, which labels avoid.
        swing_view: what is shown.
        camera: where from.
        look: the colours.

    """
    with Marks(picture, look.halo) as marks:
        draw_plumb_line(marks, swing_view, camera, look)
        trunks = draw_trunks(marks, swing_view, camera, look)
        draw_heads(marks, swing_view, camera, look)
        taken = _draw_titles(marks, swing_view, look)
        _draw_angles(marks, swing_view, look, covered, trunks, taken)
    assert marks.result is not None  # Set on leaving the block.
    return marks.result


def draw_plumb_line(marks: Marks, shown: SwingView, camera: Camera, look: Look) -> None:
    """Through the head at address, in the face-on view only."""
    if shown.view != FACE_ON:
        return
    head = np.asarray(shown.head_path[0], float)
    above = np.array([0.0, 0.0, 2.4 * shown.head_radius_m])
    ends = camera.project(np.stack([head + above, head * [1.0, 1.0, 0.0]]))
    marks.line(ends, look.mark_address, width=1.8, dashed=True, edge=look.mark_ink, edge_px=0.8)


def address_style(look: Look) -> dict[str, object]:
    """How marks of the address are drawn: thinner, dashed, with a dark edge."""
    return {"width": 0.6 * LINE_PX, "dashed": True, "edge": look.mark_ink, "edge_px": 1.1}


def draw_trunks(marks: Marks, shown: SwingView, camera: Camera, look: Look) -> dict[str, Array]:
    """The lines from pelvis centre to neck base; returns them as ``(2, 2)`` pixels by moment."""
    ends = {
        name: camera.project(np.stack([posture.joints["pelvis"], posture.joints["neck_base"]]))
        for name, posture in (("address", shown.address), ("top", shown.top))
    }
    # The dashes go over the solid line, so that both are seen where nothing moved.
    marks.line(ends["top"], look.mark_top)
    marks.line(ends["address"], look.mark_address, **address_style(look))  # type: ignore[arg-type]
    marks.dot(ends["address"][0], look.mark_address, edge=look.mark_ink)
    marks.dot(ends["top"][0], look.mark_top)
    return ends


def draw_heads(marks: Marks, shown: SwingView, camera: Camera, look: Look) -> None:
    """Circles round the head at address and at the top, and its path between them."""
    path = np.asarray(shown.head_path, float)
    centres = camera.project(path)
    radius = camera.K[0, 0] * shown.head_radius_m / camera.depth(path)
    marks.circle(centres[-1], float(radius[-1]), look.mark_top)
    marks.circle(centres[0], float(radius[0]), look.mark_address, **address_style(look))
    marks.line(centres, look.mark_top, width=0.8 * LINE_PX)
    marks.dot(centres[0], look.mark_address, edge=look.mark_ink)
    marks.dot(centres[-1], look.mark_top)


def _draw_titles(marks: Marks, shown: SwingView, look: Look) -> list[Array]:
    """Names of swing and view at the upper left, the legend at the upper right; returns the boxes in use."""
    u = marks.unit
    legend = marks.width - 22 * u - marks.text_size("address", size=28)[0] - 44 * u
    size = 34
    while size > 22 and marks.text_size(shown.title, size=size, bold=True)[0] > legend - 44 * u:
        size -= 1
    marks.text((22 * u, 34 * u), shown.title, look.mark_ink, size=size, bold=True)
    marks.text((22 * u, 76 * u), shown.view, look.mark_ink, size=28)
    for name, y, colour, style in (
        ("address", 34 * u, look.mark_address, address_style(look)),
        ("top", 76 * u, look.mark_top, {}),
    ):
        marks.circle((legend + 14 * u, y), 13 * u, colour, **style)
        marks.text((legend + 40 * u, y), name, look.mark_ink, size=28)
    return [np.array([0.0, 0.0, marks.width, 104 * u])]


def _draw_angles(
    marks: Marks,
    shown: SwingView,
    look: Look,
    covered: NDArray[np.bool_],
    trunks: dict[str, Array],
    taken: list[Array],
) -> None:
    u = marks.unit
    plan: tuple[tuple[str, float, Callable[[Look], tuple[int, int, int]]], ...] = (
        ("top", shown.inclination_top_deg, lambda colours: colours.mark_top),
        ("address", shown.inclination_address_deg, lambda colours: colours.mark_ink),
    )
    for name, angle, colour in plan:
        text = f"{name} {angle:.0f}°"
        size = marks.text_size(text, size=TEXT_PX, bold=True)
        # Named near its middle, a little apart so that the two leaders do not run into each other.
        point = trunks[name][0] + (0.62 if name == "top" else 0.38) * (trunks[name][1] - trunks[name][0])
        middle = free_place(covered, (size[0] + 8 * u, 44 * u), point, 12 * u, taken)
        toward = np.sign(point[0] - middle[0])
        start = middle + np.array([toward * (size[0] / 2 + 8 * u), 0.0])
        marks.line([start, point], look.mark_ink, width=1.4, edge_px=1.2)
        marks.dot(point, colour(look), radius=3.0)
        marks.text(middle, text, colour(look), size=TEXT_PX, bold=True, anchor="mm")
