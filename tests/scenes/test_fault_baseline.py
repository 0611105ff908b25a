"""A classifier of keypoints alone tells a recipe's faults better than chance, and not for certain."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from fault_baseline import JOINTS, TEST, TRAIN, VALIDATION, Filmed, classified, features, filmed, scored

from turnstill.model.golfer.pieces import DEPARTURES
from turnstill.scenes.dataset.fault_scoring.answers import read_answers
from turnstill.scenes.dataset.fault_scoring.judged import Judged
from turnstill.scenes.dataset.fault_scoring.report import FaultsReport
from turnstill.scenes.dataset.fault_scoring.swings import Swings
from turnstill.scenes.dataset.plan.loading import load_recipe


def test_what_it_sees_depends_on_no_camera_size_place_or_hand() -> None:
    rng = np.random.default_rng(1)
    pixels = rng.uniform(0, 400, (5, 2, 2, len(JOINTS), 2))
    left = np.array([False, True, False, True, True])
    seen = features(pixels, left)
    assert seen.shape == (5, 2 * 2 * 13 * 2)
    moved = 3.7 * pixels + rng.uniform(-50, 50, (5, 2, 1, 1, 2))
    np.testing.assert_allclose(features(moved, left), seen, atol=1e-9)
    np.testing.assert_allclose(features(pixels * (-1, 1) + (640, 0), ~left), seen, atol=1e-9)
    # A nose half a torso higher at the top of the second view is that, and changes nothing else.
    torso = pixels[0, 1, 0]
    lead_shoulder, trail_shoulder, lead_hip, trail_hip = (
        torso[JOINTS.index(name)] for name in ("shoulder_lead", "shoulder_trail", "hip_lead", "hip_trail")
    )
    length = np.linalg.norm(lead_shoulder + trail_shoulder - lead_hip - trail_hip) / 2
    pixels[0, 1, 1, JOINTS.index("nose"), 1] -= 0.5 * length
    change = (features(pixels, left) - seen)[0].reshape(2, 2, 13, 2)
    assert change[1, 1, 0, 1] == pytest.approx(0.5) and np.count_nonzero(np.abs(change) > 1e-9) == 1


def sketched(rng: np.random.Generator) -> Filmed:
    """Swings of 1000 golfers as dots: each piece at fault moves a joint of its own at the top, up or down."""
    faulty = np.zeros((1000, len(DEPARTURES)), bool)
    for row in faulty:
        row[rng.permutation(len(DEPARTURES))[: rng.integers(3)]] = True
    way = np.where(rng.random(faulty.shape) < 0.5, 1.0, -1.0)
    figure = rng.uniform(0, 300, (len(JOINTS), 2))
    for name in ("shoulder", "hip"):  # A torso of 100 pixels.
        for side in ("lead", "trail"):
            figure[JOINTS.index(f"{name}_{side}")] = (50, 100 if name == "shoulder" else 200)
    pixels = figure + rng.normal(size=(1000, 2, 2, len(JOINTS), 2))
    pixels[:, :, 1, : len(DEPARTURES), 1] += 10.0 * (faulty * way)[:, None]
    rows = [(f"s{k:05d}-w00", k, [DEPARTURES[j] for j in np.nonzero(row)[0]]) for k, row in enumerate(faulty)]
    split = np.array([TRAIN] * 700 + [VALIDATION] * 100 + [TEST] * 200)
    return Filmed(Swings.of(rows), way > 0, split, pixels, np.zeros(1000, bool))


@pytest.mark.parametrize("of_one", [True, False])
def test_it_learns_what_shows_and_nothing_where_nothing_shows(of_one: bool) -> None:
    shown = sketched(np.random.default_rng(5))
    report = scored(shown, of_one=of_one)
    hit = report.accuracy
    assert hit.least_share and hit.fixed_share and hit.least_share > hit.fixed_share + 0.3
    assert report.log_loss and report.log_loss_of_shares and report.log_loss < 0.6 * report.log_loss_of_shares
    # The same labels beside other golfers' pictures: what it says then is no better than the shares.
    others = np.concatenate([np.roll(np.nonzero(shown.split == name)[0], 7) for name in (TRAIN, VALIDATION, TEST)])
    blind = scored(replace(shown, pixels=shown.pixels[others]), of_one=of_one)
    assert blind.accuracy.least_share is not None and blind.accuracy.least_share <= (blind.accuracy.fixed_share or 0.0)
    assert blind.log_loss and blind.log_loss > 0.95 * report.log_loss_of_shares


@pytest.fixture(scope="module")
def plain() -> Filmed:
    return filmed(load_recipe("plain").model_copy(update={"subjects": 600}))


@pytest.mark.heavy
@pytest.mark.parametrize("of_one", [True, False])
def test_exact_keypoints_tell_faults_above_chance_and_below_certainty(plain: Filmed, of_one: bool) -> None:
    report = scored(plain, of_one=of_one)
    hit = report.accuracy
    assert hit.swings > 150 and hit.fixed == "none" and hit.least_share and hit.fixed_share and hit.most_share
    # The interval alone parts it from chance by a third of all swings and more; and some are still wrong.
    assert hit.least_share > hit.fixed_share + 0.33 and hit.right < hit.swings and hit.most_share < 1.0
    assert report.log_loss and report.log_loss_of_shares and 0.0 < report.log_loss < 0.2 * report.log_loss_of_shares
    every = report.reliability[0].calibration_error
    assert every is not None and every < 0.02


@pytest.mark.heavy
def test_too_little_and_too_much_want_classes_of_their_own(plain: Filmed) -> None:
    """They lie on either side of a swing without fault, so one straight boundary cannot part both from it."""
    apart, as_one = scored(plain, of_one=True), scored(plain, of_one=True, ways_apart=False)
    assert apart.accuracy.least_share and as_one.accuracy.most_share
    assert apart.accuracy.least_share > as_one.accuracy.most_share


@pytest.mark.heavy
def test_blurred_keypoints_tell_less_and_of_hip_turn_least(plain: Filmed) -> None:
    """Each joint off by a twentieth of the torso: some four pixels in a picture of 640 by 480."""
    exact = scored(plain, of_one=False)
    blurred = scored(plain.blurred(0.05, np.random.default_rng(0)), of_one=False)
    hit = blurred.accuracy
    assert hit.least_share and hit.fixed_share and hit.most_share and exact.accuracy.least_share
    assert hit.fixed_share < hit.least_share and hit.most_share < exact.accuracy.least_share
    area = {one.fault: one.auc_share for one in blurred.by_fault}
    turns = area["hip_turn"], area["shoulder_turn"], area["hips_toward_ball"]
    assert turns[0] is not None and turns[1] is not None and turns[2] is not None
    assert turns[0] < 0.75 < 0.9 < min(turns[1:])


@pytest.mark.heavy
def test_its_table_of_answers_is_scored_as_it_is(plain: Filmed, tmp_path: Path) -> None:
    test, answers = classified(plain, of_one=False)
    told = zip(test.swings.names, answers.said.tolist(), strict=True)
    rows = [",".join((name, *map(repr, row))) for name, row in told]
    file = tmp_path / "said.csv"
    file.write_text("\n".join([",".join(("swing", *DEPARTURES)), *reversed(rows)]), "utf-8")
    read = read_answers(str(file), test.swings.names, lambda _: False, TEST)
    assert FaultsReport.of(Judged(test.swings, read), "baseline", TEST) == scored(plain, of_one=False)
