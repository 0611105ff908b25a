"""Which frames carry each vertex of the surface, and by how much."""

from __future__ import annotations

import numpy as np

from ...model.arrays import Array
from ...model.chain.skeleton import Skeleton
from ..shapes.carriers import smoothstep
from ..shapes.signed_distance import Field, Tube
from ..shapes.solids import IntArray
from .body_shape import Member
from .bones import ARM, BONES, COLLAR_BONES, COLUMN, LEG, NECK, SIDES
from .skinning import Floats
from .smoothing import smoothed, smoothing

MOST_BONES = 4
"""Frames that may carry one vertex: what glTF 2.0 takes in one set of joints."""
SMOOTHINGS = 22
INDEX = {name: k for k, name in enumerate(BONES)}

# Where a joint's bend begins and ends along the limb, metres before and after the joint (assumptions, by looking).
HIP_ZONE, KNEE_ZONE, ANKLE_ZONE, WRIST_ZONE = (0.150, 0.300), (0.085, 0.085), (0.035, 0.03), (0.022, 0.022)
CROTCH_RADII = 0.9
"""How much further down the thigh takes over on the inside, between the legs, in radii of the thigh."""
MIDLINE_M = 0.14
"""Half width of the strip between the legs that follows both."""
FLESH_M = 0.02
"""Lengths about shoulder and elbow are in radii of the upper arm with this much more."""
SHOULDER_ZONE, ELBOW_ZONE = (0.953, 1.767), (1.15, 1.15)
ARMPIT, ON_ARM, GIVE = 1.497, 1.046, 0.315
"""Half width of the stretch, in difference of distances, over which trunk gives way to arm; how far off the arm skin
may lie and still follow it; and the power that lets the trunk give more than the arm. Of some 100 sets of all these
and the next, this one keeps the bone inside and turns no triangle over on bodies of 46 to 80 kg, and one in a thousand
at worst on one of 118 kg."""
SHOULDER_FROM, SHOULDER_WHOLE = 8, 14
"""Flesh begins to follow the collar bones at the height of this centre (T9/10, a little below the shoulder blades) and
at the breastbone, and does so wholly at that one (T3/4, level with the shoulders) and out at the shoulder: a shoulder
that rises toward a chin turned over it squeezes the root of the neck, which needs all of that length to give."""
JAW_M = 0.022
"""Half width of the stretch, in difference of distances, over which neck gives way to head."""


def chain_shares(way: Array, count: int) -> Array:
    """Shares of frames along a joint: smooth bumps, each of which reaches its two neighbours.

    Args:
        way: ``(N,)`` 0 before the joint's zone, 1 past it.
        count: frames past the one before the joint.

    Returns:
        ``(count + 1, N)``, columns adding to one: a quadratic B-spline over evenly spaced frames, its ends clamped.
    """
    # Half a step of each end is spent on the end frames alone, so that bumps stay whole.
    x = np.clip(way, 0, 1) * (count + 1) - 0.5
    apart = np.abs(x - np.arange(-1, count + 2)[:, None])
    bump = np.where(apart < 0.5, 0.75 - apart**2, 0.5 * np.clip(1.5 - apart, 0, None) ** 2)
    shares = bump[1:-1].copy()
    shares[0] += bump[0]
    shares[-1] += bump[-1]
    held: Array = shares / shares.sum(axis=0)
    return held


def skin_weights(vertices: Array, faces: IntArray, body: list[Member], rest: Skeleton) -> tuple[IntArray, Array]:
    """Frames and weights of every vertex.

    Args:
        vertices: ``(V, 3)`` metres, in the resting posture.
        faces: ``(F, 3)`` vertex numbers.
        body: the members the surface was made from.
        rest: the resting skeleton.

    Returns:
        ``(V, 4)`` indices into ``bones.BONES`` and ``(V, 4)`` weights, each row adding to one.
    """
    # Frame by frame, so that all of this runs along memory.
    whole = np.zeros((len(BONES), len(vertices)), np.float32)
    distances = {name: np.full(len(vertices), 1.0) for name in ("trunk", "head", "neck", "arm_lead", "arm_trail")}
    x, y, z = np.ascontiguousarray(vertices.T, np.float32)
    for member in body:
        name = "trunk" if member.name in ("trunk", "shoulders", "bosom") else member.name
        if name in distances:
            distances[name] = np.minimum(distances[name], member.solid.distance(x, y, z))
    whole[[INDEX[name] for name in COLUMN]] = _column(vertices, rest)
    for side in SIDES:
        _shoulder(whole, vertices, rest, side)
    _neck(whole, vertices, rest, distances)
    for side in SIDES:
        _leg(whole, vertices, rest, side, body)
        _arm(whole, vertices, rest, side, body, distances)
    return strongest(smoothed(np.ascontiguousarray(whole.T), smoothing(faces, len(vertices)), SMOOTHINGS))


def _column(vertices: Array, rest: Skeleton) -> Array:
    """``(19, V)`` pelvis and vertebrae by height: each vertebra is whole at its middle."""
    z = rest.spine[:, 2]
    middles = np.concatenate([[z[0] - 0.5 * (z[1] - z[0])], 0.5 * (z[1:] + z[:-1]), [z[-1] + 0.5 * (z[-1] - z[-2])]])
    place = np.interp(vertices[:, 2], middles, np.arange(len(middles)))
    shares: Array = np.clip(1 - np.abs(place - np.arange(len(middles))[:, None]), 0, 1)
    return shares


def _shoulder(whole: Field, vertices: Array, rest: Skeleton, side: str) -> None:
    """What lies over collar bone and shoulder blade goes with the collar bone."""
    inner, shoulder = rest.joints[f"sternoclavicular_{side}"], rest.joints[f"shoulder_{side}"]
    out = (vertices[:, 1] - inner[1]) / (shoulder[1] - inner[1])
    low, high = rest.spine[SHOULDER_FROM, 2], rest.spine[SHOULDER_WHOLE, 2]
    share = smoothstep(out) * smoothstep((vertices[:, 2] - low) / (high - low))
    _take(whole, share, [COLLAR_BONES[side]], np.ones((1, len(vertices))))


def _take(whole: Field, share: Array, names: list[str], shares: Array) -> None:
    """Give ``share (V,)`` of each vertex to frames ``names`` in parts ``shares (n, V)``, in place."""
    whole *= (1 - share).astype(np.float32)
    whole[[INDEX[name] for name in names]] += share * shares


def _hand_on(whole: Field, way: Array, before: str, names: list[str]) -> None:
    """Move the weight that ``before`` has along a joint's frames, in place."""
    moved = np.flatnonzero(whole[INDEX[before]])
    given = chain_shares(way[moved], len(names)) * whole[INDEX[before], moved]
    whole[INDEX[before], moved] = 0
    for name, share in zip([before, *names], given, strict=True):
        whole[INDEX[name], moved] += share


def _way(vertices: Array, joint: Array, direction: Array, zone: tuple[float, float], unit_m: float = 1.0) -> Array:
    return np.clip(((vertices - joint) @ direction / unit_m + zone[0]) / (zone[0] + zone[1]), 0, 1)


def _neck(whole: Field, vertices: Array, rest: Skeleton, distances: dict[str, Array]) -> None:
    base, head = rest.joints["neck_base"], rest.joints["head"]
    run = (head - base) / np.linalg.norm(head - base)
    length = float(np.linalg.norm(head - base))
    way = np.clip(((vertices - base) @ run + 0.01) / (0.62 * length + 0.01), 0, 1)
    jaw = smoothstep(0.5 + (distances["neck"] - distances["head"]) / (2 * JAW_M))
    jaw *= smoothstep((vertices[:, 2] - base[2] + 0.045) / 0.03) * smoothstep(0.5 + (0.03 - distances["head"]) / 0.03)
    way = way + (1 - way) * jaw
    shares = chain_shares(way, len(NECK))
    # What the column has keeps the first share; the rest goes to neck and head.
    rest_share = 1 - shares[0]
    _take(whole, rest_share, list(NECK), shares[1:] / np.maximum(rest_share, 1e-9))


def _radius(body: list[Member], name: str) -> float:
    """Of a limb where it is thickest, metres."""
    return max(
        float(member.solid.rows[:, 2:4].max())
        for member in body
        if isinstance(member.solid, Tube) and member.name == name
    )


def _leg(whole: Field, vertices: Array, rest: Skeleton, side: str, body: list[Member]) -> None:
    hip, knee = rest.joints[f"hip_{side}"], rest.joints[f"knee_{side}"]
    down = (knee - hip) / np.linalg.norm(knee - hip)
    out = 1.0 if side == "lead" else -1.0
    y = out * vertices[:, 1]
    # The hip bends about a line that runs from above the joint outside to below it inside.
    inside = CROTCH_RADII * _radius(body, f"leg_{side}") * (1 - smoothstep(y / abs(hip[1])))
    way = np.clip(((vertices - hip) @ down + HIP_ZONE[0] - inside) / (HIP_ZONE[0] + HIP_ZONE[1]), 0, 1)
    own = smoothstep(0.5 + y / (2 * MIDLINE_M)) * (vertices[:, 2] < hip[2] + 0.2)
    first, second, third = LEG[side]
    shares = chain_shares(way, len(first))
    leg_share = (1 - shares[0]) * own
    _take(whole, leg_share, first, shares[1:] / np.maximum(1 - shares[0], 1e-9))
    _hand_on(whole, _way(vertices, knee, down, KNEE_ZONE), first[-1], second)
    _hand_on(whole, _way(vertices, rest.joints[f"ankle_{side}"], down, ANKLE_ZONE), second[-1], third)


def _arm(
    whole: Field, vertices: Array, rest: Skeleton, side: str, body: list[Member], distances: dict[str, Array]
) -> None:
    shoulder, elbow = rest.joints[f"shoulder_{side}"], rest.joints[f"elbow_{side}"]
    down = (elbow - shoulder) / np.linalg.norm(elbow - shoulder)
    # An arm goes through more than a right angle: skin has to give well beyond the crease, on the arm and on the trunk.
    thick = _radius(body, f"arm_{side}") + FLESH_M
    own = distances[f"arm_{side}"] / thick
    arm = smoothstep(0.5 + (distances["trunk"] / thick - own) / (2 * ARMPIT))
    # Only what lies on the arm follows it: a foot is as far from the trunk as from the arm.
    arm *= smoothstep(1 - own / ON_ARM)
    way = _way(vertices, shoulder, down, SHOULDER_ZONE, thick) * arm**GIVE
    first, second, third = ARM[side]
    shares = chain_shares(way, len(first))
    arm_share = 1 - shares[0]
    _take(whole, arm_share, first, shares[1:] / np.maximum(arm_share, 1e-9))
    _hand_on(whole, _way(vertices, elbow, down, ELBOW_ZONE, thick), first[-1], second)
    _hand_on(whole, _way(vertices, rest.joints[f"wrist_{side}"], down, WRIST_ZONE), second[-1], third)


def strongest(whole: Floats) -> tuple[IntArray, Array]:
    """The four strongest frames of each row and their weights.

    The fifth's weight is taken from all, so that a frame that drops out has come to nought before: weights stay
    continuous over the surface.
    """
    left, here = whole.copy(), np.arange(len(whole))
    order = np.empty((len(whole), MOST_BONES + 1), np.int64)
    values = np.empty((len(whole), MOST_BONES + 1))
    for k in range(MOST_BONES + 1):
        order[:, k] = left.argmax(axis=1)
        values[:, k] = left[here, order[:, k]]
        left[here, order[:, k]] = -1.0
    kept: Array = values[:, :MOST_BONES] - values[:, MOST_BONES:]
    return order[:, :MOST_BONES], kept / kept.sum(axis=1, keepdims=True)
