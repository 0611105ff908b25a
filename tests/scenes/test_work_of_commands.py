"""What a command's work hands on: what is shown in inches where asked, the JSON metric, each output where it was asked.

Computing, reporting and drawing are stood in for by what says of what it is made.
"""

from __future__ import annotations

import importlib
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

SCENES = "turnstill.scenes"
COMMANDS: dict[str, tuple[str, tuple[Any, ...], dict[str, Any], str, str]] = {
    "map": ("map_of", ("tilt", "sway", 9, ("1", "2"), ("3", "4")), {
        "x": "tilt", "y": "sway", "size": 9, "x_range": ("1", "2"), "y_range": ("3", "4"),
    }, "MapReport", "map.json"),
    "shares": ("share_out", ("centred", 7), {"frames": 7, "against": "centred"}, "SharesReport", "shares.json"),
    "experiment": ("try_out", ("lead_flare", "1", "2", 3), {
        "name": "lead_flare", "first": "1", "last": "2", "steps": 3, "pictures": True, "views": "face-on",
    }, "ExperimentReport", "experiment.json"),
}  # fmt: skip
"""Command to what computes, what that is given after the setup, what the work is given, its report and its numbers."""


class Report:
    """Says of what it is made, and in which unit it is told."""

    def __init__(self, of: object, inches: bool = False) -> None:
        self.made = (of, inches)

    @classmethod
    def of(cls, computed: object, inches: bool = False) -> Report:
        return cls(computed, inches)

    def told(self, computed: object, inches: bool) -> Report:
        assert computed == self.made[0]
        return Report(computed, inches)


def stand_in(monkeypatch: pytest.MonkeyPatch, command: str, name: str, what: object) -> None:
    """In the work itself where it is named there, else where it comes from."""
    work = importlib.import_module(f"{SCENES}.{command}.work")
    room = name.split("_")[-1] if name.split("_")[0] == command else "report" if name.endswith("Report") else "pictures"
    place = work if hasattr(work, name) else importlib.import_module(f"{SCENES}.{command}.{room}")
    monkeypatch.setattr(place, name, what)


@pytest.mark.parametrize("inches", [False, True])
@pytest.mark.parametrize("command", COMMANDS)
def test_page_and_table_are_in_the_unit_asked_for_and_the_json_is_metric(
    command: str, inches: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    computes, asked, given, report, numbers_file = COMMANDS[command]
    work = importlib.import_module(f"{SCENES}.{command}.work")
    seen: dict[str, Any] = {}
    for name, what in {
        "load": lambda name: ["setup of", name], "apply": lambda setup, settings: [*setup, *settings],
        "check_outputs": lambda *outputs: seen.update(checked=outputs),
        "deliver": lambda *made, **where: seen.update(made=made, where=where),
        computes: lambda setup, *rest: (setup, rest), report: Report,
        f"{command}_page": lambda shown, *rest: ("page", shown.made, *rest),
        f"{command}_table": lambda shown, in_inches: ("table", shown.made, in_inches),
    }.items():  # fmt: skip
        stand_in(monkeypatch, command, name, what)
    if command == "experiment":
        stand_in(monkeypatch, command, "strip_of", lambda computed, views: [*views, "of", computed])
    getattr(work, f"{command}_to")(
        preset_or_file="own", settings=["tilt=3"], json_file="a.json", out="there", inches=inches, **given
    )
    made = (["setup of", "own", "tilt=3"], asked)
    delivered, page, table = seen["made"]
    assert delivered.made == (made, False)
    pictures = [["face-on", "of", made]] if command == "experiment" else []
    assert page() == ("page", (made, inches), *pictures, inches)
    assert table() == ("table", (made, inches), inches)
    assert seen["where"] == {"numbers_file": numbers_file, "json_file": "a.json", "out": "there"}
    assert seen["checked"] == ({"--json": "a.json"}, "there", numbers_file)


@pytest.mark.parametrize("asked", [{}, {"inches": True}])
@pytest.mark.parametrize("screen", ["", "json_file", "csv_file"])
def test_a_swing_goes_to_the_screen_unless_its_numbers_do(
    asked: dict[str, bool], screen: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    work = importlib.import_module(f"{SCENES}.simulate.work")
    files: dict[str, str] = {}
    inches = bool(asked)
    for name, what in {
        "load": lambda name: SimpleNamespace(name=name, settings=[]),
        "apply": lambda setup, settings: SimpleNamespace(name=setup.name, settings=settings),
        "check_outputs": lambda outputs: files.update({option: file for option, file in outputs.items() if file}),
        "perform": lambda setup, frames, **_: (setup.name, setup.settings, frames), "SwingReport": Report,
        "write_text": lambda target, text: files.update({target: text}),
        "json_text": lambda report: f"json of {report.made}",
        "csv_text": lambda report, in_inches: f"csv of {report.made} {in_inches}",
    }.items():  # fmt: skip
        monkeypatch.setattr(work, name, what)
    monkeypatch.setattr(f"{SCENES}.simulate.table.swing_table", lambda shown, in_inches: f"{shown.made} {in_inches}")
    outputs = {"json_file": "a.json", "csv_file": "a.csv"} | ({screen: "-"} if screen else {})
    work.simulate_to("own", ["tilt=3"], 7, **outputs, **asked)
    made = ("own", ["tilt=3"], 7)
    assert files == {
        "--json": outputs["json_file"], "--csv": outputs["csv_file"],
        outputs["json_file"]: f"json of {(made, False)}", outputs["csv_file"]: f"csv of {(made, False)} {inches}",
    }  # fmt: skip
    assert capsys.readouterr().out == ("" if screen else f"{(made, inches)} {inches}")


@pytest.mark.parametrize("screen", ["", "json_file", "csv_file"])
@pytest.mark.parametrize("inches", [False, True])
def test_a_record_is_shown_as_screen_page_and_files_each_where_it_was_asked(
    inches: bool, screen: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    work = importlib.import_module(f"{SCENES}.record.work")
    files: dict[str, str] = {}
    out = str(tmp_path / "there")

    def reported(record: object, name: str, setup: object, *, inches: bool = False, impact: object) -> str:
        return f"{record} of {name} as {setup} with {impact}{' in inches' * inches}"

    def at_impact(record: object, setup: object, *, kept: bool) -> str:
        return f"impact of {record} as {setup}, kept {kept}"

    for name, what in {
        "note_read": lambda *read: None, "files_of": lambda target: [target],
        "contents_of": lambda target: ([(3, f"entry of {target}")], {"sex": "female"}),
        "load": lambda preset: [preset], "apply": lambda setup, settings: [*setup, *settings],
        "as_settings": lambda kept: [f"{key}={value}" for key, value in kept.items()],
        "check_outputs": lambda *outputs: files.update(checked=outputs),
        "head_slopes": lambda setup: f"slopes of {setup}", "work_out": lambda entries, slopes: (entries, slopes),
        "ShowReport": SimpleNamespace(of=reported), "LastAtImpact": SimpleNamespace(of=at_impact),
        "_next_or_none": lambda *given: f"next in inches {given[-2]} with {given[-1]}",
        "command_at_impact": lambda record, swing, settings, student: f"diagnose of {swing} {settings} {student}",
        "golfer": lambda setup, *, kept, inches: f"who, kept {kept}, in inches {inches}",
        "write_text": lambda target, text: files.update({target: text}),
        "json_text": lambda report, *_: f"json of {report}",
        "csv_text": lambda entries, *, mark: f"csv of {entries}, marked {mark}",
    }.items():  # fmt: skip
        monkeypatch.setattr(work, name, what)
    monkeypatch.setattr(f"{SCENES}.record.table.record_table", lambda shown, in_inches: f"table of {shown} {in_inches}")
    monkeypatch.setattr(f"{SCENES}.record.page.record_page", lambda *given: f"page of {given}")
    outputs = {"json_file": "a.json", "csv_file": "a.csv"} | ({screen: "-"} if screen else {})
    work.show_to("anna.turnstill", "own", ["hip_turn=3"], out=out, inches=inches, **outputs)
    setup, entry = ["own", "sex=female", "hip_turn=3"], "entry of anna.turnstill"
    record = ([(3, entry)], f"slopes of {setup}")
    impact = f"impact of {record} as {setup}, kept True"
    made = f"{record} of anna.turnstill as {setup} with {impact}"
    shown, who = f"{made}{' in inches' * inches}", f"who, kept True, in inches {inches}"
    json_file, csv_file = outputs["json_file"], outputs["csv_file"]
    assert files == {
        "checked": ({"--json": json_file, "--csv": csv_file}, out, "record.json"), json_file: f"json of {made}",
        csv_file: f"csv of {[entry]}, marked {csv_file != '-'}",
    }  # fmt: skip
    assert (
        tmp_path / "there" / "index.html"
    ).read_text() == f"page of {(shown, f'next in inches {inches} with {impact}', inches, who)}"
    assert (tmp_path / "there" / "record.json").read_text() == f"json of {made}"
    command = "diagnose of own ['hip_turn=3'] anna.turnstill"
    screened = f"{who}\ntable of {shown} {inches}For all that impact says: {command}\n"
    screened += f"The page is {tmp_path / 'there' / 'index.html'}\n"
    assert capsys.readouterr().out == ("" if screen else screened)
