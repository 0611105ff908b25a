"""The most hip turn against what people were measured to turn. The model does not meet it, and this says by how much.

Montgomery, Boocock & Hing 2011 (Clin Biomech 26:707-712, abstract read; 20 men, optoelectronic): with the trunk
inclined by 45 degrees the most pelvic rotation is 25.5 degrees, or 40 %, less than standing, so about 64 and 38.
Delphinus & Sayers 2013 (Ergonomics 56:659-666, abstract read; 57 people): 46 % less. Where the feet stood, whether the
knees were straight and about which axis a turn was read is in neither abstract, so feet straight and turned out by 10
degrees, knees straight and hip joints above the ankles are tried here.
"""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from turnstill.model import ADDRESS, Address, Body, Pieces, simulate
from turnstill.model.arrays import Array
from turnstill.model.golfer.measured_turn import BENT, UPRIGHT
from turnstill.model.golfer.ranges import LEG_RANGES, SIDES, STRAIGHT_KNEE_SHARE
from turnstill.model.questions.available import most_hip_turn

MODEL = Path(__file__).parents[2] / "docs" / "model.md"
FALL_DEG, FALL_SHARE, OTHER_FALL_SHARE = 25.5, 0.40, 0.46
"""As printed in the two abstracts."""
HIPS = 0.175
"""m between the default body's hip joints; the ankles stand below them."""
BEND, FLARE = np.array([0.0, 45.0, 0.0, 45.0]), np.array([0.0, 0.0, 10.0, 10.0])
"""The four postures of the table in docs/model.md, degrees; the fifth is the golfer of the presets."""
SHIN_INTERNAL, SHIN_EXTERNAL = (STRAIGHT_KNEE_SHARE[f"shin_{way}_rotation"] for way in ("internal", "external"))
FOOT = {"shin_internal_rotation": 25.0 + 0.68 * 19.1 / SHIN_INTERNAL,
        "shin_external_rotation": 45.0 + 0.68 * 34.6 / SHIN_EXTERNAL}  # fmt: skip
"""A straight knee's shin, freer by what a foot that rolls all it can (19.1 and 34.6) would turn it at 0.68 a degree."""
PRONE, SEATED = (35.35, 42.57), (27.85, 34.61)
TRIED: dict[str, dict[str, float]] = {
    "the model as it is": {},
    "hips turned by oneself, prone": dict(zip(("internal", "external"), PRONE, strict=True)),
    "hips turned by oneself, seated": dict(zip(("internal", "external"), SEATED, strict=True)),
    "hips turned by an examiner, supine": {"internal": 29.6, "external": 38.5},
    "hips turned by an examiner, seated": {"internal": 37.9, "external": 40.6},
    "shins turned by oneself": {"shin_internal_rotation": 40.0 / 3.0, "shin_external_rotation": 80.0 / 3.0},
    "feet that roll turn the shins": FOOT,
}
"""Rows of the table to the ranges they stand for, degrees."""


def people(rows: list[dict[str, float]]) -> dict[str, Array]:
    """Ranges ``(rows, 1)`` rad of both legs, the model's own where a row has none."""
    out = {}
    for name, published in LEG_RANGES.items():
        short = name.removeprefix("hip_").removesuffix("_rotation")
        value = np.radians([[row.get(name, row.get(short, published.male))] for row in rows])
        out |= {f"{side}_{name}": value for side in SIDES}
    return out


def standing(bend: Array, flare: Array, knee: float = 0.0) -> Address:
    """Feet below the hips, the trunk inclined from the hips."""
    turned, inclined = np.radians(flare), np.radians(bend)
    return Address(
        lead_flare=turned, trail_flare=turned, stance_width=HIPS, knee_flex=np.radians(knee), forward_bend=inclined,
        pelvis_bend=inclined, side_bend=0.0, ball_position=0.0, club_length=1.3,
    )  # fmt: skip


STILL = Pieces(lead_flex_change=0.0, trail_flex_change=0.0)
POSTURES, GOLFER = standing(BEND, FLARE), Address()
FIVE = Address(**{
    name: np.append(np.broadcast_to(getattr(POSTURES, name), 4), getattr(GOLFER, name)) for name in ADDRESS
})  # fmt: skip
FIVE_PIECES = Pieces(**{
    name: np.append(np.zeros(4), getattr(Pieces(), name)) for name in ("lead_flex_change", "trail_flex_change")
})  # fmt: skip


def most(address: Address, ranges: dict[str, Array] | None = None, pieces: Pieces = STILL) -> Array:
    """Degrees."""
    found = most_hip_turn(Body.from_stature(1.75, 80.0, ranges=ranges), address, pieces)
    assert np.all(found.converged)
    return np.degrees(found.hip_turn)


def about_its_own_axis(turns: Array, ranges: dict[str, Array]) -> Array:
    """Turns of the four postures read as bend, tilt and turn: the turn is then about the pelvis's own axis."""
    body, pieces = Body.from_stature(1.75, 80.0, ranges=ranges), STILL.replace(hip_turn=np.radians(turns))
    pelvis = simulate(body, POSTURES, pieces, frames=2).skeleton.frames["pelvis"][..., -1, :, :]
    return -Rotation.from_matrix(pelvis.reshape(-1, 3, 3)).as_euler("YXZ", degrees=True)[:, 2].reshape(turns.shape)


@pytest.fixture(scope="module")
def tried() -> dict[str, Array]:
    """The most hip turn of the five postures with the ranges of each row, degrees."""
    return dict(zip(TRIED, most(FIVE, people(list(TRIED.values())), FIVE_PIECES), strict=True))


def written() -> dict[str, list[float]]:
    """The table of docs/model.md by its rows' labels; NaN where a row has nothing to say."""
    text = MODEL.read_text(encoding="utf-8").split("## Hips, measured against people")[1].split("\n## ")[0]
    rows = (re.split(r" *\| *", line.strip("| ")) for line in text.splitlines() if line.startswith("|"))
    return {row[0]: [float(cell.rstrip("°").replace("–", "nan")) for cell in row[1:6]] for row in rows if "°" in row[1]}


def test_the_measured_figures_follow_from_what_is_printed() -> None:
    assert UPRIGHT.hip_turn_deg * FALL_SHARE == pytest.approx(FALL_DEG)
    assert UPRIGHT.hip_turn_deg - BENT.hip_turn_deg == pytest.approx(FALL_DEG)
    assert (UPRIGHT.trunk_bend_deg, BENT.trunk_bend_deg) == (0.0, 45.0)
    assert written()["measured"][:2] == [round(UPRIGHT.hip_turn_deg), round(BENT.hip_turn_deg)]


def test_upright_the_most_turn_is_the_sum_of_hip_shin_and_foot() -> None:
    """Straight legs turn about the vertical: trail hip in, shin in and flare, or lead hip out, shin out less flare."""
    flare = np.array([-10.0, 0.0, 5.0, 10.0, 15.0, 20.0])
    one = {name: row.male for name, row in LEG_RANGES.items()}
    trail = one["hip_internal_rotation"] + SHIN_INTERNAL * one["shin_internal_rotation"] + flare
    lead = one["hip_external_rotation"] + SHIN_EXTERNAL * one["shin_external_rotation"] - flare
    np.testing.assert_allclose(most(standing(np.zeros(6), flare)), np.minimum(trail, lead), atol=0.5)


def test_by_how_much_the_model_misses_what_people_do(tried: dict[str, Array]) -> None:
    """Too little upright, too much bent: the bend takes 40 to 46 % from people and nothing from the model."""
    upright, bent, upright_out, bent_out, golfer = tried["the model as it is"]
    assert 17.0 < UPRIGHT.hip_turn_deg - upright < 20.0 and 7.0 < UPRIGHT.hip_turn_deg - upright_out < 10.0
    assert 5.0 < bent - BENT.hip_turn_deg < 8.0 and 15.0 < bent_out - BENT.hip_turn_deg < 18.0
    for here, there in ((upright, bent), (upright_out, bent_out)):
        assert abs(there - here) < 1.0 and 1.0 - there / here < 0.05 < FALL_SHARE < OTHER_FALL_SHARE
    # The golfer of the presets is offered more than people turned even upright: a ceiling.
    assert 5.0 < golfer - UPRIGHT.hip_turn_deg < 10.0


@pytest.mark.xfail(
    strict=True, raises=AssertionError, reason="bending takes nothing from the model's turn; see docs/model.md"
)
def test_the_model_agrees_with_people() -> None:
    """Both postures within five degrees with the feet turned out alike, by anything up to 20 degrees."""
    flare = np.array([[0.0], [5.0], [10.0], [15.0], [20.0]])
    off = most(standing(np.array([0.0, 45.0]), flare)) - [UPRIGHT.hip_turn_deg, BENT.hip_turn_deg]
    assert np.any(np.all(np.abs(off) < 5.0, axis=-1))


def test_the_explanations_tried_are_what_the_model_says(tried: dict[str, Array]) -> None:
    table = written()

    def is_written(name: str, turns: Array) -> None:
        np.testing.assert_allclose(table.pop(name)[: turns.size], turns, atol=0.51, err_msg=name)

    for name, turns in tried.items():
        # Shins that are freer by the foot are those of straight knees.
        is_written(name, turns[:4] if TRIED[name] is FOOT else turns)
    is_written("knees flexed by 20°", most(standing(BEND, FLARE, 20.0)))
    # Upright as prone; bent half way to seated, since the hips are bent by about 45 degrees.
    half = [0.5 * (a + b) for a, b in zip(PRONE, SEATED, strict=True)]
    own_hips = [dict(zip(("internal", "external"), each, strict=True)) | FOOT for each in (PRONE, half)]
    turns = np.stack([tried["the model as it is"][:4], *most(POSTURES, people(own_hips))])
    as_it_is, prone, bent = about_its_own_axis(turns, people([{}, *own_hips]))
    is_written("read about the pelvis's own axis", as_it_is)
    is_written("feet, own hips and own axis together", np.where(BEND > 0.0, bent, prone))
    assert set(table) == {"measured"}
