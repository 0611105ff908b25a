"""How far the hips could turn in each of two swings, where stance, body or knees differ, and what stops them."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from ...model.questions.available import Available, most_hip_turn
from ..setups.perform import Performed
from ..words.cautions import listed, spoken


def room_sentence(sides: Sequence[Performed], names: Sequence[str]) -> list[str]:
    """The most hip turn of two swings in one sentence; nothing where it was not found for certain.

    It is the turn that is left when knees and pelvis place are held as asked, so a swing that gives way there can
    get a little more.

    Args:
        sides: the two swings.
        names: how the page calls them.
    """
    found = [most_hip_turn(side.swing.body, side.swing.address, side.swing.pieces) for side in sides]
    turns = [float(np.degrees(np.squeeze(one.hip_turn))) for one in found]
    if not all(np.all(one.converged) for one in found):
        return []
    stops = [_stops(one) for one in found]
    if stops[0] == stops[1]:
        most = f"{turns[0]:.0f}° in {names[0]} and {turns[1]:.0f}° in {names[1]}"
        most += f"; {listed(stops[0])} {_stop(stops[0])} both" if stops[0] else ""
    else:
        most = " and ".join(
            f"{turn:.0f}° in {name}" + (f" (where {listed(by)} {_stop(by)} them)" if by else "")
            for turn, name, by in zip(turns, names, stops, strict=True)
        )
    return [f"With the knees and the place of the pelvis as asked, the hips could turn at most {most}."]


def _stops(available: Available) -> list[str]:
    flags = np.reshape(available.stopped_by, len(available.limit_names))
    return [spoken(name) for name, stopped in zip(available.limit_names, flags, strict=True) if stopped]


def _stop(ranges: Sequence[str]) -> str:
    return "stop" if len(ranges) > 1 else "stops"
