"""A tape measure for surfaces: girths read off the triangles alone, where a survey would lay the tape."""

from __future__ import annotations

from collections.abc import Callable, Mapping

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csr_array
from scipy.sparse.csgraph import connected_components
from scipy.spatial import ConvexHull

from turnstill.model.arrays import Array
from turnstill.model.chain.skeleton import Skeleton
from turnstill.model.golfer import survey

IntArray = NDArray[np.int64]
UP = np.array([0.0, 0.0, 1.0])


def section(vertices: Array, faces: IntArray, place: Array, normal: Array) -> Array:
    """``(N, 2)`` metres in a plane: where the edges of the triangles cross it."""
    height = (vertices - place) @ normal
    edges = np.concatenate([faces[:, [0, 1]], faces[:, [1, 2]], faces[:, [2, 0]]])
    edges = edges[height[edges[:, 0]] * height[edges[:, 1]] < 0]
    share = (height[edges[:, 0]] / (height[edges[:, 0]] - height[edges[:, 1]]))[:, None]
    crossed = vertices[edges[:, 0]] * (1 - share) + vertices[edges[:, 1]] * share
    across = np.linalg.svd(normal[None])[2][1:]
    return np.asarray((crossed - place) @ across.T)


def tape(vertices: Array, faces: IntArray, place: Array, normal: Array) -> float:
    """Length, metres, of a tape drawn tight round all that a plane cuts."""
    return float(ConvexHull(section(vertices, faces, place, normal)).area)  # of a plane hull: its perimeter


def piece_round(vertices: Array, faces: IntArray, place: Array, normal: Array) -> IntArray:
    """``(N, 3)`` of the triangles that a plane cuts, those joined together whose middle is nearest to a place."""
    height = ((vertices - place) @ normal)[faces]
    cut = faces[(height.min(axis=1) < 0) & (height.max(axis=1) > 0)]
    links = csr_array((np.ones(2 * len(cut)), (cut[:, :2].ravel(), cut[:, 1:].ravel())), shape=(len(vertices),) * 2)
    _, piece = connected_components(links, directed=False)
    middles = {k: vertices[cut[piece[cut[:, 0]] == k]].mean(axis=(0, 1)) for k in np.unique(piece[cut[:, 0]])}
    nearest = min(middles, key=lambda k: float(np.linalg.norm(middles[k] - place)))
    return np.asarray(cut[piece[cut[:, 0]] == nearest])


def landmark(name: str, rest: Skeleton, female: float) -> float:
    """Height above the hips of one of the survey's trunk landmarks, scaled to the body's own trunk."""
    hip, neck = (float(survey.ratio(f"{n}_height", female)) for n in ("trochanterion", "cervicale"))
    own = float(survey.ratio(name, female))
    return (own - hip) / (neck - hip) * float(rest.joints["neck_base"][2])


def girths(
    vertices: Array, faces: IntArray, carried_by: Callable[[str], Array], rest: Skeleton, female: float
) -> Mapping[str, float]:
    """Girths of a surface in its resting posture, metres, by the survey's names.

    Args:
        vertices: ``(V, 3)`` metres.
        faces: ``(F, 3)``.
        carried_by: a word such as ``arm`` to ``(V,)``, what share of each vertex follows such frames.
        rest: the resting skeleton.
        female: 0 or 1.
    """
    joints = rest.joints
    trunk = faces[(carried_by("arm") < 0.5)[faces].all(axis=1)]

    def level(name: str) -> float:
        return tape(vertices, trunk, landmark(name, rest, female) * UP, UP)

    lead = faces[(vertices[:, 1] > 0)[faces].all(axis=1)]
    limb = lead[(carried_by("arm") < 0.5)[lead].all(axis=1)]
    arm = lead[(carried_by("arm") > 0.2)[lead].any(axis=1)]

    def along(of: IntArray, near: str, far: str, share: float) -> float:
        start, run = joints[f"{near}_lead"], joints[f"{far}_lead"] - joints[f"{near}_lead"]
        return tape(vertices, of, start + share * run, run / np.linalg.norm(run))

    def neck() -> float:
        """At its narrowest between shoulders and jaw, the tape across or slanting down to the front.

        The tape goes round the neck alone: a raised arm lifts the shoulder beside a short one.
        """
        base, run = joints["neck_base"], joints["head"] - joints["neck_base"]
        found = []
        for slant in np.radians([-10, 0, 10, 20, 30]):
            normal = np.array([np.sin(slant), 0.0, np.cos(slant)])
            for share in np.linspace(0.1, 0.6, 11):
                place = base + share * run
                found.append(tape(vertices, piece_round(vertices, faces, place, normal), place, normal))
        return min(found)

    def thigh() -> float:
        """Where it first stands free of the other, below the crotch."""
        start, run = joints["hip_lead"], joints["knee_lead"] - joints["hip_lead"]
        normal = run / np.linalg.norm(run)
        low = vertices[:, 2] < start[2]
        middle = vertices[low & (np.abs(vertices[:, 1]) < 0.008)]  # what joins the legs
        for share in np.arange(0.16, 0.5, 0.01):
            if not np.any((middle - start) @ normal > share * np.linalg.norm(run)):
                return tape(vertices, limb, start + share * run, normal)
        raise AssertionError("the thighs never part")

    skull = faces[(carried_by("head") > 0.5)[faces].all(axis=1)]
    crown, nose = joints["vertex"][2], joints["nose"][2]
    return {
        "head_circumference": max(
            tape(vertices, skull, z * UP, UP) for z in np.linspace(nose + 0.03, crown - 0.03, 12)
        ),
        "neck_circumference": neck(),
        "chest_circumference": level("chest_height"),
        "waist_circumference": level("omphalion_height"),
        "buttock_circumference": level("buttock_height"),
        "thigh_circumference": thigh(),
        "lower_thigh_circumference": along(limb, "hip", "knee", 0.86),
        "calf_circumference": max(along(limb, "knee", "ankle", share) for share in (0.2, 0.25, 0.3, 0.35, 0.4)),
        "ankle_circumference": min(along(limb, "knee", "ankle", share) for share in (0.75, 0.8, 0.85, 0.9)),
        "biceps_circumference": along(arm, "shoulder", "elbow", 0.60),
        "forearm_circumference": max(along(arm, "elbow", "wrist", share) for share in (0.1, 0.15, 0.2, 0.25, 0.3)),
        "wrist_circumference": min(along(arm, "elbow", "wrist", share) for share in (0.85, 0.9, 0.95, 0.98)),
    }
