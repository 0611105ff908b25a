"""What is unknown of a filmed golfer, and where the chain puts the keypoints for it.

Twenty-three numbers: eight departures at the top, seven quantities of the address, eight lengths of the body; and how
the head is turned at both moments, which is left free. All are counted in standard deviations of what is believed
before any film, so that the belief is the same for each: mean zero, variance one.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from ..arrays import Array
from ..batch import Batch, Frame, Frames, Vector
from ..chain import head as heads
from ..chain.golfers import Golfers
from ..chain.trunk import BEND, TILT
from ..golfer import survey
from ..golfer.address import ADDRESS, Address
from ..golfer.body import LENGTHS, Body
from ..golfer.pieces import DEPARTURES, PIECES, Pieces
from ..golfer.ranges import SIDES, reference_ranges
from ..numeric import rotations
from . import readings
from .fault_prior import FaultPrior

FITTED: tuple[str, ...] = (
    "nose", "left_eye", "right_eye", "left_ear", "right_ear", "left_shoulder", "right_shoulder", "left_hip",
    "right_hip", "left_knee", "right_knee", "left_ankle", "right_ankle",
)  # fmt: skip
"""The keypoints that are fitted. Arms are left out: nothing about the head is concluded from them."""
FACE = 5
"""The first of them, which lie on the head."""
WIDE = 1.5
"""Departures are believed to be within so many slabs: the fit's own belief is wide, and taken out again
(`film_reading`)."""
DEPARTURE_SD = WIDE * FaultPrior().slabs
ADDRESS_MEAN_SD: Mapping[str, tuple[float, float]] = {
    "lead_flare": (float(np.radians(20.0)), float(np.radians(10.0))),
    "trail_flare": (float(np.radians(20.0)), float(np.radians(10.0))),
    "stance_width": (0.42, 0.06),
    "knee_flex": (float(np.radians(22.0)), float(np.radians(6.0))),
    "forward_bend": (float(np.radians(38.0)), float(np.radians(6.0))),
    "pelvis_bend": (float(np.radians(22.0)), float(np.radians(5.0))),
    "side_bend": (float(np.radians(5.0)), float(np.radians(3.0))),
}
"""The address before any film, rad and m (assumptions about `Address`' defaults)."""
BONES: tuple[str, ...] = ("thigh", "shank", "spine", "neck_up", "shoulder_width", "hip_joint_width")
"""Lengths that are fitted beside the body's scale; the head's size is the eighth."""
HIP_WIDTH_SD, HEAD_SD = 0.07, 0.05
"""Of what goes with stature: no survey of joint centres (assumption), and the head's with the detector's habits."""
STATURE_UNKNOWN_SD = 0.04
"""Of the logarithm, within a sex (ANSUR II, `survey.SIZE`)."""
WIDER_RANGES = 1.15
"""The films' golfer may be more supple than the mean: ranges of motion are taken so much wider (assumption)."""
CHAIN = len(DEPARTURES) + len(ADDRESS_MEAN_SD) + len(BONES) + 2
HEADS = 6
HEAD_SD_RAD = float(np.radians(20.0))
"""How far a head is turned from where the chain has it, each way and moment."""
STEPS = np.concatenate(
    [
        np.array([0.005 if PIECES[name].unit == "cm" else np.radians(1.0) for name in DEPARTURES]) / DEPARTURE_SD,
        np.array([0.005 if name == "stance_width" else np.radians(1.0) for name in ADDRESS_MEAN_SD])
        / [sd for _, sd in ADDRESS_MEAN_SD.values()],
        np.full(len(BONES) + 2, 0.25),
    ]
)
"""``(23,)`` of the slopes: a degree, half a centimetre, a quarter of an sd of a length."""
_EYE_FORWARD, _EAR_BACK, _EAR_DOWN, _EAR_OUT = 0.048, 0.007, 0.010, 0.046
"""Of stature, from the head's centre: eyes half a head's length forward less 1.5 cm (from memory), at its height; ears
below it as the notch is below the vertex, over the joint of skull and neck, half a head's breadth out (ANSUR II)."""


@dataclass(frozen=True)
class Known:
    """What is known of ``S`` golfers.

    Attributes:
        stature: ``(S,)`` m; NaN where nobody said.
        stature_sd: m, where it is said.
        female: ``(S,)`` 0 or 1.
    """

    stature: Array
    female: Array
    stature_sd: float = 0.01


@dataclass(frozen=True)
class Posed(Batch):
    """``N`` golfers at address and at the top.

    Attributes:
        points: ``(N, 2, 8, 3)`` m, world: the fitted keypoints below the head, at both moments.
        head: ``(N, 2, 3)`` m, its centre.
        head_frame: ``(N, 2, 3, 3)`` head_to_world, as the chain has it.
        face: ``(N, 5, 3)`` m, keypoints of the face in the head's frame.
        shown: ``(N, 13)`` rad and m, the readings.
        amounts: ``(N, 8)`` rad and m, what the pieces come to.
    """

    points: Frames
    head: Frame
    head_frame: Frames
    face: Frame
    shown: Vector
    amounts: Vector

    def keypoints(self, turned: Array) -> Array:
        """``(..., 2, 13, 3)`` m, world, with heads turned by ``(..., 2, 3)`` rad, a rotation vector of the head."""
        frame = self.head_frame @ rotations.exp(turned)
        face = self.head[..., None, :] + self.face[..., None, :, :] @ np.swapaxes(frame, -1, -2)
        return np.concatenate([face, self.points], axis=-2)


def body_of(known: Known, numbers: Array) -> Body:
    """Bodies ``(S,)`` of ``numbers (S, 8)`` standard deviations: scale, ``BONES``, head."""
    female = known.female
    mean_log = survey.by_sex(female, survey.SIZE[0][0], survey.SIZE[1][0])
    said = np.isfinite(known.stature)
    stature = np.where(said, known.stature, np.exp(mean_log))
    sd = np.where(said, known.stature_sd / stature, STATURE_UNKNOWN_SD)
    stature = stature * np.exp(sd * numbers[:, 0])
    mass = np.exp(survey.by_sex(female, survey.SIZE[0][2], survey.SIZE[1][2])) * (stature / np.exp(mean_log)) ** 2
    body = Body.from_stature(stature, mass, female)
    off = np.einsum("...ij,...j->...i", _bones_spread(female), numbers[:, 1:-1])
    lengths = {**body.lengths}
    for k, name in enumerate(BONES):
        lengths[name] = lengths[name] * np.exp(off[:, k])
    for name in ("nose_forward", "nose_drop"):
        lengths[name] = lengths[name] * np.exp(HEAD_SD * numbers[:, -1])
    ranges = {name: np.minimum(value * WIDER_RANGES, np.pi) for name, value in reference_ranges(female).items()}
    return Body(body.stature, body.mass, body.female, lengths, ranges, body.shape)


def _bones_spread(female: Array) -> Array:
    """``(S, 6, 6)`` a square root of the covariance of the logarithms of ``BONES``, from the survey's proportions."""
    out = []
    for woman in (False, True):
        sex = np.array(float(woman))
        by_ratio = np.zeros((len(BONES), len(survey.SKELETAL)))
        for k, name in enumerate(BONES):
            for factor, ratio in LENGTHS[name].terms:
                by_ratio[k, survey.SKELETAL.index(ratio)] += factor * float(survey.ratio_sd(ratio, sex))
            by_ratio[k] /= float(LENGTHS[name].share(sex))
        covariance = by_ratio @ survey.correlations(woman) @ by_ratio.T
        covariance[-1, -1] += HIP_WIDTH_SD**2
        out.append(np.linalg.cholesky(covariance + 1e-8 * np.eye(len(BONES))))
    return np.asarray(np.where(female[:, None, None] == 1.0, out[1], out[0]))


def address_of(numbers: Array) -> Address:
    """Addresses ``(S,)`` of ``numbers (S, 7)`` standard deviations, within what may be asked for."""
    fields: dict[str, Any] = {}
    for k, (name, (mean, sd)) in enumerate(ADDRESS_MEAN_SD.items()):
        quantity = ADDRESS[name]
        low, high = quantity.low / quantity.per_unit, quantity.high / quantity.per_unit
        fields[name] = np.clip(mean + sd * numbers[:, k], low, high)
    return Address(**fields)


def posed(known: Known, numbers: Array, reference: Pieces) -> Posed:
    """Golfers as ``numbers (S, 23)`` have them: departures, address, body."""
    split = len(DEPARTURES), len(DEPARTURES) + len(ADDRESS_MEAN_SD)
    departures = numbers[:, : split[0]] * DEPARTURE_SD
    body, address = body_of(known, numbers[:, split[1] :]), address_of(numbers[:, split[0] : split[1]])
    count = len(numbers)
    golfers = Golfers.at_address(body, address, (count,))
    moments = golfers.standing
    asked = {name: value + departures[:, DEPARTURES.index(name)] if name in DEPARTURES else np.full(count, value)
             for name, value in reference.amounts().items()}  # fmt: skip
    lower = moments.lower(asked)
    on = moments.on(lower).hold(asked["shoulder_turn"])
    tilt, bend = on.held.angles[TILT] + asked["tilt"], on.held.angles[BEND] - asked["extension"]
    upper = on.reach(tilt, bend)
    figure = moments.figure(lower, upper)
    joints = [golfers.stance.figure.skeleton.joints, figure.skeleton.joints]
    names = [_joint(name) for name in FITTED[FACE:]]
    amounts = dict(asked) | {"tilt": tilt, "extension": moments.ribcage_at_address[BEND] - bend}
    top = heads.place(upper.ribcage, moments.gaze, heads.Neck.of(moments.body))
    shoulders = {side: figure.skeleton.joints[f"shoulder_{side}"] for side in SIDES}
    return Posed(
        points=np.stack([np.stack([at[name] for name in names], axis=-2) for at in joints], axis=1),
        head=np.stack([at["head"] for at in joints], axis=1),
        head_frame=np.stack([moments.gaze, top.head], axis=1),
        face=face_of(body, np.exp(HEAD_SD * numbers[:, -1])),
        shown=readings.of_moment(moments, lower, upper, shoulders),
        amounts=np.stack([amounts[name] for name in DEPARTURES], axis=-1),
    )  # fmt: skip


def _joint(name: str) -> str:
    """The chain's joint of a right-hander's keypoint."""
    side, _, kind = name.partition("_")
    return f"{kind}_{'lead' if side == 'left' else 'trail'}"


def face_of(body: Body, size: Array) -> Array:
    """``(N, 5, 3)`` m: nose, eyes and ears from the head's centre, in its frame, of heads ``size`` times as large."""
    stature, zero = body.stature * size, np.zeros_like(size)
    apart = 0.5 * survey.ratio("interpupillary_breadth", body.female) * stature
    out = _EAR_OUT * stature
    nose = np.stack([body.lengths["nose_forward"], zero, -body.lengths["nose_drop"]], axis=-1)
    eyes = [np.stack([_EYE_FORWARD * stature, side * apart, zero], axis=-1) for side in (1.0, -1.0)]
    ears = [np.stack([-_EAR_BACK * stature, side * out, -_EAR_DOWN * stature], axis=-1) for side in (1.0, -1.0)]
    return np.stack([nose, *eyes, *ears], axis=1)
