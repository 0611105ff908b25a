"""Errors in what people see, as one makes them while typing: the neighbour's label, key, column, argument or decimals.

Beside cosmic-ray's operators, which change arithmetic, comparisons and loops. Each yields edits of a parso tree:
``(kind, start, end, text)``, the text to put between two places ``(line, column)``, or what makes it.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Callable, Iterator
from itertools import pairwise
from typing import Any

Node = Any
Edit = tuple[str, tuple[int, int], tuple[int, int], str | Callable[[], str]]

ORDERLESS = {
    "max",
    "min",
    "isinstance",
    "issubclass",
    "hypot",
    "maximum",
    "minimum",
    "isclose",
    "allclose",
    "array_equal",
}
"""Calls whose arguments may stand in any order."""


def _code(node: Node) -> str:
    return str(node.get_code(include_prefix=False))


def _items(node: Node) -> list[Node]:
    """What stands between the commas."""
    return [child for child in node.children if child.type != "operator" or child.value not in ",*"]


def _swapped(kind: str, first: Node, second: Node) -> Iterator[Edit]:
    if _code(first) == _code(second):
        return
    between, leaf = "", first.get_last_leaf().get_next_leaf()
    while leaf.start_pos < second.start_pos:
        between += leaf.get_code()
        leaf = leaf.get_next_leaf()
    between += leaf.prefix
    yield kind, first.start_pos, second.end_pos, _code(second) + between + _code(first)


def _order_means_nothing(node: Node) -> bool:
    """A tuple or list that is only looked into: ``x in (a, b)``, ``isinstance(x, (a, b))``, ``except (a, b)``."""
    around = node.parent
    if around.type == "atom":
        around, node = around.parent, around
    if around.type == "comparison":
        return _code(around.children[around.children.index(node) - 1]) in ("in", "not in")
    return around.type == "except_clause" or (around.type == "arglist" and _called(around) in ORDERLESS)


def _called(arglist: Node) -> str:
    """Last name of what is called with these arguments."""
    before = arglist.parent.get_first_leaf().get_previous_leaf()
    return str(before.value) if before is not None and before.type == "name" else ""


def _neighbours(node: Node) -> Iterator[Edit]:
    if node.type in ("testlist_comp", "testlist_star_expr", "exprlist", "testlist") and not any(
        child.type in ("comp_for", "sync_comp_for") for child in node.children
    ):
        if not _order_means_nothing(node):
            for pair in pairwise(_items(node)):
                yield from _swapped("swap neighbours", *pair)
    elif node.type == "dictorsetmaker":
        colons = [k for k, child in enumerate(node.children) if child.type == "operator" and child.value == ":"]
        for first, second in pairwise(colons):
            yield from _swapped("swap values", node.children[first + 1], node.children[second + 1])
    elif node.type == "arglist" and node.parent.type == "trailer":
        for first, second in pairwise(_items(node)):
            named = [one.type == "argument" and _code(one.children[1]) == "=" for one in (first, second)]
            if all(named):
                yield from _swapped("swap arguments", first.children[2], second.children[2])
            elif not any(one.type == "argument" for one in (first, second)) and _called(node) not in ORDERLESS:
                yield from _swapped("swap arguments", first, second)
    elif node.type == "fstring":
        fields = [child.children[1] for child in node.children if child.type == "fstring_expr"]
        for pair in pairwise(fields):
            yield from _swapped("swap fields", *pair)


def _key(node: Node) -> str | None:
    """The key that a string is: ``x["a"]``, ``{"a": …}``, ``x.get("a")``."""
    if node.type != "string" or not re.fullmatch(r"(['\"])\w+\1", node.value):
        return None
    around, following = node.parent, node.get_next_leaf()
    subscript = around.type == "trailer" and around.children[0].value == "["
    in_dict = around.type == "dictorsetmaker" and following.value == ":"
    got = around.type in ("trailer", "arglist") and node.get_previous_leaf().value == "("
    got = got and node.get_previous_leaf().get_previous_leaf().value == "get"
    return str(node.value[1:-1]) if subscript or in_dict or got else None


def _attribute(node: Node) -> tuple[str, str] | None:
    """``(base, name)`` of an attribute that is read, not called."""
    if node.type != "trailer" or node.children[0].value != "." or node.parent.type != "atom_expr":
        return None
    if node.parent.parent.type == "expr_stmt" and node.parent.parent.children[0] is node.parent:
        return None  # Given a value, not read.
    chain = node.parent.children
    place = chain.index(node)
    if place + 1 < len(chain) and chain[place + 1].type == "trailer" and chain[place + 1].children[0].value == "(":
        return None
    return "".join(_code(one) for one in chain[:place]), str(node.children[1].value)


def _closest(name: str, others: set[str]) -> list[str]:
    """Siblings in the same unit where there are any, otherwise all."""
    last = name.rsplit("_", 1)[-1]
    alike = sorted(other for other in others - {name} if other.rsplit("_", 1)[-1] == last and "_" in name)
    return alike or sorted(others - {name})


def edits(nodes: list[Node]) -> Iterator[tuple[Node, Edit]]:
    """Every such error that can be made in a module, with the node it is made in."""
    keys: set[str] = set()
    attributes: dict[str, set[str]] = defaultdict(set)
    for node in nodes:
        if (key := _key(node)) is not None:
            keys.add(key)
        if (attribute := _attribute(node)) is not None:
            attributes[attribute[0]].add(attribute[1])
    for node in nodes:
        for edit in _neighbours(node):
            yield node, edit
        if (key := _key(node)) is not None:
            for other in _closest(key, keys):
                yield node, ("sibling key", node.start_pos, node.end_pos, node.value[0] + other + node.value[0])
        if (attribute := _attribute(node)) is not None:
            for other in _closest(attribute[1], attributes[attribute[0]]):
                yield node, ("sibling attribute", node.start_pos, node.end_pos, "." + other)
        if node.type == "trailer" and _code(node) in ("[0]", "[-1]"):
            yield node, ("other end", node.start_pos, node.end_pos, {"[0]": "[-1]", "[-1]": "[0]"}[_code(node)])
        if node.type == "fstring_format_spec" and (found := re.search(r"\.(\d)f", _code(node))):
            fewer = "0" if found[1] != "0" else "1"
            text = _code(node).replace(found[0], f".{fewer}f")
            yield node, ("decimals", node.start_pos, node.end_pos, text)
