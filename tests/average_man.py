"""Readings without noise of an average man who departs from the centred turn in what one says."""

from __future__ import annotations

import numpy as np
import simulated_faults as swings

from turnstill.model.films.readings import READINGS
from turnstill.model.golfer.address import Address
from turnstill.model.golfer.body import Body
from turnstill.model.golfer.pieces import DEPARTURES

MAN = Body.from_stature(1.78, 80.0, "male")
TILT, EXTENSION = DEPARTURES.index("tilt"), DEPARTURES.index("extension")


def read(departures_deg_cm, names=tuple(READINGS)):
    """Noiseless readings of an average man with these departures."""
    amounts = np.array([[departures_deg_cm.get(name, 0.0) for name in DEPARTURES]])
    flat = Body.from_stature(np.array([1.78]), np.array([80.0]), "male")
    shown, _ = swings.film(flat, Address(), amounts)
    values = dict(zip(READINGS, shown[0] * swings.READ_TO_MODEL, strict=True))
    return {name: values[name] for name in names}
