"""The most hip turn of a swing as the model finds it, and nothing where it is not sure."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from distinct_swing import distinct_swing, performed_as

from turnstill.model.swing.doing import at_once
from turnstill.scenes.compare import hip_room
from turnstill.scenes.compare.hip_room import HipRoomReport
from turnstill.scenes.setups.presets import Setup


def test_room_is_what_the_model_finds_and_nothing_where_it_is_not_sure(monkeypatch: pytest.MonkeyPatch) -> None:
    one = performed_as(distinct_swing(), Setup("mine"))
    asked: list[Any] = []

    def found(*given: Any, sure: bool = True) -> SimpleNamespace:
        asked.append(given)
        return SimpleNamespace(converged=np.array([sure]), stopped_by=np.array([[True, False, True]]),
                               limit_names=("a_b", "c", "d"), hip_turn=np.array([np.radians(48.25)]))  # fmt: skip

    monkeypatch.setattr(hip_room, "most_hip_turn", found)
    told = HipRoomReport.of(one)
    assert told is not None and told.model_dump() == {
        "swing": "mine", "most_hip_turn_deg": 48.25, "stopped_by": ["a_b", "d"],
        "trunk_bend_deg": pytest.approx(np.degrees(0.6929), abs=1e-6),  # what its address asks for
    }  # fmt: skip
    assert asked == [(one.swing.body, one.swing.address, one.swing.pieces, at_once)]
    monkeypatch.setattr(hip_room, "most_hip_turn", lambda *given: found(*given, sure=False))
    assert HipRoomReport.of(one) is None
