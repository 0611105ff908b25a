"""A recipe from its name or a file, and the sentence that says what is wrong with it."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

from pydantic import BaseModel, ValidationError

from ....model.errors import TurnstillError
from ...delivery.reading import plain_bytes
from ...setups.quantities import echo, nearest
from .recipe import Recipe
from .recipes import NAMES, recipe_text

_MOST_BYTES = 100_000
"""A recipe that says everything has four thousand; what is larger was named by mistake."""


def load_recipe(name_or_path: str) -> Recipe:
    """A recipe that comes along, or one of a user's own.

    Raises:
        TurnstillError: for an unknown name, or a file that is no sound recipe.
    """
    if name_or_path in NAMES:
        return parsed(recipe_text(name_or_path), name_or_path)
    path = Path(name_or_path)
    shown = echo(name_or_path)
    if path.suffix != ".toml" and path.name == name_or_path and not path.exists():
        known = f"there are {', '.join(NAMES)}, and files of your own that end in .toml"
        raise TurnstillError(f"There is no recipe {shown}; {known}.{nearest(name_or_path, NAMES)}")
    start = "turnstill dataset recipes plain prints one to start from"
    try:
        data = plain_bytes(path, shown, most=_MOST_BYTES, what="recipe", instead=f"name a TOML file ({start})")
        return parsed(data.decode(), shown)
    except FileNotFoundError:
        raise TurnstillError(f"There is no file {shown}; {start}.") from None
    except UnicodeDecodeError as wrong:
        raise TurnstillError(f"{shown} is not a text in UTF-8; {start}.") from wrong


def parsed(toml: str, label: str) -> Recipe:
    """The recipe in a TOML text, which messages call ``label``.

    Raises:
        TurnstillError: naming the field, what was given and what is allowed.
    """
    # Python's reader takes time by the square of the parts of a dotted key, and recurses on nested lists.
    if any(line.count(".") > 200 for line in toml.split("\n")):
        raise TurnstillError(f"{label} is nested too deeply to be a recipe.")
    try:
        document = tomllib.loads(toml)
    except RecursionError as deep:
        raise TurnstillError(f"{label} is nested too deeply to be a recipe.") from deep
    except ValueError as wrong:
        raise TurnstillError(f"{label} is not valid TOML: {' '.join(str(wrong).split())[:120]}.") from wrong
    return checked(document, label)


def checked(document: dict[str, Any], label: str) -> Recipe:
    """The recipe that a document of plain values says.

    Raises:
        TurnstillError: naming the field, what was given and what is allowed.
    """
    try:
        return Recipe.model_validate(document)
    except ValidationError as problems:
        raise TurnstillError(f"{label}: {_sentence(problems.errors()[0])}") from None


def _sentence(problem: Any) -> str:
    """One sentence about the first thing that is wrong."""
    path = tuple(str(part) for part in problem["loc"])
    where = f"{path[-1]} in [{'.'.join(path[:-1])}]" if len(path) > 1 else (path[0] if path else "the recipe")
    if problem["type"] == "extra_forbidden":
        known = list(_section(path[:-1]).model_fields)
        return f"{echo(path[-1])} is not known{_inside(path)}; there are {', '.join(known)}.{nearest(path[-1], known)}"
    if problem["type"] == "missing":
        return f"{path[-1]} is missing{_inside(path)}; give it."
    if problem["type"] == "value_error":
        reason = str(problem["ctx"]["error"]).removesuffix(".")
        if not reason.startswith("must "):
            return f"{reason[0].upper()}{reason[1:]}, in [{'.'.join(path)}]." if path else f"{reason}."
        return f"{where} was {echo(problem['input'])}, but {reason}."
    return f"{where} was {echo(problem['input'])}, but must be a section, written [{'.'.join(path)}]."


def _inside(path: tuple[str, ...]) -> str:
    return f" in [{'.'.join(path[:-1])}]" if len(path) > 1 else ""


def _section(path: tuple[str, ...]) -> type[BaseModel]:
    """The part of a recipe at a path of names."""
    kind: Any = Recipe
    for name in path:
        kind = kind.model_fields[name].annotation
    return kind
