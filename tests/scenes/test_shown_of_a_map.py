"""Every number of a map stands where its label says: reports with numbers that are all different."""

from __future__ import annotations

import re
from base64 import b64decode
from functools import cache
from itertools import pairwise
from typing import Any

import numpy as np
import pytest
from lxml import html
from map_reports import GRIDS, REACHED, REPORT, STILL, SWAY, TARGET, TILT, UP
from shown import figures, number, page, tables, words

from turnstill.model.questions.steady_map import SteadyMap
from turnstill.scenes.map.drawing import EDGE, drawing, panel
from turnstill.scenes.map.legend import legend
from turnstill.scenes.map.page import map_page
from turnstill.scenes.map.report import MapReport, StillestPlace
from turnstill.scenes.map.shades import AWAY, BAND, TOWARD, ZERO, marks, shade
from turnstill.scenes.map.table import map_table, some
from turnstill.scenes.map.work import Mapped
from turnstill.scenes.setups.perform import perform
from turnstill.scenes.setups.presets import load

CAPTIONS = {
    "Head toward target since address": "head_toward_target_cm",
    "Head up since address": "head_up_cm",
    "Head toward ball since address": "head_toward_ball_cm",
}
"""What a panel is called and what it shows, written out by hand."""


@cache
def drawn_page(inches: bool) -> str:
    """The page with its drawings, which take their time."""
    return map_page(REPORT, inches)


@pytest.fixture
def undrawn(monkeypatch: pytest.MonkeyPatch) -> None:
    """Pages without drawings, for what does not depend on them."""
    monkeypatch.setattr("turnstill.scenes.map.page.drawing", lambda *_: "<svg/>")


@pytest.mark.usefixtures("undrawn")
@pytest.mark.parametrize("inches", [False, True])
def test_a_cell_is_the_head_at_its_amounts(inches: bool) -> None:
    unit, by = ("in", 2.54) if inches else ("cm", 1.0)
    (table,) = tables(map_page(REPORT, inches))
    assert len(table) == 20
    flat = re.sub(r" +", " ", map_table(REPORT, inches))
    for row, tilt in enumerate(TILT.values):
        cells = []
        for column, sway in enumerate(SWAY.values):
            text = table[f"{tilt:.1f}°", f"{sway / by:.{1 + inches}f} {unit}".replace("-", "−")]
            target, up = (number(part) for part in re.findall(r"[-+−]?\d+\.\d+", text))
            assert target == pytest.approx(TARGET[row, column] / by, abs=0.051 / by)
            assert up == pytest.approx(UP[row, column] / by, abs=0.051 / by)
            assert text.startswith("*") == STILL[row, column]
            assert (text[0] == "(" and text[-1] == ")") == (not REACHED[row, column])
            cells.append(text.replace("−", "-"))
        assert f" {tilt:.1f}° {' '.join(cells)}" in flat
    heads = [f"{sway / by:.{1 + inches}f} {unit}" for sway in SWAY.values]
    assert " ".join(heads) in flat
    assert f"toward the target and up, {unit}. Across sway, upward tilt; everything else as it was." in " ".join(
        flat.split()
    )
    document = page(map_page(REPORT, inches))
    assert words(document.xpath("//thead/tr/th")[0]) == "tilt \\ sway"
    assert f"toward the target and up, {unit}." in words(document.xpath("//caption")[0])
    assert [words(cell)[0] for cell in document.xpath("//td[@class='still']")] == ["*"]
    assert [words(cell)[0] for cell in document.xpath("//td[@class='out']")] == ["(", "("]
    first = document.xpath("//tbody/tr/th")[0]
    assert words(first) == "50.0°", "the highest row is on top, as on the drawings"


def test_large_maps_show_both_ends_and_the_middle() -> None:
    assert some(5, 5) == [0, 1, 2, 3, 4] and some(6, 5) == [0, 1, 2, 4, 5]
    assert some(61, 9) == [0, 8, 15, 22, 30, 38, 45, 52, 60]


class Drawn:
    """A drawing's axes and marks, read back from its SVG as a person reads them."""

    def __init__(self, svg: bytes) -> None:
        self.root = html.fromstring(svg)
        self.text = svg.decode()

    def scale(self, axis: str, along: str) -> np.poly1d:
        places, values = [], []
        for tick in self.root.xpath(f"//g[starts-with(@id, '{axis}tick')]"):
            places.append(float(tick.xpath(f".//use/@{along}")[0]))
            values.append(number(tick.xpath(".//comment()")[-1].text))
        return np.poly1d(np.polyfit(places, values, 1))

    def mark(self, name: str) -> tuple[float, float]:
        (use,) = self.root.xpath(f"//g[@id='{name}']//use")
        return self.scale("x", "x")(float(use.get("x"))), self.scale("y", "y")(float(use.get("y")))


@pytest.mark.parametrize("inches", [False, True])
def test_marks_stand_at_what_this_swing_and_steady_have(inches: bool) -> None:
    by, unit = (2.54, "in") if inches else (1.0, "cm")
    shown = figures(drawn_page(inches))
    assert [one.caption for one in shown] == [f"{caption}, {unit}" for caption in CAPTIONS]
    for one, caption in zip(shown, CAPTIONS, strict=True):
        assert one.alt == f"{caption} over sway and tilt, {unit}"
        drawn = Drawn(one.picture)
        np.testing.assert_allclose(drawn.mark("this-swing"), (2.2 / by, 33.3), atol=0.02)
        np.testing.assert_allclose(drawn.mark("steady"), (2.2 / by, 38.8), atol=0.02)
        assert f"<!-- sway, {unit} -->" in drawn.text and "<!-- tilt, ° -->" in drawn.text
        assert drawn.text.count(f"stroke: {EDGE}") >= 1 and "<pattern" in drawn.text
    neither = REPORT.replaced(y=TILT.replaced(piece="hip_turn"))
    drawn = Drawn(drawing(neither, "head_up_cm", *[True] * inches).encode())
    assert f"<!-- sway, {unit} -->" in drawn.text
    assert "steady" not in drawn.text and drawn.mark("this-swing")


def colours(measure: str, inches: bool, places: list[tuple[float, float]], report: MapReport = REPORT) -> list[str]:
    """Colours of a panel at amounts of x and y."""
    from matplotlib.backends.backend_agg import FigureCanvasAgg

    figure = panel(report, measure, inches)
    figure.set_dpi(400)
    canvas: Any = FigureCanvasAgg(figure)
    canvas.draw()
    pixels = np.asarray(canvas.buffer_rgba())
    at = figure.axes[0].transData.transform(places)
    return [f"#{bytes(pixels[pixels.shape[0] - 1 - int(y), int(x), :3]).hex()}" for x, y in at]


@pytest.mark.parametrize("inches", [False, True])
def test_a_panel_has_the_shade_of_how_far_the_head_is_there(inches: bool) -> None:
    by = 2.54 if inches else 1.0
    steps = [0.0, *marks(0.5 / by)]
    rng = np.random.default_rng(2)
    seen = set()
    for measure, slopes in (
        ("head_toward_target_cm", (0.9, 0.31, 35.0)),
        ("head_up_cm", (-0.4, 0.7, 35.0)),
        ("head_toward_ball_cm", (0.2, -0.23, 50.0)),
    ):
        places = rng.uniform([-5.8, 20.5], [5.8, 39.5], size=(400, 2))
        moved = (slopes[0] * places[:, 0] + slopes[1] * (places[:, 1] - slopes[2])) / by
        # Away from lines, from the still band, and from what stands on the map.
        off = np.hypot(0.9 * places[:, 0] + 0.31 * (places[:, 1] - 35), -0.4 * places[:, 0] + 0.7 * (places[:, 1] - 35))
        clear = np.min(np.abs(np.abs(moved)[:, None] - steps), axis=1) > 0.12 / by
        clear &= (off > 1.5) & (np.hypot(places[:, 0] - 2.2, (places[:, 1] - 33.3) / 2) > 1.0)
        clear &= np.hypot(places[:, 0] - 2.2, (places[:, 1] - 38.8) / 2) > 1.0
        found = colours(measure, inches, [(x / by, y) for x, y in places[clear]])
        wanted = [shade(value, 0.5 / by) for value in moved[clear]]
        wrong = sum(a != b for a, b in zip(found, wanted, strict=True))
        assert wrong < 0.12 * len(found), "labels hide a few places, no more"
        seen |= {*wanted}
    assert len(seen) > 8


def light(colour: str) -> float:
    """Relative luminance of sRGB, IEC 61966-2-1 and ITU-R BT.709."""
    parts = [int(colour[k : k + 2], 16) / 255 for k in (1, 3, 5)]
    linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
    return float(np.dot(linear, (0.2126, 0.7152, 0.0722)))


def test_a_map_is_light_where_the_head_is_still_and_darker_away_on_both_sides() -> None:
    assert light(BAND) == pytest.approx(1.0) and light(ZERO) < 0.9
    for side in (AWAY, TOWARD):
        levels = [light(BAND), light(ZERO), *(light(colour) for colour in side)]
        assert all(near > 1.1 * far for near, far in pairwise(levels))
    for away, toward in zip(AWAY, TOWARD, strict=True):
        assert light(away) == pytest.approx(light(toward), rel=0.12), "as far is as dark on either side"
        # Readers without red or green cones keep the difference between blue and yellow.
        blue, yellow = ([int(one[k : k + 2], 16) for k in (1, 3, 5)] for one in (away, toward))
        assert blue[2] - blue[0] > 15 and yellow[0] - yellow[2] > 15


def test_the_still_band_is_white_whatever_the_panel_shows() -> None:
    # Toward the ball the head is 3.4 cm off there.
    quiet = REPORT.replaced(x=SWAY.replaced(this_swing=-5.0), y=TILT.replaced(this_swing=22.0, steady=48.0))
    for measure in GRIDS:
        assert colours(measure, False, [(0.0, 35.0)], quiet) == [BAND]
    moved = quiet.replaced(reached=(~REACHED).tolist())
    assert colours("head_toward_ball_cm", False, [(0.0, 35.0)], moved) != [BAND]
    assert EDGE not in drawing(moved, "head_up_cm"), "no band where the joints do not allow it"


@pytest.mark.usefixtures("undrawn")
@pytest.mark.parametrize("inches", [False, True])
def test_the_legend_says_what_each_sign_is(inches: bool) -> None:
    items = page(map_page(REPORT, *[True] * inches)).xpath("//ul[@class='signs']/li")
    assert (legend(REPORT) == legend(REPORT, inches)) != inches
    swing, steady = ("0.87 in", "0.87 in") if inches else ("2.2 cm", "2.2 cm")
    still, unit = ("0.20 in", "in") if inches else ("0.5 cm", "cm")
    assert [words(item) for item in items[:-1]] == [
        f"this swing: {swing} of sway and 33.3° of tilt",
        f"what holds this head for this swing's turn: {steady} of sway and 38.8° of tilt",
        f"edge of the still band, which is white: still means within {still} of its place at address as seen face-on, "
        "sideways and in height together",
        "the joints do not allow it; what is shown is the nearest that they allow",
        "how far the joints reach: where to stop, not a place to go",
    ]
    ramp = items[-1].xpath("./svg")[0]
    assert [one.get("fill") for one in ramp.iter("rect")] == [*reversed(AWAY), ZERO, *TOWARD]
    starts = {float(one.get("x")): one.get("fill") for one in ramp.iter("rect")}
    for text in ramp.iter("text"):
        value, at = number(words(text)), float(text.get("x"))
        past = starts[at] if value > 0 else starts[at - 25.0]
        assert past == shade(value * 1.001, 0.5 / (2.54 if inches else 1.0))
    assert len(list(ramp.iter("text"))) == 10
    assert words(items[-1]).endswith(f"{unit} from where the head was, in the direction that a map is of")
    signs = [item.xpath("./svg/*")[0] for item in items]
    assert [sign.tag for sign in signs] == ["circle", "polygon", "path", "path", "path", "rect"]
    assert signs[2].get("stroke") == EDGE


@pytest.mark.usefixtures("undrawn")
def test_what_is_kept_is_folded_with_its_amounts() -> None:
    for inches, told in ((False, "1.7 cm"), (True, "0.67 in")):
        (folded,) = page(map_page(REPORT, inches)).xpath("//details")
        assert [words(item) for item in folded.iter("li")] == [
            "hip turn 45.5°", "extension 29.9°", f"hips toward ball {told}"
        ]  # fmt: skip
        assert words(folded.xpath("./summary")[0]) == "What is kept everywhere: everything else as it was"
    neither = page(map_page(REPORT.replaced(y=TILT.replaced(piece="hip_turn"))))
    assert words(neither.xpath("//summary")[0]).endswith("as it was, tilt and extension in degrees included")


@pytest.mark.usefixtures("undrawn")
def test_a_page_is_of_its_golfer_and_says_its_notes() -> None:
    body = REPORT.body.replaced(stature_cm=181.0, mass_kg=77.0, sex="female", handedness="left")
    for inches, tall in ((False, "181 cm"), (True, "71.3 in")):
        told = f"{tall}, 77 kg, female, left-handed"
        text = map_page(REPORT.replaced(body=body, preset="mine"), inches)
        held = "steady holds the head where it was at address"
        assert f"Simulated golfer: {told}, at the top of the backswing; {held}." in text
        assert page(text).xpath("//h1/text()") == ["mine: the head over sway and tilt"]
        terminal = map_table(REPORT.replaced(body=body, preset="mine"), inches)
        assert f"mine: sway and tilt ({told})" in " ".join(terminal.split())
        assert all(line in text and f"Note: {line}" in terminal for line in REPORT.warnings)
        short = page(text).xpath("//section[@aria-label='In short']/p")
        assert [words(line) for line in short] == REPORT.sentences


def test_a_key_of_the_json_is_the_models_number() -> None:
    performed = perform(load("too-much-tilt"), 2)
    shape = (3, 4)
    outcome = np.arange(48.0).reshape(*shape, 4) * 0.00171 + 0.0003
    stopped = np.zeros((*shape, 15), bool)
    names = SteadyMap.stop_names.fget(None)  # type: ignore[attr-defined]
    stopped = np.zeros((*shape, len(names)), bool)
    stopped[0, 1, 0] = stopped[2, 3, 0] = stopped[0, 2, 4] = True
    converged = np.ones(shape, bool)
    converged[1, 0] = False
    stopped[1, 0, 5] = True
    found = SteadyMap(
        x="hips_toward_ball", y="tilt", x_values=np.array([0.01, 0.021, 0.032, 0.043]),
        y_values=np.radians([31.0, 32.5, 34.0]), outcome=outcome, stopped=stopped, converged=converged,
        place=np.array([0.0123, 0.567]), steady=np.array([0.0234, 0.678]), wanted=np.array([-0.0017, 0.0009]),
    )  # fmt: skip
    made = MapReport.of(Mapped(performed, found))
    assert (made.x.piece, made.x.unit, made.y.piece, made.y.unit) == ("hips_toward_ball", "cm", "tilt", "deg")
    np.testing.assert_allclose(made.x.values, [1.0, 2.1, 3.2, 4.3])
    np.testing.assert_allclose(made.y.values, [31.0, 32.5, 34.0])
    assert (made.x.this_swing, made.x.steady) == (1.23, 2.34)
    assert (made.y.this_swing, made.y.steady) == pytest.approx(np.degrees([0.567, 0.678]), abs=1e-6)
    for key, at, by in (
        ("head_toward_ball_cm", 0, 100.0), ("head_toward_target_cm", 1, 100.0), ("head_up_cm", 2, 100.0),
        ("inclination_deg", 3, 180.0 / np.pi),
    ):  # fmt: skip
        np.testing.assert_allclose(getattr(made, key), outcome[..., at] * by, atol=1e-6)
    reached = [[True, False, False, True], [False, True, True, True], [True, True, True, False]]
    assert made.reached == reached
    off = np.hypot(outcome[..., 1] + 0.0017, outcome[..., 2] - 0.0009) * 100.0
    assert made.still == (np.array(reached) & (off <= made.still_within_cm)).tolist()
    assert made.stillest == StillestPlace(x=1.0, y=31.0, off_cm=off[0, 0])
    assert made.stopped_cells == {names[0]: 2, names[4]: 1}
    ball, target, up = performed.swing.measures.head_moved[-1] * 100.0
    assert made.this_swing.head_toward_ball_cm == pytest.approx(ball, abs=1e-6)
    assert made.this_swing.head_toward_target_cm == pytest.approx(target, abs=1e-6)
    assert made.this_swing.head_up_cm == pytest.approx(up, abs=1e-6)
    assert made.steady_miss_cm == pytest.approx(performed.swing.steady_miss[-1] * 100.0, abs=1e-6)
    asked = performed.swing.asked
    assert set(made.kept) == set(asked) & {
        "hip_turn", "shoulder_turn", "extension", "lead_flex_change", "trail_flex_change", "sway", "lead_heel_rise",
        "trail_heel_rise",
    }  # fmt: skip
    assert made.kept["extension"] == pytest.approx(np.degrees(asked["extension"][-1]), abs=1e-6)
    assert made.kept["sway"] == pytest.approx(asked["sway"][-1] * 100.0, abs=1e-6)
    assert "The solver did not converge at 1 of 12 places; they count as not reached." in made.warnings


def test_pictures_are_svg_inside_the_page() -> None:
    for source in page(drawn_page(False)).xpath("//img/@src"):
        assert b"<svg" in b64decode(source.removeprefix("data:image/svg+xml;base64,"))
