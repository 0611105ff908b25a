"""A student's record in plain sentences made from the computed numbers only."""

from __future__ import annotations

from typing import Any

from ...model.films import dose
from ...model.films.readings import USUAL_SD_SHOWN
from ..setups.quantities import to_border
from ..words.cautions import NOTICEABLE_CM, listed
from ..words.pieces import NAMES, told_amount
from ..words.units import told_length

Report = dict[str, Any]
FEEL_CAUTION = (
    "A feel is for slow practice swings: stop with pain, and never force a range to reach an amount. What is "
    "exaggerated "
    "today can be overdone in a few weeks, and only a film tells."
)
ASSUMPTIONS = (
    f"Before any film a golfer is taken to get {dose.PRIOR.mean:g} of what is felt, sd {dose.PRIOR.sd:g}, the pieces "
    "of one "
    f"golfer being alike by a correlation of {dose.PRIOR.alike:g} (assumption: common practice says only that a feel "
    "must "
    "be exaggerated).",
    f"A film is read within {USUAL_SD_SHOWN['deg']:g}° or {USUAL_SD_SHOWN['cm']:g} cm (sd) where nothing else was "
    "written down, and a "
    f"piece scatters by {to_border('deg', dose.SCATTER['deg']):g}° or {to_border('cm', dose.SCATTER['cm']):g} cm "
    "(sd) from swing "
    "to swing (assumptions).",
    f"No feel above {to_border('deg', dose.FEEL_CAP['deg']):g}° or {to_border('cm', dose.FEEL_CAP['cm']):g} cm is "
    "advised at "
    "once (assumption: caution, no published source).",
    f"How far a piece moves this head is the model's, within {dose.SLOPE_SD:.0%} (sd).",
)
LITTLE_SURE = 0.8
"""With less than this probability that something is missing at all, filming comes before feeling (our choice)."""
FAR_CM = 2.0
"""A head that one piece put right would leave this far off is pointed out (our choice: twice the usual sd)."""
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
_HEADS = (
    ("head_toward_target_cm", "nearer to the target", "farther from the target"),
    ("head_toward_ball_cm", "nearer to the ball", "farther from the ball"),
    ("head_up_cm", "higher", "lower"),
)


def usual_sd(unit: str) -> float:
    """Uncertainty of what is missing where none is given, as for reading a film."""
    return USUAL_SD_SHOWN[unit]


def whole(value: float, unit: str, inches: bool = False) -> str:
    """An amount as one asks for it: whole degrees, tenths of a cm."""
    return f"{abs(value):.0f}°" if unit == "deg" else told_length(abs(value), inches)


def asked(piece: str, amount: float, unit: str, inches: bool = False) -> str:
    """A feel in words: ``12° more extension, ...``."""
    return MORE[piece][amount < 0].format(whole(amount, unit, inches))


def _short(piece: str, amount: float, unit: str, inches: bool) -> str:
    return MORE[piece][amount < 0].format(told_amount(abs(amount), unit, inches)).split(",")[0]


def _way(piece: str, amount: float) -> str:
    """``more extension``, ``the hips nearer to the target``."""
    return " ".join(MORE[piece][amount < 0].format("").split(",")[0].split())


def _span(value: Report, unit: str, inches: bool) -> str:
    """The 90 % interval, counted the way the mean goes."""
    ends = (value["low"], value["high"]) if value["mean"] >= 0 else (-value["high"], -value["low"])
    low, high = (told_amount(end, unit, inches) for end in ends)
    return f"90 % between {low} and {high}"


def counted(count: int, one: str) -> str:
    """``1 film``, ``3 films``, ``1 entry``."""
    plural = f"{one[:-1]}ies" if one.endswith("y") else f"{one}s"
    return f"{count} {one if count == 1 else plural}"


def response_sentence(response: Report) -> str:
    """How much of a feel this golfer gets, and how sure that is."""
    name, unit = NAMES[response["piece"]], "a degree" if response["per"] == "deg" else "a cm"
    span = f"90 % between {response['low']:.2f} and {response['high']:.2f}"
    if not response["films"]:
        basis = (
            f"it rests on {counted(response['films_of_other_pieces'], 'film')} of other pieces and on an assumption"
            if response["films_of_other_pieces"]
            else "that is an assumption"
        )
        return (
            f"No film tells yet what this golfer gets of a feel of {name}: {response['mean']:.2f} of it ({span}) is "
            "taken, "
            f"and {basis}."
        )
    return (
        f"Of {unit} felt in {name} this golfer gets about {response['mean']:.2f} ({span}; "
        f"{counted(response['films'], 'film')} of it)."
    )


def heads(entry: Report, inches: bool = False) -> str:
    """Where a film shows the head, as read."""
    parts = []
    for key, more, less in _HEADS:
        value = entry[key]
        if value is not None and abs(value) >= NOTICEABLE_CM:
            parts.append(f"{told_length(abs(value), inches)} {more if value > 0 else less}")
    return listed(parts) if parts else f"within {told_length(NOTICEABLE_CM, inches)} of its place"


def show_sentences(report: Report, inches: bool = False) -> list[str]:
    """What the record tells."""
    entries = report["entries"]
    if not entries:
        return ["The record holds no entries yet."]
    lines = [f"{counted(len(entries), 'entry').capitalize()} from {entries[0]['date']} to {entries[-1]['date']}."]
    seen = [entry for entry in entries if any(entry[key] is not None for key, *_ in _HEADS)]
    if seen:
        first, last = seen[0], seen[-1]
        then = f"; on the first, of {first['date']}, {heads(first, inches)}" if first is not last else ""
        lines.append(f"On the last film of the head, of {last['date']}, it was {heads(last, inches)}{then}.")
    return lines + [response_sentence(response) for response in report["responses"]]


def show_warnings(report: Report, inches: bool = False) -> list[str]:
    """What a person should not overlook in a record."""
    return [*_past(report["past_films"]), *_surprises(report)]


def _past(past: list[Report]) -> list[str]:
    if not past:
        return []
    last = past[-1]
    dates, name = listed(list(dict.fromkeys(film["date"] for film in past))), NAMES[last["piece"]]
    lead = "The last film" if len(past) == 1 else f"The last {len(past)} films"
    sure = f"probability {last['past_goal_probability']:.0%} on the last"
    if any(film["was_short_before"] for film in past):
        return [f"{lead} ({dates}) went past the goal ({sure}): the feel of {name} is overdone by now, so ease it."]
    return [
        f"{lead} ({dates}) went away from the goal ({sure}): the feel of {name} asked for goes the wrong way for "
        "this head, "
        "so turn it round or work on another piece."
    ]


def _surprises(report: Report) -> list[str]:
    return [
        f"Entry {number} is far from what all the others expect of it; check its sign, unit and reading, and take the "
        "response with care."
        for number in report["surprising"]
    ]


def next_sentences(report: Report, inches: bool = False) -> list[str]:
    """What is missing, what this golfer gets of a feel, what to ask for, and how sure that is."""
    piece, unit = report["piece"], report["unit"]
    lines = [_missing(report, inches)]
    if report["in_still_band"]:
        lines.append("Ask for nothing more: keep what was done on that film, and film again.")
        return lines
    lines.append(response_sentence(report["response"]))
    feel, expected = report["feel"], report["expected"]
    if feel["amount"] is None:
        return [
            *lines,
            f"The films do not show that this feel of {NAMES[piece]} brings any of it, so more of the same is no "
            "answer: try "
            "another feel for it, or check the signs in the record.",
        ]
    film, lead = report["film"], "Ask next for this feel"
    if _hardly_helps(report):
        lines.append(
            f"It would hardly help: with all of it the head would be {told_length(film['off_without_cm'], inches)} off "
            f"in place of {told_length(film['off_cm'], inches)}, so ask turnstill diagnose first which piece moved it."
        )
        lead = "If this is to be felt all the same, ask for this"
    lines.append(
        f"{lead}: {asked(piece, feel['amount'], unit, inches)}, counted from the swing on the last "
        "film; "
        f"expect the next film to show about {told_amount(abs(expected['mean']), unit, inches)} of it "
        f"({_span(expected, unit, inches)})."
    )
    if feel["capped"]:
        lines.append(
            f"All of it at once would take a feel of {whole(feel['before_cap'], unit, inches)}; more than "
            f"{whole(feel['cap'], unit, inches)} is not advised, so go in steps and film between them."
        )
    return [*lines, _sure(report)]


def _hardly_helps(report: Report) -> bool:
    """Whether the head of the film would be about where it is, and not still, with all of the piece made up for."""
    film = report["film"]
    if film is None or film["off_without_cm"] <= report["still_within_cm"]:
        return False
    return bool(film["off_cm"] - film["off_without_cm"] < NOTICEABLE_CM)


def _missing(report: Report, inches: bool) -> str:
    piece, unit, missing, film = report["piece"], report["unit"], report["missing"], report["film"]
    amount = _short(piece, missing["mean"], unit, inches)
    if film is None:
        return f"Missing on the last film, as given: {amount} ({_span(missing, unit, inches)})."
    off = told_length(film["off_cm"], inches)
    if report["in_still_band"]:
        return (
            f"On the film of {film['date']} the head was within the still band, {off} off face-on (the band is "
            f"{told_length(report['still_within_cm'], inches)})."
        )
    since = ", counting what films showed of it since" if report["since_film"] else ""
    return (
        f"On the film of {film['date']} the head was {off} off face-on; what would bring it nearest to its place: "
        f"{amount}{since} ({_span(missing, unit, inches)})."
    )


def _sure(report: Report) -> str:
    sure, way = report["way_sure"], _way(report["piece"], report["missing"]["mean"])
    told = f"{way[0].upper()}{way[1:]}: that this is the right way"
    if sure < LITTLE_SURE:
        return (
            f"{told} is only {sure:.0%} sure; such a film hardly differs from one with nothing missing, so film a "
            "few more "
            "swings first."
        )
    return f"{told} is {'over 99%' if sure > 0.99 else f'{sure:.0%}'} sure."


def next_warnings(report: Report, inches: bool = False) -> list[str]:
    """What a person should not overlook before the next feel."""
    lines = _past(report["past_films"])
    film = report["film"]
    if film is not None and film["off_without_cm"] > FAR_CM and not _hardly_helps(report):
        lines.append(
            f"Even with that made up for the head would be {told_length(film['off_without_cm'], inches)} off face-on: "
            "another "
            "piece than this has moved it as well, which turnstill diagnose can look for."
        )
    return lines + _surprises(report)
