"""Rotations of the room, the pelvis and the ribcage.

World frame: x toward the ball, y toward the target, z up, right-handed. All angles are radians. Orientations
are read in the order turn, tilt, bend: ``R = Rz(-turn) Rx(-tilt) Ry(bend)``, the rotation-obliquity-tilt order
recommended for the pelvis by Baker (2001), Gait & Posture 13:1-6 (scipy: ``as_euler("ZXY") = (-turn, -tilt,
bend)``). Turn is positive away from the target, tilt with the lead side down, bend forward. Such angles mean
nothing without their order.
"""

from __future__ import annotations

import numpy as np

from ..arrays import Array, ArrayLike
from .vectors import matrix, norm, vector

_SMALL = 1e-4
"""Below this angle the closed forms lose digits and their series (error below 1e-17) take over."""


def about_x(angle: ArrayLike) -> Array:
    """Rotation ``(..., 3, 3)`` by ``angle`` (rad) about x."""
    a = np.asarray(angle, dtype=float)
    c, s = np.cos(a), np.sin(a)
    return matrix([[1.0, 0.0, 0.0], [0.0, c, -s], [0.0, s, c]])


def about_y(angle: ArrayLike) -> Array:
    """Rotation ``(..., 3, 3)`` by ``angle`` (rad) about y."""
    a = np.asarray(angle, dtype=float)
    c, s = np.cos(a), np.sin(a)
    return matrix([[c, 0.0, s], [0.0, 1.0, 0.0], [-s, 0.0, c]])


def about_z(angle: ArrayLike) -> Array:
    """Rotation ``(..., 3, 3)`` by ``angle`` (rad) about z."""
    a = np.asarray(angle, dtype=float)
    c, s = np.cos(a), np.sin(a)
    return matrix([[c, -s, 0.0], [s, c, 0.0], [0.0, 0.0, 1.0]])


def from_turn_tilt_bend(turn: ArrayLike, tilt: ArrayLike, bend: ArrayLike) -> Array:
    """Segment_to_world rotation ``(..., 3, 3)`` of a segment turned, tilted and bent, in that order (rad)."""
    ct, st, cs, ss, cb, sb = (
        wave(np.asarray(angle, dtype=float)) for angle in (turn, tilt, bend) for wave in (np.cos, np.sin)
    )
    across, down = st * ss, ct * ss
    return matrix(
        [
            [ct * cb - across * sb, st * cs, ct * sb + across * cb],
            [-st * cb - down * sb, ct * cs, down * cb - st * sb],
            [-cs * sb, -ss, cs * cb],
        ]
    )


def to_turn_tilt_bend(rotation: Array) -> tuple[Array, Array, Array]:
    """Turn, tilt and bend ``(...)`` rad of ``rotation (..., 3, 3)``; singular at a tilt of a right angle."""
    tilt = np.arcsin((-rotation[..., 2, 1]).clip(-1.0, 1.0))
    turn = np.arctan2(rotation[..., 0, 1], rotation[..., 1, 1])
    bend = np.arctan2(-rotation[..., 2, 0], rotation[..., 2, 2])
    return turn, tilt, bend


def turn_tilt_bend_axes(turn: Array, tilt: Array) -> Array:
    """World axes ``(..., 3, 3)``, one a column, about which turn, tilt and bend each spin the segment.

    The angular velocity in the world is ``axes @ (turn rate, tilt rate, bend rate)``.
    """
    ct, st, cs, ss = np.cos(turn), np.sin(turn), np.cos(tilt), np.sin(tilt)
    return matrix([[0.0, -ct, st * cs], [0.0, st, ct * cs], [-1.0, 0.0, -ss]])


def turn_about_inclined_axis(turn: ArrayLike, inclination: ArrayLike) -> tuple[Array, Array, Array]:
    """What a turn about a trunk's own inclined axis reads as turn, tilt and bend (rad).

    A trunk bent forward by ``inclination`` that turns by ``turn`` about its own long axis trades bend for tilt:
    ``sin S = sin turn sin inclination`` and ``tan F = tan inclination cos turn``. Both follow from equating
    ``Ry(inclination) Rz(-turn)`` with ``Rz(-T) Rx(-S) Ry(F)``.
    """
    psi, phi = np.asarray(turn, dtype=float), np.asarray(inclination, dtype=float)
    world_turn = np.arctan2(np.sin(psi) * np.cos(phi), np.cos(psi))
    tilt = np.arcsin(np.sin(psi) * np.sin(phi))
    bend = np.arctan2(np.sin(phi) * np.cos(psi), np.cos(phi))
    return world_turn, tilt, bend


_CROSS: Array = np.array(
    [[0, 0, 0, 0, 0, -1, 0, 1, 0], [0, 0, 1, 0, 0, 0, -1, 0, 0], [0, -1, 0, 1, 0, 0, 0, 0, 0]], dtype=float
)  # fmt: skip
"""``(3, 9)`` the cross matrices of the three axes, row after row."""


def cross_matrix(v: Array) -> Array:
    """``(..., 3, 3)`` matrix K with ``K w = v x w`` for ``v (..., 3)``."""
    return (v @ _CROSS).reshape(*v.shape, 3)


def _coefficients(angle: Array) -> tuple[Array, Array, Array]:
    """sin(a)/a, (1 - cos a)/a^2 and (a - sin a)/a^3, exact to rounding down to zero."""
    square = angle * angle
    small = angle < _SMALL
    safe = np.where(small, 1.0, angle)
    sine = np.sin(safe)
    first = np.where(small, 1.0 - square / 6.0, sine / safe)
    second = np.where(small, 0.5 - square / 24.0, 2.0 * (np.sin(safe / 2.0) / safe) ** 2)
    third = np.where(small, 1.0 / 6.0 - square / 120.0, (safe - sine) / safe**3)
    return first, second, third


def _combined(v: Array, straight: Array, across: Array | float, along: Array) -> Array:
    """``straight I + across K + along v v^T`` with K the cross matrix of ``v``; K^2 is ``v v^T - |v|^2 I``."""
    out = (along[..., None] * v)[..., :, None] * v[..., None, :]
    out += cross_matrix(np.asarray(across)[..., None] * v)
    diagonal = np.einsum("...ii->...i", out)
    diagonal += straight[..., None]
    return out


def exp(v: Array) -> Array:
    """Rotation ``(..., 3, 3)`` of the rotation vector ``v (..., 3)`` rad (Rodrigues)."""
    angle = norm(v)
    first, second, _ = _coefficients(angle)
    return _combined(v, np.cos(angle), first, second)


def log(rotation: Array) -> Array:
    """Rotation vector ``(..., 3)`` rad of ``rotation (..., 3, 3)``, for angles below pi."""
    axis = vector(
        rotation[..., 2, 1] - rotation[..., 1, 2],
        rotation[..., 0, 2] - rotation[..., 2, 0],
        rotation[..., 1, 0] - rotation[..., 0, 1],
    )
    sine = norm(axis) / 2.0
    cosine = (rotation[..., 0, 0] + rotation[..., 1, 1] + rotation[..., 2, 2] - 1.0) / 2.0
    angle = np.arctan2(sine, cosine)
    ratio = np.where(sine < _SMALL, 1.0 + angle**2 / 6.0, angle / np.where(sine < _SMALL, 1.0, sine))
    return axis * (ratio / 2.0)[..., None]


def left_jacobian(v: Array) -> Array:
    """J ``(..., 3, 3)`` with ``angular velocity = J dv/dt`` for the rotation ``exp(v)``, in its outer frame."""
    first, second, third = _coefficients(norm(v))
    return _combined(v, first, second, third)


def left_jacobian_inverse(v: Array) -> Array:
    """Inverse of ``left_jacobian``, in closed form: I - K/2 + (1/a^2 - (1 + cos a)/(2 a sin a)) K^2."""
    angle = norm(v)
    first, second, _ = _coefficients(angle)
    safe = np.where(angle < _SMALL, 1.0, angle)
    quadratic = np.where(angle < _SMALL, 1.0 / 12.0, (1.0 - first / (2.0 * second)) / safe**2)
    return _combined(v, 1.0 - quadratic * angle**2, -0.5, quadratic)
