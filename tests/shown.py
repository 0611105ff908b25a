"""What a page shows, read as a person would: cells by row and column, pictures by caption, lines of charts by name."""

from __future__ import annotations

import re
from base64 import b64decode
from dataclasses import dataclass

import numpy as np
from lxml import html
from numpy.typing import NDArray

MINUS = "\N{MINUS SIGN}"
PROGRESS = {"address": 0.0, "top": 100.0, "impact": 200.0}
"""What a chart's axis has words for, in per cent of the way up and then of the way down."""


@dataclass(frozen=True)
class Figure:
    """A figure: what its picture holds, and what is written about it."""

    picture: bytes
    caption: str
    alt: str


def words(element: html.HtmlElement) -> str:
    """An element's text on one line."""
    return " ".join(element.text_content().split())


def page(text: str) -> html.HtmlElement:
    """A page's document."""
    return html.document_fromstring(text)


def tables(text: str) -> list[dict[tuple[str, str], str]]:
    """Every table: row name and column heading to the cell's text. A group's heading is put before its rows' names."""
    found = []
    for table in page(text).iter("table"):
        heads = [words(cell) for cell in table.xpath("./thead/tr/th")]
        cells: dict[tuple[str, str], str] = {}
        group = ""
        for row in table.xpath("./tbody/tr"):
            names = row.xpath("./th")
            columns = row.xpath("./td")
            if not columns:
                group = f"{words(names[0])}: "
                continue
            for head, cell in zip(heads[len(names) :], columns, strict=True):
                cells[group + words(names[0]), head] = words(cell)
        found.append(cells)
    return found


def figures(text: str) -> list[Figure]:
    """Every figure with a picture, in order."""
    return [
        Figure(
            b64decode(figure.xpath(".//img/@src")[0].split(",", 1)[1]),
            words(figure.xpath(".//figcaption")[0]),
            figure.xpath(".//img/@alt")[0],
        )
        for figure in page(text).iter("figure")
        if figure.xpath(".//img")
    ]


def number(text: str) -> float:
    """The first number in a text, its minus sign however it is written."""
    return float(re.search(r"[-+]?\d*\.?\d+", text.replace(MINUS, "-"))[0])  # type: ignore[index]


def chart_lines(svg: html.HtmlElement) -> dict[str, NDArray[np.float64]]:
    """Named lines of a chart as the numbers that its axes say: name to ``(N, 2)`` x and y.

    The scale is read off the marks that stand beside the axes, as a person reads it.
    """

    def scale(kind: str, along: str) -> np.poly1d:
        marks = [t for t in svg.iter("text") if t.get("class") == kind]
        named = [words(mark) for mark in marks]
        values = [PROGRESS[name] if name in PROGRESS else number(name) for name in named]
        places = [float(mark.getprevious().get(f"{along}1")) for mark in marks]
        return np.poly1d(np.polyfit(places, values, 1))

    x, y = scale("upright", "x"), scale("level", "y")
    found = {}
    for line in svg.iter("polyline"):
        if line.get("data-name"):
            points = np.array([[float(n) for n in pair.split(",")] for pair in line.get("points").split()])
            found[line.get("data-name")] = np.column_stack([x(points[:, 0]), y(points[:, 1])])
    return found


def charts(text: str) -> list[tuple[str, dict[str, NDArray[np.float64]]]]:
    """Every figure with a chart that has axes: its caption and its lines."""
    return [
        (words(figure.xpath(".//figcaption")[0]), chart_lines(svg))
        for figure in page(text).iter("figure")
        for svg in figure.xpath(".//svg[@class='chart']")
        if svg.xpath(".//*[@class='level']")
    ]
