"""Films of swings with known faults, as tracks of keypoints: a generator of its own, to judge the reading of films by.

Bodies, addresses and faults are those of `simulated_faults`. Everything between the golfer and the track is written
here and shares nothing with the estimator: tempo, phone cameras and their projection, where eyes and ears are, and
what a detector is off by. Per axis: 1.4 cm that last through the film (half of its variance shared by a segment's
keypoints), 1.0 cm that drifts with a correlation time of 0.25 s, and 0.65 cm that is new in each frame; 2.6 cm
radially in all, at the golfer's own scale in the picture.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
import simulated_faults as swings

from turnstill.model.arrays import Array
from turnstill.model.films.tracks import EXCHANGED, KEYPOINTS, Track
from turnstill.model.golfer.pieces import DEPARTURES, Pieces, Steady
from turnstill.model.swing.simulate import simulate

SEGMENTS = {
    "head": (0, 1, 2, 3, 4), "shoulders": (5, 6), "hips": (11, 12), "left": (7, 9, 13, 15), "right": (8, 10, 14, 16),
}  # fmt: skip
STEPS = 25
WIDTH, HEIGHT = 720, 1280


@dataclass(frozen=True)
class Conditions:
    """How the films are made.

    Attributes:
        yaw, pitch, roll: deg, how far off square cameras stand, at most.
        exact_yaw: deg; if not None, cameras stand off by exactly that, to either side.
        noise: all of it, times this.
        swapped, dropped: shares of frames with left and right exchanged, and of detections lost.
        no_feet: ankles are cut off.
        head_turn: deg the head turns beyond what the neck makes it, at most, by the top.
        apart: two different swings are filmed: pieces apart by this many 2 deg and 0.75 cm (one sd).
        habits: share, at most, of what a detector was seen to do at the top face-on: the lead shoulder 10 cm too high,
            the trail hip 6 cm too low.
        face_dragged: and the whole face 3.4 cm some way, where no face detector has seen it.
        pause: hands start and end the backswing without acceleration.
        rest: s that hands and body rest at the top, at most.
        waggle: the hands are waggled before the takeaway.
        restless: m per axis by which wrists wander besides while the hands are at the top, with a correlation time of
            0.06 s: a detector guesses them there.
        fps: frames a second to choose from.
    """

    yaw: float = 6.0
    pitch: float = 4.0
    roll: float = 2.0
    exact_yaw: float | None = None
    noise: float = 1.0
    swapped: float = 0.0
    dropped: float = 0.0
    no_feet: bool = False
    head_turn: float = 0.0
    apart: float = 0.0
    pause: bool = False
    habits: float = 0.0
    face_dragged: bool = False
    rest: float = 0.0
    waggle: bool = False
    restless: float = 0.0
    fps: tuple[float, ...] = (30.0, 60.0, 120.0)


@dataclass(frozen=True)
class Filmed:
    """``S`` swings on film.

    Attributes:
        faulty: what was done.
        face_on, down_the_line: a track each.
        tops, takeaways: ``(S, 2)`` true frames of the top and of the beginning, face-on and down the line.
        poses: ``(S, STEPS, 17, 3)`` m, world, where the keypoints are from address to the top, of the film's swings.
        cameras: ``(S, 2)`` of dictionaries of what was drawn.
        leaves: ``(S, 2)`` true frames at which the golfer leaves the top: ``tops`` where there is no rest.
    """

    faulty: swings.Faulty
    face_on: list[Track]
    down_the_line: list[Track]
    tops: Array
    takeaways: Array
    cameras: list[dict[str, float]] = field(default_factory=list)
    leaves: Array | None = None


def film(rng: np.random.Generator, faulty: swings.Faulty, how: Conditions = Conditions()) -> Filmed:
    """Both films of each swing."""
    count = len(faulty.departures)
    second = faulty.departures + how.apart * rng.standard_normal(faulty.departures.shape) * np.where(
        swings.IN_CM, 0.75, 2.0
    )
    poses = [
        _poses(rng, faulty, departures, how)
        for departures in ([faulty.departures, second] if how.apart else [faulty.departures])
    ]
    tracks: list[list[Track]] = [[], []]
    tops, starts, leaves = np.empty((3, count, 2))
    cameras = []
    for k in range(count):
        for view in (0, 1):
            fps = float(rng.choice(how.fps))
            progress, after, top, start, leave = _tempo(rng, fps, how)
            world = _played(poses[view if how.apart else 0][k], progress, after)
            pixels, scale, camera = _camera(rng, world, view, how)
            if how.waggle:
                pixels = pixels + _waggle(rng, start, fps, len(pixels)) * scale[..., None]
            if how.restless:
                pixels = pixels + _restless(rng, np.where(after, 0.0, progress), fps, how) * scale[..., None]
            if how.habits and view == 0:
                pixels = pixels + _habits(rng, np.where(after, 1.0, progress), how) * scale[..., None]
            tracks[view].append(_detected(rng, pixels, scale, fps, view, how))
            tops[k, view], starts[k, view], leaves[k, view] = top, start, leave
            cameras.append(camera)
    return Filmed(faulty, tracks[0], tracks[1], tops, starts, cameras, leaves)


def _poses(rng: np.random.Generator, faulty: swings.Faulty, departures: Array, how: Conditions) -> Array:
    """``(S, STEPS, 17, 3)`` keypoints in the world, from address to the top."""
    amount = dict(zip(DEPARTURES, (departures * swings.TO_MODEL).T, strict=True))
    plain = {name: getattr(Pieces(), name) + value for name, value in amount.items() if name not in swings.FAULTS}
    pieces = Pieces(**plain, tilt=Steady(amount["tilt"]), extension=Steady(amount["extension"]))
    swing = simulate(faulty.body, faulty.address, pieces, frames=STEPS)
    joints, head = swing.skeleton.joints, swing.skeleton.frames["head"]
    count = len(departures)
    # The head may turn about its own upright, with the swing.
    turn = np.radians(rng.uniform(-how.head_turn, how.head_turn, count))[:, None] * swing.progress
    c, s, zero, one = np.cos(turn), np.sin(turn), np.zeros_like(turn), np.ones_like(turn)
    head = head @ np.stack([c, -s, zero, s, c, zero, zero, zero, one], axis=-1).reshape(*turn.shape, 3, 3)
    stature = faulty.body.stature[:, None]
    # Of stature (ANSUR's means, and the rest from memory): ears below and behind the head's centre, eyes before it.
    own = 1.0 + 0.04 * rng.standard_normal((count, 1))
    face = {
        "ear": (-0.006, 0.047, -0.010), "eye": (0.049, 0.0185, 0.001),
    }  # fmt: skip
    places = []
    for name in KEYPOINTS:
        side, _, kind = name.rpartition("_")
        lead = {"left": "lead", "right": "trail"}.get(side, "")
        if kind == "nose":
            offset = np.stack(
                [faulty.body.lengths["nose_forward"], 0.0 * faulty.body.stature, -faulty.body.lengths["nose_drop"]],
                axis=-1,
            )
            at = joints["head"] + (head @ offset[:, None, :, None])[..., 0]
        elif kind in face:
            x, y, z = face[kind]
            vector = (
                np.stack(np.broadcast_arrays(x * own, (y if side == "left" else -y) * own, z * own), axis=-1)
                * stature[..., None]
            )
            at = joints["head"] + (head @ vector[..., None])[..., 0]
        else:
            at = joints[f"{kind}_{lead}"]
        places.append(at)
    return np.stack(places, axis=2)


def _tempo(rng: np.random.Generator, fps: float, how: Conditions) -> tuple[Array, Array, float, float, float]:
    """Progress ``(F,)`` of every frame, whether it comes after impact, and the true frames of top, takeaway and of
    leaving the top.
    """
    still, back, down, through = rng.uniform(0.4, 1.2), rng.uniform(0.65, 1.15), rng.uniform(0.22, 0.33), 0.45
    power = rng.uniform(0.8, 1.25)
    offset = rng.uniform(0.0, 1.0 / fps)
    rest = rng.uniform(0.0, how.rest) if how.rest else 0.0
    t = np.arange(int((still + back + rest + down + through + 0.3) * fps)) / fps + offset
    backward = np.clip((t - still) / back, 0.0, 1.0)
    # From rest to rest: 3 u^2 - 2 u^3 of a warped u; or, with a pause at both ends, 10 u^3 - 15 u^4 + 6 u^5.
    u = backward**power
    progress = u**3 * (10.0 - 15.0 * u + 6.0 * u**2) if how.pause else u**2 * (3.0 - 2.0 * u)
    w = np.clip((t - still - back - rest) / down, 0.0, 1.0)
    progress = np.where(w > 0.0, 1.0 - w**2.2, progress)
    v = np.clip((t - still - back - rest - down) / through, 0.0, 1.0)
    progress = np.where(v > 0.0, 1.0 - (1.0 - v) ** 2.2, progress)
    top = still + back - offset
    return progress, v > 0.0, top * fps, (still - offset) * fps, (top + rest) * fps


_WRISTS, _ELBOWS = [9, 10], [7, 8]


def _waggle(rng: np.random.Generator, start: float, fps: float, frames: int) -> Array:
    """``(F, 17, 2)`` m by which hands go to and fro before the takeaway, elbows half as far; over 0.15 s before it."""
    t = (np.arange(frames) - start) / fps
    way, length = rng.uniform(0.0, 2.0 * np.pi), rng.uniform(0.02, 0.07)
    off = length * np.sin(2.0 * np.pi * rng.uniform(0.8, 1.6) * t + rng.uniform(0.0, 2.0 * np.pi))
    off *= np.clip((-0.15 - t) / 0.2, 0.0, 1.0)
    moved = np.zeros((frames, len(KEYPOINTS), 2))
    for points, share in ((_WRISTS, 1.0), (_ELBOWS, 0.5)):
        moved[:, points] = share * off[:, None, None] * np.array([np.cos(way), np.sin(way)])
    return moved


def _restless(rng: np.random.Generator, progress: Array, fps: float, how: Conditions) -> Array:
    """``(F, 17, 2)`` m by which wrists wander at the top, each by itself."""
    keep = np.exp(-1.0 / (0.06 * fps))
    fresh = rng.standard_normal((progress.size, 2, 2))
    walk = fresh.copy()
    for k in range(1, len(walk)):
        walk[k] = keep * walk[k - 1] + np.sqrt(1.0 - keep**2) * fresh[k]
    off = np.zeros((progress.size, len(KEYPOINTS), 2))
    off[:, _WRISTS] = how.restless * walk * np.clip((progress - 0.85) / 0.1, 0.0, 1.0)[:, None, None]
    return off


def _played(poses: Array, progress: Array, after: Array) -> Array:
    """``(F, 17, 3)``: the backswing there, back, and on as its mirror image."""
    at = progress * (len(poses) - 1)
    low = np.minimum(at.astype(int), len(poses) - 2)
    share = (at - low)[:, None, None]
    world = poses[low] * (1.0 - share) + poses[low + 1] * share
    if after.any():
        mirror = world[:, EXCHANGED] * np.array([1.0, -1.0, 1.0])
        # From the address as it is to its mirror image in the first tenth, so that nothing jumps.
        blend = np.where(after, np.clip(progress / 0.1, 0.0, 1.0), 0.0)[:, None, None]
        address = poses[0]
        world = np.where(after[:, None, None], (1.0 - blend) * address + blend * mirror, world)
    return world


def _camera(
    rng: np.random.Generator, world: Array, view: int, how: Conditions
) -> tuple[Array, Array, dict[str, float]]:
    """Pixels ``(F, 17, 2)`` and pixels a metre ``(F, 17)`` of a phone's camera: its own projection."""
    eye, (right, down, ahead), focal, drawn = phone(rng, view, how)
    run = world - eye
    depth = run @ ahead
    pixels = np.stack([run @ right, run @ down], axis=-1) / depth[..., None] * focal
    pixels += np.array([(WIDTH - 1) / 2, (HEIGHT - 1) / 2])
    return pixels, focal / depth, drawn


def phone(rng: np.random.Generator, view: int, how: Conditions) -> tuple[Array, Array, float, dict[str, float]]:
    """A phone's camera: place ``(3,)`` m, right, down and ahead ``(3, 3)``, focal length in pixels, what was drawn."""
    distance, height = rng.uniform(2.5, 5.0), rng.uniform(0.8, 1.6)
    yaw, pitch, roll = (np.radians(rng.uniform(-most, most)) for most in (how.yaw, how.pitch, how.roll))
    if how.exact_yaw is not None:
        yaw = np.radians(how.exact_yaw) * rng.choice([-1.0, 1.0])
    focal = HEIGHT * rng.uniform(0.70, 0.90)
    away = np.array([np.cos(yaw), np.sin(yaw)]) if view == 0 else np.array([np.sin(yaw), -np.cos(yaw)])
    middle = np.array([0.12, 0.0])
    eye = np.append(middle + distance * away, height)
    aim = np.radians(rng.uniform(-2.0, 2.0))
    fx, fy = -away
    ahead = np.array([fx * np.cos(aim) - fy * np.sin(aim), fx * np.sin(aim) + fy * np.cos(aim), 0.0])
    ahead = ahead * np.cos(pitch) + np.array([0.0, 0.0, -np.sin(pitch)])
    right = np.array([ahead[1], -ahead[0], 0.0])
    right /= np.linalg.norm(right)
    down = np.cross(ahead, right)
    right, down = np.cos(roll) * right + np.sin(roll) * down, np.cos(roll) * down - np.sin(roll) * right
    drawn = {"distance": distance, "height": height, "yaw": yaw, "pitch": pitch, "roll": roll, "focal": focal}
    return eye, np.stack([right, down, ahead]), focal, drawn


def _habits(rng: np.random.Generator, progress: Array, how: Conditions) -> Array:
    """``(F, 17, 2)`` m, x right and y down, by which a detector is off face-on, all of it at the top."""
    off = np.zeros((progress.size, len(KEYPOINTS), 2))
    share = how.habits * rng.uniform(0.5, 1.0) * progress**2
    off[:, KEYPOINTS.index("left_shoulder"), 1] = -0.10 * share
    off[:, KEYPOINTS.index("right_hip"), 1] = 0.06 * share
    way = rng.uniform(0.0, 2.0 * np.pi)
    if how.face_dragged:
        off[:, :5] = (0.034 * share)[:, None, None] * np.array([np.cos(way), np.sin(way)])
    return off


def _detected(rng: np.random.Generator, pixels: Array, scale: Array, fps: float, view: int, how: Conditions) -> Track:
    """What a detector makes of it."""
    frames, points, _ = pixels.shape
    lasting = rng.standard_normal((points, 2)) * 0.014 / np.sqrt(2.0)
    for segment in SEGMENTS.values():
        lasting[list(segment)] += rng.standard_normal(2) * 0.014 / np.sqrt(2.0)
    keep = np.exp(-1.0 / (0.25 * fps))
    drift = np.empty_like(pixels)
    drift[0] = rng.standard_normal((points, 2))
    fresh = rng.standard_normal(pixels.shape) * np.sqrt(1.0 - keep**2)
    for k in range(1, frames):
        drift[k] = keep * drift[k - 1] + fresh[k]
    off = lasting + 0.010 * drift + 0.0065 * rng.standard_normal(pixels.shape)
    seen = pixels + how.noise * off * scale[..., None]
    confidence = rng.uniform(0.6, 1.0, (frames, points))
    if view == 1:  # The far side of the face is hidden.
        seen[:, [KEYPOINTS.index("left_ear"), KEYPOINTS.index("left_eye")]] = np.nan
    if how.swapped:
        # In runs of some frames, as detectors do.
        state = np.zeros(frames, dtype=bool)
        leave, length = 1.0 / 4.0, how.swapped / (1.0 - how.swapped) / 4.0
        for k in range(frames):
            before = state[k - 1] if k else rng.random() < how.swapped
            state[k] = rng.random() >= leave if before else rng.random() < length
        seen[state] = seen[state][:, EXCHANGED]
    if how.dropped:
        seen[rng.random((frames, points)) < how.dropped] = np.nan
    if how.no_feet:
        seen[:, [KEYPOINTS.index("left_ankle"), KEYPOINTS.index("right_ankle")]] = np.nan
    confidence = np.where(np.isfinite(seen).all(axis=-1), confidence, 0.0)
    return Track(seen, confidence, WIDTH, HEIGHT, fps)
