"""From a setup, in the border's units, to a simulated swing."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from functools import cache, lru_cache
from typing import Any, NamedTuple, Protocol

from ...model.arrays import ArrayLike
from ...model.errors import TurnstillError
from ...model.golfer.address import Address
from ...model.golfer.arm_swing import ArmSwing
from ...model.golfer.body import Body
from ...model.golfer.club import fitted_club
from ...model.golfer.head_place import HEAD_PLACE, HeadPlace
from ...model.golfer.impact import IMPACT, Impact, centred_at_impact
from ...model.golfer.pieces import PIECES, Pieces, Steady, Timing, plain
from ...model.swing.rehearsal import Rehearsal
from ...model.swing.simulate import simulate
from ...model.swing.swing import Swing
from .options import MOMENTS
from .presets import Setup, load
from .quantities import (
    ADDRESS_SECTION,
    ARMS_SECTION,
    BODY_SECTION,
    HEAD_SECTION,
    IMPACT_SECTION,
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
        self,
        body: Body,
        address: Address,
        pieces: Pieces,
        timing: Timing | None,
        frames: int,
        left_handed: bool,
        impact: Impact | None,
        head: HeadPlace | None,
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

    def until_top(self) -> Performed:
        """The same with a swing that ends at the top; itself where it does."""
        return self if self.swing.impact is None else replace(self, swing=self.swing.until_top())


def _numbers(setup: Setup, section: str) -> dict[str, float]:
    """Values of a section in the model's units, by bare name."""
    numbers = {}
    for key, entry in section_entries(section).items():
        value = setup.section(section).get(key)
        if entry.quantity and isinstance(value, int | float):
            numbers[entry.bare] = to_model(entry.quantity.unit, value)
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
    return Pieces().replace(**_numbers(setup, PIECES_SECTION), **_departures(setup, PIECES_SECTION))


def _departures(setup: Setup, section: str) -> dict[str, Steady]:
    """What a section asks for as departures from what holds the head, by bare name."""
    return {
        entry.bare: Steady(to_model("deg", value.plus_deg))
        for key, entry in section_entries(section).items()
        if isinstance(value := setup.section(section).get(key), Departure)
    }


def head_of(setup: Setup) -> HeadPlace:
    """Where a setup wants the head at the top."""
    return HeadPlace(**_numbers(setup, HEAD_SECTION))


def impact_of(setup: Setup) -> Impact:
    """What a setup does by impact; what it does not name is the centred golfer's.

    The head is wanted where it is at the top, unless the section says where.
    """
    own: dict[str, ArrayLike | Steady] = {**_numbers(setup, IMPACT_SECTION), **_departures(setup, IMPACT_SECTION)}
    head = _numbers(setup, HEAD_SECTION)
    head |= {name: float(plain(own[f"head_{name}"])) for name in HEAD_PLACE if f"head_{name}" in own}
    arms = {name: plain(own[name]) for name in IMPACT if name in own}
    pieces = centred_at_impact().replace(**{name: value for name, value in own.items() if name in PIECES})
    return Impact(pieces, **arms, head=HeadPlace(**head))


def address_of(setup: Setup) -> Address:
    """The address of a setup, arms included.

    What it does not name keeps the centred preset's values; a club it does not name fits the golfer.

    Raises:
        TurnstillError: a body that cannot be.
    """
    given = _numbers(setup, ADDRESS_SECTION)
    if "club_length" not in given:
        given["club_length"] = float(fitted_club(body_of(setup)))
    return _address(tuple(given.items()), tuple(_numbers(setup, ARMS_SECTION).items()))


@lru_cache(maxsize=8)
def _address(given: _Items, arms: _Items) -> Address:
    """The last few are kept, as bodies are."""
    return Address().replace(**dict(given), arms=ArmSwing().replace(**dict(arms)))


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


def swing_of(
    setup: Setup, frames: int = MOMENTS, by: Simulation | None = None, *, through_impact: bool = False
) -> Swing:
    """Simulate a setup.

    Args:
        setup: what is asked for.
        frames: number of moments up to the top.
        by: `simulate` if not given.
        through_impact: whether the swing goes on through impact.

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
        impact=impact_of(setup) if through_impact else None,
        head=head_of(setup),
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
    centred = centred_preset()
    own = {s: setup.section(s) for s in (BODY_SECTION, LENGTHS_SECTION, RANGES_SECTION, ARMS_SECTION, HEAD_SECTION)}
    flare = {key: value for key, value in centred.section(ADDRESS_SECTION).items() if "flare" in key}
    own[ADDRESS_SECTION] = {**centred.section(ADDRESS_SECTION), **setup.section(ADDRESS_SECTION), **flare}
    return Setup(centred.name, centred.shows, {**centred.values, **own})


@cache
def centred_preset() -> Setup:
    """The centred preset, read once."""
    return load("centred")


def perform(
    setup: Setup, frames: int = MOMENTS, by: Simulation | None = None, *, through_impact: bool = False
) -> Performed:
    """Simulate a setup, and the centred pivot by the same golfer to measure it against.

    Arguments are those of `swing_of`; if nothing else simulates both, a rehearsal does, in which their golfer is stood
    once.

    Raises:
        TurnstillError: what was asked cannot be simulated.
    """
    by = by or Rehearsal().simulate
    swing = swing_of(setup, frames, by, through_impact=through_impact)
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
