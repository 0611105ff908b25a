"""The fitted golfer over the pictures of a film at address and at the top, with the keypoints as they were seen."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from markupsafe import Markup

from ...model.films.film_sides import IN_WORDS
from ...render.palette import FIRST_SWING, OVERSHOOT, SECOND_SWING, css

if TYPE_CHECKING:
    from .panel_pictures import PanelPicture
    from .report import ReadReport

MOMENTS = {"address": "at address", "top": "at the top"}
FAR_SD = 2.0
"""Standard deviations from which on a keypoint is drawn as off."""
_DOT = 0.008
"""Radius of a keypoint, of the drawing's height..."""
_GLOW = 0.002
"""...and how far the light edge of lines reaches."""


def panels(report: ReadReport, pictures: Mapping[tuple[str, str], PanelPicture]) -> list[tuple[str, Markup]]:
    """A caption and a drawing for each film and moment."""
    return [
        (f"{IN_WORDS[view].capitalize()}, {words}{_frame(report, view, moment)}", _panel(report, view, moment, picture))
        for view in report.moments
        for moment, words in MOMENTS.items()
        if (picture := pictures[view, moment])
    ]


def _frame(report: ReadReport, view: str, moment: str) -> str:
    own = report.moments[view]
    if moment == "top":
        return f", frame {own.top_frame:.0f}"
    first, last = own.address_window
    return f", frames {first:.0f} to {last:.0f}"


def _panel(report: ReadReport, view: str, moment: str, picture: PanelPicture) -> Markup:
    left, top, width, height = picture.box
    place = f'x="{left:.1f}" y="{top:.1f}" width="{width:.1f}" height="{height:.1f}" preserveAspectRatio="none"'
    behind = f'<image href="{picture.film}" {place}/>' if picture.film else ""
    parts = [f'<image href="{picture.outline}" {place}/>']
    heads = {one.moment: one for one in report.heads if one.view == view}
    head, start = heads[moment], heads["address"]
    if moment == "top":
        parts.append(_circle("was", start.x_px, start.y_px, start.radius_px))
        parts.append(_line("went", start.x_px, start.y_px, head.x_px, head.y_px))
        way = " ".join(f"{x:.1f},{y:.1f}" for x, y in report.face_paths[view])
        parts.append(f'<polyline points="{way}" class="face"/>')
    parts.append(_circle("head", head.x_px, head.y_px, head.radius_px))
    for point in report.keypoints:
        if (point.view, point.moment) != (view, moment) or point.seen_x_px is None or point.seen_y_px is None:
            continue
        parts.append(_line("off", point.fitted_x_px, point.fitted_y_px, point.seen_x_px, point.seen_y_px))
        kind = "seen far" if (point.off_sd or 0.0) >= FAR_SD else "seen"
        parts.append(_circle(kind, point.seen_x_px, point.seen_y_px, _DOT * height))
    # A light edge, so that lines are seen before dark and light clothes alike.
    glow = f"drop-shadow(0 0 {_GLOW * height:.2f}px #fff)"
    title = f"The fitted golfer over the keypoints of the film {IN_WORDS[view]} {MOMENTS[moment]}"
    return Markup(
        f'<svg class="chart film" viewBox="{left:.1f} {top:.1f} {width:.1f} {height:.1f}" role="img" '
        f'aria-label="{title}"><title>{title}</title>{behind}<g style="filter:{glow} {glow}">{"".join(parts)}</g></svg>'
    )


def _circle(kind: str, x: float, y: float, radius: float) -> str:
    return f'<circle cx="{x:.1f}" cy="{y:.1f}" r="{radius:.1f}" class="{kind}"/>'


def _line(kind: str, x: float, y: float, to_x: float, to_y: float) -> str:
    return f'<line x1="{x:.1f}" y1="{y:.1f}" x2="{to_x:.1f}" y2="{to_y:.1f}" class="{kind}"/>'


def style() -> Markup:
    """The drawing's colours, as CSS; lines have one width whatever the film's size."""
    return Markup(
        ".film { max-height: 520px; background: #fff; }\n"
        ".film circle, .film line, .film polyline { vector-effect: non-scaling-stroke; fill: none; stroke-width: 2; }\n"
        f".film .head {{ stroke: {css(FIRST_SWING)}; }}\n"
        f".film circle.seen {{ fill: {css(SECOND_SWING)}; stroke: #fff; stroke-width: 1; }}\n"
        f".film circle.far {{ fill: {css(OVERSHOOT)}; }}\n"
        f".film .off {{ stroke: {css(SECOND_SWING)}; }}\n"
        f".film .was {{ stroke: {css(FIRST_SWING)}; stroke-dasharray: 5 4; }}\n"
        f".film .went {{ stroke: {css(FIRST_SWING)}; }}\n"
        f".film .face {{ stroke: {css(SECOND_SWING)}; stroke-dasharray: 2 3; }}\n"
    )
