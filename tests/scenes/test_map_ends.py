"""From where to where a map goes: about the swing, as far as its piece usually goes, or between the ends asked for."""

from __future__ import annotations

import re
from types import SimpleNamespace

import numpy as np
import pytest

from turnstill.model.errors import TurnstillError
from turnstill.scenes.map import work

REACH = {
    "hip_turn": (45.0, 25.0), "shoulder_turn": (90.0, 30.0), "tilt": (33.0, 20.0), "extension": (31.0, 20.0),
    "lead_flex_change": (12.0, 20.0), "trail_flex_change": (-7.0, 20.0), "sway": (1.5, 8.0),
    "hips_toward_ball": (-2.5, 8.0), "lead_heel_rise": (4.0, 5.0), "trail_heel_rise": (4.0, 5.0),
}  # fmt: skip
"""Where a swing is, and how far a map then goes to both sides, deg or cm, by hand."""
CM = ("sway", "hips_toward_ball", "lead_heel_rise", "trail_heel_rise")


def values(piece: str, here: float, *ends: object, held: float | None = None) -> list[float]:
    """The places of a map of five to a side, in degrees or centimetres."""
    scale = 0.01 if piece in CM else np.pi / 180.0
    steady = {} if held is None else {piece: np.array([0.0, held * scale])}
    swing = SimpleNamespace(asked={piece: np.array([0.0, here * scale])}, steady=steady)
    found = work._values(SimpleNamespace(swing=swing), piece, 5, ends or (None, None), "--x")  # type: ignore[arg-type]
    return (found / scale).tolist()


@pytest.mark.parametrize("piece", REACH)
def test_a_map_goes_as_far_to_both_sides_as_its_piece_usually_does(piece: str) -> None:
    here, half = REACH[piece]
    low = 0.0 if piece.endswith("heel_rise") else here - half  # Nobody's heel goes into the ground.
    assert values(piece, here) == pytest.approx(np.linspace(low, here + half, 5).tolist())
    assert values(piece, here, low + 1.0, None) == pytest.approx(np.linspace(low + 1.0, here + half, 5).tolist())
    assert values(piece, here, None, f"{here:g}") == pytest.approx(np.linspace(low, here, 5).tolist())


def test_a_map_goes_past_what_would_hold_the_head_by_half_of_what_is_usual() -> None:
    for held, half in ((42.0, 20.0), (45.0, 22.0), (8.0, 35.0)):
        assert values("tilt", 33.0, held=held) == pytest.approx(np.linspace(33.0 - half, 33.0 + half, 5).tolist())
    assert values("tilt", 33.0, held=150.0)[0] == pytest.approx(-60.0), "no farther than the piece may be"


@pytest.mark.parametrize(
    ("ends", "told"),
    [
        ((-61.0, None), "--x-from was -61, but tilt must be between -60 and 90 deg."),
        ((None, "91"), "--x-to was 91, but tilt must be between -60 and 90 deg."),
        ((7.0, 7.0), "--x-from was 7 and --x-to 7; the first must be the smaller."),
        (("nan", None), "--x-from was nan, but tilt must be between -60 and 90 deg."),
    ],
)
def test_ends_that_cannot_be_are_told_by_their_option(ends: tuple[object, object], told: str) -> None:
    with pytest.raises(TurnstillError, match=f"^{re.escape(told)}$"):
        values("tilt", 33.0, *ends)
