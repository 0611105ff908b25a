"""Sentences and notes of the ``strike`` command follow its numbers, and say what is not to be read."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from shown import number, tables
from strike_reports import REPORT, struck_preset, swing_of_preset
from typer.testing import CliRunner

from turnstill.model.errors import TurnstillError
from turnstill.scenes.cli import app
from turnstill.scenes.setups.past_the_ball import striking_of
from turnstill.scenes.setups.perform import FEWEST_FRAMES, perform
from turnstill.scenes.setups.presets import load
from turnstill.scenes.setups.settings import apply
from turnstill.scenes.strike import words as sentences
from turnstill.scenes.strike.mending import mend
from turnstill.scenes.strike.page import strike_page
from turnstill.scenes.strike.report import StrikeOutcome, StrikePart, StruckSwing, WholeStrike
from turnstill.scenes.strike.table import strike_table
from turnstill.scenes.strike.work import struck


def run(*arguments: str) -> Any:
    return CliRunner().invoke(app, list(arguments))


def at(swing: StruckSwing, **changes: float | None) -> StruckSwing:
    """With a club that comes along the target line over the ball's place, but for the changes."""
    return swing.replaced(
        strike=swing.strike.replaced(**{"club_out_at_ball_cm": 0.0} | changes), ground_before_ball_cm=None
    )


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"low_point_ahead_cm": 7.0, "low_point_up_cm": -0.5}, "bottoms out 7.0 cm past the ball, 0.5 cm below"),
        ({"low_point_ahead_cm": -3.0, "low_point_up_cm": 0.4}, "bottoms out 3.0 cm before the ball, 0.4 cm above"),
        ({"low_point_ahead_cm": None, "low_point_up_cm": None}, "no lowest point near the ball"),
        ({"club_up_at_ball_cm": 0.1}, "it is level with it"),
        ({"club_up_at_ball_cm": 2.0}, "it is 2.0 cm above the ground"),
        ({"club_up_at_ball_cm": 2.0, "descent_deg": 3.0}, "a little high, toward thin"),
        ({"club_up_at_ball_cm": 3.0, "descent_deg": 3.0}, "above its middle: thin"),
        ({"club_up_at_ball_cm": 3.0, "descent_deg": -3.0}, "on the way up, as a driver"),
        ({"club_out_at_ball_cm": 6.8}, "and 6.8 cm farther out than the ball"),
        ({"club_out_at_ball_cm": -6.8}, "and 6.8 cm to the golfer’s side of the ball"),
        ({"club_up_at_ball_cm": 6.0}, "pass over the ball"),
        ({"club_up_at_ball_cm": 0.0, "descent_deg": -2.0}, "2.0° up"),
        ({"outward_deg": 3.0}, "3.0° outward, away from the golfer"),
        ({"outward_deg": -3.0}, "3.0° inward"),
        ({"outward_deg": 0.2}, "along the target line"),
    ],
)
def test_sentences_follow_the_numbers(changes: dict[str, float | None], says: str) -> None:
    assert says in " ".join(sentences.sentences(at(REPORT.swings[0], **changes)))


@pytest.mark.parametrize(("out", "way"), [(4.1, "out"), (-4.1, "in"), (3.9, ""), (-3.9, "")])
def test_a_clubhead_far_in_or_out_does_not_meet_the_ball(out: float, way: str) -> None:
    swing = REPORT.swings[0]
    told = sentences.arc_sentence(at(swing, club_out_at_ball_cm=out, club_up_at_ball_cm=3.0, descent_deg=3.0))
    assert (f"A clubhead so far {way} does not meet the ball" in told) == bool(way)
    assert ("It would meet the ball above its middle: thin" in told) != bool(way), "it does not meet the ball"
    assert ("higher than the ball’s middle, which would be thin" in told) == bool(way), "but its height is told"
    over = sentences.arc_sentence(at(swing, club_out_at_ball_cm=out, club_up_at_ball_cm=6.0))
    assert "pass over the ball" in over and ("does not meet" in over) == bool(way)


@pytest.mark.parametrize(
    ("up", "before", "called"),
    [
        (-1.2, 15.8, "fat (common practice)"), (0.1, 3.0, "level with it"), (1.0, None, "a little high, toward thin"),
        (2.1, None, "a little high, toward thin"), (2.2, None, "thin (common practice)"), (4.4, None, "over the ball"),
    ],
)  # fmt: skip
@pytest.mark.parametrize(("out", "aside"), [(0.0, ""), (11.0, "too far out to meet it"), (-4.1, "too far in to")])
def test_beside_each_other_each_swing_is_called_by_its_height(
    up: float, before: float | None, called: str, out: float, aside: str
) -> None:
    sound = at(REPORT.swings[0], club_up_at_ball_cm=0.0, descent_deg=3.0).replaced(preset="A")
    swing = at(sound, club_up_at_ball_cm=up, club_out_at_ball_cm=out).replaced(preset="B", ground_before_ball_cm=before)
    told = sentences.beside_each_other([sound, swing])[1]
    assert "A is level with it; B is " + called in told
    assert aside in told and ("too far" in told) == bool(aside)


def mended(*pieces: tuple[float, float | None, float], up: float = 4.4, out: float = 11.9) -> str:
    """What is said of pieces ``(beyond centred, mends, club out then)`` of a club so far up and out."""
    swing = at(REPORT.swings[0], club_out_at_ball_cm=out, club_up_at_ball_cm=up)
    none = StrikeOutcome(**dict.fromkeys(StrikeOutcome.model_fields, 0.0))
    usual = swing.centred.replaced(club_up_at_ball_cm=0.0, club_out_at_ball_cm=0.0)
    told = [
        one.replaced(beyond_centred=off, mends=mends, then=none.replaced(club_out_at_ball_cm=there))
        for one, (off, mends, there) in zip(
            swing.pieces_at_impact, (*pieces, *[(0.0, None, 0.0)] * 8), strict=False
        )
    ]  # fmt: skip
    return mend(swing.replaced(pieces_at_impact=told, centred=usual, impact={}))


def test_what_leaves_the_club_beside_the_ball_is_no_mend() -> None:
    told = mended((10.0, -10.0, 4.1), (12.0, -8.0, 3.9), (-9.0, 7.0, -4.1))
    assert (
        "What alone would bring it to the ball’s height at impact: shoulder turn 8.0° more open (the club then 3.9"
        in told
    )
    assert told.count(" or ") == 0
    near = mended((10.0, -10.0, 3.5), (12.0, -8.0, 1.5), out=1.9)
    assert "shoulder turn 8.0°" in near and "hip turn 10.0° more open (" not in near, "nor what leaves it farther off"


def test_no_mend_is_a_new_fault() -> None:
    """It neither goes farther off, nor past the centred amount, nor makes another piece be off."""
    for off, mends, offered in (
        (5.0, -4.0, True), (5.0, -7.1, False), (5.0, 0.5, False), (-5.0, 6.9, True),
        (0.0, 1.9, True), (0.0, -2.1, False), (0.0, 9.7, False),
    ):  # fmt: skip
        told = mended((20.0, None, 0.0), (off, mends, 0.0))
        assert ("What alone" in told) == offered, (off, mends)
    first = mended((0.0, -1.9, 0.0), (5.0, -5.0, 2.0))
    assert "impact: shoulder turn 5.0° more open (the club then 2.0 cm farther out than the ball); or hip turn" in first


def test_what_is_off_together_brings_it_back_where_no_piece_does() -> None:
    told = mended((20.0, None, 0.0), (-6.0, 3.0, 8.0))
    assert told == (
        "No one piece alone brings it back to the ball without a new fault; what is off together does: "
        "hip turn 20.0° more open and shoulder turn 6.0° less open."
    )
    level = mended((20.0, None, 0.0), (-6.0, 3.0, 8.0), up=0.1)
    assert level.startswith("All that is off given back brings it to the ball: hip turn"), "alone was not looked for"
    assert mended((40.0, None, 0.0)) == "What is off given back brings it to the ball: hip turn 40.0° more open."
    assert mended((20.0, None, 0.0), up=0.1).startswith("What is off given back"), "level, but beside the ball"
    assert mended((20.0, None, 0.0), up=0.1, out=3.0) == ""


@pytest.mark.parametrize("name", ["stands-up", "stays-back", "hips-stay-square"])
def test_what_is_off_together_is_told_by_what_brings_the_club_back(name: str) -> None:
    """The amounts of the sentence, asked of the swing itself, bring its club to the ball."""
    setup = load(name)
    (told,) = (one for one in swing_of_preset(name).sentences if "off together does" in one or "All that" in one)
    told = told[max(told.find("All that is off"), told.find("what is off together")) :]
    key = {"hip turn": "hip_turn", "tilt": "tilt", "extension": "extension", "from the ball": "hips_toward_ball",
           "to the target": "sway"}  # fmt: skip
    way = {"more open": -1, "less to the trail side": 1, "more to the trail side": -1, "less": -1,
           "farther from the ball": -1, "nearer to the target": -1}  # fmt: skip
    parts = re.findall(r"(hip turn|tilt|extension|hips) (\d+\.\d)(?:°| cm) ([a-z ]+?)(?:,| and (?=hips)|\.$)", told)
    assert parts
    found = struck_preset(name)
    asked = {piece: found.swing.asked[piece][found.at_impact] for piece in key.values()}
    settings = []
    for piece, amount, words_ in parts:
        bare = key.get(piece) or key[" ".join(words_.split()[1:])]
        unit = 100.0 if bare in ("sway", "hips_toward_ball") else 180.0 / np.pi
        settings.append(f"impact.{bare}={float(asked[bare]) * unit + way[words_] * float(amount)}")
    back = WholeStrike.of_arc(striking_of(apply(setup, settings)).arc())
    assert abs(back.club_up_at_ball_cm) < 0.3 and abs(back.club_out_at_ball_cm) < 0.3, settings


def test_presets_are_given_no_fault_as_a_cure() -> None:
    told = {name: " ".join(swing_of_preset(name).sentences)
            for name in ("too-much-trail-tilt", "stands-up", "head-dips")}  # fmt: skip
    assert "hips 9.7 cm" not in told["too-much-trail-tilt"] and "extension 4.1" not in told["too-much-trail-tilt"]
    assert "What alone" not in told["stands-up"] and "hips 4.0 cm farther from the ball" in told["stands-up"]
    assert "It would pass over the ball" in told["stands-up"]
    assert "impact: extension 10.0° more. " in told["head-dips"] + " "


def test_where_the_wanted_head_takes_the_club_off_giving_back_is_not_said_to_bring_it_to_the_ball() -> None:
    swing = StruckSwing.of_swing(struck(apply(load("stands-up"), ["impact.head_up=-3"])))
    assert abs(swing.centred.club_up_at_ball_cm) > 4.0
    told = " ".join(swing.sentences)
    assert f"head takes it: {-swing.centred.club_up_at_ball_cm:.1f} cm below" in told and "together does" not in told


def test_heels_told_otherwise_are_said_to_be_in_both_swings() -> None:
    swing = REPORT.swings[0].replaced(impact={})
    for impact, says in (
        ({"trail_heel_rise_cm": 0.0}, "the trail heel 0.0 cm (usually 2.5 cm) off the ground, and so has the centred"),
        ({"lead_heel_rise_cm": 1.5}, "the lead heel 1.5 cm (usually 0.0 cm) off the ground, and so has the centred"),
        ({"trail_heel_rise_cm": 2.5, "lead_heel_rise_cm": 0.0}, ""),
    ):
        told = " ".join(sentences.sentences(swing.replaced(impact=impact)))
        assert says in told and ("heel" in told) == bool(says)
    other = swing.replaced(preset="B", impact={"trail_heel_rise_cm": 8.0})
    assert sentences.beside_each_other([swing.replaced(preset="A"), other])[-1] == (
        "Each is held against its own centred swing, with heels off the ground as told at impact: "
        "A trail heel 2.5 cm; B trail heel 8.0 cm."
    )
    assert not any("own centred" in one for one in sentences.beside_each_other([swing, swing]))


def test_the_rest_of_the_pieces_are_said_to_have_done_less() -> None:
    (told,) = (one for one in sentences.sentences(REPORT.swings[0]) if one.startswith("Of that"))
    assert told.endswith(" did less.")


@pytest.mark.parametrize("shown", [strike_table, strike_page])
def test_what_more_of_a_turn_means_at_impact_stands_with_the_table(shown: Any) -> None:
    assert "Less hip or shoulder turn is more open to the target" in " ".join(shown(REPORT).split())


def test_what_is_off_is_called_by_its_way_at_impact() -> None:
    """Tilt to the trail side is below nought, and so is an open hip: more and less of them go by where they lead."""
    told = {
        name: " ".join(sentences.sentences(swing_of_preset(name)))
        for name in ("too-much-trail-tilt", "hips-stay-square", "stays-back", "stands-up")
    }
    assert "tilt 10.0° more to the trail side than" in told["too-much-trail-tilt"]
    assert "height at impact: tilt 10.0° less to the trail side" in told["too-much-trail-tilt"]
    assert "hip turn 30.0° less open than" in told["hips-stay-square"]
    assert re.search(
        r"Of that, hip turn .*; extension \d\.\d° less than in the centred swing, as steady then has it to hold the",
        told["hips-stay-square"],
    )  # The cause comes first, although what follows it moves the arc farther.
    assert "hips 8.0 cm farther from the target than" in told["stays-back"]
    assert "hips 4.0 cm nearer to the ball than" in told["stands-up"]


def test_a_head_that_is_wanted_elsewhere_has_its_price_told() -> None:
    setup = apply(load("centred"), ["impact.head_up=-4"])
    told = StruckSwing.of_swing(struck(setup))
    usual = swing_of_preset("centred")
    assert usual.from_address is None and told.from_address == usual.centred
    down = -told.centred.club_up_at_ball_cm
    assert down > 5.0, "the club goes down with the head"
    assert f"the head is wanted elsewhere takes the club {down:.1f} cm down at the ball" in " ".join(told.sentences)
    assert "4.0 cm lower than at address. At impact it is" in sentences.held_words(told)


def test_hands_that_no_arm_and_club_bring_so_far_ahead_are_told_of() -> None:
    found = struck(apply(load("centred"), ["impact.hands_ahead=25"]))
    told = StruckSwing.of_swing(found)
    assert told.strike.club_up_at_ball_cm == pytest.approx(0.0, abs=1e-4), "the club meets the ball all the same"
    most = f"they are {100.0 * found.passed.hands_ahead:.1f} cm"
    assert found.passed.hands_ahead < 0.2 and any(most in line for line in sentences.warnings(found, told))
    assert struck_preset("centred").passed.hands_ahead == 0.06


def test_what_is_hardly_a_swing_is_not_to_be_read() -> None:
    found = struck_preset("centred")
    swing = StruckSwing.of_swing(found)
    for descent, hardly in ((50.0, True), (40.0, False)):
        told = sentences.warnings(found, at(swing, descent_deg=descent))
        assert any("hardly a swing" in line for line in told) == hardly


@pytest.mark.parametrize("turn", [200, -90])
def test_a_swing_that_does_not_pass_the_ball_has_no_strike(turn: int) -> None:
    with pytest.raises(TurnstillError, match="does not pass the ball; ask for less"):
        struck(apply(load("centred"), [f"impact.shoulder_turn={turn}"]))


def test_where_some_of_the_swings_do_not_pass_the_ball_a_share_is_a_dash(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "120")
    swing = REPORT.swings[0]
    none = StrikePart.of(np.full(6, np.nan))
    swing = swing.replaced(pieces_at_impact=[one.replaced(share=none) for one in swing.pieces_at_impact])
    (tilt,) = (line for line in strike_table(REPORT.replaced(swings=[swing])).splitlines() if line.startswith(" tilt"))
    assert tilt.split()[-6:] == ["–"] * 6
    assert "No piece is off at impact by enough" in " ".join(sentences.sentences(swing.replaced(from_address=None)))


def test_two_strikes_that_are_the_same_are_said_to_be() -> None:
    swing = REPORT.swings[0]
    again = swing.replaced(preset="centred (2)")
    same, called = sentences.beside_each_other([swing, again])
    assert same == f"{swing.preset} and centred (2) have the same strike." and called.startswith("At the ball both are")
    other, _ = sentences.beside_each_other([swing, at(again, club_up_at_ball_cm=0.0)])
    assert "has the club" in other


def test_in_inches_pieces_and_the_neck_are_counted_by_the_inch(monkeypatch: pytest.MonkeyPatch) -> None:
    """What an inch does to a length, in inches, is what a centimetre does in centimetres; to an angle 2.54 times it."""
    monkeypatch.setenv("COLUMNS", "140")
    swing = REPORT.swings[0]
    sway = next(one for one in swing.pieces_at_impact if one.piece == "sway").one_more
    (line,) = (one for one in strike_table(REPORT, inches=True).splitlines() if "1 in more sway" in one)
    _, _, more = tables(strike_page(REPORT, inches=True))
    keys = list(StrikeOutcome.model_fields)
    for cell, key in zip(line.split()[-6:], keys, strict=True):
        assert number(cell) == pytest.approx(getattr(sway, key) * (2.54 if key.endswith("_deg") else 1.0), abs=0.0051)
    (up,) = (one.adds for one in swing.neck if one.toward == "up")
    shown = {heading: cell for (row, heading), cell in more.items() if row == "1 in of the neck’s base, up"}
    assert sorted(map(number, shown.values())) == pytest.approx(
        sorted(getattr(up, key) * (2.54 if key.endswith("_deg") else 1.0) for key in keys), abs=0.0051
    )


def test_what_is_steady_at_the_top_was_not_set_off_there() -> None:
    for settings, off in (
        (["hip_turn=30"], ["hip_turn"]),
        (["tilt=steady+6"], ["tilt"]),
        (["extension=10"], ["extension"]),
    ):
        # What is off at the top does nothing at impact, so there it is the centred golfer's strike.
        found = replace(struck_preset("centred"), performed=perform(apply(load("centred"), settings), FEWEST_FRAMES))
        assert StruckSwing.of_swing(found).given_back == off


def test_a_club_in_the_ground_before_the_ball_is_fat() -> None:
    swing = at(REPORT.swings[0], club_up_at_ball_cm=-2.0).replaced(ground_before_ball_cm=11.0)
    assert "comes to the ground 11.0 cm before the ball: fat" in " ".join(sentences.sentences(swing))
    level = at(REPORT.swings[0], club_up_at_ball_cm=0.0)
    assert "fat" not in " ".join(sentences.sentences(level)) and "mend" not in " ".join(sentences.sentences(level))
