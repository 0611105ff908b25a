from __future__ import annotations

import numpy as np
import pytest

from turnstill.render.palette import HALO
from turnstill.render.pictures.marks import Marks, arc_dashes, circle, free_place


def test_dashes_share_the_way_evenly_and_reach_both_ends() -> None:
    line = np.array([[0.0, 0.0], [100.0, 0.0]])
    dashes = arc_dashes(line, 12.0, 8.0)
    lengths = [np.linalg.norm(np.diff(d, axis=0), axis=1).sum() for d in dashes]
    assert np.allclose(lengths, lengths[0])
    assert dashes[0][0] == pytest.approx([0, 0]) and dashes[-1][-1] == pytest.approx([100, 0])
    gaps = [dashes[k + 1][0, 0] - dashes[k][-1, 0] for k in range(len(dashes) - 1)]
    assert np.allclose(np.array(gaps) / lengths[0], 8 / 12)
    assert arc_dashes(np.zeros((3, 2)), 12.0, 8.0) == []


def test_dashes_run_along_the_bends_of_a_line() -> None:
    corner = np.array([[0.0, 0.0], [30.0, 0.0], [30.0, 70.0]])
    dashes = arc_dashes(corner, 12.0, 8.0)
    lengths = [np.linalg.norm(np.diff(d, axis=0), axis=1).sum() for d in dashes]
    assert len(dashes) == 5 and np.allclose(lengths, lengths[0])
    assert dashes[-1][-1] == pytest.approx([30, 70])


def test_a_text_is_bold_only_where_it_is_asked_for() -> None:
    def inked(**how: bool) -> int:
        with Marks(np.zeros((80, 720, 3), np.uint8)) as marks:
            marks.text((20.0, 40.0), "inclination", (255, 255, 255), size=24, **how)
            width = marks.text_size("inclination", size=24, **how)[0]
        shown = np.nonzero((np.asarray(marks.result) > 250).all(axis=-1))
        assert 20 + width == pytest.approx(shown[1].max(), abs=4)
        return int(shown[0].size)

    assert inked() == inked(bold=False) < 0.85 * inked(bold=True)


@pytest.mark.parametrize("dashed", [False, True])
def test_what_is_drawn_in_the_colour_of_its_ground_cannot_be_seen(dashed: bool) -> None:
    """So every part of a mark, its round ends too, is opaque and of its own colour or its edge's."""
    colour, edge = (30, 90, 200), (200, 30, 90)
    ground = np.full((60, 200, 3), edge, np.uint8)
    for drawn_in in (edge, colour):
        with Marks(ground, whole_width=720) as marks:
            marks.line([[20.0, 30.0], [150.0, 30.0]], drawn_in, dashed=dashed, edge=edge)
            marks.dot((175.0, 30.0), drawn_in, edge=edge)
        drawn = np.asarray(marks.result).astype(int)
        assert (np.abs(drawn - edge).max() <= 1) == (drawn_in == edge)
        for x in (20, 150, 175):
            assert drawn[30, x] == pytest.approx(drawn_in, abs=1)
    with Marks(np.full((80, 400, 3), HALO, np.uint8)) as marks:
        marks.text((20.0, 40.0), "inclination", HALO, size=24)
    assert np.abs(np.asarray(marks.result).astype(int) - HALO).max() <= 1


def test_a_circle_is_hollow_and_where_it_was_asked_for() -> None:
    blank = np.full((200, 300, 3), 90, np.uint8)
    with Marks(blank) as marks:
        marks.line(circle((150.0, 100.0), 50.0), (200, 80, 0))
    drawn = np.asarray(marks.result).astype(int)
    changed = np.abs(drawn - 90).max(axis=-1) > 8
    rows, columns = np.nonzero(changed)
    away = np.hypot(columns - 150.0, rows - 100.0)
    assert away.min() > 43 and away.max() < 57
    assert columns.mean() == pytest.approx(150.0, abs=0.1) and rows.mean() == pytest.approx(100.0, abs=0.1)


def test_a_line_passes_through_its_places_to_a_tenth_of_a_pixel() -> None:
    blank = np.zeros((120, 720, 3), np.uint8)
    with Marks(blank) as marks:
        marks.line([[100.0, 60.0], [600.0, 60.0]], (255, 255, 255), edge_px=0.0)
    column = np.asarray(marks.result)[:, 300, 0].astype(float)
    assert (column * np.arange(120)).sum() / column.sum() == pytest.approx(60.0, abs=0.18)


def test_marks_outside_the_sight_are_left_out() -> None:
    blank = np.zeros((50, 60, 3), np.uint8)
    with Marks(blank) as marks:
        marks.line([[np.nan, np.nan], [20.0, 20.0]], (255, 255, 255))
    assert not np.asarray(marks.result).any()


def test_labels_keep_off_the_figure_and_off_each_other() -> None:
    covered = np.zeros((900, 720), bool)
    covered[200:800, 250:500] = True
    covered[380:520, 0:250] = True  # An arm reaching to the left edge just where the label is wanted.
    taken: list[np.ndarray] = []
    places = [free_place(covered, (170.0, 40.0), (300.0, 450.0 + k), 10.0, taken) for k in range(3)]
    for place, box in zip(places, taken, strict=True):
        left, top, right, bottom = box.astype(int)
        assert not covered[top:bottom, left:right].any()
        assert box[0] >= 0 and box[2] <= 720
        assert np.allclose(place, [(box[0] + box[2]) / 2, (box[1] + box[3]) / 2])
    for a, b in ((0, 1), (0, 2), (1, 2)):
        apart = (taken[a][:2] >= taken[b][2:]) | (taken[b][:2] >= taken[a][2:])
        assert apart.any()


def test_text_is_big_enough_to_read_at_half_size() -> None:
    with Marks(np.zeros((900, 720, 3), np.uint8)) as marks:
        _, height = marks.text_size("38°", size=28)
        assert height >= 20
