"""What is said of the readings themselves: how they were taken, and what to look at again where nothing fits."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ...model.golfer.pieces import Pieces
from ..setups.perform import Performed, head_of, pieces_of
from ..setups.quantities import IMPACT_SECTION, PIECES_SECTION, Departure
from ..words import cautions
from ..words.at_impact import CAUTION, TWO_FEELS
from ..words.cautions import listed
from ..words.pieces import told_amount
from ..words.units import told_length
from .moments import IMPACT, MOMENTS, TOP
from .readings import KINDS

if TYPE_CHECKING:
    from .parts import ReadingReport
    from .report import DiagnosisReport, MomentDiagnosis

_SLIP_WORDS = {
    "tenfold": "was it read in millimetres, or the decimal point misplaced?",
    "sign": "was the sign the other way round?",
    "tenth": "was the decimal point misplaced?",
}


def nothing_fits(report: MomentDiagnosis, inches: bool) -> list[str]:
    """What to look at again, one sentence each."""
    by_name, mend = {one.reading: one for one in report.readings}, report.check
    lines = [
        "Nothing the body can do fits these readings (a body shows such less than once in a hundred times), so no "
        "piece is named and no feel is given."
    ]
    if mend is not None and mend.slip is not None and mend.factor is not None:
        parts = [
            f"{KINDS[name].words} {_shown(by_name[name], mend.factor, inches)} in place of "
            f"{_shown(by_name[name], 1.0, inches)}"
            for name in mend.readings
        ]
        lines.append(f"They would fit with {listed(parts)}: {_SLIP_WORDS[mend.slip]}")
    elif mend is not None:
        far = by_name[mend.furthest]
        lines.append(
            f"Look first at {KINDS[far.reading].words}, {_shown(far, 1.0, inches)}, which is furthest from what "
            "golfers show."
        )
    lines.append(
        "Check the unit of each reading (one ten times too large or too small is the usual cause), its sign, that all "
        f"are {MOMENTS[report.moment].of} of one swing, and that the camera stood still and square; then ask again."
    )
    return lines


def _shown(one: ReadingReport, factor: float, inches: bool) -> str:
    return told_amount(one.value * factor, one.unit, inches)


def warnings(report: DiagnosisReport, performed: Performed, inches: bool = False) -> list[str]:
    """What a person should not overlook."""
    setup = performed.setup
    every = [[*scale_words(one, inches), *usual_sd_words(one, inches)] for one in report.diagnoses]
    # Once, where it is true of both moments.
    lines = list(dict.fromkeys(line for each in every for line in each))
    sections = {TOP.name: PIECES_SECTION, IMPACT.name: IMPACT_SECTION}
    aims = [
        f"{MOMENTS[one.moment].prefix}{key.removesuffix('_deg')} {value}"
        for one in report.diagnoses
        for key, value in setup.section(sections[one.moment]).items()
        if isinstance(value, Departure) and value.plus_deg
    ]
    if aims:
        lines.append(
            f"{setup.name} aims at {listed(aims)} itself, and departures are counted from there; take the centred "
            "preset, or set it to steady, to count from what holds the head."
        )
    lines += _without_part(report, performed)
    # A feel of impact brings the same caution with it.
    lines += [CAUTION for one in report.diagnoses if one.moment == IMPACT.name and one.feel is None]
    if len(report.diagnoses) > 1 and all(one.feel for one in report.diagnoses):
        lines.append(TWO_FEELS)
    own = cautions.warnings(performed.swing, inches)
    return lines + [f"Of the turn without a fault: {line[0].lower()}{line[1:]}" for line in own]


def _without_part(report: DiagnosisReport, performed: Performed) -> list[str]:
    """What was given and has no part: of the head's size, or of a moment at which nothing was read."""
    setup, read = performed.setup, {one.moment for one in report.diagnoses}
    used = {unit for one in report.diagnoses for unit in one.scale.used}
    lines = [
        f"The head {size} was given, but no reading is in {unit}, so it changes nothing."
        for size, unit, measured in zip(("width", "length"), ("hw", "hl"), report.scale.measured, strict=True)
        if measured and unit not in used
    ]
    if IMPACT.name not in read and setup.section(IMPACT_SECTION):
        lines.append(f"What {setup.name} is asked at impact has no part here, as nothing was read there.")
    if TOP.name not in read and (pieces_of(setup) != Pieces() or head_of(setup).elsewhere):
        lines.append(f"What {setup.name} does at the top has no part here: it is given back before impact.")
    return lines


def scale_words(report: MomentDiagnosis, inches: bool) -> list[str]:
    """What heads were taken for, where they were used."""
    scale = report.scale
    lines = []
    for unit, words, size, measured in (
        ("hw", "head width (ear to ear)", scale.head_width_cm, scale.measured[0]),
        ("hl", "head length (brow to back)", scale.head_length_cm, scale.measured[1]),
    ):
        if unit not in scale.used:
            continue
        source = (
            "as measured"
            if measured
            else "the mean of the ANSUR II survey for this body, two people in three being within 3 % of it; measure "
            "it for better"
        )
        lines.append(f"One {words} was taken as {told_length(size, inches)}, {source}.")
    across = [name for name in scale.used.get("hw", []) if KINDS[name].view == "down the line"]
    if across:
        were = "was" if len(across) == 1 else "were"
        lines.append(
            f"{listed([KINDS[name].words for name in across]).capitalize()} {were} given in head widths; down the line "
            "one sees the head's length, so if that was the measure, write hl in place of hw."
        )
    return lines


def usual_sd_words(report: MomentDiagnosis, inches: bool) -> list[str]:
    """Where no uncertainty was given."""
    moment = MOMENTS[report.moment]
    usual = {unit: f"{size:g}°" if unit == "deg" else f"{size:g} cm" for unit, size in moment.usual_sd.items()}
    if inches:
        usual["cm"] = told_length(moment.usual_sd["cm"], inches)
    missing = [one for one in report.readings if not one.sd_given]
    if not missing:
        return []
    names, at = [KINDS[one.reading].words for one in missing], "" if moment is TOP else f" {moment.at}"
    taken = [usual[unit] for unit in usual if any(one.unit == unit for one in missing)]
    return [
        f"No uncertainty was given for {listed(names)}{at}; {listed(taken)} {'was' if len(taken) == 1 else 'were'} "
        f"taken (assumption: careful reading of a film{moment.unsure})."
    ]
