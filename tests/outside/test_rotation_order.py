"""The order turn, tilt, bend against scipy, and a turn about an inclined axis against its closed form.

Order: rotation, obliquity, tilt, as Baker 2001, Gait Posture 13:1-6 recommends for the pelvis; in scipy's terms
``as_euler("ZXY")`` is (-turn, -tilt, bend). The closed form of a turn by psi about a trunk's own axis, inclined by
phi, follows from equating Ry(phi) Rz(-psi) with Rz(-T) Rx(-S) Ry(F); here it is checked against scipy's rotation
about that axis, and against a table that was computed apart from this project's code.
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from turnstill.model.arrays import Array
from turnstill.model.chain import head, spine
from turnstill.model.golfer.body import Body
from turnstill.model.numeric import rotations

PRINTED = 0.005 + 1e-9
"""Half of the table's last digit, degrees."""


def random_angles(count: int = 2000) -> tuple[Array, Array, Array]:
    rng = np.random.default_rng(11)
    half = np.pi / 2.0
    return (
        rng.uniform(-np.pi, np.pi, count),
        rng.uniform(-0.99 * half, 0.99 * half, count),
        rng.uniform(-3.1, 3.1, count),
    )


def about_inclined_axis(psi: Array, phi: Array) -> Rotation:
    """A trunk bent by phi about +y and turned by psi away from the target about its own axis, by scipy."""
    axis = np.stack([np.sin(phi), np.zeros_like(phi), np.cos(phi)], axis=-1)
    return Rotation.from_rotvec(-psi[..., None] * axis) * Rotation.from_euler("y", phi[..., None])


def test_building_a_frame_is_scipy_s_intrinsic_zxy() -> None:
    turn, tilt, bend = random_angles()
    theirs = Rotation.from_euler("ZXY", np.stack([-turn, -tilt, bend], axis=-1)).as_matrix()
    np.testing.assert_allclose(rotations.from_turn_tilt_bend(turn, tilt, bend), theirs, rtol=0, atol=1e-14)


def test_reading_a_frame_is_scipy_s_as_euler() -> None:
    frames = Rotation.random(2000, rng=np.random.default_rng(12))
    turn, tilt, bend = rotations.to_turn_tilt_bend(frames.as_matrix())
    read = np.stack([-turn, -tilt, bend], axis=-1)
    # Near a tilt of a right angle turn and bend are the same motion, and every order loses digits there.
    far = np.abs(tilt) < np.radians(89.0)
    assert far.sum() > 1900
    np.testing.assert_allclose(read[far], frames.as_euler("ZXY")[far], rtol=0, atol=1e-9)


def test_signs_are_those_of_the_words() -> None:
    """Away from the target is -y, the lead side is +y, forward is +x: right-handed golfer, common usage."""
    ahead, lead, up = np.eye(3)
    turned = rotations.from_turn_tilt_bend(0.3, 0.0, 0.0)
    assert (turned @ ahead)[1] < 0.0
    assert (rotations.from_turn_tilt_bend(0.0, 0.3, 0.0) @ lead)[2] < 0.0
    assert (rotations.from_turn_tilt_bend(0.0, 0.0, 0.3) @ up)[0] > 0.0


def test_turn_about_an_inclined_axis_is_scipy_s() -> None:
    rng = np.random.default_rng(13)
    psi, phi = np.radians(rng.uniform(-170, 170, 20_000)), np.radians(rng.uniform(1, 80, 20_000))
    closed = np.stack(rotations.turn_about_inclined_axis(psi, phi), axis=-1)
    theirs = about_inclined_axis(psi, phi).as_euler("ZXY") * [-1.0, -1.0, 1.0]
    assert np.abs(closed - theirs).max() <= 1e-9


def test_turn_about_an_inclined_axis_obeys_its_identities() -> None:
    """sin S = sin psi sin phi, tan F = tan phi cos psi, and the inclination stays: cos phi = cos S cos F."""
    psi, phi = np.radians(np.meshgrid(np.linspace(-85, 85, 35), np.linspace(1, 80, 20)))
    turn, tilt, bend = rotations.turn_about_inclined_axis(psi, phi)
    np.testing.assert_allclose(np.sin(tilt), np.sin(psi) * np.sin(phi), rtol=0, atol=1e-15)
    np.testing.assert_allclose(np.tan(bend), np.tan(phi) * np.cos(psi), rtol=0, atol=1e-12)
    np.testing.assert_allclose(np.tan(turn), np.tan(psi) * np.cos(phi), rtol=0, atol=1e-12)
    np.testing.assert_allclose(np.cos(tilt) * np.cos(bend), np.cos(phi), rtol=0, atol=1e-15)
    back = np.arctan2(np.sin(turn), np.cos(turn) * np.cos(phi))
    np.testing.assert_allclose(back, psi, rtol=0, atol=1e-12)


# psi: turn, tilt, bend at inclinations 30, 35 and 40, all in degrees, as printed (two digits).
TABLE = {
    0.0: ((0, 0, 30), (0, 0, 35), (0, 0, 40)),
    22.5: ((19.73, 11.03, 28.08), (18.74, 12.68, 32.90), (17.60, 14.24, 37.78)),
    45.0: ((40.89, 20.70, 22.21), (39.32, 23.93, 26.34), (37.45, 27.03, 30.68)),
    67.5: ((64.44, 27.51, 12.46), (63.18, 32.00, 15.00), (61.60, 36.43, 17.80)),
    90.0: ((90, 30, 0), (90, 35, 0), (90, 40, 0)),
    100.0: ((101.51, 29.50, -5.73), (102.15, 34.39, -6.93), (102.96, 39.27, -8.29)),
}


@pytest.mark.parametrize("psi", TABLE)
def test_table_of_turns_about_an_inclined_axis(psi: float) -> None:
    """Printed by a separate computation with scipy's rotations, kept here to its digits."""
    closed = np.stack(rotations.turn_about_inclined_axis(np.radians(psi), np.radians([30.0, 35.0, 40.0])), axis=-1)
    assert np.abs(np.degrees(closed) - TABLE[psi]).max() <= PRINTED


def rigid_head(ribcage: Array, body: Body) -> Array:
    """Centre of a head that sits on a stiff spine and neck above the pelvis, all along one axis, from the model."""
    foot = np.zeros(ribcage.shape[:-1])
    length = np.broadcast_to(body.lengths["spine"], ribcage.shape[:-2])
    column = spine.bend(ribcage, ribcage, foot, length)
    straight = head.Neck.of(body)
    along = head.Neck(straight.neck * [0.0, 0.0, 1.0], straight.head * [0.0, 0.0, 1.0], straight.range)
    return np.asarray(column.centres[..., -1, :] + head.place(ribcage, ribcage, along).from_neck_base)


def test_a_rigid_trunk_turned_about_its_own_axis_leaves_the_head_where_it_is() -> None:
    """The whole trade of bend for tilt: by closed form, frames, spine, neck and head of the model together."""
    body = Body.from_stature(1.756)
    psi, phi = np.radians(np.meshgrid(np.linspace(-60.0, 120.0, 61), [20.0, 30.0, 35.0, 40.0, 50.0]))
    ribcage = rotations.from_turn_tilt_bend(*rotations.turn_about_inclined_axis(psi, phi))
    address = rotations.from_turn_tilt_bend(0.0 * psi, 0.0, phi)
    moved = rigid_head(ribcage, body) - rigid_head(address, body)
    assert np.abs(moved).max() <= 1e-9


@pytest.mark.parametrize(("phi", "turn"), [(35.0, 90.0), (20.0, 45.0), (50.0, 110.0)])
def test_a_trunk_that_keeps_its_bend_and_turns_about_the_vertical_moves_its_top(phi: float, turn: float) -> None:
    """Closed form: L (-sin phi (1 - cos T), -sin phi sin T, 0), of length 2 L sin phi sin(T / 2)."""
    inclined, turned = np.radians(phi), np.radians(turn)
    frames = rotations.from_turn_tilt_bend(np.array([0.0, turned]), 0.0, inclined)
    centres = spine.bend(frames, frames, np.zeros((2, 3)), np.array([0.5, 0.5])).centres[:, -1]
    moved = (centres[1] - centres[0]) / 0.5
    formula = -np.sin(inclined) * np.array([1.0 - np.cos(turned), np.sin(turned), 0.0])
    np.testing.assert_allclose(moved, formula, rtol=0, atol=1e-14)
    assert np.linalg.norm(moved) == pytest.approx(2.0 * np.sin(inclined) * np.sin(turned / 2.0), abs=1e-14)
    if phi == 35.0:  # the printed case
        assert np.abs(moved - [-0.5736, -0.5736, 0.0]).max() <= 0.5e-4
        assert np.linalg.norm(moved) == pytest.approx(0.8112, abs=0.5e-4)


# Pelvis and ribcage each turned about its own inclined axis (turn, inclination), the ribcage read in the pelvis:
# bend-first order flexion / side bend / axial, turn-first order axial / side bend / flexion, and the whole angle.
IN_PELVIS = [
    ((45, 20), (90, 40), (14.43, 14.00, 46.78), (45.0, 20.0, 0.0), 49.03),
    ((45, 20), (90, 35), (10.73, 10.55, 45.99), (45.0, 15.0, 0.0), None),
    ((50, 20), (100, 40), (13.17, 15.19, 51.76), (50.63, 19.68, -3.62), None),
]


@pytest.mark.parametrize(("pelvis", "ribcage", "bend_first", "turn_first", "whole"), IN_PELVIS)
def test_ribcage_in_the_pelvis(
    pelvis: tuple[float, float],
    ribcage: tuple[float, float],
    bend_first: tuple[float, float, float],
    turn_first: tuple[float, float, float],
    whole: float | None,
) -> None:
    """Printed by a separate computation: the same posture reads differently in every order, so orders are named."""
    below, above = (
        rotations.from_turn_tilt_bend(*rotations.turn_about_inclined_axis(*np.radians(pair)))
        for pair in (pelvis, ribcage)
    )
    between = below.T @ above
    first = Rotation.from_matrix(between).as_euler("YXZ", degrees=True) * [1.0, -1.0, -1.0]
    assert np.abs(first - bend_first).max() <= PRINTED
    read = np.degrees(rotations.to_turn_tilt_bend(between))
    assert np.abs(read - turn_first).max() <= PRINTED
    if whole is not None:
        assert np.degrees(np.linalg.norm(rotations.log(between))) == pytest.approx(whole, abs=PRINTED)


def test_rotation_vectors_are_scipy_s() -> None:
    rng = np.random.default_rng(14)
    vectors = rng.standard_normal((2000, 3))
    vectors *= (rng.uniform(0.0, 3.1, 2000) / np.linalg.norm(vectors, axis=1))[:, None]
    vectors[:20] *= np.geomspace(1e-12, 1e-2, 20)[:, None]
    frames = Rotation.from_rotvec(vectors)
    np.testing.assert_allclose(rotations.exp(vectors), frames.as_matrix(), rtol=0, atol=1e-14)
    np.testing.assert_allclose(rotations.log(frames.as_matrix()), vectors, rtol=0, atol=1e-9)
