"""The same legs by quadratic-programming inverse kinematics: mink (https://github.com/kevinzakka/mink) with daqp.

The loop as a MuJoCo model of fourteen hinges: each planted foot carries shank, thigh and its own pelvis, and a weld
closes the loop as an equality of the program. Joint ranges are mink's configuration limits; the tibial range, which
opens with the knee, is a limit of our own. Asking and strain are tasks with the product's weights, so objective,
ranges and start are the same. Each program is one Gauss-Newton step; steps are taken until they are shorter than a
millionth of a radian.
"""

from __future__ import annotations

from dataclasses import dataclass

import mink
import mujoco
import numpy as np
from askings import ANGLES, SHARE, TIBIAL, Answers, LegProblem
from scipy.spatial.transform import Rotation

from turnstill.model.arrays import Array
from turnstill.model.chain.legs import KNEES, LEG_OUTPUTS, SIDE
from turnstill.model.chain.lower_body import ASKING_WEIGHTS
from turnstill.model.chain.tibia import TibialRange
from turnstill.model.golfer.ranges import SIDES

MOST_STEPS = 100
LONGEST_STEP = 0.5
SHORT_STEP = 1e-6
CLOSED = 1e-6
HINGES = {  # axis and its sign for a left leg, from the foot up; a right leg turns the other way about x and z
    "ankle_dorsiflexion": ("y", 1.0), "ankle_inversion": ("x", 1.0), "shin_internal_rotation": ("z", 1.0),
    "knee_flexion": ("y", -1.0),
    "hip_external_rotation": ("z", -1.0), "hip_abduction": ("x", -1.0), "hip_flexion": ("y", 1.0),
}  # fmt: skip


def _row(name: str, leg: int) -> int:
    return 2 * LEG_OUTPUTS.index(name) + leg


def _hinge(problem: LegProblem, name: str, leg: int) -> str:
    axis, sign = HINGES[name]
    if axis != "y":
        sign *= float(SIDE[leg, 0])
    row = _row(name, leg)
    span = f"{float(problem.limits.low[row, 0])!r} {float(problem.limits.high[row, 0])!r}"
    along = " ".join(str(sign * (axis == a)) for a in "xyz")
    return f'<joint name="{SIDES[leg]}_{name}" axis="{along}" limited="true" range="{span}"/>'


def _mjcf(problem: LegProblem) -> str:
    """One moment's loop."""
    legs, both = problem.legs, ""
    reflect = np.array([1.0, -1.0, 1.0])
    for leg in (0, 1):
        ankle, foot = legs.ankle[:, leg, 0], legs.foot[:, :, leg, 0]
        if leg:
            ankle, foot = reflect * ankle, reflect[:, None] * foot * reflect
        quat = " ".join(map(repr, Rotation.from_matrix(foot).as_quat(scalar_first=True).tolist()))
        pos = " ".join(map(repr, ankle.tolist()))
        h = {name: _hinge(problem, name, leg) for name in HINGES}
        weight = '<inertial pos="0 0 0" mass="1" diaginertia="1 1 1"/>'
        middle = float(-SIDE[leg, 0] * legs.half_hip_width[0])
        both += (
            f'<body pos="{pos}" quat="{quat}"><body>{weight}'
            f"{h['ankle_dorsiflexion']}{h['ankle_inversion']}{h['shin_internal_rotation']}"
            f'<body pos="0 0 {float(legs.shank[0])!r}">{weight}{h["knee_flexion"]}'
            f'<body pos="0 0 {float(legs.thigh[0])!r}">{weight}'
            f"{h['hip_external_rotation']}{h['hip_abduction']}{h['hip_flexion']}"
            f'<site name="pelvis_by_{SIDES[leg]}" pos="0 {middle!r} 0"/></body></body></body></body>'
        )
    weld = '<equality><weld name="loop" site1="pelvis_by_lead" site2="pelvis_by_trail"/></equality>'
    return f'<mujoco><compiler angle="radian"/><worldbody>{both}</worldbody>{weld}</mujoco>'


class PelvisTask(mink.Task):
    """Hip turn, pelvis bend and horizontal place of the pelvis; height and obliquity are free."""

    def __init__(self, model: mujoco.MjModel, asked: Array) -> None:
        super().__init__(cost=np.sqrt(ASKING_WEIGHTS[:4]))
        self.site, self.asked = model.site("pelvis_by_lead").id, asked[:4]
        self.by_place, self.by_turning = np.zeros((3, model.nv)), np.zeros((3, model.nv))

    def read(self, configuration: mink.Configuration) -> Array:
        frame = configuration.data.site_xmat[self.site].reshape(3, 3)
        turn, bend = np.arctan2(frame[0, 1], frame[1, 1]), np.arctan2(-frame[2, 0], frame[2, 2])
        return np.array([turn, bend, *configuration.data.site_xpos[self.site][:2]])

    def compute_error(self, configuration: mink.Configuration) -> Array:
        return self.read(configuration) - self.asked

    def compute_jacobian(self, configuration: mink.Configuration) -> Array:
        mujoco.mj_jacSite(configuration.model, configuration.data, self.by_place, self.by_turning, self.site)
        frame = configuration.data.site_xmat[self.site].reshape(3, 3)
        turn, tilt = np.arctan2(frame[0, 1], frame[1, 1]), np.arcsin(-frame[2, 1])
        st, ct, ss, cs = np.sin(turn), np.cos(turn), np.sin(tilt), np.cos(tilt)
        axes = np.array([[0.0, -ct, st * cs], [0.0, st, ct * cs], [-1.0, 0.0, -ss]])  # of turn, tilt and bend
        rates = np.linalg.solve(axes, self.by_turning)
        return np.concatenate([rates[[0, 2]], self.by_place[:2]])


class TibialLimit(mink.Limit):
    """The range of tibial rotation that opens with the knee, made linear at the present posture."""

    def __init__(self, model: mujoco.MjModel, tibial: TibialRange) -> None:
        self.tibial = tibial
        self.turns = [model.jnt_dofadr[model.joint(f"{side}_shin_internal_rotation").id] for side in SIDES]
        self.knees = [model.jnt_dofadr[model.joint(f"{side}_knee_flexion").id] for side in SIDES]
        self.rows = np.zeros((4, model.nv))
        self.rows[[0, 1], self.turns], self.rows[[2, 3], self.turns] = 1.0, -1.0

    def compute_qp_inequalities(self, configuration: mink.Configuration, dt: float) -> mink.Constraint:
        q = configuration.q
        internal, external, internal_slope, external_slope = self.tibial.at(q[self.knees][:, None])
        self.rows[[0, 1], self.knees] = -internal_slope[:, 0]
        self.rows[[2, 3], self.knees] = -external_slope[:, 0]
        turned = q[self.turns]
        return mink.Constraint(self.rows, np.concatenate([internal[:, 0] - turned, external[:, 0] + turned]))


@dataclass(frozen=True)
class Golfer:
    """One moment ready to be solved: all that is built outside the timing."""

    configuration: mink.Configuration
    tasks: list[mink.Task]
    limits: list[mink.Limit]
    closure: mink.EqualityConstraintTask
    start: Array
    names: list[str]


def prepare(problem: LegProblem) -> list[Golfer]:
    """Models, tasks and limits of every moment."""
    return [_golfer(problem[i : i + 1]) for i in range(problem.asked.shape[1])]


def _golfer(problem: LegProblem) -> Golfer:
    model = mujoco.MjModel.from_xml_string(_mjcf(problem))
    names = [model.joint(i).name for i in range(model.njnt)]
    rows = [_row(name.split("_", 1)[1], SIDES.index(name.split("_", 1)[0])) for name in names]
    start = problem.legs.evaluate(problem.start)[0][rows, 0]
    pelvis = PelvisTask(model, problem.asked[:, 0])
    strain = mink.PostureTask(model, cost=np.sqrt(problem.strain_weight[rows, 0]))
    strain.set_target(problem.reference[rows, 0])
    knee_rows = [names.index(f"{side}_knee_flexion") for side in SIDES]
    cost, target = np.zeros(model.nv), np.zeros(model.nv)
    cost[knee_rows], target[knee_rows] = np.sqrt(ASKING_WEIGHTS[4:6]), problem.asked[4:6, 0]
    knees = mink.PostureTask(model, cost=cost)
    knees.set_target(target)
    limits = [mink.ConfigurationLimit(model, gain=1.0), TibialLimit(model, problem.legs.tibial)]
    closure = mink.EqualityConstraintTask(model, cost=1.0)
    configuration = mink.Configuration(model)
    configuration.update(start)
    if np.abs(closure.compute_error(configuration)).max() > 1e-9:
        raise RuntimeError("the MuJoCo model of the legs does not close at the product's address")
    return Golfer(configuration, [pelvis, strain, knees], limits, closure, start, names)


def _run(golfer: Golfer) -> tuple[Array, bool]:
    """Joint angles of one moment and whether they converged."""
    configuration = golfer.configuration
    configuration.update(golfer.start)
    for _ in range(MOST_STEPS):
        try:
            move = mink.solve_ik(
                configuration, golfer.tasks, 1.0, "daqp", limits=golfer.limits, constraints=[golfer.closure]
            )
        except mink.NoSolutionFound:
            return configuration.q.copy(), False
        longest = float(np.abs(move).max())
        configuration.integrate_inplace(move * min(1.0, LONGEST_STEP / longest) if longest else move, 1.0)
        if longest < SHORT_STEP:
            closed = np.abs(golfer.closure.compute_error(configuration)).max() < CLOSED
            return configuration.q.copy(), bool(closed)
    return configuration.q.copy(), False


def by_mink(golfers: list[Golfer]) -> list[tuple[Array, bool]]:
    """Every moment, one after the other."""
    return [_run(golfer) for golfer in golfers]


def read(problem: LegProblem, golfers: list[Golfer], runs: list[tuple[Array, bool]]) -> Answers:
    """The answers in the product's unknowns and outputs (not timed)."""
    count = len(runs)
    q, y, closure = np.zeros((8, count)), np.zeros((16, count)), np.empty(count)
    for i, (golfer, (angles, _)) in enumerate(zip(golfers, runs, strict=True)):
        golfer.configuration.update(angles)
        for name, angle in zip(golfer.names, angles, strict=True):
            side, joint = name.split("_", 1)
            y[_row(joint, SIDES.index(side)), i] = angle
        pelvis = golfer.tasks[0]
        assert isinstance(pelvis, PelvisTask)
        q[:4, i] = pelvis.read(golfer.configuration)
        places = golfer.configuration.data.site_xpos
        closure[i] = np.linalg.norm(places[0] - places[1])
    q[KNEES] = y[6:8]
    internal, external, _, _ = problem.legs.tibial.at(y[6:8])
    y[SHARE : SHARE + 2] = (2.0 * y[TIBIAL : TIBIAL + 2] - internal + external) / (internal + external)
    return Answers(q, y, closure, np.array([converged for _, converged in runs]))


assert len(ANGLES) == len(HINGES) * len(SIDES)
