"""Plain values as TOML, which Python reads but does not write."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any


def toml_text(tables: Mapping[str, Any], above: str = "") -> str:
    """Nested mappings of numbers, texts, truth values and lists of these; what is None is left out.

    Args:
        tables: the mapping.
        above: dotted name of the table it stands in.
    """
    plain = {name: value for name, value in tables.items() if not isinstance(value, Mapping) and value is not None}
    lines = [f"{_name(name)} = {_value(value)}\n" for name, value in plain.items()]
    for name, value in tables.items():
        if isinstance(value, Mapping):
            full = f"{above}.{_name(name)}" if above else _name(name)
            lines.append(f"\n[{full}]\n{toml_text(value, full)}")
    return "".join(lines)


def _name(name: str) -> str:
    return name if name.replace("_", "").replace("-", "").isalnum() and name.isascii() else json.dumps(name)


def _value(value: Any) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int | float):
        return repr(value)
    if isinstance(value, Mapping):
        return "{" + ", ".join(f"{_name(k)} = {_value(v)}" for k, v in value.items() if v is not None) + "}"
    if isinstance(value, list | tuple):
        return "[" + ", ".join(_value(one) for one in value) + "]"
    return json.dumps(str(value))
