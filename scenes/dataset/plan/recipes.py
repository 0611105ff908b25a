"""The recipes that come along, as text."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from ....model.errors import TurnstillError
from ...setups.quantities import nearest

_FOLDER = Path(__file__).parent.parent / "recipes"
NAMES: tuple[str, ...] = ("plain", "phone", "hard")
"""In order of difficulty."""


@cache
def recipe_text(name: str) -> str:
    """The TOML of a recipe that comes along.

    Raises:
        TurnstillError: for a name that there is not.
    """
    if name not in NAMES:
        raise TurnstillError(f"There is no recipe {name[:60]!r}; there are {', '.join(NAMES)}.{nearest(name, NAMES)}")
    return (_FOLDER / f"{name}.toml").read_text(encoding="utf-8")


def recipe_words() -> dict[str, str]:
    """What each of them is for, one sentence a name."""
    import tomllib

    return {name: str(tomllib.loads(recipe_text(name))["shows"]) for name in NAMES}
