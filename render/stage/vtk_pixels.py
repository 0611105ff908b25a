"""Pixels straight out of a VTK window, without drawing it a second time as a screenshot does."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray


def read_pixels(plotter: Any, box: Sequence[int]) -> NDArray[np.uint8]:
    """What was drawn last.

    Args:
        plotter: a pyvista Plotter without multisampling, drawn on black.
        box: left, top, right, bottom in pixels, the last two not included; not empty.

    Returns:
        ``(bottom - top, right - left, 4)`` red, green, blue and coverage, top row first; where nothing was drawn
        all are 0.

    """
    from vtkmodules.util import numpy_support
    from vtkmodules.vtkCommonCore import vtkUnsignedCharArray

    left, top, right, bottom = box
    window = plotter.render_window
    below = window.GetSize()[1]
    # An array of its own for each reading: what numpy sees of it is gone when the next one fills it.
    values = vtkUnsignedCharArray()
    window.GetRGBACharPixelData(left, below - bottom, right - 1, below - top - 1, 0, values)
    to_numpy: Any = numpy_support.vtk_to_numpy  # VTK's helpers carry no types.
    rows: NDArray[np.uint8] = to_numpy(values).reshape(bottom - top, right - left, 4)
    return np.ascontiguousarray(rows[::-1])


def read_zbuffer(plotter: Any, box: Sequence[int]) -> NDArray[np.float32]:
    """How deep into the view what was drawn last lies; arguments as for ``read_pixels``.

    Returns:
        ``(bottom - top, right - left)`` 0 at the near clipping plane to 1 at the far one, top row first; 1 where
        nothing was drawn.

    """
    from vtkmodules.util import numpy_support
    from vtkmodules.vtkCommonCore import vtkFloatArray

    left, top, right, bottom = box
    window = plotter.render_window
    below = window.GetSize()[1]
    values = vtkFloatArray()
    window.GetZbufferData(left, below - bottom, right - 1, below - top - 1, values)
    to_numpy: Any = numpy_support.vtk_to_numpy  # VTK's helpers carry no types.
    rows: NDArray[np.float32] = to_numpy(values).reshape(bottom - top, right - left)
    return np.ascontiguousarray(rows[::-1])
