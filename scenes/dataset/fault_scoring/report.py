"""A fault classifier's score as plain numbers. A swing is named as its pictures are, without view and moment."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from ....model.arrays import Array, BoolArray
from ....model.golfer.pieces import DEPARTURES
from ...setups.reports import ClosingReport, Number, Report, closing_fields
from .interval import interval, ranked_above
from .judged import NO_ANSWER, Judged
from .losses import FLOOR, brier, calibration_error, log_loss, reliability
from .swings import NO_FAULT, OUTCOMES
from .words import answered_words, hit_words, loss_words, notes


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


class FaultsReport(ClosingReport):
    """What a classifier of faults made of a split's swings."""

    dataset: str
    """name of the data set's recipe"""
    split: str
    """the split"""
    swings: int
    """how many it has"""
    golfers: int
    """of how many golfers"""
    answered: int
    """with an answer"""
    left_out: list[str]
    """names of the others"""
    one_of_nine: bool
    """whether there is a column `none`, so that an answer is one distribution over no fault and each single fault;
    otherwise each fault has a probability of its own"""
    judged: int
    """swings whose probabilities are judged: with `one_of_nine` those with one fault at most, otherwise all"""
    accuracy: HitScore
    """first choice, of swings with one fault at most"""
    several: list[HitScore]
    """of swings with two faults: first choice one of them; the two most probable faults both. Without a column `none`
    also of all swings: exactly the faults of a half and more"""
    log_loss: Number | None
    """nats a swing: of what came about with `one_of_nine`, otherwise of each fault, yes or no, added up. Of swings
    left out the shares count as said"""
    log_loss_of_shares: Number | None
    """the same if these swings' own shares were said of each: chance"""
    brier: Number | None
    """squared distance from what came about, added over the columns; of swings left out as above"""
    brier_of_shares: Number | None
    """the same of the shares"""
    floored: int
    """answers that gave what came about a probability under 0.000001, which then counts as that"""
    confusion: list[ConfusionRow]
    """by what the label says"""
    by_fault: list[FaultScore]
    """by column"""
    reliability: list[Reliability]
    """of judged swings with an answer"""

    @classmethod
    def of(cls, judged: Judged, dataset: str, split: str) -> FaultsReport:
        """The report of a classifier."""
        swings, answers, counts = judged.swings, judged.answers, judged.counts
        there = counts & answers.answered
        some = bool(counts.any())
        true, filled, of_one = judged.true[counts], judged.filled[counts], answers.of_one
        flat = np.broadcast_to(judged.shares, true.shape)
        accuracy, several = _accuracy(judged), list(_several(judged))
        left_out = [name for name, has in zip(swings.names, answers.answered, strict=True) if not has]
        loss = log_loss(filled, true, of_one=of_one) if some else None
        chance = log_loss(flat, true, of_one=of_one) if some else None
        floored = _floored(judged)
        return cls(
            dataset=dataset, split=split, swings=len(swings.names), golfers=len(np.unique(swings.golfer)),
            answered=int(answers.answered.sum()), left_out=left_out, one_of_nine=of_one, judged=int(counts.sum()),
            accuracy=accuracy, several=several, log_loss=loss, log_loss_of_shares=chance,
            brier=brier(filled, true) if some else None, brier_of_shares=brier(flat, true) if some else None,
            floored=floored, confusion=list(_confusion(judged)),
            by_fault=[_column(judged, k) for k in range(len(judged.columns))],
            reliability=list(_reliability(judged, there)),
            sentences=[
                answered_words(split, len(swings.names), len(left_out)), *hit_words(accuracy, several),
                *loss_words(loss, chance),
            ],
            warnings=notes(of_one, len(swings.names) - int(swings.single.sum()), floored),
            **closing_fields(),
        )  # fmt: skip


def _accuracy(judged: Judged) -> HitScore:
    single = judged.swings.single
    usual = np.bincount(judged.swings.outcome[single], minlength=len(OUTCOMES))
    return _hits(
        "first choice, of swings with one fault at most", judged, single, judged.first_choice_true,
        OUTCOMES[int(usual.argmax())], int(usual.max()),
    )  # fmt: skip


def _several(judged: Judged) -> Iterator[HitScore]:
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


def _confusion(judged: Judged) -> Iterator[ConfusionRow]:
    for k, fault in enumerate(OUTCOMES):
        choice = judged.choice[judged.swings.single & (judged.swings.outcome == k)]
        said = {name: int((choice == one).sum()) for one, name in enumerate(OUTCOMES)}
        yield ConfusionRow(fault=fault, swings=len(choice), said=said, no_answer=int((choice == NO_ANSWER).sum()))


def _column(judged: Judged, k: int) -> FaultScore:
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


def _reliability(judged: Judged, there: BoolArray) -> Iterator[Reliability]:
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


def _floored(judged: Judged) -> int:
    there = judged.counts & judged.answers.answered
    said, true = judged.answers.said[there], judged.true[there]
    came = np.where(true, said, 1.0 if judged.answers.of_one else 1.0 - said)
    return int((came < FLOOR).sum())


def _mean(values: Sequence[bool] | BoolArray) -> float | None:
    return float(np.mean(values)) if len(values) else None
