"""Answers beside the labels: which swings count where, what each answer names, and what the shares alone would say."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np

from ....model.arrays import Array, BoolArray
from ....model.golfer.pieces import DEPARTURES
from .answers import Answers
from .swings import OUTCOMES, Swings

NAMED = 0.5
"""Without a column for no fault, a fault is named from this probability on."""
NO_ANSWER = -1


@dataclass(frozen=True)
class Judged:
    """Of S swings and K columns: eight faults, each yes or no by itself, or nine outcomes, of which one comes about.

    Probabilities of eight faults are judged on all swings; one distribution over nine outcomes on swings with one fault
    at most, since it cannot say that there are two.

    Attributes:
        swings: what the labels say.
        answers: what the classifier says.
    """

    swings: Swings
    answers: Answers

    @property
    def columns(self) -> tuple[str, ...]:
        """Names of the K columns."""
        return OUTCOMES if self.answers.of_one else DEPARTURES

    @cached_property
    def counts(self) -> BoolArray:
        """``(S,)`` whose probabilities are judged."""
        return self.swings.single if self.answers.of_one else np.ones(len(self.swings.names), bool)

    @cached_property
    def true(self) -> BoolArray:
        """``(S, K)`` what comes about."""
        faulty = self.swings.faulty
        return np.column_stack((~faulty.any(axis=1), faulty)) if self.answers.of_one else faulty

    @cached_property
    def shares(self) -> Array:
        """``(K,)`` how often each comes about among those judged: what somebody knows who has seen no swing."""
        return np.asarray(self.true[self.counts].mean(axis=0)) if self.counts.any() else np.zeros(len(self.columns))

    @cached_property
    def filled(self) -> Array:
        """``(S, K)`` what was said, and the shares of swings without an answer."""
        return np.where(self.answers.answered[:, None], self.answers.said, self.shares)

    @cached_property
    def choice(self) -> np.ndarray[Any, np.dtype[np.intp]]:
        """``(S,)`` the first choice, an index into ``OUTCOMES``: the most probable of nine, or of eight if it is
        named, else no fault; ``NO_ANSWER`` of none. Of equals the first.
        """
        said = np.nan_to_num(self.answers.said)
        best = said.argmax(axis=1)
        if not self.answers.of_one:
            best = np.where(said.max(axis=1) >= NAMED, best + 1, 0)
        return np.where(self.answers.answered, best, NO_ANSWER)

    @cached_property
    def named(self) -> BoolArray:
        """``(S, K)`` the columns that an answer names: its first choice, or all faults from ``NAMED`` on."""
        if self.answers.of_one:
            return np.asarray(self.choice[:, None] == np.arange(len(OUTCOMES)))
        return np.asarray(np.nan_to_num(self.answers.said) >= NAMED)

    @cached_property
    def first_two(self) -> BoolArray:
        """``(S, 8)`` the two most probable faults of an answer; of equals the first."""
        faults = np.nan_to_num(self.answers.said[:, -len(DEPARTURES) :])
        order = np.argsort(-faults, axis=1, kind="stable")[:, :2]
        found = np.zeros(faults.shape, bool)
        np.put_along_axis(found, order, True, axis=1)
        return found & self.answers.answered[:, None]

    @cached_property
    def first_choice_true(self) -> BoolArray:
        """``(S,)`` whether the first choice is all that is the matter, or one of it."""
        every = np.column_stack((~self.swings.faulty.any(axis=1), self.swings.faulty))
        return np.asarray(every[np.arange(len(every)), self.choice] & (self.choice != NO_ANSWER))
