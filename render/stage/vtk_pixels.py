"""Pixels straight out of a VTK window, without drawing it a second time as a screenshot does."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray


def read_pixels(window: Any, width: int, height: int) -> NDArray[np.uint8]:
    """What was drawn last.

    Args:
        window: a VTK render window without multisampling, drawn on black.
        width: of what was drawn, from the window's left, pixels.
        height: of what was drawn, from the window's foot, pixels.

    Returns:
        ``(height, width, 4)`` red, green, blue and coverage, top row first; where nothing was drawn
        all are 0. In memory the last row comes first, as OpenGL has it: what wants it otherwise copies what it needs.

    """
    from vtkmodules.util import numpy_support
    from vtkmodules.vtkCommonCore import vtkUnsignedCharArray

    # An array of its own for each reading: what numpy sees of it is gone when the next one fills it.
    values = vtkUnsignedCharArray()
    window.GetRGBACharPixelData(0, 0, width - 1, height - 1, 0, values)
    to_numpy: Any = numpy_support.vtk_to_numpy  # VTK's helpers carry no types.
    rows: NDArray[np.uint8] = to_numpy(values).reshape(height, width, 4)
    return rows[::-1]


def read_zbuffer(window: Any, width: int, height: int) -> NDArray[np.float32]:
    """How deep into the view what was drawn last lies; arguments as for ``read_pixels``.

    Returns:
        ``(height, width)`` 0 at the near clipping plane to 1 at the far one, top row first; 1 where
        nothing was drawn.

    """
    from vtkmodules.util import numpy_support
    from vtkmodules.vtkCommonCore import vtkFloatArray

    values = vtkFloatArray()
    window.GetZbufferData(0, 0, width - 1, height - 1, values)
    to_numpy: Any = numpy_support.vtk_to_numpy  # VTK's helpers carry no types.
    rows: NDArray[np.float32] = to_numpy(values).reshape(height, width)
    return rows[::-1]
