"""The page that asks this server: what it begins with."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from ..paper.frame import policy, rendered
from ..setups.presets import Setup, content_of, load, preset_names
from ..setups.quantities import Departure, entries

SCRIPTS = ("live/page.js",)


def live_page(setups: Sequence[Setup]) -> str:
    """The page, with the swings that it begins with."""
    return rendered("live/page.html", title="Turnstill live", scripts=SCRIPTS, talks=True, start=start_of(setups))


def page_policy() -> str:
    """What the page may do: nothing from elsewhere, and ask this server."""
    return f"{policy(SCRIPTS, talks=True)}; frame-ancestors 'none'"


def start_of(setups: Sequence[Setup]) -> dict[str, Any]:
    """What a page needs to begin: the swings, every quantity with its range, and the presets.

    Returns:
        ``swings`` and ``presets``, each ``name``, ``shows``, ``values`` and ``timing`` as messages have them;
        ``quantities``, each ``section``, ``key``, ``name``, ``meaning``, ``unit``, ``low``, ``high``, ``steady``
        (whether ``steady`` is a value of it) and ``words``.
    """
    return {
        "swings": [_told(setup) for setup in setups],
        "presets": [_told(load(name)) for name in preset_names()],
        "quantities": [
            {
                "section": one.section,
                "key": one.key,
                "name": one.name,
                "meaning": one.quantity.meaning if one.quantity else "",
                "unit": one.quantity.unit if one.quantity else "",
                "low": one.quantity.low if one.quantity else None,
                "high": one.quantity.high if one.quantity else None,
                "steady": one.may_be_steady,
                "words": list(one.words),
            }
            for one in entries()
        ],
    }


def _told(setup: Setup) -> dict[str, Any]:
    values = {
        section: {key: one.in_full if isinstance(one, Departure) else one for key, one in given.items()}
        for section, given in setup.values.items()
        if given
    }
    return {
        "name": setup.name,
        "shows": setup.shows,
        "values": values,
        "timing": content_of(setup).get("timing", {}),
    }
