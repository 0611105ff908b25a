"""What a swing was asked, in plain numbers: what *everything else as it was* means where one thing is changed."""

from __future__ import annotations

import numpy as np

from ...model.swing.swing import Swing
from .perform import Performed
from .presets import Setup
from .quantities import PIECES_SECTION, Departure, Entry, section_entries, to_border


def in_plain_numbers(performed: Performed) -> Setup:
    """The setup with what was asked for as steady as the degrees it came to at the top."""
    setup = performed.setup
    for key, entry in section_entries(PIECES_SECTION).items():
        if isinstance(setup.section(PIECES_SECTION).get(key), Departure):
            setup = setup.changed(PIECES_SECTION, key, amount_at_top(performed.swing, entry))
    return setup


def amount_at_top(swing: Swing, entry: Entry) -> float:
    """What a swing was asked at the top of a piece or of the address, in the entry's unit."""
    values = swing.asked if entry.section == PIECES_SECTION else vars(swing.address)
    unit = entry.quantity.unit if entry.quantity else "cm"
    return to_border(unit, np.ravel(values[entry.name])[-1])
