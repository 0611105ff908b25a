"""Who is in the pictures: drawn bodies, each with a preset and two moments, all from one seed."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from turnstill.model.golfer.body import Body
from turnstill.model.swing.simulate import simulate
from turnstill.model.swing.swing import Swing
from turnstill.scenes.setups.perform import address_of, pieces_of
from turnstill.scenes.setups.presets import backswing_names, load

SEED = 2612
GOLFERS = 30
"""Each is seen at two moments from two views: 120 pictures."""
LEFT_HANDERS = 3
FRAMES = 41
POOL = 300
"""Drawn people of each sex, of whom an even row from the lightest to the heaviest for their stature is taken."""


@dataclass(frozen=True)
class Golfer:
    """One golfer of the pictures.

    Attributes:
        body: without batch axes.
        preset: what is swung.
        left_handed: whether it is the mirror image.
        moments: indices into the ``FRAMES`` moments from address to top, one of each half.
    """

    body: Body
    preset: str
    left_handed: bool
    moments: tuple[int, int]

    def swing(self) -> Swing:
        """The preset swung by this body."""
        setup = load(self.preset)
        return simulate(
            self.body, address_of(setup), pieces_of(setup), setup.timing or None, FRAMES, left_handed=self.left_handed
        )


def draw(rng: np.random.Generator, count: int = GOLFERS) -> list[Golfer]:
    """``count`` golfers (even, half of them women); every preset, and moments evenly from address to top."""
    pool = Body.draw(rng, 2 * POOL)
    chosen = []
    for female in (0.0, 1.0):
        own = np.flatnonzero(pool.female == female)
        by_weight = own[np.argsort(pool.mass[own] / pool.stature[own] ** 2)]
        chosen.append(by_weight[np.round(np.linspace(0, POOL - 1, count // 2)).astype(int)])
    people = np.stack(chosen, axis=1).ravel()
    # Faults of the way down are the centred swing up to the top, where the pictures end.
    names = backswing_names()
    presets = rng.permutation(np.arange(count) % len(names))
    left_handed = np.isin(np.arange(count), rng.choice(count, LEFT_HANDERS, replace=False))
    moments = np.round(np.linspace(0, FRAMES - 1, 2 * count)).astype(int)
    early, late = rng.permutation(moments[:count]), rng.permutation(moments[count:])
    return [
        Golfer(pool[person], names[preset], bool(left), (int(first), int(second)))
        for person, preset, left, first, second in zip(people, presets, left_handed, early, late, strict=True)
    ]
