"""A sheet of a data set: each label drawn where it says, and each spread under its own name."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
import pytest

from turnstill.model.errors import TurnstillError
from turnstill.scenes.dataset.layout.sample import KEYPOINTS
from turnstill.scenes.dataset.looking.spread import values_of
from turnstill.scenes.dataset.looking.tile import (
    BOX_COLOUR,
    FOUND_COLOUR,
    LEFT_COLOUR,
    MIDDLE_COLOUR,
    RIGHT_COLOUR,
    TILE_PX,
    WORDS_PX,
    tile,
)
from turnstill.scenes.dataset.looking.work import look_to

SIDE = TILE_PX - WORDS_PX
"""Of a square picture in its tile: one pixel each."""
GREY = (90, 90, 90)


def label(**points: tuple[float, float, int]) -> dict[str, Any]:
    return {
        "key": "s00007-w01-faceon-m02", "progress": 0.25, "faults": ["hip_turn"],
        "bbox": (20, 30, 100, 200), "head_cm": {"toward_target": 1.5, "toward_ball": -2.5, "up": 3.5},
        "keypoints": [points.get(name, (0.0, 0.0, 0)) for name in KEYPOINTS],
    }  # fmt: skip


def drawn(found: list[list[float]] | None = None, **points: tuple[float, float, int]) -> np.ndarray:
    picture = np.full((SIDE, SIDE, 3), GREY, np.uint8)
    return np.asarray(tile(picture, np.zeros((SIDE, SIDE), np.uint8), label(**points), found))


def test_seen_keypoints_are_discs_and_covered_ones_rings_in_the_colour_of_their_side() -> None:
    shown = drawn(left_knee=(60, 180, 2), right_wrist=(150, 90, 1), nose=(220, 40, 2))
    assert tuple(shown[180, 60]) == LEFT_COLOUR
    assert tuple(shown[40, 220]) == MIDDLE_COLOUR
    assert tuple(shown[90, 150]) == GREY
    assert RIGHT_COLOUR in {tuple(pixel) for pixel in shown[90, 144:157]}


def test_a_keypoint_outside_is_not_drawn_and_the_box_is() -> None:
    shown = drawn()
    assert tuple(shown[100, 20]) == BOX_COLOUR
    assert {tuple(pixel) for pixel in shown[:SIDE].reshape(-1, 3)} == {GREY, BOX_COLOUR, (255, 255, 255)}


def test_what_a_detector_found_is_joined_to_what_is_true() -> None:
    found = [[0.0, 0.0]] * len(KEYPOINTS)
    found[KEYPOINTS.index("left_hip")] = [240.0, 150.0]
    shown = drawn(found, left_hip=(160, 150, 2))
    assert tuple(shown[150, 200]) == FOUND_COLOUR
    assert tuple(shown[150, 240]) == FOUND_COLOUR


def test_spreads_stand_under_their_own_names() -> None:
    sample = {
        **label(left_hip=(1, 2, 2), nose=(3, 4, 1)), "split": "train", "view": "face-on", "inclination_deg": 33.0,
        "area": 50, "body": {"stature_cm": 171.0, "mass_kg": 72.0, "sex": "female", "handedness": "left"},
        "pieces": {"departures": {"hip_turn_deg": 11.0, "sway_cm": -4.0}}, "address": {"ball_position_cm": 5.0},
        "camera": {"width": 20, "height": 10, "off_square": {"yaw_deg": 6.0}},
        "appearance": {
            "skin_tone": 0.4, "occluders": [{}, {}], "look": {"legwear": "skirt", "hair_style": "tied back"},
            "place": {"ground": "mat", "backdrop": "net"}, "light": {"key_strength": 0.7, "stripes": None},
        },
        "sensor": {"exposure": 1.2, "noise": 9.0, "shutter_s": 0.004, "jpeg_quality": None},
    }  # fmt: skip
    values = values_of([sample])
    by_hand = {
        "faults": ["hip_turn"], "head toward target, cm": [1.5], "head toward ball, cm": [-2.5], "head up, cm": [3.5],
        "hip turn beyond, deg": [11.0], "sway beyond, cm": [-4.0], "ball position, cm": [5.0], "camera yaw deg": [6.0],
        "golfer's pixels, share": [0.25], "things before": ["2"], "bars of shade": ["without"], "legs": ["skirt"],
        "hair": ["tied back"], "stature, cm": [171.0], "mass, kg": [72.0], "hand": ["left"], "noise": [9.0],
        "exposure": [1.2], "shutter, s": [0.004], "JPEG quality": [100.0], "ground": ["mat"], "backdrop": ["net"],
        "key light": [0.7], "skin tone": [0.4], "inclination, deg": [33.0], "progress": [0.25], "sex": ["female"],
    }  # fmt: skip
    assert {name: values[name] for name in by_hand} == by_hand
    assert sorted(values["keypoints"]) == ["covered", *["outside"] * 15, "seen"]


def test_only_a_png_can_be_written(tmp_path: Path) -> None:
    with pytest.raises(TurnstillError, match=r"--out was 'a\.jpg', but must be a file that ends in \.png"):
        look_to(str(tmp_path), "a.jpg", results=None, split="test")
    with pytest.raises(TurnstillError, match=r"holds no data set"):
        look_to(str(tmp_path), "a.png", results=None, split="test")
