"""A simulated swing in the terminal, as a spreadsheet and in a sentence: each number under its own label."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path
from typing import Any

import pytest
from distinct import filled

from turnstill.model.errors import TurnstillError
from turnstill.scenes.simulate import table, work
from turnstill.scenes.simulate.report import MomentReport, SteadyReport, SwingReport
from turnstill.scenes.simulate.spreadsheet import csv_text
from turnstill.scenes.simulate.table import swing_table
from turnstill.scenes.simulate.words import held_sentence
from turnstill.scenes.words.cautions import ANGLE_ORDER, CAUTIONS


def steady(**changed: float) -> SwingReport:
    usual = {
        "tilt_deg": 31.2, "tilt_departure_deg": 4.3, "tilt_more_than_centred_deg": 2.1, "extension_deg": 25.4,
        "extension_departure_deg": -6.5, "extension_more_than_centred_deg": -1.3, "head_miss_cm": 0.1,
        "largest_head_miss_cm": 0.15,
    }  # fmt: skip
    return filled(SwingReport).replaced(steady=SteadyReport(**(usual | changed)))


def test_what_holds_a_head_is_told_for_tilt_and_extension_each() -> None:
    assert held_sentence(steady()) == (
        "What holds this head at the top of this turn: 31.2° of tilt (the swing has 4.3° more; the centred preset's "
        "turn would need 29.1°) and 25.4° of extension (the swing has 6.5° less; the centred preset's turn would need "
        "26.7°)."
    )


@pytest.mark.parametrize(
    ("departure", "has"),
    [(0.04, "just that"), (-0.04, "just that"), (0.06, "0.1° more"), (-0.06, "0.1° less"), (0.05, "0.1° more")],
)
def test_what_is_shown_as_nothing_is_just_that(departure: float, has: str) -> None:
    told = held_sentence(steady(tilt_departure_deg=departure)).split(" and ")[0]
    assert f"(the swing has {has};" in told


@pytest.mark.parametrize(("miss", "lead"), [(0.5, "What holds this head"), (0.51, "What leaves this head nearest to")])
def test_a_head_that_cannot_be_held_is_only_left_nearest(miss: float, lead: str) -> None:
    assert held_sentence(steady(head_miss_cm=miss)).startswith(lead)


def report() -> SwingReport:
    one = filled(SwingReport, preset="mine", shows="what it shows", items=12)
    pieces = ("hip_turn_deg", "shoulder_turn_deg", "tilt_deg", "extension_deg", "lead_flex_change_deg",
              "trail_flex_change_deg", "sway_cm", "hips_toward_ball_cm", "lead_heel_rise_cm",
              "trail_heel_rise_cm")  # fmt: skip
    return one.replaced(
        asked={key: 11.12 + 2.2 * k for k, key in enumerate(pieces)},
        achieved={key: -12.24 - 2.3 * k for k, key in enumerate(pieces)},
        pieces={"tilt_deg": "steady+4", "sway_cm": 2.5},
        warnings=["first warning", "second warning"],
        cautions=list(CAUTIONS),
    )


@pytest.fixture(autouse=True)
def wide(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "240")


def test_the_terminal_says_whose_swing_it_is_and_what_to_know_of_it() -> None:
    one = report()
    lines = [line.rstrip() for line in swing_table(one).splitlines()]
    body = one.body
    golfer = f"{body.stature_cm:.0f} cm, {body.mass_kg:.0f} kg, {body.sex}, {body.handedness}-handed"
    assert lines[0] == f"mine: what it shows ({golfer})"
    assert lines[1].startswith("incl. is the trunk's inclination from the vertical: in space, and as seen down")
    assert swing_table(one.replaced(shows="")).splitlines()[0].rstrip() == f"mine ({golfer})"
    end = lines.index("Note: first warning")
    assert lines[end + 1] == "Note: second warning" and lines[end - 1] == ""
    assert f" {held_sentence(one)}" in " ".join(lines[:end])
    rest = " ".join(lines[end + 2 :])
    assert rest == " ".join((ANGLE_ORDER, *CAUTIONS))
    imperial = swing_table(one, inches=True)
    assert f"{body.stature_cm / 2.54:.1f} in, " in imperial.splitlines()[0]


@pytest.mark.parametrize(("inches", "unit", "size"), [(False, "cm", 1.0), (True, "in", 2.54)])
def test_nine_moments_stand_in_the_terminal_from_address_to_the_top(inches: bool, unit: str, size: float) -> None:
    one = report()
    lines = swing_table(one, inches).splitlines()
    top = next(k for k, line in enumerate(lines) if line.split()[:2] == ["%", unit])
    assert lines[top].split() == ["%", *[unit] * 3, *["deg"] * 8, "%"]
    rows = [line.split() for line in lines[top + 2 : top + 11]]
    # Nine of twelve: 0, 11/8, 22/8, ... to the nearest.
    turns = [f"{one.moments[k].shoulder_turn_deg:.1f}" for k in (0, 1, 3, 4, 6, 7, 8, 10, 11)]
    assert [row[7] for row in rows] == turns
    digits = 2 if inches else 1
    assert [row[3] for row in rows][-1] == f"{one.moments[-1].head_up_cm / size:+.{digits}f}"
    assert lines[top + 11].strip() == ""


def test_what_was_asked_stands_beside_what_was_achieved() -> None:
    lines = swing_table(report()).splitlines()
    start = next(k for k, line in enumerate(lines) if line.split() == ["at", "the", "top", "asked", "achieved"])
    told = [line.split("  ") for line in lines[start + 2 : start + 12]]
    names = ("hip turn", "shoulder turn", "tilt (steady+4)", "extension", "lead flex change", "trail flex change",
             "sway", "hips toward ball", "lead heel rise", "trail heel rise")  # fmt: skip
    for k, (name, cells) in enumerate(zip(names, told, strict=True)):
        unit = " cm" if k >= 6 else "°"
        found = [cell.strip() for cell in cells if cell.strip()]
        assert found == [name, f"{11.12 + 2.2 * k:+.1f}{unit}", f"{-12.24 - 2.3 * k:+.1f}{unit}"]
    inches = swing_table(report(), inches=True)
    assert f"{(11.12 + 2.2 * 6) / 2.54:+.2f} in" in inches and f"{(-12.24 - 2.3 * 6) / 2.54:+.2f} in" in inches


def test_a_spreadsheet_has_every_number_in_its_column_metric_and_not() -> None:
    one = filled(SwingReport)
    first = one.moments[0].replaced(limited_by=["trunk", "girdle"], arms_limited_by=[], met=True, converged=False)
    arms = ["lead_wrist_extension", "trail_elbow_flexion"]
    second = one.moments[1].replaced(limited_by=[], arms_limited_by=arms, met=False, converged=True)
    one = one.replaced(moments=[first, second])
    metric, imperial = (list(csv.DictReader(io.StringIO(csv_text(one, inches)))) for inches in (False, True))
    other_kinds = ("limited_by", "arms_limited_by", "met", "converged", "joint_angles_deg", "joints_m")
    plain = [key for key in MomentReport.model_fields if key not in other_kinds]
    for moment, row, other in zip(one.moments, metric, imperial, strict=True):
        for key in plain:
            assert float(row[key]) == getattr(moment, key)
            length = key.endswith("_cm")
            shown = float(other[key.replace("_cm", "_in")])
            assert shown == pytest.approx(getattr(moment, key) / (2.54 if length else 1.0), abs=6e-7)
        for name, angle in moment.joint_angles_deg.items():
            assert float(row[f"joint_{name}_deg"]) == float(other[f"joint_{name}_deg"]) == angle
        for name, place in moment.joints_m.items():
            assert [float(row[f"{name}_{axis}_m"]) for axis in "xyz"] == list(place)
            assert [float(other[f"{name}_{axis}_in"]) for axis in "xyz"] == pytest.approx(
                [number * 100.0 / 2.54 for number in place], abs=6e-7
            )
    assert [(row["limited_by"], row["met"], row["converged"]) for row in metric] == [
        ("trunk girdle", "yes", "no"),
        ("", "no", "yes"),
    ]
    assert [row["arms_limited_by"] for row in metric] == ["", "lead_wrist_extension trail_elbow_flexion"]
    assert csv_text(one).count("\n") == 3 and "\r" not in csv_text(one)


class Recorder:
    """Stands in for simulating: tells what was asked, and gives reports that are told apart by their unit."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch) -> None:
        self.asked: list[Any] = []
        monkeypatch.setattr(work, "load", lambda name: f"loaded {name}")
        monkeypatch.setattr(work, "apply", lambda setup, settings: (setup, settings))
        monkeypatch.setattr(work, "perform", lambda *given, **named: self.asked.append((*given, *named.values())))
        monkeypatch.setattr(SwingReport, "of", classmethod(lambda _, __, inches=False: self.made(inches)))
        monkeypatch.setattr(table, "swing_table", lambda one, inches: f"table of {one.preset}, inches {inches}\n")

    @staticmethod
    def made(inches: bool) -> SwingReport:
        return filled(SwingReport, preset="imperial" if inches else "metric")


def test_simulate_writes_metric_json_and_prints_in_the_unit_asked(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    recorder = Recorder(monkeypatch)
    to_json, to_csv = tmp_path / "a.json", tmp_path / "a.csv"
    work.simulate_to("sway", ["hip_turn=50"], 7, json_file=str(to_json), csv_file=str(to_csv), inches=True)
    assert recorder.asked == [(("loaded sway", ["hip_turn=50"]), 7, False)]
    assert json.loads(to_json.read_text())["preset"] == "metric"
    assert to_csv.read_text() == csv_text(recorder.made(False), inches=True)
    assert capsys.readouterr().out == "table of imperial, inches True\n"
    work.simulate_to("sway", [])
    assert recorder.asked[-1] == (("loaded sway", []), 41, False)
    assert capsys.readouterr().out == "table of metric, inches False\n"
    work.simulate_to("sway", [], csv_file="-")
    assert capsys.readouterr().out == csv_text(recorder.made(False))
    with pytest.raises(TurnstillError, match="Only one of --json and --csv can go to standard output"):
        work.simulate_to("sway", [], json_file="-", csv_file="-")


@pytest.mark.parametrize("frames", [1, 2002])
def test_nothing_is_simulated_that_cannot_be_asked_or_written(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, frames: int
) -> None:
    recorder = Recorder(monkeypatch)
    with pytest.raises(TurnstillError, match=f"--frames was {frames}"):
        work.simulate_to("sway", [], frames)
    with pytest.raises(TurnstillError, match="no folder"):
        work.simulate_to("sway", [], 3, json_file=str(tmp_path / "a"), csv_file=str(tmp_path / "no" / "b"))
    assert recorder.asked == [] and not list(tmp_path.iterdir())
