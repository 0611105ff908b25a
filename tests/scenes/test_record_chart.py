"""The charts of a record: dates that do not touch, the still band about zero, both ways of a response."""

from __future__ import annotations

import datetime
import re
import xml.etree.ElementTree as ET
from itertools import pairwise

import numpy as np
import pytest

from turnstill.scenes.paper.charts import LEFT, RIGHT, WIDTH
from turnstill.scenes.record.chart import BAND, DATE_PX, Felt, Seen, head_chart, response_chart


@pytest.mark.parametrize("count", [1, 2, 3, 7, 12, 59, 200])
def test_dates_below_the_chart_do_not_touch(count: int) -> None:
    rng = np.random.default_rng(count)
    first = datetime.date(2024, 11, 5)
    seen = [
        Seen(f"{first + datetime.timedelta(days=3 * k)}", float(rng.normal(0, 3)), 1.0, k % 3 == 0)
        for k in range(count)
    ]
    svg = head_chart("The head", "cm", seen, 0.5, ("up", "down"))
    root = ET.fromstring(svg)
    dates = [
        float(e.get("x", "")) for e in root if e.tag == "text" and re.fullmatch(r"\d+ [A-Z][a-z]{2}", e.text or "")
    ]
    assert dates and all(b - a >= DATE_PX - 0.1 for a, b in pairwise(sorted(dates)))
    assert min(dates) - 22 > LEFT - 30 and max(dates) + 22 < WIDTH + RIGHT
    (band,) = [e for e in root if e.tag == "rect" and e.get("fill") == BAND]
    middle = float(band.get("y", "")) + float(band.get("height", "")) / 2
    (zero,) = [e for e in root if e.get("class") == "zero"]
    assert middle == pytest.approx(float(zero.get("y1", "")), abs=0.11) and float(band.get("height", "")) > 0
    assert BAND not in head_chart("The head", "cm", seen, None, ("toward ball", "away from ball"))
    assert "up, cm" in svg and "still is within 0.5 cm" in svg


def test_the_response_chart_shows_both_ways_and_both_kinds() -> None:
    svg = response_chart("t", "°", [Felt(15, 6, 4), Felt(-5, -3, 4, True)], (0.4, 0.1, 0.7))
    root = ET.fromstring(svg)
    assert sum(e.tag == "circle" for e in root) == 1 and sum(e.tag == "polygon" for e in root) == 1
    assert "nan" not in svg and "felt or asked for, °" in svg
    assert "nan" not in response_chart("t", "cm", [Felt(-2, 0, 1)], (0.4, 0.1, 0.7))
