"""An experiment is the single questions asked one by one; its strain cannot fall where a joint runs into its limit."""

from __future__ import annotations

import numpy as np
import pytest

from turnstill.model import Address, Body, Pieces
from turnstill.model.chain.lower_body import LEG_LIMITS
from turnstill.model.golfer.head_place import HeadPlace
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
    # A range that a swing does not reach changes nothing of it but the share of it that is used.
    column = STRAINED.index("trail_hip_external_rotation")
    assert by_range.strain[1, column] * own[1] == pytest.approx(by_range.strain[2, column] * own[2], rel=1e-3)
    others = np.delete(by_range.strain, column, axis=-1)
    np.testing.assert_allclose(others[1], others[2], rtol=1e-3)
    by_piece = experiment(Body.from_stature(), Address(), Pieces(hip_turn=np.radians([30.0, 50.0])))
    assert np.ptp(by_piece.available.hip_turn) < 1e-9  # its own hip turn is no part of the question
    assert by_piece.largest_strain[1] > by_piece.largest_strain[0]


def test_strain_is_the_share_of_the_range_in_use(lead: Experiment) -> None:
    """Ends from the published table; the shin's opens with the knee, so it is the swing's own."""
    ends = {
        "hip_flexion": ("hip_flexion", "hip_extension"), "hip_abduction": ("hip_abduction", "hip_adduction"),
        "hip_external_rotation": ("hip_external_rotation", "hip_internal_rotation"),
        "ankle_dorsiflexion": ("ankle_dorsiflexion", "ankle_plantarflexion"),
        "ankle_inversion": ("ankle_inversion", "ankle_eversion"),
    }  # fmt: skip
    for k in range(len(FLARES)):
        swing, found = lead.swing[k], dict(zip(STRAINED, lead.strain[k], strict=True))
        for side in ("lead", "trail"):
            for name, (plus, minus) in ends.items():
                angle = np.degrees(swing.joint_angles[f"{side}_{name}"][-1])
                end = LEG_RANGES[plus if angle >= 0.0 else minus].male
                assert found.pop(f"{side}_{name}") == pytest.approx(abs(angle) / end, rel=1e-9), name
            shin = swing.joint_angles[f"{side}_shin_internal_rotation"][-1]
            low, high = (end[-1] for end in swing.joint_ranges[f"{side}_shin_internal_rotation"])
            assert found.pop(f"{side}_shin_internal_rotation") == pytest.approx(max(shin / high, shin / low), rel=1e-9)
            first, last = np.degrees(swing.joint_angles[f"{side}_knee_flexion"][[0, -1]])
            bent, straightened = last / LEG_RANGES["knee_flexion"].male, (first - last) / first
            assert found.pop(f"{side}_knee_flexion") == pytest.approx(max(bent, straightened), rel=1e-9)
        assert not found and lead.largest_strain[k] == lead.strain[k].max()


@pytest.mark.parametrize("piece", ["hip_turn", "sway", "trail_flex_change", "lead_flex_change"])
def test_strain_never_falls_when_a_joint_runs_into_its_limit(piece: str) -> None:
    """Asked for more and more of a piece, a jammed joint stays at one; so does whatever stops a swing."""
    most = {"hip_turn": 1.5, "sway": 0.2, "trail_flex_change": -0.8, "lead_flex_change": 1.4}[piece]
    found = experiment(Body.from_stature(), Address(), Pieces(**{piece: np.linspace(0.0, most, 15)}))
    by_a_leg = found.swing.limited[:, -1, : len(LEG_LIMITS)].any(axis=-1)
    assert by_a_leg.any() and not by_a_leg.all()
    np.testing.assert_allclose(found.largest_strain[by_a_leg], 1.0, atol=2e-3)
    assert found.largest_strain.max() < 1.0 + 1e-6 and found.strain.min() >= 0.0


def test_a_hip_jammed_by_its_foot_is_strained_most() -> None:
    """A trail foot turned in leaves the trail leg little to turn: it moves least where it is nearest to its end."""
    found = experiment(Body.from_stature(), Address(trail_flare=np.radians([-10.0, 0.0, 20.0, 40.0])), Pieces())
    assert found.largest_strain[0] == pytest.approx(1.0, abs=2e-3) and found.largest_strain[1] > 0.99
    assert found.largest_strain[2] < found.largest_strain[1] and found.largest_strain[3] < 0.9


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


def test_steps_hold_the_head_where_it_is_wanted() -> None:
    head = HeadPlace(toward_target=-0.03, up=0.01)
    found = experiment(Body.from_stature(), Address(lead_flare=FLARES[:2]), Pieces(), head=head)
    moved = found.swing.measures.head_moved[:, -1]
    np.testing.assert_allclose(moved[:, 1:], [[-0.03, 0.01]] * 2, atol=1e-3)
    assert np.all(found.swing.steady_miss[:, -1] < 1e-3)
