"""The page that asks this server: what it begins with."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from ..paper.frame import policy, rendered
from ..paper.styles import STYLES, key
from ..setups.amounts import sizes
from ..setups.options import TOP
from ..setups.presets import Setup, content_of, load, preset_names
from ..setups.quantities import BODY_SECTION, LENGTHS_SECTION, RANGES_SECTION, SECTIONS, Departure
from ..strike.columns import OUTCOMES
from ..strike.words import LEFT_OUT
from ..views.names import VIEW_TITLES, angles_told
from ..words.at_impact import CAUTION
from ..words.low_point import WHY
from ..words.measures import MEASURES, Measure
from .ends import asks_of_impact
from .saving import REPLACE
from .sliders import sliders_of, usual_stature_cm
from .tripods import tripods

SCRIPTS = ("live/page.js",)
KINDS = {
    "preset": "a preset of your own (one file)",
    "page": "a page to mail or print: compare",
    "picture": "a picture of moments on the way, of this swing alone",
    "film": "a film",
    "sheet": "a sheet to take home: one feel, of the top",
    "student record": "a student's record: this body and address",
}
"""What can be saved, by the word that a message has for it."""
BODY_SECTIONS = (BODY_SECTION, LENGTHS_SECTION, RANGES_SECTION)
SHOWN = (
    "head_toward_target_cm", "head_toward_ball_cm", "head_up_cm", "inclination_down_the_line_deg", "lean_face_on_deg",
    "hip_turn_deg", "shoulder_turn_deg", "tilt_deg", "extension_deg", "lead_knee_flex_deg", "trail_knee_flex_deg",
    "pelvis_toward_target_cm", "trail_weight_share",
)  # fmt: skip
"""Measures of a moment that the page writes."""
AT_ONCE = ("low_point_ahead_cm", "club_up_at_ball_cm", "club_out_at_ball_cm", "descent_deg")
"""Those of a strike that stand over the golfers, so that they are seen while a slider is dragged."""
LARGEST_FILE = 40_000
"""Bytes of a preset file that is opened; with quotes and breaks it still fits into a message."""
CHARTS = ("head_up_cm", "head_toward_target_cm", "head_toward_ball_cm")


def live_page(setups: Sequence[Setup], through: str = TOP) -> str:
    """The page, with the swings that it begins with.

    Args:
        setups: one, or two of which the first is kept beside the second.
        through: where the page lets swings end at first, as ``--through`` says it.
    """
    return rendered(
        "live/page.html",
        title="Turnstill live",
        scripts=SCRIPTS,
        talks=True,
        start=start_of(setups, through),
        views=list(VIEW_TITLES.items()),
        kinds=list(KINDS.items()),
        why=WHY,
        angles=angles_told(tuple(VIEW_TITLES)),
        replace=REPLACE,
        strike_care=CAUTION,
        strike_leaves_out=LEFT_OUT,
        key=lambda k: key(STYLES[k]),
    )


def page_policy() -> str:
    """What the page may do: nothing from elsewhere, and ask this server."""
    return f"{policy(SCRIPTS, talks=True)}; frame-ancestors 'none'"


def start_of(setups: Sequence[Setup], through: str = TOP) -> dict[str, Any]:
    """What a page needs to begin.

    Returns:
        ``swings`` and ``presets``, each ``name``, ``shows``, ``values`` and ``timing`` as messages have them, and
        whether it goes ``on``, asking something of impact; ``through``, where swings end at first; ``coach`` and
        ``full``, groups of sliders; ``body_sections``, which a preset leaves as they are; ``sections``, in the order of
        files; ``measures``, ``strike`` and ``charts``; ``styles`` of the swing and of the one kept; ``settings`` of the
        drawing; ``amounts``, unit to the units that a number in it may be written in and their sizes;
        ``usual_stature_cm`` of who is said to have none; and ``tripods``.
    """
    from ...render.web.settings import drawing_settings

    return {
        "swings": [told_setup(setup) for setup in setups],
        "presets": [told_setup(load(name)) for name in preset_names()],
        "through": through,
        **sliders_of(setups[-1]),
        "body_sections": BODY_SECTIONS,
        "sections": SECTIONS,
        "measures": [_measure(MEASURES[name]) for name in SHOWN],
        "strike": [_outcome(one) for one in OUTCOMES],
        "charts": [_chart(name) for name in CHARTS],
        "styles": [{"colour": style.colour, "dash": style.dash} for style in STYLES[:2]],
        "settings": drawing_settings(),
        "largest_file": LARGEST_FILE,
        "amounts": {unit: sizes(unit) for unit in ("deg", "cm", "kg")},
        "usual_stature_cm": usual_stature_cm(setups[-1]),
        "tripods": tripods(setups),
    }


def _measure(shown: Measure) -> dict[str, Any]:
    return {
        "key": shown.key, "words": shown.words, "unit": shown.unit(),
        "decimals": shown.decimals(), "signed": shown.is_length, "times": 100 if shown.is_share else 1,
    }  # fmt: skip


def _outcome(shown: Measure) -> dict[str, Any]:
    """A measure of a strike; all of them go either way, so each has its sign."""
    short = " ".join(shown.short).replace("- ", "")
    return _measure(shown) | {"signed": True, "short": short, "at_once": shown.key in AT_ONCE}


def _chart(name: str) -> dict[str, Any]:
    shown = MEASURES[name]
    return {"key": name, "title": f"{shown.words} since address", "ends": shown.ends}


def told_setup(setup: Setup) -> dict[str, Any]:
    """A setup as messages have it, with what it shows."""
    values = {
        section: {key_: one.in_full if isinstance(one, Departure) else one for key_, one in given.items()}
        for section, given in setup.values.items()
        if given
    }
    return {
        "name": setup.name,
        "shows": setup.shows,
        "values": values,
        "timing": content_of(setup).get("timing", {}),
        "on": asks_of_impact(setup),
    }
