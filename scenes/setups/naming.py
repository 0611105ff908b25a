"""How swings are told apart in titles and file names."""

from __future__ import annotations

import re
from collections.abc import Sequence
from hashlib import sha256

from .presets import Setup

LONGEST_NAME = 120
"""Characters of a name that we make up; most file systems take 255 bytes, an ending among them."""


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
    """For example ``turnstill-centred-vs-too-much-tilt``; many long names are cut, and a number tells them apart."""
    names = [slug(setup.name) for setup in setups]
    whole = "turnstill-" + "-vs-".join(names)
    if len(whole) <= LONGEST_NAME:
        return whole
    told = sha256("\n".join(setup.name for setup in setups).encode("utf-8", "backslashreplace")).hexdigest()[:8]
    room = (LONGEST_NAME - len(f"turnstill--{told}")) // len(names) - len("-vs-")
    return "turnstill-" + "-vs-".join(name[:room].rstrip("-.") for name in names) + f"-{told}"
