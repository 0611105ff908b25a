"""A swing of 41 moments while one thing of it changes: rehearsed, with the figure's matrices, beside `simulate`.

And one of 81 that goes on to impact, with the arc of its club.

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
from turnstill.model.golfer.head_place import HeadPlace
from turnstill.model.golfer.impact import Impact, centred_at_impact
from turnstill.model.questions.arc import Arc
from turnstill.model.questions.strike import Striking
from turnstill.model.swing.rehearsal import Rehearsal
from turnstill.model.swing.swing import Swing
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


Asked = Callable[[float], tuple[Pieces, Impact]]
"""What is asked at the top and at impact where a slider stands at 0 to 1."""


def of_impact(**ends: tuple[float, float] | tuple[Steady, Steady]) -> Asked:
    """A piece of impact, rad or m."""

    def asked(at: float) -> tuple[Pieces, Impact]:
        values = {}
        for name, (first, last) in ends.items():
            if isinstance(first, Steady) and isinstance(last, Steady):
                values[name] = Steady(float(first.plus) + at * float(last.plus - first.plus))
            else:
                values[name] = first + at * (last - first)
        return Pieces(), Impact(centred_at_impact().replace(**values))

    return asked


ON: dict[str, Asked] = {
    "tilt at impact, from steady": of_impact(tilt=(Steady(-0.15), Steady(0.15))),
    "hip turn at impact": of_impact(hip_turn=(-0.9, -0.3)),
    "sway at impact": of_impact(sway=(-0.1, 0.0)),
    "head wanted up at impact": lambda at: (Pieces(), Impact(head=HeadPlace(up=0.04 * at - 0.02))),
    "tilt, from steady": lambda at: (Pieces(tilt=Steady(0.3 * at - 0.15)), Impact()),
    "hip turn": lambda at: (Pieces(hip_turn=0.6 + 0.3 * at), Impact()),
}
"""What is dragged of a swing that goes on."""


def on_to_impact(body: Body, standing: Address) -> None:
    """Print what swings take that go on, and what the same slider takes up to the top where it is one of it."""
    rows = []
    for name, asked in ON.items():
        rehearsals = Rehearsal(12), Rehearsal(12)
        took: tuple[list[float], ...] = ([], [], [])
        for at in np.linspace(0.0, 1.0, REPEATS):
            pieces, impact = asked(float(at))

            def swing(r: Rehearsal = rehearsals[0], p: Pieces = pieces, i: Impact | None = impact) -> Swing:
                return r.simulate(body, standing, p, impact=i)

            def arc(r: Rehearsal = rehearsals[0], p: Pieces = pieces, i: Impact = impact) -> Arc:
                return Striking.of(body, standing, p, i, HeadPlace(), r.do).arc()

            def short(r: Rehearsal = rehearsals[1], p: Pieces = pieces) -> Swing:
                return r.simulate(body, standing, p)

            for kept, work in zip(took, (swing, arc, short), strict=True):
                kept.append(one_core.cpu_seconds(work)[0])
        whole, club, top = (1e3 * statistics.median(one[1:]) for one in took)
        rows.append((name, f"{whole:.1f}", f"{club:.1f}", f"{whole + club:.1f}", f"{top:.1f}"))
    head = ("what is dragged, on to impact", "81 moments, ms", "arc of the club", "both", "to the top")
    print("\n" + one_core.table(head, rows))


def main() -> None:
    """Print the tables."""
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
    on_to_impact(body, standing)


if __name__ == "__main__":
    main()
