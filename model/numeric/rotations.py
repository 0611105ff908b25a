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
    c, s, one, zero = np.cos(a), np.sin(a), np.ones_like(a), np.zeros_like(a)
    return matrix([[one, zero, zero], [zero, c, -s], [zero, s, c]])


def about_y(angle: ArrayLike) -> Array:
    """Rotation ``(..., 3, 3)`` by ``angle`` (rad) about y."""
    a = np.asarray(angle, dtype=float)
    c, s, one, zero = np.cos(a), np.sin(a), np.ones_like(a), np.zeros_like(a)
    return matrix([[c, zero, s], [zero, one, zero], [-s, zero, c]])


def about_z(angle: ArrayLike) -> Array:
    """Rotation ``(..., 3, 3)`` by ``angle`` (rad) about z."""
    a = np.asarray(angle, dtype=float)
    c, s, one, zero = np.cos(a), np.sin(a), np.ones_like(a), np.zeros_like(a)
    return matrix([[c, -s, zero], [s, c, zero], [zero, zero, one]])


def from_turn_tilt_bend(turn: ArrayLike, tilt: ArrayLike, bend: ArrayLike) -> Array:
    """Segment_to_world rotation ``(..., 3, 3)`` of a segment turned, tilted and bent, in that order (rad)."""
    turn, tilt = np.asarray(turn, dtype=float), np.asarray(tilt, dtype=float)
    return about_z(-turn) @ about_x(-tilt) @ about_y(bend)


def to_turn_tilt_bend(rotation: Array) -> tuple[Array, Array, Array]:
    """Turn, tilt and bend ``(...)`` rad of ``rotation (..., 3, 3)``; singular at a tilt of a right angle."""
    tilt = np.arcsin(np.clip(-rotation[..., 2, 1], -1.0, 1.0))
    turn = np.arctan2(rotation[..., 0, 1], rotation[..., 1, 1])
    bend = np.arctan2(-rotation[..., 2, 0], rotation[..., 2, 2])
    return turn, tilt, bend


def turn_tilt_bend_axes(turn: Array, tilt: Array) -> Array:
    """World axes ``(..., 3, 3)``, one a column, about which turn, tilt and bend each spin the segment.

    The angular velocity in the world is ``axes @ (turn rate, tilt rate, bend rate)``.
    """
    ct, st, cs, ss = np.cos(turn), np.sin(turn), np.cos(tilt), np.sin(tilt)
    zero = np.zeros_like(ct)
    return matrix([[zero, -ct, st * cs], [zero, st, ct * cs], [zero - 1.0, zero, -ss]])


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


def cross_matrix(v: Array) -> Array:
    """``(..., 3, 3)`` matrix K with ``K w = v x w`` for ``v (..., 3)``."""
    zero = np.zeros_like(v[..., 0])
    x, y, z = v[..., 0], v[..., 1], v[..., 2]
    return matrix([[zero, -z, y], [z, zero, -x], [-y, x, zero]])


def _coefficients(angle: Array) -> tuple[Array, Array, Array]:
    """sin(a)/a, (1 - cos a)/a^2 and (a - sin a)/a^3, exact to rounding down to zero."""
    square = angle * angle
    safe = np.where(angle < _SMALL, 1.0, angle)
    small = angle < _SMALL
    first = np.where(small, 1.0 - square / 6.0, np.sin(safe) / safe)
    second = np.where(small, 0.5 - square / 24.0, 2.0 * (np.sin(safe / 2.0) / safe) ** 2)
    third = np.where(small, 1.0 / 6.0 - square / 120.0, (safe - np.sin(safe)) / safe**3)
    return first, second, third


def _combined(v: Array, straight: Array, across: Array, along: Array) -> Array:
    """``straight I + across K + along v v^T`` with K the cross matrix of ``v``; K^2 is ``v v^T - |v|^2 I``."""
    out = (along[..., None] * v)[..., :, None] * v[..., None, :]
    turned = across[..., None] * v
    x, y, z = turned[..., 0], turned[..., 1], turned[..., 2]
    for i in range(3):
        out[..., i, i] += straight
    out[..., 1, 0] += z
    out[..., 0, 1] -= z
    out[..., 0, 2] += y
    out[..., 2, 0] -= y
    out[..., 2, 1] += x
    out[..., 1, 2] -= x
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
    return _combined(v, 1.0 - quadratic * angle**2, np.full_like(quadratic, -0.5), quadratic)
