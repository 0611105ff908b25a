"""What films leave open, in sentences."""

from __future__ import annotations

from collections.abc import Collection
from typing import TYPE_CHECKING

from ...model.films.film_sides import IN_WORDS
from ...model.films.film_tempo import ODD, UNLIKE
from ..diagnose.readings import KINDS
from ..words.cautions import listed
from ..words.units import CM_PER_INCH, told_length

if TYPE_CHECKING:
    from .report import ReadReport

MANY = 0.1
"""Share of frames exchanged, or of detections missing, from which on it is said (our choice)."""
FAR_OFF_SQUARE_DEG = 8.0


def notes(report: ReadReport) -> list[str]:
    """What should not be overlooked of these films."""
    out = _of_two_golfers(report) + _odd_tempo(report)
    if len(report.moments) == 1:
        view = next(iter(report.moments))
        open_to = (
            "how far the head and the hips went toward the ball"
            if view == "face_on"
            else "how far the head went toward the target, nor tilt from extension"
        )
        other = next(words for name, words in IN_WORDS.items() if name != view)
        out.append(
            f"Only the film {IN_WORDS[view]} was read, which cannot tell {open_to}; a film {other} of the same "
            "kind of swing would."
        )
    if report.not_told:
        out.append(f"These films leave open: {listed([KINDS[name].words for name in report.not_told])}.")
    if not report.stature_given:
        out.append(
            f"Nobody said how tall the golfer is; {report.body.stature_cm:.0f} cm was taken, and every length goes "
            "with it. Say --stature-cm."
        )
    for view, moment in report.moments.items():
        words = IN_WORDS[view]
        if moment.exchanged_share >= MANY:
            out.append(
                f"In {moment.exchanged_share:.0%} of the frames {words} left and right were exchanged and were put "
                "back."
            )
        if moment.missing_share >= MANY:
            out.append(f"In the film {words} {moment.missing_share:.0%} of the keypoints are missing.")
    for view, camera in report.cameras.items():
        if abs(camera.off_square_deg) >= FAR_OFF_SQUARE_DEG:
            out.append(
                f"The camera {IN_WORDS[view]} stood about {abs(camera.off_square_deg):.0f}° off square; that was "
                "allowed for, but nearer to square tells more."
            )
    return out


def _of_two_golfers(report: ReadReport) -> list[str]:
    if len(report.moments) > 1 and report.films_apart is None:
        return ["Whether both films are of one golfer cannot be told from what this detector sees; make sure of it."]
    if not report.hardly_together:
        return []
    return [
        "These two films hardly go together: of 100 pairs of films of one golfer's swings 5 are so unlike. No feel is "
        "advised on them; make sure that both show the same golfer, or read each alone."
    ]


def _odd_tempo(report: ReadReport) -> list[str]:
    """A rate of frames that is wrong by two, or a slow swing."""
    out = []
    times = {view: one.times_usual for view, one in report.moments.items() if one.times_usual is not None}
    for view, one in times.items():
        if 1.0 / ODD <= one <= ODD:
            continue
        fps = report.moments[view].fps
        filmed_at, like = (fps * 2.0, "slow practice swing") if one > 1.0 else (fps / 2.0, "very quick swing")
        out.append(
            f"In the film {IN_WORDS[view]} backswing and way down take {one:.1f} times as long as swings usually do, "
            f"by {fps:g} frames a second. If the camera filmed at {filmed_at:g}, say so with --fps; a {like} looks the "
            "same."
        )
    if not out and len(times) > 1 and not 1.0 / UNLIKE <= times["face_on"] / times["down_the_line"] <= UNLIKE:
        out.append(
            f"One film's swing takes {max(times.values()) / min(times.values()):.1f} times as long as the other's: "
            "make sure that both are of the same golfer and that their frames a second are the camera's."
        )
    return out


def whose_pictures(views: Collection[str]) -> str:
    """What of the films themselves is in a page."""
    if not views:
        return "Of the films only the tracks were there: no picture of anybody is in this page."
    return "The pictures are the films' own: this page shows a person, so hand it on only as that person likes."


def film_lines(report: ReadReport, inches: bool = False) -> list[str]:
    """A sentence on each film: its moments and its camera."""
    out = []
    for view, moment in report.moments.items():
        camera = report.cameras[view]
        distance, height = (_far(value, inches) for value in (camera.distance_cm, camera.height_cm))
        off = told_length(camera.off_by_cm, inches)
        out.append(
            f"{IN_WORDS[view].capitalize()}: address ends at frame {moment.address_frame:.0f} and the top is at "
            f"{moment.top_frame:.1f}, give or take {1e3 * moment.top_sd_s:.0f} ms; the camera stood about {distance} "
            f"away, {height} high and {abs(camera.off_square_deg):.0f}° off square; keypoints are off by {off}."
        )
    return out


def _far(length_cm: float, inches: bool) -> str:
    """How far a camera is from something, no closer than it is known: ``4.6 m``, ``15.1 ft``."""
    return f"{length_cm / CM_PER_INCH / 12.0:.1f} ft" if inches else f"{length_cm / 100.0:.1f} m"
