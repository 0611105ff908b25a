"""Each mark of a picture is where its one source is, in the colour that means it, on swings with nothing alike."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from recorded_marks import RADIUS_M, Drawn, Recorded, camera, distinct_view, seen

from turnstill.model.arrays import Array
from turnstill.render.palette import ADDRESS, HALO, INK, NOW, PLUMB_LINE
from turnstill.render.pictures import picture as picture_module
from turnstill.render.pictures.lines import ABOVE, DOWN_THE_LINE, FACE_ON
from turnstill.render.pictures.marks import Marks
from turnstill.render.pictures.picture import (
    SwingView,
    degrees_text,
    draw_heads,
    draw_lines,
    draw_plumb_line,
    marked,
)

BLANK = np.full((720, 720, 3), 120, np.uint8)
AT_ADDRESS = {"width": 3.0, "dashed": True, "edge": INK, "edge_px": 1.1}
"""How every line of the address is drawn: thinner than the present's five, dashed, edged in ink."""
each_view = pytest.mark.parametrize("view", [FACE_ON, DOWN_THE_LINE])


def recorded(draw: Callable[..., Any], shown: SwingView) -> list[Drawn]:
    with Recorded(BLANK) as marks:
        draw(marks, shown, camera())
    return marks.drawn


def ring(place: Array) -> tuple[Array, float]:
    """Middle and radius in pixels of the circle round a head."""
    return seen(place), 2400 * RADIUS_M / (4 - place[0])


def is_ring(mark: Drawn, place: Array) -> bool:
    middle, radius = ring(place)
    away = np.linalg.norm(mark.at - middle, axis=1)
    whole = np.allclose(mark.at[0], mark.at[-1]) and len(mark.at) > 60
    return whole and bool(np.allclose(away, radius)) and bool(np.allclose(mark.at[:-1].mean(axis=0), middle))


@each_view
def test_trunk_lines_run_from_pelvis_to_neck_base_of_their_own_moment(view: str) -> None:
    shown = distinct_view(view)
    drawn = recorded(draw_lines, shown)
    now, address, at_address, at_now = drawn
    for mark, posture in ((now, shown.top), (address, shown.address)):
        assert np.allclose(mark.at, [seen(posture.joints["pelvis"]), seen(posture.joints["neck_base"])])
    assert (now.kind, now.colour, now.how) == ("line", NOW, {})
    # Over the solid line, so that both are seen where nothing moved.
    assert (address.kind, address.colour, address.how) == ("line", ADDRESS, AT_ADDRESS)
    # A dot at each pelvis.
    assert np.allclose(at_address.at, seen(shown.address.joints["pelvis"]))
    assert np.allclose(at_now.at, seen(shown.top.joints["pelvis"]))
    assert (at_address.kind, at_address.colour, at_address.how) == ("dot", ADDRESS, {"edge": INK})
    assert (at_now.kind, at_now.colour, at_now.how) == ("dot", NOW, {})


@each_view
def test_heads_are_circled_at_both_ends_of_the_path(view: str) -> None:
    shown = distinct_view(view)
    first, last = shown.head_path[0], shown.head_path[-1]
    now, address, path, at_address, at_now = recorded(draw_heads, shown)
    assert is_ring(now, last) and (now.colour, now.how) == (NOW, {})
    assert is_ring(address, first) and (address.colour, address.how) == (ADDRESS, AT_ADDRESS)
    assert np.allclose(path.at, seen(shown.head_path)) and (path.colour, path.how) == (NOW, {"width": 4.0})
    assert np.allclose(at_address.at, seen(first)) and (at_address.colour, at_address.how) == (ADDRESS, {"edge": INK})
    assert np.allclose(at_now.at, seen(last)) and (at_now.colour, at_now.how) == (NOW, {})


def test_the_plumb_line_goes_through_the_head_at_address_face_on_only() -> None:
    shown = distinct_view(FACE_ON)
    (line,) = recorded(draw_plumb_line, shown)
    x, y, z = shown.head_path[0]
    # From two and a half head radii or so above the head to the ground under it.
    assert np.allclose(line.at, [seen(np.array([x, y, z + 2.4 * RADIUS_M])), seen(np.array([x, y, 0.0]))])
    assert line.colour == PLUMB_LINE and line.how["dashed"] and line.how["edge"] == INK
    assert recorded(draw_plumb_line, distinct_view(DOWN_THE_LINE)) == []


def picture_of(shown: SwingView, covered: Array | None = None, blank: Array = BLANK) -> tuple[Array, Recorded]:
    made: list[Recorded] = []

    def making(*arguments: Any) -> Recorded:
        made.append(Recorded(*arguments))
        return made[-1]

    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(picture_module, "Marks", making)
        cover = np.zeros(blank.shape[:2], bool) if covered is None else covered
        image = marked(blank, cover, shown, camera())
    return np.asarray(image).astype(int), made[0]


def leader_from(marks: Recorded, end: Array) -> Drawn:
    (found,) = [
        one for one in marks.drawn if one.kind == "line" and one.at.shape == (2, 2) and np.allclose(one.at[1], end)
    ]
    return found


@pytest.mark.parametrize(("view", "word"), [(FACE_ON, "lean"), (DOWN_THE_LINE, "inclination")])
def test_each_angle_stands_under_its_moment_with_its_word_and_points_at_its_line(view: str, word: str) -> None:
    shown = distinct_view(view)
    _, marks = picture_of(shown)
    for moment, words, posture, share, colour in (
        ("top", f"{word} −7°", shown.top, 0.62, NOW), ("address", f"{word} 38°", shown.address, 0.38, INK)
    ):  # fmt: skip
        angle = marks.words(words)
        assert (angle.colour, angle.how["bold"], angle.how["size"]) == (colour, True, 30)
        # The moment's name a line above it, flush with it; the legend has the same words with another anchor.
        name = min(
            (one for one in marks.drawn if one.words == moment),
            key=lambda one: float(np.linalg.norm(one.at - angle.at)),
        )
        assert np.allclose(angle.at - name.at, [0, 34]) and name.how["anchor"] == angle.how["anchor"]
        assert (name.colour, name.how["size"]) == (colour, 26)
        pelvis, neck_base = seen(posture.joints["pelvis"]), seen(posture.joints["neck_base"])
        point = pelvis + share * (neck_base - pelvis)
        leader = leader_from(marks, point)
        assert leader.colour == INK
        # It begins beside the angle, on the side of the line.
        toward = {"rm": 1, "lm": -1}[angle.how["anchor"]]
        assert np.allclose(leader.at[0], angle.at + np.array([8 * toward, 0]))
        middle = angle.at[0] - toward * marks.text_size(words, size=30, bold=True)[0] / 2
        assert toward * (point[0] - middle) > 0
        (dot,) = [one for one in marks.drawn if one.kind == "dot" and np.allclose(one.at, point)]
        assert dot.colour == colour


def level(first: Array, second: Array, longer: float, degrees: float, zero: list[float], toward: list[float]) -> Array:
    """Both ends of a line through the middle of two joints at an angle, its length their distance in plan."""
    angle = np.radians(degrees)
    way = np.cos(angle) * np.array([*zero, 0.0]) + np.sin(angle) * np.array([*toward, 0.0])
    half = 0.5 * longer * float(np.hypot(*(first - second)[:2])) * way
    return np.stack([0.5 * (first + second) + half, 0.5 * (first + second) - half])


# Line, joints, how much longer, where the first joint is at nought and where it turns to (x ball, y target), the angles
# at address and top that ``distinct_view`` has, what is written and how far along the line it points.
FROM_ABOVE = [
    ("hip", 2.4, [0, 1], [1, 0], (3, 47), "top", "hip turn 47°", 0.95),
    ("shoulder", 1.4, [0, 1], [1, 0], (-4, 86), "top", "shoulder turn 86°", 0.08),
    ("lead", 1.0, [1, 0], [0, 1], (31, 32), "address", "lead flare 31°", 0.2),
    ("trail", 1.0, [1, 0], [0, -1], (-12, -13), "address", "trail flare −12°", 0.2),
]


@pytest.mark.parametrize("left_handed", [False, True])
def test_from_above_each_line_lies_at_the_angle_written_beside_it(left_handed: bool) -> None:
    shown = replace(distinct_view(ABOVE), left_handed=left_handed)
    picture, marks = picture_of(shown)
    side = -1 if left_handed else 1
    angles = [one for one in marks.drawn if one.words.endswith("°")]
    assert sorted(one.words for one in angles) == sorted(case[6] for case in FROM_ABOVE)
    for name, longer, zero, toward, degrees, moment, words, share in FROM_ABOVE:
        joints = (f"toe_{name}", f"heel_{name}") if name in ("lead", "trail") else (f"{name}_lead", f"{name}_trail")
        way, turned = ([one[0], side * one[1]] for one in (zero, toward))
        ends = {
            when: seen(level(*(posture.joints[joint] for joint in joints), longer, angle, way, turned))
            for when, posture, angle in (("address", shown.address, degrees[0]), ("top", shown.top, degrees[1]))
        }
        solid, dashed = (
            next(one for one in marks.drawn if one.kind == "line" and np.allclose(one.at, ends[when], atol=1e-9))
            if any(
                one.kind == "line" and one.at.shape == (2, 2) and np.allclose(one.at, ends[when]) for one in marks.drawn
            )
            else pytest.fail(f"{name} at {when}")
            for when in ("top", "address")
        )
        assert (solid.colour, solid.how) == (NOW, {}) and (dashed.colour, dashed.how) == (ADDRESS, AT_ADDRESS)
        dots = [one for one in marks.drawn if one.kind == "dot"]
        for when, colour in (("top", NOW), ("address", ADDRESS)):
            assert [one.colour for one in dots if np.allclose(one.at, ends[when][0])] == [colour]
        point = ends[moment][0] + share * (ends[moment][1] - ends[moment][0])
        leader, angle = leader_from(marks, point), marks.words(words)
        toward_line = {"rm": 1, "lm": -1}[angle.how["anchor"]]
        assert np.allclose(leader.at[0], angle.at + np.array([8 * toward_line, 0]))
        assert angle.colour == {"top": NOW, "address": INK}[moment]
        named = [one for one in marks.drawn if one.words == moment and np.allclose(angle.at - one.at, [0, 34])]
        assert [one.colour for one in named] == [angle.colour]
    # No word lies on a line of the view.
    with Marks(BLANK) as alone:
        draw_lines(alone, shown, camera())
        lines = alone.inked()
    assert 1000 < lines.sum() < 0.2 * lines.size
    for one in angles:
        across, down = marks.text_size(one.words, size=30, bold=True)
        left, top = one.at - np.array([across if one.how["anchor"] == "rm" else 0, 34 + down / 2])
        assert not lines[round(top) : round(top + 34 + down), round(left) : round(left + across)].any(), one.words
    # The picture has a head's circles too, and no word on them.
    for place in (shown.head_path[0], shown.head_path[-1]):
        middle, radius = ring(place)
        for one in angles:
            across = marks.text_size(one.words, size=30, bold=True)[0]
            left = one.at[0] - across if one.how["anchor"] == "rm" else one.at[0]
            apart = left > middle[0] + radius or left + across < middle[0] - radius
            assert apart or abs(one.at[1] - middle[1]) > radius
    assert picture.shape == (720, 720, 3)


@each_view
def test_a_moment_that_is_not_the_top_is_called_by_its_own_name(view: str) -> None:
    """Wherever the top would be named and nowhere else; what is drawn stays the same."""
    shown = distinct_view(view)
    (_, top), (_, impact) = picture_of(shown), picture_of(replace(shown, moment="impact"))
    said = [[one.words for one in marks.drawn if one.words] for marks in (top, impact)]
    assert [{"top": "impact"}.get(word, word) for word in said[0]] == said[1] and said[0].count("top") >= 2


@each_view
def test_titles_and_legend_name_what_is_drawn_beside_them(view: str) -> None:
    _, marks = picture_of(distinct_view(view))
    title, under = marks.words("its title"), marks.words(view)
    assert (title.colour, title.how["bold"], under.colour) == (INK, True, INK)
    assert np.allclose(title.at, [22, 34]) and np.allclose(under.at, [22, 76])
    for word, row, colour, how in (("address", 34, ADDRESS, AT_ADDRESS), ("top", 76, NOW, {})):
        (text,) = [one for one in marks.drawn if one.words == word and one.how["size"] == 28]
        assert text.at[1] == row and text.colour == INK
        # The circle beside it: thirteen pixels round, clear of the word, drawn as that moment's circles are.
        (circle,) = [
            one for one in marks.drawn
            if one.kind == "line" and len(one.at) > 60 and np.allclose(one.at[:-1].mean(axis=0), text.at - [26, 0])
        ]  # fmt: skip
        assert np.allclose(np.linalg.norm(circle.at - (text.at - [26, 0]), axis=1), 13)
        assert (circle.colour, circle.how) == (colour, how)
        assert text.at[0] + marks.text_size(word, size=28)[0] <= 720 - 22 + 1e-9 and text.at[0] > 500


def test_a_long_title_shrinks_until_it_is_clear_of_the_legend() -> None:
    for title, whole in (("short", True), ("a name that a golfer typed", False)):
        _, marks = picture_of(replace(distinct_view(FACE_ON), title=title))
        written = marks.words(title)
        assert (written.how["size"] == 34) == whole and written.how["size"] >= 22
        legend = min(one.at[0] for one in marks.drawn if one.how.get("size") == 28 and one.words == "address") - 40
        right = 22 + marks.text_size(title, size=written.how["size"], bold=True)[0]
        assert right <= legend - 22
        if not whole:
            assert 22 + marks.text_size(title, size=written.how["size"] + 1, bold=True)[0] > legend - 22


@each_view
@pytest.mark.parametrize("width", [720, 390, 300])
def test_words_do_not_lie_on_each_other_or_outside(view: str, width: int) -> None:
    """At a phone's width too, where every size shrinks alike."""
    blank = np.full((round(width * 1.25), width, 3), 120, np.uint8)
    covered = np.zeros(blank.shape[:2], bool)
    covered[:, width // 3 : 2 * width // 3] = True
    shown = distinct_view(view)
    made: list[Recorded] = []
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(picture_module, "Marks", lambda *given: made.append(Recorded(*given)) or made[-1])
        marked(blank, covered, shown, camera().scaled(width / 720))
    boxes = []
    for one in made[0].drawn:
        if one.kind == "text":
            across, down = made[0].text_size(one.words, size=one.how["size"], bold=one.how.get("bold", False))
            left = one.at[0] - across if one.how.get("anchor", "lm") == "rm" else one.at[0]
            boxes.append((left, one.at[1] - down / 2, left + across, one.at[1] + down / 2))
    assert len(boxes) == 8
    for k, a in enumerate(boxes):
        assert a[0] >= 0 and a[1] >= 0 and a[2] <= width and a[3] <= blank.shape[0]
        for b in boxes[k + 1 :]:
            assert a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1]


def near(picture: Array, place: Array, colour: tuple[int, int, int], reach: int = 1) -> bool:
    u, v = np.round(place).astype(int)
    patch = picture[v - reach : v + reach + 1, u - reach : u + reach + 1]
    return bool((np.abs(patch - np.array(colour)).max(axis=-1) < 30).any())


@each_view
def test_the_pixels_of_the_joints_named_have_the_moments_colours(view: str) -> None:
    """What is remembered is what is drawn: the colours at the pixels, and at no other joint's."""
    shown = distinct_view(view)
    picture, _ = picture_of(shown)
    assert near(picture, seen(shown.top.joints["pelvis"]), NOW)
    assert near(picture, seen(shown.address.joints["pelvis"]), ADDRESS)
    assert near(picture, seen(shown.head_path[-1]), NOW) and near(picture, seen(shown.head_path[0]), ADDRESS)
    middle, radius = ring(shown.head_path[-1])
    turns = np.linspace(0, 2 * np.pi, 40, endpoint=False)
    places = middle + radius * np.stack([np.cos(turns), np.sin(turns)], axis=-1)
    assert np.mean([near(picture, place, NOW) for place in places]) > 0.85
    wrong = [shown.top.joints["head"], shown.address.joints["head"], shown.top.joints["sternum"]]
    assert not any(near(picture, seen(place), NOW) or near(picture, seen(place), ADDRESS) for place in wrong)


def test_a_line_is_as_wide_as_its_colour_and_both_edges() -> None:
    """Five pixels of colour and two of halo on each side, in a picture 720 wide; half of it in one half as wide."""
    for width, unit in ((720, 1.0), (360, 0.5)):
        with Marks(np.full((80, width, 3), 120, np.uint8)) as marks:
            marks.line([[20.0, 40.0], [width - 20.0, 40.0]], NOW)
        column = np.asarray(marks.result)[:, width // 2].astype(float)
        share = np.abs(column - 120).max(axis=-1) > 20
        assert share.sum() == pytest.approx(9 * unit, abs=1.01)
        orange = np.abs(column - NOW).max(axis=-1) < 30
        assert orange.sum() == pytest.approx(5 * unit, abs=1.01) and not orange[~share].any()
        if unit == 1:
            assert near(np.asarray(marks.result).astype(int), np.array([width // 2, 36.5]), HALO)


def test_a_part_of_a_picture_is_marked_as_the_whole_is() -> None:
    """Places count in the whole picture, and so do sizes, whatever part of it is drawn on."""
    with Marks(BLANK) as whole:
        draw_lines(whole, distinct_view(FACE_ON), camera())
        whole.text((300.0, 300.0), "38°", INK, size=30)
    rows, columns = slice(101, 640), slice(57, 700)
    with Marks(BLANK[rows, columns], origin=(57, 101), whole_width=720) as part:
        draw_lines(part, distinct_view(FACE_ON), camera())
        part.text((300.0, 300.0), "38°", INK, size=30)
    one, other = np.asarray(whole.result)[rows, columns].astype(int), np.asarray(part.result).astype(int)
    inside = (slice(20, -20), slice(20, -20))
    # Strokes begin on whole pixels of the overlay, a third of a pixel.
    assert np.abs(one[inside] - other[inside]).max() <= 40
    assert (one[inside] != 120).any()


@pytest.mark.parametrize(("degrees", "text"), [(38.4, "38°"), (-0.6, "−1°"), (-12.0, "−12°"), (7.5000001, "8°")])
def test_degrees_are_whole_and_have_a_true_minus(degrees: float, text: str) -> None:
    assert degrees_text(degrees) == text
