"""Two hands on a grip: whatever a coach would look for, measured in the club's frame."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
import pytest
from scipy.spatial import cKDTree

from turnstill.model import Address, Body, Pieces
from turnstill.model.arrays import Array
from turnstill.model.swing.simulate import simulate
from turnstill.model.swing.swing import Swing
from turnstill.render.figure.hands import GRIP_RADIUS_M, hand_parts
from turnstill.render.figure.rigid import rigidly
from turnstill.render.shapes.solids import Part

SIZES = ((1.75, 80.0, "male"), (1.60, 46.0, "female"), (1.78, 118.0, "male"))
OUTWARD = {"lead": 1.0, "trail": -1.0}
"""Where the back of each hand is along the club frame's y, which the trail palm faces along."""


class Gripping(NamedTuple):
    """A golfer's hands."""

    swing: Swing
    breadth: float
    parts: dict[str, Part]

    def on_club(self, side: str, moment: int) -> Array:
        """``(V, 3)`` metres, club frame from the grip."""
        posture = self.swing.skeleton[moment]
        found: Array = (rigidly([self.parts[side]]).pose(posture) - posture.joints["grip"]) @ posture.frames["club"]
        return found

    def holds(self, side: str) -> float:
        """Height on the club of where a hand holds: the trail hand its own distance below the lead one."""
        return 0.0 if side == "lead" else -float(self.swing.body.lengths["hands_apart"])


@pytest.fixture(scope="module", params=SIZES, ids=lambda size: "-".join(map(str, size)))
def hands(request: pytest.FixtureRequest) -> Gripping:
    swing = simulate(Body.from_stature(*request.param), Address(), Pieces(), frames=9)
    shape = {name: float(value) for name, value in swing.body.shape.items()}
    lead, trail = hand_parts(shape, swing.skeleton[0])
    return Gripping(swing, shape["hand_breadth"], {"lead": lead, "trail": trail})


@pytest.mark.parametrize("side", ["lead", "trail"])
def test_each_hand_goes_round_the_grip_where_it_holds(hands: Gripping, side: str) -> None:
    for moment in (0, 4, 8):
        at = hands.on_club(side, moment)
        near = at[np.abs(at[:, 2] - hands.holds(side)) < 0.3 * hands.breadth]
        off = np.hypot(near[:, 0], near[:, 1])
        round_it = np.degrees(np.arctan2(near[:, 1], near[:, 0])) % 360
        # Fingers as thick as 0.2 breadths lie on a round grip.
        close = off < GRIP_RADIUS_M + 0.35 * hands.breadth
        reached = np.histogram(round_it[close], bins=12, range=(0, 360))[0]
        assert (reached > 0).all()


def test_the_lead_hand_is_above_the_trail_hand_and_touches_it(hands: Gripping) -> None:
    for moment in range(9):
        lead, trail = (hands.on_club(side, moment) for side in ("lead", "trail"))
        assert lead[:, 2].mean() > trail[:, 2].mean() + 0.3 * hands.breadth
        assert cKDTree(lead).query(trail)[0].min() < 0.004


@pytest.mark.parametrize("side", ["lead", "trail"])
def test_palms_face_each_other_round_the_grip(hands: Gripping, side: str) -> None:
    """Knuckles and backs of the hands are outside, the lead hand's toward the target at address."""
    at = hands.on_club(side, 0)
    near = at[np.abs(at[:, 2] - hands.holds(side)) < 0.3 * hands.breadth]
    outermost = OUTWARD[side] * near[:, 1]
    assert outermost.max() > 1.2 * -outermost.min()


def test_thumbs_lie_down_the_shaft_on_top_of_it(hands: Gripping) -> None:
    for side in ("lead", "trail"):
        at = hands.on_club(side, 0)
        lowest = at[at[:, 2] < at[:, 2].min() + 0.01]
        assert (lowest[:, 0] > 0).all() and np.abs(lowest[:, 1]).max() < 0.02


def test_fingers_stay_on_the_club_and_the_hand_reaches_its_wrist(hands: Gripping) -> None:
    for side in ("lead", "trail"):
        part = hands.parts[side]
        share = part.carrier.share[part.frame]  # type: ignore[attr-defined]
        first, last = hands.on_club(side, 0), hands.on_club(side, 8)
        np.testing.assert_allclose(first[share == 0], last[share == 0], atol=1e-9)
        assert np.linalg.norm(first[share == 1] - last[share == 1], axis=1).min() > 0.01
        for moment in range(9):
            wrist = hands.swing.skeleton[moment].joints[f"wrist_{side}"]
            assert np.linalg.norm(rigidly([part]).pose(hands.swing.skeleton[moment]) - wrist, axis=1).min() < 0.035


def test_no_triangle_of_a_hand_turns_over_as_the_wrist_hinges(hands: Gripping) -> None:
    for side in ("lead", "trail"):
        part = hands.parts[side]
        rest = part.local[part.faces]
        normal = np.cross(rest[:, 1] - rest[:, 0], rest[:, 2] - rest[:, 0])
        for moment in (0, 4, 8):
            skeleton = hands.swing.skeleton[moment]
            turned = part.carrier.places(skeleton)[1][part.frame[part.faces[:, 0]]]
            posed = rigidly([part]).pose(skeleton)[part.faces]
            now = np.cross(posed[:, 1] - posed[:, 0], posed[:, 2] - posed[:, 0])
            assert (np.einsum("fij,fj->fi", turned, normal) * now).sum(axis=1).min() > 0
