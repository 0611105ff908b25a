"""A golfer written down for MuJoCo (https://mujoco.org), from lengths, published tables and reported angles alone.

Nothing here calls the figure's own geometry. The chain follows the documented conventions: each planted foot carries
its shank, thigh and a pelvis by the *reported* joint angles; the lead leg's pelvis carries the spine, over whose
seventeen levels the reported trunk vector is spread, then neck and head by the reported neck angles, the girdle by
its own, and the arms by the frames of their segments. A left-hander's golfer has y negated throughout.
"""

from __future__ import annotations

from dataclasses import dataclass

import mujoco
import numpy as np
from scipy.spatial.transform import Rotation

from turnstill.model import Swing
from turnstill.model.arrays import Array
from turnstill.model.chain.mass import CLUB_CENTRE, CLUB_MASS, OMPHALION_LEVEL, TRUNK_FORWARD, XIPHION_LEVEL
from turnstill.model.chain.spine import SEGMENT_SHARES, SHARES

SIDES = ("lead", "trail")

# de Leva 1996, J Biomech 29:1223-30, Table 4 (restated in BMClab/BMC, BSPmale_ZdeLeva.txt and
# BSPfemale_ZdeLeva.txt): share of body mass, mass centre from the first end point; men, women.
MASS = {
    "head": ((0.0694, 0.0668), (0.5002, 0.4841)),
    "upper_trunk": ((0.1596, 0.1545), (0.5066, 0.5050)),
    "middle_trunk": ((0.1633, 0.1465), (0.4502, 0.4512)),
    "lower_trunk": ((0.1117, 0.1247), (0.6115, 0.4920)),
    "upper_arm": ((0.0271, 0.0255), (0.5772, 0.5754)),
    "forearm": ((0.0162, 0.0138), (0.4574, 0.4559)),
    "hand": ((0.0061, 0.0056), (0.7900, 0.7474)),
    "thigh": ((0.1416, 0.1478), (0.4095, 0.3612)),
    "shank": ((0.0433, 0.0481), (0.4395, 0.4352)),
    "foot": ((0.0137, 0.0129), (0.4415, 0.4014)),
}
PRINTED_TOTAL = (1.0000, 0.9999)
"""What the printed shares add to; the whole body weighs its mass all the same."""


@dataclass(frozen=True)
class Chain:
    """MJCF of one golfer; ``mirror`` is -1 for a left-hander, whose figure has y negated throughout."""

    length: dict[str, float]
    club_length: float
    mass: float
    female: int
    mirror: float

    def site(self, name: str, x: float, y: float, z: float) -> str:
        return f'<site name="{name}" pos="{x!r} {self.mirror * y!r} {z!r}"/>'

    def body(self, name: str, x: float, y: float, z: float, *inside: str) -> str:
        return f'<body name="{name}" pos="{x!r} {self.mirror * y!r} {z!r}">{"".join(inside)}</body>'

    def hinge(self, name: str, axis: str, sign: float = 1.0, kind: str = "hinge") -> str:
        """A hinge or slide. A reflection in y turns rotations about x and z the other way, and slides along y."""
        if (axis == "y") == (kind == "slide"):
            sign *= self.mirror
        return f'<joint name="{name}" type="{kind}" axis="{" ".join(str(sign * (axis == a)) for a in "xyz")}"/>'

    def lump(self, segment: str, end: int, x: float, y: float, z: float) -> str:
        """The part of a segment's mass that its first (0) or second (1) end point carries: their sum has the
        segment's mass and its mass centre, wherever the two ends go."""
        share, centre = MASS[segment][0][self.female], MASS[segment][1][self.female]
        kilos = self.mass * share / PRINTED_TOTAL[self.female] * (centre if end else 1.0 - centre)
        return self.weight(kilos, x, y, z)

    def weight(self, kilos: float, x: float, y: float, z: float) -> str:
        pos = f'pos="{x!r} {self.mirror * y!r} {z!r}"'
        return f'<body {pos}><inertial pos="0 0 0" mass="{kilos!r}" diaginertia="1e-3 1e-3 1e-3"/></body>'

    def limb(self, segment: str, length: float) -> str:
        """A straight segment's own mass, its first end point at its frame's origin and the second below."""
        share, centre = MASS[segment][0][self.female], MASS[segment][1][self.female]
        return self.weight(self.mass * share / PRINTED_TOTAL[self.female], 0.0, 0.0, -centre * length)

    def xml(self) -> str:
        """Both feet on the ground; the lead leg carries everything above, the trail leg a second, empty pelvis."""
        bound = '<compiler angle="radian" boundmass="1e-14" boundinertia="1e-14"/>'
        trail_pelvis = self.site("hip_lead_by_trail", 0.0, self.length["hip_joint_width"], 0.0)
        return (
            f"<mujoco>{bound}<worldbody>{self.leg('lead', 1.0, self.upper_body())}"
            f"{self.leg('trail', -1.0, trail_pelvis)}</worldbody></mujoco>"
        )

    def leg(self, side: str, out: float, pelvis: str) -> str:
        """Foot, shank, thigh and pelvis: dorsiflexion about y, inversion about x, tibial rotation about z; the
        knee about y; then back up through the hip, whose angles are those of the thigh in the pelvis."""
        size = self.length
        ball = size["heel_to_ball"] - size["heel_to_ankle"]
        hip = self.body(
            f"pelvis_by_{side}", 0.0, 0.0, size["thigh"],
            self.hinge(f"{side}_hip_external_rotation", "z", -out),
            self.hinge(f"{side}_hip_abduction", "x", -out),
            self.hinge(f"{side}_hip_flexion", "y"),
            pelvis, self.site(f"hip_{side}", 0.0, 0.0, 0.0),
        )  # fmt: skip
        thigh = self.body(
            f"thigh_{side}", 0.0, 0.0, size["shank"],
            self.hinge(f"{side}_knee_flexion", "y", -1.0), self.site(f"knee_{side}", 0.0, 0.0, 0.0),
            self.lump("thigh", 0, 0.0, 0.0, size["thigh"]), self.lump("thigh", 1, 0.0, 0.0, 0.0), hip,
        )  # fmt: skip
        shank = self.body(
            f"shank_{side}", -ball, 0.0, size["ankle_height"],
            self.hinge(f"{side}_ankle_dorsiflexion", "y"),
            self.hinge(f"{side}_ankle_inversion", "x", out),
            self.hinge(f"{side}_shin_internal_rotation", "z", out),
            self.site(f"ankle_{side}", 0.0, 0.0, 0.0),
            self.lump("shank", 0, 0.0, 0.0, size["shank"]), self.lump("shank", 1, 0.0, 0.0, 0.0), thigh,
        )  # fmt: skip
        rear = self.body(
            f"foot_{side}", ball, 0.0, 0.0, self.hinge(f"rise_{side}", "y"),
            self.site(f"heel_{side}", -size["heel_to_ball"], 0.0, 0.0),
            self.lump("foot", 0, -size["heel_to_ball"], 0.0, 0.0), shank,
        )  # fmt: skip
        toe = size["foot"] - size["heel_to_ankle"]
        return self.body(
            f"ground_{side}", 0.0, 0.0, 0.0,
            self.hinge(f"stance_{side}", "y", out, "slide"), self.hinge(f"flare_{side}", "z", out),
            self.site(f"toe_{side}", toe, 0.0, 0.0), self.lump("foot", 1, toe, 0.0, 0.0), rear,
        )  # fmt: skip

    def upper_body(self) -> str:
        """Pelvis contents as seen from the lead hip: spine, ribcage, girdle, neck, head and arms."""
        size, half = self.length, 0.5 * self.length["hip_joint_width"]
        up, ahead = size["lumbosacral_up"], TRUNK_FORWARD * self.length["stature"]
        landmarks = {  # by the level above whose joint they lie: what ends and what begins there
            XIPHION_LEVEL: (("upper_trunk", 1), ("middle_trunk", 0)),
            OMPHALION_LEVEL: (("middle_trunk", 1), ("lower_trunk", 0)),
        }
        above = self.ribcage()
        for level in reversed(range(len(SHARES))):
            lumps = [self.lump(*part, ahead, 0.0, 0.0) for part in landmarks.get(level, ())]
            below = SEGMENT_SHARES[level - 1] * size["spine"] if level else 0.0
            place = (0.0, 0.0, float(below)) if level else (-size["lumbosacral_back"], -half, up)
            above = self.body(f"vertebra{level}", *place, f'<joint name="level{level}" type="ball"/>', *lumps, above)
        return (
            self.site("pelvis", 0.0, -half, 0.0)
            + self.site("lumbosacral", -size["lumbosacral_back"], -half, up)
            + self.site("hip_trail_by_lead", 0.0, -2.0 * half, 0.0)
            + self.lump("lower_trunk", 1, 0.0, -half, 0.0)
            + above
        )

    def ribcage(self) -> str:
        """All that the topmost vertebra carries."""
        size, half = self.length, 0.5 * self.length["shoulder_width"]
        skull = self.body(
            "skull", size["neck_forward"], 0.0, size["neck_up"], '<joint name="head_on_neck" type="ball"/>',
            self.body(
                "head", size["head_forward"], 0.0, size["head_up"], self.site("head", 0.0, 0.0, 0.0),
                self.site("nose", size["nose_forward"], 0.0, -size["nose_drop"]),
                self.site("vertex", 0.0, 0.0, size["vertex_up"]), self.lump("head", 0, 0.0, 0.0, size["vertex_up"]),
            ),
        )  # fmt: skip
        # The inner ends of the collar bones are a seventh of the shoulders' width apart, level with the shoulders.
        girdle = "".join(
            self.body(
                f"collar_bone_{side}", size["shoulder_forward"], out * half / 7.0, -size["shoulder_drop"],
                self.hinge(f"{side}_collar_bone_forward", "z", -out) + self.hinge(f"{side}_collar_bone_up", "x", out),
                self.site(f"sternoclavicular_{side}", 0.0, 0.0, 0.0), self.arm(side, out * half * 6.0 / 7.0),
            )
            for side, out in (("lead", 1.0), ("trail", -1.0))
        )  # fmt: skip
        return self.body(
            "ribcage", 0.0, 0.0, float(SEGMENT_SHARES[-1]) * size["spine"], self.site("neck_base", 0.0, 0.0, 0.0),
            self.site("sternum", size["sternum_forward"], 0.0, -size["sternum_drop"]),
            self.lump("head", 1, 0.0, 0.0, 0.0), self.lump("upper_trunk", 0, 0.0, 0.0, 0.0),
            self.body("neck", 0.0, 0.0, 0.0, '<joint name="neck" type="ball"/>', skull), girdle,
        )  # fmt: skip

    def arm(self, side: str, aside: float) -> str:
        """Upper arm, forearm, hand and, in the lead hand, the club."""
        size, held = self.length, ""
        if side == "lead":
            mid = self.weight(CLUB_MASS, 0.0, 0.0, -CLUB_CENTRE * self.club_length)
            head = self.site("clubhead", 0.0, 0.0, -self.club_length)
            held = self.body("club", 0.0, 0.0, -size["wrist_to_grip"], '<joint name="club" type="ball"/>', mid, head)
            held += self.site("grip", 0.0, 0.0, -size["wrist_to_grip"])
        place = (0.0, aside, 0.0)
        links = (("hand", "wrist_to_grip", "wrist"), ("forearm", "forearm", "elbow"), ("upper_arm", "upper_arm", ""))
        for segment, length, centre in links:
            here = (0.0, 0.0, -size[{"hand": "forearm", "forearm": "upper_arm"}[segment]]) if centre else place
            held = self.body(
                f"{segment}_{side}", *here, f'<joint name="{segment}_{side}" type="ball"/>',
                self.site(f"{centre or 'shoulder'}_{side}", 0.0, 0.0, 0.0), self.limb(segment, size[length]), held,
            )  # fmt: skip
        return held


def rotation_of(swing: Swing, body: int, segment: str) -> Rotation:
    return Rotation.from_matrix(swing.skeleton.frames[segment][body].reshape(-1, 3, 3))


def spread_over_levels(whole: Array) -> Array:
    """Rotation vectors ``(N, 17, 3)`` in proportion to the shares that add up to ``whole (N, 3)``: Newton by
    forward differences, with scipy's rotations throughout."""

    def total(vector: Array) -> Rotation:
        out = Rotation.from_rotvec(vector * SHARES[0])
        for share in SHARES[1:]:
            out = out * Rotation.from_rotvec(vector * share)
        return out

    wanted, vector, step = Rotation.from_rotvec(whole), whole.copy(), 1e-6
    for _ in range(12):
        here = total(vector)
        miss = (wanted * here.inv()).as_rotvec()
        if np.abs(miss).max() < 1e-14:
            break
        slope = [(total(vector + step * axis) * here.inv()).as_rotvec() / step for axis in np.eye(3)]
        vector = vector + np.linalg.solve(np.stack(slope, axis=-1), miss[..., None])[..., 0]
    assert np.abs(miss).max() < 1e-11
    return np.asarray(vector[:, None, :] * SHARES)


def settings(swing: Swing, body: int, mirror: float) -> dict[str, Array]:
    """Every joint's position ``(N,)``, or quaternion ``(N, 4)`` w first, from what the swing reports."""
    angle = {name: value[body].reshape(-1) for name, value in swing.joint_angles.items()}
    pseudo = np.array([mirror, 1.0, mirror])  # rotation vectors under a reflection in y

    def ball(rotation: Rotation) -> Array:
        return np.asarray(rotation.as_quat(scalar_first=True))

    def vector(joint: str, rotation_sign: float) -> Array:
        parts = (
            -angle[f"{joint}_side_bend"],
            angle[f"{joint}_flexion"],
            rotation_sign * angle[f"{joint}_rotation"],
        )
        return np.stack(parts, axis=-1)

    # Arms follow from their frames; what is said of elbows is compared with the places, the rest in test_arm_joints.
    arms = ("shoulder", "elbow", "forearm", "wrist")
    driven = [name for name in angle if name.startswith(SIDES) and name.split("_")[1] not in arms]
    out = {name: angle[name] for name in driven}
    moments = swing.progress.size
    stance = np.repeat(np.asarray(swing.address.stance_width)[body], moments)
    for side in SIDES:
        heel = swing.achieved[f"{side}_heel_rise"][body].reshape(-1)
        out[f"rise_{side}"] = np.arcsin(heel / swing.body.lengths["heel_to_ball"][body])
        out[f"stance_{side}"] = 0.5 * stance
        out[f"flare_{side}"] = np.repeat(np.asarray(getattr(swing.address, f"{side}_flare"))[body], moments)
    for level, part in enumerate(np.moveaxis(spread_over_levels(vector("trunk", -1.0)), 1, 0)):
        out[f"level{level}"] = ball(Rotation.from_rotvec(pseudo * part))
    half = ball(Rotation.from_rotvec(pseudo * 0.5 * vector("neck", 1.0)))
    out |= {"neck": half, "head_on_neck": half}
    for side, sign in zip(SIDES, (1.0, -1.0), strict=True):
        forward, up = (angle[f"{side}_collar_bone_{way}"] for way in ("forward", "up"))
        turned = Rotation.from_euler("ZX", sign * mirror * np.stack([-forward, up], axis=-1))
        below = rotation_of(swing, body, "ribcage") * turned
        for segment in (f"upper_arm_{side}", f"forearm_{side}", f"hand_{side}"):
            frame = rotation_of(swing, body, segment)
            out[segment] = ball(below.inv() * frame)
            below = frame
    out["club"] = ball(rotation_of(swing, body, "hand_lead").inv() * rotation_of(swing, body, "club"))
    return out


@dataclass(frozen=True)
class Rebuilt:
    """What MuJoCo makes of one golfer: sites ``(N, 3)``, mass centre ``(N, 3)`` and frames ``(N, 3, 3)``."""

    sites: dict[str, Array]
    centre: Array
    frames: dict[str, Array]
    kilos: float


def rebuild(swing: Swing, body: int) -> Rebuilt:
    """One golfer of ``swing``, whose batch is bodies by addresses; ``N`` counts the moments of all addresses.

    The club's length is one for each body.
    """
    mirror = -1.0 if swing.left_handed else 1.0
    lengths = {name: float(value[body, 0]) for name, value in swing.body.lengths.items()}
    lengths["stature"] = float(swing.body.stature[body, 0])
    club = float(np.asarray(swing.address.club_length)[body, 0])
    mass, female = float(swing.body.mass[body, 0]), int(swing.body.female[body, 0])
    model = mujoco.MjModel.from_xml_string(Chain(lengths, club, mass, female, mirror).xml())
    data = mujoco.MjData(model)
    given = settings(swing, body, mirror)
    count = given["level0"].shape[0]
    qpos = np.zeros((count, model.nq))
    for index in range(model.njnt):
        name = model.joint(index).name
        start, width = model.jnt_qposadr[index], 4 if model.jnt_type[index] == mujoco.mjtJoint.mjJNT_BALL else 1
        qpos[:, start : start + width] = given.pop(name, np.zeros(count)).reshape(count, width)
    assert not given, "every reported angle drives a joint"
    sites, centre, frames = np.empty((count, model.nsite, 3)), np.empty((count, 3)), np.empty((count, model.nbody, 9))
    for i in range(count):
        data.qpos[:] = qpos[i]
        mujoco.mj_kinematics(model, data)
        mujoco.mj_comPos(model, data)
        sites[i], centre[i], frames[i] = data.site_xpos, data.subtree_com[0], data.xmat
    return Rebuilt(
        {model.site(i).name: sites[:, i] for i in range(model.nsite)},
        centre,
        {model.body(i).name: frames[:, i].reshape(-1, 3, 3) for i in range(model.nbody)},
        float(model.body_subtreemass[0]),
    )
