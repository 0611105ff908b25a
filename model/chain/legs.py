"""Two planted legs and the pelvis between them: closed exactly, with analytic derivatives.

The loop foot - shank - thigh - pelvis - thigh - shank - foot has eight freedoms. The unknowns are::

    q = (hip turn, pelvis bend, pelvis forward, pelvis toward target, lead knee, trail knee,
         lead swivel, trail swivel)

in radians and metres. Knee flexions set the two leg lengths by the law of cosines; pelvis height and obliquity
follow from the two lengths by a Newton iteration in one unknown; a swivel turns each knee about the line from
ankle to hip. So bones keep their lengths and feet their places for *any* q, and knee flexion as an unknown stays
regular at a straight knee, where pelvis height does not.

Both legs are computed as left legs: the trail leg is reflected (world y negated) and its turn and obliquity
change sign, so one set of formulas and anatomical signs serves both. Array layout: component axes first, then
the legs (lead, trail), then the moments, which are contiguous.

Joint angles follow the joint coordinate system of Grood & Suntay (1983), J Biomech Eng 105:136-144, in the
order flexion, abduction or inversion, axial rotation (Wu et al. 2002, J Biomech 35:543-548).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..arrays import Array, BoolArray
from ..batch import Batch, SideFrames, Sides
from .tibia import TibialRange

UNKNOWNS = (
    "hip_turn", "pelvis_bend", "pelvis_toward_ball", "pelvis_toward_target",
    "lead_knee_flex", "trail_knee_flex", "lead_swivel", "trail_swivel",
)  # fmt: skip
HIP_TURN, PELVIS_BEND, TOWARD_BALL, TOWARD_TARGET, LEAD_KNEE, TRAIL_KNEE, LEAD_SWIVEL, TRAIL_SWIVEL = range(8)
"""Rows of the unknowns."""
KNEES, SWIVELS, PLACE = slice(LEAD_KNEE, LEAD_SWIVEL), slice(LEAD_SWIVEL, 8), slice(TOWARD_BALL, LEAD_KNEE)
"""Rows of both knees, of both swivels, and of the pelvis's place on the ground."""
LEG_OUTPUTS = (
    "hip_flexion", "hip_abduction", "hip_external_rotation", "knee_flexion",
    "shin_share_of_range", "ankle_dorsiflexion", "ankle_inversion", "shin_internal_rotation",
)  # fmt: skip
"""Outputs of each leg. The tibial share is -1 at the end of external, +1 at the end of internal rotation."""

SIDE = np.array([[1.0], [-1.0]])
"""Lead and trail: what reflects the trail leg into a lead one."""
_NEXT, _LAST = [1, 2, 0], [2, 0, 1]
"""Axes of a cross product: component x is of y and z."""
_MOVES = np.array([[1, -1], [1, 1], [1, -1], [1, -1], [1, 1]], dtype=float)[..., None]
"""``(5, 2, 1)`` which way lead and trail leg go with the pelvis's turn, forward, aside, obliquity and up: the trail one
turns, goes aside and tilts the other way.
"""
_OWN = slice(0, 3)
"""Of these, what are unknowns; obliquity and height follow from closure."""

CLOSURE_STEPS = 9
CLOSURE_TOLERANCE = 1e-13
"""Error of a squared leg length (m^2) at which the loop counts as closed: 1e-13 m of a leg."""

LOWEST_PELVIS = 0.01
"""m above the ankles; lower the legs do not count as reaching (nobody stands there, and the root needs a floor)."""


@dataclass(frozen=True)
class LegPosture(Batch):
    """Where the loop is, legs reflected into left legs; component axes first, moments last.

    Attributes:
        obliquity: ``(N,)`` pelvis side tilt, lead side down, rad.
        height: ``(N,)`` height of the midpoint of the hips, m.
        hip, knee: ``(3, 2, N)`` joint centres, m, trail leg reflected.
        thigh, shank: ``(3, 3, 2, N)`` segment_to_world, columns first: ``thigh[:, 0]`` is the x axis.
        pelvis: ``(3, 3, 2, N)`` the pelvis as each leg sees it.
        closed: ``(N,)`` whether the two legs reach.
    """

    obliquity: Array
    height: Array
    hip: Sides
    knee: Sides
    thigh: SideFrames
    shank: SideFrames
    pelvis: SideFrames
    closed: BoolArray


@dataclass(frozen=True)
class Legs(Batch):
    """The fixed parts of the loop for a batch of ``N`` moments.

    Attributes:
        thigh: ``(N,)`` hip to knee centre, m.
        shank: ``(N,)`` knee to ankle centre, m.
        half_hip_width: ``(N,)`` half the distance of the hip joint centres, m.
        ankle: ``(3, 2, N)`` ankle centres, m, world, trail reflected.
        foot: ``(3, 3, 2, N)`` foot_to_world, ``foot[:, i]`` the i-th axis, trail reflected.
        tibial: range of tibial rotation, ``(2, N)`` each.
    """

    thigh: Array
    shank: Array
    half_hip_width: Array
    ankle: Sides
    foot: SideFrames
    tibial: TibialRange

    def length(self, knee: Array) -> Array:
        """Hip to ankle distance at a knee flexion: the law of cosines, m."""
        square = self.thigh**2 + self.shank**2 + 2.0 * self.thigh * self.shank * np.cos(knee)
        return np.sqrt(np.maximum(square, 0.0))

    def close(self, q: Array) -> tuple[Array, Array, BoolArray]:
        """Obliquity, pelvis height and whether both legs reach, each ``(N,)``, for unknowns ``q (8, N)``.

        ``|hip - ankle|^2 = length^2`` of both legs. Half their sum gives the height in closed form for a given sine of
        the obliquity; their difference is then one equation in that sine, nearly linear, solved by Newton.
        """
        b, foot = self.half_hip_width, self.ankle[2]
        ahead, aside = q[TOWARD_BALL] - self.ankle[0], SIDE * q[TOWARD_TARGET] - self.ankle[1]
        # Every leg's hip is out from the centre by b along the (turned, tilted) hip line.
        along = SIDE * np.sin(q[HIP_TURN]) * ahead + np.cos(q[HIP_TURN]) * aside
        level = ahead * ahead + aside * aside + b * b - self.length(q[KNEES]) ** 2
        middle, uneven = 0.5 * (foot[0] + foot[1]), 0.5 * (foot[0] - foot[1])
        total = 0.5 * (level[0] + level[1]) + uneven * uneven
        out, twice = b * (along[0] + along[1]), 2.0 * b * uneven
        apart, apart_by_cosine = level[0] - level[1], 2.0 * b * (along[0] - along[1])
        up = np.sqrt(np.maximum(-total - out, LOWEST_PELVIS**2))
        sine = ((apart + apart_by_cosine) / (4.0 * b * up) - uneven / b).clip(-0.9, 0.9)
        for _ in range(CLOSURE_STEPS):
            cosine = np.sqrt(1.0 - sine * sine)
            square = -(total + cosine * out + twice * sine)
            up = np.sqrt(np.maximum(square, LOWEST_PELVIS**2))
            lever = uneven + b * sine
            miss = apart + apart_by_cosine * cosine - 4.0 * up * lever
            size = np.abs(miss)
            if size.max(initial=0.0) < CLOSURE_TOLERANCE:
                break
            tangent = sine / cosine
            slope = apart_by_cosine * tangent + 2.0 * (tangent * out - twice) / up * lever + 4.0 * up * b
            sine = (sine + miss / slope).clip(-0.95, 0.95)
        closed = (size < CLOSURE_TOLERANCE) & (square > np.maximum(uneven * uneven, LOWEST_PELVIS**2))
        return np.where(closed, np.arcsin(sine), 0.0), np.where(closed, middle + up, 1.0), closed

    def posture(self, q: Array) -> LegPosture:
        """All frames and joint centres of the loop at ``q (8, N)``."""
        return _Loop(self, q).posture()

    def evaluate(self, q: Array) -> tuple[Array, Array, BoolArray]:
        """Joint angles ``(16, N)`` rad (``LEG_OUTPUTS`` x lead, trail), Jacobian ``(16, 8, N)``, closed ``(N,)``."""
        return _Loop(self, q).outputs()


class _Loop:
    """The loop at one batch of unknowns: first the frames, then angles and derivatives if asked.

    ``pelvis``, ``leg``, ``shank`` and ``thigh`` are ``(3, 3, 2, N)`` frame_to_world; ``frame[:, i]`` is axis i.
    The leg frame's z runs from ankle to hip, its x is where the knee points and its y is the knee's axis.
    """

    def __init__(self, legs: Legs, q: Array) -> None:
        self.legs = legs
        count = q.shape[1]
        self.obliquity, self.height, self.closed = legs.close(q)
        angles = np.empty((4, 2, count))
        angles[0], angles[1], angles[2], angles[3] = SIDE * q[HIP_TURN], SIDE * self.obliquity, q[SWIVELS], q[KNEES]
        (st, ss, sw, sk), (ct, cs, cw, ck) = np.sin(angles), np.cos(angles)
        self.knee_flexion, self.cos_knee, self.sin_knee = q[KNEES], ck, sk
        self.sin_turn, self.cos_turn = st, ct
        # What each joint lies between, hip first: pelvis and thigh, foot and shank.
        self.proximal, self.distal = np.empty((2, 3, 3, 2, count)), np.empty((2, 3, 3, 2, count))
        self.proximal[1] = legs.foot
        # Rz(-turn) Rx(-tilt) Ry(bend)
        pelvis = self.proximal[0]
        pelvis[0, 1], pelvis[1, 1], pelvis[2, 1] = st * cs, ct * cs, -ss
        pelvis[0, 2], pelvis[1, 2], pelvis[2, 2] = st * ss, ct * ss, cs
        pelvis[0, 0], pelvis[1, 0], pelvis[2, 0] = ct, -st, 0.0
        sb, cb = np.sin(q[PELVIS_BEND]), np.cos(q[PELVIS_BEND])
        pelvis[:, 0], pelvis[:, 2] = (
            cb * pelvis[:, 0] - sb * pelvis[:, 2],
            sb * pelvis[:, 0] + cb * pelvis[:, 2],
        )
        self.pelvis = pelvis
        self.hip = legs.half_hip_width * pelvis[:, 1]
        self.hip[0] += q[TOWARD_BALL]
        self.hip[1] += SIDE * q[TOWARD_TARGET]
        self.hip[2] += self.height
        self.reach = self.hip - legs.ankle
        self.length = np.sqrt((self.reach * self.reach).sum(axis=0))
        # The swivel is counted from the direction of the foot, square to the leg.
        leg = np.empty((3, 3, 2, count))
        leg[:, 2] = self.reach / self.length
        foot_x, e = legs.foot[:, 0], leg[:, 2]
        self.foot_along = (foot_x * e).sum(axis=0)
        self.foot_across = np.sqrt(np.maximum(1.0 - self.foot_along**2, 1e-12))
        ahead = (foot_x - self.foot_along * e) / self.foot_across
        aside = e[_NEXT] * ahead[_LAST] - e[_LAST] * ahead[_NEXT]
        self.sin_swivel, self.cos_swivel = sw, cw
        leg[:, 0] = cw * ahead + sw * aside
        leg[:, 1] = cw * aside - sw * ahead
        self.leg = leg
        # The law of sines shares the knee's flexion between hip and ankle: thigh and shank are the leg swung in its own
        # plane, so that z goes so far along it and across it.
        t, s = legs.thigh, legs.shank
        cosine = (np.array([t + s * ck, s + t * ck]) / self.length)[:, None]
        sine = (np.array([-s * sk, t * sk]) / self.length)[:, None]
        self.distal[:, :, 0] = cosine * leg[:, 0] - sine * leg[:, 2]
        self.distal[:, :, 1] = leg[:, 1]
        self.distal[:, :, 2] = sine * leg[:, 0] + cosine * leg[:, 2]
        self.thigh, self.shank = self.distal

    def posture(self) -> LegPosture:
        """Everything a figure needs of the legs."""
        return LegPosture(
            obliquity=self.obliquity,
            height=self.height,
            hip=self.hip,
            knee=self.legs.ankle + self.legs.shank * self.shank[:, 2],
            thigh=self.thigh,
            shank=self.shank,
            pelvis=self.pelvis,
            closed=self.closed,
        )

    def outputs(self) -> tuple[Array, Array, BoolArray]:
        """Joint angles, Jacobian and closure as ``Legs.evaluate`` returns them."""
        count = self.height.size
        # Ry(-flexion) Rx(abduction) Rz(external rotation) and Ry(dorsiflexion) Rx(inversion) Rz(internal rotation)
        # at hip (0) and ankle (1), read from the distal segment in the proximal one.
        proximal, distal = self.proximal, self.distal
        z = np.einsum("jxiln,jxln->jiln", proximal, distal[:, :, 2])
        lateral = np.einsum("jxln,jxiln->jiln", proximal[:, :, 1], distal[:, :, :2])
        second = np.arcsin((-z[:, 1]).clip(-1.0, 1.0))
        third = np.arctan2(lateral[:, 0], lateral[:, 1])
        first = np.arctan2(z[:, 0], z[:, 2])
        values = np.empty((8, 2, count))
        values[0], values[1], values[2] = -first[0], second[0], third[0]
        values[3] = self.knee_flexion
        values[5], values[6], values[7] = first[1], second[1], third[1]
        internal, external, internal_slope, external_slope = self.legs.tibial.at(self.knee_flexion)
        half, middle = 0.5 * (internal + external), 0.5 * (internal - external)
        values[4] = (third[1] - middle) / half

        jacobian = np.zeros((8, 2, 8, count))
        jacobian[:3], jacobian[5:] = self._angle_rates(z)
        jacobian[3, 0, LEAD_KNEE] = jacobian[3, 1, TRAIL_KNEE] = 1.0
        jacobian[4] = jacobian[7] / half[:, None]
        by_knee = 0.5 * (internal_slope - external_slope + values[4] * (internal_slope + external_slope)) / half
        jacobian[4, 0, LEAD_KNEE] -= by_knee[0]
        jacobian[4, 1, TRAIL_KNEE] -= by_knee[1]
        return values.reshape(16, count), jacobian.reshape(16, 8, count), self.closed

    def _angle_rates(self, z: Array) -> Array:
        """Derivatives ``(2, 3, 2, 8, N)`` of the three angles of hip and ankle of both legs by the unknowns.

        Args:
            z: ``(2, 3, 2, N)`` long axis of the distal segment of each joint in the proximal one.
        """
        legs, count = self.legs, self.height.size
        # Each angle's rate is a covector on the angular velocity of distal in proximal; its components in the
        # proximal frame, stacked (angle, joint): first about y, second about x', third about z''.
        cosine = np.sqrt(np.maximum(1.0 - z[:, 1] ** 2, 1e-12))
        c, s = z[:, 2] / cosine, z[:, 0] / cosine
        own = np.zeros((3, 3, 2, 2, count))
        own[1, 0], own[1, 2] = c, -s
        own[2, 0], own[2, 2] = s / cosine, c / cosine
        own[0] = -z[:, 1] * own[2]
        own[0, 1] = 1.0
        # The hip's flexion counts the other way round.
        own[0, :, 0] *= -1.0
        world = np.einsum("jxiln,aijln->xajln", self.proximal, own)
        in_leg = np.einsum("xkln,xajln->kajln", self.leg, world)

        # The hip's velocity swings the leg about the ankle; the swivel's reference direction turns with it.
        carried = -self.foot_along / self.foot_across * in_leg[2]
        by_swing = (
            np.array([in_leg[1] + carried * self.sin_swivel, carried * self.cos_swivel - in_leg[0]]) / self.length
        )
        moves = np.zeros((3, 5, 2, count))  # the hip's, as of `_MOVES`
        b, y, ahead = legs.half_hip_width, self.pelvis[:, 1], (self.cos_turn, -self.sin_turn)
        moves[0, 0], moves[1, 0] = b * y[1], -b * y[0]
        moves[0, 1] = moves[1, 2] = moves[2, 4] = 1.0
        lever = b * y[2]
        moves[0, 3], moves[1, 3] = -ahead[1] * lever, ahead[0] * lever
        moves[2, 3] = b * (ahead[1] * y[0] - ahead[0] * y[1])
        in_plane = np.einsum("xkln,xmln->kmln", self.leg[:, :2], moves)
        local = np.einsum("kajln,kmln->majln", by_swing, in_plane)
        hip = world[:, :, 0]
        turn, _, _, obliquity, _ = local[:, :, 0]
        turn += hip[2]
        obliquity += hip[0] * ahead[0] + hip[1] * ahead[1]

        # Closure: reach . d(reach) = length d(length)/d(knee) d(knee) for both legs gives obliquity and height.
        pull = _MOVES * np.einsum("xln,xmln->mln", self.reach, moves)
        local *= _MOVES[:, None, None]
        (tilt_lead, tilt_trail), (up_lead, up_trail) = pull[3], pull[4]
        determinant = tilt_lead * up_trail - tilt_trail * up_lead
        stretch = legs.thigh * legs.shank * self.sin_knee
        tilt_by, up_by = np.empty((5, count)), np.empty((5, count))  # by turn, forward, aside and both knees
        tilt_by[3], tilt_by[4] = -stretch[0] * up_trail, stretch[1] * up_lead
        up_by[3], up_by[4] = stretch[0] * tilt_trail, -stretch[1] * tilt_lead
        lead, trail = pull[_OWN, 0], pull[_OWN, 1]
        tilt_by[_OWN] = trail * up_lead - lead * up_trail
        up_by[_OWN] = tilt_trail * lead - tilt_lead * trail
        tilt_by /= determinant
        up_by /= determinant

        ankle_by_knee = legs.thigh * (legs.thigh + legs.shank * self.cos_knee) / self.length**2
        out = np.zeros((2, 3, 2, 8, count))
        tilt, up = (one.swapaxes(0, 1)[:, :, :, None] for one in local[3:])
        through_closure = tilt * tilt_by + up * up_by
        out[:, :, :, HIP_TURN] = through_closure[:, :, :, 0] + local[0].swapaxes(0, 1)
        out[:, :, :, TOWARD_BALL:LEAD_SWIVEL] = through_closure[:, :, :, 1:]
        out[:, :, :, TOWARD_BALL] += local[1].swapaxes(0, 1)
        out[:, :, :, TOWARD_TARGET] += local[2].swapaxes(0, 1)
        by_knee = (in_leg[1] * np.array([ankle_by_knee - 1.0, ankle_by_knee])).swapaxes(0, 1)
        by_swivel = in_leg[2].swapaxes(0, 1)
        for leg, (knee, swivel) in enumerate(((LEAD_KNEE, LEAD_SWIVEL), (TRAIL_KNEE, TRAIL_SWIVEL))):
            out[:, :, leg, knee] += by_knee[:, :, leg]
            out[:, :, leg, swivel] = by_swivel[:, :, leg]
        out[0, :, :, PELVIS_BEND] = -np.einsum("xln,xaln->aln", y, hip)
        return out
