"""Where swings are worked out for pages: what has not changed since the last ones is kept."""

from __future__ import annotations

import json
import struct
from collections.abc import Sequence
from typing import Any

import numpy as np
from pydantic_core import to_json

from ...model.errors import TurnstillError
from ...model.questions.available import most_hip_turn
from ...model.swing.rehearsal import Rehearsal
from ...model.swing.swing import Swing
from ..setups.options import MOMENTS
from ..setups.past_the_ball import striking_of
from ..setups.perform import FEWEST_FRAMES, address_of, body_of, is_left_handed, perform, swing_of
from ..setups.presets import Setup
from ..setups.taken_along import neck_moved
from ..strike.report import StruckSwing
from ..strike.work import Passed, struck
from ..words.hip_ceiling import ceiling_sentence
from ..words.low_point import low_point_goes
from . import drawn
from .messages import SwingMessage
from .report import HipRoomLive, LiveReport, SteadyLive
from .words import head_sentences, steady_sentence

KEPT = 12
"""Answers of each stage: two swings in each of two pages, each with what its strike is measured against."""


class Studio:
    """Works out one swing at a time; it remembers how, never whose.

    Every message brings its whole swing, so pages cannot see each other's. One thread at a time, but for what is about
    figures.
    """

    def __init__(self, figures: drawn.Figures | None = None, moments: int = MOMENTS) -> None:
        """Nothing is kept yet.

        Args:
            figures: what draws golfers.
            moments: of a swing, from address to the top.
        """
        self._rehearsal = Rehearsal(KEPT)
        self._figures = figures or drawn.Figures()
        self._moments = moments

    def prepare(self, setups: Sequence[Setup], *, on: bool = False) -> None:
        """Work swings out that a page will ask for first: what draws them is loaded, and their figures are shaped.

        Args:
            setups: the swings.
            on: whether they go on through impact.

        Raises:
            TurnstillError: for a swing that cannot be simulated.
        """
        for setup in setups:
            self._told(setup, hip_room=False, drawing=True, on=on)

    def is_shaped(self, message: SwingMessage) -> bool:
        """Whether the figure that a swing needs is there already; any thread may ask.

        Raises:
            TurnstillError: for what cannot be asked.
        """
        setup = message.setup()
        return self._figures.has(drawn.key_for(body_of(setup), address_of(setup), is_left_handed(setup)))

    def shape(self, message: SwingMessage) -> None:
        """Shape the figure that a swing needs, which takes a second or two; beside everything else, in any thread.

        Raises:
            TurnstillError: for what cannot be asked, or cannot be simulated.
        """
        self._figures.of(swing_of(message.setup(), FEWEST_FRAMES))

    def swing(self, message: SwingMessage) -> bytes:
        """A swing: four bytes with the length of a JSON text, little end first, the text, and how the figure moves.

        Raises:
            TurnstillError: for what cannot be asked, or cannot be simulated.
        """
        return self._told(message.setup(), hip_room=message.most_hip_turn, drawing=message.drawn, on=message.on)

    def _told(self, setup: Setup, *, hip_room: bool, drawing: bool, on: bool) -> bytes:
        # Without the centred turn by the same golfer: nothing is measured against it here, and it stands differently.
        swing = swing_of(setup, self._moments, self._rehearsal.simulate, through_impact=on)
        heads, steady = head_sentences(swing), SteadyLive.of(swing)
        report = LiveReport.of(
            setup,
            swing,
            figure=drawn.key_of(swing),
            steady=steady,
            sentences=[heads[swing.at_top], steady_sentence(steady)],
            heads=heads,
            hip_room=self._hip_room(swing) if hip_room else None,
            passed=Passed.of(swing, striking_of(setup, self._rehearsal.do)) if on else None,
            marks=drawn.marks(swing) if drawing else None,
        )
        motion = drawn.motion_payload(self._figures, swing) if drawing else b""
        text = _json_of(report)
        return struct.pack("<I", len(text)) + text + motion

    def strike(self, message: SwingMessage) -> dict[str, Any]:
        """What takes too long to be told while a slider moves; in any thread.

        Of a swing that goes on to impact what ``turnstill strike`` says, what did it and what mends it; of one that
        ends at the top where the arc's low point goes, if the base of the neck stays where it went.

        Raises:
            TurnstillError: for what cannot be asked, or cannot be simulated.
        """
        setup = message.setup()
        if message.on:
            return {"sentences": StruckSwing.of_swing(struck(setup)).sentences}
        return {"sentences": [low_point_goes(100.0 * neck_moved(perform(setup, FEWEST_FRAMES)))]}

    def figure(self, message: SwingMessage) -> bytes:
        """The figure of a swing's golfer and club; in any thread.

        Raises:
            TurnstillError: for what cannot be asked, or cannot be simulated.
        """
        return self._figures.payload(swing_of(message.setup(), FEWEST_FRAMES))

    def check(self, messages: Sequence[SwingMessage], *, on: bool = False) -> None:
        """See to it that swings can be.

        Args:
            messages: the swings.
            on: whether their clubs are to pass the ball.

        Raises:
            TurnstillError: for what cannot be asked, or cannot be simulated.
        """
        for setup in (message.setup() for message in messages):
            perform(setup, self._moments, self._rehearsal.simulate)
            if on:
                swing = swing_of(setup, self._moments, self._rehearsal.simulate, through_impact=True)
                Passed.of(swing, striking_of(setup, self._rehearsal.do))

    def _hip_room(self, swing: Swing) -> HipRoomLive | None:
        found = most_hip_turn(swing.body, swing.address, swing.pieces, self._rehearsal.do)
        if not np.all(found.converged):
            return None
        return HipRoomLive(
            most_hip_turn_deg=float(np.degrees(np.squeeze(found.hip_turn))),
            stopped_by=[n for n, s in zip(found.limit_names, np.ravel(found.stopped_by), strict=True) if s],
            ceiling=ceiling_sentence([float(np.degrees(np.squeeze(swing.address.forward_bend)))]),
        )


def _json_of(report: LiveReport) -> bytes:
    """A report as JSON, in a fraction of the time that Python's own writer takes.

    Raises:
        TurnstillError: for numbers that are not finite, which JSON does not have.
    """
    text = to_json(report, inf_nan_mode="constants")
    if b"NaN" in text or b"Infinity" in text:  # Or a swing is called so: that Python's own writer knows.
        try:
            json.dumps(report.model_dump(), allow_nan=False)
        except ValueError as wrong:
            raise TurnstillError(
                "This swing has numbers that are not finite, so the body or the address cannot be; go back a step."
            ) from wrong
    return text
