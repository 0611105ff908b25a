"""What a film has written: each word and number where its label says, from swings with nothing alike."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from recorded_marks import Recorded, distinct_view

from turnstill.render.palette import ADDRESS, INK, NOW
from turnstill.render.pictures import film_labels
from turnstill.render.pictures.film_labels import (
    CornerAngle,
    Legend,
    LegendOfLines,
    fitted,
    words_at_address,
)
from turnstill.render.pictures.lines import ABOVE, DOWN_THE_LINE, FACE_ON
from turnstill.render.pictures.marks import Marks

ROWS = (36, 92, 148)


@pytest.fixture
def made(monkeypatch: pytest.MonkeyPatch) -> list[Recorded]:
    bands: list[Recorded] = []

    def making(*arguments: Any, **named: Any) -> Recorded:
        bands.append(Recorded(*arguments, **named))
        return bands[-1]

    monkeypatch.setattr(film_labels, "Marks", making)
    return bands


def test_a_legend_has_its_names_on_the_left_and_its_angles_under_their_word(made: list[Recorded]) -> None:
    legend = Legend("its title", "its view", "lean", 38.0)
    legend.still(720, 900)
    (band,) = made
    title, view, word, address = (band.words(text) for text in ("its title", "its view", "lean", "address 38°"))
    assert np.allclose(title.at, [20, ROWS[0]]) and title.how["bold"]
    assert np.allclose(view.at, [20, ROWS[1]]) and not view.how["bold"]
    left = word.at[0]
    assert np.allclose([word.at, address.at], [[left, ROWS[0]], [left + 44, ROWS[1]]])
    assert [one.colour for one in (title, view, word, address)] == [INK] * 4
    assert word.how["size"] == address.how["size"] == 42
    # The circles' middles, and what they mean.
    at_address, now = (one for one in band.drawn if one.kind == "line")
    for circle, row in ((at_address, ROWS[1]), (now, ROWS[2])):
        assert np.allclose(circle.at[:-1].mean(axis=0), [left + 15, row])
        assert np.allclose(np.linalg.norm(circle.at - [left + 15, row], axis=1), 14)
    assert at_address.colour == ADDRESS and at_address.how["dashed"] and now.colour == NOW and not now.how
    assert (band.width, band.height) == (720, 184)


def test_a_legends_present_angle_is_the_moments_beside_its_circle(made: list[Recorded]) -> None:
    legend = Legend("its title", "its view", "lean", 38.0)
    still = legend.still(720, 900)
    words = legend.words(distinct_view(FACE_ON))
    assert words == "now −7°"
    patch = legend.written(words, 720, 900)
    left = made[0].words("lean").at[0]
    now = made[1].words(words)
    assert np.allclose(now.at, [left + 44, ROWS[2]]) and (now.colour, now.how["size"]) == (NOW, 42)
    # The patch is that part of the band and lies where it was cut out: nothing of it is over another row or the circle.
    rows, columns = np.nonzero(patch.pixels[..., 3])
    assert patch.top + rows.min() > 148 - 30 and patch.top + rows.max() < 148 + 30
    assert left + 34 < patch.left + columns.min() < left + 50
    overlay = made[1].overlay
    assert overlay is not None and np.array_equal(patch.pixels, overlay[patch.top :, patch.left :])
    assert still.left == still.top == 0 and still.pixels.shape == (184, 720, 4)


@pytest.mark.parametrize(("word", "degrees"), [("lean", 3.0), ("lean", -12.0), ("inclination", 38.0), ("x", 0.0)])
def test_a_legends_column_is_as_near_the_edge_as_its_widest_words_allow(
    made: list[Recorded], word: str, degrees: float
) -> None:
    legend = Legend("its title", "its view", word, degrees)
    legend.still(720, 900)
    (band,) = made
    left = band.words(word).at[0]
    at_address = next(one.words for one in band.drawn if one.words.startswith("address"))
    ends = [
        left + band.text_size(word, size=42)[0],
        *(left + 44 + band.text_size(text, size=42)[0] for text in (at_address, "now −88°")),
    ]
    assert max(ends) == pytest.approx(720 - 24)


def test_long_names_are_cut_before_the_angles(made: list[Recorded]) -> None:
    Legend("a name that a golfer typed at length", DOWN_THE_LINE, "inclination", 38.0).still(400, 500)
    (band,) = made
    title = next(one for one in band.drawn if one.words.endswith("…"))
    right = title.at[0] + band.text_size(title.words, size=title.how["size"], bold=True)[0]
    assert right <= band.words("inclination").at[0] - 20 * 400 / 720 + 1e-6


@pytest.mark.parametrize("on_the_left", [False, True])
def test_a_corners_angle_has_its_word_in_front_or_over_it(made: list[Recorded], on_the_left: bool) -> None:
    corner = CornerAngle(100, on_the_left)
    assert corner.still(720, 900) is None
    for view, expected in (
        (FACE_ON, [("lean ", 64, False), ("−7°", 64, True)]),
        (DOWN_THE_LINE, [("inclination", 64, False), ("−7°", 174, True)]),
    ):
        made.clear()
        words = corner.words(distinct_view(view))
        patch = corner.written(words, 720, 900)
        written = sorted((one for one in made[-1].drawn if one.kind == "text"), key=lambda one: one.how["bold"])
        assert [(one.words, one.how["bold"]) for one in written] == [(text, bold) for text, _, bold in expected]
        word, angle = written
        long = made[-1].text_size(word.words if on_the_left else angle.words, size=100, bold=not on_the_left)[0]
        beside = long if view == FACE_ON else 0.0
        places = (20, 20 + beside) if on_the_left else (700 - beside, 700)
        for one, across, (_, row, _) in zip(written, places, expected, strict=True):
            assert np.allclose(one.at, [across, row])
            assert one.colour == NOW and one.how["size"] == 100
            assert one.how["anchor"] == ("lm" if on_the_left else "rm")
        # Every letter is inside the band, which ends not far under the last.
        rows = np.nonzero(patch.pixels[..., 3].any(axis=1))[0]
        assert rows.min() > 0 and len(patch.pixels) - 60 < rows.max() < len(patch.pixels) - 1


@pytest.mark.parametrize(("size", "unit"), [((720, 810), 1.0), ((360, 450), 0.5), ((1280, 720), 640 / 720)])
def test_from_above_every_angle_stands_with_its_word_under_the_title(
    made: list[Recorded], size: tuple[int, int], unit: float
) -> None:
    """Turns of the moment in its colour, flares of the address in ink; no larger in a wide low pane."""
    shown = distinct_view(ABOVE)
    planted = words_at_address(shown)
    assert planted == {"lead flare": 31.0, "trail flare": -12.0}
    legend = LegendOfLines("its title", "its view", planted, 2)
    still = legend.still(*size)
    words = legend.words(shown)
    assert words == "hip turn 47°\nshoulder turn 86°"
    patch = legend.written(words, *size)
    column = size[0] - 24 * unit - made[0].text_size("shoulder turn −88°", size=42)[0]
    at = {
        "its title": (20, 36, INK), "its view": (20, 92, INK), "address": (64, 148, INK), "now": (64, 204, NOW),
        "hip turn 47°": (None, 92, NOW), "shoulder turn 86°": (None, 148, NOW),
        "lead flare 31°": (None, 204, INK), "trail flare −12°": (None, 260, INK),
    }  # fmt: skip
    texts = [one for band in made for one in band.drawn if one.kind == "text"]
    assert sorted(one.words for one in texts) == sorted(at)
    for one in texts:
        left, row, colour = at[one.words]
        assert np.allclose(one.at, [column if left is None else left * unit, row * unit]), one.words
        assert one.colour == colour
        right = one.at[0] + made[0].text_size(one.words, size=one.how["size"], bold=one.how.get("bold", False))[0]
        assert right <= (size[0] if left is None or one.words == "its title" else column)
    circles = [one for one in made[0].drawn if one.kind == "line"]
    assert [one.colour for one in circles] == [ADDRESS, NOW]
    for one, row in zip(circles, (148, 204), strict=True):
        assert np.allclose(one.at[:-1].mean(axis=0), [35 * unit, row * unit])
    # What is written over and over holds both rows and nothing of the others.
    overlay = made[1].overlay
    assert overlay is not None and np.array_equal(patch.pixels, overlay[patch.top :, patch.left :])
    assert (overlay[..., 3] > 0).sum() == (patch.pixels[..., 3] > 0).sum()
    assert patch.top + patch.pixels.shape[0] < 204 * unit and still.pixels.shape[1] == size[0]


def test_a_corner_has_every_angle_of_the_moment_from_above(made: list[Recorded]) -> None:
    corner = CornerAngle(100, False)
    corner.written(corner.words(distinct_view(ABOVE)), 720, 900)
    written = [(one.words, round(one.at[1]), one.how["bold"]) for one in made[-1].drawn]
    assert written == [("hip turn", 64, False), ("47°", 174, True), ("shoulder turn", 284, False), ("86°", 394, True)]


def test_a_text_shrinks_before_it_is_cut_and_no_more_than_it_must() -> None:
    with Marks(np.zeros((90, 720, 3), np.uint8)) as marks:
        for bold in (True, False):
            at_most, at_least = (marks.text_size("some words", size=size, bold=bold)[0] for size in (42, 30))
            assert fitted(marks, "some words", at_most, bold=bold) == ("some words", 42)
            text, size = fitted(marks, "some words", at_most - 1, bold=bold)
            assert text == "some words" and size == 41
            assert fitted(marks, "some words", at_least, bold=bold) == ("some words", 30)
            cut, size = fitted(marks, "some words", at_least - 1, bold=bold)
            assert size == 30 and cut.endswith("…") and "some words".startswith(cut[:-1])
            longer = "some words"[: len(cut)].rstrip() + "…"
            assert marks.text_size(cut, size=30, bold=bold)[0] <= at_least - 1
            assert longer == cut or marks.text_size(longer, size=30, bold=bold)[0] > at_least - 1
        assert fitted(marks, "some words", 1.0) == ("s…", 30)
