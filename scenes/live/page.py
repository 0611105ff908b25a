"""The page that asks this server: what it begins with."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from ...model.golfer.pieces import Steady
from ...model.golfer.survey import STATURE_RANGE_M
from ..paper.frame import policy, rendered
from ..paper.styles import STYLES, key
from ..setups.knobs import FLARE_BOTH, KNEES_BOTH, knob
from ..setups.perform import address_of, body_of, pieces_of, swing_of
from ..setups.presets import Setup, backswing_names, content_of, load
from ..setups.quantities import (
    ADDRESS_SECTION,
    ARMS_SECTION,
    BODY_SECTION,
    LENGTHS_SECTION,
    PIECES_SECTION,
    RANGES_SECTION,
    SECTIONS,
    Departure,
    Entry,
    section_entries,
    to_border,
)
from ..views.cameras import cameras
from ..views.names import VIEW_TITLES
from ..views.web_figure import camera_numbers
from ..words.cautions import spoken
from ..words.low_point import WHY
from ..words.measures import MEASURES

SCRIPTS = ("live/page.js",)
KINDS = {
    "preset": "a preset of your own (one file)",
    "page": "a page to mail or print: compare",
    "picture": "a picture of the way to the top",
    "film": "a film",
    "sheet": "a sheet to take home: one feel",
    "student record": "a student's record: this body and address",
}
"""What can be saved, by the word that a message has for it."""
COACH: tuple[tuple[str, float, float], ...] = (
    ("shoulder_turn", 0, 130),
    ("hip_turn", 0, 90),
    ("tilt", -10, 70),
    ("extension", -25, 70),
    (KNEES_BOTH, -10, 35),
    (FLARE_BOTH, -15, 50),
    ("sway", -12, 16),
    ("hips_toward_ball", -10, 14),
)
"""The sliders that a lesson needs, and how far each goes (our choice)."""
GROUPS = {
    PIECES_SECTION: ("The pivot at the top", True),
    ADDRESS_SECTION: ("Address", True),
    BODY_SECTION: ("Body", True),
    ARMS_SECTION: ("Arms and club at the top", False),
    LENGTHS_SECTION: ("Lengths of the body (of this stature where not measured)", False),
    RANGES_SECTION: ("Ranges of motion (published means where not measured)", False),
}
"""Sections of everything there is to set: title, and whether its sliders are open."""
BODY_SECTIONS = (BODY_SECTION, LENGTHS_SECTION, RANGES_SECTION)
SHOWN = (
    "head_toward_target_cm", "head_toward_ball_cm", "head_up_cm", "inclination_down_the_line_deg", "lean_face_on_deg",
    "hip_turn_deg", "shoulder_turn_deg", "tilt_deg", "extension_deg", "lead_knee_flex_deg", "trail_knee_flex_deg",
    "pelvis_toward_target_cm", "trail_weight_share", "low_point_shift_cm",
)  # fmt: skip
"""Measures of a moment that the page writes."""
PICTURE = (540, 900)
"""Pixels of the cameras: narrower than the pictures', so that three views have room beside each other."""
LARGEST_FILE = 40_000
"""Bytes of a preset file that is opened; with quotes and breaks it still fits into a message."""
CHARTS = ("head_up_cm", "head_toward_target_cm", "head_toward_ball_cm")
TALLER_M = (2.0, 2.15, STATURE_RANGE_M[1])
"""Statures that further tripods fit, for a body that grows out of the first one's pictures."""
STEPS = {"deg": 0.5, "cm": 0.25, "kg": 0.5}


def live_page(setups: Sequence[Setup]) -> str:
    """The page, with the swings that it begins with.

    Args:
        setups: one, or two of which the first is kept beside the second.
    """
    return rendered(
        "live/page.html",
        title="Turnstill live",
        scripts=SCRIPTS,
        talks=True,
        start=start_of(setups),
        views=list(VIEW_TITLES.items()),
        kinds=list(KINDS.items()),
        why=WHY,
        key=lambda k: key(STYLES[k]),
    )


def page_policy() -> str:
    """What the page may do: nothing from elsewhere, and ask this server."""
    return f"{policy(SCRIPTS, talks=True)}; frame-ancestors 'none'"


def start_of(setups: Sequence[Setup]) -> dict[str, Any]:
    """What a page needs to begin.

    Returns:
        ``swings`` and ``presets``, each ``name``, ``shows``, ``values`` and ``timing`` as messages have them;
        ``coach`` and ``full``, groups of sliders; ``body_sections``, which a preset leaves as they are; ``sections``,
        in the order of files; ``measures`` and ``charts``; ``styles`` of the swing and of the one kept; ``settings`` of
        the drawing; ``usual_stature_cm`` of who is said to have none; and ``tripods``, each with the stature that it
        fits, ``fits_cm``, and its ``cameras`` by hand and view, the least first.
    """
    from ...render.web.settings import drawing_settings

    usual = _usual(setups[-1])
    return {
        "swings": [told_setup(setup) for setup in setups],
        "presets": [told_setup(load(name)) for name in backswing_names()],
        "coach": [
            {"title": "The pivot", "open": True, "controls": [_coach(*one, usual) for one in COACH]},
            {
                "title": "The golfer",
                "open": False,
                "controls": [_entry(one, usual) for one in section_entries(BODY_SECTION).values()],
            },
        ],
        "full": [
            {"title": title, "open": opened, "controls": [_entry(one, usual) for one in section_entries(name).values()]}
            for name, (title, opened) in GROUPS.items()
        ],
        "body_sections": BODY_SECTIONS,
        "sections": SECTIONS,
        "measures": [_measure(name) for name in SHOWN],
        "charts": [_chart(name) for name in CHARTS],
        "styles": [{"colour": style.colour, "dash": style.dash} for style in STYLES[:2]],
        "settings": drawing_settings(),
        "largest_file": LARGEST_FILE,
        "usual_stature_cm": usual["stature"],
        "tripods": _tripods(setups),
    }  # fmt: skip


def _tripods(setups: Sequence[Setup]) -> list[dict[str, Any]]:
    """One tripod a hand for the whole lesson, so that whatever moves in the picture is the golfer; and farther ones for
    a body that is made so tall that it would be cut off.
    """
    swings = {
        hand: [swing_of(setup.changed(BODY_SECTION, "handedness", hand), 2) for setup in setups]
        for hand in ("right", "left")
    }
    first = max(float(swing.body.stature) for swing in swings["right"])
    made = []
    for fits in (first, *(taller for taller in TALLER_M if taller > first)):
        places = {hand: cameras(own, *PICTURE, fits_m=fits)[0] for hand, own in swings.items()}
        made.append(
            {
                "fits_cm": 100.0 * fits,
                "cameras": {
                    hand: {view: camera_numbers(camera) for view, camera in own.items()} for hand, own in places.items()
                },
            }
        )
    return made


def _usual(setup: Setup) -> dict[str, float | str]:
    """What each quantity is where a setup leaves it out, by name, in the border's units.

    Lengths and ranges are those of this setup's stature, mass and sex; all else is the centred preset's.
    """
    bare = Setup(setup.name)
    body, address = body_of(bare), address_of(bare)
    own = body_of(Setup(setup.name, values={BODY_SECTION: setup.section(BODY_SECTION)}))
    found: dict[str, float | str] = {"sex": "male", "handedness": "right"}
    found |= {"stature": to_border("cm", body.stature), "mass": to_border("kg", body.mass)}
    sources: tuple[tuple[str, Mapping[str, Any]], ...] = (
        (ADDRESS_SECTION, vars(address)), (PIECES_SECTION, vars(pieces_of(bare))), (ARMS_SECTION, vars(address.arms)),
        (LENGTHS_SECTION, own.lengths), (RANGES_SECTION, own.ranges),
    )  # fmt: skip
    for section, source in sources:
        for entry in section_entries(section).values():
            value = source.get(entry.name)
            if isinstance(value, Steady):
                found[entry.name] = Departure(to_border("deg", value.plus)).in_full
            elif entry.quantity and value is not None:
                found[entry.name] = round(to_border(entry.quantity.unit, value), 4)
    return found


def _coach(name: str, low: float, high: float, usual: dict[str, float | str]) -> dict[str, Any]:
    """A slider of a lesson; of two sides at once, each keeps how far it is from the other."""
    turned = knob(name)
    entry, _ = turned.parts[0]
    return {
        "name": turned.words, "meaning": turned.meaning, "unit": turned.unit, "low": low, "high": high,
        "step": STEPS[turned.unit], "steady": entry.may_be_steady, "words": [],
        "parts": [_part(entry, sign, usual) for entry, sign in turned.parts],
        "key": entry.key if len(turned.parts) == 1 and entry.section == PIECES_SECTION else "",
        "flare": name == FLARE_BOTH,
    }  # fmt: skip


def _entry(entry: Entry, usual: dict[str, float | str]) -> dict[str, Any]:
    """A slider of everything there is, as far as files go."""
    quantity = entry.quantity
    unit = quantity.unit if quantity else ""
    return {
        "name": spoken(entry.name), "meaning": quantity.meaning if quantity else "", "unit": unit,
        "low": quantity.low if quantity else 0, "high": quantity.high if quantity else 0, "step": STEPS.get(unit, 1),
        "steady": entry.may_be_steady, "words": list(entry.words), "parts": [_part(entry, 1, usual)],
        "key": entry.key if entry.section == PIECES_SECTION else "", "flare": entry.name.endswith("_flare"),
    }  # fmt: skip


def _part(entry: Entry, sign: int, usual: dict[str, float | str]) -> list[Any]:
    """One quantity of a slider: section, key, the sign it goes in, and what it is where it is not set."""
    return [entry.section, entry.key, sign, usual.get(entry.name, 0.0)]


def _measure(name: str) -> dict[str, Any]:
    shown = MEASURES[name]
    return {
        "key": name, "words": shown.words, "unit": shown.unit(), "decimals": shown.decimals(),
        "signed": shown.is_length, "times": 100 if shown.is_share else 1,
    }  # fmt: skip


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
    }
