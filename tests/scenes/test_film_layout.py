from __future__ import annotations

import numpy as np
import pytest
from distinct_swings import distinct_swing
from hypothesis import given
from hypothesis import strategies as st

from turnstill.model.errors import TurnstillError
from turnstill.scenes.film.layout import (
    GAP,
    LEAST,
    MOST,
    Pane,
    default_size,
    panes,
    size_of,
)
from turnstill.scenes.setups.perform import swing_of
from turnstill.scenes.setups.presets import load
from turnstill.scenes.setups.settings import apply
from turnstill.scenes.views.cameras import cameras
from turnstill.scenes.views.framing import FRAMED, cameras_for
from turnstill.scenes.views.names import ABOVE, VIEW_TITLES, VIEWS, chosen_views

LENGTHS = st.integers(LEAST // 2, MOST // 2).map(lambda half: 2 * half)
CHOICES = [VIEWS, VIEWS[:1], VIEWS[1:], VIEWS[::-1], tuple(VIEW_TITLES), (ABOVE,)]


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
    assert default_size(1, (*VIEWS, ABOVE)) == (1920, 720) and default_size(2, (*VIEWS, ABOVE)) == (1280, 2160)


def test_views_and_sizes_are_read() -> None:
    assert chosen_views(None) == VIEWS
    assert chosen_views("down-the-line, face-on") == VIEWS[::-1] and chosen_views("down the line") == VIEWS[1:]
    assert chosen_views("above") == ("above",) and chosen_views("above,face-on") == ("above", "face-on")
    assert chosen_views(" above , down-the-line,face-on") == ("above", "down-the-line", "face-on")
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


@pytest.mark.parametrize(
    "words",
    ["", "abov", "from-above", "face-on,face-on", "above,face-on,above", "face-on,", "face-on;above", "Face-On" * 90],
)
def test_other_views_are_refused_in_a_sentence(words: str) -> None:
    with pytest.raises(TurnstillError, match="face-on, down-the-line or above, or several") as wrong:
        chosen_views(words)
    assert len(str(wrong.value)) < 200 and repr(words[:60]) in str(wrong.value)


@pytest.mark.parametrize("size", [(640, 720), (160, 720), (1280, 200), (90, 158)])
@pytest.mark.parametrize(
    "settings", [(), ("handedness=left",), ("stature=150", "mass=50"), ("stature=200", "mass=120", "shoulder_turn=110")]
)
def test_the_golfer_and_the_club_stay_in_every_pane(size: tuple[int, int], settings: tuple[str, ...]) -> None:
    swings = [swing_of(apply(load(name), settings), 41) for name in ("centred", "sway")]
    places, lowest = cameras_for(swings, *size), []
    for swing, by_view in zip(swings, places, strict=True):
        joints = np.stack([swing.skeleton.joints[name] for name in FRAMED])
        for view in VIEW_TITLES:
            camera = by_view[view]
            assert (camera.width, camera.height) == size
            seen = camera.project(joints)
            assert (seen > -0.5).all() and (seen < np.array(size) - 0.5).all(), view
            if view == ABOVE:
                lowest.append(seen[..., 1].max())
                continue
            # No needless smallness: the golfer's height is a good part of what the pane allows.
            at_address = swing.skeleton[0].joints
            tall = np.ptp(camera.project(np.stack([at_address["vertex"], at_address["toe_lead"]]))[:, 1])
            assert tall > 0.35 * min(size[1], size[0] / 0.8)
    # From above, ball and club at address lie near the lower edge, so that the words stand over the golfer.
    assert max(lowest) == pytest.approx(size[1] - 0.5 - 0.04 * min(size))


def test_figures_of_one_view_can_be_compared_between_panes() -> None:
    """Two golfers of one hand share the camera; both level views and hands share the scale, those from above theirs."""
    asked = [("centred", []), ("sway", ["stature=190"]), ("centred", ["handedness=left"])]
    swings = [swing_of(apply(load(name), settings), 21) for name, settings in asked]
    one, tall, left = cameras_for(swings, 320, 360)
    for view in VIEW_TITLES:
        assert np.array_equal(one[view].K, tall[view].K) and np.array_equal(one[view].R, tall[view].R)
        assert one[view].K[0, 0] == pytest.approx(left[view].K[0, 0], rel=1e-12)
    assert one[VIEWS[0]].K[0, 0] / one[VIEWS[0]].t[2] == pytest.approx(one[VIEWS[1]].K[0, 0] / one[VIEWS[1]].t[2])


def test_panes_by_hand() -> None:
    face, line = VIEWS
    two_rows = panes(2, VIEWS, (644, 724))
    assert two_rows == [
        Pane(0, face, 0, 0, 320, 360), Pane(1, face, 324, 0, 320, 360),
        Pane(0, line, 0, 364, 320, 360), Pane(1, line, 324, 364, 320, 360),
    ]  # fmt: skip
    assert two_rows[1].place == (slice(0, 360), slice(324, 644)) and two_rows[2].place == (
        slice(364, 724),
        slice(0, 320),
    )
    # Wide: all in a row; narrow: all in a column; the swings of a view stay together.
    for size, along in (((2572, 400), "left"), ((240, 1612), "top")):
        row = panes(2, VIEWS, size)
        assert [(pane.swing, pane.view) for pane in row] == [(0, face), (1, face), (0, line), (1, line)]
        step = getattr(row[1], along)
        assert [getattr(pane, along) for pane in row] == [0, step, 2 * step, 3 * step] and step > 0
    assert [(pane.left, pane.top) for pane in panes(1, VIEWS, (1284, 720))] == [(0, 0), (644, 0)]
    assert [(pane.left, pane.top) for pane in panes(1, VIEWS, (400, 1004))] == [(0, 0), (0, 504)]


@pytest.mark.parametrize("size", [(320, 360), (200, 700), (900, 240)])
def test_cameras_zoom_out_and_shift_no_more_than_the_club_needs(size: tuple[int, int]) -> None:
    """On joints that are anywhere: nothing is cut off, one edge is reached, and the ground stays in the same row."""
    swings = [distinct_swing(1), distinct_swing(2), distinct_swing(3, left_handed=True)]
    for swing in swings:
        for name in FRAMED:
            swing.skeleton.joints[name] *= [1.5, 2.4, 2.0]
    plain, framed = cameras(swings, *size), cameras_for(swings, *size)
    margin, (width, height) = 0.04 * min(size), size
    K = {view: [(one[view].K, other[view].K) for one, other in zip(plain, framed, strict=True)] for view in VIEWS}
    scale = K[VIEWS[0]][0][1][0, 0] / K[VIEWS[0]][0][0][0, 0]
    assert scale < 1
    tight = []
    for view in VIEWS:
        for hand in ((0, 1), (2,)):
            joints = [np.stack([swings[k].skeleton.joints[name] for name in FRAMED]).reshape(-1, 3) for k in hand]
            places = np.concatenate([framed[k][view].project(own) for k, own in zip(hand, joints, strict=True)])
            # Gaps to the picture's edges, which lie half a pixel beyond the outermost pixels' middles.
            left, up = places.min(axis=0) + 0.5
            right = width - 0.5 - places[:, 0].max()
            assert min(left, right, up) > margin - 1e-6
            tight.append(abs(left - margin) + abs(right - margin) < 1e-6 or abs(up - margin) < 1e-6)
            for k in hand:
                old, new = K[view][k]
                # Rows are scaled about the lower edge; columns move only where the club would be cut off there.
                assert height - 0.5 - new[1, 2] == pytest.approx(scale * (height - 0.5 - old[1, 2]))
                assert (new[0, 0] / old[0, 0], new[1, 1] / old[1, 1]) == pytest.approx((scale, scale))
                shift = new[0, 2] - (width - 1) / 2
                assert shift == pytest.approx(0) or (left if shift > 0 else right) == pytest.approx(margin)
    assert any(tight)


@pytest.mark.parametrize("size", [(320, 360), (200, 700), (900, 240)])
def test_from_above_the_camera_zooms_out_on_its_own_and_no_more_than_it_needs(size: tuple[int, int]) -> None:
    swings = [distinct_swing(1), distinct_swing(2), distinct_swing(3, left_handed=True)]
    for swing in swings:
        for name in FRAMED:
            swing.skeleton.joints[name] *= [4.5, 3.4, 1.0]
    plain, framed = cameras(swings, *size), cameras_for(swings, *size)
    margin, room = 0.04 * min(size), np.array(size) - 0.08 * min(size)
    scales = [other[ABOVE].K[0, 0] / one[ABOVE].K[0, 0] for one, other in zip(plain, framed, strict=True)]
    assert scales == pytest.approx([scales[0]] * 3) and scales[0] < 1
    assert not np.isclose(scales[0], framed[0][VIEWS[0]].K[0, 0] / plain[0][VIEWS[0]].K[0, 0])
    full = []
    for hand in ((0, 1), (2,)):
        joints = [np.stack([swings[k].skeleton.joints[name] for name in FRAMED]).reshape(-1, 3) for k in hand]
        places = np.concatenate([framed[k][ABOVE].project(own) for k, own in zip(hand, joints, strict=True)]) + 0.5
        assert (places.min(axis=0) > margin - 1e-6).all() and places[:, 0].max() < size[0] - margin + 1e-6
        assert places[:, 1].max() == pytest.approx(size[1] - margin)
        full.append(np.ptp(places, axis=0) / room)
    assert np.max(full) == pytest.approx(1.0)


def test_a_size_is_even_in_both_ways() -> None:
    assert size_of("161x163") == (160, 162) and size_of("3840x3840") == (3840, 3840)
    for words in ("158x200", "200x158", "3842x200", "200x3842", "159x200", "3841x200"):
        with pytest.raises(TurnstillError, match="WIDTHxHEIGHT"):
            size_of(words)
