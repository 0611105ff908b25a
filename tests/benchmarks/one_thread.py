"""Leaves one thread to each library, as a data set's workers have. Import it before numpy, whose threads start then."""

from __future__ import annotations

import os

for _name in ("LP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "OPENCV_FOR_THREADS_NUM"):
    os.environ[_name] = "1"
