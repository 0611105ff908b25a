from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np

from turnstill.model.questions.available import most_hip_turn
from turnstill.scenes.compare.causes import causes, head_at_top
from turnstill.scenes.compare.words import sentences
from turnstill.scenes.setups.perform import Performed
from turnstill.scenes.words.cautions import warnings
from turnstill.scenes.words.pieces import head_words

Perform = Callable[..., Performed]
NAMES = ("A", "B")


def test_words_follow_the_numbers() -> None:
    assert (
        head_words(np.array([3.2, 1.84, -3.9]))
        == "3.9 cm lower, 3.2 cm nearer to the ball and 1.8 cm nearer to the target"
    )
    assert head_words(np.array([-1.0, 0.1, 0.0])) == "1.0 cm farther from the ball"
    assert head_words(np.array([-1.0, 0.1, 0.0]), axes=(1, 2)) == "within 0.3 cm of its place"
    assert head_words(np.array([0.0, -2.54, 0.0]), inches=True) == "1.00 in farther from the target"


def test_directions_come_from_the_swing_not_from_its_name(performed: Perform) -> None:
    centred, more, less = (performed(name) for name in ("centred", "too-much-tilt", "too-little-tilt"))
    # The same sentences whatever the setups are called.
    disguised = replace(less, setup=less.setup.renamed("too-much-tilt"))
    assert sentences(centred, disguised, NAMES) == sentences(centred, less, NAMES)
    down, up = sentences(centred, more, NAMES), sentences(centred, less, NAMES)
    assert "lower" in down[0] and "nearer to the ball" in down[0] and "10° more than would keep" in down[1]
    assert "higher" in up[0] and "10° less than would keep" in up[1]
    assert all("tilt" in lines[1] for lines in (down, up))


def test_the_cause_is_what_was_changed(performed: Perform) -> None:
    centred = performed("centred")
    for settings, name in (
        (["tilt=steady+8"], "tilt"),
        (["extension=steady-8"], "extension"),
        (["sway=4", "tilt=steady+1", "extension=steady-4"], "sway"),
        (["stature=150"], "the body"),
    ):
        later = performed("centred", *settings)
        found = causes(centred, later)
        assert name in [cause.name for cause in found]
        for cause in found:
            shift = np.linalg.norm(head_at_top(later.swing) - cause.left)
            assert np.isclose(shift, cause.accounts_for)
    tilt = causes(centred, performed("centred", "tilt=steady+8"))
    assert len(tilt) == 1
    np.testing.assert_allclose(tilt[0].left, head_at_top(centred.swing), atol=1e-6)


def test_swings_alike_are_said_to_be_alike(performed: Perform) -> None:
    lines = sentences(performed("centred"), performed("centred"), NAMES)
    assert len(lines) == 1 and "nothing differs" in lines[0]


def test_a_file_that_does_not_extend_anything_is_compared_by_what_acts(
    performed: Perform, write: Callable[[str, str], str]
) -> None:
    plain = performed(write("plain.toml", "[body]\nstature_cm = 175\n"))
    tilted = performed(write("tilted.toml", "[body]\nstature_cm = 175\n[pieces]\ntilt_deg = 50\n"))
    for first, later in ((plain, tilted), (tilted, plain)):
        assert [cause.name for cause in causes(first, later)] == ["tilt"]
    # Where a file says nothing the centred preset's amounts act, and the golfer of the preset is 175 cm tall.
    assert causes(performed("centred"), plain) == []


def test_what_is_put_back_is_the_amount_that_was_tried(performed: Perform) -> None:
    centred, sway = performed("centred"), performed("sway")
    cause = next(cause for cause in causes(centred, sway) if cause.name == "extension")
    steady = np.degrees(sway.swing.steady["extension"][-1])
    assert cause.amounts is not None and np.isclose(cause.amounts[2], steady, atol=0.05)
    assert abs(steady - cause.amounts[1]) > 1  # Not the same as what the first swing has.
    assert f"With {steady:.1f}° instead" in sentences(centred, sway, NAMES)[1]


def test_a_stance_that_moves_no_head_is_told_by_the_turn_it_leaves(performed: Perform) -> None:
    centred, straight = performed("centred"), performed("straight-toes")
    text = " ".join(sentences(centred, straight, NAMES))
    assert "end in the same place" in text
    turns = [
        np.degrees(most_hip_turn(side.swing.body, side.swing.address, side.swing.pieces).hip_turn)
        for side in (centred, straight)
    ]
    assert turns[0] > turns[1] + 5
    assert f"at most {turns[0]:.0f}° in A and {turns[1]:.0f}° in B" in text
    assert "could turn at most" not in " ".join(sentences(centred, performed("too-much-tilt"), NAMES))


def test_inches_go_all_the_way(performed: Perform) -> None:
    pinched, braced = performed("pinched-toes", "sway=3"), performed("braced-knees", "shoulder_turn=110")
    text = " ".join(
        [*sentences(performed("centred"), pinched, NAMES, inches=True), *warnings(braced.swing, inches=True)]
    )
    assert " in of sway" in text and "within 0.08 in in this turn" in text and " cm" not in text
    assert "within 0.2 cm in this turn" in " ".join(warnings(braced.swing))


def test_what_the_body_did_not_allow_is_said(performed: Perform) -> None:
    later = performed("pinched-toes")
    text = " ".join(sentences(performed("centred"), later, NAMES))
    turn = np.degrees(later.swing.achieved["hip_turn"][-1])
    assert f"{turn:.1f}° of hip turn where 45.0° were asked" in text
