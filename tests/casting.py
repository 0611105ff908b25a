"""What a picture of a data set must show, by casting rays at the posed figure: another way to the same labels."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import cv2
import numpy as np
import trimesh
from numpy.typing import NDArray
from trimesh.ray.ray_pyembree import RayMeshIntersector

from turnstill.model.arrays import Array
from turnstill.render.figure.figure import Figure
from turnstill.scenes.dataset.layout.names import sample_key
from turnstill.scenes.dataset.plan.recipe import Recipe
from turnstill.scenes.dataset.plan.subjects import draw_subjects

THIN = ("shaft", "grip")
OWN = {
    "nose": ("head",), "eye": ("head",), "ear": ("head",), "shoulder": ("trunk", "upper_arm"),
    "elbow": ("upper_arm", "forearm"), "wrist": ("forearm", "hand"), "hip": ("trunk", "pelvis", "thigh"),
    "knee": ("thigh", "shank"), "ankle": ("shank", "foot"),
}  # fmt: skip
GIRTH = {
    "shoulder": "biceps_circumference", "elbow": "forearm_circumference", "wrist": "wrist_circumference",
    "knee": "lower_thigh_circumference", "ankle": "ankle_circumference",
}  # fmt: skip


@dataclass(frozen=True)
class Cast:
    """A posed figure to cast rays at.

    Attributes:
        key: of the picture it should be in.
        mesh: the figure, without ball.
        segments: ``(F,)`` id of each face.
        thin: ``(F,)`` whether the face belongs to a shaft or a grip.
    """

    key: str
    mesh: trimesh.Trimesh
    segments: NDArray[np.uint8]
    thin: NDArray[np.bool_]

    @cached_property
    def _caster(self) -> RayMeshIntersector:
        return RayMeshIntersector(self.mesh)

    def hits(self, eye: Array, directions: Array) -> tuple[Array, NDArray[np.intp], NDArray[np.intp]]:
        """Distance, ray and face of every crossing, nearest first."""
        faces, rays, places = self._caster.intersects_id(
            np.tile(eye, (len(directions), 1)), directions, multiple_hits=True, return_locations=True
        )
        away = np.linalg.norm(places - eye, axis=1)
        order = np.argsort(away, kind="stable")
        return away[order], rays[order], faces[order]

    def first(self, eye: Array, directions: Array) -> tuple[Array, NDArray[np.uint8]]:
        """Distance to the first surface on each ray, infinite for none, and its segment's id, 0 for none."""
        away, ids = np.full(len(directions), np.inf), np.zeros(len(directions), np.uint8)
        for distance, ray, face in zip(*self.hits(eye, directions), strict=True):
            if distance < away[ray]:
                away[ray], ids[ray] = distance, self.segments[face]
        return away, ids


def casts(recipe: Recipe) -> Iterator[Cast]:
    """All of a set's, in the order of the archive, drawn and posed anew."""
    for subject in range(recipe.subjects):
        yield from _of_subject(recipe, subject)


def _of_subject(recipe: Recipe, subject: int) -> Iterator[Cast]:
    (drawn,) = draw_subjects(recipe, [subject])
    figure = Figure(drawn.body, drawn.swings[0].swing.skeleton[0], left_handed=drawn.left_handed, look=drawn.look)
    for swing in drawn.swings:
        dressed = figure.dressed(swing.swing.skeleton[0], swing.look)
        thin = np.array([part.name in THIN for part in dressed.parts])[dressed.part_of_face]
        meshes = [
            trimesh.Trimesh(dressed.pose(swing.swing.skeleton[moment]), dressed.faces, process=False)
            for moment in swing.moments
        ]
        for view in swing.views:
            for number, mesh in enumerate(meshes):
                key = sample_key(drawn.number, swing.number, view.view, number)
                yield Cast(key, mesh, dressed.segment_of_face, thin)


def lens(label: dict[str, Any]) -> tuple[Array, Array, Array, Array]:
    """Rotation, place of the eye, K and distortion of a label."""
    camera = label["camera"]
    R, t = np.array(camera["R"]), np.array(camera["t_m"])
    return R, -R.T @ t, np.array(camera["K"]), np.array(camera["distortion"])


def rays_through(label: dict[str, Any], pixels: Array) -> Array:
    """``(N, 3)`` unit directions, world, that are shown at ``(N, 2)`` pixels, by OpenCV's own undistortion."""
    R, _, K, distortion = lens(label)
    flat = cv2.undistortPoints(pixels.reshape(-1, 1, 2).astype(float), K, distortion).reshape(-1, 2)
    ahead = np.c_[flat, np.ones(len(flat))] @ R
    return np.asarray(ahead / np.linalg.norm(ahead, axis=1, keepdims=True))


def seen_by_casting(
    cast: Cast, label: dict[str, Any], names: tuple[str, ...], segment_ids: dict[str, int]
) -> list[int]:
    """v of each keypoint by the rule of docs/dataset_fields.md, on the exact line of sight, not a pixel's middle."""
    R, eye, _, _ = lens(label)
    shape, found = label["body"]["shape_cm"], []
    goals = (np.array(label["keypoints_3d_camera_m"]) - np.array(label["camera"]["t_m"])) @ R
    reach = np.linalg.norm(goals - eye, axis=1)
    away, rays, faces = cast.hits(eye, (goals - eye) / reach[:, None])
    for number, name in enumerate(names):
        side, _, kind = name.rpartition("_")
        half = (
            shape["buttock_depth"] / 200
            if kind == "hip"
            else shape[GIRTH[kind]] / 200 / np.pi
            if kind in GIRTH
            else 0.01
        )
        own = {segment_ids[f"{one}_{side}" if f"{one}_{side}" in segment_ids else one] for one in OWN[kind]}
        before = [(d, f) for d, r, f in zip(away, rays, faces, strict=True) if r == number and not cast.thin[f]]
        if not before:
            found.append(2)
            continue
        distance, face = before[0]
        found.append(2 if cast.segments[face] in own and reach[number] - distance <= 1.5 * half + 0.02 else 1)
    return found
