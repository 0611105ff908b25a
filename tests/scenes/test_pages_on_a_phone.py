"""Every page at the width of a phone: nothing beyond the screen unless it is shown that it goes on, no word in two."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

import pytest
from browser import browser, watched
from compare_pages import comparison_page
from diagnosis_reports import PIECES, both_moments
from distinct import filled, whole_swing
from record_reports import SHOWN
from strike_reports import report as struck

from turnstill.scenes.diagnose.page import diagnose_page
from turnstill.scenes.experiment.page import experiment_page
from turnstill.scenes.experiment.report import ExperimentReport
from turnstill.scenes.record.page import record_page
from turnstill.scenes.shares.page import shares_page
from turnstill.scenes.shares.report import SharesReport
from turnstill.scenes.strike.page import strike_page

PHONE = 390
WIDE = ("compare", "experiment", "record")
"""Pages with tables that have more columns than a phone has room for."""
GO_ON = [("Next", "turnstill live mine --set extension=steady-10.9 --set sway=3.2 --through impact")]


def compared() -> str:
    swings = [whole_swing(f"too-much-of-{k}", 300 * k) for k in range(6)]
    return comparison_page(swings, [[f"{k} differs"] for k in range(5)], [])


def experiment() -> str:
    report = filled(ExperimentReport, items=3, preset="mine")
    steps = [one.replaced(limited_by=["trail_hip_internal_rotation"] * 2, setting="0°") for one in report.steps]
    return experiment_page(report.replaced(steps=steps))


def shares() -> str:
    raw = filled(SharesReport, items=len(PIECES), reference="steady", stopped=[])

    def named(rows: list[Any], unit: str = "unit") -> list[Any]:
        return [
            one.replaced(piece=name, **({unit: of} if unit else {}))
            for one, (name, (_, of)) in zip(rows, PIECES.items(), strict=True)
        ]

    moments = [one.replaced(progress=k / 7, shares=named(one.shares, "")) for k, one in enumerate(raw.moments)]
    return shares_page(
        raw.replaced(shares=named(raw.shares), sensitivities=named(raw.sensitivities, "per"), moments=moments)
    )


PAGES: dict[str, Callable[[], str]] = {
    "diagnose": lambda: diagnose_page(both_moments(), go_on=GO_ON),
    "compare": compared,
    "experiment": experiment,
    "record": lambda: record_page(SHOWN),
    "shares": shares,
    "strike": lambda: strike_page(struck()),
}
BOXES = """() => [...document.querySelectorAll('body *')].filter((one) => one.scrollWidth > one.clientWidth + 1 &&
  ['auto', 'scroll'].includes(getComputedStyle(one).overflowX)).map((one) => {
    const style = getComputedStyle(one), seen = (cell) => getComputedStyle(cell);
    return {
      shade: style.backgroundImage.split('linear-gradient').length - 1, along: style.backgroundAttachment,
      hides: [...one.querySelectorAll('table, tr, td')].filter((cell) =>
        /^rgb\\(/.test(seen(cell).backgroundColor)).length,
      names: [...one.querySelectorAll('tbody th[scope=row]')].filter((cell) => seen(cell).position !== 'sticky').length,
      held: (one.scrollLeft = 1e6, [...one.querySelectorAll('.group th span, tbody th[scope=row]')].filter((cell) => {
        const box = cell.getBoundingClientRect();
        return box.left < 0 || box.right > innerWidth;
      }).length),
    };
  })"""
WORDS = """() => {
  const wrong = [], walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  const aside = (one) => one && (one.scrollWidth > one.clientWidth + 1 && getComputedStyle(one).overflowX === 'auto'
    || aside(one.parentElement));
  while (walk.nextNode()) {
    const text = walk.currentNode, parent = text.parentElement;
    if (['STYLE', 'SCRIPT', 'TITLE'].includes(parent.tagName.toUpperCase())) continue;
    for (const word of text.data.matchAll(/[^\\s-]+/g)) {
      const range = document.createRange();
      range.setStart(text, word.index);
      range.setEnd(text, word.index + word[0].length);
      const boxes = [...range.getClientRects()].filter((box) => box.width > 0);
      if (new Set(boxes.map((box) => Math.round(box.top))).size > 1) wrong.push('in two: ' + word[0]);
      if (!aside(parent) && boxes.some((box) => box.left < 0 || box.right > innerWidth)) wrong.push('off: ' + word[0]);
    }
  }
  return wrong;
}"""


@pytest.fixture(scope="module")
def opened() -> Iterator[Any]:
    with browser() as one:
        yield one


@pytest.mark.parametrize("name", PAGES)
def test_a_page_keeps_to_the_screen_and_what_goes_on_beside_it_says_so(opened: Any, name: str) -> None:
    with watched(opened, PHONE, 844, has_touch=True) as seen:
        seen.page.set_content(PAGES[name]().replace("<details", "<details open"))
        assert seen.page.evaluate("document.documentElement.scrollWidth") <= PHONE
        assert seen.page.evaluate(WORDS) == []
        boxes = seen.page.evaluate(BOXES)
        assert boxes or name not in WIDE
        for box in boxes:
            # A shade that stays, under a cover that goes along; no cell hides it, and rows keep their names in sight.
            assert box["shade"] == 2 and box["along"].startswith("local, scroll"), box
            assert box["hides"] == box["names"] == box["held"] == 0, box
        if name == "diagnose":  # A command breaks between its options alone, and is still to be copied.
            code = seen.page.locator("code")
            assert code.inner_text() == GO_ON[0][1]
            lines = code.evaluate("(one) => [...one.children].map((span) => span.getClientRects()[0].height)")
            assert len(lines) == 4 and max(lines) < 30
