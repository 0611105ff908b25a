"""The label of one picture, from what was drawn, where the joints are and what the pixels show."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ....model.golfer.pieces import PIECES
from ....render.figure.figure import Figure, Posed
from ....render.photograph.tripod import Photo
from ...setups.quantities import ADDRESS_SECTION, ARMS_SECTION, section_entries, to_border
from ...setups.reports import at_moment, limits_at
from ..layout.names import sample_key
from ..layout.sample import (
    PARTS,
    Appearance,
    BodyLabel,
    CameraLabel,
    PiecesLabel,
    Sample,
    SensorLabel,
)
from ..plan.drawn import DrawnSubject, DrawnSwing, DrawnView
from .joints import SeenJoints
from .masks import club_mask, depth_steps, person_mask, run_lengths
from .meeting import Runs
from .sight import Stored, met_first, visibility


def of_subject(subject: DrawnSubject) -> BodyLabel:
    """``body``, the same in all pictures of a subject."""
    body = subject.body
    return BodyLabel(
        stature_cm=to_border("cm", body.stature),
        mass_kg=to_border("kg", body.mass),
        sex="female" if float(body.female) else "male",
        handedness="left" if subject.left_handed else "right",
        lengths_cm={name: to_border("cm", value) for name, value in body.lengths.items()},
        ranges_deg={name: to_border("deg", value) for name, value in body.ranges.items()},
        shape_cm={name: to_border("cm", value) for name, value in body.shape.items()},
    )


def of_address(swing: DrawnSwing) -> dict[str, float]:
    """``address``, arms included."""
    address = swing.swing.address
    wanted = ((ADDRESS_SECTION, address), (ARMS_SECTION, address.arms))
    return {
        key: to_border(entry.quantity.unit, getattr(source, entry.name))
        for section, source in wanted
        for key, entry in section_entries(section).items()
        if entry.quantity
    }


def of_pieces(swing: DrawnSwing, moment: int) -> PiecesLabel:
    """``pieces`` at one of the swing's moments."""
    made = swing.swing
    return PiecesLabel(
        asked=at_moment(made.asked, moment),
        achieved=at_moment(made.achieved, moment),
        departures={
            f"{name}_{PIECES[name].unit}": to_border(PIECES[name].unit, value)
            for name, value in swing.departures.items()
        },
        steady=at_moment(made.steady, moment),
    )


def of_camera(view: DrawnView) -> CameraLabel:
    """``camera``."""
    camera = view.camera
    return CameraLabel(
        width=camera.width,
        height=camera.height,
        K=camera.K.tolist(),
        R=camera.R.tolist(),
        t_m=camera.t.tolist(),
        distortion=(camera.distortion, 0.0, 0.0, 0.0, 0.0),
        off_square=dict(view.off_square),
    )


def of_appearance(subject: DrawnSubject, swing: DrawnSwing, view: DrawnView) -> Appearance:
    """``appearance``; angles in degrees."""
    light = asdict(swing.light)
    if swing.light.stripes is not None:
        light["stripes"] = in_degrees(light["stripes"])
    occluders = [in_degrees(asdict(one)) for one in view.occluders]
    for one in occluders:
        one["at_m"] = one.pop("at")
    return Appearance.model_validate(
        {
            "skin_tone": subject.skin_tone,
            "look": asdict(swing.look),
            "place": asdict(swing.place),
            "light": light,
            "occluders": occluders,
        }
    )


def in_degrees(fields: dict[str, Any]) -> dict[str, Any]:
    """The same with ``turn``, which is in radians, as ``turn_deg``."""
    return {
        f"{name}_deg" if name == "turn" else name: np.degrees(value) if name == "turn" else value
        for name, value in fields.items()
    }


class TripodLabels:
    """Labels of all pictures of a swing from one tripod; what is the same in all of them is made once.

    Args:
        root: the recipe's seed.
        subject: who was drawn.
        swing: one of the subject's.
        view: one of the swing's tripods.
        runs: of the triangles of the figure that is drawn, where they are known.
    """

    def __init__(
        self, root: int, subject: DrawnSubject, swing: DrawnSwing, view: DrawnView, runs: Runs | None = None
    ) -> None:
        self._subject, self._swing, self._view, self._runs = subject, swing, view, runs
        self._seeds = {"root": root, "subject": list(subject.seed)}
        self._body = of_subject(subject)
        self._same = {
            "split": subject.split,
            "subject": subject.number,
            "swing": swing.number,
            "backswing_s": swing.backswing_s,
            "downswing_s": swing.downswing_s,
            "view": view.view,
            "camera": of_camera(view),
            "parts": PARTS,
            "faults": list(swing.faults),
            "faults_at": swing.faults_at,
            "body": self._body,
            "address": of_address(swing),
            "appearance": of_appearance(subject, swing, view),
            "sensor": SensorLabel(**asdict(view.sensor)),
            "tries": swing.tries,
        }
        self._joints: SeenJoints | None = None

    def of(self, number: int, posed: Posed, photo: Photo) -> tuple[Sample, NDArray[np.uint16]]:
        """The label of a picture, and its depth in the photo's area as it is stored.

        Args:
            number: of the moment among those that are photographed.
            posed: the figure as it was drawn.
            photo: how it was drawn.
        """
        swing, view = self._swing, self._view
        made, moment = swing.swing, swing.moments[number]
        seen = self._seen_joints(posed.figure)
        steps, unit = depth_steps(photo.depth_there)
        shown, area, size = photo.segments_there, photo.area, photo.size
        person, pixels, box = run_lengths(person_mask(shown), area, size)
        at, px = seen.keypoints_camera[number].tolist(), seen.keypoints_picture[number].tolist()
        met = met_first(view.camera, posed, px, at, Stored(shown, steps, unit, area), self._runs)
        v = visibility(px, at, met, self._body.shape_cm, size)
        head = made.measures.head_moved[moment]
        own = {
            "key": sample_key(self._subject.number, swing.number, view.view, number),
            "moment": number,
            "progress": made.progress[moment],
            "keypoints": [(x, y, one) if one else (0.0, 0.0, one) for (x, y), one in zip(px, v, strict=True)],
            "keypoints_3d_camera_m": at,
            "keypoints_met": met,
            "joints_world_m": dict(zip(seen.names, seen.world[number].tolist(), strict=True)),
            "joints_camera_m": dict(zip(seen.names, seen.in_camera[number].tolist(), strict=True)),
            "joints_px": dict(zip(seen.names, seen.in_picture[number].tolist(), strict=True)),
            "bbox": box,
            "area": pixels,
            "segmentation": {"person": person, "club": run_lengths(club_mask(shown), area, size)[0]},
            "depth_unit_m": unit,
            "pieces": of_pieces(swing, moment),
            "limited_by": limits_at(made, moment),
            "head_cm": {"toward_target": head[1] * 100, "toward_ball": head[0] * 100, "up": head[2] * 100},
            "inclination_deg": np.degrees(made.measures.inclination[moment]),
            "seed": {**self._seeds, "picture": [*view.seed, number]},
        }
        return Sample.model_validate(self._same | own), steps

    def _seen_joints(self, figure: Figure) -> SeenJoints:
        """Of all pictures, worked out when the first one's are asked for."""
        if self._joints is None:
            left_handed = self._subject.left_handed
            self._joints = SeenJoints.of(self._view.camera, self._swing, figure, left_handed=left_handed)
        return self._joints
