from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np
from compare_pages import comparison_page

from turnstill.model.questions.available import most_hip_turn
from turnstill.scenes.compare.causes import causes, head_at_top
from turnstill.scenes.compare.hip_room import HipRoomReport
from turnstill.scenes.compare.words import matters_to_hips, sentences
from turnstill.scenes.setups.perform import Performed
from turnstill.scenes.simulate.report import SwingReport
from turnstill.scenes.words.cautions import warnings

Perform = Callable[..., Performed]
NAMES = ("A", "B")


def told(first: Performed, later: Performed, inches: bool = False) -> list[str]:
    found = causes(first, later)
    rooms = []
    if matters_to_hips(found):
        known = [HipRoomReport.of(side) for side in (first, later)]
        rooms = [room.replaced(swing=name) for room, name in zip(known, NAMES, strict=True) if room]
    return sentences(first, later, NAMES, found, rooms, inches)


def test_directions_come_from_the_swing_not_from_its_name(performed: Perform) -> None:
    centred, more, less = (performed(name) for name in ("centred", "too-much-tilt", "too-little-tilt"))
    # The same sentences whatever the setups are called.
    disguised = replace(less, setup=less.setup.renamed("too-much-tilt"))
    assert told(centred, disguised) == told(centred, less)
    down, up = told(centred, more), told(centred, less)
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
    assert f"With {steady:.1f}° instead" in told(centred, sway)[1]


def test_a_stance_that_moves_no_head_is_told_by_the_turn_it_leaves(performed: Perform) -> None:
    centred, straight = performed("centred"), performed("straight-toes")
    lines = told(centred, straight)
    # What differs leads; the heads, which do not, follow.
    assert "could turn at most" in lines[0] and "end in the same place" in lines[2]
    turns = [
        np.degrees(most_hip_turn(side.swing.body, side.swing.address, side.swing.pieces).hip_turn)
        for side in (centred, straight)
    ]
    assert turns[0] > turns[1] + 5
    assert f"at most {turns[0]:.0f}° in A and {turns[1]:.0f}° in B" in lines[0]
    assert "could turn at most" not in " ".join(told(centred, performed("too-much-tilt")))


def test_inches_go_all_the_way(performed: Perform) -> None:
    pinched = performed("pinched-toes", "sway=3")
    text = " ".join([*told(performed("centred"), pinched, inches=True), *warnings(pinched.swing, inches=True)])
    assert " in of sway" in text and " cm" not in text


def test_what_the_body_did_not_allow_is_said(performed: Perform) -> None:
    later = performed("pinched-toes")
    text = " ".join(told(performed("centred"), later))
    turn = np.degrees(later.swing.achieved["hip_turn"][-1])
    assert f"{turn:.1f}° of hip turn where 45.0° were asked" in text


def test_what_changes_nothing_is_said_in_one_line(performed: Perform) -> None:
    lines = told(performed("centred"), performed("centred", "lead_flare=21"))
    assert len(lines) == 1 and "lead flare is 21.0°" in lines[0].replace("Lead", "lead")
    assert "neither the head nor the trunk's inclination" in lines[0] and "nor the hip turn there is" in lines[0]


def test_the_trunk_stays_when_something_is_put_back(performed: Perform) -> None:
    """Steady tilt and extension keep the degrees they came to, in the swing that is tried as in the words."""
    centred, braced = performed("centred"), performed("braced-knees")
    cause = next(one for one in causes(centred, braced) if one.name == "lead flex change")
    tilt, extension = (float(np.degrees(braced.swing.asked[piece][-1])) for piece in ("tilt", "extension"))
    tried = performed("braced-knees", "lead_flex_change=15", f"tilt={tilt!r}", f"extension={extension!r}", frames=2)
    np.testing.assert_allclose(cause.left, head_at_top(tried.swing), atol=1e-6)
    assert "everything else as it was, tilt and extension in degrees included" in told(centred, braced)[1]


def test_summary_and_limits_say_the_same_of_what_stops_the_hips(performed: Perform) -> None:
    """What would stop more hip turn is no contradiction to nothing that was asked being stopped."""
    centred, straight = performed("centred"), performed("straight-toes")
    rooms = [HipRoomReport.of(side) for side in (centred, straight)]
    assert all(room and room.stopped_by for room in rooms)
    reports = [SwingReport.of(side) for side in (centred, straight)]
    html = comparison_page(reports, [["x"]], [], [room for room in rooms if room])
    limits = html.split("What was limited by what")[1].split("</section>")[0]
    for room in rooms:
        assert room and f"{room.stops} would stop the hips at {room.most_hip_turn_deg:.0f}°" in limits
    assert "Asked for more hip turn" in limits
