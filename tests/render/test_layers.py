from __future__ import annotations

import numpy as np
import pytest

from turnstill.render.stage.layers import (
    FILL_OPACITY,
    LIGHT_PX,
    OUTLINE_PX,
    Layers,
    Patch,
    distance_inside,
    outlined,
    over,
    shrink,
)


def test_shrinking_is_the_mean_of_each_block() -> None:
    rng = np.random.default_rng(0)
    pixels = np.uint8(rng.integers(0, 256, (8, 12, 4)))
    pixels[..., 3] = 255 * rng.integers(0, 2, (8, 12))
    pixels[..., :3] *= pixels[..., 3:] // 255
    mean = pixels.reshape(4, 2, 6, 2, 4).mean(axis=(1, 3)) / 255
    assert np.abs(shrink(pixels, 2) - mean).max() <= 0.51 / 255


def test_over_is_the_mix_by_alpha() -> None:
    below = np.full((1, 3, 3), 0.2, np.float32)
    top = np.float32([[[0.4, 0.4, 0.4, 1.0], [0.3, 0.3, 0.3, 0.5], [0, 0, 0, 0]]])
    assert np.allclose(over(top, below)[0, :, 0], [0.4, 0.3 + 0.5 * 0.2, 0.2])


def test_how_far_a_pixel_is_inside_a_straight_edge() -> None:
    coverage = np.zeros((60, 80), np.float32)
    coverage[:, 40:] = 1
    row = distance_inside(coverage, 6.0)[30]
    # The edge is half a pixel left of the first covered pixel's middle.
    assert np.allclose(row[36:46], np.arange(36, 46) - 39.5, atol=0.25)
    assert (row[:30] < -6).all() and (row[50:] > 6).all()


def test_an_outline_lies_inside_along_the_edge_light_between_two_dark_lines() -> None:
    coverage = np.zeros((100, 720), np.float32)
    coverage[:, 300:] = 1
    row = outlined(coverage)[50]
    # Premultiplied: colours over alpha; outside there is nothing but the smoothed edge's own pixel.
    assert (row[:299] == 0).all() and row[299, 3] < 0.75
    solid = row[300:310]
    alpha, grey = solid[:, 3], solid[:, :3].mean(axis=1)
    opaque = alpha > 0.9
    assert opaque.sum() == pytest.approx(OUTLINE_PX, abs=1) and opaque[1]
    light = grey > 0.9
    assert 1 <= light.sum() <= LIGHT_PX + 1 and abs(np.flatnonzero(light).mean() + 0.5 - OUTLINE_PX / 2) < 0.6
    # Dark on both sides of the light.
    first, last = np.flatnonzero(light)[[0, -1]]
    assert grey[:first].min() < 0.6 and grey[last + 1 : last + 4].min() < 0.6
    # Further in, a pale shape that lets the scene through.
    assert np.allclose(row[330:700], FILL_OPACITY, atol=0.01)


def test_an_outline_is_as_wide_for_its_picture_but_never_vanishes() -> None:
    def wide(width: int) -> int:
        coverage = np.zeros((60, width), np.float32)
        coverage[:, width // 2 :] = 1
        return int((outlined(coverage)[30, :, 3] > 0.9).sum())

    assert wide(1440) == pytest.approx(2 * wide(720), abs=1.5)
    assert wide(180) == wide(360) >= 2


def test_a_patch_lies_where_it_says() -> None:
    patch = Patch(np.arange(1.0, 13.0, dtype=np.float32).reshape(2, 3, 2), 4, 1)
    whole = patch.whole(5, 9)
    assert whole.shape == (5, 9, 2) and (whole != 0).sum() == 12
    assert np.array_equal(whole[1:3, 4:7], patch.pixels) and np.array_equal(whole[patch.place], patch.pixels)


def test_the_ghost_shows_only_where_the_figure_is_not() -> None:
    """Its outline over the figure would read as a seam on the clothes."""
    ground = np.full((90, 120, 3), 0.5, np.float32)
    solid, ghost = np.zeros((90, 120, 4), np.float32), np.zeros((90, 120), np.float32)
    solid[15:75, 15:60] = [1, 0, 0, 1]
    ghost[15:75, 36:105] = 1
    picture = Layers(ground, np.zeros((90, 120), np.float32), solid, ghost).compose()
    assert (picture[15:75, 15:60] == (255, 0, 0)).all()
    # A shadow's depth of nought leaves the ground as it is; the ghost's edge is dark and light, and paler inside.
    assert (picture[:10] == 128).all()
    edge = picture[45, 98:106].astype(int)
    assert edge.min() < 100 and edge.max() > 220
    assert (picture[45, 70:90] > 140).all() and (picture[45, 70:90] < 200).all()
    bare = Layers(ground, np.ones((90, 120), np.float32), solid).compose()
    assert np.allclose(bare[5, 5], 0.66 * 127.5, atol=1) and (bare[45, 70:90] == bare[5, 5]).all()


def test_labels_keep_off_figure_and_ghost_alike() -> None:
    solid, ghost = np.zeros((4, 4, 4), np.float32), np.zeros((4, 4), np.float32)
    solid[0, 0, 3], solid[1, 1, 3], ghost[2, 2], ghost[3, 3] = 1, 0.4, 1, 0.4
    ground, shadow = np.zeros((4, 4, 3), np.float32), np.zeros((4, 4), np.float32)
    both, alone = Layers(ground, shadow, solid, ghost).covered(), Layers(ground, shadow, solid).covered()
    assert np.argwhere(both).tolist() == [[0, 0], [2, 2]] and np.argwhere(alone).tolist() == [[0, 0]]
