"""Centimetres or inches, with the unit in the name, and how probabilities are told."""

from __future__ import annotations

CM_PER_INCH = 2.54
"""Exact: international yard and pound agreement of 1959."""
_CM = {"_cm": 1.0, "_m": 100.0}


def in_unit(key: str, value: float, inches: bool) -> tuple[str, float]:
    """A key and its value, a length turned to inches where asked: ``head_up_cm`` becomes ``head_up_in``."""
    if inches:
        for suffix, factor in _CM.items():
            if key.endswith(suffix):
                return f"{key.removesuffix(suffix)}_in", round(value * factor / CM_PER_INCH, 6)
    return key, value


def length_unit(inches: bool) -> str:
    """``in`` or ``cm``."""
    return "in" if inches else "cm"


def shown_length(value_cm: float, inches: bool, decimals: int = 1) -> str:
    """A length in centimetres as text in the unit asked for, signed, without a negative zero."""
    value = value_cm / CM_PER_INCH if inches else value_cm
    # Hundredths of an inch are about as fine as tenths of a centimetre.
    return signed(value, decimals + 1 if inches else decimals)


def told_length(value_cm: float, inches: bool) -> str:
    """A length in centimetres with its unit, as in a sentence: ``3.9 cm``, ``-0.20 in``."""
    return f"{shown_length(value_cm, inches).lstrip('+')} {length_unit(inches)}"


def told_stature(value_cm: float, inches: bool) -> str:
    """Body height, as in a heading: ``175 cm``, ``68.9 in``."""
    return f"{value_cm / CM_PER_INCH:.1f} in" if inches else f"{value_cm:.0f} cm"


def signed(value: float, decimals: int = 1) -> str:
    """A number with its sign; a rounded zero has none."""
    rounded = round(value, decimals) + 0.0
    return f"{rounded:+.{decimals}f}" if rounded else f"{0:.{decimals}f}"


def percent(probability: float) -> str:
    """A probability without claiming to be certain."""
    if probability < 0.01:
        return "under 1%"
    return "over 99%" if probability > 0.99 else f"{probability:.0%}"
