"""The comparison as one page that needs no network and no second file."""

from __future__ import annotations

import base64
from collections.abc import Sequence
from html import escape
from typing import Any, Protocol

import numpy as np

from ... import __version__
from ..paper.charts import STYLES, Line, key, line_chart
from ..paper.page_style import STYLE
from ..views.names import SEEN, VIEW_NOTES, VIEW_TITLES
from ..words import cautions
from ..words.pieces import head_words
from ..words.units import CM_PER_INCH, length_unit, told_stature
from .film_section import STYLE as FILM_STYLE
from .film_section import PageFilm, film_section
from .side_by_side import numbers_table


class Shown(Protocol):
    """What the page needs of a picture."""

    @property
    def swing(self) -> int:
        """Index of the swing."""

    @property
    def view(self) -> str:
        """``face-on`` or ``down-the-line``."""

    @property
    def png(self) -> bytes:
        """The file's content."""


def comparison_page(
    reports: Sequence[dict[str, Any]],
    texts: Sequence[Sequence[str]],
    pictures: Sequence[Shown],
    *,
    film: PageFilm | None = None,
    inches: bool = False,
) -> str:
    """The whole page.

    Args:
        reports: of ``turnstill.scenes.simulate.report``, one a swing.
        texts: what differs, for each swing but the first.
        pictures: of every swing and view.
        film: of all swings and both views, if there is one.
        inches: lengths in inches.
    """
    names = [report["preset"] for report in reports]
    title = " vs ".join(names)
    style = STYLE + (FILM_STYLE if film else "")
    body = "\n".join(
        [
            _header(title, reports, inches),
            _short(names, texts),
            film_section(film, names) if film else "",
            *(_view(view, reports, pictures, inches) for view in VIEW_TITLES),
            _charts(reports, inches),
            f'<section class="sheet"><h2>The numbers</h2>{numbers_table(reports, inches)}</section>',
            _limits(reports),
            _care(),
        ]
    )
    return (
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<title>{escape(title)}</title>\n<style>{style}</style>\n</head>\n<body>\n{body}\n</body>\n</html>\n"
    )


def _header(title: str, reports: Sequence[dict[str, Any]], inches: bool) -> str:
    items = "".join(
        f"<li>{key(STYLES[k])}<strong>{escape(report['preset'])}</strong>"
        f"{': ' + escape(report['shows']) if report['shows'] else ''}</li>"
        for k, report in enumerate(reports)
    )
    golfers = list(dict.fromkeys(_golfer(report, inches) for report in reports))
    each = golfers if len(golfers) == 1 else [f"{report['preset']}: {_golfer(report, inches)}" for report in reports]
    who = escape("; ".join(each))
    return f'<header><h1>{escape(title)}</h1>\n<p class="who">{who}</p>\n<ul class="names">{items}</ul></header>'


def _golfer(report: dict[str, Any], inches: bool) -> str:
    body = report["body"]
    text = (
        f"Simulated golfer: {told_stature(body['stature_cm'], inches)}, {body['mass_kg']:.0f} kg, {body['sex']}, "
        f"{body['handedness']}-handed"
    )
    measured = len(body["measured"])
    return text + (f", {measured} measured value{'s' * (measured > 1)}" if measured else "")


def _short(names: Sequence[str], texts: Sequence[Sequence[str]]) -> str:
    blocks = []
    for name, lines in zip(names[1:], texts, strict=True):
        heading = f"<h3>{escape(name)} against {escape(names[0])}</h3>" if len(texts) > 1 else ""
        blocks.append(heading + "".join(f"<p>{escape(line)}</p>" for line in lines))
    return f'<section class="short" aria-label="What differs and why">{"".join(blocks)}</section>'


def _view(view: str, reports: Sequence[dict[str, Any]], pictures: Sequence[Shown], inches: bool) -> str:
    figures = []
    for picture in pictures:
        if picture.view != view:
            continue
        report = reports[picture.swing]
        caption = f"<strong>{escape(report['preset'])}</strong>: {escape(_caption(view, report, inches))}"
        source = f"data:image/png;base64,{base64.b64encode(picture.png).decode('ascii')}"
        figures.append(
            f'<figure><img src="{source}" alt="{escape(_alt(view, report, inches))}">'
            f"<figcaption>{caption}</figcaption></figure>"
        )
    sheet = ' class="sheet"' if view == "down-the-line" else ""
    count = len(figures)
    style = f"--count: {count if count <= 4 else 3}; --print-count: {2 if count in (2, 4) else 3}"
    return (
        f"<section{sheet}><h2>{VIEW_TITLES[view]}</h2>\n"
        f'<p class="legend">Ghost and dashed circle: address. Solid figure and circle: top of the backswing. The line '
        f"between the circles is the head's path. {VIEW_NOTES[view]}</p>\n"
        f'<div class="views" style="{style}">{"".join(figures)}</div></section>'
    )


def _caption(view: str, report: dict[str, Any], inches: bool) -> str:
    first, last = report["moments"][0], report["moments"][-1]
    place = np.array([last[f"head_{way}_cm"] for way in ("toward_ball", "toward_target", "up")])
    axes, field = SEEN[view]
    return (
        f"at the top the head is {head_words(place, inches, axes)}; the trunk leans {_degrees(first[field])} "
        f"at address and {_degrees(last[field])} at the top."
    )


def _degrees(value: float) -> str:
    return f"{round(value) + 0:d}°".replace("-", "−")


def _alt(view: str, report: dict[str, Any], inches: bool) -> str:
    return (
        f"{report['preset']}, {VIEW_TITLES[view].lower()}: a golfer at address as a ghost and at the top of the "
        f"backswing, {_caption(view, report, inches)}"
    )


def _charts(reports: Sequence[dict[str, Any]], inches: bool) -> str:
    unit = length_unit(inches)
    scale = 1 / CM_PER_INCH if inches else 1.0
    figures = []
    for title, field, ends in (
        ("Head height", "head_up_cm", ("up", "down")),
        ("Head side position", "head_toward_target_cm", ("toward target", "away from target")),
    ):
        lines = [
            Line(
                report["preset"],
                [moment["progress"] for moment in report["moments"]],
                [moment[field] * scale for moment in report["moments"]],
                STYLES[k],
            )
            for k, report in enumerate(reports)
        ]
        chart = line_chart(title, unit, lines, ends, least=0.5 if inches else 1.0)
        figures.append(f"<figure><figcaption>{title} since address, {unit}</figcaption>{chart}</figure>")
    legend = "".join(f"<li>{key(STYLES[k])}{escape(r['preset'])}</li>" for k, r in enumerate(reports))
    return (
        f'<section class="together"><h2>The head on its way to the top</h2><ul class="names">{legend}</ul>'
        f'<div class="charts">{"".join(figures)}</div></section>'
    )


def _limits(reports: Sequence[dict[str, Any]]) -> str:
    items = []
    for report in reports:
        notes = report["warnings"] or ["No range of this body stops anything that was asked."]
        items += [f"<li><strong>{escape(report['preset'])}</strong>: {escape(note)}</li>" for note in notes]
    return f'<section><h2>What was limited by what</h2><ul class="care">{"".join(items)}</ul></section>'


def _care() -> str:
    items = "".join(f"<li>{escape(line)}</li>" for line in cautions.CAUTIONS)
    return (
        f'<section class="care"><h2>Before you use this</h2><ul class="care">{items}</ul></section>\n'
        f"<footer><p>{escape(cautions.SOURCES)}</p><p>{escape(cautions.ANGLE_ORDER)}</p>"
        f"<p>Turnstill {escape(__version__)}</p></footer>"
    )
