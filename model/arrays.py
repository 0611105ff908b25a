"""The array type of the whole model."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]
BoolArray = NDArray[np.bool_]

__all__ = ["Any", "Array", "ArrayLike", "BoolArray"]
