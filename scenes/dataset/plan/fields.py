"""The kinds of value that a recipe is made of, each with what it may be."""

from __future__ import annotations

from collections.abc import Sequence

from pydantic import BaseModel, BeforeValidator, ConfigDict

Span = tuple[float, float]
"""The least and the most of something that is drawn evenly between."""


class Section(BaseModel):
    """A part of a recipe: nothing unknown in it, no value of a wrong kind, unchangeable."""

    model_config = ConfigDict(extra="forbid", strict=True, frozen=True)


def _number(given: object, low: float, high: float) -> float:
    if type(given) not in (int, float) or not low <= given <= high:  # type: ignore[operator]
        raise ValueError(f"must be a number from {low:g} to {high:g}")
    return float(given)  # type: ignore[arg-type]


def number(low: float, high: float) -> BeforeValidator:
    """What checks a number between two others."""
    return BeforeValidator(lambda given: _number(given, low, high))


def whole(low: int, high: int) -> BeforeValidator:
    """What checks a whole number between two others."""

    def check(given: object) -> int:
        if type(given) is not int or not low <= given <= high:
            raise ValueError(f"must be a whole number from {low} to {high}")
        return given

    return BeforeValidator(check)


def span(low: float, high: float) -> BeforeValidator:
    """What checks a pair of numbers, the least and the most."""

    def check(given: object) -> Span:
        told = (
            f"must be the least and the most, two rising numbers from {low:g} to {high:g}, such as [{low:g}, {high:g}]"
        )
        if not isinstance(given, list | tuple) or len(given) != 2:
            raise ValueError(told)
        try:
            least, most = (_number(one, low, high) for one in given)
        except ValueError:
            raise ValueError(told) from None
        if least > most:
            raise ValueError(told)
        return least, most

    return BeforeValidator(check)


def some(known: Sequence[str]) -> BeforeValidator:
    """What checks a list of words, each of some that are known and none twice."""

    def check(given: object) -> tuple[str, ...]:
        words = tuple(given) if isinstance(given, list | tuple) else ()
        if not words or any(word not in known for word in words) or len(set(words)) < len(words):
            raise ValueError(f"must be a list of some of {', '.join(known)}, each once")
        return words

    return BeforeValidator(check)


def one_of(*known: str) -> BeforeValidator:
    """What checks one of some words."""

    def check(given: object) -> str:
        if not isinstance(given, str) or given not in known:
            raise ValueError("must be " + " or ".join(f'"{word}"' for word in known))
        return given

    return BeforeValidator(check)


def text(most: int) -> BeforeValidator:
    """What checks one line of text."""

    def check(given: object) -> str:
        if not isinstance(given, str) or not 0 < len(given) <= most or not given.isprintable():
            raise ValueError(f"must be one line of 1 to {most} characters")
        return given

    return BeforeValidator(check)


def word(most: int) -> BeforeValidator:
    """What checks a word that can stand in a file's name."""

    def check(given: object) -> str:
        if not isinstance(given, str) or not is_word(given, most):
            raise ValueError(f"must be a word of 1 to {most} small letters, digits and hyphens")
        return given

    return BeforeValidator(check)


def is_word(given: str, most: int) -> bool:
    """Whether something can stand in a file's name everywhere, without a dot."""
    return 0 < len(given) <= most and given.isascii() and given.replace("-", "").isalnum() and given == given.lower()


def shares() -> BeforeValidator:
    """What checks a mapping of words to shares that add up to one."""

    def check(given: object) -> dict[str, float]:
        if (
            not isinstance(given, dict)
            or not 1 <= len(given) <= 20
            or not all(is_word(str(name), 20) for name in given)
        ):
            raise ValueError("must be names of small letters, each with its share, such as train = 0.8")
        checked = {str(name): _number(value, 0.0, 1.0) for name, value in given.items()}
        if abs(sum(checked.values()) - 1.0) > 1e-9:
            raise ValueError(f"must add up to 1, and {' + '.join(f'{v:g}' for v in checked.values())} do not")
        return checked

    return BeforeValidator(check)
