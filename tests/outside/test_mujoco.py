"""The figure rebuilt in MuJoCo (https://mujoco.org), which knows its own forward kinematics and mass centres.

The golfer of ``mujoco_golfer.py`` is set to what a swing *reports*, from its planted feet up. Both legs must arrive
at one pelvis, and every joint centre, every segment's frame and the mass centre must be those of the figure that is
shown: if a reported sign, order or angle did not describe it, something would be elsewhere.
"""

from __future__ import annotations

from collections.abc import Callable
from itertools import product
from types import ModuleType
from typing import Any, TypeAlias

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from turnstill.model import JOINTS, Address, Body, Pieces, Steady, Swing
from turnstill.model.arrays import Array
from turnstill.model.chain.mass import CLUB_MASS
from turnstill.model.golfer.impact import Impact
from turnstill.model.swing.simulate import simulate

BODIES, FRAMES = 8, 5
TOLERANCE_M = 1e-9
Swings: TypeAlias = dict[str, Swing]
Rebuilt: TypeAlias = dict[tuple[str, int], Any]


def amounts(rng: np.random.Generator, shape: tuple[int, int], **ends: tuple[float, float]) -> dict[str, Array]:
    """Uniform numbers: lengths (given in metres as they are) and everything of one unit or more in degrees."""
    drawn = {name: rng.uniform(*pair, shape) for name, pair in ends.items()}
    return {name: value if abs(ends[name][1]) < 1.0 else np.radians(value) for name, value in drawn.items()}


def random_swings(seed: int, per_body: int, steady: bool, left_handed: bool, through_impact: bool = False) -> Swing:
    """Swings of random bodies from random addresses to random tops, most of them more than the joints allow; and where
    asked on through what they do at impact.
    """
    rng = np.random.default_rng(seed)
    shape = (BODIES, per_body)
    body = Body.draw(rng, BODIES)
    wide = Body(
        body.stature[:, None], body.mass[:, None], body.female[:, None],
        {name: value[:, None] for name, value in body.lengths.items()},
        {name: value[:, None] for name, value in body.ranges.items()},
        {name: value[:, None] for name, value in body.shape.items()},
    )  # fmt: skip
    address = amounts(
        rng, shape, lead_flare=(-20, 50), trail_flare=(-20, 50), stance_width=(0.25, 0.6), knee_flex=(5, 45),
        forward_bend=(22, 50), pelvis_bend=(5, 35), side_bend=(-5, 15), ball_position=(-0.1, 0.2),
    )  # fmt: skip
    pieces = amounts(
        rng, shape, hip_turn=(-20, 110), shoulder_turn=(-30, 150), tilt=(-25, 65), extension=(-30, 70),
        lead_flex_change=(-40, 50), trail_flex_change=(-40, 50), sway=(-0.15, 0.15), hips_toward_ball=(-0.12, 0.12),
        lead_heel_rise=(0.0, 0.08), trail_heel_rise=(0.0, 0.08),
    )  # fmt: skip
    asked: dict[str, Array | Steady] = dict(pieces)
    if steady:
        asked |= {name: Steady(0.3 * pieces[name]) for name in ("tilt", "extension")}
    address["club_length"] = rng.uniform(1.1, 1.25, (BODIES, 1))
    impact = None
    if through_impact:
        at_ball = amounts(
            rng, shape, hip_turn=(-60, 10), shoulder_turn=(-50, 15), lead_flex_change=(-25, 15),
            trail_flex_change=(-10, 25), sway=(-0.15, 0.08), hips_toward_ball=(-0.06, 0.1),
            lead_heel_rise=(0.0, 0.05), trail_heel_rise=(0.0, 0.08),
        )  # fmt: skip
        impact = Impact(Pieces(**at_ball))
    pieces_asked = Pieces().replace(**asked)
    return simulate(wide, Address(**address), pieces_asked, frames=FRAMES, left_handed=left_handed, impact=impact)


GIVEN = {
    "amounts": (31, 13, False, False), "steady, left-handed": (32, 12, True, True),
    "through impact": (33, 4, True, False, True), "500 through impact": (34, 63, True, True, True),
}  # fmt: skip
CASES = [*list(GIVEN)[:3], pytest.param("500 through impact", marks=pytest.mark.heavy)]


class Made(dict[Any, Any]):
    """What is made when it is first asked for."""

    def __init__(self, make: Callable[[Any], Any]) -> None:
        self.make = make

    def __missing__(self, key: Any) -> Any:
        self[key] = self.make(key)
        return self[key]


@pytest.fixture(scope="module")
def swings() -> Swings:
    return Made(lambda case: random_swings(*GIVEN[case]))


@pytest.fixture(scope="module")
def rebuilt(swings: Swings, mujoco_golfer: ModuleType) -> Rebuilt:
    return Made(lambda key: mujoco_golfer.rebuild(swings[key[0]], key[1]))


def test_the_postures_are_a_thousand_and_not_only_nice_ones(swings: Swings) -> None:
    three = [swings[case] for case in list(GIVEN)[:3]]
    up = [swing for swing in three if swing.impact is None]
    unmet = np.concatenate([~swing.met.reshape(-1) for swing in up])
    stopped = np.concatenate([swing.limited.reshape(-1, len(swing.limit_names)) for swing in up])
    assert unmet.size == 1000
    assert 0.2 < unmet.mean() < 0.9
    assert stopped.any(axis=0).mean() > 0.5, "most ranges stop somebody"
    for name in swings["amounts"].joint_angles:
        spread = np.concatenate([np.degrees(swing.joint_angles[name]).reshape(-1) for swing in three])
        # The lead elbow stays as it is wherever both arms reach.
        assert spread.std() > (1.5 if name == "lead_elbow_flexion" else 2.0), name


CENTRES = [name for name in JOINTS if name != "ball"]


@pytest.mark.parametrize("case", CASES)
@pytest.mark.parametrize("joint", CENTRES)
def test_every_joint_centre_is_where_mujoco_puts_it(joint: str, case: str, swings: Swings, rebuilt: Rebuilt) -> None:
    for body in range(BODIES):
        shown = swings[case].skeleton.joints[joint][body].reshape(-1, 3)
        assert np.abs(rebuilt[case, body].sites[joint] - shown).max() <= TOLERANCE_M


@pytest.mark.parametrize("case", CASES)
def test_both_legs_arrive_at_one_pelvis(case: str, rebuilt: Rebuilt) -> None:
    for body in range(BODIES):
        made = rebuilt[case, body]
        for by, of in (("lead", "trail"), ("trail", "lead")):
            assert np.abs(made.sites[f"hip_{of}_by_{by}"] - made.sites[f"hip_{of}"]).max() <= TOLERANCE_M
        assert np.abs(made.frames["pelvis_by_lead"] - made.frames["pelvis_by_trail"]).max() <= TOLERANCE_M


SEGMENTS = {
    "pelvis_by_lead": "pelvis", "ribcage": "ribcage", "neck": "neck", "head": "head", "club": "club",
    **{name: name for name in map("_".join, product(("thigh", "shank", "foot", "collar_bone"), ("lead", "trail")))},
}  # fmt: skip


@pytest.mark.parametrize("case", CASES)
def test_every_segment_is_turned_as_mujoco_turns_it(case: str, swings: Swings, rebuilt: Rebuilt) -> None:
    for body, (made, shown) in product(range(BODIES), SEGMENTS.items()):
        frame = swings[case].skeleton.frames[shown][body].reshape(-1, 3, 3)
        assert np.abs(rebuilt[case, body].frames[made] - frame).max() <= TOLERANCE_M, shown


@pytest.mark.parametrize("case", CASES)
def test_mass_centre_of_body_and_club(case: str, swings: Swings, rebuilt: Rebuilt) -> None:
    swing = swings[case]
    for body in range(BODIES):
        made = rebuilt[case, body]
        assert made.kilos == pytest.approx(float(swing.body.mass[body, 0]) + CLUB_MASS, abs=1e-9)
        assert np.abs(made.centre - swing.measures.centre_of_mass[body].reshape(-1, 3)).max() <= TOLERANCE_M


@pytest.mark.parametrize("case", CASES)
def test_achieved_turn_tilt_and_bend_are_those_of_mujoco_s_frames(case: str, swings: Swings, rebuilt: Rebuilt) -> None:
    """Order turn, tilt, bend by scipy's as_euler("ZXY") = (-turn, -tilt, bend); mirrored, turn and tilt count the
    other way round. The achieved hip turn counts from address, as do extension and the pieces of the knees."""
    swing = swings[case]
    mirror = -1.0 if swing.left_handed else 1.0
    sign = np.array([-mirror, -mirror, 1.0])
    for body in range(BODIES):
        made = rebuilt[case, body]
        got = {name: value[body] for name, value in swing.achieved.items()}
        moments = got["tilt"].shape
        pelvis = sign * Rotation.from_matrix(made.frames["pelvis_by_lead"]).as_euler("ZXY")
        turn, obliquity, bend = np.moveaxis(pelvis.reshape(*moments, 3), -1, 0)
        ribcage = sign * Rotation.from_matrix(made.frames["ribcage"]).as_euler("ZXY")
        _, tilt, forward = np.moveaxis(ribcage.reshape(*moments, 3), -1, 0)
        # The girdle's own share of the turn, without what the arms do with a shoulder.
        share = Rotation.from_rotvec(
            -mirror * swing.joint_angles["girdle_rotation"][body].reshape(-1, 1) * np.eye(3)[2]
        )
        girdle = Rotation.from_matrix(made.frames["ribcage"]) * share
        line = girdle.as_matrix()[:, :, 1].reshape(*moments, 3)
        measured = {
            "hip_turn": turn,
            "belt_line_tilt": obliquity,
            "pelvis_bend": bend,
            "tilt": tilt,
            "bend": forward,
            "extension": forward[:, :1] - forward,
            "shoulder_turn": np.arctan2(mirror * line[..., 0], line[..., 1]),
        }
        for name, value in measured.items():
            away = (value - got[name] + np.pi) % (2.0 * np.pi) - np.pi
            if name == "extension":
                # It counts from the address, solved by itself and again as the first moment: to the optimiser's
                # tolerance the same. The rest of the swing counts from there to rounding.
                assert np.abs(away).max() <= 1e-6, name
                away = away - away[:, :1]
            assert np.abs(away).max() <= 1e-9, name


@pytest.mark.parametrize("case", CASES)
def test_the_clubhead_stands_behind_the_ball_at_address(case: str, swings: Swings) -> None:
    joints = swings[case].skeleton.joints
    # The ball lies where the address put it; the first moment repeats that solve to the optimiser's tolerance.
    assert np.abs(joints["clubhead"] - joints["ball"])[..., 0, :].max() <= 1e-6
    assert np.abs(joints["ball"][..., 2]).max() <= TOLERANCE_M


@pytest.mark.parametrize("case", CASES)
def test_elbows_bend_and_the_club_is_hinged_as_reported(case: str, swings: Swings, rebuilt: Rebuilt) -> None:
    swing = swings[case]
    for body in range(BODIES):
        at = rebuilt[case, body].sites

        def between(*ends: tuple[str, str], at: dict[str, Array] = at) -> Array:
            one, other = ((at[last] - at[first]) for first, last in ends)
            cosine = (one * other).sum(-1) / np.linalg.norm(one, axis=-1) / np.linalg.norm(other, axis=-1)
            return np.asarray(np.arccos(cosine))

        arm = {side: tuple(f"{joint}_{side}" for joint in ("shoulder", "elbow", "wrist")) for side in ("lead", "trail")}
        shown = {f"{side}_elbow_flexion": between(names[:2], names[1:]) for side, names in arm.items()}
        shown["hinge"] = between(arm["lead"][1:], ("grip", "clubhead"))
        for name, value in shown.items():
            assert np.abs(swing.joint_angles[name][body].reshape(-1) - value).max() <= TOLERANCE_M * 10, name


@pytest.mark.parametrize("case", CASES)
def test_the_trail_hand_holds_the_shaft_below_the_lead_hand(case: str, swings: Swings, rebuilt: Rebuilt) -> None:
    """Where MuJoCo puts the trail hand's hold: `hands_apart` down the shaft from the lead hand's."""
    swing = swings[case]
    for body in range(BODIES):
        at, size = rebuilt[case, body].sites, {name: value[body, 0] for name, value in swing.body.lengths.items()}
        down = (at["clubhead"] - at["grip"]) / float(np.asarray(swing.address.club_length)[body, 0])
        wrist_to_hold = rebuilt[case, body].frames["hand_trail"].reshape(-1, 3, 3)[:, :, 2] * -size["wrist_to_grip"]
        miss = at["wrist_trail"] + wrist_to_hold - at["grip"] - size["hands_apart"] * down
        assert np.abs(miss).max() <= TOLERANCE_M
