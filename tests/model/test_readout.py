"""Every number read off a figure stands under its own name: all are distinct here, and the names written out."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from turnstill.model import Body, Skeleton
from turnstill.model.chain.arm_joints import ENDS
from turnstill.model.chain.legs import UNKNOWNS
from turnstill.model.chain.lower_body import LegLimits
from turnstill.model.chain.support import Base
from turnstill.model.golfer.ranges import RANGE_NAMES
from turnstill.model.numeric import rotations
from turnstill.model.swing import measures, readout

DEG = np.pi / 180.0


def column(*values: float) -> np.ndarray:
    return np.array(values)[:, None]


def test_achieved_pieces_are_the_unknowns_they_are_named_after() -> None:
    q = column(0.81, 0.32, -0.07, 0.013, 0.64, 0.17, 0.9, -0.9)
    q0 = column(0.02, 0.39, -0.05, 0.051, 0.37, 0.36, 0.1, -0.1)
    assert UNKNOWNS[:6] == (
        "hip_turn", "pelvis_bend", "pelvis_toward_ball", "pelvis_toward_target", "lead_knee_flex", "trail_knee_flex",
    )  # fmt: skip
    lower: Any = SimpleNamespace(q=q, posture=SimpleNamespace(obliquity=np.array([0.21])))
    angles, rest = column(1.2, 0.55, 0.25), column(0.01, -0.087, 0.66)
    upper: Any = SimpleNamespace(
        angles=angles, ribcage=rotations.from_turn_tilt_bend(*angles), girdle=np.zeros(1)
    )  # with no girdle and an upright y axis the shoulder line turns as the ribcage does
    got = readout.achieved(lower, q0, upper, rest, np.array([[0.031], [0.047]]))
    line = upper.ribcage[0, :, 1]
    expected = {
        "hip_turn": 0.81,
        "shoulder_turn": np.arctan2(line[0], line[1]),
        "tilt": 0.55,
        "extension": 0.66 - 0.25,
        "lead_flex_change": 0.64 - 0.37,
        "trail_flex_change": 0.17 - 0.36,
        "sway": 0.051 - 0.013,
        "hips_toward_ball": -0.07 + 0.05,
        "lead_heel_rise": 0.031,
        "trail_heel_rise": 0.047,
        "pelvis_bend": 0.32,
        "pelvis_toward_ball": -0.07,
        "pelvis_toward_target": 0.013,
        "lead_knee_flex": 0.64,
        "trail_knee_flex": 0.17,
        "bend": 0.25,
        "belt_line_tilt": 0.21,
    }
    assert {name: float(value[0]) for name, value in got.items()} == pytest.approx(expected, abs=1e-15)


LEG_ROWS = (
    "lead_hip_flexion", "trail_hip_flexion", "lead_hip_abduction", "trail_hip_abduction",
    "lead_hip_external_rotation", "trail_hip_external_rotation", "lead_knee_flexion", "trail_knee_flexion",
    None, None, "lead_ankle_dorsiflexion", "trail_ankle_dorsiflexion", "lead_ankle_inversion", "trail_ankle_inversion",
    "lead_shin_internal_rotation", "trail_shin_internal_rotation",
)  # fmt: skip
"""Rows of the legs' outputs; the two between are shares of the shin's range."""


def test_joint_angles_stand_under_their_names() -> None:
    legs = 0.01 * np.arange(1.0, 17.0)[:, None]
    on_pelvis = np.array([[0.31, -0.22, 0.47]])
    pelvis = rotations.from_turn_tilt_bend(np.array([0.5]), np.array([0.1]), np.array([0.2]))
    lower: Any = SimpleNamespace(angles=legs, pelvis=pelvis)
    figure: Any = SimpleNamespace(
        skeleton=SimpleNamespace(frames={"ribcage": pelvis @ rotations.exp(on_pelvis)}),
        head=SimpleNamespace(vector=np.array([[0.13, 0.17, 0.19]])),
        arms=SimpleNamespace(angles={"lead_elbow_flexion": np.array([0.23]), "hinge": np.array([0.29])}),
    )
    got = {name: float(v[0]) for name, v in readout.joint_angles(lower, figure, np.array([0.77])).items()}
    expected = {name: float(legs[row, 0]) for row, name in enumerate(LEG_ROWS) if name}
    expected |= {
        "trunk_rotation": -0.47, "trunk_side_bend": -0.31, "trunk_flexion": -0.22,
        "neck_rotation": 0.19, "neck_side_bend": -0.13, "neck_flexion": 0.17, "girdle_rotation": 0.77,
        "lead_elbow_flexion": 0.23, "hinge": 0.29,
    }  # fmt: skip
    assert got == pytest.approx(expected, abs=1e-12)


def test_joint_ranges_are_the_bodys_of_that_name() -> None:
    ranges = {name: (10.0 + k) * DEG for k, name in enumerate(RANGE_NAMES)}
    body = Body.from_stature(ranges=ranges).flat((1,))
    lower: Any = SimpleNamespace(q=np.zeros((8, 1)) + 60.0 * DEG)  # knees bent: the shin's range is all open
    got = readout.joint_ranges(body, LegLimits.of(body), lower)
    ends = {
        "hip_flexion": ("hip_extension", "hip_flexion"),
        "hip_abduction": ("hip_adduction", "hip_abduction"),
        "hip_external_rotation": ("hip_internal_rotation", "hip_external_rotation"),
        "knee_flexion": (None, "knee_flexion"),
        "shin_internal_rotation": ("shin_external_rotation", "shin_internal_rotation"),
        "ankle_dorsiflexion": ("ankle_plantarflexion", "ankle_dorsiflexion"),
        "ankle_inversion": ("ankle_eversion", "ankle_inversion"),
    }
    expected = {
        f"{side}_{joint}": (-ranges[f"{side}_{low}"] if low else 0.0, ranges[f"{side}_{high}"])
        for side in ("lead", "trail")
        for joint, (low, high) in ends.items()
    }
    for joint in ("trunk", "neck"):
        for motion in ("rotation", "side_bend"):
            expected[f"{joint}_{motion}"] = (-ranges[f"{joint}_{motion}"], ranges[f"{joint}_{motion}"])
        expected[f"{joint}_flexion"] = (-ranges[f"{joint}_extension"], ranges[f"{joint}_flexion"])
    arms = {name for name in got if name.split("_", 1)[1] in ENDS}  # see test_arm_joints
    assert len(arms) == 18 and set(got) - arms == set(expected)
    for name, (low, high) in expected.items():
        assert [float(end[0]) for end in got[name]] == pytest.approx([low, high], abs=1e-12), name


def test_measures_are_of_the_joints_they_are_named_after() -> None:
    from turnstill.model import Address, Pieces, simulate

    swing = simulate(Body.from_stature(), Address(), Pieces(), frames=2)
    rng = np.random.default_rng(5)
    joints = {name: place[1:] + rng.normal(size=(1, 3)) for name, place in swing.skeleton.joints.items()}
    here = Skeleton(joints, {n: f[1:] for n, f in swing.skeleton.frames.items()}, swing.skeleton.spine[1:],
                    swing.skeleton.spine_frames[1:])  # fmt: skip
    there = {name: rng.normal(size=(1, 3)) for name in joints}
    corners = np.array([[-0.1, -0.3], [0.2, -0.3], [0.2, 0.3], [-0.1, 0.3]] + [[-0.1, -0.3]] * 6)
    square = np.stack([corners, np.roll(corners, -1, axis=0)], axis=1)
    square[4:] = square[:1]
    got = measures.of(swing.body.flat((1,)), here, there, Base(np.broadcast_to(square, (1, 2, 2, *square.shape))))

    def moved(name: str) -> np.ndarray:
        return joints[name] - there[name]

    x, y, z = (joints["neck_base"] - joints["pelvis"])[0]
    across = (joints["shoulder_lead"] - joints["shoulder_trail"])[0]
    for name, joint in (
        ("head_moved", "head"), ("neck_base_moved", "neck_base"), ("sternum_moved", "sternum"),
        ("pelvis_moved", "pelvis"),
    ):  # fmt: skip
        np.testing.assert_array_equal(getattr(got, name), moved(joint))
    length = np.sqrt(x * x + y * y + z * z)
    assert np.cos(got.inclination[0]) == pytest.approx(z / length) and 0.0 <= got.inclination[0] <= np.pi
    assert [np.sin(got.inclination_down_the_line[0]), np.cos(got.inclination_down_the_line[0])] == pytest.approx(
        [x / np.hypot(x, z), z / np.hypot(x, z)]
    )
    assert [np.sin(got.lean_face_on[0]), np.cos(got.lean_face_on[0])] == pytest.approx(
        [-y / np.hypot(y, z), z / np.hypot(y, z)]
    )
    assert np.sin(got.shoulder_plane[0]) == pytest.approx(-across[2] / np.linalg.norm(across))
    assert got.low_point_shift[0] == moved("neck_base")[0, 1]
    # Weight: the foot middles and the centre of mass, projected on the line between them.
    lead, trail = ((joints[f"heel_{side}"] + joints[f"toe_{side}"])[0, :2] / 2 for side in ("lead", "trail"))
    along = (got.centre_of_mass[0, :2] - lead) @ (trail - lead) / ((trail - lead) @ (trail - lead))
    assert got.trail_weight_share[0] == pytest.approx(along)
    toward_ball, toward_target = got.centre_of_mass[0, :2]
    sides = (toward_ball + 0.1, 0.2 - toward_ball, toward_target + 0.3, 0.3 - toward_target)
    away = np.hypot(max(-sides[0], -sides[1], 0.0), max(-sides[2], -sides[3], 0.0))
    assert got.balance_margin[0] == pytest.approx(-away if away else min(sides))


def test_what_is_met_is_met_to_a_tenth_of_a_degree_and_a_millimetre() -> None:
    asked = {"tilt": np.zeros(4), "sway": np.zeros(4)}
    got = {"tilt": np.array([0.09, 0.11, 0.0, 0.0]) * DEG, "sway": np.array([0.0, 0.0, 0.9e-3, 1.1e-3])}
    assert readout.met(asked, got).tolist() == [True, False, True, False]
