"""Parts of a fault classifier's report, and how each is reckoned."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from ....model.arrays import Array, BoolArray
from ....model.golfer.pieces import DEPARTURES
from ...setups.reports import Number, Report
from .interval import interval
from .judged import NO_ANSWER, Judged
from .losses import calibration_error, log_loss, ranked_above, reliability
from .swings import NO_FAULT, OUTCOMES


class HitScore(Report):
    """How often an answer is right."""

    of: str
    """which answer, of which swings"""
    swings: int
    """how many there are; those left out count as wrong"""
    right: int
    """how many of them are right"""
    right_share: Number | None
    """share of them; `null` of none"""
    least_share: Number | None
    """lower end of its 95 % interval, of golfers like these"""
    most_share: Number | None
    """upper end"""
    fixed: str
    """the answer that is right most often if it is the same for every swing; faults parted by `+`"""
    fixed_share: Number | None
    """share of swings in which that one is right: chance"""


class FaultScore(Report):
    """One column."""

    fault: str
    """name of the column: a fault as labels have it, or `none`"""
    swings: int
    """judged swings in which it comes about"""
    named: int
    """judged swings of which it is said"""
    precision_share: Number | None
    """of those of which it is said, how many have it; `null` of none"""
    recall_share: Number | None
    """of those that have it, of how many it is said; swings left out count as missed"""
    auc_share: Number | None
    """area under the curve of true against false positives, swings left out apart; a half is chance"""
    log_loss: Number | None
    """of this column by itself, yes or no, nats a swing"""
    log_loss_of_shares: Number | None
    """the same if the column's share were said of every swing: chance"""
    calibration_error: Number | None
    """expected calibration error of this column"""


class ConfusionRow(Report):
    """What is said of swings with one fault at most, by what their label says."""

    fault: str
    """what the label says: a fault, or `none`"""
    swings: int
    """how many there are"""
    said: dict[str, int]
    """first choice, `none` and the eight faults, to how many have it"""
    no_answer: int
    """how many were left out"""


class ReliabilityBin(Report):
    """Answers whose probabilities lie in one tenth."""

    from_share: Number
    """least probability"""
    to_share: Number
    """greatest probability; it belongs to the next tenth, but for 1"""
    answers: int
    """how many answers"""
    said_share: Number | None
    """mean of their probabilities; `null` of none"""
    true_share: Number | None
    """how many of them came about"""


class Reliability(Report):
    """Whether what is said with some probability comes about as often."""

    of: str
    """`every column`, or `first choice` of answers with a column `none`"""
    calibration_error: Number | None
    """expected calibration error: mean over answers of how far apart the tenth's two shares are"""
    bins: list[ReliabilityBin]
    """ten of them"""


def accuracy_of(judged: Judged) -> HitScore:
    """First choice, of swings with one fault at most."""
    single = judged.swings.single
    usual = np.bincount(judged.swings.outcome[single], minlength=len(OUTCOMES))
    return _hits(
        "first choice, of swings with one fault at most", judged, single, judged.first_choice_true,
        OUTCOMES[int(usual.argmax())], int(usual.max()),
    )  # fmt: skip


def several_of(judged: Judged) -> Iterator[HitScore]:
    """What is said of swings with two faults; of faults apart also of all swings."""
    faulty, two = judged.swings.faulty, ~judged.swings.single
    usual = faulty[two].sum(axis=0)
    yield _hits(
        "first choice is one of the two, of swings with two faults", judged, two, judged.first_choice_true,
        DEPARTURES[int(usual.argmax())], int(usual.max()),
    )  # fmt: skip
    both = (judged.first_two == faulty).all(axis=1)
    yield _hits(
        "the two most probable faults are the two, of swings with two faults", judged, two, both, *_usual(faulty[two])
    )
    if not judged.answers.of_one:
        exact = (judged.named == faulty).all(axis=1) & judged.answers.answered
        yield _hits(
            "exactly the faults of a half and more, of all swings", judged, np.ones_like(two), exact, *_usual(faulty)
        )


def _usual(faulty: BoolArray) -> tuple[str, int]:
    """The set of faults that comes most often, and how often."""
    if not len(faulty):
        return NO_FAULT, 0
    sets, times = np.unique(faulty, axis=0, return_counts=True)
    names = [name for name, there in zip(DEPARTURES, sets[times.argmax()], strict=True) if there]
    return "+".join(names) or NO_FAULT, int(times.max())


def _hits(of: str, judged: Judged, which: BoolArray, right: BoolArray, fixed: str, by_it: int) -> HitScore:
    hit = right[which]
    if not len(hit):
        return HitScore(
            of=of, swings=0, right=0, right_share=None, least_share=None, most_share=None, fixed=NO_FAULT,
            fixed_share=None,
        )  # fmt: skip
    least, most = interval(hit, judged.swings.golfer[which])
    return HitScore(
        of=of, swings=len(hit), right=int(hit.sum()), right_share=float(hit.mean()), least_share=least,
        most_share=most, fixed=fixed, fixed_share=by_it / len(hit),
    )  # fmt: skip


def confusion_of(judged: Judged) -> Iterator[ConfusionRow]:
    """A row for each outcome that a label can have."""
    for k, fault in enumerate(OUTCOMES):
        choice = judged.choice[judged.swings.single & (judged.swings.outcome == k)]
        said = {name: int((choice == one).sum()) for one, name in enumerate(OUTCOMES)}
        yield ConfusionRow(fault=fault, swings=len(choice), said=said, no_answer=int((choice == NO_ANSWER).sum()))


def column_of(judged: Judged, k: int) -> FaultScore:
    """One of the judged columns."""
    counts = judged.counts
    there = counts & judged.answers.answered
    true, named = judged.true[counts, k], judged.named[counts, k]
    said, came = judged.answers.said[there, k], judged.true[there, k]
    flat = np.full((len(true), 1), judged.shares[k])
    some = len(true) > 0
    return FaultScore(
        fault=judged.columns[k], swings=int(true.sum()), named=int(named.sum()), precision_share=_mean(true[named]),
        recall_share=_mean(named[true]), auc_share=ranked_above(said, came),
        log_loss=log_loss(judged.filled[counts, k, None], true[:, None], of_one=False) if some else None,
        log_loss_of_shares=log_loss(flat, true[:, None], of_one=False) if some else None,
        calibration_error=calibration_error(reliability(said, came)),
    )  # fmt: skip


def reliability_of(judged: Judged, there: BoolArray) -> Iterator[Reliability]:
    """Of the swings ``there`` ``(S,)``: every column, and the first choice of one distribution."""
    yield _reliable("every column", judged.answers.said[there].ravel(), judged.true[there].ravel())
    if judged.answers.of_one:
        said = judged.answers.said[there].max(axis=1, initial=0.0)
        yield _reliable("first choice", said, judged.first_choice_true[there])


def _reliable(of: str, said: Array, true: BoolArray) -> Reliability:
    bins = reliability(said, true)
    return Reliability(
        of=of,
        calibration_error=calibration_error(bins),
        bins=[
            ReliabilityBin(
                from_share=one.least, to_share=one.most, answers=one.count, said_share=one.said, true_share=one.came
            )
            for one in bins
        ],
    )


def _mean(values: Sequence[bool] | BoolArray) -> float | None:
    return float(np.mean(values)) if len(values) else None
