"""What films say, as the diagnosis of readings that somebody made by hand, and beside it what was read at impact."""

from __future__ import annotations

from ...model.films.film_reading import Reading as FilmReading
from ...model.films.filmed_golfer import ADDRESS_MEAN_SD, BONES, Known
from ...model.films.impact_beside_films import FilmedGolfer
from ...model.films.readings import READINGS
from ..diagnose.found import PRIOR, Diagnosed, answered
from ..diagnose.mend import mend
from ..diagnose.of_body import head_scale
from ..diagnose.readings import Asked, Reading
from ..setups.perform import FEWEST_FRAMES, perform
from ..setups.presets import load
from ..setups.quantities import to_border
from ..setups.settings import apply
from .by_hand import ByHand


def as_diagnosed(
    known: Known, reading: FilmReading, female: bool, left_handed: bool, by_hand: ByHand
) -> tuple[Diagnosed, ...]:
    """The diagnoses of a golfer as fitted: at the top, and of impact where somebody read it.

    Args:
        known: of the golfer, before the films.
        reading: of the films, which has the faults of the top already.
        female: whose average proportions were taken.
        left_handed: which way the golfer swings.
        by_hand: what was read at impact.

    Raises:
        TurnstillError: for anything that cannot be such a reading.
    """
    setup = apply(load("centred"), settings_of(reading, female, left_handed, 4))
    at_impact = by_hand.asked(setup)
    performed = perform(setup, FEWEST_FRAMES, through_impact=at_impact is not None)
    readings, sds = [], {}
    for k, (name, unit) in enumerate(READINGS.items()):
        sds[name] = to_border(unit, reading.sd[0, k])
        if reading.told[0, k]:
            readings.append(Reading(name, to_border(unit, reading.value[0, k]), sds[name], True, "film"))
    asked = Asked(tuple(readings), sds, head_scale(setup), {})
    at_top = answered(performed, asked, reading.diagnosis)
    if at_impact is None:
        return (at_top,)
    golfer, sure = FilmedGolfer.of(known, reading), at_impact.seen_sd_of_read
    found = golfer.diagnose(at_impact.seen, sure)
    fits = bool(found.fits[0])
    mended = None if fits else mend(at_impact, found.film, PRIOR, lambda seen: golfer.diagnose(seen, sure))
    return at_top, answered(performed, at_impact, found, mended)


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
