"""A body's surface: what a new one costs, and posing a whole backswing, beside peers in the same run.

Run as ``python tests/benchmarks/surface.py``. The peers: for a new body, VTK's contour of the same grid alone; for
posing, the linear blend alone written down directly as one einsum over all vertices. The clothed figure is cut from it.
"""

from __future__ import annotations

import one_core  # before numpy, whose threads start with the import

# isort: split
import statistics
import time
from collections.abc import Callable

import numpy as np
import pyvista

from turnstill.model import Address, Body, Pieces
from turnstill.model.arrays import Array
from turnstill.model.swing.simulate import simulate
from turnstill.render.body.body_mesh import SPACING_M
from turnstill.render.body.body_shape import distance_grid, members
from turnstill.render.body.body_surface import BodySurface
from turnstill.render.body.skinning import rest_to_world
from turnstill.render.figure.figure import Figure

FRAMES, REPEATS = 41, 15
NEW_BODY_AT_MOST_MS, POSING_AT_MOST_MS = 1000.0, 60.0
SIZES = ((1.75, 80.0, "male"), (1.64, 64.0, "female"), (1.78, 118.0, "male"))


def milliseconds(work: Callable[[], object]) -> float:
    """Median processor time of all threads after one run that is not counted: VTK brings its own threads."""
    work()
    found = []
    for _ in range(REPEATS):
        start = time.process_time()
        work()
        found.append(time.process_time() - start)
    return 1000 * statistics.median(found)


def measured(stature: float, mass: float, sex: str) -> tuple[float, ...]:
    """Milliseconds of new surface, contour, clothed figure, a swing posed, as one einsum, clothed; and triangles."""
    body = Body.from_stature(stature, mass, sex)
    skeleton = simulate(body, Address(), Pieces(), frames=FRAMES).skeleton
    address = skeleton[0]
    surface, figure = BodySurface(body, address), Figure(body, address)
    shape = {name: float(value) for name, value in body.shape.items()}
    grid, low = distance_grid(members(shape, surface.rest, float(body.female)), SPACING_M)
    image = pyvista.ImageData(dimensions=grid.shape, spacing=[SPACING_M] * 3, origin=low)
    image.point_data["distance"] = grid.ravel(order="F")
    vertices, bones, weights = surface.mesh.vertices, surface.skin.bones, surface.skin.weights
    whole = np.concatenate([vertices, np.ones((len(vertices), 1))], axis=1)

    def plain() -> Array:
        matrices = rest_to_world(skeleton, surface.rest)
        return np.asarray(np.einsum("mvbij,vb,vj->mvi", matrices[:, bones], weights, whole, optimize=True))

    np.testing.assert_allclose(surface.pose_linearly(skeleton), plain(), atol=1e-5)
    return (
        milliseconds(lambda: BodySurface(body, address).pose(address)),
        milliseconds(lambda: image.contour([0.0], method="flying_edges", compute_normals=False)),
        milliseconds(lambda: Figure(body, address)),
        milliseconds(lambda: surface.pose(skeleton)),
        milliseconds(plain),
        milliseconds(lambda: figure.pose(skeleton)),
        len(surface.faces),
    )


def main() -> None:
    """Print the table."""
    print(one_core.machine(), "\n")
    rows, met = [], True
    for size in SIZES:
        *times, triangles = measured(*size)
        met &= times[0] <= NEW_BODY_AT_MOST_MS and times[3] <= POSING_AT_MOST_MS
        name = f"{size[0]:.2f} m, {size[1]:.0f} kg, {size[2]}"
        rows.append((name, f"{triangles:,}", *(f"{value:.0f}" for value in times)))
    head = ("body", "triangles", "new surface, ms", "VTK's contour alone", "clothed figure",
            f"{FRAMES} moments posed, ms", "as one einsum", "clothed figure")  # fmt: skip
    print(one_core.table(head, rows))
    marks = f"a new surface in {NEW_BODY_AT_MOST_MS:.0f} ms, {FRAMES} moments posed in {POSING_AT_MOST_MS:.0f} ms"
    print(f"\nmarks: {marks}: {'met' if met else 'NOT met'}")


if __name__ == "__main__":
    main()
