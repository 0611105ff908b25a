"""The body, the address, the pieces, the chain and its solver, and the questions asked of them.

Pure functions of arrays: radians and metres, any batch shape, numpy and scipy only. See ``docs/model.md``.
"""

from .chain.skeleton import JOINTS, Skeleton
from .errors import OutOfRange, TurnstillError
from .films.diagnose import Diagnosis, diagnose
from .films.fault_prior import HYPOTHESES, FaultPrior
from .films.readings import READINGS
from .golfer.address import ADDRESS, Address
from .golfer.arm_swing import ARM_SWING, ArmSwing
from .golfer.body import LENGTH_NAMES, Body
from .golfer.club import fitted_club
from .golfer.head_place import HeadPlace
from .golfer.impact import Impact
from .golfer.pieces import DEPARTURES, PIECES, Pieces, Steady
from .golfer.ranges import RANGE_NAMES
from .questions.arc import Arc
from .questions.available import most_hip_turn
from .questions.experiment import Experiment, experiment
from .questions.felt import Felt, felt
from .questions.shares import Shares, sensitivities, shares
from .questions.steady_map import SteadyMap, steady_map
from .questions.strike import strike
from .questions.strike_causes import StrikeCauses, strike_causes
from .swing.simulate import simulate
from .swing.swing import Measures, Swing

__all__ = [
    "ADDRESS", "ARM_SWING", "DEPARTURES", "HYPOTHESES", "JOINTS", "LENGTH_NAMES", "PIECES", "RANGE_NAMES", "READINGS",
    "Address", "Arc", "ArmSwing", "Body", "Diagnosis", "Experiment", "FaultPrior", "Felt", "HeadPlace", "Impact",
    "Measures", "OutOfRange", "Pieces", "Shares", "Skeleton", "Steady", "SteadyMap", "StrikeCauses", "Swing",
    "TurnstillError", "diagnose", "experiment", "felt", "fitted_club", "most_hip_turn", "sensitivities", "shares",
    "simulate", "steady_map", "strike", "strike_causes",
]  # fmt: skip
