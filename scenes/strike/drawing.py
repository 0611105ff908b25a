"""The arc at the ball as inline SVG, to scale: from face-on with the ground, and from above with the target line."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from html import escape
from typing import TYPE_CHECKING

from ..paper.axes import TEXT_PX, inside, svg, ticks, with_sign
from ..paper.styles import STYLES, Style
from ..words.at_ball import BALL_CM
from ..words.units import CM_PER_INCH
from .columns import is_off
from .report import PathPlace

if TYPE_CHECKING:
    from markupsafe import Markup

    from .report import StrikeReport, StruckSwing

WIDTH = 360
LEFT, RIGHT, TOP, BOTTOM = 34, 10, 12, 40
ALONG_CM = (-34.0, 34.0)
"""What is drawn along the target line, from the ball."""
FACE_ON_CM, ABOVE_CM = (-6.0, 22.0), (-14.0, 14.0)
"""What is drawn upward, and away from the golfer, at least."""
_At = Callable[[float, float], tuple[float, float]]
CENTRED = (Style("#7b8794", "5 4", "ring"), Style("#7b8794", "1 3", "ring"))
"""How arcs of centred swings are drawn: of the only one or the first swing's, and of the second's."""
SAME_PATH_CM = 0.05
"""Paths nearer to each other are drawn once (our choice)."""


def arcs(report: StrikeReport, inches: bool = False) -> list[tuple[str, Markup]]:
    """Captions and drawings, face-on and from above."""
    unit = "in" if inches else "cm"
    return [
        (f"Face-on: along the target line and up from the ground, {unit}, to scale", _drawn(report, "up_cm", inches)),
        (
            f"From above: along the target line and away from the golfer, {unit}, to scale",
            _drawn(report, "toward_ball_cm", inches),
        ),
    ]


def lines(report: StrikeReport) -> list[tuple[Style, str, Sequence[PathPlace], StruckSwing]]:
    """Every path that is drawn: style, name, places, and the swing that it is of or is centred for.

    Swings whose heels, heads or bodies differ are held against centred swings that differ, and each is drawn.
    """
    found = [(STYLES[k], swing.preset, swing.path, swing) for k, swing in enumerate(report.swings)]
    alike = all(_same(report.swings[0].centred_path, swing.centred_path) for swing in report.swings[1:])
    # A swing in which nothing is off is its own centred one.
    drawn = [swing.path for swing in report.swings if not any(map(is_off, swing.pieces_at_impact))]
    centred = []
    for style, swing in zip(CENTRED, report.swings, strict=False):
        if not any(_same(swing.centred_path, path) for path in drawn):
            drawn.append(swing.centred_path)
            name = "the centred swing" if alike else f"the centred swing of {swing.preset}"
            centred.append((style, name, swing.centred_path, swing))
    return [*centred, *found]


def _same(one: Sequence[PathPlace], other: Sequence[PathPlace]) -> bool:
    return all(
        abs(getattr(place, key) - getattr(there, key)) < SAME_PATH_CM
        for place, there in zip(one, other, strict=True)
        for key in PathPlace.model_fields
    )


def _drawn(report: StrikeReport, upward: str, inches: bool) -> Markup:
    per = CM_PER_INCH if inches else 1.0
    mirrored = -1.0 if report.swings[0].body.handedness == "left" else 1.0
    paths = lines(report)
    least = FACE_ON_CM if upward == "up_cm" else ABOVE_CM
    near = [
        getattr(place, upward)
        for _, _, path, _ in paths
        for place in path
        if ALONG_CM[0] * 0.6 <= place.toward_target_cm <= ALONG_CM[1] * 0.6
    ] or [0.0]
    low, high = min(least[0], min(near) - 2.0), max(least[1], max(near) + 2.0)
    scale = (WIDTH - LEFT - RIGHT) / (ALONG_CM[1] - ALONG_CM[0])
    height = TOP + BOTTOM + scale * (high - low)
    middle = LEFT + scale * (0.0 - ALONG_CM[0])

    def at(along: float, up: float) -> tuple[float, float]:
        return middle + mirrored * scale * along, TOP + scale * (high - up)

    right, bottom = WIDTH - RIGHT, height - BOTTOM
    frame = f'x="{LEFT}" y="{TOP}" width="{right - LEFT}" height="{bottom - TOP:.1f}"'
    parts = [f'<clipPath id="{upward}"><rect {frame}/></clipPath>']
    parts += _grid(at, (low, high), per, right, bottom)
    if upward == "up_cm":
        _, ground = at(0.0, 0.0)
        parts.append(
            f'<rect class="ground" x="{LEFT}" y="{ground:.1f}" width="{right - LEFT}" height="{bottom - ground:.1f}"/>'
            f'<line class="ground-line" x1="{LEFT}" x2="{right}" y1="{ground:.1f}" y2="{ground:.1f}"/>'
        )
    x, y = at(0.0, BALL_CM / 2.0 if upward == "up_cm" else 0.0)
    drawn = 'fill="#fff" stroke="#55616d" stroke-width="1.4"'
    parts.append(f'<circle class="ball" cx="{x:.1f}" cy="{y:.1f}" r="{scale * BALL_CM / 2.0:.1f}" {drawn}/>')
    for style, name, path, swing in paths:
        points = " ".join("{:.1f},{:.1f}".format(*at(one.toward_target_cm, getattr(one, upward))) for one in path)
        dash = f' stroke-dasharray="{style.dash}"' if style.dash else ""
        parts.append(
            f'<polyline clip-path="url(#{upward})" data-name="{escape(name)}" points="{points}" fill="none" '
            f'stroke="{style.colour}" stroke-width="2.4"{dash}/>'
        )
        parts.append(_low_point(at, style, path, swing, upward))
    toward, away = ("target →", "") if mirrored > 0 else ("", "← target")
    parts.append(
        f'<text class="end" x="{LEFT}" y="{height - 6:.0f}">{away}</text>'
        f'<text class="end" x="{right}" y="{height - 6:.0f}" text-anchor="end">{toward}</text>'
    )
    told = "; ".join(f"{name}: {_told(swing, style in CENTRED)}" for style, name, _, swing in paths)
    return svg(parts, f"The arc of the club at the ball. {told}.", WIDTH, round(height))


def _low_point(at: _At, style: Style, path: Sequence[PathPlace], swing: StruckSwing, upward: str) -> str:
    strike = swing.centred if style in CENTRED else swing.strike
    ahead = strike.low_point_ahead_cm
    if ahead is None or not ALONG_CM[0] < ahead < ALONG_CM[1]:
        return ""
    beyond = min(path, key=lambda one: abs(one.toward_target_cm - ahead)).toward_ball_cm
    x, y = at(ahead, (strike.low_point_up_cm or 0.0) if upward == "up_cm" else beyond)
    drawn = f'fill="#fff" stroke="{style.colour}" stroke-width="2.4"'
    return f'<circle class="low" cx="{x:.1f}" cy="{y:.1f}" r="5" {drawn}/>'


def _grid(at: _At, span: tuple[float, float], per: float, right: float, bottom: float) -> list[str]:
    parts = []
    for mark in inside(ticks(ALONG_CM[0] / per, ALONG_CM[1] / per, 8), ALONG_CM[0] / per, ALONG_CM[1] / per):
        x, _ = at(mark * per, 0.0)
        parts.append(
            f'<line class="{"zero" if mark == 0 else "grid"}" x1="{x:.1f}" x2="{x:.1f}" y1="{TOP}" y2="{bottom:.1f}"/>'
            f'<text class="upright" x="{x:.1f}" y="{bottom + TEXT_PX + 3:.1f}" text-anchor="middle">'
            f"{with_sign(mark)}</text>"
        )
    for mark in inside(ticks(span[0] / per, span[1] / per, 7), span[0] / per, span[1] / per):
        _, y = at(0.0, mark * per)
        parts.append(
            f'<line class="{"zero" if mark == 0 else "grid"}" x1="{LEFT}" x2="{right}" y1="{y:.1f}" y2="{y:.1f}"/>'
            f'<text class="level" x="{LEFT - 5}" y="{y + 4.5:.1f}" text-anchor="end">{with_sign(mark)}</text>'
        )
    return parts


def _told(swing: StruckSwing, centred: bool) -> str:
    strike = swing.centred if centred else swing.strike
    ahead = strike.low_point_ahead_cm
    low = "no low point" if ahead is None else f"low point {ahead:+.1f} cm past it"
    return f"{low}, {strike.club_up_at_ball_cm:+.1f} cm up at the ball"
