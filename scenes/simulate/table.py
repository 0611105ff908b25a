"""What a person reads in the terminal."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from ..delivery.terminal import render, shown_moments
from ..words import cautions
from ..words.units import length_unit, shown_length, signed, told_stature

if TYPE_CHECKING:
    from rich.console import RenderableType


def swing_table(report: dict[str, Any], inches: bool = False) -> str:
    """A swing, what was asked against what was achieved, and what to know about it.

    Args:
        report: of ``turnstill.scenes.simulate.report``.
        inches: lengths in inches.
    """
    from rich.text import Text

    sentences: list[RenderableType] = [Text(_steady_sentence(report)), Text()]
    sentences += [Text(f"Note: {line}", style="bold") for line in report["warnings"]]
    sentences += [Text(cautions.ANGLE_ORDER, style="dim")]
    sentences += [Text(" ".join(cautions.CAUTIONS), style="dim")]
    return render(
        Text(_title(report, inches), style="bold"),
        Text("incl. is the trunk's inclination from the vertical: in space, and as seen down the line.", style="dim"),
        _moments_table(report, inches),
        _asked_table(report, inches),
        Text(),
        *sentences,
    )


def _title(report: dict[str, Any], inches: bool) -> str:
    body = report["body"]
    shows = f": {report['shows']}" if report["shows"] else ""
    height = told_stature(body["stature_cm"], inches)
    who = f"{height}, {body['mass_kg']:.0f} kg, {body['sex']}, {body['handedness']}-handed"
    return f"{report['preset']}{shows} ({who})"


def _moments_table(report: dict[str, Any], inches: bool) -> RenderableType:
    from rich import box
    from rich.table import Table

    unit = length_unit(inches)
    table = Table(box=box.SIMPLE_HEAD, padding=0, pad_edge=False)
    for heading in (
        "done\n\n\n%", f"head\ntoward\ntarget\n{unit}", f"head\ntoward\nball\n{unit}", f"head\nup\n\n{unit}",
        "incl.\n\n\ndeg", "incl.\ndown\nline\ndeg", "hip\nturn\n\ndeg", "shoul-\nder\nturn\ndeg",
        "tilt\n\n\ndeg", "ext.\n\n\ndeg", "lead\nknee\n\ndeg", "trail\nknee\n\ndeg", "trail\nweight\n\n%",
    ):  # fmt: skip
        table.add_column(heading, justify="right", no_wrap=True)
    moments = report["moments"]
    for index in shown_moments(len(moments)):
        row = moments[index]
        table.add_row(
            f"{row['progress'] * 100:.4g}",
            *(shown_length(row[f"head_{way}_cm"], inches) for way in ("toward_target", "toward_ball", "up")),
            *(
                f"{row[f'{name}_deg'] + 0.0:.1f}".replace("-0.0", "0.0")
                for name in (
                    "inclination", "inclination_down_the_line", "hip_turn", "shoulder_turn", "tilt",
                    "extension", "lead_knee_flex", "trail_knee_flex",
                )
            ),
            f"{row['trail_weight_share'] * 100:.0f}",
        )  # fmt: skip
    return table


def _asked_table(report: dict[str, Any], inches: bool) -> RenderableType:
    from rich import box
    from rich.table import Table

    from ...model.golfer.pieces import PIECES

    table = Table(box=box.SIMPLE_HEAD, padding=(0, 2, 0, 0), pad_edge=False)
    for heading, justify in (("at the top", "left"), ("asked", "right"), ("achieved", "right")):
        table.add_column(heading, justify=justify)  # type: ignore[arg-type]
    for name, quantity in PIECES.items():
        key = f"{name}_{quantity.unit}"
        asked, done = report["asked"][key], report["achieved"][key]
        if quantity.unit == "cm":
            texts = [f"{shown_length(value, inches)} {length_unit(inches)}" for value in (asked, done)]
        else:
            texts = [f"{signed(value)} deg" for value in (asked, done)]
        given = report["pieces"].get(key)
        label = f"{name.replace('_', ' ')} ({given})" if isinstance(given, str) else name.replace("_", " ")
        table.add_row(label, *texts)
    return table


def _steady_sentence(report: dict[str, Any]) -> str:
    steady = report["steady"]
    parts = []
    for piece in ("tilt", "extension"):
        departure = steady[f"{piece}_departure_deg"]
        more = steady[f"{piece}_more_than_centred_deg"]
        word = "none" if abs(departure) < 0.05 else f"{abs(departure):.1f} {'more' if departure > 0 else 'less'}"
        parts.append(
            f"{steady[f'{piece}_deg']:.1f} deg of {piece} (the swing has {word if word != 'none' else 'just that'}; "
            f"the centred preset's turn would need {steady[f'{piece}_deg'] - more:.1f})"
        )
    return f"What keeps this head still at the top of this turn: {parts[0]} and {parts[1]}."
