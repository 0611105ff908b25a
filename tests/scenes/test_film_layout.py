from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from turnstill.model.errors import TurnstillError
from turnstill.scenes.film.layout import (
    FRAMED,
    GAP,
    LEAST,
    MOST,
    cameras_for,
    chosen_views,
    default_size,
    panes,
    size_of,
)
from turnstill.scenes.setups.perform import swing_of
from turnstill.scenes.setups.presets import load
from turnstill.scenes.setups.settings import apply
from turnstill.scenes.views.shown_swing import VIEWS

LENGTHS = st.integers(LEAST // 2, MOST // 2).map(lambda half: 2 * half)
CHOICES = [VIEWS, VIEWS[:1], VIEWS[1:], VIEWS[::-1]]


@given(st.sampled_from([1, 2]), st.sampled_from(CHOICES), LENGTHS, LENGTHS)
def test_panes_never_overlap_and_fill_the_picture(swings: int, views: tuple[str, ...], width: int, height: int) -> None:
    layout = panes(swings, views, (width, height))
    assert sorted((pane.swing, pane.view) for pane in layout) == sorted((s, v) for s in range(swings) for v in views)
    assert len({(pane.width, pane.height) for pane in layout}) == 1
    # Each row and each column of pixels is taken by at most one row and one column of panes; only gaps are free.
    for length, begin, extent in ((width, "left", "width"), (height, "top", "height")):
        taken = np.zeros(length, int)
        for start in {getattr(pane, begin) for pane in layout}:
            end = start + getattr(layout[0], extent)
            assert 0 <= start < end <= length
            taken[start:end] += 1
        lanes = len({getattr(pane, begin) for pane in layout})
        assert taken.max() == 1 and (taken == 0).sum() < GAP * (lanes - 1) + lanes
    assert len({(pane.left, pane.top) for pane in layout}) == len(layout)


@given(st.sampled_from(CHOICES), LENGTHS, LENGTHS)
def test_the_two_swings_of_a_view_stand_next_to_each_other(views: tuple[str, ...], width: int, height: int) -> None:
    layout = panes(2, views, (width, height))
    for view in views:
        one, other = (next(pane for pane in layout if (pane.swing, pane.view) == (k, view)) for k in (0, 1))
        beside = one.top == other.top and other.left == one.left + one.width + GAP
        below = one.left == other.left and other.top == one.top + one.height + GAP
        assert beside or below


def test_sizes_without_asking() -> None:
    assert default_size(1, VIEWS) == (1280, 720)
    assert default_size(2, VIEWS) == (1280, 1440) and default_size(2, VIEWS[:1]) == (1280, 720)
    assert default_size(1, VIEWS[:1]) == (640, 720)


def test_views_and_sizes_are_read() -> None:
    assert chosen_views(None) == VIEWS
    assert chosen_views("down-the-line, face-on") == VIEWS[::-1] and chosen_views("down the line") == VIEWS[1:]
    assert size_of("1280x720") == (1280, 720) and size_of(" 641 X 721 ") == (640, 720)
    assert size_of("160×3840") == (160, 3840)


@pytest.mark.parametrize(
    "words",
    ["", "x", "1280", "0x0", "-640x480", "159x400", "400x3841", "640x480x3", "6e2x480", "nanxnan", "٦٤٠x480",
     "9" * 500 + "x640", "640 480", "640.0x480"],
)  # fmt: skip
def test_other_sizes_are_refused_in_a_sentence(words: str) -> None:
    with pytest.raises(TurnstillError, match="WIDTHxHEIGHT in pixels, each 160 to 3840") as wrong:
        size_of(words)
    assert len(str(wrong.value)) < 180


@pytest.mark.parametrize("words", ["", "above", "face-on,face-on", "face-on,", "face-on;down-the-line", "Face-On" * 90])
def test_other_views_are_refused_in_a_sentence(words: str) -> None:
    with pytest.raises(TurnstillError, match="face-on, down-the-line, or both") as wrong:
        chosen_views(words)
    assert len(str(wrong.value)) < 180


@pytest.mark.parametrize("size", [(640, 720), (160, 720), (1280, 200), (90, 158)])
@pytest.mark.parametrize(
    "settings", [(), ("handedness=left",), ("stature=150", "mass=50"), ("stature=200", "mass=120", "shoulder_turn=110")]
)
def test_the_golfer_and_the_club_stay_in_every_pane(size: tuple[int, int], settings: tuple[str, ...]) -> None:
    swings = [swing_of(apply(load(name), settings), 41) for name in ("centred", "sway")]
    places = cameras_for(swings, *size)
    for swing, by_view in zip(swings, places, strict=True):
        joints = np.stack([swing.skeleton.joints[name] for name in FRAMED])
        for view in VIEWS:
            camera = by_view[view]
            assert (camera.width, camera.height) == size
            seen = camera.project(joints)
            assert (seen > -0.5).all() and (seen < np.array(size) - 0.5).all(), view
            # No needless smallness: the golfer's height is a good part of what the pane allows.
            at_address = swing.skeleton[0].joints
            tall = np.ptp(camera.project(np.stack([at_address["vertex"], at_address["toe_lead"]]))[:, 1])
            assert tall > 0.35 * min(size[1], size[0] / 0.8)


def test_figures_of_one_view_can_be_compared_between_panes() -> None:
    """Two golfers of one hand share the camera; all views and hands share the scale."""
    asked = [("centred", []), ("sway", ["stature=190"]), ("centred", ["handedness=left"])]
    swings = [swing_of(apply(load(name), settings), 21) for name, settings in asked]
    one, tall, left = cameras_for(swings, 320, 360)
    for view in VIEWS:
        assert np.array_equal(one[view].K, tall[view].K) and np.array_equal(one[view].R, tall[view].R)
        assert one[view].K[0, 0] == pytest.approx(left[view].K[0, 0], rel=1e-12)
    assert one[VIEWS[0]].K[0, 0] / one[VIEWS[0]].t[2] == pytest.approx(one[VIEWS[1]].K[0, 0] / one[VIEWS[1]].t[2])
