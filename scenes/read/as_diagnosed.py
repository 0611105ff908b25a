"""What films say, as the diagnosis of readings that somebody made by hand."""

from __future__ import annotations

import numpy as np

from ...model.films.film_reading import Reading as FilmReading
from ...model.films.filmed_golfer import ADDRESS_MEAN_SD, BONES
from ...model.films.readings import READINGS
from ..diagnose.found import Diagnosed, answered
from ..diagnose.readings import Asked, Reading, scale_of
from ..setups.perform import FEWEST_FRAMES, body_of, perform
from ..setups.presets import load
from ..setups.quantities import to_border
from ..setups.settings import apply


def as_diagnosed(reading: FilmReading, female: bool, left_handed: bool) -> Diagnosed:
    """The diagnosis of a golfer as fitted.

    Args:
        reading: of the films, which has the faults already.
        female: whose average proportions were taken.
        left_handed: which way the golfer swings.
    """
    setup = apply(load("centred"), settings_of(reading, female, left_handed, 4))
    readings, sds = [], {}
    for k, (name, unit) in enumerate(READINGS.items()):
        sds[name] = to_border(unit, reading.sd[0, k])
        if reading.told[0, k]:
            readings.append(Reading(name, to_border(unit, reading.value[0, k]), sds[name], True, "film"))
    size = (float(np.squeeze(body_of(setup).shape[name])) for name in ("head_breadth", "head_length"))
    asked = Asked(tuple(readings), sds, scale_of(None, None, *size), {})
    return answered(perform(setup, FEWEST_FRAMES), asked, reading.diagnosis)


def settings_of(reading: FilmReading, female: bool, left_handed: bool, decimals: int) -> list[str]:
    """The golfer as fitted, as ``--set`` would say it.

    Args:
        reading: of the films.
        female: whose average proportions were taken.
        left_handed: which way the golfer swings.
        decimals: of numbers, in centimetres, degrees and kilograms.
    """
    body, address = reading.body[0], reading.address[0]
    settings = {"stature": to_border("cm", body.stature), "mass": to_border("kg", body.mass)}
    settings |= {name: to_border("cm", body.lengths[name]) for name in BONES}
    for name in ADDRESS_MEAN_SD:
        settings[name] = to_border("cm" if name == "stance_width" else "deg", getattr(address, name))
    words = [f"{name}={value:.{decimals}f}" for name, value in settings.items()]
    return [*words, "sex=female" if female else "sex=male", *(["handedness=left"] if left_handed else [])]
