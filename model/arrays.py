"""The array type of the whole model."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]
BoolArray = NDArray[np.bool_]
Index = NDArray[np.intp] | BoolArray | slice
"""Some moments of a batch."""

__all__ = ["Array", "ArrayLike", "BoolArray", "Index"]
