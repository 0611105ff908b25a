"""The fitted golfer drawn by the fitted camera over the keypoints of a film, at address and at the top."""

from __future__ import annotations

from typing import TYPE_CHECKING

from markupsafe import Markup

from ...model.films.film_sides import IN_WORDS
from ...render.palette import FIRST_SWING, SECOND_SWING, css

if TYPE_CHECKING:
    from .report import ReadReport

LINES = (
    ("left_ankle", "left_knee"), ("left_knee", "left_hip"), ("right_ankle", "right_knee"), ("right_knee", "right_hip"),
    ("left_hip", "right_hip"), ("left_shoulder", "right_shoulder"), ("left_hip", "left_shoulder"),
    ("right_hip", "right_shoulder"),
)  # fmt: skip
"""What is drawn between fitted keypoints."""
MOMENTS = {"address": "at address", "top": "at the top"}
_MARGIN = 0.12
_WIDTH, _TALLEST = 300.0, 460.0


def panels(report: ReadReport) -> list[tuple[str, Markup]]:
    """A caption and a drawing for each film and moment."""
    return [
        (f"{IN_WORDS[view].capitalize()}, {words}", _panel(report, view, moment))
        for view in report.moments
        for moment, words in MOMENTS.items()
    ]


def _panel(report: ReadReport, view: str, moment: str) -> Markup:
    # Both moments of a film in one frame, so that what moved is seen.
    film = [one for one in report.keypoints if one.view == view]
    here = {one.keypoint: one for one in film if one.moment == moment}
    heads = [one for one in report.heads if one.view == view]
    across = [one.fitted_x_px for one in film] + [one.x_px + side * one.radius_px for one in heads for side in (-1, 1)]
    down = [one.fitted_y_px for one in film] + [one.y_px + side * one.radius_px for one in heads for side in (-1, 1)]
    left, top, right, bottom = min(across), min(down), max(across), max(down)
    room = _MARGIN * (bottom - top)
    scale = min(_WIDTH / (right - left + 2.0 * room), _TALLEST / (bottom - top + 2.0 * room))
    width, height = scale * (right - left + 2.0 * room), scale * (bottom - top + 2.0 * room)

    def at(x: float, y: float) -> tuple[float, float]:
        return scale * (x - left + room), scale * (y - top + room)

    parts = []
    for one, other in LINES:
        a, b = here[one], here[other]
        (x1, y1), (x2, y2) = at(a.fitted_x_px, a.fitted_y_px), at(b.fitted_x_px, b.fitted_y_px)
        parts.append(f'<line x1="{x1:.1f}" y1="{y1:.1f}" x2="{x2:.1f}" y2="{y2:.1f}" class="fitted"/>')
    head = next(one for one in heads if one.moment == moment)
    x, y = at(head.x_px, head.y_px)
    parts.append(f'<circle cx="{x:.1f}" cy="{y:.1f}" r="{scale * head.radius_px:.1f}" class="fitted"/>')
    if moment == "top":
        start = next(one for one in heads if one.moment == "address")
        x0, y0 = at(start.x_px, start.y_px)
        parts.append(f'<circle cx="{x0:.1f}" cy="{y0:.1f}" r="{scale * start.radius_px:.1f}" class="was"/>')
        parts.append(f'<line x1="{x0:.1f}" y1="{y0:.1f}" x2="{x:.1f}" y2="{y:.1f}" class="went"/>')
    for point in here.values():
        if point.seen_x_px is None or point.seen_y_px is None:
            continue
        (x1, y1), (x2, y2) = at(point.fitted_x_px, point.fitted_y_px), at(point.seen_x_px, point.seen_y_px)
        parts.append(f'<line x1="{x1:.1f}" y1="{y1:.1f}" x2="{x2:.1f}" y2="{y2:.1f}" class="off"/>')
        parts.append(f'<circle cx="{x2:.1f}" cy="{y2:.1f}" r="3" class="seen"/>')
    title = f"The fitted golfer over the keypoints of the film {IN_WORDS[view]} {MOMENTS[moment]}"
    return Markup(
        f'<svg class="chart film" viewBox="0 0 {width:.0f} {height:.0f}" role="img" aria-label="{title}">'
        f"<title>{title}</title>{''.join(parts)}</svg>"
    )


def style() -> Markup:
    """The drawing's colours, as CSS."""
    return Markup(
        f".film .fitted {{ stroke: {css(FIRST_SWING)}; stroke-width: 2; fill: none; }}\n"
        f".film .seen {{ fill: {css(SECOND_SWING)}; stroke: #fff; }}\n"
        f".film .off {{ stroke: {css(SECOND_SWING)}; stroke-width: 1.4; }}\n"
        ".film .was { stroke: #55616d; fill: none; stroke-dasharray: 4 3; }\n"
        ".film .went { stroke: #55616d; stroke-width: 1.4; }\n"
        ".film { max-height: 480px; }\n"
    )
