"""A comparison as plain numbers and sentences: ``comparison.json``, documented in docs/json.md."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Self

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
        return cls(**cls._fields_of(picture, swing))

    @staticmethod
    def _fields_of(picture: Picture, swing: str) -> dict[str, Any]:
        camera = picture.camera
        return {
            "file": picture.file, "swing": swing, "view": picture.view, "width": camera.width, "height": camera.height,
            "K": camera.K.tolist(), "R": camera.R.tolist(), "t_m": camera.t.tolist(),
        }  # fmt: skip


class MomentPictureReport(PictureReport):
    """A picture of a comparison that goes on through impact, where it is told what moment it is of."""

    moment: str
    """when the solid figure is: `top` or `impact`; pictures of a comparison that ends at the top have no such key"""

    @staticmethod
    def _fields_of(picture: Picture, swing: str) -> dict[str, Any]:
        return PictureReport._fields_of(picture, swing) | {"moment": picture.moment}


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
    pictures: list[MomentPictureReport | PictureReport]
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
        on_to_impact = any(swing.at_impact is not None for swing in swings)
        as_told = MomentPictureReport if on_to_impact else PictureReport
        return cls(
            files=list(files),
            differences=[
                DifferenceReport(of=name, against=names[0], sentences=list(lines))
                for name, lines in zip(names[1:], differences, strict=True)
            ],
            hip_room=list(hip_room),
            measured_hip_turn=MeasuredTurnReport.each() if hip_room else [],
            pictures=[as_told.of(picture, names[picture.index]) for picture in pictures],
            swings=list(swings),
            arcs=list(arcs),
        )
