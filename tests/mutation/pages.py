"""Errors in the templates of pages: the neighbour's value or heading, a sibling's value, a condition turned round."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterator
from itertools import pairwise

from jinja2 import Environment

from .seen import Edit

_VALUE = re.compile(r"\{\{-?\s*(?P<said>[^{}]+?)\s*-?\}\}")
_CELL = re.compile(r"<(?P<tag>th|td|dt|dd|h2|h3|li|p|strong|figcaption|caption|small)\b[^>]*>(?P<said>[^<{}]+)</")
_PAIR = re.compile(r"\{%-?\s*for\s+(?P<said>\w+,\s*\w+)(?=[\s,])")
_MANY = re.compile(r"\{%-?\s*for\s+[\w,\s]+?\s+in\s+(?P<said>.+?)\s*-?%\}")
_WHETHER = re.compile(r"\{%-?\s*(?:el)?if\s+(?P<said>.+?)\s*-?%\}")
_CODE = re.compile(r"\{\{.*?\}\}|\{%.*?%\}", re.S)
_ATTRIBUTE = re.compile(r"(?<![\w.\"'|])(?P<base>[a-z_]\w*(?:\.\w+)*)(?P<said>\.[a-z_]\w*)(?![\w(.])")
NEAR = 200
"""Characters between two values that may be taken for each other."""


def template_tree(text: str) -> str:
    """What a template says, its layout apart.

    Raises:
        TemplateSyntaxError: if it says nothing.
    """
    return repr(Environment().parse(text))


def page_edits(text: str) -> Iterator[Edit]:
    """Every such error that can be made in a template."""

    def place(at: int) -> tuple[int, int]:
        return text.count("\n", 0, at) + 1, at - (text.rfind("\n", 0, at) + 1)

    def edit(kind: str, found: re.Match[str], new: str) -> Edit:
        return kind, place(found.start("said")), place(found.end("said")), new

    def swapped(kind: str, first: re.Match[str], second: re.Match[str]) -> Iterator[Edit]:
        (a, b), (c, d) = first.span("said"), second.span("said")
        if text[a:b] != text[c:d] and c - b < NEAR:
            yield kind, place(a), place(d), text[c:d] + text[b:c] + text[a:b]

    for pair in pairwise(_VALUE.finditer(text)):
        yield from swapped("page: swap values", *pair)
    cells: dict[str, list[re.Match[str]]] = defaultdict(list)
    for cell in _CELL.finditer(text):
        cells[cell["tag"]].append(cell)
    for same in cells.values():
        for pair in pairwise(same):
            yield from swapped("page: swap headings", *pair)
    for found in _PAIR.finditer(text):
        yield edit("page: swap names", found, ", ".join(reversed(re.split(r",\s*", found["said"]))))
    for found in _MANY.finditer(text):
        yield edit("page: nothing of many", found, "[]")
    for found in _WHETHER.finditer(text):
        yield edit("page: condition turned round", found, f"not ({found['said']})")
    attributes = [a for code in _CODE.finditer(text) for a in _ATTRIBUTE.finditer(text, *code.span())]
    siblings: dict[str, set[str]] = defaultdict(set)
    for attribute in attributes:
        siblings[attribute["base"]].add(attribute["said"])
    for attribute in attributes:
        for other in sorted(siblings[attribute["base"]] - {attribute["said"]}):
            yield edit("page: sibling", attribute, other)
