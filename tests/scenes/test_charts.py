from __future__ import annotations

import itertools
import math
import xml.etree.ElementTree as ElementTree

from hypothesis import given
from hypothesis import strategies as st

from turnstill.scenes.compare.work import MOST_SWINGS
from turnstill.scenes.paper.charts import HEIGHT, STYLES, WIDTH, Line, key, line_chart, ticks

finite = st.floats(-500, 500)


@given(finite, st.floats(0.01, 1000))
def test_ticks_are_few_round_and_span_the_range(low: float, span: float) -> None:
    high = low + span
    marks = ticks(low, high)
    assert marks[0] <= low + 1e-9 and marks[-1] >= high - 1e-9
    assert 2 <= len(marks) <= 8
    step = marks[1] - marks[0]
    lead = step / 10 ** math.floor(math.log10(step) + 1e-6)
    assert min(abs(lead - round_) for round_ in (1, 2, 5, 10)) < 1e-6
    if low < 0 < high:
        assert 0.0 in marks


@given(st.lists(st.lists(finite, min_size=5, max_size=5), min_size=1, max_size=MOST_SWINGS))
def test_a_chart_is_sound_and_stays_inside(courses: list[list[float]]) -> None:
    progress = [0.0, 0.25, 0.5, 0.75, 1.0]
    lines = [Line(f"<{k}>", progress, values, STYLES[k]) for k, values in enumerate(courses)]
    svg = ElementTree.fromstring(line_chart("Head & height", "cm", lines, ("up", "down")))
    drawn = [element for element in svg.iter() if element.tag == "polyline"]
    assert len(drawn) == len(courses)
    for line, values in zip(drawn, courses, strict=True):
        points = [tuple(map(float, pair.split(","))) for pair in line.attrib["points"].split()]
        assert all(0 <= x <= WIDTH and 0 <= y <= HEIGHT for x, y in points)
        for (a, b), (pa, pb) in zip(itertools.pairwise(values), itertools.pairwise(points), strict=True):
            # Higher values are higher up, to the tenth of a pixel that is written.
            assert (b - a) * (pa[1] - pb[1]) >= 0 or abs(pa[1] - pb[1]) <= 0.11


def test_swings_are_told_apart_without_colour() -> None:
    assert len(STYLES) >= MOST_SWINGS
    assert len({style.dash for style in STYLES}) == len(STYLES)
    assert len({style.marker for style in STYLES}) == len(STYLES)
    for style in STYLES:
        ElementTree.fromstring(key(style))
