"""Readings at impact, and a head that is wanted elsewhere: how they are given, and what is shown of them where."""

from __future__ import annotations

import json
import re
from types import SimpleNamespace

import numpy as np
import pytest
from diagnosis_reports import PIECES, READ, SHOWN, both_moments, made
from shown import MINUS, number, page, tables, words
from typer.testing import CliRunner

from turnstill.model.errors import TurnstillError
from turnstill.scenes.cli import app
from turnstill.scenes.diagnose import reading_words
from turnstill.scenes.diagnose import words as told
from turnstill.scenes.diagnose.moments import IMPACT, TOP, Moment
from turnstill.scenes.diagnose.page import diagnose_page
from turnstill.scenes.diagnose.readings import Scale, asked_at_each
from turnstill.scenes.diagnose.table import diagnose_table
from turnstill.scenes.setups.reports import HeldHead
from turnstill.scenes.words.at_impact import CAUTION, MORE_LESS

SCALE = Scale(15.0, 20.0, (False, False))
RUNNER = CliRunner()
ELSEWHERE = HeldHead(toward_target_cm=-2.7, up_cm=1.4)


def given(*read: str, options: dict | None = None, sd: tuple[str, ...] = (), group: dict | None = None):
    """What was read at each moment."""
    return asked_at_each(options or {}, read, group or {}, sd, SCALE)


def test_a_name_that_begins_with_impact_is_read_there() -> None:
    top, impact = given(
        "head_up=1", "impact.head_up=-2in", " Impact . hip-turn_deg = -21 ", options={"hip_turn": ["40"]},
        sd=("head_up=0.4", "impact.head_up=0.8"), group={"pelvis": 2.5},
    )  # fmt: skip
    assert (top.moment, impact.moment) == (TOP, IMPACT)
    assert {one.name: one.value for one in top.readings} == {"head_up": 1.0, "hip_turn": 40.0}
    assert {one.name: one.value for one in impact.readings} == {"head_up": pytest.approx(-5.08), "hip_turn": -21.0}
    assert impact.readings[0].given == "--read impact.head_up=-2in"
    # What is said of one moment is not said of the other; what is said of a group is of both, and usual ones differ.
    assert (top.sd["head_up"], impact.sd["head_up"]) == (0.4, 0.8)
    assert top.sd["pelvis_toward_ball"] == impact.sd["pelvis_toward_ball"] == 2.5
    assert (top.sd["hip_turn"], impact.sd["hip_turn"]) == (4.0, 6.0)
    assert (top.used, impact.used) == ({}, {"in": ("head_up",)})
    (alone,) = given("impact.lean_face_on=7")
    assert alone.moment is IMPACT and alone.sd["lean_face_on"] == 6.0 and alone.sd["head_up"] == 1.0


@pytest.mark.parametrize(
    ("read", "sd", "said"),
    [
        ((), (), "at least one reading"),
        (("head_up=1",), ("impact.head_up=1",), '--sd "impact.head_up=1" is of impact, where nothing was read'),
        (
            ("impact.head_up=1",),
            ("head_up=1",),
            '--sd "head_up=1" is of the top, where nothing was read; give --read NAME',
        ),
        (
            ("head_up=1",),
            ("hip_turn=4",),
            "--sd hip_turn is of a reading that was not given; give --read hip_turn=VALUE",
        ),
        (
            ("hip_turn=40", "impact.head_up=1"),
            ("impact.head_up=1", "impact.hip_turn=4"),
            "--sd impact.hip_turn is of a reading that was not given; give --read impact.hip_turn=VALUE too, or leave",
        ),
        (("impact.head_up=1", "impact.head_up=2"), (), "given twice, as --read impact.head_up=1 and as --read impact"),
        (("impact.head_up",), (), '--read "impact.head_up" must be NAME=VALUE'),
        (("impact.headup=1",), (), "there is no reading"),
        (("impact.head_up=900",), (), "--read impact.head_up was 900"),
        (("impact.head_up=1",), ("impact.head_up=0",), "--sd impact.head_up was 0"),
        (("impact.head_up=1",), ("impact.head_up=1", "impact.head_up=2"), "uncertainty of impact.head_up twice"),
        (("impact.head_up=3deg",), (), "--read impact.head_up was"),
    ],
)
def test_what_cannot_be_read_at_impact_is_refused_with_its_name(read, sd, said) -> None:
    with pytest.raises(TurnstillError) as wrong:
        given(*read, sd=sd)
    assert said in str(wrong.value)


@pytest.mark.parametrize("piece", list(PIECES))
def test_a_departure_at_impact_is_told_as_the_strike_tells_it(piece: str) -> None:
    for value, called in zip((6.2, -6.2), MORE_LESS[piece], strict=True):
        assert told.sided(piece, value, "deg", False, IMPACT) == f"6.2° {called}"


def test_each_moment_has_its_own_tables_on_the_page_and_none_of_the_others_numbers() -> None:
    report = both_moments()
    there = report.at_impact
    read, departed, read_there, departed_there = tables(diagnose_page(report))
    for one, rows in ((report, read), (there, read_there)):
        for reading in one.readings:
            name, _ = READ[reading.reading]
            way = SHOWN[reading.reading][1]
            row = f"{name} {way if one is report else way.replace('at the top', 'at impact')}"
            assert number(rows[row, "as read"]) == pytest.approx(reading.value, abs=0.051)
            assert number(rows[row, "without a fault"]) == pytest.approx(reading.without_a_fault, abs=0.051)
    for one, rows in ((report, departed), (there, departed_there)):
        for departure in one.departures:
            name, _ = PIECES[departure.piece]
            assert number(rows[name, "comes to"]) == pytest.approx(departure.made, abs=0.051)
            assert number(rows[name, "from the centred turn"]) == pytest.approx(departure.from_centred, abs=0.051)


def test_a_page_of_both_tells_each_under_its_heading() -> None:
    report = both_moments()
    document = page(diagnose_page(report))
    headings = [words(h) for h in document.xpath("//h2")]
    # What to do at either moment comes before all pictures, and what to take care of before all tables.
    seen = ["The head as read, and the candidates", "The feel on film"]
    behind = [
        "If a piece is at fault, by how much", "How probable each piece is", "What was read",
        "Departures, counted in two ways",
    ]  # fmt: skip
    care = ["Notes", "Before you use this"]

    def there(top: list[str]) -> list[str]:
        return [f"At impact: {one[0].lower()}{one[1:]}" for one in top]

    assert headings == ["At the top", "At impact", *seen, *there(seen), *care, *behind, *there(behind)]
    assert [words(h) for h in page(diagnose_page(made())).xpath("//h2")] == [*seen, *care, *behind]
    leads = [[words(p) for p in short.xpath("./p")] for short in document.xpath("//section[@class='short']")]
    assert leads[0][0].startswith("What to do: ") and leads[1][0].startswith("What to do on the way down: ")
    assert leads == [
        [line.replace(" -", f" {MINUS}") for line in told.leading(one)] for one in (report, report.at_impact)
    ]
    who = words(document.xpath("//p[@class='who']")[0])
    assert who.endswith(
        "read off the films at the top of the backswing and at impact; steady holds the head where it was at address"
    )
    charts = [words(svg) for svg in document.xpath("//*[local-name()='svg']/*[local-name()='title']")]
    assert not charts or any("at impact" in one for one in charts)
    legends = [words(p) for p in document.xpath("//p[@class='legend']")]
    assert sum("where it was read at the top" in one for one in legends) == 1
    assert sum("where it was read at impact" in one for one in legends) == 1
    assert sum("more open to the target" in one for one in legends) == 1


def test_in_a_terminal_each_moment_is_told_in_turn(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "200")
    report = both_moments()
    text = diagnose_table(report)
    at = [text.index(part) for part in ("At the top: steady", "read at the top", "At impact: steady", "read at impact")]
    assert at == sorted(at)
    flat = " ".join(text.split())
    for line in (*report.sentences, *report.at_impact.sentences):
        assert line in flat


def test_sentences_of_impact_say_so() -> None:
    impact = made(moment="impact", counted_from_centred=True)
    (line,) = [line for line in told.sentences(impact) if "is at fault with" in line and "hip turn" in line]
    one = next(one for one in impact.each_piece if one.piece == "hip_turn")
    assert line == (
        f"At impact hip turn is at fault with a probability of {one.probability:.0%}; if so, by about "
        f"{one.most_likely:.1f}° less open than in the centred swing at impact (90 % between {one.low:.1f}° less open "
        f"and {one.high:.1f}° less open)."
    )
    assert any(line.startswith("At impact the head is ") for line in told.sentences(impact))
    assert any("tilt 6.2° more to the trail side and 7.3° more extension" in line for line in told.sentences(impact))
    own = told.sentences(made(moment="impact", counted_from_centred=False))
    assert any("less open than in the swing of mine at impact, as it was set (90 %" in line for line in own)
    unfit = made(moment="impact", fits=False, feel=None)
    assert any("that all are of impact of one swing" in line for line in told.sentences(unfit))
    quiet = made(moment="impact", head_still=True, feel=None)
    assert any(
        line.startswith("At impact the head is where it was at address, as far") for line in told.sentences(quiet)
    )
    away = made(moment="impact", feel=made().feel.replaced(brings_head_back_cm=0.1))
    assert told.sentences(away)[0].startswith("At impact the head is no reason to change sway")
    assert "though the strike may be one" in told.sentences(away)[0]
    # That a short turn needs less extension is of the top.
    assert not any("short a turn" in line or "A short turn" in line for line in told.sentences(quiet))


def test_the_low_back_is_cared_for_at_impact_alone() -> None:
    for piece in PIECES:
        for amount in (3.0, -3.0):
            assert IMPACT.hurts(piece, amount).endswith(CAUTION)
            assert CAUTION not in TOP.hurts(piece, amount)


@pytest.mark.parametrize("moment", [TOP, IMPACT])
def test_who_is_to_stay_bent_forward_is_not_cautioned_against_bending_back(moment: Moment) -> None:
    more, less = (moment.hurts("extension", amount) for amount in (8.0, -8.0))
    assert "Bending back" in more and "bent forward" not in more
    assert "ending back" not in less and "staying bent forward" in less


@pytest.mark.parametrize("moment", ["top", "impact"])
@pytest.mark.parametrize("inches", [False, True])
def test_where_the_head_is_held_is_said_in_every_report(moment: str, inches: bool) -> None:
    place = (
        "1.06 in farther from the target and 0.55 in higher"
        if inches
        else "2.7 cm farther from the target and 1.4 cm higher"
    )
    report = made(moment=moment, head_held=ELSEWHERE)
    at = "At the top" if moment == "top" else "At impact"
    table = " ".join(diagnose_table(report, inches).split())
    html = diagnose_page(report, inches)
    assert f"{at}: steady holds the head where it is wanted, {place} than at address." in table
    who = words(page(html).xpath("//p[@class='who']")[0])
    assert who.endswith(f"steady holds the head where it is wanted, {place} than at address")
    assert any(
        line.startswith(f"{at} the head is ") and f"it is wanted {place}." in line
        for line in told.sentences(report, inches)
    )
    still = told.sentences(report.replaced(head_still=True), inches)
    assert any(f"{at} the head is where it is wanted, {place} than at address, as far" in line for line in still)
    home = made(moment=moment)
    assert f"{at}: steady holds the head where it was at address." in " ".join(diagnose_table(home).split())
    assert "it is wanted" not in " ".join(told.sentences(home)) and 'class="diamond"' not in diagnose_page(home)
    assert html.count('class="diamond"') == 2 and f"Diamond: where it is wanted, {place}" in " ".join(html.split())
    # The drawing is told to who cannot see it, in its unit.
    drawn = "-1.1 across, +0.6 up" if inches else "-2.7 across, +1.4 up"
    assert f"it is wanted {drawn}" in html.replace(MINUS, "-")


def test_arrows_start_where_the_head_is_wanted() -> None:
    """By the marks beside the axis, as a person reads them; the ring stays where the head was at address."""
    for held, start in ((HeldHead(toward_target_cm=0.0, up_cm=0.0), 0.0), (ELSEWHERE, -2.7)):
        face_on = page(diagnose_page(made(head_held=held))).xpath("//svg[@class='chart']")[0]
        marks = [t for t in face_on.iter("text") if t.get("class") == "upright"]
        at = np.polyfit([float(m.getprevious().get("x1")) for m in marks], [number(words(m)) for m in marks], 1)
        scale = np.poly1d(at)
        (tail,) = face_on.xpath(".//g[@data-name='sway']/line/@x1")
        assert scale(float(tail)) == pytest.approx(start, abs=0.05)
        (ring,) = face_on.xpath(".//circle[@class='ring']/@cx")
        assert scale(float(ring)) == pytest.approx(0.0, abs=0.05)
        for diamond in face_on.xpath(".//path[@class='diamond']/@d"):
            assert scale(float(re.findall(r"-?\d+\.?\d*", diamond)[0])) == pytest.approx(-2.7, abs=0.05)


def test_notes_that_are_true_of_both_moments_are_told_once(performed) -> None:
    report = both_moments()
    setup = performed("centred", "impact.tilt=steady+3", frames=2).setup
    swing = performed("centred", frames=2).swing
    lines = reading_words.warnings(report, SimpleNamespace(setup=setup, swing=swing))
    assert len(lines) == len(set(lines))
    assert any("aims at impact.tilt steady+3 itself" in line for line in lines)
    (usual,) = reading_words.usual_sd_words(
        report.at_impact.replaced(readings=[one.replaced(sd_given=False) for one in report.at_impact.readings]), False
    )
    assert "at impact; 1 cm and 6° were taken" in usual and "half a frame" in usual


def test_both_moments_are_diagnosed_from_one_command_line() -> None:
    done = RUNNER.invoke(
        app,
        ["diagnose", "centred", "--set", "head.up=1", "--set", "impact.head_toward_target=-2", "--head-up-cm", "1",
         "--head-toward-target-cm", "0", "--read", "impact.head_up=1", "--read", "impact.head_toward_target=-2",
         "--read", "impact.pelvis_toward_target=1", "--read", "impact.hip_turn=-40", "--json", "-"],
    )  # fmt: skip
    assert done.exit_code == 0, done.output
    report = json.loads(done.stdout)
    top, impact = report, report["at_impact"]
    assert (top["moment"], impact["moment"]) == ("top", "impact")
    assert top["head_held"] == {"toward_target_cm": 0.0, "up_cm": 1.0}
    assert impact["head_held"] == {"toward_target_cm": -2.0, "up_cm": 1.0}
    # At its wanted place a head is still, at either moment; the hips stayed 9 cm back at impact.
    assert top["head_still"] and impact["head_still"]
    assert impact["largest"] == "sway" and impact["each_piece"][0]["most_likely"] > 5.0
    assert impact["counted_from"]["hip_turn_deg"] == -40.0 and impact["counted_from"]["tilt_deg"] == "steady"
    assert impact["counted_from_centred"] and top["counted_from"]["hip_turn_deg"] == 45.0
    by_name = {one["reading"]: one for one in impact["readings"]}
    assert by_name["head_toward_target"]["without_a_fault"] == pytest.approx(-2.0, abs=0.1)
    assert by_name["pelvis_toward_target"]["without_a_fault"] == pytest.approx(8.0, abs=0.1)


def test_hips_and_extension_together_are_not_mended_by_extension_alone_without_a_word() -> None:
    """A head 3 cm from the ball, read 8 cm of feel away from there, and a cheap reading that would tell more first."""
    done = RUNNER.invoke(
        app,
        ["diagnose", "--read", "impact.head_up=4", "--read", "impact.head_toward_ball=-3", "--read",
         "impact.hip_turn=-20", "--sd", "impact.hip_turn=8", "--read", "impact.pelvis_toward_ball=6", "--json", "-"],
    )  # fmt: skip
    report = json.loads(done.stdout)
    feel = report["feel"]
    assert feel["piece"] == "extension" and set(report["likeliest_at_fault"]) == {"extension", "hips_toward_ball"}
    first, _, alone, *_ = report["sentences"]
    assert first.startswith("First read head toward the target (face-on) and ask again: ")
    then = -3.0 + feel["alone_it_would_change"]["head_toward_ball_cm"]
    assert then > 4.0
    assert alone.endswith(
        f"the head would then be {then:.1f} cm nearer to the ball than at address, unless hips toward ball is put back "
        "too."
    )
    assert not any("To be surer" in line for line in report["sentences"])


def test_a_head_that_dips_for_no_reason_that_was_read_is_no_reason_to_feel_the_hips() -> None:
    """Hips 20 degrees short of open lower no head: the trunk that holds it is counted from where they are."""
    hips = ["--read", "impact.hip_turn=-20", "--read", "impact.head_toward_target=0"]
    still, dipped = (
        json.loads(RUNNER.invoke(app, ["diagnose", *hips, "--read", f"impact.head_up={up}", "--json", "-"]).stdout)
        for up in (-0.5, -3)
    )
    assert still["doubted"] is None and still["feel"]["piece"] == "hip_turn"
    assert dipped["doubted"] == "head_up" and dipped["feel"] is None
    assert dipped["each_piece"][0]["piece"] == "hip_turn", "what was read of the hips is told all the same"
    (up,) = (one for one in dipped["readings"] if one["reading"] == "head_up")
    assert up["value"] == -3.0 and -1.5 < up["most_probable"] < 0.0
    assert f"{-up['most_probable']:.1f} cm lower, and it was read 3.0 cm lower" in dipped["sentences"][0]


def test_the_preset_whose_head_dips_has_a_fault_that_its_own_readings_show() -> None:
    told = RUNNER.invoke(app, ["strike", "head-dips", "--json", "-"])
    moment = json.loads(told.stdout)["swings"][0]["moment"]
    assert -6.0 < moment["head_up_cm"] < -3.0, "coaches call 3 to 6 cm a dip"
    read = [f"impact.{name}={moment[f'{name}_cm']}" for name in ("head_up", "head_toward_target", "head_toward_ball")]
    done = RUNNER.invoke(app, ["diagnose", *(part for one in read for part in ("--read", one)), "--json", "-"])
    report = json.loads(done.stdout)
    first = report["each_piece"][0]
    assert first["piece"] == "extension" and first["probability"] > 0.9
    assert first["low"] < -10.0 < first["high"] < 0.0
    assert report["feel"]["piece"] == "extension" and report["feel"]["amount"] > 0.0


def test_impact_alone_is_a_diagnosis_of_impact() -> None:
    done = RUNNER.invoke(app, ["diagnose", "--read", "impact.hip_turn=-20", "--read", "impact.sway_toward=1"])
    assert done.exit_code == 2 and "there is no reading" in done.stderr
    done = RUNNER.invoke(
        app, ["diagnose", "--read", "impact.hip_turn=-10", "--read", "impact.belt_line_tilt=2", "--json", "-"]
    )
    report = json.loads(done.stdout)
    assert report["moment"] == "impact" and report["at_impact"] is None
    plain = RUNNER.invoke(app, ["diagnose", "--set", "impact.tilt=-20", "--read", "impact.hip_turn=-20"])
    assert (
        plain.exit_code == 2
        and "impact.tilt of centred is -20" in plain.stderr
        and "impact.tilt=steady" in plain.stderr
    )
