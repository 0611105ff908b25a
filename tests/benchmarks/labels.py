"""Part ids and depth of new moments beside a bare VTK loop on the same mesh and size.

Run as ``python tests/benchmarks/labels.py``. On all cores and by the clock, since that is what one waits for; the loops
take turns moment by moment, so that a busy machine slows all of them.
"""

from __future__ import annotations

import os
import statistics
import sys
import time
from collections.abc import Callable

import numpy as np
import pyvista
from vtkmodules.vtkCommonCore import vtkFloatArray, vtkUnsignedCharArray

from turnstill.model.films.camera import face_on
from turnstill.render.figure.figure import Figure, Posed
from turnstill.render.stage.opengl import require_opengl
from turnstill.render.stage.part_ids import part_id_colours
from turnstill.render.stage.stage import Stage
from turnstill.render.stage.vtk_camera import aim, extent
from turnstill.scenes.setups.perform import swing_of
from turnstill.scenes.setups.presets import load

MOMENTS, ROUNDS, WIDTH, HEIGHT = 20, 5, 1280, 720


def main() -> None:
    """Print the table."""
    require_opengl()
    swing = swing_of(load("too-much-tilt"), MOMENTS)
    figure = Figure(swing.body, swing.skeleton[0])
    vertices = [figure.pose(swing.skeleton[k]) for k in range(MOMENTS)]
    ball, camera = Posed.of(figure, swing.skeleton[0]).ball, face_on(0.75, WIDTH, HEIGHT)
    mesh = pyvista.PolyData.from_regular_faces(vertices[0].astype(np.float32), figure.faces)
    mesh.cell_data["id"] = part_id_colours(figure.part_of_face)
    plotter = pyvista.Plotter(off_screen=True, window_size=[64, 64], lighting="none")
    plotter.render_window.SetMultiSamples(0)
    plotter.set_background("black")
    plotter.add_mesh(mesh, scalars="id", rgb=True, preference="cell", lighting=False, show_scalar_bar=False)
    aim(plotter, camera, extent(camera, vertices[0]).planes)
    pixels, depths = vtkUnsignedCharArray(), vtkFloatArray()

    def bare(posed: Posed) -> None:
        mesh.points[:] = posed.vertices
        mesh.Modified()
        plotter.render_window.Render()
        plotter.render_window.GetRGBACharPixelData(0, 0, WIDTH - 1, HEIGHT - 1, 0, pixels)
        plotter.render_window.GetZbufferData(0, 0, WIDTH - 1, HEIGHT - 1, depths)

    with Stage() as stage:
        work: dict[str, Callable[[Posed], object]] = {
            "bare VTK: points, draw, read colours and depth buffer": bare,
            "part ids": lambda posed: stage.part_ids(camera, posed),
            "depth": lambda posed: stage.depth(camera, posed),
            "part ids and depth": lambda posed: (stage.part_ids(camera, posed), stage.depth(camera, posed)),
            "the lit figure, two samples a pixel each way": lambda posed: stage.figure_layer(camera, posed),
        }
        times: dict[str, list[float]] = {name: [] for name in work}
        for _ in range(ROUNDS + 1):
            for moment in vertices:
                for name, one in work.items():
                    posed = Posed(figure, moment, ball)  # one of its own, so that nothing is known of it yet
                    start = time.perf_counter()
                    one(posed)
                    times[name].append(time.perf_counter() - start)
    plotter.close()
    # The first round warms up.
    median = {name: statistics.median(values[MOMENTS:]) for name, values in times.items()}
    print(f"{os.cpu_count()} cores, Python {sys.version.split()[0]}, numpy {np.__version__}\n")
    print(f"{WIDTH}x{HEIGHT}, {len(figure.faces):,} triangles, {MOMENTS} moments, median over {ROUNDS} rounds\n")
    print("| of a new moment | ms | times the bare loop |\n| --- | ---: | ---: |")
    first = next(iter(median.values()))
    for name, value in median.items():
        print(f"| {name} | {value * 1e3:.1f} | {value / first:.2f} |")


if __name__ == "__main__":
    main()
