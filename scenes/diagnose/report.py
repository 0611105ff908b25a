"""What the ``diagnose`` command says: all of it as plain numbers in degrees and centimetres, and as sentences."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from ...model.films.fault_prior import HYPOTHESES
from ...model.films.readings import READINGS
from ...model.golfer.pieces import DEPARTURES, PIECES, Pieces
from ..delivery.deliver import deliver
from ..delivery.writing import check_file_target
from ..setups.numbers import address_report, body_report, rounded
from ..setups.perform import pieces_of
from ..setups.presets import load
from ..setups.quantities import PIECES_SECTION, Departure
from ..setups.settings import apply
from ..words import cautions
from . import words
from .feel import feel_report
from .mend import SLIPS
from .work import PER_UNIT, PRIOR, Diagnosed, diagnosed

NUMBERS_FILE = "diagnosis.json"
"""In a folder of results: the report, and the list of the folder's files."""
Report = dict[str, Any]


def diagnose_report(found: Diagnosed, inches: bool = False) -> Report:
    """Everything about a diagnosis as a dictionary that JSON can carry; documented in docs/json.md.

    Args:
        found: the diagnosis.
        inches: lengths in sentences in inches; numbers stay metric.
    """
    setup, diagnosis = found.performed.setup, found.found
    report: Report = {
        "preset": setup.name,
        "shows": setup.shows,
        "body": body_report(found.performed),
        "address": address_report(found.performed),
        "reference": {
            key: value if isinstance(value, int | float) else str(value)
            for key, value in setup.section(PIECES_SECTION).items()
        },
        "counted_from_centred": pieces_of(setup) == Pieces(),
        "readings": _readings(found),
        "scale": _scale(found),
        "fits": found.fits,
        "misfit": {
            "chi_squared": rounded(diagnosis.misfit[0]),
            "degrees_of_freedom": len(diagnosis.read),
        },
        "check": _check(found),
        "head_still": _head_still(found),
        "pieces": _pieces(found),
        "nothing_at_fault": rounded(diagnosis.nothing[0]),
        "largest": DEPARTURES[int(diagnosis.largest[0].argmax())],
        "candidates": _by_largest(found, np.flatnonzero(diagnosis.candidates[0])),
        "cannot_tell_apart": [list(pair.pieces) for pair in found.apart],
        "told_apart_by": [
            {"pieces": list(pair.pieces), "reading": pair.reading, "doubt_removed": rounded(pair.worth)}
            for pair in found.apart
        ],
        "measure_next": found.next_reading,
        "doubt_removed_by_next": rounded(found.next_worth),
        "departures": _departures(found),
        "likeliest_at_fault": list(HYPOTHESES[int(diagnosis.weight[0].argmax())]),
        "feel": feel_report(found),
    }
    report["sentences"] = words.sentences(report, inches)
    report["warnings"] = warnings(found, report, inches)
    return report | {"cautions": list(cautions.CAUTIONS), "angle_order": cautions.ANGLE_ORDER}


def _readings(found: Diagnosed) -> list[Report]:
    places = {name: k for k, name in enumerate(READINGS)}
    return [
        {
            "reading": one.name,
            "unit": one.unit,
            "value": rounded(one.value),
            "sd": rounded(one.sd),
            "sd_given": one.sd_given,
            "given": one.given,
            "without_a_fault": rounded(found.due[places[one.name]]),
            "most_probable": rounded(found.shown[places[one.name]]),
        }
        for one in found.asked.readings
    ]


def _scale(found: Diagnosed) -> Report:
    scale = found.asked.scale
    return {
        "head_width_cm": rounded(scale.width_cm),
        "head_length_cm": rounded(scale.length_cm),
        "measured": list(scale.measured),
        "used": {unit: list(names) for unit, names in found.asked.used.items()},
    }


def _check(found: Diagnosed) -> Report | None:
    if found.mend is None:
        return None
    mend = found.mend
    return {
        "slip": mend.slip,
        "factor": SLIPS[mend.slip] if mend.slip else None,
        "readings": list(mend.readings),
        "furthest": mend.furthest,
        "furthest_sd": rounded(mend.times),
    }


def _head_still(found: Diagnosed) -> bool:
    """Whether the head was read face-on, and all that was read of it is no more than reading it may be off."""
    heads = [one for one in found.asked.readings if one.name.startswith("head_")]
    needed = {"head_toward_target", "head_up"} <= {one.name for one in heads}
    return needed and all(abs(one.value) <= one.sd for one in heads)


def _by_largest(found: Diagnosed, pieces: Sequence[int] | np.ndarray[Any, Any]) -> list[str]:
    return [DEPARTURES[k] for k in sorted(pieces, key=lambda k: -found.found.largest[0, k])]


def _pieces(found: Diagnosed) -> list[Report]:
    """Every piece, the most probable first."""
    low, likely, high = found.amount
    diagnosis = found.found
    overall = np.stack([diagnosis.overall_low[0], diagnosis.overall_high[0]]) * PER_UNIT
    rows = [
        {
            "piece": name,
            "probability": rounded(min(diagnosis.probability[0, k], 1.0)),
            "most_likely": _known(likely[k]),
            "low": _known(low[k]),
            "high": _known(high[k]),
            "unit": PIECES[name].unit,
            "largest_probability": rounded(min(diagnosis.largest[0, k], 1.0)),
            "overall_low": _known(overall[0, k]),
            "overall_high": _known(overall[1, k]),
            "not_at_fault_sd": rounded(PRIOR.spike[name] * PER_UNIT[k]),
            "head_by_itself": {
                f"{way}_cm": _known(-found.back[k, list(READINGS).index(way)])
                for way in ("head_toward_target", "head_up", "head_toward_ball")
            },
        }
        for k, name in enumerate(DEPARTURES)
    ]
    return sorted(rows, key=lambda row: -row["probability"])


def _known(value: float) -> float | None:
    """A number; none where it cannot be told, which happens only to readings that nothing fits."""
    return rounded(value) if np.isfinite(value) else None


def _departures(found: Diagnosed) -> list[Report]:
    """Departures under the most probable hypothesis, counted in both ways."""
    return [
        {
            "piece": name,
            "unit": PIECES[name].unit,
            "made": rounded(found.made[k]),
            "from_what_holds_the_head": rounded(found.likeliest[k]),
            "from_centred": rounded(found.from_centred[k]),
        }
        for k, name in enumerate(DEPARTURES)
    ]


def warnings(found: Diagnosed, report: Report, inches: bool = False) -> list[str]:
    """What a person should not overlook."""
    setup = found.performed.setup
    lines = [
        *words.scale_words(report, inches),
        *words.usual_sd_words(report, inches),
    ]
    aims = [
        f"{key.removesuffix('_deg')} {value}"
        for key, value in setup.section(PIECES_SECTION).items()
        if isinstance(value, Departure) and value.plus_deg
    ]
    if aims:
        lines.append(
            f"{setup.name} aims at {cautions.listed(aims)} itself, and departures are counted from there; take the "
            "centred "
            "preset, or set it to steady, to count from what holds the head."
        )
    own = cautions.warnings(found.performed.swing, inches)
    return lines + [f"Of the turn without a fault: {line[0].lower()}{line[1:]}" for line in own]


def diagnose_to(
    preset_or_file: str,
    settings: list[str],
    *,
    json_file: str | None = None,
    out: str | None = None,
    inches: bool = False,
    **read: Any,
) -> None:
    """Print a diagnosis, and write it as JSON and as a page where asked.

    Args:
        preset_or_file: whose body and address, and the turn departures are counted from.
        settings: laid over it.
        json_file: where the JSON goes; ``-`` is standard output.
        out: the folder of the page.
        inches: lengths shown in inches.
        read: of ``turnstill.scenes.diagnose.work.diagnosed``.

    Raises:
        TurnstillError: for anything a user can mend; no file is then written.
    """
    setup = apply(load(preset_or_file), settings)
    if json_file is not None:
        check_file_target(json_file)
    found = diagnosed(setup, **read)
    report = diagnose_report(found)
    shown = diagnose_report(found, inches=True) if inches else report

    def page() -> str:
        from .page import diagnose_page

        return diagnose_page(shown, inches)

    def table() -> str:
        from .table import diagnose_table

        return diagnose_table(shown, inches)

    deliver(report, page, table, numbers_file=NUMBERS_FILE, json_file=json_file, out=out)
