"""What sensor and codec do to a picture."""

from __future__ import annotations

import cv2
import numpy as np
import pytest

from turnstill.render.photograph.exposing import Readout, encoded, tone, toned
from turnstill.render.photograph.sensor import Sensor


def rng(seed: int = 3) -> np.random.Generator:
    return np.random.default_rng(seed)


def noisy(picture: np.ndarray, sd: float, numbers: np.random.Generator) -> np.ndarray:
    """Red first, of a picture that differs in a corner from others of the same tripod."""
    corner = slice(5, 20), slice(10, 33)
    others = picture.copy()
    others[corner] = 77
    return Readout(others, sd).noisy(corner, picture[corner], numbers)[..., ::-1]


def flat(level: int) -> np.ndarray:
    return np.full((120, 160, 3), level, np.uint8)


@pytest.mark.parametrize(("times", "level"), [(0.5, 200), (0.25, 120), (1.6, 90)])
def test_exposure_scales_light_and_not_numbers(times: float, level: int) -> None:
    seen = toned(flat(level), tone(times))
    light = (seen / 255.0) ** 2.2 / (level / 255.0) ** 2.2
    assert light == pytest.approx(times, rel=0.03)


def test_what_is_over_white_is_lost() -> None:
    assert (toned(flat(220), tone(2.0)) == 255).all()


def test_a_right_exposure_without_noise_changes_nothing() -> None:
    picture = rng().integers(0, 256, (40, 50, 3), np.uint8)
    assert np.array_equal(noisy(toned(picture, tone(1.0)), 0.0, rng()), picture)


@pytest.mark.parametrize("sd", [3.0, 9.5, 40.0])
def test_noise_has_the_sd_that_was_asked_and_no_bias(sd: float) -> None:
    noise = noisy(flat(128), sd, rng()).astype(float) - 128
    # Rounding to whole numbers adds a variance of 1/12; 57,600 numbers know an sd to 0.3 %. Black and white cut what is
    # more than three sd off at the strongest.
    assert noise.std() == pytest.approx(np.sqrt(sd**2 + 1 / 12), rel=0.02)
    assert abs(noise.mean()) < 4 * sd / np.sqrt(noise.size)
    channels = noise.reshape(-1, 3)
    assert abs(np.corrcoef(channels.T)[0, 1]) < 0.04


def test_noise_stops_at_black_and_at_white() -> None:
    for level in (0, 255):
        noise = noisy(flat(level), 6.0, rng()).astype(float) - level
        assert (noise == 0).mean() == pytest.approx(0.5, abs=0.04)
        assert np.abs(noise).max() < 6 * 5


def test_noise_is_the_seeds_alone() -> None:
    first = noisy(flat(128), 5, rng(1))
    noisy(flat(90), 11, rng(8))
    assert np.array_equal(noisy(flat(128), 5, rng(1)), first)
    other = noisy(flat(128), 5, rng(2)).astype(float) - 128
    assert abs(np.corrcoef(first.ravel() - 128.0, other.ravel())[0, 1]) < 0.03


def test_png_loses_nothing_and_keeps_red_red() -> None:
    picture = rng().integers(0, 256, (40, 50, 3), np.uint8)
    data, ending = encoded(picture[..., ::-1].copy(), Sensor(jpeg_quality=None))
    assert ending == "png" and data[:4] == b"\x89PNG"
    assert np.array_equal(cv2.imdecode(np.frombuffer(data, np.uint8), cv2.IMREAD_COLOR)[..., ::-1], picture)


def test_jpeg_gets_smaller_and_worse_with_its_quality() -> None:
    picture = cv2.GaussianBlur(rng().integers(0, 256, (120, 160, 3), np.uint8), (0, 0), 2)
    picture[:, :80, 0] = 230
    sizes, errors = [], []
    for quality in (95, 50, 8):
        data, ending = encoded(picture[..., ::-1].copy(), Sensor(jpeg_quality=quality))
        assert ending == "jpg" and data[:2] == b"\xff\xd8"
        back = cv2.imdecode(np.frombuffer(data, np.uint8), cv2.IMREAD_COLOR)[..., ::-1].astype(float)
        sizes.append(len(data))
        errors.append(np.abs(back - picture).mean())
    assert sizes[0] > sizes[1] > sizes[2] and errors[0] < errors[1] < errors[2] and errors[0] < 4
