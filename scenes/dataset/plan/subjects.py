"""Everything about some subjects of a data set, drawn from its recipe."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import replace
from functools import lru_cache

import numpy as np

from ....model.errors import TurnstillError
from ....model.golfer.body import Body
from ....model.golfer.pieces import DEPARTURES
from ....model.swing.swing import Swing
from .cameras import tripod
from .clubs import CLUBS
from .drawn import DrawnSubject, DrawnSwing, DrawnView
from .people import body_of, look_of
from .recipe import Recipe
from .scenery import light_of, occluders_of, place_of, sensor_of
from .schedule import Schedule, block_of, schedule, split_of
from .swings import Found, Wanted, find, left_handed

_BODY, _LOOK, _TRIES, _SCENE, _CAMERA, _NOISE = range(6)


def draw_subjects(recipe: Recipe, numbers: Sequence[int]) -> list[DrawnSubject]:
    """Subjects by their numbers, each the same whoever else is asked for.

    Raises:
        TurnstillError: a number that the data set has not.
    """
    wrong = [number for number in numbers if not 0 <= number < recipe.subjects]
    if wrong:
        raise TurnstillError(f"There is no subject {wrong[0]}; this data set has 0 to {recipe.subjects - 1}.")
    text, drawn = recipe.model_dump_json(), []
    for number in numbers:
        block = block_of(recipe, number)
        drawn.append(_block(text, block)[number - block[0]])
    return drawn


@lru_cache(maxsize=2)
def _block(text: str, numbers: tuple[int, ...]) -> list[DrawnSubject]:
    """Subjects that are always worked out together."""
    recipe = Recipe.model_validate_json(text)
    dealt = schedule(recipe)
    bodies = [
        body_of(recipe.population, bool(dealt.female[n]), tuple(dealt.size[n]), _rng(recipe, n, _BODY)) for n in numbers
    ]
    wanted, clubs = [], [_clubs(recipe, n) for n in numbers]
    for n, body, own in zip(numbers, bodies, clubs, strict=True):
        for k in range(recipe.swings):
            wanted.append(Wanted(body, dealt.patterns[n * recipe.swings + k], own[k], (n, _TRIES, k)))
    found = find(recipe, wanted)
    subjects = []
    for row, (n, body) in enumerate(zip(numbers, bodies, strict=True)):
        own_swings = found[row * recipe.swings : (row + 1) * recipe.swings]
        mirrored = [left_handed(one, bool(dealt.left_handed[n])) for one in own_swings]
        subjects.append(_subject(recipe, dealt, n, body, mirrored, clubs[row]))
    return subjects


def _rng(recipe: Recipe, *key: int) -> np.random.Generator:
    return np.random.default_rng(np.random.SeedSequence(recipe.seed, spawn_key=key))


def _clubs(recipe: Recipe, number: int) -> list[str]:
    """The club of each swing: in turn through what the recipe has, from one that chance chooses."""
    known = recipe.swing.clubs
    first = int(_rng(recipe, number, _TRIES).integers(len(known)))
    return [known[(first + k) % len(known)] for k in range(recipe.swings)]


def _subject(
    recipe: Recipe, dealt: Schedule, number: int, body: Body, found: Sequence[Found], clubs: Sequence[str]
) -> DrawnSubject:
    look, tone = look_of(recipe, bool(dealt.female[number]), _rng(recipe, number, _LOOK))
    swings = []
    for k, one in enumerate(found):
        rng = _rng(recipe, number, _SCENE, k)
        views = []
        for v, view in enumerate(recipe.views):
            own = _rng(recipe, number, _CAMERA, k, v)
            camera, off_square = tripod(recipe, view, one.swing, own)
            occluders = occluders_of(recipe, camera, one.swing, own)
            noise = (number, _NOISE, k, v)
            views.append(DrawnView(view, camera, occluders, sensor_of(recipe, own), off_square, noise))
        swings.append(
            DrawnSwing(
                number=k,
                faults=one.faults,
                departures=dict(zip(DEPARTURES, (float(amount) for amount in one.departures), strict=True)),
                swing=one.swing,
                faults_at=recipe.swing.faults_at,
                moments=_moments(recipe.moments, one.swing, rng),
                backswing_s=float(rng.uniform(*recipe.swing.backswing_s)),
                downswing_s=float(rng.uniform(*recipe.swing.downswing_s)) if recipe.swing.goes_on else None,
                tries=one.tries,
                look=replace(look, club_head=CLUBS[clubs[k]].head),
                place=place_of(recipe, rng),
                light=light_of(recipe, rng),
                views=tuple(views),
            )
        )
    return DrawnSubject(
        number, split_of(recipe, number), body, bool(dealt.left_handed[number]), look, tone, tuple(swings), (number,)
    )


def _moments(count: int, swing: Swing, rng: np.random.Generator) -> tuple[int, ...]:
    """Address and one out of every equal stretch after it: top and impact where these are in it."""
    last = len(swing.progress) - 1
    if swing.impact is None:
        ends = np.ceil(np.linspace(1, last, count - 1)).astype(int)
        return (0, *(int(rng.integers(low, high)) for low, high in itertools.pairwise(ends)), last)
    ends = np.round(np.linspace(1, last + 1, count)).astype(int)
    chosen = [0]
    for low, high in itertools.pairwise(ends):
        by_chance = int(rng.integers(low, high))
        chosen.append(next((one for one in (swing.at_top, swing.at_impact) if low <= one < high), by_chance))
    return tuple(chosen)
