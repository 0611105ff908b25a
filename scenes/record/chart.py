"""Charts of a student's record: the head over the sessions, and what was got of each feel."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from dataclasses import dataclass
from html import escape
from typing import TYPE_CHECKING

from ...render.palette import OVERSHOOT, css
from ..paper.axes import BOTTOM, HEIGHT, LEFT, RIGHT, WIDTH, Axes, inside, svg, ticks, with_sign
from ..paper.styles import STYLES, Style, marker

if TYPE_CHECKING:
    from markupsafe import Markup

BAND, WHISKER = "#dfe4e8", "#55616d"
READ, PAST, BY_HEAD = STYLES[0], Style(css(OVERSHOOT), "", "ring"), STYLES[3]
"""A film; one that went past the goal; an amount that only the head tells."""
DATE_PX = 56
"""A date below the axis, with the gap to the next."""
MOST_MARKERS = 60
"""Films drawn with whiskers; with more only the last ones."""
FILM, WENT_PAST, AS_READ, AS_HEAD_TELLS, RESPONSE = "film", "past the goal", "read", "head", "response"
"""Names of what is drawn, by which it can be found."""


@dataclass(frozen=True)
class Seen:
    """One film in a chart.

    Attributes:
        number: of its entry, which tells films of one day apart.
        date: ``YYYY-MM-DD``.
        value: in the chart's unit.
        sd: of reading it.
        past: whether it went past the goal.
    """

    number: int
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


def head_chart(title: str, unit: str, films: Sequence[Seen], still: float | None, ends: tuple[str, str]) -> Markup:
    """The head at the top, film after film, with the still band.

    Films are spaced evenly, in the order of their dates: what matters is what came after what. Below each stands the
    number of its entry, and its day.

    Args:
        title: what is shown, for the description.
        unit: of the values.
        films: oldest first, at least one.
        still: half the width of the still band; None for the way that it leaves open.
        ends: what up and down on the axis mean.
    """
    films = films[-MOST_MARKERS:]
    reach = [value for film in films for value in (film.value - film.sd, film.value + film.sd)]
    marks = _marks([*reach, -2.0 * (still or 0.0), 2.0 * (still or 0.0)])
    axes = Axes.of((-0.5, len(films) - 0.5), (marks[0], marks[-1]))
    parts = [] if still is None else [_band(axes, still)]
    parts += axes.levels(marks, with_sign)
    places = [min(max(axes.x(k), LEFT + 16), WIDTH - RIGHT - 18) for k in range(len(films))]
    named = _named(places)
    parts += axes.uprights(named, lambda k: str(films[round(k)].number))
    for k in named:
        day = _day(films[k].date)
        parts.append(
            f'<text class="day" x="{places[k]:.1f}" y="{HEIGHT - BOTTOM + 36}" text-anchor="middle">{day}</text>'
        )
    parts += axes.y_ends(ends, unit)
    parts.append(axes.course(FILM, range(len(films)), [film.value for film in films], READ))
    for k, film in enumerate(films):
        name, style = (WENT_PAST, PAST) if film.past else (FILM, READ)
        parts.append(_point(axes, name, style, k, film.value, film.sd))
    first, last = (f"{film.value:+.1f} {unit} on {film.date}" for film in (films[0], films[-1]))
    meaning = "" if still is None else f"; still is within {still:.1f} {unit}"
    return svg(parts, f"{title}: from {first} to {last}{meaning}.")


def response_chart(title: str, unit: str, feels: Sequence[Felt], response: tuple[float, float, float]) -> Markup:
    """What a film showed of each feel, the response as a line and its 90 % interval as a wedge.

    Args:
        title: what is shown, for the description.
        unit: of felt and got.
        feels: at least one.
        response: mean, low and high.
    """
    mean, low, high = response
    felt = [feel.felt for feel in feels]
    farthest = 1.1 * max(abs(value) for value in felt)
    left, right = (-farthest if min(felt) < 0 else 0.0), (farthest if max(felt) > 0 else 0.0)
    reach = [value for feel in feels for value in (feel.got - feel.sd, feel.got + feel.sd)]
    marks = _marks([*reach, 0.0, *(end * ratio for end in (left, right) for ratio in (low, high))])
    axes = Axes.of((left, right), (marks[0], marks[-1]))
    parts = [_wedge(axes, end, low, high) for end in (left, right) if end]
    parts += [*axes.levels(marks, with_sign), *axes.uprights(inside(ticks(left, right), left, right), with_sign)]
    parts += [axes.x_name(f"felt or asked for, {unit}"), *axes.y_ends(("got on film", ""), unit)[:1]]
    parts.append(axes.course(RESPONSE, (left, right), (left * mean, right * mean), READ))
    for feel in feels:
        name, style = (AS_HEAD_TELLS, BY_HEAD) if feel.by_head else (AS_READ, READ)
        parts.append(_point(axes, name, style, feel.felt, feel.got, feel.sd))
    return svg(parts, f"{title}: {mean:.2f} got of each {unit} felt, 90 % between {low:.2f} and {high:.2f}.")


def sign(style: Style) -> Markup:
    """A marker, for a legend."""
    return _sign(marker(style, 17, 9))


def band_sign() -> Markup:
    """The still band, for a legend."""
    return _sign(f'<rect width="34" height="18" fill="{BAND}"/>')


def _sign(drawn: str) -> Markup:
    from markupsafe import Markup

    return Markup(f'<svg class="sign" viewBox="0 0 34 18" width="34" height="18" aria-hidden="true">{drawn}</svg>')


def _marks(values: Sequence[float]) -> list[float]:
    # Room for the ends' names, so that they do not stand on what is drawn.
    room = 0.16 * (max(values) - min(values))
    return ticks(min(values) - room, max(values) + room)


def _band(axes: Axes, still: float) -> str:
    top, height = axes.y(still), axes.y(-still) - axes.y(still)
    width = axes.x.end - axes.x.start
    return f'<rect x="{axes.x.start}" y="{top:.1f}" width="{width}" height="{height:.1f}" fill="{BAND}"/>'


def _wedge(axes: Axes, end: float, low: float, high: float) -> str:
    x, y = axes.x, axes.y
    return (
        f'<path class="wedge" d="M{x(0):.1f} {y(0):.1f}L{x(end):.1f} {y(end * low):.1f}V{y(end * high):.1f}Z" '
        f'fill="{BAND}"/>'
    )


def _point(axes: Axes, name: str, style: Style, at: float, value: float, sd: float) -> str:
    """A marker on its whisker of one sd up and down."""
    x, top, bottom = axes.x(at), axes.y(value + sd), axes.y(value - sd)
    return (
        f'<g data-name="{escape(name)}"><path class="whisker" d="M{x:.1f} {top:.1f}V{bottom:.1f}'
        f'M{x - 4:.1f} {top:.1f}h8M{x - 4:.1f} {bottom:.1f}h8" stroke="{WHISKER}" stroke-width="1.3" fill="none"/>'
        f"{axes.marker(style, at, value)}</g>"
    )


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
