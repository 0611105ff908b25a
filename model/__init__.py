"""The body, the address, the pieces, the chain and its solver, and the questions asked of them.

Pure functions of arrays: radians and metres, any batch shape, numpy and scipy only. See ``docs/model.md``.
"""

from .address import ADDRESS, Address
from .body import LENGTH_NAMES, Body
from .errors import OutOfRange, TurnstillError
from .pieces import PIECES, Pieces, Steady
from .ranges import RANGE_NAMES
from .simulate import simulate
from .skeleton import JOINTS, Skeleton
from .swing import Measures, Swing

__all__ = [
    "ADDRESS", "JOINTS", "LENGTH_NAMES", "PIECES", "RANGE_NAMES", "Address", "Body", "Measures", "OutOfRange", "Pieces",
    "Skeleton", "Steady", "Swing", "TurnstillError", "simulate",
]  # fmt: skip
