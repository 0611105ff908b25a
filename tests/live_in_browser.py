"""The live page in a browser, as a person uses it: sliders are moved, moments gone to, numbers read."""

from __future__ import annotations

from typing import Any

from turnstill.scenes.live.page import SHOWN
from turnstill.scenes.setups.knobs import knob
from turnstill.scenes.setups.past_the_ball import striking_of
from turnstill.scenes.setups.perform import swing_of
from turnstill.scenes.setups.presets import Setup
from turnstill.scenes.setups.reports import numbers_at
from turnstill.scenes.strike.columns import OUTCOMES
from turnstill.scenes.strike.report import WholeStrike

TOP, IMPACT = 40, 60


def begin(page: Any, address: str) -> None:
    page.goto(address)
    page.locator("body[data-drawn]").wait_for(timeout=30_000)
    rest(page)


def rest(page: Any) -> None:
    """Wait until the server has answered and what came is drawn."""
    page.locator("body:not(.asking)").wait_for(timeout=30_000)
    page.evaluate("() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)))")


def slide(page: Any, name: str, value: float, *, done: bool = True) -> None:
    page.locator(f'input[type="range"][id="{name}"]').evaluate(
        "(one, [value, done]) => { one.value = value; one.dispatchEvent(new Event('input', { bubbles: true }));"
        " if (done) one.dispatchEvent(new Event('change', { bubbles: true })); }",
        [value, done],
    )


def id_of(name: str) -> str:
    """Of a slider, as its quantities are called."""
    return "live-" + "-".join(f"{entry.section}-{entry.key}".replace(".", "-") for entry, _ in knob(name).parts)


def go(page: Any, moment: int) -> None:
    slide(page, "live-way", moment)
    rest(page)


def end_at(page: Any, where: str) -> None:
    """Let swings end at the top or go on to impact."""
    page.locator(f"#live-ends input[value={where}]").check()
    rest(page)


def numbers(page: Any, column: int = -1) -> dict[str, str]:
    told = page.locator("#live-numbers tr").evaluate_all(
        "(rows) => rows.map((row) => [row.dataset.key, [...row.querySelectorAll('td')].map((one) => one.textContent)])"
    )
    return {key: cells[column] if cells else "" for key, cells in told}


def struck_numbers(page: Any, column: int = -1) -> dict[str, str]:
    """The table of the strike."""
    told = page.locator("#live-strike-numbers tr").evaluate_all(
        "(rows) => rows.map((row) => [row.dataset.key, [...row.querySelectorAll('td')].map((one) => one.textContent)])"
    )
    return {key: cells[column] for key, cells in told}


def expected_strike(setup: Setup) -> dict[str, str]:
    """What `turnstill strike` says of a setup, written as its table has it."""
    strike = WholeStrike.of_arc(striking_of(setup).arc())
    return {one.key: one.signed(strike).replace("-", "−") for one in OUTCOMES}


def expected(setup: Setup, moment: int) -> dict[str, str]:
    """What `simulate` says of a setup at a moment, past the top through impact, written as the page writes it."""
    told = numbers_at(swing_of(setup, TOP + 1, through_impact=moment > TOP), moment)
    found = {}
    for key in SHOWN:
        value = told[key]
        if value is None:
            found[key] = "–"
        elif key.endswith("_share"):
            found[key] = f"{100 * value:.0f}"
        else:
            text = f"{value:.1f}"
            text = "0.0" if float(text) == 0 else text
            sign = "+" if key.endswith("_cm") and float(text) > 0 else ""
            found[key] = f"{sign}{text}".replace("-", "−")
    return found
