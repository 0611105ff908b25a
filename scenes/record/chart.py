"""Charts of a student's record as inline SVG: the head over the sessions, and what was got of each feel."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from dataclasses import dataclass
from html import escape

from ..paper.charts import BOTTOM, HEIGHT, LEFT, RIGHT, STYLES, TEXT_PX, TOP, WIDTH, marker, ticks

BAND, WHISKER = "#dfe4e8", "#55616d"
READ, PAST, BY_HEAD = STYLES[0], STYLES[1], STYLES[3]
"""A film; one that went past the goal; an amount that only the head tells."""
DATE_PX = 56
"""A date below the axis, with the gap to the next."""
MOST_MARKERS = 60
"""Films drawn with whiskers; with more only the last ones."""


@dataclass(frozen=True)
class Seen:
    """One film in a chart.

    Attributes:
        date: ``YYYY-MM-DD``.
        value: in the chart's unit.
        sd: of reading it.
        past: whether it went past the goal.
    """

    date: str
    value: float
    sd: float
    past: bool = False


@dataclass(frozen=True)
class Felt:
    """One feel that a film answered.

    Attributes:
        felt, got: in the chart's unit.
        sd: of reading what was got.
        by_head: whether only the head tells it.
    """

    felt: float
    got: float
    sd: float
    by_head: bool = False


def _svg(told: str, parts: Sequence[str]) -> str:
    return (
        f'<svg class="chart" viewBox="0 0 {WIDTH} {HEIGHT}" role="img" aria-label="{escape(told)}" '
        f'font-size="{TEXT_PX}">{"".join(parts)}</svg>'
    )


class _Frame:
    """Axes: places of values in pixels."""

    def __init__(self, left: float, right: float, values: Sequence[float]) -> None:
        self.left, self.right = left, right
        # Room for the axis' names, so that they do not stand on what is drawn.
        room = 0.16 * (max(values) - min(values))
        self.marks = ticks(min(values) - room, max(values) + room)
        self.low, self.high = self.marks[0], self.marks[-1]

    def x(self, value: float) -> float:
        return LEFT + (value - self.left) / (self.right - self.left) * (WIDTH - LEFT - RIGHT)

    def y(self, value: float) -> float:
        return TOP + (self.high - value) / (self.high - self.low) * (HEIGHT - TOP - BOTTOM)

    def levels(self) -> list[str]:
        parts = []
        for mark in self.marks:
            kind, at = "grid" if mark else "zero", self.y(mark)
            parts.append(f'<line class="{kind}" x1="{LEFT}" x2="{WIDTH - RIGHT}" y1="{at:.1f}" y2="{at:.1f}"/>')
            parts.append(f'<text x="{LEFT - 6}" y="{at + 4.5:.1f}" text-anchor="end">{_number(mark)}</text>')
        return parts

    def names(self, below: str, up: str, down: str) -> list[str]:
        middle = LEFT + (WIDTH - LEFT - RIGHT) / 2
        return [
            f'<text x="{middle}" y="{HEIGHT - 6}" text-anchor="middle">{escape(below)}</text>',
            f'<text class="end" x="{LEFT + 6}" y="{TOP + 12}">{escape(up)}</text>',
            f'<text class="end" x="{LEFT + 6}" y="{HEIGHT - BOTTOM - 6}">{escape(down)}</text>',
        ]

    def whisker(self, at: float, value: float, sd: float) -> str:
        x, top, bottom = self.x(at), self.y(value + sd), self.y(value - sd)
        return (
            f'<path d="M{x:.1f} {top:.1f}V{bottom:.1f}M{x - 4:.1f} {top:.1f}h8M{x - 4:.1f} {bottom:.1f}h8" '
            f'stroke="{WHISKER}" stroke-width="1.3" fill="none"/>'
        )


def _number(value: float) -> str:
    return f"{value:+g}".replace("-", "−") if value else "0"


def head_chart(title: str, unit: str, films: Sequence[Seen], still: float | None, ends: tuple[str, str]) -> str:
    """The head at the top, film after film, with the still band.

    Films are spaced evenly, in the order of their dates: what matters is what came after what.

    Args:
        title: what is shown, for the description.
        unit: of the values.
        films: oldest first, at least one.
        still: half the width of the still band; None for the way that it leaves open.
        ends: what up and down on the axis mean.
    """
    films = films[-MOST_MARKERS:]
    reach = [value for film in films for value in (film.value - film.sd, film.value + film.sd)]
    frame = _Frame(-0.5, len(films) - 0.5, [*reach, -2.0 * (still or 0.0), 2.0 * (still or 0.0)])
    parts = frame.levels()
    if still is not None:
        top, height = frame.y(still), frame.y(-still) - frame.y(still)
        parts.insert(
            0, f'<rect x="{LEFT}" y="{top:.1f}" width="{WIDTH - LEFT - RIGHT}" height="{height:.1f}" fill="{BAND}"/>'
        )
    years = list(dict.fromkeys(film.date[:4] for film in films))
    places = [min(max(frame.x(k), LEFT + 16), WIDTH - RIGHT - 18) for k in range(len(films))]
    for k in _named(places):
        at = places[k]
        parts.append(f'<text x="{at:.1f}" y="{HEIGHT - BOTTOM + 18}" text-anchor="middle">{_day(films[k].date)}</text>')
    span = years[0] if len(years) == 1 else f"{years[0]} to {years[-1]}"
    parts += frame.names(f"films in order, {span}", f"{ends[0]}, {unit}", f"{ends[1]}, {unit}")
    points = " ".join(f"{frame.x(k):.1f},{frame.y(film.value):.1f}" for k, film in enumerate(films))
    parts.append(f'<polyline points="{points}" fill="none" stroke="{READ.colour}" stroke-width="1.6"/>')
    for k, film in enumerate(films):
        parts.append(frame.whisker(k, film.value, film.sd))
        parts.append(marker(PAST if film.past else READ, frame.x(k), frame.y(film.value), 4.5))
    first, last = (f"{film.value:+.1f} {unit} on {film.date}" for film in (films[0], films[-1]))
    meaning = "" if still is None else f"; still is within {still:.1f} {unit}"
    return _svg(f"{title}: from {first} to {last}{meaning}.", parts)


def _named(places: Sequence[float]) -> list[int]:
    """Which films get their date written below, by place in pixels: the first, the last, and what fits between."""
    named = [0]
    for k, place in enumerate(places[1:-1], start=1):
        if place - places[named[-1]] >= DATE_PX and places[-1] - place >= DATE_PX:
            named.append(k)
    if len(places) > 1 and places[-1] - places[0] >= DATE_PX:
        named.append(len(places) - 1)
    return named


def _day(date: str) -> str:
    day = datetime.date.fromisoformat(date)
    # Not strftime's %b, which follows the machine's language.
    months = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"]
    return f"{day.day} {months[day.month - 1]}"


def response_chart(title: str, unit: str, feels: Sequence[Felt], response: tuple[float, float, float]) -> str:
    """What a film showed of each feel, the response as a line and its 90 % interval as a wedge.

    Args:
        title: what is shown, for the description.
        unit: of felt and got.
        feels: at least one.
        response: mean, low and high.
    """
    mean, low, high = response
    farthest = max(abs(feel.felt) for feel in feels)
    felt = [feel.felt for feel in feels]
    left = -1.1 * farthest if min(felt) < 0 else 0.0
    right = 1.1 * farthest if max(felt) > 0 else 0.0
    reach = [value for feel in feels for value in (feel.got - feel.sd, feel.got + feel.sd)]
    frame = _Frame(left, right, [*reach, 0.0, *(end * ratio for end in (left, right) for ratio in (low, high))])
    wedges = [
        f'<path d="M{frame.x(0):.1f} {frame.y(0):.1f}L{frame.x(end):.1f} {frame.y(end * low):.1f}'
        f'V{frame.y(end * high):.1f}Z" fill="{BAND}"/>'
        for end in (left, right)
        if end
    ]
    parts = [*wedges, *frame.levels()]
    for mark in ticks(left, right):
        if left <= mark <= right:
            at, last = frame.x(mark), frame.x(mark) > WIDTH - RIGHT - 12
            parts.append(f'<line class="grid" x1="{at:.1f}" x2="{at:.1f}" y1="{TOP}" y2="{HEIGHT - BOTTOM}"/>')
            parts.append(
                f'<text x="{at + (RIGHT - 2 if last else 0):.1f}" y="{HEIGHT - BOTTOM + 18}" '
                f'text-anchor="{"end" if last else "middle"}">{_number(mark)}</text>'
            )
    parts += frame.names(f"felt or asked for, {unit}", f"got on film, {unit}", "")
    line = f"M{frame.x(left):.1f} {frame.y(left * mean):.1f}L{frame.x(right):.1f} {frame.y(right * mean):.1f}"
    parts.append(f'<path d="{line}" stroke="{READ.colour}" stroke-width="2.4"/>')
    for feel in feels:
        parts.append(frame.whisker(feel.felt, feel.got, feel.sd))
        parts.append(marker(BY_HEAD if feel.by_head else READ, frame.x(feel.felt), frame.y(feel.got), 4.5))
    return _svg(f"{title}: {mean:.2f} got of each {unit} felt, 90 % between {low:.2f} and {high:.2f}.", parts)
