"""What was read off the films: names, units, scales and uncertainties, as people give them."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from ...model.errors import TurnstillError
from ...model.films.readings import READINGS
from ..setups.amounts import amount
from ..setups.quantities import echo, nearest, read_number, to_model, without_unit
from .moments import IMPACT, TOP, Moment

_OF_IMPACT = re.compile(r"\s*impact\s*\.\s*", re.IGNORECASE)
FACE_ON, DOWN_THE_LINE, EITHER = "face-on", "down the line", "either view"


@dataclass(frozen=True)
class Kind:
    """One thing that can be read.

    Attributes:
        words: how it is called.
        view: the film that shows it.
        positive: which way counts as positive.
        stands: whether it is how the golfer stands at that moment, not what has changed since address.
    """

    words: str
    view: str
    positive: str
    stands: bool = False

    def counted(self, moment: Moment) -> str:
        """Which way counts as positive, and when."""
        return f"{self.positive}, {moment.at}" if self.stands else self.positive


KINDS: Mapping[str, Kind] = {
    "head_toward_target": Kind("head toward the target", FACE_ON, "toward the target since address"),
    "head_up": Kind("head up", EITHER, "up since address"),
    "head_toward_ball": Kind("head toward the ball", DOWN_THE_LINE, "toward the ball since address"),
    "pelvis_toward_target": Kind("pelvis toward the target", FACE_ON, "toward the target since address"),
    "pelvis_toward_ball": Kind("pelvis toward the ball", DOWN_THE_LINE, "toward the ball since address"),
    "inclination_change": Kind("change of inclination", DOWN_THE_LINE, "more toward the ball than at address"),
    "lean_face_on": Kind("trunk lean face-on", FACE_ON, "away from the target, from the vertical", True),
    "shoulder_plane": Kind("shoulder plane", DOWN_THE_LINE, "lead shoulder down, from the horizontal", True),
    "shoulder_turn": Kind("shoulder turn", EITHER, "away from the target", True),
    "hip_turn": Kind("hip turn", EITHER, "away from the target", True),
    "lead_knee_flex": Kind("lead knee flexion", FACE_ON, "flexed, 0 is straight", True),
    "trail_knee_flex": Kind("trail knee flexion", DOWN_THE_LINE, "flexed, 0 is straight", True),
    "belt_line_tilt": Kind("belt line tilt", FACE_ON, "lead side down, from the horizontal", True),
}
HEADS = ("head_toward_ball", "head_toward_target", "head_up")
"""In the order of ``turnstill.scenes.words.pieces.head_words``."""
LARGEST = {"cm": 200.0, "deg": 180.0}
"""No reading is larger: ten times a usual one is let through, for the diagnosis to say what it thinks of it."""
SD_RANGE = {"cm": (0.01, 200.0), "deg": (0.01, 360.0)}
WIDTH_RANGE, LENGTH_RANGE = (10.0, 25.0), (13.0, 32.0)
Number = float | str
"""As given: a number in its option's unit, or a text with its unit."""


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

    def units(self, unit: str) -> dict[str, float]:
        """Heads as further units of what is told in ``cm``; angles have none."""
        return {"hw": self.width_cm, "hl": self.length_cm} if unit == "cm" else {}


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
    """All that was read of one moment.

    Attributes:
        readings: in the order of ``READINGS``.
        sd: name of every reading, read or not, to the standard deviation it has or would have, cm or deg.
        scale: for heads as a unit.
        used: units other than cm and deg that were used, with the readings they were used for.
        moment: when it was read.
    """

    readings: tuple[Reading, ...]
    sd: Mapping[str, float]
    scale: Scale
    used: Mapping[str, tuple[str, ...]]
    moment: Moment = TOP

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


def asked_at_each(
    options: Mapping[str, Sequence[Number]],
    read: Iterable[str],
    group_sd: Mapping[str, Number | None],
    sd: Iterable[str],
    scale: Scale,
) -> tuple[Asked, ...]:
    """Everything that was read, checked, of each moment at which something was: at the top, then at impact.

    Names that begin with ``impact.`` are of impact. Arguments are those of `asked`.

    Raises:
        TurnstillError: for anything that cannot be a reading or an uncertainty, or nothing at all.
    """
    reads, sds = by_moment(read), by_moment(sd)
    at_top = any(options.values()) or bool(reads[TOP.name])
    if not at_top and not reads[IMPACT.name]:
        raise TurnstillError(
            "A diagnosis needs at least one reading of the films; give for example --head-toward-target-cm -6 "
            "--head-up-cm 0.5 --shoulder-turn-deg 88. turnstill diagnose --help lists all."
        )
    of_top = [asked(options, reads[TOP.name], group_sd, sds[TOP.name], scale)] if at_top else []
    for moment, was_read in ((TOP, at_top), (IMPACT, bool(reads[IMPACT.name]))):
        if sds[moment.name] and not was_read:
            raise TurnstillError(
                f"--sd {echo(moment.prefix + sds[moment.name][0])} is {moment.of}, where nothing was read; give --read "
                f"{moment.prefix}NAME=VALUE too, or leave it out."
            )
    if not reads[IMPACT.name]:
        return tuple(of_top)
    return (*of_top, asked({}, reads[IMPACT.name], group_sd, sds[IMPACT.name], scale, IMPACT))


def by_moment(texts: Iterable[str]) -> dict[str, list[str]]:
    """Texts ``NAME=VALUE`` by the moment that they are of, without its prefix."""
    found: dict[str, list[str]] = {TOP.name: [], IMPACT.name: []}
    for text in texts:
        of_impact = _OF_IMPACT.match(text)
        found[(IMPACT if of_impact else TOP).name].append(text[of_impact.end() :] if of_impact else text)
    return found


def asked(
    options: Mapping[str, Sequence[Number]],
    read: Iterable[str],
    group_sd: Mapping[str, Number | None],
    sd: Iterable[str],
    scale: Scale,
    moment: Moment = TOP,
) -> Asked:
    """Everything that was read of one moment, checked.

    Args:
        options: reading to what its own option was given, in cm or deg where it names no unit.
        read: ``NAME=VALUE`` likewise.
        group_sd: ``head``, ``pelvis`` and ``angle`` to the uncertainty of all of that group.
        sd: ``NAME=VALUE``, the uncertainty of one.
        scale: for heads as a unit.
        moment: when it was read.

    Raises:
        TurnstillError: for anything that cannot be a reading or an uncertainty.
    """
    found: dict[str, tuple[float, str]] = {}
    used: dict[str, list[str]] = {}

    def put(name: str, value: float, unit_used: str, given: str, how: str) -> None:
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
        if unit_used not in ("", "cm", "deg"):
            used.setdefault(unit_used, []).append(name)

    for name, values in options.items():
        for value in values:
            number, unit = read_number(option(name), value, READINGS[name], scale.units(READINGS[name]))
            written = value.strip() if isinstance(value, str) else f"{value:g}"
            put(name, number, unit, f"{option(name)} {written}", option(name))
    for text in read:
        name, number, unit = _amount("--read", text, scale, moment)
        put(name, number, unit, f"--read {moment.prefix}{text.strip()}", f"--read {moment.prefix}{name}")
    own = _own_sds(sd, scale, moment)
    _check_read(own, found, moment)
    groups = {group: _group_sd(group, value, scale) for group, value in group_sd.items() if value is not None}
    every = {}
    for name, unit in READINGS.items():
        every[name] = own.get(name, groups.get(_group(name), moment.usual_sd[unit]))
    readings = [
        Reading(name, found[name][0], every[name], name in own or _group(name) in groups, found[name][1])
        for name in READINGS
        if name in found
    ]
    return Asked(tuple(readings), every, scale, {unit: tuple(names) for unit, names in used.items()}, moment)


def _check_read(own: Iterable[str], found: Iterable[str], moment: Moment) -> None:
    """An uncertainty of its own has only what was read.

    Raises:
        TurnstillError: for any other.
    """
    for name in own:
        if name not in found:
            raise TurnstillError(
                f"--sd {moment.prefix}{name} is of a reading that was not given; give --read "
                f"{moment.prefix}{name}=VALUE too, or leave it out."
            )


def _group(name: str) -> str:
    return name.split("_")[0] if READINGS[name] == "cm" else "angle"


def _group_sd(group: str, given: Number, scale: Scale) -> float:
    unit = "deg" if group == "angle" else "cm"
    how = f"--{group}-sd-{unit}"
    return _checked_sd(how, read_number(how, given, unit, scale.units(unit))[0], unit)


def _checked_sd(how: str, value: float, unit: str) -> float:
    low, high = SD_RANGE[unit]
    if not low <= value <= high:
        raise TurnstillError(
            f"{how} was {echo(value)} {unit}, but an uncertainty must be between {low:g} and {high:g} {unit}: about "
            "how far apart two readings of the same film are."
        )
    return value


def _own_sds(texts: Iterable[str], scale: Scale, moment: Moment) -> dict[str, float]:
    own: dict[str, float] = {}
    for text in texts:
        name, value, _ = _amount("--sd", text, scale, moment)
        if name in own:
            raise TurnstillError(f"--sd gives the uncertainty of {moment.prefix}{name} twice; give it once.")
        own[name] = _checked_sd(f"--sd {moment.prefix}{name}", value, READINGS[name])
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


def _amount(how: str, text: str, scale: Scale, moment: Moment) -> tuple[str, float, str]:
    """Name, value in cm or deg, and the unit it was written in."""
    left, equals, right = text.partition("=")
    if not equals:
        head, turn = ("-2.5in", "-20deg" if moment is IMPACT else "40deg") if how == "--read" else ("0.5in", "6deg")
        raise TurnstillError(
            f"{how} {echo(moment.prefix + text)} must be NAME=VALUE with a unit, for example {how} "
            f"{moment.prefix}head_toward_target={head} or {how} {moment.prefix}hip_turn={turn}."
        )
    name, by_name = reading_name(how, left)
    plain = amount(right, READINGS[name])
    if by_name and plain and not plain[1]:
        right += by_name  # A unit in the name is that of a number without one.
    number, unit = read_number(f"{how} {moment.prefix}{name}", right, READINGS[name], scale.units(READINGS[name]))
    return name, number, unit


def scale_of(width: Number | None, length: Number | None, survey_width_m: float, survey_length_m: float) -> Scale:
    """The head's size, as measured or as the survey has it for this body.

    Raises:
        TurnstillError: a head that cannot be.
    """
    measured = []
    for how, given, survey_m, (low, high) in (
        ("--head-width-cm", width, survey_width_m, WIDTH_RANGE),
        ("--head-length-cm", length, survey_length_m, LENGTH_RANGE),
    ):
        value = survey_m * 100.0 if given is None else read_number(how, given, "cm")[0]
        if given is not None and not low <= value <= high:
            raise TurnstillError(f"{how} was {echo(value)}, but a head is between {low:g} and {high:g} cm; measure it.")
        measured.append(value)
    return Scale(measured[0], measured[1], (width is not None, length is not None))
