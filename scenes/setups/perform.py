"""From a setup, in the border's units, to a simulated swing."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from functools import cache, lru_cache
from typing import Any, NamedTuple, Protocol

from ...model.errors import TurnstillError
from ...model.golfer.address import Address
from ...model.golfer.arm_swing import ArmSwing
from ...model.golfer.body import Body
from ...model.golfer.club import fitted_club
from ...model.golfer.pieces import Pieces, Steady, Timing
from ...model.swing.simulate import simulate
from ...model.swing.swing import Swing
from .options import MOMENTS
from .presets import Setup, load
from .quantities import (
    ADDRESS_SECTION,
    ARMS_SECTION,
    BODY_SECTION,
    LENGTHS_SECTION,
    PIECES_SECTION,
    RANGES_SECTION,
    Departure,
    section_entries,
    to_model,
)

FEWEST_FRAMES, MOST_FRAMES = 2, 2001
_Items = tuple[tuple[str, Any], ...]


class Simulation(Protocol):
    """`simulate`, or what gives its numbers."""

    def __call__(
        self, body: Body, address: Address, pieces: Pieces, timing: Timing | None, frames: int, left_handed: bool
    ) -> Swing:
        """The swing."""


@dataclass(frozen=True)
class Performed:
    """One swing as asked for, as simulated, and what a centred turn would take of the same body.

    Attributes:
        setup: what was asked.
        swing: what came of it; no batch axes, ``M`` moments.
        centred: the centred preset's swing by this golfer, two moments (address and top).
    """

    setup: Setup
    swing: Swing
    centred: Swing


def _numbers(setup: Setup, section: str) -> dict[str, float]:
    """Values of a section in the model's units, by bare name."""
    numbers = {}
    for key, entry in section_entries(section).items():
        value = setup.section(section).get(key)
        if entry.quantity and isinstance(value, int | float):
            numbers[entry.name] = to_model(entry.quantity.unit, value)
    return numbers


def body_of(setup: Setup) -> Body:
    """The body of a setup.

    Raises:
        TurnstillError: a body that cannot be.
    """
    sizes, words = _numbers(setup, BODY_SECTION), setup.section(BODY_SECTION)
    given: dict[str, float | str] = {}
    if "stature" in sizes:
        given["stature_m"] = sizes["stature"]
    if "mass" in sizes:
        given["mass_kg"] = sizes["mass"]
    if "sex" in words:
        given["sex"] = str(words["sex"])
    lengths, ranges = (_numbers(setup, section) for section in (LENGTHS_SECTION, RANGES_SECTION))
    return _body(tuple(given.items()), tuple(lengths.items()), tuple(ranges.items()))


@lru_cache(maxsize=8)
def _body(given: _Items, lengths: _Items, ranges: _Items) -> Body:
    """The last few bodies are kept: every question about a golfer asks for the body several times."""
    return Body.from_stature(**dict(given), lengths=dict(lengths), ranges=dict(ranges))


def pieces_of(setup: Setup) -> Pieces:
    """The pieces of a setup; those it does not name keep the centred pivot's amounts."""
    departures = {
        entry.name: Steady(to_model("deg", value.plus_deg))
        for key, entry in section_entries(PIECES_SECTION).items()
        if isinstance(value := setup.section(PIECES_SECTION).get(key), Departure)
    }
    return Pieces().replace(**_numbers(setup, PIECES_SECTION), **departures)


def address_of(setup: Setup) -> Address:
    """The address of a setup, arms included.

    What it does not name keeps the centred preset's values; a club it does not name fits the golfer.

    Raises:
        TurnstillError: a body that cannot be.
    """
    arms = ArmSwing().replace(**_numbers(setup, ARMS_SECTION))
    given = _numbers(setup, ADDRESS_SECTION)
    if "club_length" not in given:
        given["club_length"] = float(fitted_club(body_of(setup)))
    return Address().replace(**given, arms=arms)


def is_left_handed(setup: Setup) -> bool:
    """Whether the golfer is left-handed."""
    return setup.section(BODY_SECTION).get("handedness") == "left"


def check_frames(frames: int) -> int:
    """The number of moments, if it is one that can be asked for.

    Raises:
        TurnstillError: outside the allowed range.
    """
    if not FEWEST_FRAMES <= frames <= MOST_FRAMES:
        shown = frames if abs(frames) < 10**12 else "a very large number"
        raise TurnstillError(f"--frames was {shown}, but must be a whole number from {FEWEST_FRAMES} to {MOST_FRAMES}.")
    return frames


def swing_of(setup: Setup, frames: int = MOMENTS, by: Simulation | None = None) -> Swing:
    """Simulate a setup.

    Args:
        setup: what is asked for.
        frames: number of moments.
        by: `simulate` if not given.

    Raises:
        TurnstillError: what was asked cannot be simulated.
    """
    return (by or simulate)(
        body_of(setup),
        address_of(setup),
        pieces_of(setup),
        timing=setup.timing or None,
        frames=check_frames(frames),
        left_handed=is_left_handed(setup),
    )


class Preset(NamedTuple):
    """What `simulate` is given, in the order in which it takes it: ``simulate(*preset("sway"))``."""

    body: Body
    address: Address
    pieces: Pieces
    timing: Timing | None


def preset(name_or_file: str) -> Preset:
    """Body, address, pieces and timing of a preset, or of a preset file, in rad and m.

    Raises:
        TurnstillError: for an unknown name or a file that is not a sound preset.
    """
    setup = load(name_or_file)
    return Preset(body_of(setup), address_of(setup), pieces_of(setup), setup.timing or None)


def centred_for(setup: Setup) -> Setup:
    """The centred preset's pieces and flare by the golfer of another setup, with that golfer's club, ball,
    posture and arms.

    What makes a swing departs; a club that fits the golfer does not, and no other would reach the ball.
    """
    centred = _centred()
    own = {s: setup.section(s) for s in (BODY_SECTION, LENGTHS_SECTION, RANGES_SECTION, ARMS_SECTION)}
    flare = {key: value for key, value in centred.section(ADDRESS_SECTION).items() if "flare" in key}
    own[ADDRESS_SECTION] = {**centred.section(ADDRESS_SECTION), **setup.section(ADDRESS_SECTION), **flare}
    return Setup(centred.name, centred.shows, {**centred.values, **own})


@cache
def _centred() -> Setup:
    return load("centred")


def perform(setup: Setup, frames: int = MOMENTS, by: Simulation | None = None) -> Performed:
    """Simulate a setup, and the centred pivot by the same golfer to measure it against; arguments as of `swing_of`.

    Raises:
        TurnstillError: what was asked cannot be simulated.
    """
    swing = swing_of(setup, frames, by)
    with about("the centred turn that this swing is measured against"):
        return Performed(setup, swing, swing_of(centred_for(setup), FEWEST_FRAMES, by))


@contextmanager
def about(which: str) -> Iterator[None]:
    """Where there is more than one swing: what is wrong is told of ``which``.

    Raises:
        TurnstillError: the same, naming the swing.
    """
    try:
        yield
    except TurnstillError as wrong:
        raise TurnstillError(f"Of {which}: {wrong}") from wrong
