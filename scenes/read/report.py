"""Films as plain numbers in degrees and centimetres: the keys of a diagnosis, and what the films themselves gave."""

from __future__ import annotations

from typing import Self

import numpy as np

from ...model.films import phone_camera
from ...model.films.face_path import face_path
from ...model.films.film_fit import CAMERA
from ...model.films.film_moments import VIEWS
from ...model.films.film_tempo import times_usual
from ...model.films.filmed_golfer import CHAIN, FITTED, HEADS
from ...model.films.fitted_figure import figure_of
from ...model.films.readings import READINGS
from ...model.films.tracks import EXCHANGED, KEYPOINTS
from ...model.golfer.pieces import DEPARTURES, PIECES
from ..diagnose.report import DiagnosisReport
from ..setups.quantities import to_border
from ..setups.reports import Number, Report
from . import words
from .found import Film, FilmsRead


class MomentReport(Report):
    """Address and top in one film, as frames of its file; parts of a frame lie between two."""

    address_frame: Number
    """last frame of address, before the hands are seen to move"""
    top_frame: Number
    """top of the backswing"""
    address_sd_s: Number
    """how sure the first is, one standard deviation, s"""
    top_sd_s: Number
    """how sure the second is"""
    set_by_eye: tuple[bool, bool]
    """whether somebody set address and top"""
    address_window: tuple[Number, Number]
    """first and last frame that address was read from, surely before the hands move"""
    top_window: tuple[Number, Number]
    """the same of the top"""
    fps: Number
    """frames a second"""
    width: int
    """of the pictures, pixels"""
    height: int
    """the same downward"""
    times_usual: Number | None
    """how many times as long as usual (1 s and 0.25 s, common practice) backswing and way down take; null if unknown"""
    exchanged_share: Number
    """share of the frames in which left and right were exchanged, and were put back"""
    missing_share: Number
    """share of the detections that are missing, short gaps bridged"""

    @classmethod
    def of(cls, film: Film) -> Self:
        """Of one film."""
        moments, first = film.moments, film.track.first_frame
        times = times_usual(moments, film.track.fps, film.view)
        return cls(
            address_frame=moments.address + first, top_frame=moments.top + first, address_sd_s=moments.address_sd,
            top_sd_s=moments.top_sd, set_by_eye=film.by_eye, fps=film.track.fps,
            address_window=_in_film(moments.address_window, first), top_window=_in_film(moments.top_window, first),
            width=film.track.width, height=film.track.height,
            times_usual=times if np.isfinite(times) else None,
            exchanged_share=float(film.mended.exchanged.mean()), missing_share=film.mended.missing,
        )  # fmt: skip


def _in_film(window: tuple[int, int], first: int) -> tuple[float, float]:
    return float(window[0] + first), float(window[1] + first)


class CameraReport(Report):
    """A camera as it was fitted; what one view leaves open keeps what is usual for phones."""

    focal_length_px: Number
    """focal length"""
    distance_cm: Number
    """from the middle between the feet"""
    height_cm: Number
    """above the ground"""
    off_square_deg: Number
    """off square: face-on toward the target, down the line toward the ball"""
    pan_deg: Number
    """how far it looks past the golfer, to its left"""
    pitch_deg: Number
    """how far it looks down"""
    roll_deg: Number
    """how far its picture is turned"""
    off_by_cm: Number
    """how far keypoints are from where this camera shows the fitted golfer, root mean square, at the golfer"""

    @classmethod
    def of(cls, found: FilmsRead, view: str) -> Self:
        """Of one view."""
        k, fitted = VIEWS.index(view), found.reading.fitted
        first = CHAIN + HEADS + k * CAMERA
        every = phone_camera.told(fitted.numbers[0, first : first + CAMERA])
        told = {name: float(np.squeeze(number)) for name, number in every.items()}
        track, side = found.films[view].track, -1.0 if found.left_handed else 1.0
        return cls(
            focal_length_px=told["focal"] * max(track.width, track.height), distance_cm=100.0 * told["distance"],
            height_cm=100.0 * told["height"],
            off_square_deg=np.degrees(told["azimuth"]),
            pan_deg=side * np.degrees(told["pan"]), pitch_deg=np.degrees(told["pitch"]),
            roll_deg=side * np.degrees(told["roll"]),
            off_by_cm=100.0 * float(np.sqrt(np.nanmean((fitted.off_m[0, k] ** 2).sum(axis=-1)))),
        )  # fmt: skip


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


class KeypointReport(Report):
    """A keypoint at address or at the top, in pixels of the film, and where the fitted golfer has it."""

    view: str
    """`face_on` or `down_the_line`"""
    moment: str
    """`address` or `top`"""
    keypoint: str
    """its name; left is the golfer's own"""
    seen_x_px: Number | None
    """where it was seen, the median over the moment's frames; null where it was not"""
    seen_y_px: Number | None
    """the same downward"""
    fitted_x_px: Number
    """where the fitted camera shows that of the fitted golfer"""
    fitted_y_px: Number
    """the same downward"""
    off_sd: Number | None
    """how far apart they are, in standard deviations of what detectors are off by"""


class HeadCircleReport(Report):
    """The fitted golfer's head in a film."""

    view: str
    """`face_on` or `down_the_line`"""
    moment: str
    """`address` or `top`"""
    x_px: Number
    """its centre in the picture"""
    y_px: Number
    """the same downward"""
    radius_px: Number
    """half of chin to crown"""


def _keypoints(found: FilmsRead) -> tuple[list[KeypointReport], list[HeadCircleReport]]:
    """All of them, in the films' own pixels: a left-hander's were fitted in a mirror."""
    reading = found.reading
    figure = figure_of(reading.fitted, found.seen.size, np.asarray(reading.body.stature))
    points, heads = [], []
    for view in found.films:
        k, width = VIEWS.index(view), found.films[view].track.width

        def across(x: float, width: int = width) -> float:
            return width - 1.0 - x if found.left_handed else x

        for m, moment in enumerate(("address", "top")):
            centre = figure.head[0, k, m]
            heads.append(
                HeadCircleReport(
                    view=view, moment=moment, x_px=across(centre[0]), y_px=centre[1],
                    radius_px=figure.head_radius[0, k, m],
                )
            )  # fmt: skip
            for j, name in enumerate(FITTED):
                own = KEYPOINTS[EXCHANGED[KEYPOINTS.index(name)]] if found.left_handed else name
                seen, fitted = found.seen.places[0, k, m, j], figure.keypoints[0, k, m, j]
                there = bool(np.isfinite(seen).all())
                points.append(
                    KeypointReport(
                        view=view, moment=moment, keypoint=own,
                        seen_x_px=across(seen[0]) if there else None, seen_y_px=seen[1] if there else None,
                        fitted_x_px=across(fitted[0]), fitted_y_px=fitted[1],
                        off_sd=reading.fitted.residual[0, k, m, j] if there else None,
                    )
                )  # fmt: skip
    return points, heads


def _face_path(film: Film) -> list[tuple[float, float]]:
    moments = film.moments
    path = face_path(film.track, moments.address_window[1], round(moments.top))
    return [(float(x), float(y)) for x, y in path]


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
        base = DiagnosisReport.of(found.diagnosed, inches)
        reading = found.reading
        points, heads = _keypoints(found)
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
            face_paths={view: _face_path(film) for view, film in found.films.items()},
            not_told=[name for k, name in enumerate(READINGS) if not reading.told[0, k]],
            stature_given=found.stature_said,
            films_apart=found.apart,
            hardly_together=found.hardly_together,
            handedness_found=not found.handedness_said,
        )  # fmt: skip
        feel = None if report.hardly_together else report.feel
        return report.replaced(feel=feel, warnings=[*words.notes(report), *report.warnings])
