"""Rehearsed swings are simulated ones, to the last bit, and what has not changed is not worked out again."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Mapping
from dataclasses import fields
from typing import Any

import numpy as np
import pytest

from turnstill.model import ADDRESS, PIECES, Address, Body, Pieces, Steady, TurnstillError, simulate
from turnstill.model.batch import Batch
from turnstill.model.golfer.pieces import HEELS
from turnstill.model.swing import rehearsal, stages
from turnstill.model.swing.rehearsal import KEPT, Rehearsal

SEED, CHANGES, FRAMES = 15, 30, 5
HOW_FAR = {"deg": 8.0, "cm": 3.0}


def bits(value: object, path: str = "") -> Iterator[tuple[str, object]]:
    """Everything that a swing holds, to the bit."""
    if isinstance(value, Batch):
        for item in fields(value):  # type: ignore[arg-type]
            yield from bits(getattr(value, item.name), f"{path}.{item.name}")
    elif isinstance(value, Mapping):
        for name, part in value.items():
            yield from bits(part, f"{path}.{name}")
    elif isinstance(value, tuple):
        for number, part in enumerate(value):
            yield from bits(part, f"{path}[{number}]")
    elif isinstance(value, np.ndarray):
        yield path, (value.shape, value.dtype.str, value.tobytes())
    else:
        yield path, value


def changed(rng: np.random.Generator, given: dict[str, Any]) -> dict[str, Any]:
    """What is given, with one thing changed at random."""
    pieces, address = given["pieces"], given["address"]
    match rng.choice(["piece", "piece", "piece", "address", "steady", "body", "hand", "timing", "back"]):
        case "piece":
            name = str(rng.choice(list(PIECES)))
            quantity = PIECES[name]
            amount = abs(rng.normal()) * HOW_FAR[quantity.unit] if name in HEELS else (
                {"hip_turn": 45.0, "shoulder_turn": 85.0, "tilt": 30.0, "extension": 25.0}.get(name, 0.0)
                + rng.normal() * HOW_FAR[quantity.unit]
            )  # fmt: skip
            return given | {"pieces": pieces.replace(**{name: min(amount, quantity.high) / quantity.per_unit})}
        case "steady":
            name = str(rng.choice(["tilt", "extension"]))
            return given | {"pieces": pieces.replace(**{name: Steady(np.radians(rng.normal() * 6.0))})}
        case "address":
            name = str(rng.choice([one for one in ADDRESS if one != "club_length"]))
            step = rng.normal() * 0.4 * HOW_FAR[ADDRESS[name].unit] / ADDRESS[name].per_unit
            return given | {"address": address.replace(**{name: float(getattr(Address(), name)) + step})}
        case "body":
            return given | {"body": Body.from_stature(1.75 + 0.05 * rng.normal())}
        case "hand":
            return given | {"left_handed": not given["left_handed"]}
        case "timing":
            name = str(rng.choice(list(PIECES)))
            return given | {"timing": {name: ((0.0, 0.0), (0.5, float(rng.uniform(0.2, 0.8))), (1.0, 1.0))}}
    return given


def start() -> dict[str, Any]:
    return {
        "body": Body.from_stature(), "address": Address(club_length=1.12), "pieces": Pieces(), "timing": None,
        "frames": FRAMES, "left_handed": False,
    }  # fmt: skip


def test_a_rehearsed_swing_is_the_simulated_one_to_the_bit() -> None:
    rng, rehearsed = np.random.default_rng(SEED), Rehearsal()
    golfers = [start() for _ in range(3)]
    for _ in range(CHANGES):
        which = int(rng.integers(len(golfers)))
        golfers[which] = changed(rng, golfers[which])
        again = golfers[int(rng.integers(len(golfers)))]
        for given in (golfers[which], again):
            assert dict(bits(rehearsed.simulate(**given))) == dict(bits(simulate(**given))), given


def test_batches_are_rehearsed_as_well(golfers: Callable[[int, int], tuple[Body, Address, Pieces]]) -> None:
    body, address, pieces = golfers(6, 3)
    rehearsed = Rehearsal()
    for turn in np.radians([30.0, 50.0, 30.0]):
        asked = pieces.replace(hip_turn=turn)
        assert dict(bits(rehearsed.simulate(body, address, asked, frames=5))) == dict(
            bits(simulate(body, address, asked, frames=5))
        )


@pytest.fixture
def done(monkeypatch: pytest.MonkeyPatch) -> Counter[str]:
    """How often each stage was worked out."""
    count: Counter[str] = Counter()

    def counted(name: str, stage: Callable[..., Any]) -> Callable[..., Any]:
        def run(*given: Any) -> Any:
            count[name] += 1
            return stage(*given)

        return run

    for name in ("stand", "base_of", "spread", "turn_hips", "hold_head", "straighten_up"):
        monkeypatch.setattr(stages, name, counted(name, getattr(stages, name)))
    return count


@pytest.mark.parametrize(
    ("change", "anew"),
    [
        ({}, []),
        ({"tilt": 0.4}, ["straighten_up"]),
        ({"extension": Steady(0.1)}, ["straighten_up"]),
        ({"shoulder_turn": 1.4}, ["hold_head", "straighten_up"]),
        ({"hip_turn": 0.7}, ["turn_hips", "hold_head", "straighten_up"]),
        ({"lead_heel_rise": 0.02}, ["turn_hips", "hold_head", "straighten_up"]),
        ({"trail_heel_rise": 0.02}, ["turn_hips", "hold_head", "straighten_up"]),
        ({"lead_flare": 0.3}, ["stand", "base_of", "spread", "turn_hips", "hold_head", "straighten_up"]),
    ],
)
def test_only_what_changes_is_worked_out_again(
    done: Counter[str], change: dict[str, Any], anew: list[str]
) -> None:  # fmt: skip
    given, rehearsed = start(), Rehearsal()
    rehearsed.simulate(**given)
    done.clear()
    kind = "address" if change.keys() & ADDRESS.keys() else "pieces"
    rehearsed.simulate(**(given | {kind: given[kind].replace(**change)}))
    assert done == Counter(anew)


def test_two_golfers_in_turn_keep_their_addresses_and_many_do_not_fill_the_memory(done: Counter[str]) -> None:
    rehearsed = Rehearsal()
    for turn in (0.5, 0.6, 0.7):
        for stature in (1.7, 1.8):
            rehearsed.simulate(Body.from_stature(stature), Address(), Pieces(hip_turn=turn), frames=3)
    assert done["stand"] == 2
    for number in range(2 * KEPT):
        rehearsed.simulate(Body.from_stature(1.6 + 0.02 * number), Address(club_length=1.12), Pieces(), frames=3)
    assert {len(kept) for kept in rehearsed._kept.values()} == {KEPT}


def test_what_is_kept_cannot_be_written_to() -> None:
    given, rehearsed = start(), Rehearsal()
    swing = rehearsed.simulate(**given)
    kept = (swing.skeleton.joints["hip_lead"], swing.achieved["hip_turn"], swing.steady["tilt"])
    for place in (*kept, swing.measures.head_moved):
        with pytest.raises(ValueError, match="read-only"):
            place += 1.0


def test_a_mistake_is_told_again(done: Counter[str]) -> None:
    rehearsed = Rehearsal()
    for _ in range(2):
        with pytest.raises(TurnstillError, match="does not reach"):
            rehearsed.simulate(Body.from_stature(1.9), Address(club_length=0.55), Pieces())
    assert done["stand"] == 2
    with pytest.raises(TurnstillError, match="frames"):
        rehearsed.simulate(**(start() | {"frames": 1}))


def test_a_negative_zero_is_another_number() -> None:
    numbers = rehearsal._numbers
    assert numbers(Pieces(sway=0.0)) != numbers(Pieces(sway=-0.0)) and numbers(True) != numbers(1)
    knots = ((0.0, 0.0), (0.5, 0.25), (1.0, 1.0))
    assert numbers({"tilt": knots}) == numbers({"tilt": tuple(knots)}) != numbers({"sway": knots})
    assert numbers(((0.0, 0.0), (1.0, 1.0))) != numbers(((0.0, -0.0), (1.0, 1.0)))
    assert numbers(np.arange(6.0)[::2]) != numbers(np.array([0.0, 2.0, 4.0]))
