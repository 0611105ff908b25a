"""The module's figure in a real browser: vertices, outline, colours and marks are the pictures' own."""

from __future__ import annotations

import itertools
import time
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any, NamedTuple

import numpy as np
import pytest
import web_page
from browser import browser, watched
from numpy.typing import NDArray

from turnstill.model.films.camera import Camera
from turnstill.model.swing.swing import Swing
from turnstill.render.figure.figure import Figure, Posed
from turnstill.render.stage.stage import Stage
from turnstill.scenes.setups.perform import swing_of
from turnstill.scenes.setups.presets import load
from turnstill.scenes.setups.settings import apply
from turnstill.scenes.views.cameras import cameras
from turnstill.scenes.views.shown_swing import shown_at

WIDTH, HEIGHT = 480, 600
WHITE_ON_BLACK = """() => {
  Object.assign(window, shown);
  window.kept = [figure.header.look, show.window.settings];
  golfer.ghost = false;
  figure.header.look = Object.fromEntries(Object.keys(figure.header.look).map((name) => [name, [0, 0, 0]]));
  const bright = { ambient: 1e3, diffuse: 0, specular: 0, power: 1 };
  show.window.settings = { ...show.window.settings, matter: bright };
}"""
MOMENT = 7


class Shown(NamedTuple):
    """A golfer in a browser's page and on a stage."""

    page: Any
    swing: Swing
    figure: Figure
    stage: Stage
    places: dict[str, Camera]


@pytest.fixture(scope="module")
def opened() -> Iterator[Any]:
    with browser() as chromium:
        yield chromium


@contextmanager
def showing(opened: Any, name: str, *settings: str) -> Iterator[Shown]:
    swing = swing_of(apply(load(name), settings), 21)
    with watched(opened, 1500, 700) as seen, Stage() as stage:
        figure = stage.figure(swing.body, swing.skeleton[0], left_handed=swing.left_handed)
        web_page.open_page(seen.page, web_page.page_of(swing, figure, WIDTH, HEIGHT))
        yield Shown(seen.page, swing, figure, stage, cameras([swing], WIDTH, HEIGHT)[0])


@pytest.fixture(scope="module")
def shown(opened: Any) -> Iterator[Shown]:
    with showing(opened, "too-much-tilt") as one:
        yield one


@pytest.fixture(scope="module")
def left_handed_woman(opened: Any) -> Iterator[Shown]:
    with showing(opened, "sway", "sex=female", "handedness=left") as one:
        yield one


@pytest.fixture(params=["shown", "left_handed_woman"])
def each(request: pytest.FixtureRequest) -> Shown:
    one: Shown = request.getfixturevalue(request.param)
    return one


def at(shown: Shown, moment: int) -> None:
    shown.page.evaluate(f"() => {{ window.shown.golfer.show({moment}); }}")
    web_page.settle(shown.page)


@pytest.mark.parametrize("moment", [MOMENT, 20])
def test_a_picture_is_the_stages(each: Shown, moment: int) -> None:
    """Silhouette by what both cover fully, and every colour; the stage's is the reference."""
    at(each, moment)
    now, address = (Posed.of(each.figure, each.swing.skeleton[k]) for k in (moment, 0))
    for view in web_page.VIEWS:
        camera = each.places[view]
        drawn = web_page.pixels(each.page, view).astype(int)
        exact = each.stage.picture(camera, now, address).astype(int)
        away = np.abs(drawn - exact).mean(axis=-1)
        figure = each.stage.figure_layer(camera, now)[..., 3]
        # Levels of 255, more than which nobody sees. Edges are smoothed by other samples, and the outline by fewer.
        assert away[figure > 0.99].mean() < 1.5, view
        assert away[figure == 0].mean() < 1.0 and np.mean(away > 24) < 0.01, view


def test_its_silhouette_is_the_stages(each: Shown) -> None:
    """Intersection over union at least 0.99, of the figure in one bright colour on a dark place."""
    at(each, MOMENT)
    each.page.evaluate(WHITE_ON_BLACK)
    web_page.settle(each.page)
    drawn = {view: web_page.pixels(each.page, view).max(axis=-1) > 127 for view in web_page.VIEWS}
    each.page.evaluate("() => { golfer.ghost = true; [figure.header.look, show.window.settings] = kept; }")
    now = Posed.of(each.figure, each.swing.skeleton[MOMENT])
    for view, covered in drawn.items():
        exact = each.stage.figure_layer(each.places[view], now, ball=False)[..., 3] > 0.5
        assert (covered & exact).sum() / (covered | exact).sum() > 0.99, view


def test_marks_are_where_the_camera_sees_them(each: Shown) -> None:
    at(each, MOMENT)
    for view in web_page.VIEWS:
        check_marks(each, view)


def check_marks(each: Shown, view: str) -> None:
    seen, camera = shown_at(each.swing, "", view, MOMENT), each.places[view]
    told = each.page.evaluate(
        f"() => [...document.querySelectorAll('#{view} [data-mark]')].map((e) => [e.dataset.mark, e.getAttribute('cx'),"
        " e.getAttribute('cy'), e.getAttribute('r'), e.getAttribute('points')])"
    )
    circles = {name: np.array([float(x), float(y), float(r)]) for name, x, y, r, _ in told if x}
    lines = {name: np.array([p.split(",") for p in points.split()], float) for name, *_, points in told if points}
    # A picture's pixel centres are at integers, an SVG's pixels begin there.
    for name, joint in (("head now", seen.head_path[-1]), ("head address", seen.head_path[0])):
        radius = camera.K[0, 0] * seen.head_radius_m / camera.depth(joint)
        assert circles[name] == pytest.approx([*(camera.project(joint) + 0.5), radius], abs=0.1)
    assert lines["head path"] == pytest.approx(camera.project(seen.head_path) + 0.5, abs=0.1)
    for line in seen.lines:
        for moment, when in (("now", "top"), ("address", "address")):
            assert lines[f"{line.word} {moment}"] == pytest.approx(camera.project(seen.ends(line)[when]) + 0.5, abs=0.1)
    assert ("plumb" in lines) == (view == "face-on")
    words = each.page.evaluate(f"() => [...document.querySelectorAll('#{view} text')].map((e) => e.textContent)")
    for line in seen.lines:
        for when in line.told:
            assert f"{line.word} {seen.angles[line.word].at(when):.0f}°".replace("-", "−") in words


def test_a_finger_turns_the_camera_about_the_golfer_and_two_taps_take_it_back(shown: Shown) -> None:
    at(shown, MOMENT)
    page = shown.page
    before = web_page.pixels(page, "face-on")
    box = page.locator("#face-on").bounding_box()
    page.mouse.move(box["x"] + 300, box["y"] + 300)
    page.mouse.down()
    page.mouse.move(box["x"] + 400, box["y"] + 340)
    page.mouse.up()
    orbit = page.evaluate("() => window.shown.show.panels[0].turning.orbit")
    assert orbit == {"yaw": pytest.approx(0.8), "pitch": pytest.approx(0.32), "zoom": 1}
    turned = page.evaluate("() => { const c = window.shown.show.panels[0].camera; return [c.R, c.t, c.K]; }")
    R, t, K = (np.array(one) for one in turned)
    base = shown.places["face-on"]
    middle = 0.5 * (shown.swing.skeleton.joints["pelvis"][0] + shown.swing.skeleton.joints["neck_base"][0])
    middle = np.round(middle * [1, 0, 1], 4)
    # It stays a camera, as far from the golfer's middle, which it shows at the same place; up in the world stays up.
    assert pytest.approx(np.eye(3), abs=1e-12) == R @ R.T and np.linalg.det(R) == pytest.approx(1)
    assert R @ middle + t == pytest.approx(base.R @ middle + base.t) and pytest.approx(base.K) == K
    assert R[0, 2] == pytest.approx(0, abs=1e-12) and np.arcsin(-R[2, 2]) == pytest.approx(0.32)
    web_page.settle(page)
    assert np.abs(web_page.pixels(page, "face-on").astype(int) - before).mean() > 3
    # What a picture of a turned golfer shows is not the view's own angle.
    assert page.locator("#face-on text").count() == 0
    page.locator("#face-on").dblclick(position={"x": 300, "y": 300})
    web_page.settle(page)
    assert (web_page.pixels(page, "face-on") == before).all() and page.locator("#face-on text").count() > 0


def test_keys_turn_it_too_and_never_below_the_ground(shown: Shown) -> None:
    page = shown.page
    page.locator("#down-the-line").focus()
    for key, expected in (
        ("ArrowRight", {"yaw": np.pi / 36, "pitch": 0, "zoom": 1}),
        ("ArrowDown", {"yaw": np.pi / 36, "pitch": np.pi / 36, "zoom": 1}),
        ("+", {"yaw": np.pi / 36, "pitch": np.pi / 36, "zoom": 1.15}), ("Home", {"yaw": 0, "pitch": 0, "zoom": 1}),
    ):  # fmt: skip
        page.keyboard.press(key)
        assert page.evaluate("() => window.shown.show.panels[1].turning.orbit") == pytest.approx(expected)
    for key, height in (("ArrowUp", -0.05), ("ArrowDown", np.pi / 2)):
        for _ in range(22):  # From one end to the other are 19 steps of 5 degrees.
            page.keyboard.press(key)
        down = page.evaluate("() => -window.shown.show.panels[1].camera.R[2][2]")
        assert np.arcsin(min(down, 1)) == pytest.approx(height, abs=1e-6)
    page.keyboard.press("Home")


def test_a_lost_window_comes_back_with_the_same_picture(shown: Shown) -> None:
    at(shown, MOMENT)
    page, before = shown.page, web_page.pixels(shown.page, "down-the-line")
    page.evaluate(
        "() => { window.taken = window.shown.show.window.gl.getExtension('WEBGL_lose_context'); taken.loseContext(); }"
    )
    page.wait_for_function("window.shown.show.window.lost")
    page.evaluate("() => { window.shown.golfer.show(0); window.shown.show.changed(); }")
    page.evaluate("() => taken.restoreContext()")
    page.wait_for_function("!window.shown.show.window.lost")
    at(shown, MOMENT)
    assert (web_page.pixels(page, "down-the-line") == before).all()


def test_two_fingers_come_nearer_and_one_turns(opened: Any, shown: Shown) -> None:
    with watched(opened, 800, 500, has_touch=True) as seen:
        page = seen.page
        web_page.open_page(page, web_page.page_of(shown.swing, shown.figure, 240, 300))
        touch = page.context.new_cdp_session(page)

        # Each touch says when it was: on a busy machine seconds pass between two that are sent.
        moments = itertools.count(time.time(), 0.02)

        def fingers(kind: str, *places: tuple[float, float]) -> None:
            points = [{"x": x, "y": y, "id": k} for k, (x, y) in enumerate(places)]
            touch.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points, "timestamp": next(moments)})

        def tap() -> None:
            fingers("touchStart", (120, 150))
            fingers("touchEnd")

        def orbit() -> dict[str, float]:
            found: dict[str, float] = page.evaluate("() => window.shown.show.panels[0].turning.orbit")
            return found

        fingers("touchStart", (100, 150), (140, 150))
        # Both fingers apart, as much to either side: nearer, and turned neither way.
        fingers("touchMove", (90, 150), (150, 150))
        fingers("touchMove", (80, 150), (160, 150))
        fingers("touchEnd")
        assert orbit()["zoom"] == pytest.approx(2.0, rel=0.02) and orbit()["yaw"] == pytest.approx(0, abs=0.05)
        fingers("touchStart", (100, 150))
        for x in (110, 130, 150):
            fingers("touchMove", (x, 152))
        fingers("touchEnd")
        assert orbit()["yaw"] > 0.2 and orbit()["zoom"] == pytest.approx(2.0, rel=0.02)
        # Soon after, near where the finger began: what was drawn along was no tap.
        turned = orbit()
        tap()
        for _ in range(20):  # a while, in which nothing is touched
            next(moments)
        tap()
        assert orbit() == turned, "two taps with a while between them are no double tap"
        tap()
        assert orbit() == {"yaw": 0, "pitch": 0, "zoom": 1}


def test_the_outline_moves_with_the_address(shown: Shown) -> None:
    def pictures() -> dict[str, NDArray[np.int64]]:
        web_page.settle(shown.page)
        return {view: web_page.pixels(shown.page, view).astype(int) for view in web_page.VIEWS}

    at(shown, MOMENT)
    before = pictures()
    # Somebody who stands at address as they stand at another moment.
    shown.page.evaluate(
        "() => { const { golfer } = shown; window.stood = golfer.addressPositions; golfer.show(20);"
        f" golfer.addressPositions = golfer.positions.slice(); golfer.show({MOMENT}); }}"
    )
    moved = pictures()
    shown.page.evaluate("() => { shown.golfer.addressPositions = stood; }")
    again = pictures()
    for view in web_page.VIEWS:
        assert (np.abs(moved[view] - before[view]).max(axis=-1) > 60).sum() > 200, view
        assert (again[view] == before[view]).all(), view


def test_another_swing_from_the_same_address_keeps_its_outline(shown: Shown) -> None:
    kept = "() => { const g = shown.golfer, kept = g.addressPositions; g.take(g.figure, shown.motion); "
    assert shown.page.evaluate(kept + "return kept === g.addressPositions; }")
    at(shown, MOMENT)


def test_nothing_comes_to_rest_while_more_is_awaited(shown: Shown) -> None:
    at(shown, MOMENT)
    rough = shown.page.evaluate("() => { shown.show.awaits(true); shown.show.came(); return shown.show.rough; }")
    shown.page.wait_for_timeout(400)
    assert rough and shown.page.evaluate("() => shown.show.rough")
    shown.page.evaluate("() => shown.show.awaits(false)")
    shown.page.wait_for_function("() => !shown.show.rough")
