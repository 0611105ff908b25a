"""The body, the address, the pieces, the chain and its solver, and the questions asked of them.

Pure functions of arrays: radians and metres, any batch shape, numpy and scipy only. See ``docs/model.md``.
"""

from .address import ADDRESS, Address
from .available import most_hip_turn
from .body import LENGTH_NAMES, Body
from .diagnose import Diagnosis, diagnose
from .errors import OutOfRange, TurnstillError
from .experiment import Experiment, experiment
from .fault_prior import HYPOTHESES, FaultPrior
from .film import DEPARTURES, READINGS
from .pieces import PIECES, Pieces, Steady
from .ranges import RANGE_NAMES
from .shares import Shares, sensitivities, shares
from .simulate import simulate
from .skeleton import JOINTS, Skeleton
from .steady_map import SteadyMap, steady_map
from .swing import Measures, Swing

__all__ = [
    "ADDRESS", "DEPARTURES", "HYPOTHESES", "JOINTS", "LENGTH_NAMES", "PIECES", "RANGE_NAMES", "READINGS", "Address",
    "Body", "Diagnosis", "Experiment", "FaultPrior", "Measures", "OutOfRange", "Pieces", "Shares", "Skeleton",
    "Steady", "SteadyMap", "Swing", "TurnstillError", "diagnose", "experiment", "most_hip_turn", "sensitivities",
    "shares", "simulate", "steady_map",
]  # fmt: skip
