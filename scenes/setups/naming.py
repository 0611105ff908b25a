"""How swings are told apart in titles and file names."""

from __future__ import annotations

import re
from collections.abc import Sequence

from .presets import Setup


def titled(setups: list[Setup]) -> list[Setup]:
    """The setups with names that differ: a second ``centred`` becomes ``centred (2)``."""
    seen: dict[str, int] = {}
    out = []
    for setup in setups:
        seen[setup.name] = seen.get(setup.name, 0) + 1
        count = seen[setup.name]
        out.append(setup if count == 1 else setup.renamed(f"{setup.name} ({count})"))
    return out


def slug(name: str) -> str:
    """A name as part of a file's name: letters, digits, points and hyphens."""
    return re.sub(r"[^A-Za-z0-9.-]+", "-", name).strip("-.")[:40] or "swing"


def default_folder(setups: Sequence[Setup]) -> str:
    """For example ``turnstill-centred-vs-too-much-tilt``."""
    return "turnstill-" + "-vs-".join(slug(setup.name) for setup in setups)
