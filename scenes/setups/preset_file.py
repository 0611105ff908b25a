"""One preset file: what may stand in it, and the sentence that says what is wrong with it."""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Mapping
from functools import cache
from typing import Annotated, Any

from pydantic import AfterValidator, BaseModel, BeforeValidator, ConfigDict, Field, ValidationError, create_model

from ...model.errors import TurnstillError
from ...model.golfer.pieces import PIECES, share_done
from .former_names import with_todays_names
from .quantities import (
    ADDRESS_SECTION,
    ARMS_SECTION,
    BODY_SECTION,
    HEAD_SECTION,
    IMPACT_SECTION,
    LENGTHS_SECTION,
    PIECES_SECTION,
    RANGES_SECTION,
    SECTIONS,
    Entry,
    by_any_name,
    echo,
    nearest,
    section_entries,
    without_unit,
)

_STRICT = ConfigDict(extra="forbid", strict=True)
_TIMING = "timing"
_MOST_DOTS_SQUARED = 4_000_000
"""Two thousand decimal points in one line, or a hundred in each of four hundred lines: more than any preset has."""


def _checker(entry: Entry) -> Callable[[object], object]:
    return entry.check


def _section(section: str, **more: Any) -> Any:
    keys: dict[str, Any] = {
        key: (Annotated[Any, BeforeValidator(_checker(entry))], None) for key, entry in section_entries(section).items()
    }
    return create_model(section.replace(".", "_").title(), __config__=_STRICT, **keys, **more)


def _timing_checker(piece: str) -> Callable[[object], object]:
    import numpy as np

    def check(given: object) -> tuple[tuple[float, float], ...]:
        try:
            knots = np.asarray(given, dtype=float) if _all_numbers(given) else np.zeros(0)
        except (TypeError, ValueError, OverflowError):
            knots = np.zeros(0)
        share_done({piece: knots}, piece, np.zeros(1))  # type: ignore[dict-item]  # It speaks for itself.
        return tuple((float(at), float(share)) for at, share in knots)

    return check


def _all_numbers(given: object) -> bool:
    """Whether a list of lists holds numbers; numpy would read words and truth values as numbers too."""
    pairs = given if isinstance(given, list) else [given]
    return all(isinstance(pair, list) and all(type(one) in (int, float) for one in pair) for pair in pairs)


def _one_line(text: str) -> str:
    if len(text) > 200 or not text.isprintable():
        raise TurnstillError("shows must be one line of at most 200 characters.")
    return text


@cache
def preset_model() -> type[BaseModel]:
    """The pydantic model of a whole file; every section and every key is optional."""
    body = _section(
        BODY_SECTION,
        lengths_cm=(_section(LENGTHS_SECTION) | None, None),
        ranges_deg=(_section(RANGES_SECTION) | None, None),
    )
    timing: dict[str, Any] = {
        piece: (Annotated[Any, BeforeValidator(_timing_checker(piece))], None) for piece in PIECES
    }
    timing_model: Any = create_model("Timing", __config__=_STRICT, **timing)
    return create_model(
        "Preset",
        __config__=_STRICT,
        shows=(Annotated[str, AfterValidator(_one_line)], ""),
        extends=(Annotated[str, Field(min_length=1, max_length=1000)] | None, None),
        address=(_section(ADDRESS_SECTION) | None, None),
        pieces=(_section(PIECES_SECTION) | None, None),
        head=(_section(HEAD_SECTION) | None, None),
        impact=(_section(IMPACT_SECTION) | None, None),
        arms=(_section(ARMS_SECTION) | None, None),
        body=(body | None, None),
        timing=(timing_model | None, None),
    )


def parse(text: str, label: str) -> dict[str, Any]:
    """The checked content of a preset file: only what stands in it, with numbers in the units of their keys.

    Args:
        text: TOML.
        label: how messages name the file.

    Raises:
        TurnstillError: naming the file, the key, what was given and what is allowed.
    """
    too_deep = f"{label} is nested too deeply to be a preset."
    # Python's reader takes time and memory by the square of the parts of a dotted key, gigabytes for one long line.
    if sum(line.count(".") ** 2 for line in text.split("\n")) > _MOST_DOTS_SQUARED:
        raise TurnstillError(too_deep)
    try:
        document = tomllib.loads(text)
    except RecursionError as deep:
        raise TurnstillError(too_deep) from deep
    except ValueError as wrong:  # Bad TOML, and integers that Python refuses to read.
        reason = " ".join(str(wrong).split())
        raise TurnstillError(f"{label} is not valid TOML: {reason[:120]}.") from wrong
    try:
        return checked(document)
    except TurnstillError as wrong:
        raise TurnstillError(f"{label}: {wrong}") from None


def checked(document: Mapping[str, Any]) -> dict[str, Any]:
    """The checked content of a preset, wherever it was written: only what stands in it.

    Args:
        document: sections and keys as a preset file has them, values as they were given.

    Raises:
        TurnstillError: naming the key, what was given and what is allowed.
    """
    try:
        return _plain(preset_model().model_validate(with_todays_names(document)))
    except ValidationError as problems:
        raise TurnstillError(_sentence(problems.errors()[0])) from None


def _plain(model: BaseModel) -> dict[str, Any]:
    # pydantic's own dump would take a departure from steady apart.
    # In the model's order: the set of what was given has an order of its own in every process.
    given = [name for name in type(model).model_fields if name in model.model_fields_set]
    values = {name: getattr(model, name) for name in given}
    return {name: _plain(value) if isinstance(value, BaseModel) else value for name, value in values.items()}


def _sentence(problem: Any) -> str:
    """One sentence about the first thing that is wrong."""
    *path, key = (str(part) for part in problem["loc"])
    section = ".".join(path)
    if problem["type"] == "extra_forbidden":
        return _unknown(section, key)
    if problem["type"] == "value_error":
        place = f" (in [{section}])" if section and section != _TIMING else ""
        return f"{problem['ctx']['error']}".removesuffix(".") + f"{place}."
    given = echo(problem["input"])
    if ".".join((*path, key)) in (*SECTIONS, _TIMING) or problem["type"] == "model_type":
        return f"{key} was {given}, but must be a section, written [{'.'.join((*path, key))}]."
    return f"{key} was {given}, but must be a text in quotes, of 1 to 1000 characters."


def _unknown(section: str, key: str) -> str:
    """What to write instead of a key that is not known where it stands."""
    spoken = echo(key)
    if not section:
        known = ["shows", "extends", *SECTIONS, _TIMING]
        entry = by_any_name().get(key) or by_any_name().get(without_unit(key))
        if entry and key not in known:
            return f"{spoken} cannot stand outside a section; write {entry.key} in [{entry.section}]."
        return f"{spoken} is not known; a preset has {', '.join(known)}.{nearest(key, known)}"
    if section == _TIMING:
        return f"{spoken} is not a piece in [timing]; there are {', '.join(PIECES)}.{nearest(key, PIECES)}"
    here = {one.bare: one for one in section_entries(section).values()}
    entry = here.get(key) or here.get(without_unit(key))
    entry = entry or by_any_name().get(key) or by_any_name().get(without_unit(key))
    if entry and entry.section == section:
        fault = "does not name its unit" if key == entry.bare else "has the wrong unit"
        return f"{spoken} in [{section}] {fault}; the key is {entry.key}, {entry.allowed}."
    if entry:
        return f"{spoken} does not belong in [{section}]; write {entry.key} in [{entry.section}]."
    known = [*section_entries(section), *(["lengths_cm", "ranges_deg"] if section == BODY_SECTION else [])]
    few = f"; there are {', '.join(known)}" if len(known) < 12 else ""
    return f"{spoken} is not known in [{section}]{few}.{nearest(key, known)}"
