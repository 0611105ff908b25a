"""A student's record in plain sentences made from the computed numbers only."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from ...model.films import dose
from ...model.films.readings import USUAL_SD_SHOWN
from ..setups.quantities import to_border
from ..words.cautions import listed
from ..words.pieces import NAMES, head_words
from ..words.units import told_length

if TYPE_CHECKING:
    from collections.abc import Sequence

    from .report import EntryReport, FilmReport, ResponseReport, ShowReport

STOP = "A feel is for slow practice swings: stop with pain, and never force a range to reach an amount."
FEEL_CAUTIONS = (STOP, "What is exaggerated today can be overdone in a few weeks, and only a film tells.")
ASSUMPTIONS = (
    f"Before any film a golfer is taken to get {dose.PRIOR.mean:g} of what is felt, sd {dose.PRIOR.sd:g}, the pieces "
    f"of one golfer being alike by a correlation of {dose.PRIOR.alike:g} (assumption: common practice says only that a "
    "feel must be exaggerated).",
    f"A film is read within {USUAL_SD_SHOWN['deg']:g}° or {USUAL_SD_SHOWN['cm']:g} cm (sd) where nothing else was "
    f"written down, and a piece scatters by {to_border('deg', dose.SCATTER['deg']):g}° or "
    f"{to_border('cm', dose.SCATTER['cm']):g} cm (sd) from swing to swing (assumptions).",
    f"No feel above {to_border('deg', dose.FEEL_CAP['deg']):g}° or {to_border('cm', dose.FEEL_CAP['cm']):g} cm is "
    "advised at once (assumption: caution, no published source).",
    f"How far a piece moves this head is the model's, within {dose.SLOPE_SD:.0%} (sd).",
    "The piece asked about is taken to be the one that was at fault on the first film (assumption: whoever asks has "
    "seen why).",
)
MORE = {
    "hip_turn": ("{} more hip turn", "{} less hip turn"),
    "shoulder_turn": ("{} more shoulder turn", "{} less shoulder turn"),
    "tilt": ("{} more tilt, lead side down", "{} less tilt, lead side higher"),
    "extension": (
        "{} more extension, the chest coming up out of its forward bend",
        "{} less extension, the chest staying in its forward bend",
    ),
    "lead_flex_change": ("{} more flex in the lead knee", "{} less flex in the lead knee"),
    "trail_flex_change": ("{} more flex in the trail knee", "{} less flex in the trail knee"),
    "sway": ("the hips {} farther from the target", "the hips {} nearer to the target"),
    "hips_toward_ball": ("the hips {} nearer to the ball", "the hips {} farther from the ball"),
}
"""More and less of each piece as one would ask for it."""
_HEADS = ("head_toward_ball_cm", "head_toward_target_cm", "head_up_cm")
"""In the order of the world's axes."""


def whole(value: float, unit: str, inches: bool = False) -> str:
    """An amount as one asks for it: whole degrees, tenths of a cm."""
    return f"{abs(value):.0f}°" if unit == "deg" else told_length(abs(value), inches)


def asked(piece: str, amount: float, unit: str, inches: bool = False) -> str:
    """A feel in words: ``12° more extension, ...``."""
    return MORE[piece][amount < 0].format(whole(amount, unit, inches))


def counted(count: int, one: str) -> str:
    """``1 film``, ``3 films``, ``1 entry``."""
    plural = f"{one[:-1]}ies" if one.endswith("y") else f"{one}s"
    return f"{count} {one if count == 1 else plural}"


def response_sentence(response: ResponseReport) -> str:
    """How much of a feel this golfer gets, and how sure that is."""
    name, unit = NAMES[response.piece], "a degree" if response.per == "deg" else "a cm"
    span = f"90 % between {response.low:.2f} and {response.high:.2f}"
    if not response.films:
        others = response.films_of_other_pieces
        basis = f"it rests on {counted(others, 'film')} of other pieces and on" if others else "that is"
        return (
            f"No film tells yet what this golfer gets of a feel of {name}: {response.mean:.2f} of it ({span}) is "
            f"taken, and {basis} an assumption."
        )
    return (
        f"Of {unit} felt in {name} this golfer gets about {response.mean:.2f} ({span}; "
        f"{counted(response.films, 'film')} of it)."
    )


def heads(entry: EntryReport, inches: bool = False) -> str:
    """Where a film shows the head, as far as it was read."""
    places = [getattr(entry, key) for key in _HEADS]
    return head_words(np.array([0.0 if place is None else place for place in places]), inches)


def span_sentence(entries: Sequence[EntryReport]) -> str:
    """How many entries there are, and from when."""
    if not entries:
        return "The record holds no entries yet."
    return f"{counted(len(entries), 'entry').capitalize()} from {entries[0].date} to {entries[-1].date}."


def head_sentences(entries: Sequence[EntryReport], inches: bool = False) -> list[str]:
    """Where the head was on the last film and on the first; none where no film shows it."""
    seen = [entry for entry in entries if any(getattr(entry, key) is not None for key in _HEADS)]
    if not seen:
        return []
    first, last = seen[0], seen[-1]
    then = f"; on the first, of {first.date}, {heads(first, inches)}" if first is not last else ""
    return [f"On the last film of the head, of {last.date}, it was {heads(last, inches)}{then}."]


def show_sentences(report: ShowReport, inches: bool = False) -> list[str]:
    """What the record tells."""
    told = [response_sentence(response) for response in report.responses]
    return [span_sentence(report.entries), *head_sentences(report.entries, inches), *told]


def show_warnings(past: Sequence[FilmReport], surprising: Sequence[int]) -> list[str]:
    """What a person should not overlook in a record: films past the goal, and films that fit nothing else."""
    return [*past_warnings(past), *surprise_warnings(surprising)]


def past_warnings(past: Sequence[FilmReport]) -> list[str]:
    """That the last films went past the goal."""
    if not past:
        return []
    last = past[-1]
    dates, name = listed(list(dict.fromkeys(film.date for film in past))), NAMES[last.piece]
    lead = "The last film" if len(past) == 1 else f"The last {len(past)} films"
    sure = f"probability {last.past_goal_probability:.0%} on the last"
    if any(film.was_short_before for film in past):
        return [f"{lead} ({dates}) went past the goal ({sure}): the feel of {name} is overdone by now, so ease it."]
    return [
        f"{lead} ({dates}) went away from the goal ({sure}): the feel of {name} asked for goes the wrong way for this "
        "head, so turn it round or work on another piece."
    ]


def surprise_warnings(numbers: Sequence[int]) -> list[str]:
    """That entries are far from what the others expect."""
    return [
        f"Entry {number} is far from what all the others expect of it; check its sign, unit and reading, and take the "
        "response with care."
        for number in numbers
    ]
