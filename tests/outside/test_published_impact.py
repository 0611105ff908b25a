"""The centred golfer at impact against what research papers measured there, each within two standard deviations.

None of the tables was at hand itself; each was read where somebody else writes it out and names the paper (*restated*).

- Severin et al. 2019, Three-dimensional kinematics in healthy older adult males during golf swings, Sports
  Biomech, doi 10.1080/14763141.2019.1649452: 17 men of 62 (9) years, a six-iron. The four differences between clubs
  that the abstract prints, which was read, are those of the restated table (10.5 and 3.2 degrees at impact, 7.3 and 4.3
  at the top). In which order its angles turn is not restated, so ours are told in all six.
- Meister et al. 2011, Rotational biomechanics of the elite golf swing, J Appl Biomech 27:242-251: ten men,
  professionals, a five-iron. Peaks restated beside (56 (4) and 48 (4) degrees) have the variation that the abstract
  prints, which was read (7.4 and 8.4 %). Another restatement has the same 25 and 33; a third says 30 to 40 of a
  shoulder tilt, and not when. That obliquities are angles of the lines of shoulders and hips to the ground, and that
  the X-factor is between those lines as seen from above, is from memory.

Not compared: of Severin et al. the trunk's flexion (40.9 (5.8)), which is negative at the top, where no reading of ours
is, and the flexion of the hips (13.4 (7.6) lead, 12.4 (8.4) trail, ours 40 and 27), which counts from a pelvis that is
not restated.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from itertools import permutations

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from turnstill.model import Address, Body, Pieces, Swing, simulate
from turnstill.model.arrays import Array
from turnstill.model.golfer.club import fitted_club
from turnstill.model.golfer.impact import Impact

ORDERS = ["".join(order) for order in permutations("XYZ")]
"""About x (toward the ball), y (toward the target) and z (up), or the same of the pelvis."""
MEN = 20


@pytest.fixture(scope="module")
def men() -> Swing:
    """Twenty men drawn from the survey with clubs that fit, as all samples are of men: at impact, without a batch."""
    drawn = Body.draw(np.random.default_rng(41), 3 * MEN)
    body = drawn[np.flatnonzero(np.asarray(drawn.female) == 0)[:MEN]]
    return simulate(body, Address(club_length=fitted_club(body)), Pieces(), frames=3, impact=Impact())


def frames(swing: Swing, segment: str) -> Array:
    return swing.skeleton.frames[segment][:, swing.at_impact]


def angles(frames: Array, axis: str) -> list[Array]:
    """Degrees about an axis, in each order in which three angles may turn."""
    return [Rotation.from_matrix(frames).as_euler(order, degrees=True)[:, order.index(axis)] for order in ORDERS]


def on_pelvis(swing: Swing) -> Array:
    return np.swapaxes(frames(swing, "pelvis"), -1, -2) @ frames(swing, "ribcage")


def line(swing: Swing, joint: str) -> Array:
    """``(N, 3)`` from the trail side's joint to the lead side's."""
    lead, trail = (swing.skeleton.joints[f"{joint}_{side}"][:, swing.at_impact] for side in ("lead", "trail"))
    return np.asarray(lead - trail)


def obliquity(swing: Swing, joint: str) -> Array:
    """Degrees by which the line between two joints has its trail end down."""
    along = line(swing, joint)
    return np.degrees(np.arcsin(along[:, 2] / np.linalg.norm(along, axis=-1)))


def between_lines(swing: Swing) -> Array:
    """Degrees by which the shoulders are less open than the hips, as seen from above."""
    shoulders, hips = (np.arctan2(along[:, 0], along[:, 1]) for along in (line(swing, "shoulder"), line(swing, "hip")))
    return np.degrees(shoulders - hips)


@dataclass(frozen=True)
class Published:
    """Mean and standard deviation of a sample, degrees, and ours in every way in which the paper's may be meant."""

    mean: float
    sd: float
    ours: Callable[[Swing], list[Array]]


AT_IMPACT = {
    "six-iron, pelvis open": Published(15.6, 11.1, lambda men: angles(frames(men, "pelvis"), "Z")),
    "six-iron, ribcage less open than the pelvis": Published(
        18.1, 8.9, lambda men: [*(-one for one in angles(on_pelvis(men), "Z")), between_lines(men)]
    ),
    "six-iron, lead knee bent": Published(
        23.7, 8.7, lambda men: [np.degrees(men.joint_angles["lead_knee_flexion"][:, men.at_impact])]
    ),
    "five-iron, trail shoulder down": Published(25.0, 3.0, lambda men: [obliquity(men, "shoulder")]),
    "five-iron, trail hip down": Published(12.0, 3.0, lambda men: [obliquity(men, "hip")]),
    "five-iron, shoulders less open than the hips": Published(33.0, 6.0, lambda men: [between_lines(men)]),
}
ELSEWHERE = {
    "six-iron, pelvis open": "40 degrees, 39 to 45 in other orders, where two standard deviations end at 37.8",
    "five-iron, shoulders less open than the hips": "17 degrees, where two standard deviations end at 21",
}
"""Where the centred golfer is not as published (docs/strike.md)."""


def off(name: str, men: Swing) -> list[float]:
    """How many standard deviations our mean is from the published one, in each way."""
    published = AT_IMPACT[name]
    return [float(abs(np.mean(one) - published.mean) / published.sd) for one in published.ours(men)]


@pytest.mark.parametrize("name", [name for name in AT_IMPACT if name not in ELSEWHERE])
def test_at_impact_men_stand_as_published(name: str, men: Swing) -> None:
    """In whichever way the paper's angle is meant."""
    assert max(off(name, men)) <= 2.0, off(name, men)


@pytest.mark.parametrize(
    "name", [pytest.param(name, marks=pytest.mark.xfail(strict=True, reason=why)) for name, why in ELSEWHERE.items()]
)
def test_at_impact_men_do_not_stand_as_published(name: str, men: Swing) -> None:
    assert min(off(name, men)) <= 2.0, off(name, men)
