"""How far a body comes toward a wall or a stick: bodies that are pushed know it by construction."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np
import pytest

from turnstill.model.swing.swing import Swing
from turnstill.render.body import body_surface
from turnstill.render.body.body_surface import BodySurface
from turnstill.scenes.setups.perform import swing_of
from turnstill.scenes.setups.presets import load
from turnstill.scenes.setups.settings import apply
from turnstill.scenes.sheet.report import AgainstReport, TouchReport
from turnstill.scenes.sheet.touching import BODY, HEAD, HIPS, THINGS, Thing, checks
from turnstill.scenes.sheet.words import against_sentence

MOMENTS = 5


def pushed(swing: Swing, way: tuple[float, float, float]) -> Swing:
    """A golfer who stands at address all the time and is pushed so far by the top: toward ball, toward target, up."""
    there = np.linspace(0.0, 1.0, MOMENTS)[:, None] * np.array(way)
    own = there * [1.0, -1.0 if swing.left_handed else 1.0, 1.0]
    still = swing.skeleton[np.zeros(MOMENTS, dtype=int)]
    skeleton = replace(
        still,
        joints={name: place + own for name, place in still.joints.items()},
        spine=still.spine + own[:, None],
    )
    measures = replace(swing.measures, head_moved=there)
    return replace(swing, progress=np.linspace(0.0, 1.0, MOMENTS), skeleton=skeleton, measures=measures)


@pytest.fixture(scope="module", params=["right", "left"])
def golfer(request: pytest.FixtureRequest) -> Iterator[Swing]:
    """A golfer whose surface is shaped once, since all swings here are of one body from one address."""
    swing = swing_of(apply(load("centred"), [f"handedness={request.param}"]), 2)
    shaped = BodySurface(swing.body, swing.skeleton[0], left_handed=swing.left_handed)
    patch = pytest.MonkeyPatch()
    patch.setattr(body_surface, "BodySurface", lambda *_, **__: shaped)
    yield swing
    patch.undo()


@pytest.mark.parametrize(("thing", "far"), [("wall_behind", 0.05), ("trail_of_hip", 0.06), ("lead_of_hip", 0.03)])
def test_a_pushed_body_comes_as_far_as_it_is_pushed(golfer: Swing, thing: str, far: float) -> None:
    way = np.zeros(3)
    way[THINGS[thing].axis] = THINGS[thing].way * far
    still, moved = pushed(golfer, (0.0, 0.0, 0.0)), pushed(golfer, tuple(way))
    found = {one.thing: one for one in checks(still, moved)}
    check = found[thing]
    # The other of the two most telling ones is beside, before or behind the head, on the same side.
    assert {THINGS[name].axis for name in found} == {THINGS[thing].axis} and len(found) <= 2
    assert check.now.far_m == pytest.approx(0.0, abs=1e-6) and check.after.far_m == pytest.approx(far, abs=2e-3)
    assert check.distance_m == pytest.approx(far / 2, abs=0.0026) and (check.distance_m / 0.005) % 1 == pytest.approx(0)
    assert check.starts.startswith({"wall_behind": "trail", "trail_of_hip": "trail", "lead_of_hip": "lead"}[thing]) or (
        thing == "wall_behind" and check.starts in ("lead hip", "seat")
    )
    other = {one.thing: one for one in checks(moved, still)}[thing]
    assert (other.now.far_m, other.after.far_m) == (check.after.far_m, check.now.far_m)


@pytest.mark.parametrize("thing", [name for name, one in THINGS.items() if one.met_by == HEAD])
def test_the_head_comes_as_far_as_its_centre(golfer: Swing, thing: str) -> None:
    one = THINGS[thing]
    way = np.zeros(3)
    way[one.axis] = 0.04 * one.way
    found = {c.thing: c for c in checks(pushed(golfer, (0.0, 0.0, 0.0)), pushed(golfer, tuple(way)))}
    assert found[thing].after.far_m == pytest.approx(0.04) and found[thing].starts == found[thing].after.part == HEAD
    assert found[thing].distance_m == pytest.approx(0.02)


def test_swings_that_do_not_differ_are_not_told_apart(golfer: Swing) -> None:
    assert checks(golfer, golfer) == []
    nearly = pushed(golfer, (0.015, -0.015, 0.015))
    assert checks(pushed(golfer, (0.0, 0.0, 0.0)), nearly) == []


BY_HAND = {
    "wall_behind": (0, -1, BODY, "Stand with your back to a wall, the seat 3.0 cm (0.4 hand widths) from it"),
    "before_head": (0, 1, HEAD, "a hand flat and still 3.0 cm (0.4 hand widths) from your head, on the ball's side"),
    "trail_of_head": (1, -1, HEAD, "from your head, on the side away from the target"),
    "lead_of_head": (1, 1, HEAD, "from your head, on the target's side"),
    "over_head": (2, 1, HEAD, "a hand flat and still 3.0 cm (0.4 hand widths) over your head"),
    "trail_of_hip": (1, -1, HIPS, "the end of a stick still 3.0 cm (0.4 hand widths) beside your trail hip"),
    "lead_of_hip": (1, 1, HIPS, "the end of a stick still 3.0 cm (0.4 hand widths) beside your lead hip"),
}
"""Thing to the axis and the way along which it stands off (toward ball, target, up), what meets it, and its words."""


def test_things_are_where_their_words_say() -> None:
    assert set(THINGS) == set(BY_HAND)
    short, past = (TouchReport(part=part, comes_cm=1.0, short_cm=by) for part, by in (("head", 2.0), ("seat", -1.5)))
    for name, (axis, way, met_by, said) in BY_HAND.items():
        assert THINGS[name] == Thing(axis, way, met_by)
        one = AgainstReport(thing=name, starts="seat", distance_cm=3.0, hand_widths=0.4, now=past, after=short)
        line = against_sentence(one)
        assert said in line
        assert line.endswith(
            "On the way to the top the seat would go 1.5 cm past it now; after, the head stays 2.0 cm short of it."
        )
