"""The top of a simulated backswing against what research papers measured on golfers.

Samples are small and methods differ (two- and three-dimensional shoulder-to-pelvis turns differ by 16 degrees in Smith
et al. 2016, J Appl Biomech 32:23-31), so these are bands to lie in, not values to hit.
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from turnstill.model import Address, Body, Pieces, Swing
from turnstill.model.arrays import Array
from turnstill.model.swing.simulate import simulate


@pytest.fixture(scope="module")
def golfers() -> Body:
    """Forty people drawn from the survey, after an average man and an average woman."""
    drawn, average = Body.draw(np.random.default_rng(41), 40), Body.from_stature([1.756, 1.629], [80, 68], [0, 1])

    def joined(name: str) -> dict[str, Array]:
        ours, theirs = getattr(average, name), getattr(drawn, name)
        return {key: np.concatenate([value, theirs[key]]) for key, value in ours.items()}

    return Body(
        np.concatenate([average.stature, drawn.stature]),
        np.concatenate([average.mass, drawn.mass]),
        np.concatenate([average.female, drawn.female]),
        joined("lengths"),
        joined("ranges"),
        joined("shape"),
    )


@pytest.fixture(scope="module")
def fifty(golfers: Body) -> Swing:
    """Default address, fifty degrees of hip turn, everything else the centred default."""
    return simulate(golfers, Address(), Pieces(hip_turn=np.radians(50.0)), frames=11)


def test_hips_at_the_top_are_turned_as_published(fifty: Swing) -> None:
    """Hara et al. 2015 (ISTA, Orthop Proc 98-B Supp 8, abstract): at the top the lead hip is 26 (sd 11) degrees
    externally and the trail hip 24 (19) internally rotated; ten replaced hips, eight right-handed golfers."""
    assert np.degrees(fifty.achieved["hip_turn"][:, -1]) == pytest.approx(50.0, abs=0.1)
    lead = np.degrees(fifty.joint_angles["lead_hip_external_rotation"][:, -1])
    trail = -np.degrees(fifty.joint_angles["trail_hip_external_rotation"][:, -1])
    assert np.all(np.abs(lead - 26.0) <= 2.0 * 11.0)
    assert np.all(np.abs(trail - 24.0) <= 2.0 * 19.0)
    # Nearer than the samples' spread asks: the lead hip out, the trail hip in, and neither near a replaced hip's end.
    assert np.all(lead > 0.0)
    assert np.all(trail > 0.0)


def test_hips_use_less_than_their_range_in_a_whole_swing(fifty: Swing) -> None:
    """About 50 degrees of axial range in both hips over a whole swing, Hara et al. 2016 (Am J Sports Med 44:1801-9,
    abstract); the backswing alone cannot use more."""
    for side in ("lead", "trail"):
        angle = np.degrees(fifty.joint_angles[f"{side}_hip_external_rotation"])
        used = np.ptp(angle, axis=-1)
        assert np.all((used > 10.0) & (used < 50.0))


def plan_turn(swing: Swing, lead: str, trail: str) -> Array:
    """Turn away from the target ``(..., M)`` deg of the line between two joints, seen from above."""
    line = swing.skeleton.joints[lead] - swing.skeleton.joints[trail]
    return np.degrees(np.arctan2(line[..., 0], line[..., 1]))


def test_shoulders_turn_more_than_the_pelvis_by_what_is_published(golfers: Body, fifty: Swing) -> None:
    """32 (McTeigue et al. 1994, Science and Golf II, 50-58, from memory) to 60 (Zheng et al. 2008, Int J Sports Med
    29:487-493, abstract) degrees, read off the joints as a camera above would, for hip turns of 45 and 50."""
    for swing in (fifty, simulate(golfers, Address(), Pieces(), frames=2)):
        between = plan_turn(swing, "shoulder_lead", "shoulder_trail") - plan_turn(swing, "hip_lead", "hip_trail")
        assert np.all(between[:, -1] >= 32.0)
        assert np.all(between[:, -1] <= 60.0)
        assert np.abs(between[:, 0]).max() < 5.0


def test_shoulders_reach_ninety_degrees(fifty: Swing) -> None:
    """More than 90 degrees in eight low-handicap golfers, Burden et al. 1998, J Sports Sci 16:165-176, abstract; 87
    in tour professionals, McTeigue et al. 1994 (from memory). Asked for 90, nearly everybody's joints make 87;
    the arms move the line between the joints by some tenths beyond the girdle's 90."""
    turned = plan_turn(fifty, "shoulder_lead", "shoulder_trail")[:, -1]
    assert np.mean(turned >= 87.0) >= 0.9
    assert turned.max() <= 90.5


def test_spines_do_not_turn_beyond_what_spines_do(fifty: Swing) -> None:
    """Thoracic 24.9 (sd 4.9; Fujimori et al. 2012, Spine 37:E1318-28) and lumbar 7 (Troke et al. 2005, Man Ther
    10:198-206) degrees to one side, plus three sd: the rest of the shoulders' turn is not made between vertebrae.
    Single lumbar levels make 1.2 to 1.7 degrees when the trunk turns by 45 (Fujii et al. 2007, Eur Spine J
    16:1867-74, abstract, ten volunteers); ours about as much, half or double at the most."""
    whole = np.degrees(fifty.joint_angles["trunk_rotation"][:, -1])
    assert whole.max() <= 24.9 + 7.0 + 3.0 * 4.9
    frames = fifty.skeleton.spine_frames[:, -1]
    below = np.concatenate([fifty.skeleton.frames["pelvis"][:, None, -1], frames[:, :16]], axis=1)
    levels = Rotation.from_matrix((np.swapaxes(below, -1, -2) @ frames[:, :17]).reshape(-1, 3, 3)).as_rotvec()
    turned = -np.degrees(levels[:, 2].reshape(-1, 17))
    assert np.all((turned[:, :5] > 0.6) & (turned[:, :5] < 3.4))
    assert np.all(turned > 0.0)
    assert np.all(turned[:, 5:].sum(axis=1) > 2.0 * turned[:, :5].sum(axis=1)), "the chest turns more than the loins"


def test_pelvis_stands_a_little_behind_the_ankles_at_address(golfers: Body) -> None:
    """One to twelve centimetres: common practice, no source. Balance decides it, not the asking."""
    swing = simulate(golfers, Address(), Pieces(), frames=2)
    ankles = 0.5 * (swing.skeleton.joints["ankle_lead"] + swing.skeleton.joints["ankle_trail"])
    behind = (ankles - swing.skeleton.joints["pelvis"])[:, 0, 0]
    assert np.all((behind >= 0.01) & (behind <= 0.12))


def test_a_centred_turn_keeps_its_inclination(golfers: Body) -> None:
    """Common practice, no source: a still head and an unchanged inclination go together (three degrees: our choice).
    The same turn without tilt and extension loses it down the line, so this is not given by the turn."""
    centred = simulate(golfers, Address(), Pieces(), frames=11)
    flat = simulate(golfers, Address(), Pieces(tilt=0.0, extension=0.0), frames=11)
    for name in ("inclination", "inclination_down_the_line"):
        changes = []
        for swing in (centred, flat):
            angle = np.degrees(getattr(swing.measures, name))
            changes.append(np.abs(angle - angle[:, :1]).max(axis=-1))
        assert np.all(changes[0] <= 3.0), name
    assert changes[1].min() > 8.0 > changes[0].max()
