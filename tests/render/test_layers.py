from __future__ import annotations

import numpy as np

from turnstill.render.stage.layers import Layers, ghostly, outline, over, shrink


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


def test_a_ghost_keeps_its_lightness_and_lets_the_scene_through() -> None:
    layer = np.float32([[[0.8, 0.2, 0.1, 1.0]]])
    pale = ghostly(layer, 0.4)
    grey = np.array([0.299, 0.587, 0.114])
    assert np.isclose(pale[0, 0, 3], 0.4)
    assert np.isclose(pale[0, 0, :3] @ grey, 0.4 * (layer[0, 0, :3] @ grey), atol=1e-6)
    assert np.ptp(pale[0, 0, :3]) < 0.4 * np.ptp(layer[0, 0, :3])


def test_an_outline_lies_inside_along_the_edge() -> None:
    alpha = np.zeros((60, 60), np.float32)
    alpha[20:40, 20:40] = 1
    line = outline(alpha, 1.5)
    assert (line[alpha == 0] == 0).all()
    assert line[30, 20] > 0.9 and line[30, 30] < 0.02


def test_the_ghost_shows_only_where_the_figure_is_not() -> None:
    ground = np.full((30, 40, 3), 0.5, np.float32)
    solid, ghost = np.zeros((2, 30, 40, 4), np.float32)
    solid[5:25, 5:20] = [1, 0, 0, 1]
    ghost[5:25, 12:35] = [0, 0, 1, 1]
    layers = Layers(ground, np.zeros((30, 40), np.float32), solid, ghost)
    picture = layers.compose()
    assert tuple(picture[15, 8]) == (255, 0, 0)
    assert tuple(picture[2, 2]) == (128, 128, 128)
    assert picture[15, 28, 2] > picture[15, 28, 0]
    assert layers.covered()[15, 30] and not layers.covered()[2, 2]
