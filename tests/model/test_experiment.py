"""An experiment is the single questions asked one by one; its strain is the sum it says it is."""

from __future__ import annotations

import numpy as np
import pytest

from turnstill.model import Address, Body, Pieces
from turnstill.model.chain.lower_body import LEG_LIMITS
from turnstill.model.golfer.ranges import LEG_RANGES
from turnstill.model.questions.available import most_hip_turn
from turnstill.model.questions.experiment import STRAINED, Experiment, experiment
from turnstill.model.swing.simulate import simulate

FLARES = np.radians([0.0, 10.0, 20.0, 30.0])


@pytest.fixture(scope="module")
def lead() -> Experiment:
    return experiment(Body.from_stature(), Address(lead_flare=FLARES), Pieces())


def test_every_step_is_the_same_question_asked_alone(lead: Experiment) -> None:
    for k, flare in enumerate(FLARES):
        alone = simulate(Body.from_stature(), Address(lead_flare=flare), Pieces(), frames=5)
        step = lead.swing[k]
        for name, value in alone.achieved.items():
            assert step.achieved[name][-1] == pytest.approx(value[-1], abs=1e-7), name
        np.testing.assert_allclose(step.measures.head_moved[-1], alone.measures.head_moved[-1], atol=1e-7)
        np.testing.assert_array_equal(step.limited[-1], alone.limited[-1])
        most = most_hip_turn(Body.from_stature(), Address(lead_flare=flare), Pieces())
        assert lead.available.hip_turn[k] == pytest.approx(float(most.hip_turn), abs=1e-6)
        np.testing.assert_array_equal(lead.available.stopped_by[k], most.stopped_by)
        assert float(step.address.lead_flare) == flare and step.body.stature.shape == ()


def test_body_ranges_and_pieces_may_be_what_differs() -> None:
    own = np.radians([20.0, 35.0, 45.0])
    by_range = experiment(Body.from_stature(ranges={"trail_hip_internal_rotation": own}), Address(), Pieces())
    turns = by_range.available.hip_turn
    assert turns[1] > turns[0] + np.radians(5.0) and turns[2] >= turns[1] - 1e-6
    row = LEG_LIMITS.index("trail_hip_internal_rotation")
    np.testing.assert_allclose(by_range.end[:, row], own)
    assert by_range.available.stopped_by[0, row] and not by_range.available.stopped_by[2, row]
    # A range that a swing does not reach changes nothing of it, the strain's scale included.
    assert by_range.total_strain[1] == pytest.approx(by_range.total_strain[2], rel=1e-3)
    by_piece = experiment(Body.from_stature(), Address(), Pieces(hip_turn=np.radians([30.0, 50.0])))
    assert np.ptp(by_piece.available.hip_turn) < 1e-9  # its own hip turn is no part of the question
    assert by_piece.total_strain[1] > by_piece.total_strain[0]


def test_strain_is_the_published_sum(lead: Experiment) -> None:
    """Half ranges from the published table, half of low and high end together, as docs/model.md defines it."""
    rows = {
        "hip_flexion": ("hip_flexion", "hip_extension"),
        "hip_abduction": ("hip_abduction", "hip_adduction"),
        "hip_external_rotation": ("hip_external_rotation", "hip_internal_rotation"),
        "shin_internal_rotation": ("shin_internal_rotation", "shin_external_rotation"),
        "ankle_dorsiflexion": ("ankle_dorsiflexion", "ankle_plantarflexion"),
        "ankle_inversion": ("ankle_inversion", "ankle_eversion"),
    }
    for k in range(len(FLARES)):
        angles, total = lead.swing[k].joint_angles, 0.0
        for side in ("lead", "trail"):
            for name, ends in rows.items():
                half = 0.5 * sum(LEG_RANGES[end].male for end in ends)
                moved = np.degrees(angles[f"{side}_{name}"][-1] - angles[f"{side}_{name}"][0])
                total += (moved / half) ** 2
                assert lead.strain[k, STRAINED.index(f"{side}_{name}")] == pytest.approx((moved / half) ** 2, rel=1e-9)
            moved = np.degrees(angles[f"{side}_knee_flexion"][-1] - angles[f"{side}_knee_flexion"][0])
            total += (moved / (0.5 * LEG_RANGES["knee_flexion"].male)) ** 2
        assert lead.total_strain[k] == pytest.approx(total, rel=1e-9)


def test_demand_is_the_joint_angle_toward_each_end(lead: Experiment) -> None:
    for k in range(len(FLARES)):
        angles = lead.swing[k].joint_angles
        for side in ("lead", "trail"):
            for plus, minus, angle in (
                ("hip_external_rotation", "hip_internal_rotation", "hip_external_rotation"),
                ("shin_internal_rotation", "shin_external_rotation", "shin_internal_rotation"),
                ("ankle_inversion", "ankle_eversion", "ankle_inversion"),
            ):
                turned = angles[f"{side}_{angle}"][-1]
                assert lead.demand[k, LEG_LIMITS.index(f"{side}_{plus}")] == turned
                assert lead.demand[k, LEG_LIMITS.index(f"{side}_{minus}")] == -turned
    assert np.all(lead.demand <= lead.end + 1e-6)


def test_a_foot_turned_out_adds_on_the_lead_side_and_helps_on_the_trail_side(lead: Experiment) -> None:
    """Geometry: hip and shin together make up the angle between pelvis and foot, so it grows about one for one."""
    trail = experiment(Body.from_stature(), Address(trail_flare=FLARES), Pieces())

    def together(found: Experiment, side: str, way: str) -> np.ndarray:
        rows = [LEG_LIMITS.index(f"{side}_{joint}_{way}_rotation") for joint in ("hip", "shin")]
        return found.demand[:, rows].sum(axis=1)

    outward = np.diff(together(lead, "lead", "external")) / np.diff(FLARES)
    inward = np.diff(together(trail, "trail", "internal")) / np.diff(FLARES)
    assert np.all((outward > 0.8) & (outward < 1.2))
    assert np.all((inward < -0.8) & (inward > -1.2))
    assert lead.available.hip_turn[-1] < lead.available.hip_turn[0] - np.radians(5.0)
    assert trail.available.hip_turn[-1] > trail.available.hip_turn[0] + np.radians(15.0)


def test_left_handed_steps_are_mirror_images() -> None:
    right = experiment(Body.from_stature(), Address(trail_flare=FLARES), Pieces())
    left = experiment(Body.from_stature(), Address(trail_flare=FLARES), Pieces(), left_handed=True)
    np.testing.assert_array_equal(left.available.hip_turn, right.available.hip_turn)
    flip = np.array([1.0, -1.0, 1.0])
    for k in (0, 3):
        mine, other = (found.swing[k].skeleton.joints["head"] for found in (left, right))
        np.testing.assert_allclose(mine, other * flip, atol=1e-12)


@pytest.mark.parametrize(
    "motion", ["hip_internal_rotation", "hip_external_rotation", "shin_internal_rotation", "ankle_eversion"]
)
def test_the_most_hip_turn_never_falls_when_a_range_grows(motion: str) -> None:
    """A larger range allows every posture that the smaller one does."""
    for side in ("lead", "trail"):
        own = np.radians(np.arange(10.0, 56.0, 5.0))
        body = Body.from_stature(ranges={f"{side}_{motion}": own})
        for flare in (0.0, 15.0, 35.0):
            stance = Address(lead_flare=np.radians(flare), trail_flare=np.radians(flare))
            turns = most_hip_turn(body, stance, Pieces()).hip_turn
            # Sway and knees are held hard, not exactly, so a hundredth of a degree is the compromise's.
            assert np.diff(turns).min() > -np.radians(0.02), (side, flare)


def test_ends_of_ranges_are_the_bodys_own(lead: Experiment) -> None:
    """Ends of ranges at the top are the body's, shin rotation's the part that its knee leaves."""
    body = Body.from_stature()
    for row, name in enumerate(LEG_LIMITS):
        motion = name.split("_", 1)[1]
        if motion == "knee_straight":
            assert np.all(lead.end[:, row] == 0.0)
        elif motion.startswith("shin"):
            assert np.all(lead.end[:, row] <= body.ranges[name] + 1e-12) and np.all(lead.end[:, row] > 0.0)
        else:
            np.testing.assert_allclose(lead.end[:, row], body.ranges[name])
