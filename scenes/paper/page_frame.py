"""What every page has around what it shows: its head, what it says in short, notes, cautions and sources."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape

from ... import __version__
from ..words import cautions
from .page_style import STYLE


def whole_page(title: str, parts: Sequence[str], own_style: str = "") -> str:
    """A page that needs no network and no second file."""
    body = "\n".join(parts)
    return (
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<title>{escape(title)}</title>\n<style>{STYLE}{own_style}</style>\n</head>\n<body>\n{body}\n</body>\n</html>\n"
    )


def header(title: str, who: str, sentences: Sequence[str]) -> str:
    """The page's title, whom it is about, and what came of it in sentences."""
    told = "".join(f"<p>{escape(line)}</p>" for line in sentences)
    return (
        f'<header><h1>{escape(title)}</h1><p class="who">{escape(who)}</p></header>'
        f'<section class="short" aria-label="In short">{told}</section>'
    )


def closing(notes: Sequence[str], first: Sequence[str] = ()) -> str:
    """Notes on this result, then what anybody must be told: ``first`` and the cautions, sources, the angles' order."""
    told = f'<section class="care"><h2>Notes</h2><ul class="care">{_items(notes)}</ul></section>\n' if notes else ""
    return (
        f'{told}<section class="care"><h2>Before you use this</h2><ul class="care">'
        f"{_items((*first, *cautions.CAUTIONS))}</ul></section>\n"
        f"<footer><p>{escape(cautions.SOURCES)}</p><p>{escape(cautions.ANGLE_ORDER)}</p>"
        f"<p>Turnstill {escape(__version__)}</p></footer>"
    )


def _items(lines: Sequence[str]) -> str:
    return "".join(f"<li>{escape(line)}</li>" for line in lines)
