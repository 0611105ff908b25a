"""A fault classifier's score as plain numbers. A swing is named as its pictures are, without view and moment."""

from __future__ import annotations

import numpy as np

from ...setups.reports import ClosingReport, Number, closing_fields
from .judged import Judged
from .losses import FLOOR, brier, log_loss
from .parts import (
    ConfusionRow,
    FaultScore,
    HitScore,
    Reliability,
    accuracy_of,
    column_of,
    confusion_of,
    reliability_of,
    several_of,
)
from .words import answered_words, hit_words, loss_words, notes


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
        accuracy, several = accuracy_of(judged), list(several_of(judged))
        left_out = [name for name, has in zip(swings.names, answers.answered, strict=True) if not has]
        loss = log_loss(filled, true, of_one=of_one) if some else None
        chance = log_loss(flat, true, of_one=of_one) if some else None
        floored = _floored(judged)
        return cls(
            dataset=dataset, split=split, swings=len(swings.names), golfers=len(np.unique(swings.golfer)),
            answered=int(answers.answered.sum()), left_out=left_out, one_of_nine=of_one, judged=int(counts.sum()),
            accuracy=accuracy, several=several, log_loss=loss, log_loss_of_shares=chance,
            brier=brier(filled, true) if some else None, brier_of_shares=brier(flat, true) if some else None,
            floored=floored, confusion=list(confusion_of(judged)),
            by_fault=[column_of(judged, k) for k in range(len(judged.columns))],
            reliability=list(reliability_of(judged, there)),
            sentences=[
                answered_words(split, len(swings.names), len(left_out)), *hit_words(accuracy, several),
                *loss_words(loss, chance),
            ],
            warnings=notes(of_one, len(swings.names) - int(swings.single.sum()), floored),
            **closing_fields(),
        )  # fmt: skip


def _floored(judged: Judged) -> int:
    there = judged.counts & judged.answers.answered
    said, true = judged.answers.said[there], judged.true[there]
    came = np.where(true, said, 1.0 if judged.answers.of_one else 1.0 - said)
    return int((came < FLOOR).sum())
