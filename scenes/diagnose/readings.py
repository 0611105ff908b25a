"""What was read off the films: names, units, scales and uncertainties, as people give them."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from ...model.errors import TurnstillError
from ...model.films.readings import READINGS
from ..setups.quantities import echo, nearest, to_model, without_unit
from ..words.units import CM_PER_INCH

FACE_ON, DOWN_THE_LINE, EITHER = "face-on", "down the line", "either view"


@dataclass(frozen=True)
class Kind:
    """One thing that can be read.

    Attributes:
        words: how it is called.
        view: the film that shows it.
        positive: which way counts as positive.
    """

    words: str
    view: str
    positive: str


KINDS: Mapping[str, Kind] = {
    "head_toward_target": Kind("head toward the target", FACE_ON, "toward the target since address"),
    "head_up": Kind("head up", EITHER, "up since address"),
    "head_toward_ball": Kind("head toward the ball", DOWN_THE_LINE, "toward the ball since address"),
    "pelvis_toward_target": Kind("pelvis toward the target", FACE_ON, "toward the target since address"),
    "pelvis_toward_ball": Kind("pelvis toward the ball", DOWN_THE_LINE, "toward the ball since address"),
    "inclination_change": Kind("change of inclination", DOWN_THE_LINE, "more toward the ball than at address"),
    "lean_face_on": Kind("trunk lean face-on", FACE_ON, "away from the target, from the vertical, at the top"),
    "shoulder_plane": Kind("shoulder plane", DOWN_THE_LINE, "lead shoulder down, from the horizontal, at the top"),
    "shoulder_turn": Kind("shoulder turn", EITHER, "away from the target, at the top"),
    "hip_turn": Kind("hip turn", EITHER, "away from the target, at the top"),
    "lead_knee_flex": Kind("lead knee flexion", FACE_ON, "flexed, 0 is straight, at the top"),
    "trail_knee_flex": Kind("trail knee flexion", DOWN_THE_LINE, "flexed, 0 is straight, at the top"),
    "belt_line_tilt": Kind("belt line tilt", FACE_ON, "lead side down, from the horizontal, at the top"),
}
USUAL_SD = {"cm": 1.0, "deg": 4.0}
"""What careful reading of a film leaves (assumption), as ``turnstill.model.films.diagnose.USUAL_SD``."""
LARGEST = {"cm": 200.0, "deg": 180.0}
"""No reading is larger: ten times a usual one is let through, for the diagnosis to say what it thinks of it."""
SD_RANGE = {"cm": (0.01, 200.0), "deg": (0.01, 360.0)}
WIDTH_RANGE, LENGTH_RANGE = (10.0, 25.0), (13.0, 32.0)
_UNITS = {
    "": "", "cm": "cm", "mm": "mm", "m": "m", "in": "in", "inch": "in", "inches": "in", '"': "in",
    "hw": "hw", "hl": "hl", "deg": "deg", "degrees": "deg", "°": "deg",
}  # fmt: skip
_AMOUNT = re.compile(r"([+-]?(?:\d+\.?\d*|\.\d+)(?:e[+-]?\d+)?)\s*([a-z\"°]*)", re.ASCII | re.IGNORECASE)


@dataclass(frozen=True)
class Scale:
    """How large this golfer's head is, to turn heads into centimetres.

    Attributes:
        width_cm: ear to ear, as seen face-on.
        length_cm: brow to back of the head, as seen down the line.
        measured: whether width and length were given; else they are the survey's for this body.
    """

    width_cm: float
    length_cm: float
    measured: tuple[bool, bool]


@dataclass(frozen=True)
class Reading:
    """One reading, in the border's unit.

    Attributes:
        name: of ``READINGS``.
        value: cm or deg.
        sd: its standard deviation, cm or deg.
        sd_given: whether that was given; else it is the usual one.
        given: as it was written.
    """

    name: str
    value: float
    sd: float
    sd_given: bool
    given: str

    @property
    def unit(self) -> str:
        """``cm`` or ``deg``."""
        return READINGS[self.name]


@dataclass(frozen=True)
class Asked:
    """All that was read.

    Attributes:
        readings: in the order of ``READINGS``.
        sd: name of every reading, read or not, to the standard deviation it has or would have, cm or deg.
        scale: for heads as a unit.
        used: units other than cm and deg that were used, with the readings they were used for.
    """

    readings: tuple[Reading, ...]
    sd: Mapping[str, float]
    scale: Scale
    used: Mapping[str, tuple[str, ...]]

    @property
    def seen(self) -> dict[str, float]:
        """Readings in m and rad."""
        return {one.name: to_model(one.unit, one.value) for one in self.readings}

    @property
    def seen_sd(self) -> dict[str, float]:
        """Uncertainty of every reading, m and rad."""
        return {name: to_model(READINGS[name], value) for name, value in self.sd.items()}

    @property
    def seen_sd_of_read(self) -> dict[str, float]:
        """Uncertainty of what was read, m and rad."""
        every = self.seen_sd
        return {one.name: every[one.name] for one in self.readings}

    def value(self, name: str) -> float | None:
        """A reading in cm or deg, none if it was not read."""
        return next((one.value for one in self.readings if one.name == name), None)


def option(name: str) -> str:
    """The option of a reading."""
    return f"--{name}_{READINGS[name]}".replace("_", "-")


def asked(
    options: Mapping[str, Sequence[float]],
    read: Iterable[str],
    group_sd: Mapping[str, float | None],
    sd: Iterable[str],
    scale: Scale,
) -> Asked:
    """Everything that was read, checked.

    Args:
        options: reading to the numbers its own option was given, cm or deg.
        read: ``NAME=VALUE`` with a unit or without.
        group_sd: ``head``, ``pelvis`` and ``angle`` to the uncertainty of all of that group.
        sd: ``NAME=VALUE``, the uncertainty of one.
        scale: for heads as a unit.

    Raises:
        TurnstillError: for anything that cannot be a reading or an uncertainty.
    """
    found: dict[str, tuple[float, str]] = {}
    used: dict[str, list[str]] = {}

    def put(name: str, value: float, given: str, how: str) -> None:
        if name in found:
            raise TurnstillError(
                f"{KINDS[name].words.capitalize()} was given twice, as {found[name][1]} and as {given}; give it "
                "once, "
                "in one unit."
            )
        unit, most = READINGS[name], LARGEST[READINGS[name]]
        if not abs(value) <= most:  # Not a number fails this comparison as well.
            raise TurnstillError(
                f"{how} was {echo(value)}{'' if unit in given else f' {unit}'}, but must be a number between "
                f"{-most:g} and {most:g} {unit}; check its unit, and leave out what was not read."
            )
        found[name] = value, given

    for name, values in options.items():
        for value in values:
            put(name, value, f"{option(name)} {value:g}", option(name))
    for text in read:
        name, value, unit = _amount("--read", text, scale)
        put(name, value, f"--read {text}", f"--read {name}")
        if unit not in ("cm", "deg"):
            used.setdefault(unit, []).append(name)
    if not found:
        raise TurnstillError(
            "A diagnosis needs at least one reading of the films; give for example --head-toward-target-cm -6 "
            "--head-up-cm 0.5 --shoulder-turn-deg 88. turnstill diagnose --help lists all."
        )
    own = _own_sds(sd, scale)
    groups = {group: _group_sd(group, value) for group, value in group_sd.items() if value is not None}
    every = {}
    for name, unit in READINGS.items():
        every[name] = own.get(name, groups.get(_group(name), USUAL_SD[unit]))
    readings = [
        Reading(name, found[name][0], every[name], name in own or _group(name) in groups, found[name][1])
        for name in READINGS
        if name in found
    ]
    return Asked(tuple(readings), every, scale, {unit: tuple(names) for unit, names in used.items()})


def _group(name: str) -> str:
    return name.split("_")[0] if READINGS[name] == "cm" else "angle"


def _group_sd(group: str, value: float) -> float:
    unit = "deg" if group == "angle" else "cm"
    return _checked_sd(f"--{group}-sd-{unit}", value, unit)


def _checked_sd(how: str, value: float, unit: str) -> float:
    low, high = SD_RANGE[unit]
    if not low <= value <= high:
        raise TurnstillError(
            f"{how} was {echo(value)} {unit}, but an uncertainty must be between {low:g} and {high:g} {unit}: about "
            "how far apart two readings of the same film are."
        )
    return value


def _own_sds(texts: Iterable[str], scale: Scale) -> dict[str, float]:
    own: dict[str, float] = {}
    for text in texts:
        name, value, _ = _amount("--sd", text, scale)
        if name in own:
            raise TurnstillError(f"--sd gives the uncertainty of {name} twice; give it once.")
        own[name] = _checked_sd(f"--sd {name}", value, READINGS[name])
    return own


def reading_name(how: str, text: str) -> tuple[str, str]:
    """The reading of a name written with or without its unit, and that unit.

    Raises:
        TurnstillError: for an unknown name.
    """
    cleaned = re.sub(r"[\s-]+", "_", text.strip().lower())
    bare = cleaned if cleaned in READINGS else without_unit(cleaned)
    if bare not in READINGS:
        raise TurnstillError(
            f"{how}: there is no reading {echo(text)}; there are {', '.join(READINGS)}.{nearest(bare, READINGS)}"
        )
    return bare, cleaned.removeprefix(bare).lstrip("_")


def _amount(how: str, text: str, scale: Scale) -> tuple[str, float, str]:
    """Name, value in cm or deg, and the unit it was written in."""
    left, equals, right = text.partition("=")
    if not equals:
        raise TurnstillError(
            f"{how} {echo(text)} must be NAME=VALUE with a unit, for example {how} head_toward_target="
            f"{'-2.5in' if how == '--read' else '0.5in'} or {how} hip_turn={'40' if how == '--read' else '6'}deg."
        )
    name, by_name = reading_name(how, left)
    match = _AMOUNT.fullmatch(right.strip().replace("−", "-"))
    written = _UNITS.get(match[2].lower()) if match else None
    units = "deg" if READINGS[name] == "deg" else "cm, mm, m, in, hw (head widths) or hl (head lengths)"
    if match is None or written is None:
        raise TurnstillError(
            f"{how} {name} was {echo(right)}, but must be a number with a point, and its unit: {units}."
        )
    unit = written or _UNITS.get(by_name, "") or READINGS[name]
    if (unit == "deg") != (READINGS[name] == "deg") or (by_name and written and _UNITS.get(by_name) != written):
        raise TurnstillError(f"{how} {name} was given in {written or by_name}, but its unit must be {units}.")
    factor = {
        "deg": 1.0, "cm": 1.0, "mm": 0.1, "m": 100.0, "in": CM_PER_INCH, "hw": scale.width_cm, "hl": scale.length_cm,
    }[unit]  # fmt: skip
    return name, float(match[1]) * factor, unit


def scale_of(width_cm: float | None, length_cm: float | None, survey_width_m: float, survey_length_m: float) -> Scale:
    """The head's size, as measured or as the survey has it for this body.

    Raises:
        TurnstillError: a head that cannot be.
    """
    for how, value, (low, high) in (
        ("--head-width-cm", width_cm, WIDTH_RANGE),
        ("--head-length-cm", length_cm, LENGTH_RANGE),
    ):
        if value is not None and not (math.isfinite(value) and low <= value <= high):
            raise TurnstillError(f"{how} was {echo(value)}, but a head is between {low:g} and {high:g} cm; measure it.")
    return Scale(
        survey_width_m * 100.0 if width_cm is None else width_cm,
        survey_length_m * 100.0 if length_cm is None else length_cm,
        (width_cm is not None, length_cm is not None),
    )
