"""How far the hips of a swing could turn, and what would stop them there."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Self

import numpy as np

from ...model.questions.available import most_hip_turn
from ...model.swing.doing import Doing, at_once
from ..setups.perform import Performed
from ..setups.reports import Number, Report
from ..words.cautions import listed, spoken
from ..words.hip_ceiling import ceiling_sentence


class HipRoomReport(Report):
    """The most hip turn of one swing, knees and place of the pelvis as asked."""

    swing: str
    """whose it is"""
    most_hip_turn_deg: Number
    """how far the hips could turn with the knees and the place of the pelvis as asked; a swing that gives way there can
    get a little more"""
    stopped_by: list[str]
    """names of the ranges that would stop them there"""
    trunk_bend_deg: Number
    """forward bend of the ribcage at address, as asked"""

    @classmethod
    def of(cls, performed: Performed, do: Doing = at_once) -> Self | None:
        """Of a swing; nothing where it was not found for certain. ``do`` says how its golfer is stood at address."""
        swing = performed.swing
        found = most_hip_turn(swing.body, swing.address, swing.pieces, do)
        if not np.all(found.converged):
            return None
        flags = np.reshape(found.stopped_by, len(found.limit_names))
        return cls(
            swing=performed.setup.name,
            most_hip_turn_deg=float(np.degrees(np.squeeze(found.hip_turn))),
            stopped_by=[name for name, stopped in zip(found.limit_names, flags, strict=True) if stopped],
            trunk_bend_deg=float(np.degrees(np.squeeze(swing.address.forward_bend))),
        )

    @property
    def stops(self) -> str:
        """What would stop the hips, in words; empty where nothing would."""
        return listed([spoken(name) for name in self.stopped_by]) if self.stopped_by else ""


def room_sentence(rooms: Sequence[HipRoomReport]) -> str:
    """The most hip turn of two swings in one sentence."""
    first, later = rooms
    if first.stopped_by == later.stopped_by:
        most = " and ".join(f"{room.most_hip_turn_deg:.0f}° in {room.swing}" for room in rooms)
        most += f"; there {first.stops} would stop both" if first.stops else ""
    else:
        most = " and ".join(
            f"{room.most_hip_turn_deg:.0f}° in {room.swing}"
            + (f" (where {room.stops} would stop them)" * bool(room.stops))
            for room in rooms
        )
    return f"With the knees and the place of the pelvis as asked, the hips could turn at most {most}."


def more_sentence(room: HipRoomReport) -> str:
    """What would stop one swing's hips if more were asked of them; empty where nothing would."""
    if not room.stops:
        return ""
    return (
        f"Asked for more hip turn, knees and place of the pelvis as they are, {room.stops} would stop the hips at "
        f"{room.most_hip_turn_deg:.0f}°."
    )


def ceiling(rooms: Sequence[HipRoomReport]) -> str:
    """What people reach of such a turn; said after it."""
    return ceiling_sentence([room.trunk_bend_deg for room in rooms])
