"""The record commands: from first film to next feel, their words, their page, and what they refuse."""

from __future__ import annotations

import datetime
import json
import re
import shlex
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from typer.testing import CliRunner

from turnstill.model import Address, Body, Pieces
from turnstill.model.films import dose
from turnstill.model.golfer.pieces import DEPARTURES
from turnstill.model.questions.head_asked import OUTCOMES
from turnstill.model.questions.shares import sensitivities
from turnstill.model.swing.simulate import simulate
from turnstill.scenes.cli import app
from turnstill.scenes.record.entry import FIELDS
from turnstill.scenes.setups.presets import load

RUNNER = CliRunner()
GUIDE = Path(__file__).parents[2] / "docs" / "record.md"
SETUP = load("centred")


@pytest.fixture
def told_in_full(tmp_path: Path):
    """Runs record commands on one file, and returns what they print on one line."""
    file = str(tmp_path / "a.turnstill")

    def run(command: str, *arguments: str, code: int = 0) -> str:
        done = RUNNER.invoke(app, ["record", command, file, *arguments])
        assert done.exit_code == code, (done.output, done.exception)
        assert code == 0 or (done.stdout == "" and "Traceback" not in done.stderr and done.stderr.count("\n") == 1)
        return " ".join((done.stdout if code == 0 else done.stderr).split())

    return run


@pytest.fixture
def told(told_in_full, slopes, monkeypatch):
    """The same with one simulation for all tests, of the body that they all take."""
    monkeypatch.setattr("turnstill.scenes.record.work.head_slopes", lambda setup: slopes)
    return told_in_full


def test_a_lesson_from_the_first_film_to_the_next_feel(told) -> None:
    assert told("add", "--date", "2025-03-01", "--head-toward-target-cm", "-6").startswith("Entry 1 is in ")
    first = told("next", "--piece", "extension")
    assert "more extension" in first and "an assumption" in first and "stop with pain" in first
    assert "clinician" in first and "qualified coach" in first
    told(
        "add", "--date", "2025-03-08", "--piece", "extension", "--felt", "15", "--got", "6",
        "--head-toward-target-cm", "-3",
    )  # fmt: skip
    shown = told("show")
    assert "+15.0°" in shown and "+6.0°" in shown and "1 film of it" in shown
    assert "1 film of it" in told("next") and "Ask next for this feel: " in told("next")
    assert " in " in told("next", "--inches") and "1.18 in off face-on" in told("next", "--inches")


def test_a_piece_that_did_not_move_the_head_is_not_simply_asked_for(told) -> None:
    told("add", "--date", "2025-03-01", "--head-toward-target-cm", "-5", "--head-up-cm", "-4")
    tilt, extension = (told("next", "--piece", piece) for piece in ("tilt", "extension"))
    off, without = map(float, re.findall(r"would be (\S+) cm off in place of (\S+) cm", tilt)[0][::-1])
    assert without <= off < without + 0.5
    assert "If this is to be felt all the same" in tilt and "Ask next for this feel" not in tilt
    assert "hardly help" not in extension and "Ask next for this feel" in extension


def test_the_date_is_todays_if_not_given(told) -> None:
    told("add", "--head-up-cm", "1")
    assert datetime.date.today().isoformat() in told("show")


def test_an_empty_record_and_none_at_all(told, tmp_path: Path) -> None:
    assert "There is no record" in told("show", code=2)
    assert "There is no record" in told("next", code=2)
    assert not (tmp_path / "a.turnstill").exists()
    (tmp_path / "a.turnstill").touch()
    assert "holds no entries yet" in told("show", "--out", str(tmp_path / "page"))
    assert "names no piece" in told("next", code=2)


@pytest.mark.parametrize(
    ("arguments", "sentence"),
    [
        (["--piece", "extensoin", "--felt", "3"], '--piece was "extensoin".* Did you mean extension?'),
        (["--date", "yesterday", "--head-up-cm", "1"], '--date was "yesterday"'),
        (["--date", "2025-02-30", "--head-up-cm", "1"], '--date was "2025-02-30"'),
        (["--date", "20250301", "--head-up-cm", "1"], "year-month-day"),
        (["--date", "0001-01-01", "--head-up-cm", "1"], "from 1900-01-01"),
        (["--date", "9999-12-31", "--head-up-cm", "1"], "still to come"),
        (["--head-up-cm", "nan"], "--head-up-cm was nan, but must be a number between -40 and 40 cm"),
        (["--head-up-cm", "-inf"], "--head-up-cm was -inf"),
        (["--head-up-cm", "1", "--head-sd-cm", "0"], "--head-sd-cm was 0.*between 0.1 and 20"),
        (["--piece", "sway", "--felt", "41"], "--felt was 41.*40 cm"),
        (["--piece", "tilt", "--felt", "91"], "--felt was 91.*90 deg"),
        (["--piece", "tilt", "--got-sd", "3", "--felt", "3"], "--got-sd was given without got"),
        (["--felt", "3"], "--piece was not given with felt"),
        (["--piece", "tilt"], "must hold something"),
        (["--note", "nothing else"], "must hold something"),
        (["--head-up-cm", "1", "--note", "x" * 2001], "--note was 2001 characters"),
        (["--head-up-cm", "1", "--note", "\x1b[31m"], "--note holds characters"),
        (["--head-up-cm", "1", "--note", "\udcff"], "--note holds characters"),
        (["--csv", "in.csv", "--piece", "tilt"], "give one or the other"),
        (["--csv", "none.csv"], "no file"),
    ],
)  # fmt: skip
def test_what_no_entry_can_hold_is_one_sentence(told, tmp_path: Path, arguments: list[str], sentence: str) -> None:
    assert re.search(sentence, told("add", *arguments, code=2))
    assert not (tmp_path / "a.turnstill").exists()


def test_next_says_what_it_needs(told) -> None:
    told("add", "--date", "2025-03-01", "--piece", "extension", "--felt", "10", "--note", "homework, not filmed")
    assert "No film in the record says where the head was" in told("next", code=2)
    assert "as given: 5.0° more extension" in told("next", "--missing", "5")
    told("add", "--date", "2025-03-02", "--head-toward-target-cm", "-2")
    assert "moves the head too little" in told("next", "--piece", "trail_flex_change", code=2)
    assert "--missing was nan" in told("next", "--missing", "nan", code=2)
    assert "--missing was 50" in told("next", "--piece", "sway", "--missing", "50", code=2)
    assert "--missing-sd was 0" in told("next", "--missing", "5", "--missing-sd", "0", code=2)
    assert "without --missing" in told("next", "--missing-sd", "3", code=2)
    assert "Did you mean extension?" in told("next", "--piece", "extensio", code=2)


def test_a_result_never_overwrites_the_record(told, tmp_path: Path) -> None:
    told("add", "--head-up-cm", "1")
    before = (tmp_path / "a.turnstill").read_bytes()
    for arguments in (("show", "--csv"), ("show", "--json"), ("next", "--json")):
        assert "that is what this command reads" in told(*arguments, str(tmp_path / "a.turnstill"), code=2)
    assert (tmp_path / "a.turnstill").read_bytes() == before


def test_csv_and_json_out_and_in_again(told, tmp_path: Path) -> None:
    note = "=HYPERLINK(1) überzogen\n'quoted', \"so\"; 1,5"
    told(
        "add", "--date", "2025-03-01", "--piece", "sway", "--felt", "-3", "--got", "-1.5", "--got-sd", "0.5",
        "--note", note,
    )  # fmt: skip
    told(
        "add", "--date", "2025-02-01", "--head-toward-ball-cm", "0.1", "--head-sd-cm", "2",
        "--inclination-change-deg", "-4",
    )  # fmt: skip
    first, second, data = tmp_path / "1.csv", tmp_path / "2.csv", tmp_path / "a.json"
    told("show", "--csv", str(first), "--json", str(data))
    assert "2 entries added" in " ".join(
        RUNNER.invoke(app, ["record", "add", str(tmp_path / "b"), "--csv", str(first)]).stdout.split()
    )
    RUNNER.invoke(app, ["record", "show", str(tmp_path / "b"), "--csv", str(second)])
    assert first.read_bytes() == second.read_bytes()
    assert "0 entries added" in told("add", "--csv", str(first)) and "2 were there already" in told(
        "add", "--csv", str(first)
    )
    report = json.loads(data.read_text(encoding="utf-8"))
    assert [entry["id"] for entry in report["entries"]] == [2, 1]  # by date
    assert report["entries"][1]["note"] == note and set(FIELDS) <= set(report["entries"][0])
    done = RUNNER.invoke(app, ["record", "show", str(tmp_path / "b"), "--csv", "-"])
    assert done.stdout_bytes == first.read_bytes().removeprefix("\ufeff".encode())


def test_a_bad_row_writes_nothing_of_its_file(told, tmp_path: Path) -> None:
    told("add", "--date", "2025-03-01", "--head-up-cm", "1")
    rows = tmp_path / "in.csv"
    rows.write_text("date,head_up_cm\n2025-03-02,1\n2025-03-03,NaN\n")
    assert re.search(r"Row 3 of .*head_up_cm was nan", told("add", "--csv", str(rows), code=2))
    assert "1 entry from" in told("show").lower()


def test_the_json_of_next_is_alone_on_the_screen_and_finite(told) -> None:
    told("add", "--head-toward-target-cm", "-4", "--head-up-cm", "1")
    file = RUNNER.invoke(app, ["record", "next", "none", "--json", "-"])
    assert file.exit_code == 2 and file.stdout == ""
    report = json.loads(told("next", "--piece", "tilt", "--json", "-"))
    assert report["piece"] == "tilt" and report["prior"]["assumption"] is True
    assert report["response"]["mean"] == 0.4 and report["response"]["films"] == 0
    assert {"missing", "feel", "expected", "left", "way_sure", "went_past", "cautions", "assumptions"} <= set(report)


def test_a_left_hander_gets_the_same_words(told_in_full) -> None:
    told = told_in_full
    told("add", "--date", "2025-03-01", "--head-toward-target-cm", "-6", "--head-up-cm", "1")
    for piece in ("sway", "lead_flex_change", "tilt", "extension"):
        right, left = (told("next", "--piece", piece, *hand) for hand in ((), ("--left-handed",)))
        # But for the command to copy, which has to say whose sheet it is.
        assert right == left.replace(" --set handedness=left", "") != left
        assert not re.search(r"\b(left|right)\b(?! way)", right)


def test_the_page_stands_alone_and_says_its_units(told, tmp_path: Path) -> None:
    told(
        "add", "--date", "2025-03-01", "--head-toward-target-cm", "-6", "--head-up-cm", "1", "--note",
        "<script>alert(1)</script>",
    )  # fmt: skip
    told(
        "add", "--date", "2025-03-08", "--piece", "sway", "--felt", "-3", "--got", "-1", "--head-toward-target-cm", "-4"
    )
    for unit, flags in (("cm", ()), ("in", ("--inches",))):
        for _ in range(2):  # The second replaces the first.
            assert "The page is" in told("show", "--out", str(tmp_path / "page"), *flags)
        html = (tmp_path / "page" / "index.html").read_text(encoding="utf-8")
        assert not re.search(r"(?:src|href)=|https?:|<script", html)
        assert f"toward target, {unit}" in html and f"felt or asked for, {unit}" in html
        assert "The next feel of sway" in html and "stop with pain" in html
        assert html.count('<svg class="chart"') == 3
    assert {p.name for p in (tmp_path / "page").iterdir()} == {"index.html", "record.json"}


def test_a_record_of_many_entries_is_shown_by_its_last(told, tmp_path: Path) -> None:
    rows = "".join(f"{1990 + k // 300}-01-{1 + k % 28:02},1.{k}\n" for k in range(1500))
    (tmp_path / "in.csv").write_text(f"date,head_up_cm\n{rows}")
    assert "1500 entries added" in told("add", "--csv", str(tmp_path / "in.csv"))
    assert "1476 earlier entries are not shown" in told("show", "--out", str(tmp_path / "page"))


def test_the_commands_do_not_wait_for_pictures() -> None:
    code = (
        "import sys\nfrom turnstill.scenes.cli import app\nfrom typer.testing import CliRunner\n"
        "assert CliRunner().invoke(app, ['record', '--help']).exit_code == 0\n"
        "assert not {'numpy', 'sqlite3', 'scipy'} & set(sys.modules), sorted(sys.modules)\n"
        "import turnstill.scenes.record.work, turnstill.scenes.record.page\n"
        "assert not {'pyvista', 'matplotlib', 'trimesh'} & set(sys.modules)\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, timeout=60, check=False)
    assert done.returncode == 0, done.stderr


def test_the_guides_commands_work_as_written(tmp_path: Path, monkeypatch) -> None:
    monkeypatch.chdir(tmp_path)
    text = GUIDE.read_text(encoding="utf-8")
    commands = [line for block in re.findall(r"^```sh\n(.*?)^```$", text, re.M | re.S) for line in block.splitlines()]
    assert len(commands) >= 7
    printed = ""
    for command in commands:
        done = RUNNER.invoke(app, shlex.split(command)[1:])
        assert done.exit_code == 0, (command, done.output)
        printed += " " + " ".join(done.stdout.split())
    assert (tmp_path / "progress" / "index.html").stat().st_size and (tmp_path / "anna.csv").stat().st_size
    # What the guide says the program says.
    quoted = " ".join(" ".join(re.findall(r"^> (.*)$", text, re.M)).split())
    assert quoted.startswith("On the film of") and quoted in printed


def test_the_guides_figures_are_those_of_the_code(slopes) -> None:
    text = " ".join(GUIDE.read_text(encoding="utf-8").split())
    prior = dose.PRIOR
    assert f"mean {prior.mean:g} and sd {prior.sd:g}, correlated by {prior.alike:g}" in text
    feel = prior.mean / (prior.mean**2 + prior.sd**2)
    assert f"{feel:.1f} times what is missing and not {1 / prior.mean:.1f} times" in text
    noise = 0.01 * np.sqrt(2.0)
    sds = [np.degrees(dose.got_from_head(np.zeros(2), noise, slopes[:, [0, 2]], p).sd) for p in ("extension", "tilt")]
    assert f"tells extension within {sds[0]:.1f}° and tilt within {sds[1]:.1f}°" in text
    # How far bodies of one height, mass and sex differ, of which SLOPE_SD is a rounding up.
    bodies = simulate(Body.draw(np.random.default_rng(0), 300), Address(), Pieces(), frames=2)
    face_on = [OUTCOMES.index("head_toward_target"), OUTCOMES.index("head_up")]
    for piece in ("tilt", "extension"):
        drawn = sensitivities(bodies)[:, DEPARTURES.index(piece), face_on]
        own = slopes[DEPARTURES.index(piece), [0, 2]]
        assert 0.05 < np.std(drawn @ own / (own @ own)) < 0.10 < dose.SLOPE_SD
