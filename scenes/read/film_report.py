"""What films themselves gave, as plain numbers: their moments, their cameras, and where the golfer is in them."""

from __future__ import annotations

from typing import Self

import numpy as np

from ...model.films import phone_camera
from ...model.films.face_path import face_path
from ...model.films.film_moments import VIEWS
from ...model.films.film_problem import CAMERA
from ...model.films.film_tempo import times_usual
from ...model.films.filmed_golfer import CHAIN, FITTED, HEADS
from ...model.films.fitted_figure import figure_of
from ...model.films.tracks import EXCHANGED, KEYPOINTS
from ..setups.reports import Number, Report
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


def keypoint_reports(found: FilmsRead) -> tuple[list[KeypointReport], list[HeadCircleReport]]:
    """All keypoints and heads, in the films' own pixels: a left-hander's were fitted in a mirror."""
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


def face_path_report(film: Film) -> list[tuple[float, float]]:
    """The way of the face in one film."""
    moments = film.moments
    path = face_path(film.track, moments.address_window[1], round(moments.top))
    return [(float(x), float(y)) for x, y in path]
