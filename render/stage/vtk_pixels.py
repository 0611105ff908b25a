"""Pixels straight out of a VTK window, without drawing it a second time as a screenshot does."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray


def read_pixels(window: Any, box: Sequence[int], height: int) -> NDArray[np.uint8]:
    """What was drawn last.

    Args:
        window: a VTK render window without multisampling, drawn on black.
        box: left, top, right, bottom in pixels, the last two not included; not empty.
        height: of what was drawn, from the window's foot.

    Returns:
        ``(bottom - top, right - left, 4)`` red, green, blue and coverage, top row first; where nothing was drawn
        all are 0. In memory the last row comes first, as OpenGL has it: what wants it otherwise copies what it needs.

    """
    from vtkmodules.util import numpy_support
    from vtkmodules.vtkCommonCore import vtkUnsignedCharArray

    left, top, right, bottom = box
    # An array of its own for each reading: what numpy sees of it is gone when the next one fills it.
    values = vtkUnsignedCharArray()
    window.GetRGBACharPixelData(left, height - bottom, right - 1, height - top - 1, 0, values)
    to_numpy: Any = numpy_support.vtk_to_numpy  # VTK's helpers carry no types.
    rows: NDArray[np.uint8] = to_numpy(values).reshape(bottom - top, right - left, 4)
    return rows[::-1]


def read_zbuffer(window: Any, box: Sequence[int], height: int) -> NDArray[np.float32]:
    """How deep into the view what was drawn last lies; arguments as for ``read_pixels``.

    Returns:
        ``(bottom - top, right - left)`` 0 at the near clipping plane to 1 at the far one, top row first; 1 where
        nothing was drawn.

    """
    from vtkmodules.util import numpy_support
    from vtkmodules.vtkCommonCore import vtkFloatArray

    left, top, right, bottom = box
    values = vtkFloatArray()
    window.GetZbufferData(left, height - bottom, right - 1, height - top - 1, values)
    to_numpy: Any = numpy_support.vtk_to_numpy  # VTK's helpers carry no types.
    rows: NDArray[np.float32] = to_numpy(values).reshape(bottom - top, right - left)
    return rows[::-1]
