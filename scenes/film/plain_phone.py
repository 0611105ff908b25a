"""Where a phone stands that films a swing for somebody: near the coach's two places, never quite square or level."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ...model.arrays import Array
from ...model.errors import TurnstillError
from ...model.films import phone_camera
from ...model.films.camera import Camera
from ...model.swing.swing import Swing
from ..views.names import DOWN_THE_LINE, FACE_ON

DISTANCE_M = (2.5, 5.0)
HEIGHT_M = (0.8, 1.6)
YAW_DEG, PITCH_DEG, ROLL_DEG = 6.0, 4.0, 2.0
"""Off square, down or up, and turned, at most and to either side (assumptions, as are distance and height)."""
FOCAL = (0.7, 0.9)
"""Focal lengths of phones, in longer sides of the picture (from memory)."""
BESIDE_DEG = 2.0
"""How far the golfer's middle is off the picture's, at most, seen from the phone."""
ROOM = 0.02
"""Of the picture's shorter side that stays free about the golfer's joints."""
FLESH_M = 0.10
"""From a joint to the farthest skin, hair or shoe about it (by looking)."""
TRIES = 400
NUMBER = {FACE_ON: 0, DOWN_THE_LINE: 1}
"""Views as `phone_camera` counts them."""


@dataclass(frozen=True)
class Phone:
    """One drawn place.

    Attributes:
        camera: for the golfer as filmed, a left-hander too.
        distance_m: from the middle between the feet.
        height_m: above the ground.
        off_square_deg: face-on toward the target, down the line toward the ball.
    """

    camera: Camera
    distance_m: float
    height_m: float
    off_square_deg: float


def drawn_phone(rng: np.random.Generator, swing: Swing, view: str, size: tuple[int, int]) -> Phone:
    """A place from which the whole golfer is in the picture at every moment, and at address club and ball as well.

    Args:
        rng: source of all that is drawn.
        swing: mirrored where the golfer is left-handed; no batch axes.
        view: face-on or down the line.
        size: width and height, pixels.

    Raises:
        TurnstillError: a picture of that shape shows no whole golfer from any such place.
    """
    number, flip = NUMBER[view], -1.0 if swing.left_handed else 1.0
    joints = swing.skeleton.joints
    body = np.stack([np.asarray(place) for name, place in joints.items() if name not in ("clubhead", "ball", "grip")])
    points = np.concatenate([body.reshape(-1, 3), [joints["clubhead"][0], joints["ball"][0]]]) * [1.0, flip, 1.0]
    # Down the line a phone looks between golfer and ball.
    aside = 0.5 * float(joints["ball"][0][0]) if view == DOWN_THE_LINE else 0.0
    for _ in range(TRIES):
        plain = _drawn(rng, aside)
        camera = phone_camera.camera(phone_camera.counted(plain), number, *size)
        if _holds(camera, points):
            own = _mirrored(camera) if swing.left_handed else camera
            return Phone(own, plain["distance"], plain["height"], float(np.degrees(plain["azimuth"])))
    raise TurnstillError(
        f"In a picture of {size[0]}x{size[1]} no phone {DISTANCE_M[0]:g} to {DISTANCE_M[1]:g} m away has the whole "
        "golfer; give a --size such as 720x1280."
    )


def _drawn(rng: np.random.Generator, aside: float) -> dict[str, float]:
    """All numbers of a camera that looks at a place ``aside`` (m) of the golfer's axis, toward the ball."""
    distance = float(rng.uniform(*DISTANCE_M))
    azimuth, pitch, roll, beside = (
        float(np.radians(rng.uniform(-most, most))) for most in (YAW_DEG, PITCH_DEG, ROLL_DEG, BESIDE_DEG)
    )
    return {
        "focal": float(rng.uniform(*FOCAL)),
        "distance": distance,
        "azimuth": azimuth,
        "height": float(rng.uniform(*HEIGHT_M)),
        # Seen from behind the golfer the ball is at the right, and pan counts to the left.
        "pan": beside - float(np.arctan2(aside, distance)),
        "pitch": pitch,
        "roll": roll,
    }


def _holds(camera: Camera, points: Array) -> bool:
    room = ROOM * min(camera.width, camera.height) + FLESH_M * camera.K[0, 0] / camera.depth(points)[:, None]
    seen, size = camera.project(points), np.array([camera.width, camera.height])
    return bool(np.all((seen >= room) & (seen <= size - 1.0 - room)))


def _mirrored(camera: Camera) -> Camera:
    """The camera that sees a golfer mirrored at y = 0 as the mirror image of what this one sees."""
    flipped = np.array([-1.0, 1.0, 1.0])
    K = camera.K.copy()
    K[0, 2] = camera.width - 1.0 - K[0, 2]
    return Camera(K, flipped[:, None] * camera.R * [1.0, -1.0, 1.0], flipped * camera.t, camera.width, camera.height)
