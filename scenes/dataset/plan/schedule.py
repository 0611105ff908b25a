"""Which subject is in which split and shard, and what has to come in stated shares: dealt out evenly, by the seed.

What is drawn by chance alone misses its share by chance. Whatever a recipe states a share of comes exactly as often as
whole numbers allow, and nearly as often in every split.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from ....model.golfer.pieces import DEPARTURES
from .recipe import Recipe

_WHOLE_SET = 2**32 - 1
"""First number of the seeds that belong to no subject: larger than any subject's number."""
_SEX, _HAND, _FAULTS, _SIZE = range(4)
_BLOCK = 16


@dataclass(frozen=True)
class Shard:
    """Subjects that are drawn and stored together.

    Attributes:
        split: to which all of them belong.
        index: from 0 within the split.
        subjects: their numbers.
    """

    split: str
    index: int
    subjects: tuple[int, ...]


class Pattern(NamedTuple):
    """What a swing has to show.

    Attributes:
        pieces: names of ``DEPARTURES`` at fault; none, one or two.
        too_much: for each of them whether it is too much.
    """

    pieces: tuple[str, ...]
    too_much: tuple[bool, ...]


@dataclass(frozen=True)
class Schedule:
    """What is dealt out over a whole data set.

    Attributes:
        female: ``(subjects,)`` whether each is a woman.
        left_handed: ``(subjects,)`` whether each is left-handed.
        size: ``(subjects, 2)`` 0 to 1, of stature and of mass given stature: evenly spread among each sex.
        patterns: ``subjects`` times ``swings`` patterns.
    """

    female: NDArray[np.bool_]
    left_handed: NDArray[np.bool_]
    size: NDArray[np.float64]
    patterns: tuple[Pattern, ...]


def split_sizes(recipe: Recipe) -> dict[str, int]:
    """Subjects of each split, in the recipe's order."""
    return dict(zip(recipe.splits, _counts(list(recipe.splits.values()), recipe.subjects), strict=True))


def shard_numbers(recipe: Recipe) -> list[Shard]:
    """All shards of a data set: whole subjects, and never two splits in one."""
    shards, first, most = [], 0, recipe.subjects_per_shard
    for split, count in split_sizes(recipe).items():
        numbers = range(first, first + count)
        shards += [Shard(split, k, tuple(numbers[k * most : (k + 1) * most])) for k in range(-(-count // most))]
        first += count
    return shards


def pictures_of(recipe: Recipe, shard: Shard) -> int:
    """How many pictures a shard has."""
    return len(shard.subjects) * recipe.swings * recipe.moments * len(recipe.views)


def first_picture(recipe: Recipe, shard: Shard) -> int:
    """Number of a shard's first picture in its split, from 1."""
    before = (one for one in shard_numbers(recipe) if one.split == shard.split and one.index < shard.index)
    return 1 + sum(pictures_of(recipe, one) for one in before)


def split_of(recipe: Recipe, number: int) -> str:
    """The split of a subject."""
    return next(shard.split for shard in _shards(recipe.model_dump_json()) if shard.subjects[-1] >= number)


def block_of(recipe: Recipe, number: int) -> tuple[int, ...]:
    """The subjects that are always worked out beside a subject, whoever is asked for.

    Sums of many numbers end in other last digits than those of few: only the same company gives the same bytes.
    """
    shard = next(shard for shard in _shards(recipe.model_dump_json()) if shard.subjects[-1] >= number)
    start = (number - shard.subjects[0]) // _BLOCK * _BLOCK
    return shard.subjects[start : start + _BLOCK]


def schedule(recipe: Recipe) -> Schedule:
    """Everything dealt out, a function of the recipe alone."""
    return _schedule(recipe.model_dump_json())


@lru_cache(maxsize=4)
def _shards(recipe: str) -> list[Shard]:
    return shard_numbers(Recipe.model_validate_json(recipe))


@lru_cache(maxsize=4)
def _schedule(text: str) -> Schedule:
    recipe = Recipe.model_validate_json(text)
    splits = list(split_sizes(recipe).values())
    women = recipe.population.women
    female = _dealt(recipe, _SEX, [1.0 - women, women], splits) == 1
    lefts = recipe.population.left_handers
    left_handed = _dealt(recipe, _HAND, [1.0 - lefts, lefts], splits) == 1
    return Schedule(female, left_handed, _sizes(recipe, female), _patterns(recipe, splits))


def _rng(recipe: Recipe, what: int) -> np.random.Generator:
    return np.random.default_rng(np.random.SeedSequence(recipe.seed, spawn_key=(_WHOLE_SET, what)))


def _counts(shares: Sequence[float], total: int) -> list[int]:
    """Whole numbers in the given shares, by the largest remainders; they add up to ``total``."""
    exact = np.asarray(shares) * total
    counts = np.floor(exact + 1e-9).astype(int)
    order = np.argsort(-(exact - counts), kind="stable")
    counts[order[: total - int(counts.sum())]] += 1
    return [int(count) for count in counts]


def _evenly(counts: Sequence[int], rng: np.random.Generator) -> NDArray[np.intp]:
    """Which kind comes where, each kind ``counts[k]`` times and spread evenly over the whole."""
    kinds = np.repeat(np.arange(len(counts)), counts)
    offsets = rng.random(len(counts))
    places = np.concatenate(
        [(np.arange(count) + offset) / max(count, 1) for count, offset in zip(counts, offsets, strict=True)]
    )
    return np.asarray(kinds[np.argsort(places, kind="stable")])


def _shuffled(kinds: NDArray[np.intp], groups: Sequence[int], rng: np.random.Generator) -> NDArray[np.intp]:
    """The same, in chance's order within each group."""
    ends = np.cumsum(groups)
    return np.concatenate([rng.permutation(kinds[end - size : end]) for end, size in zip(ends, groups, strict=True)])


def _dealt(recipe: Recipe, what: int, shares: Sequence[float], groups: Sequence[int]) -> NDArray[np.intp]:
    rng = _rng(recipe, what)
    return _shuffled(_evenly(_counts(shares, sum(groups)), rng), groups, rng)


def _sizes(recipe: Recipe, female: NDArray[np.bool_]) -> NDArray[np.float64]:
    """Two numbers from 0 to 1 a subject, spread evenly over the square among the subjects of each sex.

    An additive sequence by the powers of the plastic number (Roberts 2018, "The unreasonable effectiveness of
    quasirandom sequences"; from memory): percentiles of a thousand come several times as near as by chance.
    """
    plastic = 1.32471795724474602596
    step = np.array([1.0 / plastic, 1.0 / plastic**2])
    shift = _rng(recipe, _SIZE).random((2, 2))
    rank = np.where(female, np.cumsum(female), np.cumsum(~female))
    return np.asarray((shift[female.astype(int)] + rank[:, None] * step) % 1.0)


def _patterns(recipe: Recipe, splits: Sequence[int]) -> tuple[Pattern, ...]:
    rng = _rng(recipe, _FAULTS)
    asked = recipe.swing
    total = recipe.subjects * recipe.swings
    kinds: list[tuple[str, ...]] = []
    counts: list[int] = []
    of_class = _counts([asked.no_fault, asked.one_fault, asked.two_faults], total)
    for faults, swings in enumerate(of_class):
        these = list(combinations(DEPARTURES, faults))
        kinds += [these[k] for k in rng.permutation(len(these))]
        counts += _counts([1.0 / len(these)] * len(these), swings)
    order = _evenly(counts, rng)
    # Too little and too much by turns, as each kind comes up.
    turn = np.zeros(total, dtype=np.intp)
    for kind in range(len(kinds)):
        of_kind = order == kind
        turn[of_kind] = np.arange(of_kind.sum()) + rng.integers(4)
    both = _shuffled(order * 4 + turn % 4, [size * recipe.swings for size in splits], rng)
    made = [[Pattern(kind, tuple(bool(way >> k & 1) for k in range(len(kind)))) for way in range(4)] for kind in kinds]
    return tuple(made[number // 4][number % 4] for number in both)
