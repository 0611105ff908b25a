"""What two swings were asked differently, and what is put back to find what each thing does."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from compared import cause, side

from turnstill.model.golfer.body import Body
from turnstill.scenes.compare import causes as causes_module
from turnstill.scenes.compare import words
from turnstill.scenes.compare.causes import causes
from turnstill.scenes.setups.perform import Performed
from turnstill.scenes.setups.presets import Setup, load
from turnstill.scenes.setups.quantities import Departure

NAMES = ("A", "B")
STAYS = "everything else as it was, tilt and extension in degrees included"
FIRST = side((0.1, -0.1, 0.2))
LATER = side((3.2, -1.8, -3.9), asked={"tilt": 47.5}, inclination=(35.2, 17.3))
TILT = cause("tilt", (47.5, 37.5, 38.5), (0.1, 0.0, 0.15), 5.2)


class Tried:
    """Stands in for simulating: keeps each setup that is tried and gives a head that tells them apart."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch) -> None:
        self.setups: list[Setup] = []
        monkeypatch.setattr(causes_module, "swing_of", self.swing_of)

    def swing_of(self, setup: Setup, frames: int, by: Any) -> Any:
        assert frames == 2
        self.setups.append(setup)
        count = len(self.setups)
        tilt = setup.section("pieces").get("tilt_deg")
        return side((0.0, 0.0, float(count)), asked={"tilt": float(tilt) if isinstance(tilt, float) else 38.5}).swing


def like(base: Performed, body: Body | None = None, **given: Any) -> Performed:
    setup = Setup("x", "", {"pieces": given})
    return replace(base, setup=setup, swing=replace(base.swing, body=body or base.swing.body))


def test_each_thing_asked_differently_is_put_back_alone_and_the_trunk_stays(monkeypatch: pytest.MonkeyPatch) -> None:
    tried = Tried(monkeypatch)
    first = like(FIRST, tilt_deg=37.5, sway_cm=0.0, extension_deg=Departure())
    later = like(LATER, tilt_deg=Departure(10.0), sway_cm=4.0, extension_deg=Departure())
    found = causes(first, later)
    assert [one.section("pieces") for one in tried.setups] == [
        {"tilt_deg": 37.5, "sway_cm": 4.0, "extension_deg": pytest.approx(30.0)},
        {"tilt_deg": pytest.approx(47.5), "sway_cm": 0.0, "extension_deg": pytest.approx(30.0)},
    ]
    # The later head is at (3.2, -1.8, -3.9); the trials' ones at 1 and 2 cm up.
    apart = [float(np.linalg.norm([3.2, 1.8, 3.9 + up])) for up in (1.0, 2.0)]
    assert [(one.name, one.unit) for one in found] == [("sway", "cm"), ("tilt", "deg")]
    assert [one.accounts_for for one in found] == pytest.approx([apart[1], apart[0]])
    np.testing.assert_allclose([one.left for one in found], [[0.0, 0.0, 2.0], [0.0, 0.0, 1.0]], atol=1e-12)
    assert found[1].amounts == pytest.approx((47.5, 37.5, 37.5)) and found[0].amounts == pytest.approx((0.0, 0.0, 0.0))


def test_where_a_setup_says_nothing_the_centred_presets_amount_acts(monkeypatch: pytest.MonkeyPatch) -> None:
    tried = Tried(monkeypatch)
    hip_turn = load("centred").section("pieces")["hip_turn_deg"]
    assert causes(like(FIRST), like(LATER, hip_turn_deg=hip_turn)) == [] and tried.setups == []
    (one,) = causes(like(FIRST), like(LATER, hip_turn_deg=50.0))
    assert tried.setups[0].section("pieces")["hip_turn_deg"] == hip_turn and one.name == "hip turn"


def test_the_address_is_told_in_its_own_unit(monkeypatch: pytest.MonkeyPatch) -> None:
    Tried(monkeypatch)
    first, later = like(FIRST), like(LATER)
    wide = replace(later.swing.address, stance_width=0.5, lead_flare=np.radians(11.0))
    later = replace(
        later, swing=replace(later.swing, address=wide),
        setup=Setup("x", "", {"address": {"stance_width_cm": 50.0, "lead_flare_deg": 11.0}}),
    )  # fmt: skip
    found = {one.name: one for one in causes(first, later)}
    narrow = first.swing.address
    for name, has, had, unit in (
        ("stance width", 50.0, float(narrow.stance_width) * 100.0, "cm"),
        ("lead flare", 11.0, float(np.degrees(narrow.lead_flare)), "deg"),
    ):
        assert found[name].unit == unit and found[name].amounts == pytest.approx((has, had, had))


@pytest.mark.parametrize("part", ["stature", "mass", "female", "lengths", "ranges", "none"])
def test_any_difference_of_the_body_puts_the_whole_body_back(part: str, monkeypatch: pytest.MonkeyPatch) -> None:
    tried = Tried(monkeypatch)
    body = LATER.swing.body
    if part in ("lengths", "ranges"):
        named = dict(getattr(body, part))
        last = list(named)[-1]
        other = replace(body, **{part: {**named, last: named[last] + 1e-8}})
    else:
        other = body if part == "none" else replace(body, **{part: getattr(body, part) + 1e-8})
    mine = {"body": {"stature_cm": 180.0}, "body.lengths_cm": {"thigh": 40.0}}
    theirs = {"body": {"mass_kg": 70.0}, "body.ranges_deg": {"lead_hip_flexion": 90.0}, "pieces": {"sway_cm": 0.0}}
    first = replace(like(FIRST, other), setup=Setup("first", "", theirs))
    knots = {"tilt": ((0.0, 0.0), (1.0, 1.0))}
    later = replace(like(LATER, body), setup=Setup("later", "shows", mine, knots))
    found = causes(first, later)
    if part == "none":
        assert found == []
        return
    (one,), (setup,) = found, tried.setups
    assert (one.name, one.amounts, one.unit) == ("the body", None, "")
    assert (setup.name, setup.shows, setup.timing) == ("later", "shows", knots)
    kept = {"body": {"mass_kg": 70.0}, "body.lengths_cm": {}, "body.ranges_deg": {"lead_hip_flexion": 90.0}}
    assert setup.values == kept
    assert words.matters_to_hips(found)
