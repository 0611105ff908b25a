"""The sliders and switches of the page: what each sets, how far it goes, and what it is where nobody sets it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from ...model.golfer.head_place import HEAD_PLACE
from ...model.golfer.impact import IMPACT
from ...model.golfer.pieces import PIECES, Steady
from ..setups.knobs import FLARE_BOTH, KNEES_BOTH, knob
from ..setups.perform import address_of, body_of, head_of, impact_of, pieces_of
from ..setups.presets import Setup
from ..setups.quantities import (
    ADDRESS_SECTION,
    ARMS_SECTION,
    BODY_SECTION,
    HEAD_SECTION,
    IMPACT_SECTION,
    LENGTHS_SECTION,
    PIECES_SECTION,
    RANGES_SECTION,
    Departure,
    Entry,
    section_entries,
    to_border,
)
from ..words.cautions import spoken

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
"""The sliders that a lesson needs, and how far each goes: nowhere past what may be asked (our choice)."""
COACH_AT_IMPACT: tuple[tuple[str, float, float], ...] = (
    ("hip_turn_deg", -60, 15),
    ("tilt_deg", -60, 10),
    ("extension_deg", -15, 50),
    ("sway_cm", -16, 6),
    ("hips_toward_ball_cm", -6, 14),
    ("head_toward_target_cm", -8, 8),
    ("head_up_cm", -8, 8),
)
"""Those that it needs of impact: each is what a fault of the way down or a wish for the head is made of (our choice).
Knees, shoulder turn and hands change a strike too, but stand with everything there is to set."""
GROUPS = {
    IMPACT_SECTION: ("At impact", True),
    PIECES_SECTION: ("The pivot at the top", True),
    HEAD_SECTION: ("Where the head is wanted at the top", False),
    ADDRESS_SECTION: ("Address", True),
    BODY_SECTION: ("Body", True),
    ARMS_SECTION: ("Arms and club at the top", False),
    LENGTHS_SECTION: ("Lengths of the body (of this stature where not measured)", False),
    RANGES_SECTION: ("Ranges of motion (published means where not measured)", False),
}
"""Sections of everything there is to set: title, and whether its sliders are open."""
WAYS_AT_IMPACT: Mapping[str, tuple[str, str]] = {
    "hip_turn": ("open to the target", "away from the target"),
    "shoulder_turn": ("open to the target", "away from the target"),
    "tilt": ("to the trail side", "to the lead side"),
    "sway": ("toward the target", "away from the target"),
    "hips_toward_ball": ("away from the ball", "toward the ball"),
    "head_toward_target": ("away from the target", "toward the target"),
    "head_up": ("down", "up"),
}
"""What a quantity at impact below and above nought is called, since most are below."""
WAYS_AT_TOP: Mapping[str, tuple[str, str]] = {
    name: WAYS_AT_IMPACT[name] for name in ("sway", "hips_toward_ball", "head_toward_target", "head_up")
}
"""The same at the top, of what goes either way there; a table beside it counts some of them the other way."""
STEPS = {"deg": 0.5, "cm": 0.25, "kg": 0.5}


def sliders_of(setup: Setup) -> dict[str, list[dict[str, Any]]]:
    """``coach`` and ``full``, groups of sliders; those with ``on`` count only where the swing goes on to impact."""
    usual = _usual(setup)
    at_impact, _ = GROUPS[IMPACT_SECTION]
    impact = section_entries(IMPACT_SECTION)
    return {
        "coach": [
            {
                "title": at_impact,
                "open": True,
                "on": True,
                "controls": [
                    _entry(impact[key], usual) | {"low": low, "high": high} for key, low, high in COACH_AT_IMPACT
                ],
            },
            {
                "title": GROUPS[PIECES_SECTION][0],
                "open": True,
                "on": False,
                "controls": [_coach(*one, usual) for one in COACH],
            },
            {
                "title": "The golfer",
                "open": False,
                "on": False,
                "controls": [_entry(one, usual) for one in section_entries(BODY_SECTION).values()],
            },
        ],
        "full": [
            {
                "title": title,
                "open": opened,
                "on": name == IMPACT_SECTION,
                "controls": [_entry(one, usual) for one in section_entries(name).values()],
            }
            for name, (title, opened) in GROUPS.items()
        ],
    }


def usual_stature_cm(setup: Setup) -> float:
    """The body height of a golfer of whom none is said."""
    return to_border("cm", body_of(Setup(setup.name)).stature)


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
        (LENGTHS_SECTION, own.lengths), (RANGES_SECTION, own.ranges), (HEAD_SECTION, vars(head_of(bare))),
        (IMPACT_SECTION, _at_impact(bare)),
    )  # fmt: skip
    for section, source in sources:
        for entry in section_entries(section).values():
            value = source.get(entry.bare)
            if isinstance(value, Steady):
                found[entry.name] = Departure(to_border("deg", value.plus)).in_full
            elif entry.quantity and value is not None:
                found[entry.name] = round(to_border(entry.quantity.unit, value), 4)
    return found


def _at_impact(setup: Setup) -> dict[str, Any]:
    """What is asked at impact, by bare name."""
    impact = impact_of(setup)
    arms = {name: getattr(impact, name) for name in IMPACT}
    return {**vars(impact.pieces), **arms, **{f"head_{name}": value for name, value in vars(impact.head).items()}}


def _coach(name: str, low: float, high: float, usual: dict[str, float | str]) -> dict[str, Any]:
    """A slider of a lesson; of two sides at once, each keeps how far it is from the other."""
    turned = knob(name)
    entry, _ = turned.parts[0]
    return {
        "name": turned.words, "meaning": turned.meaning, "unit": turned.unit, "low": low, "high": high,
        "allowed": [entry.quantity.low, entry.quantity.high] if entry.quantity else [low, high],
        "step": STEPS[turned.unit], "steady": entry.may_be_steady, "words": [],
        "parts": [_part(entry, sign, usual) for entry, sign in turned.parts],
        "key": entry.key if len(turned.parts) == 1 and entry.section == PIECES_SECTION else "",
        "flare": name == FLARE_BOTH, "at": "top", "ways": list(WAYS_AT_TOP.get(name, ())),
    }  # fmt: skip


def _entry(entry: Entry, usual: dict[str, float | str]) -> dict[str, Any]:
    """A slider of everything there is, as far as files go."""
    quantity = entry.quantity
    unit = quantity.unit if quantity else ""
    low, high = (quantity.low, quantity.high) if quantity else (0, 0)
    goes_on = entry.section == IMPACT_SECTION
    return {
        "name": _name(entry), "meaning": quantity.meaning if quantity else "", "unit": unit, "low": low, "high": high,
        "allowed": [low, high], "step": STEPS.get(unit, 1),
        "steady": entry.may_be_steady, "words": list(entry.words), "parts": [_part(entry, 1, usual)],
        "key": entry.key if entry.section in (PIECES_SECTION, IMPACT_SECTION) and entry.bare in PIECES else "",
        "flare": entry.name.endswith("_flare"), "at": "impact" if goes_on else "top",
        "ways": list((WAYS_AT_IMPACT if goes_on else WAYS_AT_TOP).get(_of_head(entry), ())),
    }  # fmt: skip


def _name(entry: Entry) -> str:
    """Of head and impact without its section, which the group says."""
    name = entry.bare.removeprefix("head_") if entry.section in (HEAD_SECTION, IMPACT_SECTION) else entry.bare
    if name in HEAD_PLACE:
        return f"head wanted {spoken(name)}"
    return spoken(entry.bare).replace("flex change", "knee flex change")


def _of_head(entry: Entry) -> str:
    """A quantity's bare name, that of the head with what it is of, as at impact."""
    return f"head_{entry.bare}" if entry.section == HEAD_SECTION else entry.bare


def _part(entry: Entry, sign: int, usual: dict[str, float | str]) -> list[Any]:
    """One quantity of a slider: section, key, the sign it goes in, and what it is where it is not set: a value, or
    that of another quantity and a value for where that is not set either.
    """
    first: list[Any] = [entry.section, entry.key, sign, usual.get(entry.name, 0.0)]
    if entry.section == IMPACT_SECTION and entry.bare.removeprefix("head_") in HEAD_PLACE:
        # A head is wanted at impact where it is wanted at the top, unless somebody says where.
        return [*first, [HEAD_SECTION, entry.key.removeprefix("head_")]]
    return first
