"""What a feel of the way down is said to look like is what the figure does at impact, everything else held."""

from __future__ import annotations

import numpy as np
import pytest
from average_man import MAN
from diagnosis_reports import PIECES

from turnstill.model.golfer.address import Address
from turnstill.model.golfer.impact import Impact, centred_at_impact
from turnstill.model.golfer.pieces import Pieces
from turnstill.model.swing.simulate import simulate
from turnstill.scenes.diagnose.moments import IMPACT, TOP
from turnstill.scenes.words.at_impact import CAUTION, MORE_LESS
from turnstill.scenes.words.feels import FEELS
from turnstill.scenes.words.feels_at_impact import FEELS_AT_IMPACT

UP, TOWARD_TARGET, TOWARD_BALL = 2, 1, 0
AMOUNT = {"deg": np.radians(8.0), "cm": 0.03}


@pytest.fixture(scope="module")
def at_impact():
    """The centred golfer at impact with less, then more, of each piece, tilt and extension in degrees kept."""
    centred = simulate(MAN, Address(), Pieces(), frames=2, impact=Impact())
    trunk = {name: float(centred.asked[name][centred.at_impact]) for name in ("tilt", "extension")}
    plain = centred_at_impact().replace(**trunk)
    sign = np.array([-1.0, 1.0])[:, None]
    changed = {
        piece: float(getattr(plain, piece)) + sign * AMOUNT[unit] * (np.arange(len(PIECES)) == k)
        for k, (piece, (_, unit)) in enumerate(PIECES.items())
    }
    return simulate(MAN, Address(), Pieces(), frames=2, impact=Impact(plain.replace(**changed)))


def grew(swing, piece, read):
    """How much what ``read`` gives of a moment grows from less to more of a piece."""
    less, more = read(swing, (..., swing.at_impact))[:, list(PIECES).index(piece)]
    return float(more - less)


def joint(name, axis):
    return lambda swing, moment: swing.skeleton.joints[name][(*moment, axis)]


@pytest.mark.parametrize(
    ("piece", "read", "grows", "more", "less"),
    [
        # More hip or shoulder turn is less open: what is in front goes less toward the target.
        ("hip_turn", lambda s, m: s.skeleton.frames["pelvis"][(*m, TOWARD_TARGET, 0)], False,
         "stays more toward the camera", "turns further toward the target"),
        ("shoulder_turn", lambda s, m: s.skeleton.frames["ribcage"][(*m, TOWARD_TARGET, 0)], False,
         "stays more toward the camera", "turns further toward the target"),
        ("tilt", joint("shoulder_trail", UP), True, "trail shoulder is higher", "trail shoulder is lower"),
        ("tilt", joint("shoulder_lead", UP), False, "lead shoulder lower", "lead shoulder higher"),
        ("extension", joint("sternum", UP), True, "breastbone and head are higher", "breastbone and head are lower"),
        ("extension", joint("head", UP), True, "breastbone and head are higher", "breastbone and head are lower"),
        ("lead_flex_change", joint("hip_lead", UP), False, "lead hip lower", "lead hip higher"),
        ("trail_flex_change", joint("hip_trail", UP), False, "trail hip lower", "trail hip higher"),
        ("sway", joint("pelvis", TOWARD_TARGET), False, "less far over the lead foot", "further over the lead foot"),
    ],
)  # fmt: skip
def test_a_feel_looks_as_it_is_told_face_on(at_impact, piece, read, grows, more, less) -> None:
    assert (grew(at_impact, piece, read) > 0.0) == grows
    told_more, told_less = FEELS_AT_IMPACT[piece]
    assert more in told_more.face_on and less in told_less.face_on


@pytest.mark.parametrize(
    ("piece", "read", "grows", "more", "less"),
    [
        ("extension", joint("sternum", TOWARD_BALL), False, "farther from the ball", "over the ball"),
        ("hips_toward_ball", joint("pelvis", TOWARD_BALL), True, "does not back away from it", "stays on the line"),
        ("tilt", lambda s, m: abs(s.measures.shoulder_plane[m]), False, "less steeply", "more steeply"),
    ],
)
def test_a_feel_looks_as_it_is_told_down_the_line(at_impact, piece, read, grows, more, less) -> None:
    assert (grew(at_impact, piece, read) > 0.0) == grows
    told_more, told_less = FEELS_AT_IMPACT[piece]
    assert more in told_more.down_the_line and less in told_less.down_the_line


def test_every_piece_has_its_words_at_impact() -> None:
    assert set(FEELS_AT_IMPACT) == set(MORE_LESS) == set(PIECES)
    for piece, both in FEELS_AT_IMPACT.items():
        for feel in both:
            assert feel.face_on.startswith(("the ", "hardly to be seen"))
            assert feel.down_the_line.startswith(("the ", "hardly to be seen", "less of", "more of"))
            assert feel.do.split()[0] in {"let", "keep", "turn", "stop", "stay"}
            assert feel.what.split()[0] in {"more", "less"}
        # Which way is more: a trunk more to the trail side is less tilt, a hip less open is more turn.
        assert (both == FEELS[piece]) == (piece == "hips_toward_ball")
    assert "more" in FEELS_AT_IMPACT["tilt"][1].what and "trail side" in FEELS_AT_IMPACT["tilt"][1].what
    assert "low back" in CAUTION and "clinician" in CAUTION


def test_no_foot_is_told_to_be_flat_that_is_not() -> None:
    swing = simulate(MAN, Address(), Pieces(), frames=2, impact=Impact())
    risen = {
        (side, moment): float(np.ravel(heights[..., moment] - heights[..., 0])[0])
        for side in ("lead", "trail")
        for heights in (swing.skeleton.joints[f"heel_{side}"][..., UP],)
        for moment in (swing.at_impact, swing.at_top)
    }
    assert risen["trail", swing.at_impact] > 0.01
    assert [risen[who] for who in risen if who != ("trail", swing.at_impact)] == pytest.approx([0.0] * 3, abs=1e-6)
    for amount in (3.0, -3.0):
        assert "keep the feet flat" in TOP.hurts("sway", amount)
        assert "keep the lead foot flat, let the trail heel come up" in IMPACT.hurts("sway", amount)
        assert not any("feet flat" in IMPACT.hurts(piece, amount) for piece in PIECES)
        # The lead knee straightens on the way down, and the lead arm is no longer across the chest.
        assert "let it flex" in TOP.hurts("lead_flex_change", amount)
        assert "let it flex" not in IMPACT.hurts("lead_flex_change", amount)
        assert "snap it straight" in IMPACT.hurts("lead_flex_change", amount)
        assert "lead shoulder" not in IMPACT.hurts("shoulder_turn", amount)
