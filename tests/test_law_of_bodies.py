"""A thousand random bodies, addresses and swings through the front door, held to a reckoning of their joints.

Bones, balance, what is met and the warnings are worked out here anew with plain geometry, scipy's rotations and hulls,
and a balance of weights (`weighed`); nothing of the model's own reckoning is called.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np
from scipy.spatial import ConvexHull
from scipy.spatial.transform import Rotation
from weighed import centre_of_mass

import turnstill as ts
from turnstill.model.arrays import Array, BoolArray
from turnstill.scenes.words import cautions

COUNT, FRAMES, LENGTHS_SET = 1000, 3, 500
DEG = np.pi / 180.0
MET_ANGLE, MET_LENGTH, UNSURE = 0.1 * DEG, 1e-3, 1e-7
FUNCTIONAL = 0.2
"""Part of the foot's length from the edge that most people cannot use: half of 1 - 0.60, King et al. 1994."""
BONES = {
    "thigh": ("hip", "knee"), "shank": ("knee", "ankle"), "upper_arm": ("shoulder", "elbow"),
    "forearm": ("elbow", "wrist"),
}  # fmt: skip


@dataclass(frozen=True)
class Drawn:
    """What was asked and what came of it."""

    swing: ts.Swing
    asked: dict[str, Array]


@cache
def drawn() -> Drawn:
    """Half of the bodies as the survey draws them, half with every bone set, up to a third longer or shorter."""
    rng = np.random.default_rng(2026)

    def between(low: float, high: float, scale: float = DEG) -> Array:
        return rng.uniform(low, high, COUNT) * scale

    usual = ts.Body.draw(rng, LENGTHS_SET)
    stature, female = rng.uniform(1.3, 2.0, COUNT - LENGTHS_SET), rng.integers(0, 2, COUNT - LENGTHS_SET).astype(float)
    mass = 22.0 * stature**2 * rng.uniform(0.8, 1.5, stature.size)
    mean = ts.Body.from_stature(stature, mass, female).lengths
    size = {name: value * rng.uniform(0.75, 1.33, stature.size) for name, value in mean.items()}
    size |= {name: mean[name] * size["foot"] / mean["foot"] for name in ("heel_to_ankle", "heel_to_ball")}
    size["forearm"] = np.maximum(size["forearm"], 0.51 * size["upper_arm"])
    size["shoulder_width"] = np.minimum(size["shoulder_width"], 0.9 * (size["upper_arm"] + size["forearm"]))
    own = ts.Body.from_stature(stature, mass, female, lengths=size)
    body = type(own)(
        *(np.concatenate([getattr(usual, name), getattr(own, name)]) for name in ("stature", "mass", "female")),
        *(
            {key: np.concatenate([getattr(usual, name)[key], value]) for key, value in getattr(own, name).items()}
            for name in ("lengths", "ranges", "shape")
        ),
    )
    address = ts.Address(
        lead_flare=between(-15, 45), trail_flare=between(-15, 45), stance_width=between(25, 60, 0.01),
        knee_flex=between(10, 40), forward_bend=between(40, 60), pelvis_bend=between(10, 35), side_bend=between(-5, 12),
        ball_position=between(-10, 15, 0.01), club_length=1.3,
    )  # fmt: skip
    asked = {
        "hip_turn": between(0, 75), "shoulder_turn": between(40, 110), "lead_flex_change": between(-10, 30),
        "trail_flex_change": between(-30, 10), "sway": between(-15, 15, 0.01),
        "hips_toward_ball": between(-25, 15, 0.01),
    }  # fmt: skip
    for heel in ("lead_heel_rise", "trail_heel_rise"):
        raised = rng.random(COUNT) < 0.3
        asked[heel] = np.where(raised, between(0.5, 8, 0.01), 0.0)
    return Drawn(ts.simulate(body, address, ts.Pieces(**asked), frames=FRAMES), asked)


def moments_of(values: Array) -> Array:
    """Of every golfer, for every moment, ``(B, M)``."""
    return np.broadcast_to(np.asarray(values)[:, None], (COUNT, FRAMES))


def test_every_bone_keeps_its_length() -> None:
    swing = drawn().swing
    joints, size = swing.skeleton.joints, swing.body.lengths
    for name, (first, second) in BONES.items():
        for side in ("lead", "trail"):
            length = np.linalg.norm(joints[f"{first}_{side}"] - joints[f"{second}_{side}"], axis=-1)
            np.testing.assert_allclose(length, moments_of(size[name]), rtol=0, atol=1e-9)
    breadth = np.linalg.norm(joints["hip_lead"] - joints["hip_trail"], axis=-1)
    np.testing.assert_allclose(breadth, moments_of(size["hip_joint_width"]), rtol=0, atol=1e-9)
    # The collar bones: from the breastbone, level with the shoulders, a seventh of their width apart.
    ribcage, width = swing.skeleton.frames["ribcage"], moments_of(size["shoulder_width"])
    for side, sign in (("lead", 1.0), ("trail", -1.0)):
        own = [moments_of(size["shoulder_forward"]), sign * width / 14.0, -moments_of(size["shoulder_drop"])]
        breastbone = joints["neck_base"] + (ribcage @ np.stack(own, axis=-1)[..., None])[..., 0]
        length = np.linalg.norm(joints[f"shoulder_{side}"] - breastbone, axis=-1)
        np.testing.assert_allclose(length, 6.0 / 14.0 * width, rtol=0, atol=1e-9)
    hand, club = (np.linalg.norm(joints["grip"] - joints[end], axis=-1) for end in ("wrist_lead", "clubhead"))
    np.testing.assert_allclose(hand, moments_of(size["wrist_to_grip"]), rtol=0, atol=1e-9)
    np.testing.assert_allclose(club, 1.3, rtol=0, atol=1e-9)


def soles(swing: ts.Swing) -> tuple[Array, BoolArray]:
    """Corners ``(B, 10, 2)`` m of both flat soles at address, and at which moments each carries, ``(B, M, 10)``."""
    joints, corners = swing.skeleton.joints, []
    for side in ("lead", "trail"):
        heel, toe = joints[f"heel_{side}"][:, 0, :2], joints[f"toe_{side}"][:, 0, :2]
        ahead = (toe - heel) / swing.body.lengths["foot"][:, None]
        aside = np.stack([-ahead[:, 1], ahead[:, 0]], axis=-1)
        ball = heel + swing.body.lengths["heel_to_ball"][:, None] * ahead
        for middle, breadth in ((heel, "heel_breadth"), (ball, "foot_breadth")):
            half = 0.5 * swing.body.shape[breadth][:, None] * aside
            corners += [middle - half, middle + half]
        corners.append(toe)
    down = [joints[f"heel_{side}"][..., 2] <= 1e-3 for side in ("lead", "trail")]
    always = np.ones_like(down[0])
    carries = [down[0], down[0], *3 * [always], down[1], down[1], *3 * [always]]
    return np.stack(corners, axis=1), np.stack(carries, axis=-1)


@cache
def margins() -> Array:
    """How far inside the hull of what carries the centre of mass is, m ``(B, M)``; negative outside."""
    swing = drawn().swing
    corners, carries = soles(swing)
    centre = centre_of_mass(swing)[..., :2]
    out = np.empty((COUNT, FRAMES))
    for k in range(COUNT):
        for on in np.unique(carries[k], axis=0):
            there_then = (carries[k] == on).all(axis=-1)
            hull = ConvexHull(corners[k, on])
            ring = hull.points[hull.vertices]
            along = np.roll(ring, -1, axis=0) - ring
            there = centre[k, there_then][:, None] - ring
            share = np.clip((there * along).sum(-1) / (along * along).sum(-1), 0.0, 1.0)
            away = np.linalg.norm(there - share[..., None] * along, axis=-1).min(axis=1)
            over = centre[k, there_then] @ hull.equations[:, :2].T + hull.equations[:, 2]
            out[k, there_then] = np.where((over <= 0.0).all(axis=1), away, -away)
    return out


def test_balance_is_what_weights_and_soles_say() -> None:
    swing = drawn().swing
    np.testing.assert_allclose(swing.measures.centre_of_mass, centre_of_mass(swing), rtol=0, atol=1e-9)
    np.testing.assert_allclose(swing.measures.balance_margin, margins(), rtol=0, atol=1e-9)
    assert 100 < (margins() < 0.0).any(axis=1).sum() < 900
    joints = swing.skeleton.joints
    lead, trail = (0.5 * (joints[f"heel_{side}"] + joints[f"toe_{side}"])[..., :2] for side in ("lead", "trail"))
    line, there = trail - lead, centre_of_mass(swing)[..., :2] - lead
    share = (there * line).sum(-1) / (line * line).sum(-1)
    np.testing.assert_allclose(swing.measures.trail_weight_share, share, rtol=0, atol=1e-9)


def flex(swing: ts.Swing, side: str) -> Array:
    """Of a knee, from its joints."""
    hip, knee, ankle = (swing.skeleton.joints[f"{name}_{side}"] for name in ("hip", "knee", "ankle"))
    thigh, shank = hip - knee, knee - ankle
    across = np.linalg.norm(np.cross(thigh, shank), axis=-1)
    return np.asarray(np.arctan2(across, (thigh * shank).sum(-1)))


def done() -> list[tuple[str, Array, Array, float]]:
    """Name, what was asked, what joints and frames show, and within what that counts as met; ``(B, M)`` each."""
    swing, asked = drawn().swing, drawn().asked
    joints, frames, address = swing.skeleton.joints, swing.skeleton.frames, swing.address
    progress = np.linspace(0.0, 1.0, FRAMES)
    amount = {name: value[:, None] * progress for name, value in asked.items()}
    across = joints["hip_lead"] - joints["hip_trail"]
    # The shoulders as the girdle carries them: what an arm draws its own shoulder by is no turn.
    own = Rotation.from_rotvec(-swing.joint_angles["girdle_rotation"].reshape(-1, 1) * [0.0, 0.0, 1.0]).as_matrix()
    line = frames["ribcage"] @ own.reshape(COUNT, FRAMES, 3, 3)[..., :, 1, None]
    turn = {"hip": np.arctan2(across[..., 0], across[..., 1]), "shoulder": np.arctan2(line[..., 0, 0], line[..., 1, 0])}
    angles = {
        part: Rotation.from_matrix(frames[part].reshape(-1, 3, 3)).as_euler("ZXY").reshape(COUNT, FRAMES, 3)
        * [-1, -1, 1]
        for part in ("pelvis", "ribcage")
    }
    moved = joints["pelvis"] - joints["pelvis"][:, :1]
    knees = {side: flex(swing, side) for side in ("lead", "trail")}
    bend = angles["ribcage"][..., 2]
    rows = [
        # The pelvis's own turn, of its frame: the line between the hips is the same seen from above.
        ("hip turn", amount["hip_turn"], turn["hip"], MET_ANGLE),
        ("shoulder turn", amount["shoulder_turn"], turn["shoulder"], MET_ANGLE),
        ("tilt", swing.asked["tilt"], angles["ribcage"][..., 1], MET_ANGLE),
        ("extension", swing.asked["extension"], bend[:, :1] - bend, MET_ANGLE),
        ("bend", moments_of(address.forward_bend) - swing.asked["extension"], bend, MET_ANGLE),
        ("pelvis bend", moments_of(address.pelvis_bend), angles["pelvis"][..., 2], MET_ANGLE),
        ("sway", amount["sway"], -moved[..., 1], MET_LENGTH),
        ("hips toward ball", amount["hips_toward_ball"], moved[..., 0], MET_LENGTH),
    ]
    for side in ("lead", "trail"):
        change = amount[f"{side}_flex_change"]
        rows.append((f"{side} change", change, knees[side] - knees[side][:, :1], MET_ANGLE))
        rows.append((f"{side} heel rise", amount[f"{side}_heel_rise"], joints[f"heel_{side}"][..., 2], MET_LENGTH))
        rows.append((f"{side} flex", moments_of(address.knee_flex) + change, knees[side], MET_ANGLE))
    return rows


def test_what_counts_as_met_is_what_the_joints_do() -> None:
    met, sure = np.ones((COUNT, FRAMES), dtype=bool), np.ones((COUNT, FRAMES), dtype=bool)
    for name, asked, got, within in done():
        off = np.abs(asked - got)
        # A straight knee's flexion is read from its joints to half the digits only.
        unsure = 1e-6 if "flex" in name or "change" in name else UNSURE
        met &= off <= within
        sure &= np.abs(off - within) > unsure
    swing = drawn().swing
    np.testing.assert_array_equal(swing.met[sure], met[sure])
    assert sure.mean() > 0.98 and 0.05 < met.mean() < 0.95


def test_warnings_say_what_the_joints_show() -> None:
    """Falling over, near it, and that something was not met: said of just those swings of which it is true."""
    swing = drawn().swing
    near = FUNCTIONAL * swing.body.lengths["foot"]
    for k in range(COUNT):
        lines = cautions.warnings(swing[k])
        least = margins()[k].min()
        fall = [line for line in lines if "fall over" in line]
        edge = [line for line in lines if "of the edge of the base of support" in line]
        assert len(fall) == (least < 0.0) and len(edge) == (0.0 <= least < near[k])
        if fall:
            assert f"up to {-100.0 * least:.1f} cm outside" in fall[0]
        if edge:
            assert f"within {100.0 * least:.1f} cm of" in edge[0]
        told = any(line.startswith(("Ranges of motion of this body stop", "Not all that was asked")) for line in lines)
        assert told or swing.met[k].all()
        assert not swing.met[k].all() or not any(line.startswith("Not all that was asked") for line in lines)
