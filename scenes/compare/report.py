"""A comparison as plain numbers and sentences: ``comparison.json``, documented in docs/json.md."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Self

from ..setups.measured_turn import MeasuredTurnReport
from ..setups.reports import Report
from ..setups.taken_along import TakenAlong
from ..simulate.report import SwingReport
from ..views.pictures import ViewPicture
from .hip_room import HipRoomReport

if TYPE_CHECKING:
    from ...model.films.camera import Camera


@dataclass(frozen=True)
class Picture(ViewPicture):
    """One picture of the comparison, in its folder.

    Attributes:
        file: its name.
        camera: where it was taken from.
    """

    file: str
    camera: Camera


class DifferenceReport(Report):
    """What differs between the first swing and another one, in sentences as on the page."""

    of: str
    """the swing"""
    against: str
    """the first swing"""
    sentences: list[str]
    """what differs and why"""


class PictureReport(Report):
    """One picture and the pinhole camera it was taken by, in the OpenCV convention (x right, y down, z forward, pixel
    centres at integers): a world point X is at K (R X + t).
    """

    file: str
    """its name in the folder"""
    swing: str
    """whose it is"""
    view: str
    """`face-on`, `down-the-line` or `above`"""
    moment: str
    """when the solid figure is: `top` or `impact`"""
    width: int
    """pixels"""
    height: int
    """pixels"""
    K: list[list[float]]
    """pixels from directions"""
    R: list[list[float]]
    """world to camera"""
    t_m: list[float]
    """the world's origin in the camera's frame"""

    @classmethod
    def of(cls, picture: Picture, swing: str) -> Self:
        """A picture of the swing of that name."""
        camera = picture.camera
        return cls(
            file=picture.file, swing=swing, view=picture.view, moment=picture.moment, width=camera.width,
            height=camera.height, K=camera.K.tolist(), R=camera.R.tolist(), t_m=camera.t.tolist(),
        )  # fmt: skip


class ComparisonReport(Report):
    """Everything in the folder of a comparison."""

    files: list[str]
    """names of all files in the folder"""
    differences: list[DifferenceReport]
    """for every swing but the first, see below"""
    hip_room: list[HipRoomReport]
    """the most hip turn of the swings that differ in what it depends on, see below; empty if none do"""
    measured_hip_turn: list[MeasuredTurnReport]
    """what people were measured to turn, which makes a ceiling of the turns in `hip_room`, see below; empty where that
    is"""
    pictures: list[PictureReport]
    """every picture, see below"""
    swings: list[SwingReport]
    """every swing as `turnstill simulate` writes it"""
    arcs: list[TakenAlong]
    """for each of `swings` in their order: its golfer's centred arc, taken along with the base of the neck as it is at
    the top, as *Why it matters* tells it, see below"""

    @classmethod
    def of(
        cls,
        files: Sequence[str],
        swings: Sequence[SwingReport],
        differences: Sequence[Sequence[str]],
        pictures: Sequence[Picture],
        arcs: Sequence[TakenAlong],
        hip_room: Sequence[HipRoomReport] = (),
    ) -> Self:
        """A comparison of ``swings`` and their ``arcs``, with what differs of every one but the first."""
        names = [swing.preset for swing in swings]
        return cls(
            files=list(files),
            differences=[
                DifferenceReport(of=name, against=names[0], sentences=list(lines))
                for name, lines in zip(names[1:], differences, strict=True)
            ],
            hip_room=list(hip_room),
            measured_hip_turn=MeasuredTurnReport.each() if hip_room else [],
            pictures=[PictureReport.of(picture, names[picture.index]) for picture in pictures],
            swings=list(swings),
            arcs=list(arcs),
        )
