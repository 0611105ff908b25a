"""What ``compare --through impact`` says of impact: what is asked there, where each head is, what to take care of."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from compare_pages import comparison_page
from distinct import filled, whole_swing
from lxml import html as lxml_html
from shown import number, page, tables, words
from typer.testing import CliRunner

from turnstill.scenes.cli import app
from turnstill.scenes.compare import work
from turnstill.scenes.compare.at_impact import STRIKE, sentences_at_impact
from turnstill.scenes.film import asked as film_asked
from turnstill.scenes.setups.perform import perform, swing_of
from turnstill.scenes.setups.presets import Setup, load
from turnstill.scenes.setups.reports import HeldHead
from turnstill.scenes.setups.settings import apply
from turnstill.scenes.setups.top_alone import TOP_ALONE
from turnstill.scenes.simulate.report import ImpactReport, SwingReport
from turnstill.scenes.views.cameras import cameras
from turnstill.scenes.words.at_impact import BACK, CAUTION
from turnstill.scenes.words.pieces import head_words

AT_ADDRESS = HeldHead(toward_target_cm=0.0, up_cm=0.0)


def struck(name: str, start: int, head: tuple[float, float, float], held: HeldHead = AT_ADDRESS, **given: Any) -> Any:
    """A swing that goes on to impact, in moments up to the top and two more, its head there in cm."""
    to_top = whole_swing(name, start)
    towards, target, up = head
    ball = filled(type(to_top.moments[0]), start=start + 2000, progress=2.0).replaced(
        head_toward_ball_cm=towards, head_toward_target_cm=target, head_up_cm=up
    )
    past = filled(type(ball), start=start + 3000, progress=3.0)
    asked = {"extension_deg": 14.5 + start, "hips_toward_ball_cm": 2.0}
    asked |= {key: value for key, value in given.items() if not isinstance(value, str)}
    usual = {"extension_deg": "steady", "hips_toward_ball_cm": 2.0, "hands_ahead_cm": 5.0}
    there = ImpactReport(moment=3, given=usual | given, asked=asked, achieved=asked, head_held=held)
    return to_top.replaced(moments=[*to_top.moments, ball, past], at_impact=there)


FIRST = struck("A", 0, (0.1, -0.1, 0.2))
OTHER = struck("B", 3, (3.7, -1.5, 1.1), extension_deg="steady+4", hips_toward_ball_cm=7.0, hands_ahead_cm=1.5)
HEADS = (
    "At impact the head of A is within 0.3 cm of where it was at address; that of B is 3.7 cm nearer to the ball, "
    "1.5 cm farther from the target and 1.1 cm higher than at address."
)


def test_swings_alike_to_the_top_are_led_by_what_differs_at_impact() -> None:
    assert sentences_at_impact(["nothing differs at the top"], FIRST, OTHER, alike=True) == [
        "Up to the top B was asked for just what A was, and nothing differs; at impact extension is 17.5°, steady+4 "
        "(A has 14.5°, steady), hips toward ball is 7.0 cm (A has 2.0 cm) and hands ahead is 1.5 cm (A has 5.0 cm).",
        HEADS,
        STRIKE,
    ]
    in_inches = sentences_at_impact([], FIRST, OTHER, alike=True, inches=True)
    assert "2.76 in (A has 0.79 in)" in in_inches[0] and "1.46 in nearer to the ball" in in_inches[1]


def test_what_differs_at_the_top_comes_first_and_impact_after_it() -> None:
    told = sentences_at_impact(["the top"], FIRST, OTHER, alike=False)
    assert told[0] == "the top" and told[1].startswith("At impact extension is 17.5°") and told[2] == HEADS
    same = struck("B", 3, (0.1, 0.1, 0.2))
    assert sentences_at_impact(["the top"], FIRST, same, alike=False) == [
        "the top",
        "Both are asked the same at impact. At impact both heads are in the same place (to 0.3 cm), within 0.3 cm of "
        "where it was at address.",
    ]
    assert sentences_at_impact(["the top"], FIRST, same, alike=True) == [
        "B was asked for just what A was, to the top and at impact: nothing differs."
    ]


def test_a_head_that_is_wanted_elsewhere_is_asked_otherwise() -> None:
    behind = struck("B", 3, (0.0, -3.0, 0.0), HeldHead(toward_target_cm=-3.0, up_cm=0.0))
    (lead, *_) = sentences_at_impact([], FIRST, behind, alike=True)
    assert lead.endswith(
        "at impact the head is wanted 3.0 cm farther from the target than at address (in A where it was at address)."
    )


def test_numbers_of_impact_are_of_impact_and_those_of_the_top_of_the_top() -> None:
    swings = [FIRST, OTHER]
    (table,) = tables(comparison_page(swings, [["x"]], []))
    groups = {
        "Head, at impact: toward ball cm": "head_toward_ball_cm",
        "Head, at impact: toward target cm": "head_toward_target_cm",
        "Head, at impact: up cm": "head_up_cm",
    }
    for words_, key in {"hip turn °": "hip_turn_deg", "extension °": "extension_deg",
                        "pelvis toward ball cm": "pelvis_toward_ball_cm",
                        "inclination down the line °": "inclination_down_the_line_deg"}.items():  # fmt: skip
        (row,) = {row for row, _ in table if "pieces achieved, at impact" in row and row.endswith(f": {words_}")}
        groups[row] = key
    for report in swings:
        for row, key in groups.items():
            assert number(table[row, report.preset]) == pytest.approx(getattr(report.moments[3], key), abs=0.051), row
        top = number(table["Pieces achieved, at the top: hip turn °", report.preset])
        assert top == pytest.approx(report.moments[2].hip_turn_deg, abs=0.051)
        worst = max(np.hypot(m.head_toward_target_cm, m.head_up_cm) for m in report.moments[:3])
        row = "Head, at the top: farthest from its place, face-on cm"
        assert number(table[row, report.preset]) == pytest.approx(worst, abs=0.051)
    (alone,) = tables(comparison_page([whole_swing("A", 0), OTHER], [["x"]], []))
    assert not [row for row, _ in alone if "at impact" in row]


def compared(out: Path, monkeypatch: pytest.MonkeyPatch, *names: str, through: str = "impact") -> tuple[str, Any, Any]:
    """The terminal, the page and the numbers of a comparison."""
    monkeypatch.setattr(work, "cameras", lambda swings: cameras(swings, 180, 225))
    arguments = [*names, "--through", through, "--views", "face-on", "--frames", "9", "--out", str(out)]
    done = CliRunner().invoke(app, ["compare", *arguments])
    assert done.exit_code == 0, done.output
    return done.stdout, page((out / "index.html").read_text()), json.loads((out / "comparison.json").read_text())


def test_a_swing_that_goes_on_is_not_said_to_end_at_the_top(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    terminal, root, numbers = compared(tmp_path / "out", monkeypatch, "centred", "stands-up")
    shown = words(root)
    assert TOP_ALONE not in terminal and TOP_ALONE not in shown
    assert terminal.count(CAUTION) == 1 and shown.count(BACK) == 1
    lead, heads, _ = numbers["differences"][0]["sentences"]
    assert lead in terminal and heads in terminal
    assert "hips toward ball is 6.0 cm (centred has 2.0 cm)" in lead
    # The head is where the chain has it at impact.
    swing = swing_of(load("stands-up"), 9, through_impact=True)
    place = np.asarray(swing.measures.head_moved)[swing.at_impact] * 100.0
    assert f"that of stands-up is {head_words(place, inches=False)} than at address" in heads
    (short,) = root.xpath("//section[@class='short']")
    assert words(short).replace("−", "-").startswith(lead)
    # What the top alone would cost says nothing of a swing whose fault is at impact.
    assert not root.xpath("//p[@class='why']") and "turnstill strike says" in words(short)
    assert root.get_element_by_id("turning").get("data-opens") == "impact"
    told = numbers["swings"][1]
    assert told["at_impact"]["given"]["hips_toward_ball_cm"] == 6.0 and told["moments"][-1]["progress"] == 3.0
    assert told["cautions"][0] == BACK


def test_swings_that_differ_at_the_top_are_shown_there(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    _, on, numbers = compared(tmp_path / "on", monkeypatch, "centred", "too-much-tilt")
    terminal, to_top, before = compared(tmp_path / "top", monkeypatch, "centred", "too-much-tilt", through="top")
    assert on.get_element_by_id("turning").get("data-opens") == "top"
    # What is said of the top stays what it was.
    top, whole = before["differences"][0]["sentences"], numbers["differences"][0]["sentences"]
    assert whole[: len(top)] == top and len(whole) == len(top) + 1
    captions = [[words(one) for one in root.xpath("//div[@class='views']//figcaption")] for root in (on, to_top)]
    assert captions[0] == captions[1] and captions[0]
    charts = [[lxml_html.tostring(one) for one in root.xpath("//svg[@class='chart']")] for root in (on, to_top)]
    assert charts[0] == charts[1] and charts[0]
    assert CAUTION not in terminal and BACK not in words(to_top) and before["swings"][0]["at_impact"] is None


def test_a_report_to_the_top_is_that_of_a_swing_that_ends_there() -> None:
    setup = apply(load("stands-up"), [])
    whole = SwingReport.of(perform(setup, 9, through_impact=True))
    alone = SwingReport.of(perform(setup, 9))
    assert [m.progress for m in whole.to_top] == [m.progress for m in alone.moments] and alone.to_top == alone.moments
    assert whole.to_top[-1].head_up_cm == pytest.approx(alone.moments[-1].head_up_cm, abs=1e-5)


@pytest.mark.parametrize("through_impact", [True, False])
def test_films_and_strips_through_impact_say_what_to_take_care_of(
    through_impact: bool, capsys: pytest.CaptureFixture[str]
) -> None:
    setups = [Setup("one"), Setup("two")]
    film_asked.tell_notes(setups, [swing_of(setup, 3, through_impact=through_impact) for setup in setups])
    assert capsys.readouterr().out.count(CAUTION) == int(through_impact)
