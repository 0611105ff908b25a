"""Figures of plain solids, whose pictures are known in closed form, and rays to see them and any other mesh with."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import cv2
import numpy as np
import trimesh

from turnstill.model.arrays import Array
from turnstill.model.films.camera import Camera
from turnstill.render.figure.figure import Posed
from turnstill.render.figure.look import Look

FAR_BALL = np.array([-30.0, 0.0, 1.0])
"""Where the ball is out of the way."""


class PlainFigure:
    """Solids that the stage draws as it draws a golfer, each a part of its own."""

    left_handed, look = False, Look()

    def __init__(self, solids: list[trimesh.Trimesh]) -> None:
        self.parts = [SimpleNamespace(name=f"solid {k}", count=len(one.vertices)) for k, one in enumerate(solids)]
        ends = np.cumsum([0, *(len(one.vertices) for one in solids)])
        self.vertex_ranges = list(zip(ends[:-1].tolist(), ends[1:].tolist(), strict=True))
        self.vertices = np.concatenate([np.asarray(one.vertices, float) for one in solids])
        self.faces = np.concatenate([np.asarray(one.faces) + at for one, at in zip(solids, ends[:-1], strict=True)])
        self.segment_of_face = np.zeros(len(self.faces), np.uint8)
        self.part_of_face = np.repeat(np.arange(len(solids)), [len(one.faces) for one in solids])

    def normals(self, vertices: Array) -> Array:
        return np.asarray(trimesh.Trimesh(vertices, self.faces, process=False).vertex_normals)

    def vertex_colours(self) -> Array:
        return np.full((len(self.vertices), 3), 255, np.uint8)

    def posed(self, ball: Array = FAR_BALL) -> Posed:
        figure: Any = self
        return Posed(figure, self.vertices, np.asarray(ball, float))


def oblique(distance_m: float = 5.5) -> Camera:
    """A camera with nothing special: turned, tilted, rolled, fx and fy apart, centre off the middle."""
    forward = np.array([-0.8, 0.5, -0.15])
    forward /= np.linalg.norm(forward)
    right = np.cross(forward, [0.1, 0.2, 1.0])
    right /= np.linalg.norm(right)
    R = np.stack([right, np.cross(forward, right), forward])
    K = np.array([[1400.0, 0.0, 415.3], [0.0, 1560.0, 251.8], [0.0, 0.0, 1.0]])
    return Camera(K, R, R @ (distance_m * forward - [0.0, 0.0, 1.0]), 720, 600)


def opencv(camera: Camera, points: Array) -> Array:
    """``(N, 2)`` pixels where OpenCV, which shares no code with the camera, sees world points ``(N, 3)``."""
    turn, _ = cv2.Rodrigues(camera.R)
    return np.asarray(cv2.projectPoints(np.asarray(points, float), turn, camera.t, camera.K, np.zeros(5))[0][:, 0])


def rays(camera: Camera, pixels: Array) -> Array:
    """``(N, 3)`` world directions from the camera through picture places ``(N, 2)``, one metre deep."""
    flat = np.concatenate([pixels, np.ones((len(pixels), 1))], axis=1) @ np.linalg.inv(camera.K).T
    return flat @ camera.R


def middles(camera: Camera) -> Array:
    """``(H W, 2)`` the middles of all pixels, row by row."""
    columns, rows = np.meshgrid(np.arange(camera.width), np.arange(camera.height))
    return np.stack([columns.ravel(), rows.ravel()], axis=-1).astype(float)


def first_faces(camera: Camera, pixels: Array, vertices: Array, faces: Array) -> tuple[Array, Array]:
    """What rays meet first, by Möller and Trumbore 1997 (from memory).

    Returns:
        ``(N,)`` the depth, infinite where nothing is met, and ``(N,)`` the triangle, -1 there.
    """
    corners = vertices[faces]
    flat = opencv(camera, vertices)[faces]
    (left, top), (right, bottom) = (flat.min(axis=1) - 0.5).T.copy(), (flat.max(axis=1) + 0.5).T.copy()
    depth, met = np.full(len(pixels), np.inf), np.full(len(pixels), -1)
    for k, (pixel, way) in enumerate(zip(pixels, rays(camera, pixels), strict=True)):
        x, y = pixel
        near = np.flatnonzero((left <= x) & (x <= right) & (top <= y) & (y <= bottom))
        a, e1, e2 = corners[near, 0], corners[near, 1] - corners[near, 0], corners[near, 2] - corners[near, 0]
        p = np.cross(way, e2)
        with np.errstate(divide="ignore", invalid="ignore"):
            inverse = 1 / (e1 * p).sum(axis=1)
            from_a = camera.position - a
            u = (from_a * p).sum(axis=1) * inverse
            q = np.cross(from_a, e1)
            v = (q @ way) * inverse
            t = (e2 * q).sum(axis=1) * inverse
            hit = (u >= 0) & (v >= 0) & (u + v <= 1) & (t > 0)
        if hit.any():
            first = np.flatnonzero(hit)[np.argmin(t[hit])]
            depth[k], met[k] = t[first], near[first]
    return depth, met
