"""The most hip turn: how many turns are asked for together is no matter of the answer."""

from __future__ import annotations

import numpy as np
import pytest

from turnstill.model import Address, Body, Pieces, most_hip_turn
from turnstill.model.questions import available


def test_turns_asked_for_in_parts_find_what_all_at_once_find(monkeypatch: pytest.MonkeyPatch) -> None:
    body = Body.from_stature(np.array([1.6, 1.75, 1.9, 1.7, 1.8]), np.array([55.0, 78.0, 95.0, 60.0, 82.0]))
    # Feet turned in stop the hips soon; wide ranges only past what is asked for first.
    address = Address(trail_flare=np.radians([-10.0, 0.0, 20.0, 35.0, 25.0]))
    wide = {name: end * np.where(np.arange(5) < 3, 1.0, 1.6) for name, end in body.ranges.items()}
    body = Body(body.stature, body.mass, body.female, body.lengths, wide, body.shape)
    pieces = Pieces(lead_flex_change=np.radians([15.0, 10.0, 15.0, 20.0, 15.0]))
    monkeypatch.setattr(available, "_AT_ONCE", available.ASKED.size)
    together = most_hip_turn(body, address, pieces)
    turns = np.degrees(together.hip_turn)
    assert turns.min() < 60.0 and turns.max() > 80.0, "some stop in the first part, some in a later one"
    for at_once in (5, 12):
        monkeypatch.setattr(available, "_AT_ONCE", at_once)
        found = most_hip_turn(body, address, pieces)
        np.testing.assert_allclose(found.hip_turn, together.hip_turn, rtol=0.0, atol=1e-10)
        np.testing.assert_array_equal(found.stopped_by, together.stopped_by)
        np.testing.assert_array_equal(found.converged, together.converged)
    one = most_hip_turn(body[4], address[4], pieces[4])
    assert one.hip_turn == pytest.approx(together.hip_turn[4], abs=1e-10)
