"""Colours mean one thing, and any two meanings stay apart for eyes that lack one of the three cones."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest

from turnstill.model.arrays import Array
from turnstill.render import palette
from turnstill.render.palette import ADDRESS, FIRST_SWING, INK, NOW, OVERSHOOT, PLUMB_LINE, SECOND_SWING, css

MEANINGS = {
    "address": ADDRESS, "now": NOW, "plumb line": PLUMB_LINE, "first": FIRST_SWING, "second": SECOND_SWING,
    "overshoot": OVERSHOOT,
}  # fmt: skip
EYES = {
    "all three": np.eye(3),
    "no red": np.array(
        [[0.152286, 1.052583, -0.204868], [0.114503, 0.786281, 0.099216], [-0.003882, -0.048116, 1.051998]]
    ),
    "no green": np.array(
        [[0.367322, 0.860646, -0.227968], [0.280085, 0.672501, 0.047413], [-0.01182, 0.04294, 0.968881]]
    ),
    "no blue": np.array(
        [[1.255528, -0.076749, -0.178779], [-0.078411, 0.930809, 0.147602], [0.004733, 0.691367, 0.3039]]
    ),
}
"""Machado, Oliveira and Fernandes 2009, full severity, on linear RGB (from memory; each keeps greys grey)."""
TO_XYZ = np.array([[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]])
"""Linear sRGB to CIE XYZ, IEC 61966-2-1."""


def linear(colour: tuple[int, int, int]) -> Array:
    share = np.array(colour) / 255
    return np.where(share <= 0.04045, share / 12.92, ((share + 0.055) / 1.055) ** 2.4)


def lab(light: Array) -> Array:
    """CIE 1976 L*a*b* under daylight."""
    ratio = TO_XYZ @ np.clip(light, 0, 1) / TO_XYZ.sum(axis=1)
    f = np.where(ratio > (6 / 29) ** 3, np.cbrt(ratio), ratio / 3 / (6 / 29) ** 2 + 4 / 29)
    return np.array([116 * f[1] - 16, 500 * (f[0] - f[1]), 200 * (f[1] - f[2])])


def contrast(one: tuple[int, int, int], other: tuple[int, int, int]) -> float:
    """Contrast of the Web Content Accessibility Guidelines 2."""
    light, dark = sorted((float(TO_XYZ[1] @ linear(colour)) for colour in (one, other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


@pytest.mark.parametrize("eyes", EYES)
def test_any_two_meanings_stay_apart(eyes: str) -> None:
    assert np.allclose(EYES[eyes].sum(axis=1), 1, atol=1e-4)
    looks = {name: lab(EYES[eyes] @ linear(colour)) for name, colour in MEANINGS.items()}
    for one, other in combinations(looks, 2):
        # Two are told apart beside each other; ten times what is just seen leaves room for thin lines.
        assert np.linalg.norm(looks[one] - looks[other]) > 23, (one, other)


def test_what_is_written_or_charted_reads_on_white() -> None:
    for colour in (INK, NOW, FIRST_SWING, SECOND_SWING, OVERSHOOT):
        assert contrast(colour, (255, 255, 255)) > 4.5
    # The light ones are edged in ink.
    for colour in (ADDRESS, PLUMB_LINE):
        assert contrast(colour, INK) > 7


def test_a_colour_as_css() -> None:
    assert css((1, 171, 16)) == "#01ab10" and css(NOW) == "#c04400"
    assert all(0 <= channel <= 255 for name in dir(palette) if name.isupper() for channel in getattr(palette, name))
