"""Names that files of earlier versions hold: read as what they are called today, never shown."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

_FORMER = {"thrust": "hips_toward_ball", "pelvis_obliquity": "belt_line_tilt", "tibial": "shin"}


def todays_name(name: str) -> str:
    """A name as it is today: ``thrust_cm`` is ``hips_toward_ball_cm``; any other name as it stands."""
    for former, today in _FORMER.items():
        if former in name:
            return name.replace(former, today)
    return name


def with_todays_names(document: Mapping[str, Any]) -> dict[str, Any]:
    """A file's content with every key as it is called today; where a key stands under both names, today's counts."""
    ordered = sorted(document.items(), key=lambda item: todays_name(item[0]) == item[0])
    renamed = {
        todays_name(key): with_todays_names(value) if isinstance(value, Mapping) else value for key, value in ordered
    }
    return {key: renamed[key] for key in dict.fromkeys(map(todays_name, document))}
