"""Turnstill: a 3D simulator of the pivot in a golf backswing.

A researcher's front door::

    import numpy as np
    import turnstill as ts

    swing = ts.simulate(ts.Body.from_stature(1.75, 78.0), ts.Address(), ts.Pieces(hip_turn=np.radians(50.0)))
    swing.measures.head_moved  # (41, 3) metres: toward ball, toward target, up
    film = {"head_toward_target": -0.06, "head_up": -0.01, "shoulder_turn": np.radians(88.0)}
    ts.diagnose(swing.body, swing.address, film).largest  # (1, 8): which piece departs furthest

Everything is radians and metres here; degrees and centimetres live at the command line and in files. The names are
loaded when first used, so that ``turnstill --help`` need not wait for numpy.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

__version__ = "0.1.0"

if TYPE_CHECKING:
    from .model import (
        Address,
        Body,
        Diagnosis,
        Experiment,
        FaultPrior,
        Pieces,
        Shares,
        Skeleton,
        Steady,
        SteadyMap,
        Swing,
        TurnstillError,
        most_hip_turn,
    )
    from .model.films import diagnose
    from .model.questions import experiment, shares, steady_map
    from .model.swing import simulate

__all__ = [
    "Address", "Body", "Diagnosis", "Experiment", "FaultPrior", "Pieces", "Shares", "Skeleton", "Steady", "SteadyMap",
    "Swing", "TurnstillError", "__version__", "diagnose", "experiment", "most_hip_turn", "shares", "simulate",
    "steady_map",
]  # fmt: skip


def __getattr__(name: str) -> Any:
    if name in __all__:
        from . import model

        return getattr(model, name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
