"""Which swings a film or a strip was asked to show."""

from __future__ import annotations

from collections.abc import Sequence

from ...model.errors import TurnstillError
from ...model.swing.swing import Swing
from ..delivery.progress import Progress
from ..delivery.terminal import tell
from ..setups.naming import titled
from ..setups.past_the_ball import impact_notes
from ..setups.perform import about, swing_of
from ..setups.presets import Setup, load
from ..setups.settings import apply
from ..words.at_impact import CAUTION
from ..words.cautions import warnings
from .timing import DENSE

MOST_SWINGS = 2


def asked_swings(command: str, names: Sequence[str], settings: list[str]) -> list[Setup]:
    """The setups of one or two swings.

    Raises:
        TurnstillError: for more, or for a swing there is not.
    """
    if not 1 <= len(names) <= MOST_SWINGS:
        raise TurnstillError(
            f"{command} was given {len(names)} swings, but takes one or two presets or TOML files; "
            f"try: turnstill {command} centred too-much-tilt"
        )
    return titled([apply(load(name), settings) for name in names])


def simulated(setups: Sequence[Setup], progress: Progress, through_impact: bool = False) -> list[Swing]:
    """Each swing in many moments, ``DENSE`` of them up to the top."""
    swings = []
    for setup in setups:
        progress.step(f"simulating {setup.name}")
        with about(setup.name):
            swings.append(swing_of(setup, DENSE, through_impact=through_impact))
    return swings


def tell_notes(setups: Sequence[Setup], swings: Sequence[Swing]) -> None:
    """Say what a person should not overlook in what was drawn."""
    for setup, swing in zip(setups, swings, strict=True):
        for warning in (*warnings(swing), *impact_notes(setup, swing)):
            tell(f"Note on {setup.name}: {warning}")
    if any(swing.impact is not None for swing in swings):
        tell(CAUTION)
