"""The ``strike`` command's work: swings through impact, their arcs, and what each piece does to them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ...model.arrays import Array
from ...model.errors import TurnstillError
from ...model.questions.arc import Arc
from ...model.questions.strike import Striking
from ...model.questions.strike_causes import StrikeCauses, causes_of
from ...model.swing.rehearsal import Rehearsal
from ...model.swing.swing import Swing
from ..delivery.deliver import deliver
from ..delivery.outputs import check_outputs
from ..setups.naming import titled
from ..setups.past_the_ball import not_passed, striking_of
from ..setups.perform import FEWEST_FRAMES, Performed, about, perform, swing_of
from ..setups.presets import Setup, load
from ..setups.settings import apply

NUMBERS_FILE = "strike.json"
"""In a folder of results: the report, and the list of the folder's files."""


@dataclass(frozen=True)
class Passed:
    """A swing and how its club passes the ball.

    Attributes:
        swing: through impact, no batch axes.
        arc: of its club at the ball.
        path: ``(DRAWN, 3)`` m of the clubhead from the ball, on its way past it.
        at_ball: ``(3,)`` m, where it is at impact.
        hands_ahead: m, of the ball in the centred swing: as asked, or the nearest to it that there is.
    """

    swing: Swing
    arc: Arc
    path: Array
    at_ball: Array
    hands_ahead: float

    @classmethod
    def of(cls, swing: Swing, striking: Striking) -> Passed:
        """Of a swing, and of the same golfer asked for the same strike.

        Raises:
            TurnstillError: where the club does not pass the ball.
        """
        arc = striking.arc()
        _check_passes("this swing", arc)
        return cls(
            swing=swing,
            arc=arc,
            path=striking.drawn(),
            at_ball=striking.at(np.ones(1))[0, 0],
            hands_ahead=float(striking.delivery.hands_ahead[0]),
        )


def _check_passes(whose: str, arc: Arc) -> None:
    if not arc.passes:
        raise TurnstillError(not_passed(whose))


@dataclass(frozen=True)
class Struck:
    """A swing with its strike.

    Attributes:
        performed: the swing up to the top; no batch axes.
        passed: the same through impact, and how its club passes the ball.
        causes: what does what to its strike.
        centred_path: as ``passed.path``, of this golfer's centred swing.
        from_address: the strike of the centred swing with the head held where it was at address.
    """

    performed: Performed
    passed: Passed
    causes: StrikeCauses
    centred_path: Array
    from_address: Arc

    @property
    def swing(self) -> Swing:
        """The swing through impact."""
        return self.passed.swing

    @property
    def at_impact(self) -> int:
        """The moment of impact."""
        return self.swing.at_impact


def struck(setup: Setup) -> Struck:
    """Simulate a setup through impact and look at its strike.

    Raises:
        TurnstillError: what was asked cannot be simulated, or its club does not pass the ball.
    """
    # The swing, what it is measured against and its strike are of one golfer, who is stood once.
    rehearsal = Rehearsal()
    striking = striking_of(setup, rehearsal.do)
    passed = Passed.of(swing_of(setup, 3, rehearsal.simulate, through_impact=True), striking)
    causes = causes_of(striking)
    _check_passes("this golfer's centred swing", causes.centred)
    return Struck(
        performed=perform(setup, FEWEST_FRAMES, rehearsal.simulate),
        passed=passed,
        causes=causes,
        centred_path=striking.centred.drawn(),
        from_address=striking.centred_from_address.arc(),
    )


def strike_to(
    presets_or_files: list[str], settings: list[str], *, json_file: str | None, out: str | None, inches: bool
) -> None:
    """Print the strike of one or two swings, and write it as JSON and as a page where asked.

    Raises:
        TurnstillError: for anything a user can mend; no file is then written.
    """
    from .page import strike_page
    from .report import StrikeReport
    from .table import strike_table

    setups = titled([apply(load(one), settings) for one in presets_or_files])
    check_outputs({"--json": json_file}, out, NUMBERS_FILE)
    found = []
    for setup in setups:
        with about(setup.name):
            found.append(struck(setup))
    report = StrikeReport.of(found)
    shown = StrikeReport.of(found, inches=True) if inches else report
    deliver(
        report, lambda: strike_page(shown, inches), lambda: strike_table(shown, inches), numbers_file=NUMBERS_FILE,
        json_file=json_file, out=out,
    )  # fmt: skip
