"""A film's frame loop beside a bare VTK loop on the same mesh, size and moments, and whole films by the clock.

Run as ``python tests/benchmarks/film.py``. On all cores and by the clock, since that is what one waits for; the
loops take turns frame by frame, so that a busy machine slows all of them.
"""

from __future__ import annotations

import functools
import os
import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np

from turnstill.model.films.camera import Camera
from turnstill.render.figure.figure import Figure, Posed
from turnstill.render.stage.stage import Stage
from turnstill.render.stage.vtk_camera import aim
from turnstill.render.stage.window import SUPERSAMPLING
from turnstill.scenes.film.film_file import write_mp4
from turnstill.scenes.film.layout import default_size, panes
from turnstill.scenes.film.reel import Reel, legend
from turnstill.scenes.film.timing import DENSE
from turnstill.scenes.film.work import film_to
from turnstill.scenes.setups.perform import swing_of
from turnstill.scenes.setups.presets import load
from turnstill.scenes.views.framing import cameras_for
from turnstill.scenes.views.names import VIEWS

FRAMES, ROUNDS = 20, 5
AT_MOST_TIMES, AT_MOST_SECONDS = 1.3, 12.0


class Bare:
    """What VTK alone must do: take points and normals that are ready, draw, and hand over the pixels."""

    def __init__(self, figure: Figure, vertices: np.ndarray) -> None:
        import pyvista
        from vtkmodules.vtkCommonCore import vtkUnsignedCharArray

        self.plotter: Any = pyvista.Plotter(off_screen=True, window_size=[64, 64], lighting="none")
        self.plotter.render_window.SetMultiSamples(0)
        self.plotter.set_background("black")
        # As many lights, of the same kinds, as the stage has.
        scene = "scene light"
        for kind, intensity in ((scene, 0.62), ("headlight", 0.36), (scene, 0.20), (scene, 0.34)):
            light = pyvista.Light(light_type=kind, intensity=intensity)
            if kind == scene:
                light.position, light.focal_point, light.positional = (3.0, -2.6, 5.0), (0.0, 0.0, 0.8), False
            self.plotter.add_light(light)
        surface: Any = pyvista.PolyData
        self.mesh = surface.from_regular_faces(vertices.astype(np.float32), figure.faces)
        self.mesh.point_data["colour"] = figure.vertex_colours()
        self.mesh.point_data["Normals"] = np.zeros((len(vertices), 3), np.float32)
        self.mesh.point_data.active_normals_name = "Normals"
        actor = self.plotter.add_mesh(
            self.mesh, scalars="colour", rgb=True, smooth_shading=False, ambient=0.34, diffuse=0.72,
            specular=0.06, specular_power=12, render=False, show_scalar_bar=False, reset_camera=False,
        )  # fmt: skip
        actor.prop.interpolation = "Phong"
        self.pixels = vtkUnsignedCharArray()

    def moment(self, points: np.ndarray, normals: np.ndarray) -> None:
        self.mesh.points[:] = points
        self.mesh.point_data["Normals"][:] = normals
        self.mesh.Modified()

    def draw(self, camera: Camera) -> None:
        aim(self.plotter, camera)
        window = self.plotter.render_window
        window.Render()
        width, height = window.GetSize()
        window.GetRGBACharPixelData(0, 0, width - 1, height - 1, 0, self.pixels)


def seconds(work: Callable[[], object]) -> float:
    """By the clock."""
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def loops() -> None:
    """The table of frame loops."""
    swing = swing_of(load("too-much-tilt"), DENSE)
    size = default_size(1, VIEWS)
    layout = panes(1, VIEWS, size)
    cameras = list(cameras_for([swing], layout[0].width, layout[0].height)[0].values())
    picks = np.linspace(0, DENSE - 1, FRAMES).astype(int).tolist()
    figure = Figure(swing.body, swing.skeleton[0])
    postures = [Posed.of(figure, swing.skeleton[pick]) for pick in picks]
    ready = [(one.vertices.astype(np.float32), figure.normals(one.vertices).astype(np.float32)) for one in postures]
    fine = [camera.scaled(SUPERSAMPLING) for camera in cameras]
    times: dict[str, list[float]] = {}
    with Stage() as stage, Reel([swing], ["a"], layout, size, labels=legend) as reel:
        bare = Bare(figure, postures[0].vertices)

        def bare_frame(k: int) -> None:
            bare.moment(*ready[k])
            for camera in fine:
                bare.draw(camera)

        def figures(k: int) -> None:
            for camera in cameras:
                stage.figure_patch(camera, postures[k])

        def whole(k: int) -> None:
            reel.draw(picks[k])

        def shading(k: int) -> None:
            figure.normals(postures[k].vertices)

        work = {"bare": bare_frame, "figures": figures, "whole": whole, "shading": shading}
        for _ in range(ROUNDS + 1):
            spent = dict.fromkeys(work, 0.0)
            for k in range(FRAMES):
                for name, one in work.items():
                    spent[name] += seconds(functools.partial(one, k))
            for name, total in spent.items():
                times.setdefault(name, []).append(total)
        bare.plotter.close()
    # Each against the bare loop of its own round; the first round warms up.
    median = {name: statistics.median(values[1:]) for name, values in times.items()}
    print(
        f"{FRAMES} moments, two views of {layout[0].width}x{layout[0].height} at {SUPERSAMPLING} samples a pixel each "
        f"way, {len(figure.faces):,} triangles; median of {ROUNDS} rounds\n"
    )
    print("| loop | ms a frame (two views) | times the bare loop | at most |\n| --- | ---: | ---: | ---: |")
    rows = (
        ("bare", "bare VTK: points and normals ready, draw, read", ""),
        ("shading", "the normals alone", ""),
        ("figures", "the stage: normals, draw, read, shrink", f"{AT_MOST_TIMES:g}"),
        ("whole", "a film's whole frame: posing, shadow, ghost and marks too", ""),
    )
    for name, words, most in rows:
        against = statistics.median(a / b for a, b in zip(times[name][1:], times["bare"][1:], strict=True))
        print(f"| {words} | {median[name] / FRAMES * 1e3:.1f} | {against:.2f} | {most} |")


def films() -> None:
    """Whole films in this process, everything imported already."""
    swing = swing_of(load("too-much-tilt"), DENSE)
    size = default_size(1, VIEWS)

    def distinct() -> None:
        layout = panes(1, VIEWS, size)
        picks = np.linspace(0, DENSE - 1, 60).astype(int).tolist()
        with (
            tempfile.TemporaryDirectory() as folder,
            Reel([swing], ["too-much-tilt"], layout, size, labels=legend) as reel,
        ):
            write_mp4(Path(folder) / "film.mp4", (reel.draw(pick) for pick in picks), size, 25.0)

    def command() -> None:
        with tempfile.TemporaryDirectory() as folder:
            film_to(["too-much-tilt"], [], out=str(Path(folder) / "film.mp4"), seconds=60 / 25)

    print("\n| film of 60 frames, two views, 1280x720, MP4 | s | at most |\n| --- | ---: | ---: |")
    for words, work in (("60 moments, none twice", distinct), ("as `turnstill film` makes it", command)):
        runs = [_quietly(work) for _ in range(3)]
        print(f"| {words} | {statistics.median(runs):.2f} | {AT_MOST_SECONDS:g} |")


def _quietly(work: Callable[[], object]) -> float:
    told, sys.stdout = sys.stdout, open(os.devnull, "w")  # noqa: PTH123, SIM115
    try:
        return seconds(work)
    finally:
        sys.stdout.close()
        sys.stdout = told


if __name__ == "__main__":
    print(f"{os.cpu_count()} cores, Python {sys.version.split()[0]}, numpy {np.__version__}\n")
    loops()
    films()
