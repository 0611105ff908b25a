"""Labelled, encoded pictures in a shard beside a bare VTK loop that draws the same moments' colours, ids and depth.

Run as ``python tests/benchmarks/dataset.py [RECIPE ...]``. By the clock and on all cores, since that is what one waits
for, and by the time of all processors, which other work on the machine changes less; the two take turns subject by
subject, so that a busy machine slows both. A subject's pictures take in what is made once for it: figure and clothes,
the ground of each tripod, and its part of the swings, which are worked out for sixteen subjects together, as in every
shard of a recipe's own size.
"""

from __future__ import annotations

import os
import sys
import tempfile
import time
from pathlib import Path
from typing import Any

import numpy as np
import pyvista
from vtkmodules.vtkCommonCore import vtkFloatArray, vtkUnsignedCharArray

from turnstill.model.arrays import Array
from turnstill.model.films.camera import Camera
from turnstill.render.figure.figure import Figure, Posed
from turnstill.render.stage.part_ids import part_id_colours
from turnstill.render.stage.stage import Stage
from turnstill.render.stage.vtk_camera import aim, extent
from turnstill.scenes.dataset.layout.archive import ArchiveWriter
from turnstill.scenes.dataset.making.photographs import photographs
from turnstill.scenes.dataset.plan.loading import load_recipe
from turnstill.scenes.dataset.plan.subjects import draw_subjects

SUBJECTS, TOGETHER = 6, 16
SIZES = ((640, 480, 3.0), (1280, 720, 3.5))
"""Width, height, and how many times the bare loop a picture may take."""


class Bare:
    """What VTK alone must do: take points and normals that are ready, draw twice, and hand over all pixels."""

    def __init__(self, figure: Figure, posed: Posed, camera: Camera) -> None:
        self.width, self.height = camera.width, camera.height
        self.colours = self._plotter(figure, posed, camera, lit=True)
        self.ids = self._plotter(figure, posed, camera, lit=False)

    def _plotter(self, figure: Figure, posed: Posed, camera: Camera, *, lit: bool) -> tuple[Any, Any]:
        plotter: Any = pyvista.Plotter(off_screen=True, window_size=[64, 64], lighting="none")
        plotter.render_window.SetMultiSamples(0)
        plotter.set_background("black")
        mesh: Any = pyvista.PolyData.from_regular_faces(posed.vertices.astype(np.float32), figure.faces)
        if lit:
            # As many lights, of the same kinds, as the stage has.
            for kind, strength in (
                ("scene light", 0.62),
                ("headlight", 0.36),
                ("scene light", 0.2),
                ("scene light", 0.34),
            ):
                light = pyvista.Light(light_type=kind, intensity=strength)
                if kind == "scene light":
                    light.position, light.focal_point, light.positional = (3.0, -2.6, 5.0), (0.0, 0.0, 0.8), False
                plotter.add_light(light)
            mesh.point_data["colour"] = figure.vertex_colours()
            mesh.point_data["Normals"] = figure.normals(posed.vertices).astype(np.float32)
            mesh.point_data.active_normals_name = "Normals"
            actor = plotter.add_mesh(mesh, scalars="colour", rgb=True, smooth_shading=False, show_scalar_bar=False)
            actor.prop.interpolation = "Phong"
        else:
            mesh.cell_data["id"] = part_id_colours(figure.part_of_face)
            plotter.add_mesh(mesh, scalars="id", rgb=True, preference="cell", lighting=False, show_scalar_bar=False)
        aim(plotter, camera, extent(camera, posed.vertices).planes)
        return plotter, mesh

    def draw(self, posed: Posed, normals: Any) -> None:
        """One picture."""
        plotter, mesh = self.colours
        mesh.points[:] = posed.vertices
        mesh.point_data["Normals"][:] = normals
        self._read(plotter, mesh)
        plotter, mesh = self.ids
        mesh.points[:] = posed.vertices
        self._read(plotter, mesh)
        depth = vtkFloatArray()
        plotter.render_window.GetZbufferData(0, 0, self.width - 1, self.height - 1, depth)

    def _read(self, plotter: Any, mesh: Any) -> None:
        mesh.Modified()
        plotter.render_window.Render()
        pixels = vtkUnsignedCharArray()
        plotter.render_window.GetRGBACharPixelData(0, 0, self.width - 1, self.height - 1, 0, pixels)

    def close(self) -> None:
        """Close both windows."""
        for plotter, _ in (self.colours, self.ids):
            plotter.close()


def now() -> Array:
    """Seconds by the clock and of all processors."""
    return np.array([time.perf_counter(), time.process_time()])


def bare_seconds(recipe: Any, number: int) -> tuple[Array, int]:
    """How long the bare loop takes for one subject's pictures, and how many they are."""
    (subject,) = draw_subjects(recipe, [number])
    taken, count = np.zeros(2), 0
    figure = Figure(
        subject.body, subject.swings[0].swing.skeleton[0], left_handed=subject.left_handed, look=subject.look
    )
    for swing in subject.swings:
        poses = [Posed.of(figure, swing.swing.skeleton[moment]) for moment in swing.moments]
        normals = [figure.normals(posed.vertices) for posed in poses]
        for view in swing.views:
            bare = Bare(figure, poses[0], view.camera)
            bare.draw(poses[-1], normals[-1])  # The first drawing of a window is slow.
            start = now()
            for posed, unit in zip(poses, normals, strict=True):
                bare.draw(posed, unit)
            taken += now() - start
            count += len(poses)
            bare.close()
    return taken, count


def seconds(recipe: Any, number: int, stage: Stage, archive: ArchiveWriter) -> Array:
    """How long a subject's pictures take, as a shard is written, the subject being drawn."""
    start = now()
    (subject,) = draw_subjects(recipe, [number])
    for photograph in photographs(recipe.seed, subject, stage):
        archive.add(photograph.key, photograph.members)
    return now() - start


def main() -> None:
    """Print the table."""
    names = sys.argv[1:] or ["plain", "phone", "hard"]
    print(f"{os.cpu_count()} cores, Python {sys.version.split()[0]}, numpy {np.__version__}\n")
    print(
        "| recipe | size | a picture, ms | bare VTK, ms | times | by processor time | at most |\n"
        "| --- | --- | ---: | ---: | ---: | ---: | ---: |"
    )
    with Stage() as stage, tempfile.TemporaryDirectory() as folder:
        for name in names:
            for width, height, most in SIZES:
                size = {"width": width, "height": height, "subjects": TOGETHER, "splits": {"train": 1.0}}
                recipe = load_recipe(name).model_copy(update=size)
                start = now()
                draw_subjects(recipe, range(TOGETHER))
                drawn = (now() - start) / TOGETHER
                ours, bare = [], []
                with (Path(folder) / "shard.tar").open("wb") as file, ArchiveWriter(file) as archive:
                    for number in range(SUBJECTS + 1):
                        mine = seconds(recipe, number, stage, archive)
                        theirs, count = bare_seconds(recipe, number)
                        ours.append((drawn + mine) / count)
                        bare.append(theirs / count)
                # The first subject warms up.
                mine, theirs = np.array(ours[1:]), np.array(bare[1:])
                clock, processors = np.median(mine / theirs, axis=0)
                times = f"{1e3 * np.median(mine[:, 0]):.1f} | {1e3 * np.median(theirs[:, 0]):.1f}"
                aim = most if name == "plain" else ""
                print(f"| {name} | {width}x{height} | {times} | {clock:.2f} | {processors:.2f} | {aim} |", flush=True)


if __name__ == "__main__":
    main()
