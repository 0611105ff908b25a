"""Scores of a fault classifier: by hand, against an outside library, and each number where its label says."""

from __future__ import annotations

import math

import lxml.html
import numpy as np
import pytest
from distinct import filled
from scipy.stats import binomtest
from scipy.stats import t as t_of
from shown import tables
from sklearn import metrics

from turnstill.model.golfer.pieces import DEPARTURES
from turnstill.scenes.dataset.fault_scoring import shown as fault_tables
from turnstill.scenes.dataset.fault_scoring.answers import Answers
from turnstill.scenes.dataset.fault_scoring.interval import interval, wilson
from turnstill.scenes.dataset.fault_scoring.judged import Judged
from turnstill.scenes.dataset.fault_scoring.parts import ConfusionRow
from turnstill.scenes.dataset.fault_scoring.report import FaultsReport
from turnstill.scenes.dataset.fault_scoring.swings import OUTCOMES, Swings
from turnstill.scenes.dataset.fault_scoring.words import fault_words
from turnstill.scenes.dataset.fault_scoring.work import faults_page
from turnstill.scenes.dataset.scoring.page import page
from turnstill.scenes.dataset.scoring.table import table

LOSS_OF_0 = -math.log(1e-6)


def of(faults: list[list[str]], said: list[dict[str, float] | None], *, columns: tuple[str, ...]) -> FaultsReport:
    """The report of swings, a golfer each, whose answers say so much of some columns and nothing of the others."""
    swings = Swings.of([(f"s{k:05d}-w00", k, has) for k, has in enumerate(faults)])
    rows = [[np.nan] * len(columns) if one is None else [one.get(name, 0.0) for name in columns] for one in said]
    return FaultsReport.of(Judged(swings, Answers(np.array(rows))), "by-hand", "test")


FAULTS = [[], ["tilt"], ["tilt"], ["sway"], ["tilt", "sway"]]


def test_one_distribution_over_nine_by_hand() -> None:
    said = [
        {"none": 0.7, "tilt": 0.3}, {"tilt": 0.6, "sway": 0.4}, {"sway": 1.0}, None,
        {"tilt": 0.5, "sway": 0.4, "none": 0.1},
    ]  # fmt: skip
    report = of(FAULTS, said, columns=OUTCOMES)
    assert (report.swings, report.answered, report.left_out, report.judged) == (5, 4, ["s00003-w00"], 4)
    # The swing left out is judged as if the shares had been said: a quarter none, a half tilt, a quarter sway.
    losses = [-math.log(0.7), -math.log(0.6), LOSS_OF_0, -math.log(0.25)]
    assert report.log_loss == pytest.approx(sum(losses) / 4, abs=1e-6) and report.floored == 1
    assert report.log_loss_of_shares == pytest.approx(-math.log(0.25) / 2 - math.log(0.5) / 2, abs=1e-6)
    assert report.brier == pytest.approx((0.18 + 0.32 + 2.0 + 0.25**2 + 0.5**2 + 0.75**2) / 4, abs=1e-6)
    assert report.brier_of_shares == pytest.approx(1 - 0.25**2 - 0.5**2 - 0.25**2, abs=1e-6)
    hits = report.accuracy
    assert (hits.swings, hits.right, hits.right_share, hits.fixed, hits.fixed_share) == (4, 2, 0.5, "tilt", 0.5)
    one, both = report.several
    assert (one.swings, one.right, both.right, both.fixed, both.fixed_share) == (1, 1, 1, "tilt+sway", 1.0)
    rows = {row.fault: row for row in report.confusion}
    assert (rows["tilt"].swings, rows["tilt"].said["tilt"], rows["tilt"].said["sway"]) == (2, 1, 1)
    assert rows["none"].said["none"] == 1 and rows["sway"].no_answer == 1 and sum(rows["sway"].said.values()) == 0
    columns = {row.fault: row for row in report.by_fault}
    assert (columns["tilt"].precision_share, columns["tilt"].recall_share) == (1.0, 0.5)
    assert (columns["sway"].precision_share, columns["sway"].recall_share) == (0.0, 0.0)
    assert columns["extension"].precision_share is None and columns["extension"].auc_share is None
    assert report.warnings[0].startswith("Swings with two faults: 1. With a column none an answer names one thing out")
    assert report.warnings[1].startswith("Probabilities of what came about that were under 0.000001: 1. Each counts")


def test_faults_apart_by_hand() -> None:
    said = [{}, {"tilt": 0.8}, {"sway": 0.9, "tilt": 0.6}, None, {"tilt": 0.9, "sway": 0.7, "extension": 0.4}]
    report = of(FAULTS, said, columns=DEPARTURES)
    assert (report.judged, report.one_of_nine) == (5, False)
    shares = {"tilt": 0.6, "sway": 0.4}
    losses = [
        0.0, -math.log(0.8), -math.log(0.1) - math.log(0.6), -math.log(0.4) * 2,
        -math.log(0.9) - math.log(0.7) - math.log(0.6),
    ]  # fmt: skip
    assert report.log_loss == pytest.approx(sum(losses) / 5, abs=1e-6) and report.floored == 0
    entropy = sum(-p * math.log(p) - (1 - p) * math.log(1 - p) for p in shares.values())
    assert report.log_loss_of_shares == pytest.approx(entropy, abs=1e-6)
    assert report.accuracy.right == 2 and report.accuracy.swings == 4  # None said, and tilt.
    one, both, exact = report.several
    assert (one.right, both.right, exact.right, exact.swings) == (1, 1, 3, 5)
    assert (exact.fixed, exact.fixed_share) == ("tilt", 0.4)
    columns = {row.fault: row for row in report.by_fault}
    assert (columns["tilt"].named, columns["tilt"].precision_share, columns["tilt"].recall_share) == (3, 1.0, 1.0)
    assert (columns["sway"].named, columns["sway"].precision_share, columns["sway"].recall_share) == (2, 0.5, 0.5)
    assert report.warnings == []
    sure = of([[], ["tilt"]], [{"tilt": 1.0}, {}], columns=DEPARTURES)
    assert sure.floored == 2 and sure.log_loss == pytest.approx(LOSS_OF_0, abs=1e-6)


def test_the_calibration_error_adds_up_what_is_said_too_surely_and_not_surely_enough() -> None:
    faults: list[list[str]] = [["tilt"], [], [], [], ["tilt"], ["tilt"], ["tilt"], ["tilt"], ["tilt"], []]
    said = [{"tilt": 0.05, "none": 0.95}] * 4 + [{"tilt": 0.72, "none": 0.28}] * 6
    tilt = next(one for one in of(faults, list(said), columns=OUTCOMES).by_fault if one.fault == "tilt")
    # A quarter where 5 per cent were said, five of six where 72 were.
    assert tilt.calibration_error == pytest.approx(0.4 * (0.25 - 0.05) + 0.6 * (5 / 6 - 0.72), abs=1e-6)


@pytest.mark.parametrize("of_one", [True, False])
def test_as_an_outside_library_reckons(of_one: bool) -> None:
    rng = np.random.default_rng(3)
    faults = [[DEPARTURES[j] for j in rng.permutation(8)[: rng.integers(3)]] for _ in range(300)]
    swings = Swings.of([(f"s{k:05d}-w00", k // 3, has) for k, has in enumerate(faults)])
    said = rng.dirichlet([0.4] * 9, 300) if of_one else rng.uniform(0.01, 0.99, (300, 8))
    judged = Judged(swings, Answers(said))
    report = FaultsReport.of(judged, "random", "test")
    single, outcome = swings.single, swings.outcome
    choice = said.argmax(axis=1) if of_one else np.where(said.max(axis=1) >= 0.5, said.argmax(axis=1) + 1, 0)
    table = metrics.confusion_matrix(outcome[single], choice[single], labels=range(9))
    assert [[row.said[name] for name in OUTCOMES] for row in report.confusion] == table.tolist()
    assert report.accuracy.right_share == pytest.approx(
        metrics.accuracy_score(outcome[single], choice[single]), abs=1e-6
    )
    rows = single if of_one else np.ones(300, bool)
    true = np.column_stack((outcome == 0, swings.faulty)) if of_one else swings.faulty
    clipped = np.clip(said, 1e-6, 1)
    clipped /= clipped.sum(axis=1, keepdims=True)
    columns = [metrics.log_loss(true[rows, k], said[rows, k].clip(1e-6, 1 - 1e-6)) for k in range(said.shape[1])]
    whole = metrics.log_loss(outcome[rows], clipped[rows], labels=range(9)) if of_one else sum(columns)
    assert report.log_loss == pytest.approx(whole, abs=1e-4)  # Clipped rows are scaled to 1 again.
    for k, one in enumerate(report.by_fault):
        assert one.auc_share == pytest.approx(metrics.roc_auc_score(true[rows, k], said[rows, k]), abs=1e-6)
        assert one.log_loss == pytest.approx(columns[k], abs=2e-6)
    named = choice[rows, None] == np.arange(9) if of_one else said >= 0.5
    precision, recall, _, _ = metrics.precision_recall_fscore_support(true[rows], named, zero_division=0.0)
    np.testing.assert_allclose([one.precision_share or 0.0 for one in report.by_fault], precision, atol=1e-6)
    np.testing.assert_allclose([one.recall_share for one in report.by_fault], recall, atol=1e-6)


def test_what_is_said_rightly_is_calibrated_and_what_is_said_too_surely_is_not() -> None:
    rng = np.random.default_rng(8)
    chances = rng.dirichlet([0.5] * 9, 4000)
    outcome = (chances.cumsum(axis=1) > rng.random((4000, 1))).argmax(axis=1)
    swings = Swings.of([(f"s{k:05d}-w00", k, [OUTCOMES[o]] if o else []) for k, o in enumerate(outcome)])
    true = FaultsReport.of(Judged(swings, Answers(chances)), "drawn", "test")
    every, first = true.reliability
    # 0.03 is some three standard errors of the first choice's sparser tenths.
    assert every.calibration_error is not None and every.calibration_error < 0.01
    assert first.calibration_error is not None and first.calibration_error < 0.03
    assert sum(part.answers for part in every.bins) == 36000 and sum(part.answers for part in first.bins) == 4000
    sure = chances**3 / (chances**3).sum(axis=1, keepdims=True)
    worse = FaultsReport.of(Judged(swings, Answers(sure)), "drawn", "test")
    assert worse.reliability[1].calibration_error is not None and worse.reliability[1].calibration_error > 0.1
    assert worse.log_loss is not None and true.log_loss is not None and worse.log_loss > true.log_loss
    last = worse.reliability[1].bins[-1]
    assert last.said_share is not None and last.true_share is not None and last.said_share > last.true_share + 0.05


def test_the_page_draws_what_came_about_against_what_was_said() -> None:
    """Every tenth with answers has its dot where its two shares say, larger where there are more answers."""
    said = [{"tilt": 0.9, "none": 0.1}] * 6 + [{"tilt": 0.35, "none": 0.65}] * 3 + [{"sway": 1.0}, None]
    report = of([["tilt"]] * 3 + [[]] * 3 + [["tilt"], [], [], ["sway"], []], said, columns=OUTCOMES)
    (svg,) = lxml.html.fromstring(faults_page(report)).xpath("//figure//*[local-name()='svg'][@role='img']")
    for one in report.reliability:
        bins = [part for part in one.bins if part.answers]
        (line,) = svg.xpath(f".//*[@data-name='{one.of}']/@points")
        points = [tuple(map(float, pair.split(","))) for pair in line.split()]
        dots = [[float(dot.get(name)) for name in ("cx", "cy", "r")] for dot in svg.xpath(f".//*[@data-of='{one.of}']")]
        assert len(points) == len(dots) == len(bins) > 1
        ((x0, y0), (x1, y1)) = ((46.0, 330.0), (348.0, 14.0))  # Nothing and everything, in the chart's pixels.
        for part, (x, y), (cx, cy, _) in zip(bins, points, dots, strict=True):
            assert part.said_share is not None and part.true_share is not None
            assert (x, y) == (cx, cy)
            assert x == pytest.approx(x0 + part.said_share * (x1 - x0), abs=0.06)
            assert y == pytest.approx(y0 + part.true_share * (y1 - y0), abs=0.06)
            told = f"{100 * part.said_share:.0f} said {100 * part.true_share:.0f} came about of {part.answers}"
            assert told in svg.get("aria-label")
        assert np.argmax([r for *_, r in dots]) == np.argmax([part.answers for part in bins])
    (diagonal,) = svg.xpath(".//*[@data-name='as said']/@points")
    assert diagonal == "46.0,330.0 348.0,14.0"
    nothing = of(FAULTS, [None] * 5, columns=OUTCOMES)
    assert "<figure" not in faults_page(nothing)


def test_an_interval_is_wilsons_and_copies_of_a_golfers_swing_do_not_make_it_surer() -> None:
    known = binomtest(13, 40).proportion_ci(method="wilson")
    assert wilson(13 / 40, 40) == pytest.approx((known.low, known.high))
    rng = np.random.default_rng(2)
    right = rng.random(60) < 0.4
    alone = interval(right, np.arange(60))
    copied = interval(np.repeat(right, 5), np.repeat(np.arange(60), 5))
    assert copied == pytest.approx(alone, abs=0.01) and alone[1] - alone[0] > known.high - known.low - 0.1
    # Golfers who differ less than by chance are not counted for more swings than they made.
    even, swings = np.tile([True, False], 20), 40 * (1.959964 / t_of.ppf(0.975, 19)) ** 2
    assert interval(even, np.repeat(np.arange(20), 2)) == pytest.approx(wilson(0.5, swings), abs=1e-6)
    assert interval(np.ones(9, bool), np.arange(9))[0] < 0.75 and interval(right, np.zeros(60)) == (0.0, 1.0)


def test_an_interval_covers_what_golfers_like_these_would_do() -> None:
    """Two swings of each of 30 golfers, both right or both wrong in most: 95 % of intervals hold the true share."""
    rng = np.random.default_rng(4)
    held, golfers = [], np.repeat(np.arange(30), 2)
    for _ in range(2000):
        chance = rng.beta(0.6, 0.9, 30)  # Mean 0.4.
        low, high = interval(rng.random(60) < np.repeat(chance, 2), golfers)
        held.append(low <= 0.4 <= high)
    assert 0.935 <= np.mean(held) <= 0.975


def test_sentences_say_how_often_and_whether_that_is_more_than_chance() -> None:
    faults: list[list[str]] = [[], ["tilt"], ["sway"], ["extension"]] * 10 + [["tilt", "sway"]] * 4
    right = [{has[0] if has else "none": 1.0} for has in faults]
    told = of(faults, right, columns=OUTCOMES).sentences
    assert told[0] == "44 of 44 swings of test have an answer."
    assert told[1].startswith(
        "Of swings with one fault at most (40) the first choice is right in 100% (95% interval 91% to 100%); always to "
        "say no fault is right in 25%."
    )
    assert told[2] == "That is more than chance."
    assert told[3].startswith("Of swings with two faults (4) the first choice is one of them in 100% (")
    assert told[3].endswith("; always to say tilt is right in 100%.")
    assert told[4] == "Log loss: 0.000 nats a swing; these swings' own shares, said of each, have 1.386."
    wrong = [{"hip_turn": 1.0}] * 44
    assert of(faults, wrong, columns=OUTCOMES).sentences[2] == "That is less than chance."
    half = [*right[:12], *wrong[12:]]
    assert of(faults, half, columns=OUTCOMES).sentences[2] == "That is not told apart from chance."


def test_a_split_of_swings_with_two_faults_has_nothing_for_one_distribution() -> None:
    report = of([["tilt", "sway"], ["tilt", "extension"]], [{"tilt": 1.0}, None], columns=OUTCOMES)
    assert (report.judged, report.log_loss, report.brier, report.accuracy.right_share) == (0, None, None, None)
    assert report.several[0].right == 1 and [one.calibration_error for one in report.reliability] == [None, None]
    assert "none" in table("a title", report, fault_tables.tables(report))


def report(*, of_one: bool) -> FaultsReport:
    """Numbers that all differ."""
    raw = filled(FaultsReport, items=9 if of_one else 8, one_of_nine=of_one, warnings=["a note to be read"])
    columns = OUTCOMES if of_one else DEPARTURES
    confusion = [
        ConfusionRow(
            fault=name, swings=5000 + k, said={one: 100 * k + j for j, one in enumerate(OUTCOMES)}, no_answer=6000 + k
        )
        for k, name in enumerate(OUTCOMES)
    ]
    by_fault = [one.replaced(fault=name) for one, name in zip(raw.by_fault, columns, strict=True)]
    return raw.replaced(confusion=confusion, by_fault=by_fault, reliability=raw.reliability[:2])


@pytest.mark.parametrize("of_one", [True, False])
def test_every_number_stands_where_its_label_says(of_one: bool) -> None:
    one = report(of_one=of_one)
    text = page("a title", one, fault_tables.tables(one))
    hits, losses, confused, faults, *calibrated = tables(text)
    assert ("Probabilities, of swings with one fault at most" if of_one else "Probabilities, of all swings") in text
    assert ("By fault, of swings with one fault at most" if of_one else "By fault, of all swings") in text
    for row in (one.accuracy, *one.several):
        cells = {head: hits[row.of, head] for name, head in hits if name == row.of}
        assert cells["swings"] == str(row.swings) and cells["the same answer always"] == fault_words(row.fixed)
        for head, value in {
            "right": row.right_share, "95 % from": row.least_share, "to": row.most_share, "right then": row.fixed_share,
        }.items():  # fmt: skip
            assert value is not None and cells[head] == f"{100 * value:.1f}"
    assert losses["log loss, nats a swing", "the answers"].lstrip("\N{MINUS SIGN}") == f"{abs(one.log_loss or 0):.3f}"
    assert losses["log loss, nats a swing", "the shares alone"].endswith(f"{abs(one.log_loss_of_shares or 0):.3f}")
    assert losses["Brier score", "the answers"].endswith(f"{abs(one.brier or 0):.3f}")
    assert losses["Brier score", "the shares alone"].endswith(f"{abs(one.brier_of_shares or 0):.3f}")
    for k, label in enumerate(OUTCOMES):
        for j in range(len(OUTCOMES)):
            assert confused[f"{k} {fault_words(label)}", str(j)] == str(100 * k + j)
        assert confused[f"{k} {fault_words(label)}", "no answer"] == str(6000 + k)
    for row in one.by_fault:
        name = fault_words(row.fault)
        assert (faults[name, "swings"], faults[name, "said"]) == (str(row.swings), str(row.named))
        assert row.precision_share and faults[name, "prec."] == f"{100 * row.precision_share:.1f}"
        assert row.recall_share and faults[name, "recall"] == f"{100 * row.recall_share:.1f}"
        assert row.auc_share and faults[name, "area"] == f"{row.auc_share:.3f}"
        assert faults[name, "loss"].endswith(f"{abs(row.log_loss or 0):.3f}")
        assert faults[name, "chance"].endswith(f"{abs(row.log_loss_of_shares or 0):.3f}")
        assert faults[name, "error"].endswith(f"{abs(row.calibration_error or 0):.3f}")
    for cells, part in zip(calibrated, one.reliability, strict=True):
        for row in part.bins:
            name = f"{100 * row.from_share:.0f} to {100 * row.to_share:.0f}"
            assert row.said_share and cells[name, "said on average"] == f"{100 * row.said_share:.1f}"
            assert row.true_share and cells[name, "came about"] == f"{100 * row.true_share:.1f}"
            assert cells[name, "answers"] == str(row.answers)
    printed = table("a title", one, fault_tables.tables(one))
    for told in (*one.sentences, "Note: a note to be read", f"{6000 + 8}"):
        assert told in printed and told.removeprefix("Note: ") in text
