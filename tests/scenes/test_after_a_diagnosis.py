"""The commands that a diagnosis ends with: what follows from its likeliest explanation, and what does not."""

from __future__ import annotations

from typing import Any

import pytest
from diagnosis_reports import both_moments, made

from turnstill.scenes.diagnose import work
from turnstill.scenes.diagnose.report import DiagnosisReport
from turnstill.scenes.setups.quantities import Departure


def settable(one: Any, start: float = 2.0) -> Any:
    """The same with departures, each another, that ``--set`` takes."""
    departures = [
        each.replaced(made=-(start + 1.1 * k), from_what_holds_the_head=start + 1.3 * k)
        for k, each in enumerate(one.departures)
    ]
    return one.replaced(departures=departures)


def both_settable() -> DiagnosisReport:
    report = both_moments()
    return settable(report).replaced(at_impact=settable(report.at_impact, 4.7))


def test_what_is_likeliest_at_impact_is_set_there_in_the_command_for_the_strike() -> None:
    report = both_settable()
    commands = dict(work.go_on("centred", ["sway=1"], report))
    assert list(commands) == ["For a sheet to take home", "For what it does to the strike", "To move it in a page"]
    hip = next(one for one in report.at_impact.departures if one.piece == "hip_turn")
    tilt = next(one for one in report.at_impact.departures if one.piece == "tilt")
    strike = commands["For what it does to the strike"]
    assert strike.startswith("turnstill strike centred --set sway=1 ")
    assert f"--set impact.hip_turn={round(hip.made, 1):g}" in strike
    assert f"--set impact.tilt={Departure(round(tilt.from_what_holds_the_head, 1))}" in strike
    assert "impact." not in commands["For a sheet to take home"]
    live = commands["To move it in a page"]
    assert live == f"{strike.replace('turnstill strike', 'turnstill live')} --through impact"
    alone = dict(work.go_on("centred", [], settable(made(moment="impact"))))
    assert list(alone) == ["For what it does to the strike", "To move it in a page"]
    assert all("--set hip_turn" not in command and "--set impact.hip_turn" in command for command in alone.values())
    assert alone["To move it in a page"].endswith(" --through impact")
    top = dict(work.go_on("centred", [], settable(made())))
    assert "impact" not in " ".join(top.values()) and "To move it in a page" in top


@pytest.mark.parametrize("moment", ["top", "impact"])
def test_no_command_follows_from_what_no_body_does_or_nothing_takes(moment: str) -> None:
    report = settable(made(moment=moment))
    assert work.go_on("centred", [], report) != []
    assert work.go_on("centred", [], report.replaced(fits=False)) == []
    beyond = [
        one.replaced(from_what_holds_the_head=123.4) if one.piece == "extension" else one for one in report.departures
    ]
    assert work.go_on("centred", [], report.replaced(departures=beyond)) == []


def test_a_moment_that_fits_keeps_its_commands_beside_one_that_does_not() -> None:
    report = both_settable()
    left = report.replaced(at_impact=report.at_impact.replaced(fits=False))
    assert work.go_on("centred", [], left) == work.go_on("centred", [], report.replaced(at_impact=None))
    commands = dict(work.go_on("centred", [], report.replaced(fits=False)))
    assert list(commands) == ["For what it does to the strike", "To move it in a page"]
    assert "--set hip_turn" not in " ".join(commands.values())
