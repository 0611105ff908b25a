"""A swing of 41 moments while one thing of it changes: rehearsed, with the figure's matrices, beside `simulate`.

Run as ``python tests/benchmarks/live.py``.
"""

from __future__ import annotations

import one_core  # before numpy, whose threads start with the import

# isort: split
import statistics
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from turnstill.model import Address, Body, Pieces, Steady, simulate
from turnstill.model.golfer.club import fitted_club
from turnstill.model.swing.rehearsal import Rehearsal
from turnstill.render.body.bones import bone_frames
from turnstill.render.body.skinning import since_rest

REPEATS = 21
Change = Callable[[Address, Pieces, float], tuple[Address, Pieces]]


@dataclass(frozen=True)
class Slider:
    """What is dragged.

    Attributes:
        name: in words.
        change: address and pieces where it stands at 0 to 1.
        at_most_ms: simulation and matrices together, on a quiet core.
    """

    name: str
    change: Change
    at_most_ms: float


def piece(name: str, first: float, last: float, at_most_ms: float, per: float = 1.0, *, steady: bool = False) -> Slider:
    """A piece in degrees, or ``per`` of them a metre."""

    def change(address: Address, pieces: Pieces, at: float) -> tuple[Address, Pieces]:
        value = np.radians(first + at * (last - first)) if per == 1.0 else (first + at * (last - first)) / per
        return address, pieces.replace(**{name: Steady(value) if steady else value})

    return Slider(f"{name.replace('_', ' ')}{', from steady' * steady}", change, at_most_ms)


def of_address(name: str, first: float, last: float) -> Slider:
    """An angle of the address, degrees."""

    def change(address: Address, pieces: Pieces, at: float) -> tuple[Address, Pieces]:
        return address.replace(**{name: np.radians(first + at * (last - first))}), pieces

    return Slider(name.replace("_", " "), change, 50.0)


SLIDERS = (
    piece("tilt", -10.0, 10.0, 12.0, steady=True),
    piece("extension", -10.0, 10.0, 12.0, steady=True),
    piece("tilt", 20.0, 45.0, 12.0),
    piece("shoulder_turn", 75.0, 95.0, 12.0),
    piece("hip_turn", 35.0, 50.0, 30.0),
    piece("lead_flex_change", 5.0, 20.0, 30.0),
    piece("sway", -2.0, 6.0, 30.0, per=100.0),
    of_address("lead_flare", 5.0, 25.0),
    of_address("forward_bend", 33.0, 42.0),
)


def main() -> None:
    """Print the table."""
    print(one_core.machine(), "\n")
    body = Body.from_stature()
    standing, usual = Address(club_length=float(fitted_club(body))), Pieces()
    rows = []
    for slider in SLIDERS:
        rehearsal, mine, drawn, plain = Rehearsal(), [], [], []
        rehearsal.simulate(body, standing, usual)
        for at in np.linspace(0.0, 1.0, REPEATS):
            address, pieces = slider.change(standing, usual, float(at))
            # Side by side, so that what else the machine does is done to both.
            seconds, swing = one_core.cpu_seconds(lambda a=address, p=pieces, r=rehearsal: r.simulate(body, a, p))
            mine.append(seconds)
            rest = bone_frames(swing.skeleton[0])
            drawn.append(one_core.cpu_seconds(lambda s=swing, r=rest: since_rest(s.skeleton, r))[0])
            plain.append(one_core.cpu_seconds(lambda a=address, p=pieces: simulate(body, a, p))[0])
        ms = [1e3 * statistics.median(one) for one in (mine, drawn, plain)]
        shown = (f"{ms[0]:.1f}", f"{ms[1]:.1f}", f"{ms[0] + ms[1]:.1f}", f"{slider.at_most_ms:.0f}")
        rows.append((slider.name, *shown, f"{ms[2]:.1f}", f"{ms[0] / ms[2]:.0%}"))
    head = ("what is dragged", "rehearsed, ms", "matrices", "both", "at most", "simulate", "rehearsed of it")
    print(one_core.table(head, rows))


if __name__ == "__main__":
    main()
