"""Setups that differ in one thing as one batch, so that all of them are solved together."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import fields

from ...model.golfer.address import Address
from ...model.golfer.body import Body
from ...model.golfer.pieces import Pieces, Steady, departs
from ...model.questions.experiment import Experiment, experiment
from ...model.swing.swing import Swing
from ..setups.perform import address_of, body_of, head_of, is_left_handed, pieces_of
from ..setups.presets import Setup


def solve_together(setups: Sequence[Setup]) -> Experiment:
    """An experiment whose members are setups of one golfer, in their order.

    Tilt and extension must be of one kind throughout, a number or a departure from steady; the last setup may be of
    the other kind.

    Raises:
        TurnstillError: what cannot be simulated.
    """
    bodies = [body_of(setup) for setup in setups]
    pieces = [pieces_of(setup) for setup in setups]
    addresses = [address_of(setup) for setup in setups]
    left, head = is_left_handed(setups[-1]), head_of(setups[-1])
    if _kinds(pieces[-1]) != _kinds(pieces[0]):
        own = experiment(bodies[-1], addresses[-1], pieces[-1], left, head).swing
        pieces[-1] = _as_kind(pieces[-1], pieces[0], own)
    return experiment(Body.stack(bodies), Address.stack(addresses), Pieces.stack(pieces), left, head)


def _kinds(pieces: Pieces) -> list[bool]:
    return [departs(getattr(pieces, item.name)) for item in fields(Pieces)]


def _as_kind(pieces: Pieces, like: Pieces, swing: Swing) -> Pieces:
    """The same pieces in the kind of others: as the number that steady comes to, or as what departs from it."""
    changes: dict[str, Steady | float] = {}
    for name in ("tilt", "extension"):
        is_departure, shall = (departs(getattr(one, name)) for one in (pieces, like))
        asked, held = float(swing.asked[name][..., -1]), float(swing.steady[name][..., -1])
        if is_departure != shall:
            changes[name] = Steady(asked - held) if shall else asked
    # What was asked and what holds the head may add up past what may be asked for.
    return Pieces.unchecked(**{**vars(pieces), **changes})
