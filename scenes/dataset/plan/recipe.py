"""What a data set is asked to hold. Every field stands with its default, that of the recipe ``plain``.

Units are in the names. A pair is the least and the most of what is drawn evenly between; a share is from 0 to 1.
"""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import model_validator

from ....model.golfer.address import SPREAD
from ....model.golfer.pieces import DEPARTURES, PIECES
from ....render.photograph.place import BACKDROPS, GROUNDS, OCCLUDERS
from ...views.names import VIEWS
from .clubs import CLUBS
from .fields import Section, Span, number, one_of, shares, some, span, text, whole, word

_Share = Annotated[float, number(0.0, 1.0)]
MOMENTS = 41
"""Moments that are simulated of every backswing, of which some are photographed."""
MOST_MOMENTS = 81
"""Moments that are simulated of a swing that goes on past the ball."""
TOP, IMPACT = "top", "impact"
"""How far a swing goes, and at which of its postures its faults are."""
ADDRESS_KEYS = {f"{name}_{'deg' if name not in ('stance_width', 'ball_position') else 'cm'}": name for name in SPREAD}
PIECE_KEYS = {f"{name}_{PIECES[name].unit}": name for name in DEPARTURES}
"""Names in a recipe, with their unit, to names in the model."""


class PieceSpread(Section):
    """How large a fault of one piece is, too little and too much of it, and how far off it may be without one."""

    less: Annotated[Span, span(0.5, 40.0)]
    more: Annotated[Span, span(0.5, 40.0)]
    wander: Annotated[float, number(0.0, 30.0)]

    @model_validator(mode="after")
    def _told_apart(self) -> PieceSpread:
        if self.wander >= min(self.less[0], self.more[0]):
            raise ValueError("the wander must be less than the least fault, or nobody can tell them apart")
        return self


def _spread(less: Span, more: Span, wander: float) -> PieceSpread:
    return PieceSpread(less=less, more=more, wander=wander)


class PieceSpreads(Section):
    """By piece, degrees or centimetres beyond what holds this body's head, or beyond the centred pivot."""

    hip_turn_deg: PieceSpread = _spread((10.0, 20.0), (10.0, 20.0), 3.4)
    shoulder_turn_deg: PieceSpread = _spread((10.0, 20.0), (10.0, 20.0), 3.4)
    tilt_deg: PieceSpread = _spread((8.0, 20.0), (8.0, 18.0), 3.4)
    extension_deg: PieceSpread = _spread((8.0, 25.0), (8.0, 18.0), 3.4)
    lead_flex_change_deg: PieceSpread = _spread((10.0, 20.0), (10.0, 20.0), 3.4)
    trail_flex_change_deg: PieceSpread = _spread((10.0, 20.0), (10.0, 20.0), 3.4)
    sway_cm: PieceSpread = _spread((4.0, 8.0), (4.0, 8.0), 1.3)
    hips_toward_ball_cm: PieceSpread = _spread((4.0, 8.0), (4.0, 8.0), 1.3)


class Population(Section):
    """Who swings."""

    women: _Share = 0.5
    left_handers: _Share = 0.1
    size_spread: Annotated[float, number(0.0, 2.0)] = 1.0
    proportions_spread: Annotated[float, number(0.0, 2.0)] = 1.0
    ranges_spread: Annotated[float, number(0.0, 2.0)] = 1.0
    skin_tone: Annotated[Span, span(0.0, 1.0)] = (0.0, 1.0)


class AddressSpread(Section):
    """By quantity, how far one sd is about the common address; nothing lies further than two."""

    lead_flare_deg: Annotated[float, number(0.0, 15.0)] = 8.0
    trail_flare_deg: Annotated[float, number(0.0, 15.0)] = 8.0
    stance_width_cm: Annotated[float, number(0.0, 8.0)] = 4.0
    knee_flex_deg: Annotated[float, number(0.0, 6.0)] = 3.0
    forward_bend_deg: Annotated[float, number(0.0, 6.0)] = 3.0
    pelvis_bend_deg: Annotated[float, number(0.0, 6.0)] = 3.0
    side_bend_deg: Annotated[float, number(0.0, 4.0)] = 2.0
    ball_position_cm: Annotated[float, number(0.0, 5.0)] = 1.5


class Swings(Section):
    """What they do."""

    no_fault: _Share = 0.34
    one_fault: _Share = 0.33
    two_faults: _Share = 0.33
    through: Annotated[str, one_of(TOP, IMPACT)] = TOP
    faults_at: Annotated[str, one_of(TOP, IMPACT)] = TOP
    backswing_s: Annotated[Span, span(0.3, 3.0)] = (0.7, 1.1)
    downswing_s: Annotated[Span, span(0.1, 1.5)] = (0.24, 0.34)
    clubs: Annotated[tuple[str, ...], some(tuple(CLUBS))] = tuple(CLUBS)
    pieces: PieceSpreads = PieceSpreads()

    @model_validator(mode="after")
    def _sound(self) -> Swings:
        if abs(self.no_fault + self.one_fault + self.two_faults - 1.0) > 1e-9:
            raise ValueError("the shares no_fault, one_fault and two_faults must add up to 1")
        if self.faults_at == IMPACT and self.through != IMPACT:
            raise ValueError('faults_at = "impact" needs through = "impact", since other swings end at the top')
        return self

    @property
    def goes_on(self) -> bool:
        """Whether swings go on past the ball."""
        return self.through == IMPACT


class Cameras(Section):
    """Where from: one tripod a swing and view."""

    distance_m: Annotated[Span, span(2.0, 10.0)] = (4.0, 5.0)
    height_off_hands_cm: Annotated[Span, span(-80.0, 80.0)] = (-10.0, 10.0)
    fill: Annotated[Span, span(0.3, 0.95)] = (0.75, 0.9)
    yaw_deg: Annotated[float, number(0.0, 30.0)] = 2.0
    pitch_deg: Annotated[float, number(0.0, 15.0)] = 1.0
    roll_deg: Annotated[float, number(0.0, 30.0)] = 1.0
    off_middle: Annotated[float, number(0.0, 0.2)] = 0.02
    k1: Annotated[Span, span(-0.3, 0.3)] = (0.0, 0.0)
    portrait: _Share = 0.0
    cut_off: _Share = 0.0


class Appearance(Section):
    """How the golfer looks."""

    caps: _Share = 0.5
    gloves: _Share = 0.7
    long_sleeves: _Share = 0.3
    shorts: _Share = 0.3
    skirts: _Share = 0.3
    skin_coloured_clothes: _Share = 0.0


class Scenery(Section):
    """Where they stand."""

    grounds: Annotated[tuple[str, ...], some(GROUNDS)] = ("plain", "grass", "mat")
    backdrops: Annotated[tuple[str, ...], some(BACKDROPS)] = ("plain", "hills")
    contrast: Annotated[Span, span(0.0, 1.0)] = (0.1, 0.4)
    target_line: _Share = 0.5
    occluded: _Share = 0.0
    occluders: Annotated[tuple[str, ...], some(OCCLUDERS)] = OCCLUDERS


class Lights(Section):
    """How a swing is lit."""

    from_front_deg: Annotated[float, number(0.0, 180.0)] = 60.0
    elevation_deg: Annotated[Span, span(10.0, 85.0)] = (35.0, 65.0)
    strength: Annotated[Span, span(0.1, 1.0)] = (0.55, 0.7)
    fill: Annotated[Span, span(0.0, 1.0)] = (0.3, 0.4)
    shadow_depth: Annotated[Span, span(0.0, 0.9)] = (0.2, 0.4)
    striped: _Share = 0.0
    stripe_width_cm: Annotated[Span, span(3.0, 60.0)] = (8.0, 25.0)
    stripe_depth: Annotated[Span, span(0.0, 1.0)] = (0.5, 0.9)


class Sensors(Section):
    """What the camera does to a picture."""

    exposure: Annotated[Span, span(0.1, 4.0)] = (0.9, 1.1)
    noise: Annotated[Span, span(0.0, 60.0)] = (0.0, 2.0)
    shutter_s: Annotated[Span, span(0.0, 0.1)] = (0.0, 0.0)
    jpeg_quality: Annotated[Span, span(5.0, 100.0)] = (90.0, 97.0)
    png: _Share = 0.0


class Recipe(Section):
    """A whole data set. Two equal requests make the same bytes."""

    name: Annotated[str, word(30)] = "plain"
    shows: Annotated[str, text(200)] = "A recipe of my own."
    subjects: Annotated[int, whole(1, 1_000_000)] = 100
    swings: Annotated[int, whole(1, 100)] = 2
    moments: Annotated[int, whole(2, MOST_MOMENTS)] = 8
    views: Annotated[tuple[str, ...], some(VIEWS)] = VIEWS
    width: Annotated[int, whole(64, 4096)] = 640
    height: Annotated[int, whole(64, 4096)] = 480
    seed: Annotated[int, whole(0, 2**63 - 1)] = 0
    subjects_per_shard: Annotated[int, whole(1, 1000)] = 16
    splits: Annotated[dict[str, float], shares()] = {"train": 0.7, "validation": 0.1, "test": 0.2}  # noqa: RUF012
    population: Population = Population()
    address: AddressSpread = AddressSpread()
    swing: Swings = Swings()
    cameras: Cameras = Cameras()
    appearance: Appearance = Appearance()
    scenery: Scenery = Scenery()
    lights: Lights = Lights()
    sensors: Sensors = Sensors()

    @model_validator(mode="after")
    def _enough_moments(self) -> Recipe:
        if self.swing.goes_on and self.moments < 3:
            raise ValueError('moments must be a whole number from 3 where through = "impact": address, top and impact')
        if not self.swing.goes_on and self.moments > MOMENTS:
            raise ValueError(f'moments must be a whole number from 2 to {MOMENTS} where through = "top"')
        return self

    def request(self) -> dict[str, Any]:
        """Everything that the data set depends on, plain values only; see `from_request`."""
        asked: dict[str, Any] = self.model_dump(mode="json", exclude={"shows"})
        return asked

    @classmethod
    def from_request(cls, request: dict[str, Any]) -> Recipe:
        """The recipe of a request.

        Raises:
            TurnstillError: for what is no request.
        """
        from .loading import checked

        return checked(request, "the request")
