"""The charts of a record: dates that do not touch, the still band about zero, both ways of a response."""

from __future__ import annotations

import datetime
import re
import xml.etree.ElementTree as ET
from itertools import pairwise

import numpy as np
import pytest

from turnstill.scenes.paper.axes import LEFT, RIGHT, WIDTH
from turnstill.scenes.record.chart import BAND, DATE_PX, Felt, Seen, head_chart, response_chart


@pytest.mark.parametrize("count", [1, 2, 3, 7, 12, 59, 200])
def test_dates_below_the_chart_do_not_touch(count: int) -> None:
    rng = np.random.default_rng(count)
    first = datetime.date(2024, 11, 5)
    seen = [
        Seen(k + 1, f"{first + datetime.timedelta(days=3 * k)}", float(rng.normal(0, 3)), 1.0, k % 3 == 0)
        for k in range(count)
    ]
    svg = head_chart("The head", "cm", seen, 0.5, ("up", "down"))
    root = ET.fromstring(svg)
    dates = [float(e.get("x", "")) for e in root if e.get("class") == "day"]
    assert all(re.fullmatch(r"\d+ [A-Z][a-z]{2}", e.text or "") for e in root if e.get("class") == "day")
    assert dates and all(b - a >= DATE_PX - 0.1 for a, b in pairwise(sorted(dates)))
    assert min(dates) - 22 > LEFT - 30 and max(dates) + 22 < WIDTH + RIGHT
    (band,) = [e for e in root if e.tag == "rect" and e.get("fill") == BAND]
    middle = float(band.get("y", "")) + float(band.get("height", "")) / 2
    (zero,) = [e for e in root if e.get("class") == "zero"]
    assert middle == pytest.approx(float(zero.get("y1", "")), abs=0.11) and float(band.get("height", "")) > 0
    assert BAND not in head_chart("The head", "cm", seen, None, ("toward ball", "away from ball"))
    assert "up, cm" in svg and "still is within 0.5 cm" in svg
    # The last sixty only, each by the number of its entry.
    numbers = [int(e.text or "") for e in root if e.get("class") == "upright"]
    assert numbers[0] == max(1, count - 59) and numbers == sorted(set(numbers))
    assert sum(e.tag == "g" for e in root) == min(count, 60)


def test_who_cannot_see_the_chart_is_told_from_where_to_where_the_head_came() -> None:
    seen = [Seen(k, f"2025-03-0{k}", value, 1.0, False) for k, value in ((2, -6.13), (5, 2.4), (7, 1.25))]
    for still, meaning in ((0.5, "; still is within 0.5 cm"), (None, "")):
        told = ET.fromstring(head_chart("The head", "cm", seen, still, ("up", "down"))).get("aria-label")
        assert told == f"The head: from -6.1 cm on 2025-03-02 to +1.2 cm on 2025-03-07{meaning}."


def test_a_feel_of_one_way_alone_needs_no_other_half() -> None:
    back = ET.fromstring(response_chart("t", "cm", [Felt(-2, 0, 1)], (0.4, 0.1, 0.7)))
    marks = [float((e.text or "").replace("\N{MINUS SIGN}", "-")) for e in back if e.get("class") == "upright"]
    assert marks[0] == -2.0 and marks[-1] == 0.0 and sum(e.get("class") == "wedge" for e in back) == 1
    assert back.get("aria-label") == "t: 0.40 got of each cm felt, 90 % between 0.10 and 0.70."
