"""What a sheet is about, what it changes, and the command that writes it."""

from __future__ import annotations

import json
import shlex
from collections.abc import Callable
from functools import partial
from pathlib import Path

import numpy as np
import pytest
from refusals import refused_by
from typer.testing import CliRunner

from turnstill.model.errors import TurnstillError
from turnstill.model.films import dose
from turnstill.scenes.cli import app
from turnstill.scenes.delivery.terminal import LONGEST
from turnstill.scenes.setups.commands import live_command, sheet_command, short_of
from turnstill.scenes.setups.perform import Performed, perform
from turnstill.scenes.setups.presets import load
from turnstill.scenes.setups.quantities import Departure
from turnstill.scenes.setups.settings import apply
from turnstill.scenes.sheet import sheet as sheet_module
from turnstill.scenes.sheet import work
from turnstill.scenes.sheet.choice import Choice, chosen_by_head, chosen_by_name, read_felt
from turnstill.scenes.sheet.report import SheetReport
from turnstill.scenes.sheet.sheet import Sheet, after_setup, make_sheet, usual_dose

RUNNER = CliRunner()
refused = partial(refused_by, "sheet")
DEG = float(np.radians(1.0))
Get = Callable[..., Performed]


@pytest.fixture(scope="module")
def no_touching() -> object:
    """Sheets without what would be touched, which has tests of its own and shapes a body."""
    patch = pytest.MonkeyPatch()
    patch.setattr(sheet_module, "checks", lambda now, after: [])
    yield
    patch.undo()


@pytest.mark.parametrize(
    ("preset", "piece", "change"),
    [
        ("too-little-extension", "extension", 10 * DEG), ("too-much-extension", "extension", -10 * DEG),
        ("too-little-tilt", "tilt", 10 * DEG), ("too-much-tilt", "tilt", -10 * DEG), ("sway", "sway", -0.05),
    ],
)  # fmt: skip
def test_the_piece_is_the_one_at_fault_and_comes_to_what_holds_the_head(
    performed: Get, preset: str, piece: str, change: float
) -> None:
    choice = chosen_by_head(performed(preset))
    assert choice.piece == piece and choice.by_head and choice.to_what_holds
    assert choice.change == pytest.approx(change, abs=1e-9)


def test_one_that_alone_takes_the_head_elsewhere_is_not_chosen(performed: Get) -> None:
    """Too much shoulder turn and hip turn hold each other's head: the larger share alone mends nothing."""
    now = performed("sway", "hip_turn=75", "shoulder_turn=110", "trail_hip_internal_rotation=15")
    choice = chosen_by_head(now)
    after = perform(after_setup(now, choice), 2).swing
    far = [float(np.linalg.norm(one.measures.head_moved[-1])) for one in (now.swing, after)]
    assert far[1] < 0.8 * far[0], choice


def test_a_sheet_of_a_fault_at_impact_says_that_it_knows_the_top_alone(performed: Get, no_touching: object) -> None:
    with pytest.raises(TurnstillError, match="at the top, which is all that a sheet knows") as refused:
        chosen_by_head(performed("stands-up"))
    assert "of impact turnstill strike and diagnose tell" in str(refused.value)
    longest_name = 40
    assert len(f"turnstill: {refused.value}") + longest_name - len("stands-up") <= LONGEST, "it is never cut"
    both = SheetReport.of(make_sheet(performed("sway", "impact.hip_turn=-20"))).warnings
    assert both[0].startswith("A sheet is of the way to the top alone: of impact turnstill strike and diagnose tell")
    assert both[1:] == SheetReport.of(make_sheet(performed("sway"))).warnings


@pytest.mark.parametrize("preset", ["centred", "straight-toes"])
def test_a_still_head_needs_no_feel_but_may_have_one(performed: Get, preset: str) -> None:
    with pytest.raises(TurnstillError, match="run turnstill sheet with a piece and an amount") as refused:
        chosen_by_head(performed(preset))
    assert "impact" not in str(refused.value)
    assert chosen_by_name(performed(preset), ["extension=8"]) == Choice("extension", 8 * DEG, False, False)


@pytest.mark.parametrize(
    ("given", "piece", "change"),
    [
        ("tilt", "tilt", -10 * DEG), ("Tilt-deg", "tilt", -10 * DEG), ("tilt=-4", "tilt", -4 * DEG),
        ("sway=2", "sway", 0.02), ("sway=1in", "sway", 0.0254), ("hip_turn=+5.5°", "hip_turn", 5.5 * DEG),
    ],
)  # fmt: skip
def test_a_piece_may_be_named_with_or_without_an_amount(performed: Get, given: str, piece: str, change: float) -> None:
    choice = chosen_by_name(performed("too-much-tilt"), [given])
    assert choice == Choice(piece, pytest.approx(change, abs=1e-9), False, "=" not in given)


def test_after_is_the_swing_with_the_piece_changed_and_nothing_else_at_the_top(performed: Get) -> None:
    now = performed("sway", "lead_flex_change=9")
    for given, moved in (("tilt", None), ("tilt=6", 6 * DEG), ("sway=-3", -0.03), ("hip_turn=-5", -5 * DEG)):
        choice = chosen_by_name(now, [given])
        assert moved is None or choice.change == pytest.approx(moved)
        after = perform(after_setup(now, choice), 5).swing
        for name, values in now.swing.asked.items():
            derived = {"bend", "lead_knee_flex", "trail_knee_flex", "pelvis_toward_target", "pelvis_toward_ball"}
            if name not in derived:
                expected = values[-1] + (choice.change if name == choice.piece else 0.0)
                assert after.asked[name][-1] == pytest.approx(expected, abs=2e-7), (given, name)


def test_what_was_asked_for_as_steady_keeps_to_it_on_the_way(performed: Get) -> None:
    now = performed("too-little-extension")
    by_head = after_setup(now, chosen_by_head(now))
    assert by_head.section("pieces")["extension_deg"] == Departure(0.0)
    assert by_head.section("pieces")["tilt_deg"] == now.setup.section("pieces")["tilt_deg"]
    some = after_setup(now, chosen_by_name(now, ["extension=4"]))
    assert some.section("pieces")["extension_deg"] == Departure(-6.0)
    # A plain number stays one, and the head is where simulate puts it.
    plain = performed("centred", "extension=20")
    assert after_setup(plain, chosen_by_name(plain, ["extension=4"])).section("pieces")["extension_deg"] == 24.0
    assert after_setup(plain, chosen_by_name(plain, ["extension"])).section("pieces")["extension_deg"] == Departure()
    held = perform(by_head, 5).swing
    assert float(np.abs(held.measures.head_moved[:, 1:]).max()) < 1e-3


def test_the_dose_is_that_of_a_golfer_nobody_has_filmed() -> None:
    ratio, sd = dose.PRIOR.mean, dose.PRIOR.sd
    found = usual_dose(Choice("extension", 5 * DEG, True))
    assert float(found.feel) == pytest.approx(5 * DEG * ratio / (ratio**2 + sd**2))
    assert float(found.got.mean) == pytest.approx(ratio * float(found.feel))
    assert float(usual_dose(Choice("sway", -0.09, True)).feel) == -dose.FEEL_CAP["cm"]


@pytest.fixture(scope="module")
def sheet(no_touching: object) -> Sheet:
    return make_sheet(perform(apply(load("sway"), ["stature=168", "sex=female"]), 5), ["tilt=6"], "9")


def test_the_report_is_of_the_sheet(sheet: Sheet) -> None:
    made = SheetReport.of(sheet)
    feel, swing = made.feel, sheet.now.swing
    assert (feel.piece, feel.unit, feel.by_head, feel.felt_given) == ("tilt", "deg", False, True)
    assert (feel.change, feel.felt, feel.expected, feel.before_cap, feel.capped) == (6.0, 9.0, None, None, False)
    assert feel.now == pytest.approx(np.degrees(swing.asked["tilt"][-1]), abs=1e-6)
    assert feel.after == pytest.approx(feel.now + 6.0)
    hand = float(swing.body.shape["hand_breadth"])
    assert made.hand_width_cm == pytest.approx(hand * 100, abs=1e-6)
    for moment, (side, at) in zip(
        (made.at_address, made.now, made.after), ((sheet.now, 0), (sheet.now, -1), (sheet.after, -1)), strict=True
    ):
        measures = side.swing.measures
        head = [moment.head_toward_ball_cm, moment.head_toward_target_cm, moment.head_up_cm]
        np.testing.assert_allclose(head, measures.head_moved[at] * 100, atol=1e-6)
        assert moment.neck_base_up_cm == pytest.approx(measures.neck_base_moved[at, 2] * 100, abs=1e-6)
        assert moment.low_point_shift_cm == pytest.approx(measures.neck_base_moved[at, 1] * 100, abs=1e-6)
    for k, one in enumerate(made.on_the_body):
        for moved, found in ((one.on_film, sheet.on_film), (one.as_felt, sheet.as_felt)):
            told = [moved.toward_ball_cm, moved.toward_target_cm, moved.up_cm]
            np.testing.assert_allclose(told, found.moved[k] * 100, atol=1e-6)
            assert moved.distance_cm == pytest.approx(found.distance[k] * 100, abs=1e-6)
            assert moved.hand_widths == pytest.approx(found.distance[k] / hand, abs=1e-6)
    assert SheetReport.of(sheet, inches=True).replaced(sentences=made.sentences) == made


def test_a_feel_is_dosed_where_none_is_given_and_capped(no_touching: object) -> None:
    made = SheetReport.of(make_sheet(perform(load("centred"), 2), ["hip_turn=-15"]))
    assert (made.feel.felt, made.feel.felt_given, made.feel.cap, made.feel.capped) == (-20.0, False, 20.0, True)
    assert made.feel.before_cap == pytest.approx(-15 * 0.4 / (0.4**2 + 0.25**2))
    assert made.feel.expected == pytest.approx(-8.0)
    told = " ".join(made.sentences)
    assert "Feel 20° less hip turn" in told and "expect about 8.0°" in told
    assert "Why not feel 37.5°? Golfers differ" in told and ": 27.0° would come nearest" in told
    assert "So the head is no reason to change that." in told


MISTAKES = [
    (("centrd",), "Did you mean centred?"),
    (("centred",), "moves the head enough to be felt"),
    (("sway", "--feel", "sway", "--feel", "tilt"), "--feel was given 2 times, but a sheet has one feel"),
    (("sway", "--feel", "swing"), "must be one of hip_turn"),
    (("sway", "--feel", "extention"), "Did you mean extension?"),
    (("sway", "--feel", "lead_heel_rise=2"), "must be one of hip_turn"),
    (("sway", "--feel", "stature=2"), "must be one of hip_turn"),
    (("sway", "--feel", ""), "must be one of hip_turn"),
    (("sway", "--feel", "hip_turn"), "Hip turn is already what holds the head"),
    (("sway", "--feel", "tilt=much"), '--feel was "much", but must be a number in deg'),
    *((("sway", "--feel", f"tilt={many}"), "must be from 1 to 60 deg") for many in ("0", "0.9", "61", "nan", "1e999")),
    (("sway", "--feel", "tilt="), "--feel was"),
    (("sway", "--feel", "sway=1kg"), "--feel was"),
    (("centred", "--set", "hip_turn=120", "--feel", "hip_turn=40"), "must stay between -60 and 150 deg"),
    (("sway", "--felt", "3"), "is to become less; give --felt the sign of --feel"),
    (("sway", "--felt", "-2deg"), "--felt was"),
    *((("sway", "--out", name), "ends in .html") for name in ("a.pdf", "-", "a")),
    (("sway", "--out", "no/such/folder/a.html"), "no folder"),
    (("sway", "--out", "a.html", "--json", "a.html"), "that is the file of --out"),
]


@pytest.mark.parametrize(("arguments", "words"), MISTAKES)
def test_mistakes_end_in_a_sentence_before_anything_is_drawn(
    arguments: tuple[str, ...], words: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(work, "sheet_pictures", lambda *_: pytest.fail("something is drawn"))
    monkeypatch.setattr(sheet_module, "checks", lambda now, after: [])
    assert words in refused(*arguments)
    assert not list(tmp_path.iterdir())


def test_a_feel_of_the_same_way_is_read() -> None:
    less = Choice("sway", -0.05, True)
    assert read_felt("-3", less) == pytest.approx(-0.03)
    with pytest.raises(TurnstillError, match="is to become less"):
        read_felt("3", less)


def test_the_command_writes_a_page_and_the_numbers(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(work, "WIDTH", 120)
    monkeypatch.setattr(work, "HEIGHT", 150)
    monkeypatch.setattr(sheet_module, "checks", lambda now, after: [])
    arguments = ["sheet", "sway", "--left-handed", "--inches", "--json", "a.json"]
    result = RUNNER.invoke(app, arguments)
    assert result.exit_code == 0, result.output
    assert result.stdout.splitlines()[-1] == "The sheet is turnstill-sway-sheet.html"
    assert sorted(file.name for file in tmp_path.iterdir()) == ["a.json", "turnstill-sway-sheet.html"]
    numbers = json.loads(Path("a.json").read_text(encoding="utf-8"))
    # The JSON is metric whatever is shown, and a left-hander's sheet says what a right-hander's does.
    assert numbers["feel"]["change"] == -5.0 and numbers["body"]["handedness"] == "left"
    assert " cm" in " ".join(numbers["sentences"]) and " in " in result.stdout and " cm" not in result.stdout
    monkeypatch.setattr(work, "sheet_pictures", lambda *_: [])
    right = RUNNER.invoke(app, ["sheet", "sway", "--json", "-", "--out", "b.html"])
    assert right.exit_code == 0
    other = json.loads(right.stdout)
    assert {**other, "body": numbers["body"]} == numbers
    page = Path("turnstill-sway-sheet.html").read_text(encoding="utf-8")
    assert "left-handed" in page and page.count("data:image/png") == 4


def test_a_failure_leaves_the_earlier_sheet(
    failing_disk: None, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    target = tmp_path / "a.html"
    target.write_bytes(b"an earlier sheet")
    monkeypatch.setattr(work, "sheet_pictures", lambda *_: [])
    monkeypatch.setattr(sheet_module, "checks", lambda now, after: [])
    result = RUNNER.invoke(app, ["sheet", "sway", "--out", str(target)])
    assert result.exit_code in (2, 130) and len(result.stderr.splitlines()) == 1
    assert target.read_bytes() == b"an earlier sheet" and list(tmp_path.iterdir()) == [target]


def test_the_command_to_copy_makes_the_same_sheet() -> None:
    setup = load("sway")
    assert short_of(setup, "sway", -2.0) == 7.0 and short_of(setup, "extension", 4.0) == Departure(-9.0)
    line = sheet_command(
        "my swing.toml", ["stature=180"], {"extension": Departure(-9.04), "sway": 7.0}, ("extension", 4.04),
        felt=7.26, student="s.turnstill",
    )  # fmt: skip
    assert line == (
        "turnstill sheet 'my swing.toml' --student s.turnstill --set stature=180 --set extension=steady-9 --set sway=7 "
        "--feel extension=4 --felt 7.3"
    )
    pieces = {"extension": Departure(-9.04), "sway": 7.0}
    assert live_command("my swing.toml", ["stature=180"], pieces, student="s.turnstill") == (
        "turnstill live 'my swing.toml' --student s.turnstill --set stature=180 --set extension=steady-9 --set sway=7"
    )
    assert live_command("sway", [], {}) == "turnstill live sway"


def sheet_of(line: str, tmp_path: Path) -> dict[str, dict[str, float]]:
    """The numbers of the sheet that a line of another command's output says how to make."""
    arguments = shlex.split(line.partition("turnstill sheet ")[2])
    result = RUNNER.invoke(app, ["sheet", *arguments, "--out", str(tmp_path / "a.html"), "--json", "-"])
    assert result.exit_code == 0, result.output
    return json.loads(result.stdout)


def moved_in_a_page(told: str, other: str) -> None:
    """The last line opens the swing that the line before it makes a sheet of."""
    line, live = (one.partition(": turnstill ")[2] for one in told.splitlines()[-2:])
    assert live.startswith("live ") and line.partition(" --feel ")[0] == live.replace("live ", f"{other} ", 1)


def test_diagnose_and_record_next_end_with_the_commands_that_make_the_sheet_and_move_the_golfer(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(work, "sheet_pictures", lambda *_: [])
    monkeypatch.setattr(sheet_module, "checks", lambda now, after: [])
    readings = ["--head-toward-target-cm", "-6", "--head-up-cm", "-2", "--shoulder-turn-deg", "88", "--hip-turn-deg"]
    diagnose = ["diagnose", *readings, "45", "--lean-face-on-deg", "6", "--stature", "182"]
    told = RUNNER.invoke(app, diagnose)
    found = json.loads(RUNNER.invoke(app, [*diagnose, "--json", "-"]).stdout)
    made = sheet_of(told.stdout.splitlines()[-2], tmp_path)
    assert made["feel"]["piece"] == found["feel"]["piece"] == "extension"
    assert made["feel"]["change"] == pytest.approx(found["feel"]["amount"], abs=0.051)
    assert made["body"]["stature_cm"] == 182.0
    # The present swing's head is about where the films had it, and the change brings it back.
    assert made["now"]["head_toward_target_cm"] == pytest.approx(-6.0, abs=1.5)
    assert abs(made["after"]["head_toward_target_cm"]) < 1.5
    moved_in_a_page(told.stdout, "sheet")

    record = ["--head-toward-target-cm", "-6", "--date"]
    for more in (
        [*record, "2025-03-01"],
        [*record, "2025-03-08", "--piece", "extension", "--felt", "10", "--got", "6"],
    ):
        assert RUNNER.invoke(app, ["record", "add", "my s.turnstill", *more]).exit_code == 0
    assert RUNNER.invoke(app, ["record", "body", "my s.turnstill", "--stature", "170"]).exit_code == 0
    told = RUNNER.invoke(app, ["record", "next", "my s.turnstill"])
    found = json.loads(RUNNER.invoke(app, ["record", "next", "my s.turnstill", "--json", "-"]).stdout)
    made = sheet_of(told.stdout.splitlines()[-2], tmp_path)
    assert made["feel"]["change"] == pytest.approx(found["wanted"], abs=0.051)
    assert made["feel"]["felt"] == pytest.approx(found["feel"]["amount"], abs=0.051) and made["feel"]["felt_given"]
    assert made["body"]["stature_cm"] == 170.0
    assert made["now"]["head_toward_target_cm"] == pytest.approx(-6.0, abs=1.0)
    moved_in_a_page(told.stdout, "sheet")


def test_a_head_that_is_wanted_elsewhere_counts_from_there(performed: Get, no_touching: object) -> None:
    """What is put right is what takes the head from where it is wanted, and it comes back to there."""
    wish = "head.toward_target=-3"
    with pytest.raises(TurnstillError, match="moves the head enough to be felt"):
        chosen_by_head(performed("centred", wish))
    now = performed("centred", wish, "tilt=steady+8")
    sheet = make_sheet(now)
    assert sheet.choice.piece == "tilt" and sheet.choice.change == pytest.approx(-8 * DEG, abs=1e-9)
    after = sheet.after.swing.measures.head_moved[-1]
    assert after[1:] == pytest.approx([-0.03, 0.0], abs=5e-4)
    report = SheetReport.of(sheet)
    assert report.head_held.model_dump() == {"toward_target_cm": -3.0, "up_cm": 0.0}
    first = report.sentences[0]
    assert first.endswith(
        "It is wanted 3.0 cm farther from the target than at address, on purpose, and counts as still there."
    )
    # From address it would be farther off after than now: that is no reason against it.
    far = [float(np.linalg.norm(one.swing.measures.head_moved[-1][1:])) for one in (sheet.now, sheet.after)]
    assert far[1] < far[0] + 0.003 and "no reason to change" not in first
    usual = SheetReport.of(make_sheet(performed("too-much-tilt")))
    assert "wanted" not in usual.sentences[0]
