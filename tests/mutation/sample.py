"""A seeded sample of mutants: one small change each in the text of a module that shows people something.

Every module has its share, in proportion to the places in it where something can be changed and at least one. Within a
module the kinds of change take turns, so that arithmetic and layout numbers, of which there are most, do not crowd out
the labels.
"""

from __future__ import annotations

import ast
import hashlib
import re
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache, cached_property, partial
from typing import Any

import numpy as np
import parso
from cosmic_ray.ast import ast_nodes
from cosmic_ray.operators.provider import OperatorProvider
from jinja2 import TemplateSyntaxError

from .hook.reached import ROOMS, ROOT, named
from .pages import page_edits, template_tree
from .seen import Edit, Node, edits

OPERATORS = {
    name: operator()
    for name in OperatorProvider()
    for operator in [OperatorProvider()[name]]
    if not operator.arguments()
}
CHANGEABLE = {
    "comparison",
    "keyword",
    "number",
    "decorator",
    "for_stmt",
    "if_stmt",
    "while_stmt",
    "test",
    "except_clause",
}
CHANGEABLE |= {"factor", "not_test", "operator"}
PUNCTUATION = set("()[]{},:.=;@") | {"->", ":="}
NOT_BEHAVIOUR = re.compile(
    r"@(functools\.)?(cache|lru_cache|overload|override|final)\b"  # How fast, or for the reader of types only.
    r"|strict\s*="  # A guard of zip: with the other value nothing changes while the code is right.
    r"|@dataclass\("
)


@dataclass(frozen=True)
class Mutant:
    """One change: ``before`` and ``after`` are the changed lines, ``text`` the whole file with the change."""

    file: str
    line: int
    kind: str
    before: str
    after: str
    text: str

    @cached_property
    def key(self) -> str:
        """The same wherever the lines stand in the file."""
        return hashlib.sha256("\0".join((self.file, self.before, self.after)).encode()).hexdigest()[:12]

    @property
    def module(self) -> str | None:
        """Full name of the module; None for a template."""
        if not self.file.endswith(".py"):
            return None
        return "turnstill." + self.file.removesuffix(".py").removesuffix("/__init__").replace("/", ".")


def files(only: tuple[str, ...] = ()) -> list[str]:
    """Modules and templates of the rooms, from the root; ``only`` those whose path begins so."""
    kinds = ("*.py", "*.html")
    found = sorted(named(path) for room in ROOMS for kind in kinds for path in (ROOT / room).rglob(kind))
    return [file for file in found if not only or file.startswith(only)]


def _left_out(node: Node) -> bool:
    """No behaviour: annotations, imports, ``__all__``, what only a type checker reads, and `NOT_BEHAVIOUR`."""
    if node.type == "operator" and node.parent is not None and node.parent.type == "parameters":
        return True  # The bare star or stroke of a signature: how it may be called, not what comes of it.
    if node.type == "if_stmt" and node.children[1].get_code().strip().endswith("TYPE_CHECKING"):
        return True
    while node.parent is not None:
        around = node.parent
        if around.type in ("import_from", "import_name", "global_stmt", "nonlocal_stmt"):
            return True
        if around.type == "annassign" and around.children[1] is node:
            return True
        if around.type == "tfpdef" or (around.type == "funcdef" and around.annotation is node):
            return True
        if node.type in ("decorator", "argument") and NOT_BEHAVIOUR.match(node.get_code(include_prefix=False)):
            return True
        if around.type == "expr_stmt" and around.get_first_leaf().value == "__all__":
            return True
        if around.type == "if_stmt" and around.children[1].get_code().strip().endswith("TYPE_CHECKING"):
            return True
        node = around
    return False


def _family(name: str) -> str:
    """What a cosmic-ray operator is called in the table."""
    return re.sub(r"(?<=[a-z])(?=[A-Z])", " ", name.split("_")[0]).lower()


@cache
def _for(node_type: str) -> list[tuple[str, Any]]:
    """The operators that may have something to change in such a node."""
    kinds = {"operator": "ReplaceBinary", "comparison": "ReplaceComparison"}
    mine = kinds.get(node_type)
    if mine:
        return [(name, one) for name, one in OPERATORS.items() if name.startswith(mine)]
    return [(name, one) for name, one in OPERATORS.items() if not name.startswith(tuple(kinds.values()))]


def _standard(nodes: list[Node], text: str) -> Iterator[tuple[Node, Edit]]:
    """What cosmic-ray's operators would change; they spoil the tree, so that each change is made in a fresh one."""

    def changed(operator: Any, place: int, index: int) -> str:
        spoilt = operator.mutate(list(ast_nodes(parso.parse(text)))[place], index)
        return "" if spoilt is None else str(spoilt.get_code(include_prefix=False))

    for place, node in enumerate(nodes):
        if node.type not in CHANGEABLE or (node.type == "operator" and node.value in PUNCTUATION):
            continue
        for name, operator in _for(node.type):
            for index, _ in enumerate(operator.mutation_positions(node)):
                yield node, (_family(name), node.start_pos, node.end_pos, partial(changed, operator, place, index))


class Module:
    """One module's or template's text, and all that can be changed in it."""

    def __init__(self, file: str) -> None:
        self.file = file
        self.text = (ROOT / file).read_text(encoding="utf-8")
        self._starts = np.cumsum([0, *map(len, parso.split_lines(self.text, keepends=True))])
        self._tree = self._parsed(self.text)

    def _parsed(self, text: str) -> str:
        """What the text says, layout apart."""
        return ast.dump(ast.parse(text)) if self.file.endswith(".py") else template_tree(text)

    def _all(self) -> Iterator[Edit]:
        if not self.file.endswith(".py"):
            yield from page_edits(self.text)
            return
        nodes = list(ast_nodes(parso.parse(self.text)))
        for way in (edits(nodes), _standard(nodes, self.text)):
            for node, edit in way:
                if not _left_out(node):
                    yield edit

    @cached_property
    def places(self) -> dict[str, list[list[Edit]]]:
        """By kind, the places in the module, each with the edits that can be made there."""
        found: dict[str, dict[tuple[Any, Any], list[Edit]]] = defaultdict(lambda: defaultdict(list))
        for edit in self._all():
            found[edit[0]][edit[1], edit[2]].append(edit)
        return {kind: list(at.values()) for kind, at in sorted(found.items())}

    def mutant(self, edit: Edit) -> Mutant | None:
        """The module with an edit; None if it does not compile or says the same as before."""
        kind, start, end, text = edit
        ends = [int(self._starts[line - 1]) + column for line, column in (start, end)]
        changed = self.text[: ends[0]] + (text if isinstance(text, str) else text()) + self.text[ends[1] :]
        try:
            if self._parsed(changed) == self._tree:
                return None
            if self.file.endswith(".py"):
                compile(changed, self.file, "exec", dont_inherit=True)
        except (SyntaxError, ValueError, TemplateSyntaxError):
            return None
        old, new = self.text.splitlines(), changed.splitlines()
        first = next((k for k, (a, b) in enumerate(zip(old, new, strict=False)) if a != b), min(len(old), len(new)) - 1)
        tail = 0
        while tail < min(len(old), len(new)) - first and old[-1 - tail] == new[-1 - tail]:
            tail += 1
        before, after = (" / ".join(line.strip() for line in lines[first : len(lines) - tail]) for lines in (old, new))
        return Mutant(self.file, first + 1, kind, before, after, changed)

    def draw(self, rng: np.random.Generator) -> Iterator[Mutant]:
        """Mutants at random, each kind in its turn, no place twice."""
        left = {kind: [places[k] for k in rng.permutation(len(places))] for kind, places in self.places.items()}
        kinds = [list(left)[k] for k in rng.permutation(len(left))]
        while kinds:
            for kind in list(kinds):
                if not left[kind]:
                    kinds.remove(kind)
                    continue
                choices = left[kind].pop()
                made = (self.mutant(choices[k]) for k in rng.permutation(len(choices)))
                if (mutant := next((one for one in made if one is not None), None)) is not None:
                    yield mutant


def _shares(weights: list[int], count: int, rng: np.random.Generator) -> list[int]:
    """``count`` shared out by weight, largest remainders first; at least one each, or one for some if it is short."""
    exact = np.array(weights, dtype=float) * count / max(sum(weights), 1)
    shares = np.maximum(np.floor(exact), np.minimum(weights, 1)).astype(int)
    order = np.argsort(-(exact - np.floor(exact)), kind="stable")
    for k in order[: max(count - int(shares.sum()), 0)]:
        shares[k] += 1
    lot = rng.random(len(shares))
    while shares.sum() > count:
        shares[int(np.argmax(shares + lot))] -= 1
    return [int(share) for share in shares]


def draw(count: int, seed: int, only: tuple[str, ...] = ()) -> list[Mutant]:
    """A sample of ``count`` mutants, or as many as there are; the same seed gives the same sample of the same code."""
    modules = [Module(file) for file in files(only)]
    weights = [sum(len(places) for places in module.places.values()) for module in modules]
    chosen: dict[str, Mutant] = {}
    for module, share in zip(modules, _shares(weights, count, np.random.default_rng(seed)), strict=True):
        rng = np.random.default_rng([seed, int.from_bytes(hashlib.sha256(module.file.encode()).digest()[:4])])
        had = 0
        for mutant in module.draw(rng):
            if had == share:
                break
            if mutant.key not in chosen:
                chosen[mutant.key] = mutant
                had += 1
    return list(chosen.values())
