"""From the top on to impact and past it: how a golfer stands at the ball, and when each piece goes there."""

from __future__ import annotations

import numpy as np
import pytest

from turnstill.model import Address, Body, Pieces, Steady, simulate
from turnstill.model.arrays import Array
from turnstill.model.chain.delivery import release
from turnstill.model.chain.lie import Held
from turnstill.model.chain.turning import Axis
from turnstill.model.golfer.head_place import HeadPlace
from turnstill.model.golfer.impact import (
    EARLY,
    GIVEN_BACK_BY,
    LEVEL_PAST,
    Impact,
    centred_at_impact,
    given_back,
    pace_at_impact,
    share_of_way,
)  # fmt: skip
from turnstill.model.swing.phases import Phases

COUNT = 250
ARMS = ["grip", "clubhead"] + [
    f"{joint}_{side}" for joint in ("sternoclavicular", "shoulder", "elbow", "wrist") for side in ("lead", "trail")
]


def test_a_centred_golfer_meets_the_ball_with_the_head_held_and_the_hands_ahead() -> None:
    ahead, hinge = 0.037, np.radians(11.0)
    swing = simulate(Body.from_stature(), Address(), Pieces(), impact=Impact(hands_ahead=ahead, wrist_hinge=hinge))
    ball = int(np.searchsorted(swing.progress, 2.0))
    at = {name: place[ball] for name, place in swing.skeleton.joints.items()}
    np.testing.assert_allclose(at["clubhead"], at["ball"], atol=1e-9)
    assert at["grip"][1] - at["ball"][1] == pytest.approx(ahead, abs=1e-9)
    assert abs(swing.measures.head_moved[:, 1:]).max() < 5e-4, "steady to its own weights"
    for name, asked in {"hip_turn": -40.0, "shoulder_turn": -25.0, "lead_flex_change": -5.0}.items():
        assert np.degrees(swing.achieved[name][ball]) == pytest.approx(asked, abs=0.1), name
    assert 100.0 * swing.achieved["sway"][ball] == pytest.approx(-8.0, abs=0.1)
    shaft = at["clubhead"] - at["grip"]
    end = {name: place[-1] for name, place in swing.skeleton.joints.items()}
    past = end["clubhead"] - end["grip"]
    assert shaft[2] < -0.7 and abs(np.degrees(np.arcsin(past[2] / np.linalg.norm(past)))) < 6.0, "level past the ball"
    assert past[1] > 0.0


def test_what_holds_the_head_at_impact_is_tilt_to_the_trail_side_and_extension() -> None:
    """Tried before the model was built, on flat feet: 28 and 15 degrees; hips toward the ball and hands are ours.

    A trail heel that is up lifts the trail hip, so that holding the head takes more tilt.
    """
    flat = centred_at_impact().replace(trail_heel_rise=0.0, trail_flex_change=np.radians(8.0))
    swing, usual = (
        simulate(Body.from_stature(), Address(), Pieces(), frames=3, impact=one) for one in (Impact(flat), Impact())
    )
    ball = 3
    assert swing.progress[ball] == 2.0
    assert np.degrees(swing.steady["tilt"][ball]) == pytest.approx(-28.0, abs=4.0)
    assert np.degrees(swing.steady["extension"][ball]) == pytest.approx(15.0, abs=3.0)
    assert usual.steady["tilt"][ball] < swing.steady["tilt"][ball] - np.radians(1.0)
    assert usual.achieved["belt_line_tilt"][ball] > swing.achieved["belt_line_tilt"][ball] + np.radians(1.0)
    assert not usual.limited[ball].any()


def test_the_head_is_held_where_it_is_wanted() -> None:
    top, there = HeadPlace(toward_target=0.01, up=-0.02), HeadPlace(toward_target=-0.03, up=0.005)
    swing = simulate(Body.from_stature(), Address(), Pieces(), frames=11, impact=Impact(head=there), head=top)
    moved = swing.measures.head_moved
    np.testing.assert_allclose(moved[10, 1:], [0.01, -0.02], atol=5e-4)
    np.testing.assert_allclose(moved[15, 1:], [-0.03, 0.005], atol=5e-4)
    np.testing.assert_allclose(moved[:, 1:], swing.head_wanted[:, 1:], atol=5e-4)
    np.testing.assert_allclose(swing.head_wanted[5], [0.0, 0.005, -0.01], atol=1e-12)


def test_a_number_at_impact_is_that_number_and_a_departure_that_much_more() -> None:
    pieces = centred_at_impact().replace(tilt=np.radians(-20.0), extension=Steady(np.radians(6.0)), hip_turn=-0.5)
    swing = simulate(Body.from_stature(), Address(), Pieces(tilt=Steady(0.1)), frames=5, impact=Impact(pieces))
    ball = 6
    assert swing.progress[ball] == 2.0
    assert np.degrees(swing.asked["tilt"][ball]) == pytest.approx(-20.0, abs=1e-9)
    assert swing.asked["extension"][ball] - swing.steady["extension"][ball] == pytest.approx(np.radians(6.0), abs=1e-12)
    assert swing.asked["hip_turn"][ball] == pytest.approx(-0.5, abs=1e-12)
    assert swing.asked["tilt"][4] - swing.steady["tilt"][4] == pytest.approx(0.1, abs=1e-12), "the top is the top"


def test_extension_over_steady_takes_the_head_away_from_where_the_chest_faces() -> None:
    """So it goes toward the target while the shoulders are still turned away, and away from it at impact: why the head
    of who stands up goes out and back on the way down (docs/strike.md), however many moments there are."""
    body, there, farthest = Body.from_stature(), centred_at_impact(), []
    for frames in (41, 201):
        usual, over = (
            simulate(body, Address(), Pieces(), frames=frames, impact=Impact(there.replace(extension=given)))
            for given in (Steady(), Steady(np.radians(5.0)))
        )
        down = slice(usual.at_top + 2, usual.at_impact + 1)
        moved = (over.measures.head_moved - usual.measures.head_moved)[down, :2]
        faces = usual.skeleton.frames["ribcage"][down, :2, 0]
        along = (moved * faces).sum(axis=-1) / np.linalg.norm(moved, axis=-1) / np.linalg.norm(faces, axis=-1)
        assert along.max() < -np.cos(np.radians(10.0))
        assert moved[:, 1].max() > 0.01 and moved[-1, 1] < -0.015
        farthest.append(moved[:, 1].max())
    assert farthest[0] == pytest.approx(farthest[1], abs=1e-4)


@pytest.mark.parametrize("piece", EARLY)
def test_each_piece_rises_from_top_to_impact_and_on(piece: str) -> None:
    way = np.linspace(0.0, LEVEL_PAST, 2001)
    share = share_of_way(piece, way)
    assert share[0] == 0.0 and share_of_way(piece, np.array(1.0)) == pytest.approx(1.0, abs=1e-15)
    assert np.diff(share).min() >= 0.0 and np.diff(share[share > 0.0]).min() > 0.0 and share[-1] > 1.0
    step = 1e-5
    slope = (share_of_way(piece, np.array(1.0 + step)) - share_of_way(piece, np.array(1.0 - step))) / (2 * step)
    assert pace_at_impact(piece) == pytest.approx(float(slope), rel=1e-8)


def test_the_trail_heel_stays_down_till_the_hips_are_square_and_comes_up_through_impact() -> None:
    """As it is told at impact, and on past it; address and top, the lead heel and what is told nothing stay down."""
    body = Body.from_stature()
    swing = simulate(body, Address(), Pieces(), frames=101, impact=Impact())
    heel, hips = swing.skeleton.joints["heel_trail"][:, 2], swing.achieved["hip_turn"]
    assert np.abs(heel[: swing.at_top + 1]).max() < 1e-12
    assert heel[swing.at_impact] == pytest.approx(0.025, abs=1e-9) and heel[-1] > 0.04
    assert np.diff(heel[swing.at_top :]).min() > -1e-12
    leaves = int(np.argmax(heel > 1e-6))
    assert abs(np.degrees(hips[leaves])) < 5.0
    np.testing.assert_allclose(swing.achieved["trail_heel_rise"], heel, atol=1e-12)
    for told in (0.0, 0.05):
        other = simulate(
            body, Address(), Pieces(), frames=21, impact=Impact(centred_at_impact().replace(trail_heel_rise=told))
        )
        rise = other.skeleton.joints["heel_trail"][:, 2]
        assert rise[other.at_impact] == pytest.approx(told, abs=1e-9)
        assert rise[-1] == pytest.approx(heel[-1] * told / 0.025)
        assert np.abs(other.skeleton.joints["heel_lead"][:, 2]).max() < 1e-12


def test_heels_that_are_up_at_the_top_are_down_before_the_ball_and_up_again_as_they_are_told() -> None:
    pieces = Pieces(lead_heel_rise=0.04, trail_heel_rise=0.02)
    told = centred_at_impact().replace(lead_heel_rise=0.01, trail_heel_rise=0.035)
    swing = simulate(Body.from_stature(), Address(), pieces, frames=201, impact=Impact(told))
    lead, trail = (swing.skeleton.joints[f"heel_{side}"][:, 2] for side in ("lead", "trail"))
    assert (lead[swing.at_top], trail[swing.at_top]) == pytest.approx((0.04, 0.02), abs=1e-9)
    assert (lead[swing.at_impact], trail[swing.at_impact]) == pytest.approx((0.01, 0.035), abs=1e-9)
    assert lead.min() > -1e-12 and trail.min() > -1e-12 and np.abs(lead[swing.at_impact :] - 0.01).max() < 1e-9


def test_hips_lead_shoulders_and_shoulders_lead_hands() -> None:
    for way in (0.3, 0.5, 0.8):
        hips, shoulders, heel = (
            share_of_way(name, np.array(way)) for name in ("hip_turn", "shoulder_turn", "trail_heel_rise")
        )
        assert hips > shoulders > release(np.array(way)) and hips > heel, way


def test_what_was_off_is_given_back_before_the_ball_and_smoothly() -> None:
    way = np.linspace(0.0, 1.2, 1201)
    share = given_back(way)
    assert share[0] == 0.0 and np.all(share[way >= GIVEN_BACK_BY] == 1.0) and np.diff(share).min() >= 0.0
    assert np.abs(np.diff(share, 2)).max() < 2e-5, "no corner"


def test_moments_are_half_as_many_to_impact_and_past_it() -> None:
    phases = Phases.of(41, through_impact=True)
    assert phases.progress.size == 81 and phases.at_top == 40
    assert phases.progress[60] == 2.0 and phases.way[60] == 1.0 and phases.way[-1] == pytest.approx(LEVEL_PAST)
    assert np.all(phases.way[:41] == 0.0) and np.all(phases.up[40:] == 1.0)


def test_a_pose_about_an_axis_is_told_and_taken_again() -> None:
    rng = np.random.default_rng(95)

    def directions(count: int) -> Array:
        v = rng.normal(size=(count, 3))
        return np.asarray(v / np.linalg.norm(v, axis=-1, keepdims=True))

    axis = Axis.near(directions(200), directions(200))
    arm, shaft, palms = (directions(200) for _ in range(3))
    palms = palms - (palms * shaft).sum(axis=-1, keepdims=True) * shaft
    palms = palms / np.linalg.norm(palms, axis=-1, keepdims=True)
    pose = axis.pose(arm, Held(shaft, palms, np.cross(palms, shaft)), palms_near=7.0)
    assert np.abs(pose.palms - 7.0).max() <= np.pi
    again, club = axis.directions(pose)
    for told, taken in ((arm, again), (shaft, club.shaft), (palms, club.palms)):
        np.testing.assert_allclose(taken, told, atol=1e-9)
