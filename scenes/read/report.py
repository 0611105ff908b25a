"""Films as plain numbers in degrees and centimetres: the keys of a diagnosis, and what the films themselves gave."""

from __future__ import annotations

from typing import Self

from ...model.films.readings import READINGS
from ...model.golfer.pieces import DEPARTURES, PIECES
from ..diagnose.report import DiagnosisReport
from ..setups.quantities import to_border
from ..setups.reports import Number, Report
from . import words
from .film_report import (
    CameraReport,
    HeadCircleReport,
    KeypointReport,
    MomentReport,
    face_path_report,
    keypoint_reports,
)
from .found import FilmsRead


class FittedPieceReport(Report):
    """What a piece comes to at the top, as the films have it."""

    piece: str
    """its name"""
    value: Number
    """its amount"""
    sd: Number
    """how sure that is: one standard deviation"""
    unit: str
    """`deg` or `cm`"""


class ReadReport(DiagnosisReport):
    """Everything about films: the keys of a diagnosis, whose readings are the films', and these."""

    moments: dict[str, MomentReport]
    """`face_on` and `down_the_line`, those that were filmed: their moments, see below"""
    cameras: dict[str, CameraReport]
    """the same: their cameras, see below"""
    pieces_fitted: list[FittedPieceReport]
    """what the pieces come to, see below"""
    keypoints: list[KeypointReport]
    """where keypoints were seen and where the fitted golfer has them, see below"""
    heads: list[HeadCircleReport]
    """where the fitted golfer's head is in the pictures, see below"""
    face_paths: dict[str, list[tuple[Number, Number]]]
    """view to where the middle of the face was seen from address to the top, frame by frame, px across and down"""
    not_told: list[str]
    """readings that these films leave open; what is said of them rests on what is usual"""
    stature_given: bool
    """whether the stature was said; else `body.stature_cm` is a guess that lengths in cm share"""
    films_apart: Number | None
    """how much less probable two films are of one golfer than of two, as a chi-squared; null of one film"""
    hardly_together: bool
    """whether that is more than 95 of 100 pairs of films of one golfer have: then no feel is advised"""
    handedness_found: bool
    """whether it was found from the tracks which hand leads"""

    @classmethod
    def of_films(cls, found: FilmsRead, inches: bool = False) -> Self:
        """The report of films.

        Args:
            found: what they say.
            inches: lengths in sentences in inches; numbers stay metric.
        """
        base = DiagnosisReport.of(*found.diagnosed)
        if found.hardly_together:
            base = base.doubted_as_a_whole()
        base = base.told(found.diagnosed[0].performed, inches)
        reading = found.reading
        points, heads = keypoint_reports(found)
        report = cls(
            **{name: getattr(base, name) for name in DiagnosisReport.model_fields},
            moments={view: MomentReport.of(film) for view, film in found.films.items()},
            cameras={view: CameraReport.of(found, view) for view in found.films},
            pieces_fitted=[
                FittedPieceReport(
                    piece=name, value=to_border(PIECES[name].unit, reading.pieces[0, k]),
                    sd=to_border(PIECES[name].unit, reading.pieces_sd[0, k]), unit=PIECES[name].unit,
                )
                for k, name in enumerate(DEPARTURES)
            ],
            keypoints=points,
            heads=heads,
            face_paths={view: face_path_report(film) for view, film in found.films.items()},
            not_told=[name for k, name in enumerate(READINGS) if not reading.told[0, k]],
            stature_given=found.stature_said,
            films_apart=found.apart,
            hardly_together=found.hardly_together,
            handedness_found=not found.handedness_said,
        )  # fmt: skip
        return report.replaced(warnings=[*words.notes(report), *report.warnings])
