"""Turnstill: a 3D simulator of the pivot in a golf backswing.

A researcher's front door::

    import numpy as np
    import turnstill as ts

    swing = ts.simulate(ts.Body.from_stature(1.75, 78.0), ts.Address(), ts.Pieces(hip_turn=np.radians(50.0)))
    swing.measures.head_moved  # (41, 3) metres: toward ball, toward target, up

Everything is radians and metres here; degrees and centimetres live at the command line and in files. The names are
loaded when first used, so that ``turnstill --help`` need not wait for numpy.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

__version__ = "0.1.0"

if TYPE_CHECKING:
    from .model import Address, Body, Pieces, Skeleton, Steady, Swing, TurnstillError, simulate

__all__ = [
    "Address", "Body", "Pieces", "Skeleton", "Steady", "Swing", "TurnstillError", "__version__", "simulate",
]  # fmt: skip


def __getattr__(name: str) -> Any:
    if name in __all__:
        from . import model

        return getattr(model, name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
