"""Where a swing is filmed from: a coach's two places, and how far off them a tripod stands."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from ....model.arrays import Array
from ....model.films.camera import Camera, down_the_line, face_on
from ....model.swing.swing import Swing
from ...views.names import FACE_ON
from .recipe import Recipe

_FLESH = 0.13
"""m from a joint to the farthest skin, hair or shoe about it (by looking)."""
_OF_THE_FOLD = 0.9
"""How near to where a lens would fold the picture's farthest corner may lie (our choice)."""
_ROUNDS = 4
_ROOM = 0.98
"""Of the picture's half: how near its edge a golfer who is to be whole may come."""


def tripod(recipe: Recipe, view: str, swing: Swing, rng: np.random.Generator) -> tuple[Camera, dict[str, float]]:
    """A camera for all of a swing, and how it differs from a coach's place.

    It turns to the middle of what golfer and club ever take up, and is as long as fills the picture with that.

    Args:
        recipe: how far cameras spread.
        view: of ``VIEW_TITLES``.
        swing: mirrored where the golfer is left-handed; no batch axes.
        rng: source of all that is drawn.

    Returns:
        The camera, and what was drawn, by names with their unit; angles that turn it as the right-hand rule has them
        about up (yaw), the picture's right (pitch) and the way it looks (roll).
    """
    asked = recipe.cameras
    upright = bool(rng.random() < asked.portrait)
    across, along = sorted((recipe.width, recipe.height)) if upright else (recipe.width, recipe.height)
    distance, height, fill = (
        float(rng.uniform(*pair)) for pair in (asked.distance_m, asked.height_off_hands_cm, asked.fill)
    )
    yaw, pitch, roll = (float(rng.uniform(-most, most)) for most in (asked.yaw_deg, asked.pitch_deg, asked.roll_deg))
    aside, above = (float(one) for one in rng.uniform(-asked.off_middle, asked.off_middle, 2))
    k1, cut = float(rng.uniform(*asked.k1)), bool(rng.random() < asked.cut_off)
    if cut:
        fill = float(rng.uniform(1.1, 1.5))
    joints = swing.skeleton.joints
    hands = 0.5 * (joints["wrist_lead"][0] + joints["wrist_trail"][0])
    hands = hands + np.array([0.0, 0.0, max(height / 100.0, 0.15 - float(hands[2]))])
    stature = float(swing.body.stature)
    left = swing.left_handed
    if view == FACE_ON:
        base = face_on(float(hands[2]), across, along, stature_m=stature, distance_m=distance, left_handed=left)
    else:
        base = down_the_line(hands, across, along, stature_m=stature, distance_m=distance, left_handed=left)
    round_golfer = _about(np.array([0.0, 0.0, 1.0]), np.radians(yaw))
    pivot = np.zeros(3) if view == FACE_ON else np.array([hands[0], 0.0, 0.0])
    place = pivot + round_golfer @ (base.position - pivot)
    turned = base.R @ round_golfer.T
    points = np.stack(list(joints.values()), axis=-2).reshape(-1, 3)
    turned = _aimed(turned, place, points)
    turned = (
        _about(np.array([0.0, 0.0, 1.0]), np.radians(roll))
        @ _about(np.array([1.0, 0.0, 0.0]), np.radians(pitch))
        @ turned
    )
    size = np.array([across, along])
    middle = size / 2 - 0.5 + max(across, along) * np.array([aside, above])
    for _ in range(_ROUNDS):  # A weaker lens shows the golfer larger, which wants a shorter one, which wants a weaker.
        focal = _focal(_box(turned, place, points, k1), size, middle, fill, whole=not cut)
        k1 = _unfolded(k1, focal, middle, size)
    K = np.array([[focal, 0.0, middle[0]], [0.0, focal, middle[1]], [0.0, 0.0, 1.0]])
    camera = replace(base, K=K, R=turned, t=-turned @ place, distortion=k1)
    drawn = {
        "distance_m": distance,
        "height_off_hands_cm": height,
        "yaw_deg": yaw,
        "pitch_deg": pitch,
        "roll_deg": roll,
        "aside_share": aside,
        "below_share": above,
        "fill_share": fill,
        "focal_length_mm": focal / max(across, along) * 36.0,
        "k1": k1,
    }
    return camera, drawn


def _focal(box: tuple[Array, Array], size: Array, middle: Array, fill: float, *, whole: bool) -> float:
    """Pixels: as long a lens as fills a share of the picture with what the box holds, per focal length."""
    low, high = box
    focal = fill * float(np.min(size / (high - low)))
    if whole:
        # Off the middle, a golfer who fills the picture would be cut: a shorter lens then.
        room, off = size / 2 * _ROOM, middle - (size / 2 - 0.5)
        for reach, one in ((-low, -off), (high, off)):
            focal = min(focal, float(np.min((room - one) / reach)))
    return focal


def _unfolded(k1: float, focal: float, middle: Array, size: Array) -> float:
    """A distortion no stronger than what shows every ray once, out to the farthest corner of the picture.

    With k1 below 0 the lens takes a ray at r to r (1 + k1 r²), which grows only to r = 1 / sqrt(-3 k1), where it is two
    thirds of that: beyond, the picture would fold back upon itself.
    """
    corners = np.array([[x, y] for x in (-0.5, size[0] - 0.5) for y in (-0.5, size[1] - 0.5)])
    farthest = float(np.linalg.norm(corners - middle, axis=-1).max()) / focal
    return max(k1, -4.0 / 27.0 * (_OF_THE_FOLD / farthest) ** 2)


def _about(axis: Array, angle: float) -> Array:
    """``(3, 3)`` rotation by an angle (rad) about a unit axis, by Rodrigues."""
    x, y, z = axis
    across = np.array([[0.0, -z, y], [z, 0.0, -x], [-y, x, 0.0]])
    return np.asarray(np.eye(3) + np.sin(angle) * across + (1.0 - np.cos(angle)) * across @ across)


def _aimed(world_to_camera: Array, place: Array, points: Array) -> Array:
    """The camera's rotation turned, its right kept level, until the middle of the points is on its axis."""
    turned = world_to_camera
    for _ in range(3):
        low, high = _box(turned, place, points, 0.0)
        ahead = turned.T @ np.array([*(0.5 * (low + high)), 1.0])
        ahead = ahead / np.linalg.norm(ahead)
        right = np.cross(ahead, np.array([0.0, 0.0, 1.0]))
        right = right / np.linalg.norm(right)
        turned = np.stack([right, np.cross(ahead, right), ahead])
    return turned


def _box(world_to_camera: Array, place: Array, points: Array, k1: float) -> tuple[Array, Array]:
    """Least and most of what the points and the flesh about them take up, ``(2,)`` each, per focal length."""
    seen = (points - place) @ world_to_camera.T
    ends = []
    for side in (-1.0, 1.0):
        flat = (seen[:, :2] + side * _FLESH) / seen[:, 2:]
        ends.append(flat * (1.0 + k1 * (flat**2).sum(axis=-1, keepdims=True)))
    both = np.concatenate(ends)
    return both.min(axis=0), both.max(axis=0)
