"""A map's shades: where they change, and that they darken away from the still band."""

from __future__ import annotations

import pytest

from turnstill.scenes.map.shades import AWAY, BAND, TOWARD, ZERO, marks, shade


@pytest.mark.parametrize(
    ("still", "told"),
    [
        (0.5, [0.5, 1, 2, 4, 8, 16]),
        (0.2, [0.2, 0.5, 1, 2, 4, 8]),
        (0.5 / 2.54, [0.5 / 2.54, 0.5, 1, 2, 4, 8]),
        (0.2 / 2.54, [0.2 / 2.54, 0.25, 0.5, 1, 2, 4]),
    ],
)
def test_shades_change_at_round_numbers_that_double(still: float, told: list[float]) -> None:
    assert marks(still) == told
    assert shade(0.0, still) == shade(0.99 * still, still) == shade(-0.99 * still, still) == ZERO
    for k, mark in enumerate(told):
        assert (shade(mark, still), shade(-mark - 1e-9, still)) == (TOWARD[k], AWAY[k])
    assert shade(999.0, still) == TOWARD[-1] and shade(-999.0, still) == AWAY[-1]


def test_shades_darken_with_every_step_away_from_the_still_band() -> None:
    """By luminance (Rec. 709, on the coded values: order is all that is asked)."""

    def light(colour: str) -> float:
        red, green, blue = (int(colour[k : k + 2], 16) for k in (1, 3, 5))
        return 0.2126 * red + 0.7152 * green + 0.0722 * blue

    for way, side in ((-1.0, AWAY), (1.0, TOWARD)):
        shades = [shade(way * place, 0.5) for place in (0.0, *(1.01 * mark for mark in marks(0.5)))]
        assert shades == [ZERO, *side]
        steps = [light(colour) for colour in (BAND, *shades)]
        assert steps == sorted(steps, reverse=True) and len(set(steps)) == len(steps)
