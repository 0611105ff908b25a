"""What a researcher finds at a Python prompt."""

from __future__ import annotations

import ast
import importlib
import pkgutil
import subprocess
import sys
import types
from pathlib import Path

import numpy as np
import pytest

import turnstill as ts
from turnstill.model.golfer.pieces import Quantity

STUB = ast.parse(Path(ts.__file__).read_text(encoding="utf-8"))


def stubs() -> dict[str, str]:
    """Every public name and the module that the type stub says it comes from."""
    (block,) = [node for node in STUB.body if isinstance(node, ast.If)]
    return {
        alias.name: f"turnstill.{node.module}"
        for node in block.body
        if isinstance(node, ast.ImportFrom)
        for alias in node.names
    }


def test_dir_lists_what_there_is_and_the_stub_knows_it() -> None:
    assert dir(ts) == sorted(ts.__all__) and set(stubs()) == set(ts.__all__) - {"__version__"}
    assert {"PIECES", "ADDRESS", "READINGS", "JOINTS", "Stage", "Look", "preset", "face_on"} <= set(dir(ts))
    with pytest.raises(AttributeError, match="no attribute 'swingle'"):
        ts.swingle  # noqa: B018


def test_every_name_is_what_the_stub_says_whatever_was_imported_before() -> None:
    for name, home in stubs().items():
        importlib.import_module(home)
        for module in pkgutil.walk_packages(importlib.import_module("turnstill.model").__path__, "turnstill.model."):
            if module.name.endswith(f".{name}"):
                importlib.import_module(module.name)  # a module of the same name must not take its place
        found = getattr(ts, name)
        assert not isinstance(found, types.ModuleType), name
        assert found is getattr(importlib.import_module(home), name), name
    assert not any(module.name in ts.__all__ for module in pkgutil.iter_modules(ts.__path__))


def test_what_the_docstring_says_runs() -> None:
    assert ts.__doc__ is not None
    _, _, after = ts.__doc__.partition("front door::\n")
    code, _, _ = after.partition("Everything is")
    found: dict[str, object] = {}
    exec("\n".join(line.removeprefix("    ") for line in code.splitlines()), found)
    swing, swings = found["swing"], found["swings"]
    assert isinstance(swing, ts.Swing) and swing.measures.head_moved.shape == (41, 3)
    assert isinstance(swings, ts.Swing) and swings[2].achieved["hip_turn"].shape == (41,)


def test_nothing_heavy_loads_until_it_is_touched() -> None:
    code = (
        "import sys, turnstill as ts; dir(ts); assert 'numpy' not in sys.modules; ts.simulate, ts.face_on;"
        "heavy = {'pyvista', 'pydantic', 'matplotlib', 'vtk', 'rich', 'trimesh'} & set(sys.modules);"
        "assert not heavy, heavy"
    )
    subprocess.run([sys.executable, "-c", code], check=True, capture_output=True, text=True)


@pytest.mark.parametrize("name", ts.preset_names())
def test_presets_come_by_name(name: str) -> None:
    from turnstill.scenes.setups.perform import swing_of
    from turnstill.scenes.setups.presets import load

    assert ts.simulate(*ts.preset(name), frames=3) == swing_of(load(name), 3)


@pytest.mark.parametrize(
    ("kind", "name", "wrong", "sentence"),
    [
        (ts.Pieces, "hip_turn", 45.0, "hip_turn was 2578.31 deg, but must be a number between -60 and 150 deg"),
        (ts.Pieces, "tilt", ts.Steady(10.0), "tilt was 572.958 deg, but must be a number between -60 and 90 deg"),
        (ts.Pieces, "sway", [0.0, 3.0], "sway was 300 cm, but must be a number between -40 and 40 cm; .* in metres"),
        (ts.Pieces, "lead_heel_rise", -0.01, "lead_heel_rise was -1 cm, but must be a number between 0 and 10 cm"),
        (ts.Address, "lead_flare", 20, "lead_flare was 1145.92 deg, .* in radians, for example np.radians"),
        (ts.Address, "stance_width", float("nan"), "stance_width was nan cm"),
        (ts.Address, "knee_flex", "wide", "knee_flex must be a number or an array of numbers, not 'wide'"),
    ],
)
def test_degrees_given_by_mistake_are_one_sentence(kind: type, name: str, wrong: object, sentence: str) -> None:
    with pytest.raises(ts.TurnstillError, match=sentence):
        kind(**{name: wrong})


@pytest.mark.parametrize(("kind", "table"), [(ts.Pieces, ts.PIECES), (ts.Address, ts.ADDRESS)])
def test_both_ends_of_every_range_may_be_asked_for_and_nothing_past_them(
    kind: type, table: dict[str, Quantity]
) -> None:
    per_unit = {"deg": np.pi / 180.0, "cm": 0.01}
    for name, quantity in table.items():
        for end, out in ((quantity.low, -1e-3), (quantity.high, 1e-3)):
            kind(**{name: end * per_unit[quantity.unit]})
            with pytest.raises(ts.OutOfRange, match=f"^{name} was"):
                kind(**{name: (end + out) * per_unit[quantity.unit]})


def test_a_film_of_an_address_at_its_limit_can_be_diagnosed() -> None:
    """Its uncertainty reaches past what may be asked for, which is no mistake of whoever asks."""
    high = {name: ts.ADDRESS[name].high for name in ("lead_flare", "trail_flare")}
    address = ts.Address(**{name: np.radians(value) for name, value in high.items()})
    assert np.isfinite(ts.diagnose(ts.Body.from_stature(), address, {"head_up": 0.02}).largest).all()


def test_shapes_that_do_not_broadcast_are_one_sentence() -> None:
    three, four = np.full(3, 0.5), np.full(4, 0.5)
    with pytest.raises(ts.TurnstillError, match=r"hip_turn has \(3,\) and lead_flex_change has \(4,\)"):
        ts.Pieces(hip_turn=three, lead_flex_change=four)
    for ask in (ts.simulate, ts.most_hip_turn, ts.experiment):
        with pytest.raises(ts.TurnstillError, match=r"address.lead_flare has \(4,\) and pieces.hip_turn has \(3,\)"):
            ask(ts.Body.from_stature(), ts.Address(lead_flare=four), ts.Pieces(hip_turn=three))
    with pytest.raises(ts.TurnstillError, match=r"stature_m has \(3,\) and mass_kg has \(4,\)"):
        ts.Body.from_stature(np.full(3, 1.8), np.full(4, 80.0))
    with pytest.raises(ts.TurnstillError, match=r"address.lead_flare has \(4,\) and readings.head_up has \(3,\)"):
        ts.diagnose(ts.Body.from_stature(), ts.Address(lead_flare=four), {"head_up": three})


def test_what_is_drawn_stands_swings_and_spreads_as_said() -> None:
    from turnstill.model.golfer import address, pieces

    def drawn(seed: int) -> ts.Swing:
        rng = np.random.default_rng(seed)
        return ts.simulate(ts.Body.draw(rng, 400), ts.Address.draw(rng, 400), ts.Pieces.draw(rng, 400), frames=2)

    swings = drawn(3)
    assert swings.converged.all() and swings.address_balanced.all() and drawn(3) == swings and drawn(4) != swings
    for made, usual, spread in (
        (swings.address, ts.Address(), address.SPREAD), (swings.pieces, ts.Pieces(), pieces.SPREAD),
    ):  # fmt: skip
        for name, sd in spread.items():
            off = (np.asarray(getattr(made, name)) - getattr(usual, name)) / sd
            # Cut at two sd, a normal distribution's sd is 0.96 (a point mass of 0.023 at each end counted in).
            assert abs(off.mean()) < 0.16 and 0.88 < off.std() < 1.04 and np.abs(off).max() <= 2.0 + 1e-9, name
