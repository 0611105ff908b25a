"""What was drawn for one subject: whom, which swings, from where, and how it all looks."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from ....model.films.camera import Camera
from ....model.golfer.body import Body
from ....model.swing.swing import Swing
from ....render.figure.look import Look
from ....render.photograph.place import Occluder, Place
from ....render.photograph.sensor import Sensor
from ....render.stage.light import Light


@dataclass(frozen=True)
class DrawnView:
    """One tripod.

    Attributes:
        view: a key of ``VIEW_TITLES``: ``face-on`` or ``down-the-line``.
        camera: where from, its lens included; the same for every moment.
        occluders: what stands before the golfer, seen from there.
        sensor: what the camera does to a picture.
        off_square: how the camera differs from the place a coach would choose: names ending in their unit to numbers.
        seed: spawn key of the noise of its pictures.
    """

    view: str
    camera: Camera
    occluders: tuple[Occluder, ...]
    sensor: Sensor
    off_square: Mapping[str, float]
    seed: tuple[int, ...]


@dataclass(frozen=True)
class DrawnSwing:
    """One swing of a subject.

    Attributes:
        number: from 0 within the subject.
        faults: the pieces at fault, names of ``DEPARTURES``; none, one or two.
        departures: each of ``DEPARTURES`` to what the posture of the faults shows beyond what holds the head or is
            centred, rad or m.
        faults_at: which posture that is, ``TOP`` or ``IMPACT``.
        swing: as simulated, address to top or past the ball; carries address, pieces and hand.
        moments: indices into the swing's moments, in order, that are photographed.
        backswing_s: how long it takes from address to the top, seconds.
        downswing_s: from the top to the ball; None of a swing that ends at the top.
        tries: how many times it was drawn until this body could do it.
        look: the subject's, with this swing's club.
        place: where it stands.
        light: how it is lit.
        views: the tripods.
    """

    number: int
    faults: tuple[str, ...]
    departures: Mapping[str, float]
    faults_at: str
    swing: Swing
    moments: tuple[int, ...]
    backswing_s: float
    downswing_s: float | None
    tries: int
    look: Look
    place: Place
    light: Light
    views: tuple[DrawnView, ...]


@dataclass(frozen=True)
class DrawnSubject:
    """One golfer.

    Attributes:
        number: from 0 within the data set.
        split: to which all pictures of this golfer belong.
        body: no batch axes.
        left_handed: whether the figure is the mirror image.
        look: what is worn, and the colours.
        skin_tone: 0 the lightest to 1 the darkest drawn.
        swings: what this golfer does.
        seed: spawn key of everything drawn here.
    """

    number: int
    split: str
    body: Body
    left_handed: bool
    look: Look
    skin_tone: float
    swings: tuple[DrawnSwing, ...]
    seed: tuple[int, ...]
