"""No joint goes past its range: bodies of every size, in every preset and in swings drawn at random.

The ranges are worked out here from the body's own, not taken from the swing, and what is reckoned with is the worst
moment of all.
"""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from turnstill.model import Address, Body, Pieces, Swing, simulate
from turnstill.model.arrays import Array
from turnstill.model.chain.arm_joints import ENDS
from turnstill.model.golfer.club import fitted_club
from turnstill.model.golfer.ranges import SIDES, published
from turnstill.scenes.setups.perform import preset
from turnstill.scenes.setups.presets import preset_names
from turnstill.scenes.words import cautions

STATURES_M = np.linspace(1.4, 2.3, 10)
MASS_INDICES = np.array([17.0, 24.0, 38.0])
"""kg/m2, from thin to very heavy."""
MARK_DEG = 0.01


def ends_of(swing: Swing) -> dict[str, tuple[Array, Array]]:
    """Low and high end ``(..., 1)`` rad of each joint angle, from the body's ranges by their names alone.

    The shin's range depends on the knee: it is held to that of a bent knee, the widest.
    """
    own = {name: np.asarray(values)[..., None] for name, values in swing.body.ranges.items()}
    nothing = np.full_like(next(iter(own.values())), np.pi)
    found = {}
    for side in SIDES:
        for joint, (below, above) in {
            "hip_flexion": ("hip_extension", "hip_flexion"), "hip_abduction": ("hip_adduction", "hip_abduction"),
            "hip_external_rotation": ("hip_internal_rotation", "hip_external_rotation"),
            "knee_flexion": ("", "knee_flexion"), "ankle_dorsiflexion": ("ankle_plantarflexion", "ankle_dorsiflexion"),
            "ankle_inversion": ("ankle_eversion", "ankle_inversion"),
            "shin_internal_rotation": ("shin_external_rotation", "shin_internal_rotation"), **ENDS,
        }.items():  # fmt: skip
            low = -own[f"{side}_{below}"] if below else -nothing
            aside = np.radians(90.0) if joint == "shoulder_across" else 0.0
            found[f"{side}_{joint}"] = (low, own[f"{side}_{above}"] - aside)
    for part in ("trunk", "neck"):
        for motion in ("rotation", "side_bend"):
            found[f"{part}_{motion}"] = (-own[f"{part}_{motion}"], own[f"{part}_{motion}"])
        found[f"{part}_flexion"] = (-own[f"{part}_extension"], own[f"{part}_flexion"])
    return found


def past(swing: Swing) -> dict[str, float]:
    """Joints that are past their ranges at some moment of some golfer, and by how many degrees at the worst."""
    worst = {
        joint: float(np.degrees(np.max(np.maximum(swing.joint_angles[joint] - high, low - swing.joint_angles[joint]))))
        for joint, (low, high) in ends_of(swing).items()
    }
    return {joint: degrees for joint, degrees in worst.items() if not degrees < MARK_DEG}


@cache
def bodies() -> Body:
    """Men and women of every stature, thin to heavy."""
    stature, index, female = (part.ravel() for part in np.meshgrid(STATURES_M, MASS_INDICES, [0.0, 1.0], indexing="ij"))
    return Body.from_stature(stature, index * stature**2, female)


def drawn_bodies(rng: np.random.Generator, count: int) -> Body:
    """People whose ranges spread as the published samples do, of any stature."""
    usual = Body.draw(rng, count)
    stature = rng.uniform(STATURES_M[0], STATURES_M[-1], count)
    ranges = {name: np.minimum(values, np.pi) for name, values in usual.ranges.items()}
    return Body.from_stature(stature, rng.uniform(17.0, 38.0, count) * stature**2, usual.female, ranges=ranges)


@pytest.mark.parametrize("name", preset_names())
def test_no_body_of_any_size_leaves_a_range_in_a_preset(name: str) -> None:
    _, address, pieces, timing = preset(name)
    fits = address.replace(club_length=fitted_club(bodies()))
    assert past(simulate(bodies(), fits, pieces, timing, frames=13)) == {}


def test_the_tall_golfer_who_turned_his_forearm_too_far_turns_his_elbow_instead() -> None:
    """He was 3 degrees past his supination; where it does not end, nothing is different."""
    stiff, loose = (
        Body.from_stature(2.05, ranges={"trail_forearm_supination": np.radians(end)}) for end in (82.0, 95.0)
    )
    swing, free = (
        simulate(body, Address(club_length=fitted_club(body)), Pieces(), frames=41) for body in (stiff, loose)
    )
    told = swing.arms_limited[:, swing.arm_limit_names.index("trail_forearm_supination")]
    assert 3 <= told.sum() < 10 and not free.arms_limited[told].any()
    least = np.degrees(swing.joint_angles["trail_forearm_pronation"].min())
    assert least == pytest.approx(-82.0, abs=MARK_DEG)
    assert np.degrees(free.joint_angles["trail_forearm_pronation"].min()) < -84.0
    for place, values in swing.skeleton.joints.items():
        moved = np.linalg.norm(values - free.skeleton.joints[place], axis=-1)
        assert (moved[told].max() > 1e-3) == (place == "elbow_trail"), place
        assert moved[~told].max() < 1e-9, place


STIFF = {
    "shoulder_flexion": 0.5, "shoulder_horizontal_adduction": 0.85, "elbow_flexion": 0.55, "wrist_extension": 0.65,
}  # fmt: skip
"""Ranges of the arms that nothing of their own gives way for, and what is left of their means, in both arms."""


def stiff(body: Body, name: str, left: float) -> Body:
    """The same golfers with one range of both arms so much of the mean."""
    own = {f"{side}_{name}": np.full(body.stature.shape, np.radians(published(f"{side}_{name}").male * left))
           for side in SIDES}  # fmt: skip
    ranges = {key: np.minimum(values, np.pi) for key, values in body.ranges.items()}
    return Body.from_stature(body.stature, body.mass, body.female, ranges=ranges | own)


@pytest.mark.parametrize("name", STIFF)
def test_a_stiff_joint_without_a_thing_of_its_own_stays_inside_and_nothing_jumps(name: str) -> None:
    """Moments twice as dense: each step half as far, a little more where a range ends; and the range is told."""
    rng = np.random.default_rng(81)
    body, pieces = stiff(Body.draw(rng, 25), name, STIFF[name]), Pieces.draw(rng, 25)
    swings = [simulate(body, Address(club_length=1.2), pieces, frames=frames) for frames in (41, 81)]
    assert past(swings[1]) == {}
    told = swings[1].arms_limited[..., [swings[1].arm_limit_names.index(f"{side}_{name}") for side in SIDES]]
    assert told.any(axis=(1, 2)).mean() > 0.5
    for place in ("elbow_lead", "elbow_trail", "grip", "clubhead"):
        coarse, dense = (np.linalg.norm(np.diff(s.skeleton.joints[place], axis=1), axis=-1) for s in swings)
        assert (dense.max(axis=1) < 0.75 * coarse.max(axis=1)).all(), place
    hold = np.linalg.norm(swings[1].skeleton.joints["wrist_lead"] - swings[1].skeleton.joints["grip"], axis=-1)
    np.testing.assert_allclose(hold, body.lengths["wrist_to_grip"][:, None] + 0.0 * hold, rtol=0, atol=1e-12)


def test_who_cannot_hold_a_club_is_told_so_with_degrees() -> None:
    """Arms that do not come as far as straight ahead cannot bring two hands together."""
    body = Body.from_stature(ranges={f"{side}_shoulder_horizontal_adduction": np.radians(70.0) for side in SIDES})
    swing = simulate(body, Address(), Pieces(), frames=5)
    beyond = past(swing)
    assert beyond["trail_shoulder_across"] > 1.0
    told = cautions.out_of_reach(swing)
    assert (
        f"trail shoulder horizontal adduction {70.0 + beyond['trail_shoulder_across']:.0f} (its range 70) deg" in told
    )
    assert told in cautions.warnings(swing)
    assert cautions.out_of_reach(simulate(Body.from_stature(), Address(), Pieces(), frames=5)) == ""


def test_no_drawn_golfer_leaves_a_range() -> None:
    rng = np.random.default_rng(80)
    body = drawn_bodies(rng, 500)
    longer = np.minimum(fitted_club(body) + 0.15, 1.3)
    for address in (Address(club_length=longer), Address.draw(rng, 500).replace(club_length=longer)):
        assert past(simulate(body, address, Pieces.draw(rng, 500), frames=9)) == {}
