"""What several rooms' tests share: random golfers, and random things asked of their legs."""

from __future__ import annotations

import os
import signal
import sys
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache

import pytest
import typer.testing

# A worker for each core: threads of linear algebra in each of them only wait for one another, and a figure was shaped
# in four times the time. Before numpy is loaded, and for the commands that tests start.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
# Where no bytecode may be kept, each command that a test starts would compile the whole package anew.
os.environ.pop("PYTHONDONTWRITEBYTECODE", None)

import numpy as np
from numpy.typing import NDArray

from turnstill.model import ARM_SWING, Address, ArmSwing, Body, Pieces
from turnstill.model.chain import lower_body
from turnstill.model.chain.legs import Legs
from turnstill.model.chain.lower_body import LegLimits, LowerBody
from turnstill.model.chain.stance import Stance, stand

# Nor are all tests to be compiled again in the next run.
sys.dont_write_bytecode = False

# A runner of commands would make all that there are anew each time it runs one; the program itself makes them once.
if hasattr(typer.testing, "_get_command"):
    typer.testing._get_command = cache(typer.testing._get_command)

# A shell that runs tests in the background has them ignore interruptions, and ``nohup`` that a terminal was closed,
# which some of them are about; the commands that they start would ignore them too.
if signal.getsignal(signal.SIGINT) is signal.SIG_IGN:
    signal.signal(signal.SIGINT, signal.default_int_handler)
if hasattr(signal, "SIGHUP") and signal.getsignal(signal.SIGHUP) is signal.SIG_IGN:
    signal.signal(signal.SIGHUP, signal.SIG_DFL)

Array = NDArray[np.float64]

LONG = (
    "render/test_web_figure", "scenes/live/", "scenes/test_dataset_", "scenes/test_fault_baseline", "scenes/test_guard",
    "scenes/test_hostile", "scenes/test_kills", "scenes/test_live_", "scenes/test_phone_films_guide",
    "scenes/test_read_films", "scenes/test_same_bytes", "scenes/test_turning_golfers",
)  # fmt: skip
"""Modules that take long for the few tests in them, by how their paths go on from here."""


def pytest_configure(config: pytest.Config) -> None:
    """Of several workers none is to be left alone with a long module: xdist would begin with those of most tests."""
    config.option.loadscopereorder = False


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """What takes long is begun first; where one process does it all the order does not matter."""
    if "PYTEST_XDIST_WORKER" in os.environ:
        items.sort(key=lambda item: not item.nodeid.removeprefix("tests/").startswith(LONG))


@dataclass(frozen=True)
class Askings:
    """Solved addresses and what is asked of each, one moment a golfer: ready for `lower_body.solve`."""

    body: Body
    stance: Stance
    legs: Legs
    limits: LegLimits
    asked: Array

    def solve(self, start: Array | None = None) -> LowerBody:
        """Solve them, from the address unless told."""
        first = self.stance.lower.q if start is None else start
        home = None if start is None else self.stance.lower.q
        return lower_body.solve(self.legs, self.limits, self.asked, self.stance.lower.angles, first, home=home)


def random_setup(rng: np.random.Generator, count: int) -> dict[str, Array]:
    """Addresses golfers stand in, rad and m."""
    degrees = {
        "lead_flare": (-10, 40), "trail_flare": (-10, 40), "knee_flex": (14, 30), "forward_bend": (28, 45),
        "pelvis_bend": (14, 30), "side_bend": (0, 8),
    }  # fmt: skip
    setup = {name: np.radians(rng.uniform(*ends, count)) for name, ends in degrees.items()}
    setup["stance_width"] = rng.uniform(0.28, 0.55, count)
    setup["ball_position"] = rng.uniform(-0.05, 0.15, count)
    setup["club_length"] = np.full(count, 1.12)
    return setup


def random_pieces(rng: np.random.Generator, count: int) -> Pieces:
    """Pivots golfers make, head held where it can be."""
    return Pieces(
        hip_turn=np.radians(rng.uniform(20, 60, count)),
        shoulder_turn=np.radians(rng.uniform(60, 105, count)),
        lead_flex_change=np.radians(rng.uniform(0, 25, count)),
        trail_flex_change=np.radians(rng.uniform(-18, 5, count)),
        sway=rng.uniform(-0.03, 0.05, count),
        hips_toward_ball=rng.uniform(-0.02, 0.02, count),
    )


KINDS = {
    "ordinary": [(0, 50), (-6, 6), (-2, 2), (-3, 3), (-5, 18), (-15, 5)],
    "wild": [(-30, 120), (-25, 25), (-10, 10), (-15, 15), (-25, 40), (-25, 40)],
    "absurd": [(-40, 130), (-40, 50), (-20, 20), (-30, 30), (-40, 60), (-40, 60)],
}
"""Ranges asked of hip turn, pelvis bend (deg), pelvis forward and sideways (cm), lead and trail knee (deg), each a
change from address: pivots golfers make, what mostly no body can do, and what nobody would ask."""


def _changes(rng: np.random.Generator, count: int, kind: str) -> Array:
    """``(6, N)`` changes of the first six unknowns of the legs: hip turn to trail knee."""
    scale = np.array([np.radians(1), np.radians(1), 0.01, 0.01, np.radians(1), np.radians(1)])
    return np.stack([rng.uniform(*ends, count) for ends in KINDS[kind]]) * scale[:, None]


@pytest.fixture(scope="session")
def askings() -> Callable[[int, int, str], Askings]:
    """Make ``count`` askings of a kind of ``KINDS`` from a ``seed``."""

    def make(count: int, seed: int, kind: str) -> Askings:
        rng = np.random.default_rng(seed)
        body = Body.draw(rng, count)
        limits = LegLimits.of(body)
        setup = random_setup(rng, count)
        arms = {name: np.full(count, getattr(ArmSwing(), name)) for name in ARM_SWING}
        stance = stand(body, setup, arms, limits)
        asked = stance.lower.q.copy()
        asked[:6] += _changes(rng, count, kind)
        flare = np.stack([setup["lead_flare"], setup["trail_flare"]])
        legs = lower_body.planted(body, flare, setup["stance_width"], np.zeros((2, count)))
        return Askings(body, stance, legs, limits, asked)

    return make


@pytest.fixture(scope="session")
def golfers() -> Callable[[int, int], tuple[Body, Address, Pieces]]:
    """``count`` random golfers from a ``seed``: body, address and pivot."""

    def make(count: int, seed: int) -> tuple[Body, Address, Pieces]:
        rng = np.random.default_rng(seed)
        return Body.draw(rng, count), Address(**random_setup(rng, count)), random_pieces(rng, count)

    return make
