"""Why a head goes less far than hips that sway: what is said, against the model with knees held and let go."""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np
import pytest
from scipy.optimize import brentq

from turnstill.model import Address, Body, Pieces
from turnstill.model.swing.simulate import simulate
from turnstill.model.swing.swing import Swing
from turnstill.scenes.experiment.report import ExperimentReport
from turnstill.scenes.experiment.tried import try_out
from turnstill.scenes.setups.presets import load
from turnstill.scenes.setups.settings import apply

DOCS = Path(__file__).parents[2] / "docs"
SWAY_CM = 5.0


def top(swing: Swing, name: str) -> float:
    return float(np.degrees(swing.achieved[name][-1]))


def trunk_stays(sway_cm: float, knees_give: float = 0.0) -> Swing:
    """The centred pivot with sway, tilt and extension being the degrees that hold its head, knees changing less."""
    centred = simulate(Body.from_stature(), Address(), Pieces(), frames=2)
    held = {name: float(centred.asked[name][-1]) for name in ("tilt", "extension")}
    give = np.radians(knees_give)
    usual = Pieces()
    return simulate(
        Body.from_stature(), Address(),
        Pieces(
            sway=sway_cm / 100, **held,
            lead_flex_change=usual.lead_flex_change - give, trail_flex_change=usual.trail_flex_change + give,
        ),
        frames=2,
    )  # fmt: skip


@pytest.fixture(scope="module")
def alone() -> tuple[float, float, float]:
    """How far hips and head go away from the target, cm, and the belt line tips, degrees, for ``SWAY_CM``."""
    none, much = trunk_stays(0.0), trunk_stays(SWAY_CM)
    hips, head = (
        float(a[-1, 1] - b[-1, 1]) * 100
        for a, b in (
            (none.measures.pelvis_moved, much.measures.pelvis_moved),
            (none.measures.head_moved, much.measures.head_moved),
        )
    )
    return hips, head, top(much, "belt_line_tilt") - top(none, "belt_line_tilt")


def test_the_head_goes_as_far_as_the_hips_where_the_belt_line_stays() -> None:
    """The explanation itself: with the knees let go until the belt line tips no more, nothing is lost on the way up."""
    none = trunk_stays(0.0)
    level = top(none, "belt_line_tilt")
    give = brentq(lambda knees: top(trunk_stays(SWAY_CM, knees), "belt_line_tilt") - level, 0.0, 12.0, xtol=1e-6)
    freed = trunk_stays(SWAY_CM, give)
    assert give > 3.0 and freed.met[-1]
    moved = (none.measures.head_moved - freed.measures.head_moved)[-1, 1] * 100
    assert moved == pytest.approx(SWAY_CM, abs=0.01)


def test_the_report_is_what_the_sway_alone_does(alone: tuple[float, float, float]) -> None:
    hips, head, tips = alone
    report = ExperimentReport.of(try_out(load("centred"), "sway", "0", "5", 2))
    assert report.sway_alone is not None
    assert report.sway_alone.hips_away_from_target_cm == pytest.approx(hips, abs=1e-4)
    assert report.sway_alone.head_away_from_target_cm == pytest.approx(head, abs=1e-4)
    assert report.sway_alone.belt_line_tilt_deg == pytest.approx(tips, abs=1e-4)
    said = " ".join(report.sentences)
    assert (
        f"Sway alone (everything else as it was, tilt and extension in degrees included) takes the head {head:.1f} cm "
        f"away from the target while the hips go {hips:.1f} cm, {head / hips:.1f} cm for each centimetre; in these "
        "steps tilt and extension make up for it."
    ) in said
    assert f"tips the belt line {tips:.1f}° lead side down, and the lower spine tips with it, toward the target" in said
    inches = " ".join(ExperimentReport.of(try_out(load("centred"), "sway", "0", "5", 2), inches=True).sentences)
    assert f"the head {head / 2.54:.2f} in away from the target while the hips go {hips / 2.54:.2f} in" in inches
    assert f"{head / hips:.1f} in for each inch" in inches


def test_the_other_way_is_said_the_other_way(alone: tuple[float, float, float]) -> None:
    hips, head, tips = alone
    report = ExperimentReport.of(try_out(apply(load("centred"), ["sway=0"]), "sway", "5", "0", 2))
    assert report.sway_alone is not None
    assert report.sway_alone.hips_away_from_target_cm == pytest.approx(-hips, abs=1e-4)
    said = " ".join(report.sentences)
    assert f"takes the head {head:.1f} cm toward the target while the hips go {hips:.1f} cm" in said
    assert (
        f"tips the belt line {tips:.1f}° lead side up, and the lower spine tips with it, away from the target" in said
    )


def test_a_trunk_set_in_degrees_makes_up_for_nothing() -> None:
    report = ExperimentReport.of(try_out(apply(load("centred"), ["tilt=37", "extension=29"]), "sway", "0", "5", 2))
    assert report.sway_alone is not None and "make up for it" not in " ".join(report.sentences)
    away = report.steps[0].head_toward_target_cm - report.steps[1].head_toward_target_cm
    assert report.sway_alone.head_away_from_target_cm == pytest.approx(away, abs=1e-4)


def test_nothing_is_said_where_the_body_cannot_or_something_else_is_tried() -> None:
    assert ExperimentReport.of(try_out(load("centred"), "tilt", "30", "40", 2)).sway_alone is None
    far = ExperimentReport.of(try_out(load("centred"), "sway", "0", "30", 2))
    assert not far.steps[1].met and far.sway_alone is None


def test_the_guides_numbers_of_sway_are_the_models(alone: tuple[float, float, float]) -> None:
    hips, head, tips = alone
    golfer, coach = (" ".join((DOCS / name).read_text(encoding="utf-8").split()) for name in ("golfer.md", "coach.md"))
    (cm, away, each) = re.findall(
        r"(\d) cm of it take the head (\S+) cm from the target, (\S+) cm for each centimetre", golfer
    )[0]
    assert float(cm) == SWAY_CM
    assert float(away) == pytest.approx(head, abs=0.051) and float(each) == pytest.approx(head / hips, abs=0.051)
    (degrees,) = re.findall(r"belt line, (\S+)° lead side down for each centimetre", golfer)
    assert float(degrees) == pytest.approx(tips / hips, abs=0.051)
    (each,) = re.findall(r"hips that sway, (\S+) cm for each centimetre", coach)
    assert float(each) == pytest.approx(head / hips, abs=0.051)
    (off, under) = re.findall(r"head that is (\d) cm off may sit on hips that are (\d) cm off", coach)[0]
    assert float(off) == pytest.approx(float(under) * head / hips, abs=0.5)
