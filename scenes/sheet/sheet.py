"""A sheet's swings and numbers: the present swing, the same with one piece changed, and what that is to be felt as."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from ...model.films import dose
from ...model.films.dose import Amount, Dose
from ...model.golfer.pieces import MAY_BE_STEADY, PIECES
from ...model.questions.felt import Felt, felt
from ..setups.perform import FEWEST_FRAMES, Performed, about, perform, swing_of
from ..setups.presets import Setup
from ..setups.quantities import PIECES_SECTION, Departure, section_entries, to_border
from ..setups.taken_along import CentredArc, TakenAlong
from .choice import Choice, chosen_by_head, chosen_by_name, read_felt
from .touching import Check, checks

NOW, AFTER = "now", "after"
"""How the two swings are called in pictures and tables."""


@dataclass(frozen=True)
class Sheet:
    """Everything that a sheet tells.

    Attributes:
        now: the present swing.
        after: the same with the piece changed by all of ``choice.change``.
        choice: what changes.
        felt: what to ask for, rad or m.
        dose: what it rests on; None where the feel was given.
        on_film: what the change does to places of the body.
        as_felt: what the feel would do to them if all of it came.
        against: what a wall or a stick would be touched by.
        arcs: this golfer's centred arc, taken along with the base of the neck now and after.
    """

    now: Performed
    after: Performed
    choice: Choice
    felt: float
    dose: Dose | None
    on_film: Felt
    as_felt: Felt
    against: Sequence[Check]
    arcs: tuple[TakenAlong, TakenAlong]


def make_sheet(now: Performed, feel: Sequence[str] = (), felt_given: str | None = None) -> Sheet:
    """The sheet of a swing.

    Args:
        now: the present swing.
        feel: a piece, or a piece and how much more of it a film is to show: ``extension=8``; what cost the head most if
            empty.
        felt_given: how much to feel, in the piece's unit, as ``record next`` says it from earlier films; if not given,
            what an unknown golfer is taken to need.

    Raises:
        TurnstillError: where there is nothing to change, or what was given cannot be.
    """
    choice = chosen_by_name(now, feel) if feel else chosen_by_head(now)
    given = None if felt_given is None else read_felt(felt_given, choice)
    asked = None if given is not None else usual_dose(choice)
    ask = given if given is not None else float(asked.feel) if asked is not None else choice.change
    with about("the swing with that changed"):
        after = perform(after_setup(now, choice), len(now.swing.progress))
    both = felt(now.swing, choice.piece, np.array([choice.change, ask]))
    arc = CentredArc(now.setup)
    along = arc.along(now), arc.along(after)
    return Sheet(now, after, choice, ask, asked, both[0], both[1], checks(now.swing, after.swing), along)


def usual_dose(choice: Choice) -> Dose:
    """How much to ask for before any film of this golfer tells how much of a feel comes (`model.films.dose`)."""
    unit = PIECES[choice.piece].unit
    nothing = np.array(0.0)
    response = Amount(np.array(dose.PRIOR.mean), np.array(dose.PRIOR.sd))
    return dose.next_feel(Amount(np.array(choice.change), nothing), response, dose.FEEL_CAP[unit])


def after_setup(now: Performed, choice: Choice) -> Setup:
    """The present setup with the piece changed, everything else as it was at the top.

    Tilt and extension that were asked for as steady stay what they were in degrees at the top; on the way there they
    depart from what keeps the head still as evenly as they did.
    """
    piece, unit = choice.piece, PIECES[choice.piece].unit
    entries = {entry.name: entry for entry in section_entries(PIECES_SECTION).values()}
    given = {name: now.setup.section(PIECES_SECTION).get(entries[name].key) for name in (*MAY_BE_STEADY, piece)}
    change = to_border(unit, choice.change)
    at_top = to_border(unit, now.swing.asked[piece][-1])
    own = given[piece]
    if piece in MAY_BE_STEADY and (choice.to_what_holds or isinstance(own, Departure)):
        plus = own.plus_deg + change if isinstance(own, Departure) and not choice.to_what_holds else 0.0
        return now.setup.changed(PIECES_SECTION, entries[piece].key, Departure(plus))
    setup = now.setup.changed(PIECES_SECTION, entries[piece].key, at_top + change)
    if piece not in MAY_BE_STEADY and any(isinstance(given[name], Departure) for name in MAY_BE_STEADY):
        held = swing_of(setup, FEWEST_FRAMES).steady
        for name in MAY_BE_STEADY:
            if isinstance(given[name], Departure):
                plus = to_border("deg", now.swing.asked[name][-1] - held[name][-1])
                setup = setup.changed(PIECES_SECTION, entries[name].key, Departure(plus))
    return setup
