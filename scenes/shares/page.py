"""Shares as one page that needs no network and no second file."""

from __future__ import annotations

from html import escape
from typing import Any

from ... import __version__
from ..paper.arrows import Arrow, arrows_chart
from ..paper.charts import Line, Style, key, line_chart
from ..paper.page_style import STYLE
from ..paper.piece_styles import PIECE_STYLES
from ..words import cautions
from ..words.pieces import NAMES, told_amount
from ..words.units import CM_PER_INCH, length_unit, shown_length, signed, told_stature
from .words import REFERENCE_WORDS

TOGETHER = Style("#1c252e", "", "ring")
SMALLEST_ARROW_CM = 0.05
"""A shorter arrow is a dot; it is named below the chart instead."""
_OWN_STYLE = """
.was { color: var(--soft); font-size: .88em; }
.together .names { columns: 3 10em; }
details { margin: 0 0 10px; }
"""
_VIEWS = (
    ("Face-on", "toward_target", ("away from target", "toward target")),
    ("Down the line", "toward_ball", ("away from ball", "toward ball")),
)
_STARTS = {
    "steady": "where the centred turn leaves the head",
    "address": "where the head was at address",
    "turn": "where the head was at address",
}
_COURSES = (
    ("Toward target", "head_toward_target_cm", ("toward target", "away from target")),
    ("Toward ball", "head_toward_ball_cm", ("toward ball", "away from ball")),
    ("Height", "head_up_cm", ("up", "down")),
    ("Inclination of the trunk in space", "inclination_deg", ("more inclined", "more upright")),
)
_WAYS = ("toward_target", "toward_ball", "up")


def shares_page(report: dict[str, Any], inches: bool = False) -> str:
    """The whole page.

    Args:
        report: of ``turnstill.scenes.shares.work``.
        inches: lengths in inches.
    """
    title = f"{report['preset']}: what each piece did to the head"
    body = "\n".join(
        [
            _header(report, title, inches),
            _arrows(report, inches),
            _table(report, inches),
            _courses(report, inches),
            _sensitivities(report, inches),
            _notes(report),
            _care(),
        ]
    )
    return (
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<title>{escape(title)}</title>\n<style>{STYLE}{_OWN_STYLE}</style>\n</head>\n<body>\n{body}\n</body>\n</html>\n"
    )


def _header(report: dict[str, Any], title: str, inches: bool) -> str:
    body = report["body"]
    who = f"{told_stature(body['stature_cm'], inches)}, {body['mass_kg']:.0f} kg, {body['sex']}"
    shows = f"<p>{escape(report['shows'])}</p>" if report["shows"] else ""
    told = "".join(f"<p>{escape(line)}</p>" for line in report["sentences"])
    return (
        f'<header><h1>{escape(title)}</h1>{shows}<p class="who">{escape(who)}, '
        f"{escape(body['handedness'])}-handed. Counted from {escape(REFERENCE_WORDS[report['reference']])}.</p>"
        "</header>"
        f'<section class="short" aria-label="In short">{told}</section>'
    )


def _moves(share: dict[str, Any], across: str) -> bool:
    return bool(max(abs(share[f"head_{across}_cm"]), abs(share["head_up_cm"])) >= SMALLEST_ARROW_CM)


def _arrows(report: dict[str, Any], inches: bool) -> str:
    scale = 1 / CM_PER_INCH if inches else 1.0
    unit, mirrored = length_unit(inches), report["body"]["handedness"] == "left"
    figures = []
    for view, across, ends in _VIEWS:
        drawn = [share for share in report["shares"] if _moves(share, across)]
        arrows = [
            Arrow(
                NAMES[share["piece"]],
                share[f"head_{across}_cm"] * scale,
                share["head_up_cm"] * scale,
                PIECE_STYLES[share["piece"]],
            )
            for share in drawn
        ]
        chart = arrows_chart(view, unit, arrows, ends, mirrored=mirrored, least=0.5 if inches else 1.0)
        small = [NAMES[share["piece"]] for share in report["shares"] if share not in drawn and _any(share)]
        note = f" Too short to draw: {cautions.listed(small)}." if small else ""
        figures.append(f"<figure><figcaption>{view}, {unit}{escape(note)}</figcaption>{chart}</figure>")
    return (
        "<section><h2>Arrows that add up to where the head went, at the top</h2>"
        f'<p class="legend">Ring: {_STARTS[report["reference"]]}. Dot: where this swing takes it. Each arrow is one '
        "piece's share, joined head to tail; the broad grey line is all of them together. Both axes have the same "
        f'scale.</p><div class="charts">{"".join(figures)}</div></section>'
    )


def _any(share: dict[str, Any]) -> bool:
    return any(share[f"head_{way}_cm"] for way in _WAYS)


def _cells(row: dict[str, Any], inches: bool, decimals: int) -> str:
    shown = [shown_length(row[f"head_{way}_cm"], inches, decimals) for way in _WAYS]
    shown.append(signed(row["inclination_deg"], decimals))
    return "".join(f"<td>{text.replace('-', '−')}</td>" for text in shown)


def _head_row(first: str, inches: bool) -> str:
    unit = length_unit(inches)
    heads = (f"toward target, {unit}", f"toward ball, {unit}", f"up, {unit}", "incl., °")
    cells = "".join(f'<th scope="col">{head}</th>' for head in heads)
    return f'<thead><tr><th scope="col">{first}</th>{cells}</tr></thead>'


def _table(report: dict[str, Any], inches: bool) -> str:
    rows = []
    for share in report["shares"]:
        asked, held = (told_amount(share[k], share["unit"], inches) for k in ("asked", "in_reference"))
        amount = f"{asked} against {held}" if asked != held else f"{asked}, the same"
        name = f'{escape(NAMES[share["piece"]])}<br><span class="was">{escape(amount.replace("-", "−"))}</span>'
        rows.append(f'<tr><th scope="row">{name}</th>{_cells(share, inches, 1)}</tr>')
    total = _cells(report["total"], inches, 1).replace("<td>", "<td><b>").replace("</td>", "</b></td>")
    rows.append(f'<tr class="group"><th scope="row">together</th>{total}</tr>')
    caption = (
        "Share of each piece in the head's place and in the change of the trunk's inclination in space, at the top."
    )
    return (
        f'<section style="--count: 2"><h2>The shares</h2><div class="scroll"><table><caption>{caption}</caption>'
        f"{_head_row('piece', inches)}<tbody>{''.join(rows)}</tbody></table></div></section>"
    )


def _courses(report: dict[str, Any], inches: bool) -> str:
    moments = report["moments"]
    done = [moment["progress"] for moment in moments]
    shown = [k for k, share in enumerate(report["shares"]) if any(_any(moment["shares"][k]) for moment in moments)]
    figures = []
    for title, field, ends in _COURSES:
        length = field.endswith("_cm")
        unit = length_unit(inches) if length else "°"
        scale = 1 / CM_PER_INCH if inches and length else 1.0
        lines = [
            Line(
                NAMES[report["shares"][k]["piece"]],
                done,
                [moment["shares"][k][field] * scale for moment in moments],
                PIECE_STYLES[report["shares"][k]["piece"]],
            )
            for k in shown
        ]
        lines.append(Line("together", done, [moment["total"][field] * scale for moment in moments], TOGETHER))
        chart = line_chart(title, unit, lines, ends, least=0.5 if inches and length else 1.0)
        figures.append(f"<figure><figcaption>{title}, {unit}</figcaption>{chart}</figure>")
    names = [(PIECE_STYLES[p], NAMES[p]) for p in (report["shares"][k]["piece"] for k in shown)]
    legend = "".join(f"<li>{key(style)}{escape(name)}</li>" for style, name in [*names, (TOGETHER, "together")])
    return (
        f'<section class="together"><h2>The shares on the way to the top</h2><ul class="names">{legend}</ul>'
        f'<div class="charts">{"".join(figures)}</div></section>'
    )


def _sensitivities(report: dict[str, Any], inches: bool) -> str:
    rows = [
        f'<tr><th scope="row">{escape(NAMES[row["piece"]])}<br>'
        f'<span class="was">{"1°" if row["per"] == "deg" else "1 cm"} more</span></th>'
        f"{_cells(row, inches, 2)}</tr>"
        for row in report["sensitivities"]
    ]
    caption = "How far the head goes for a little more of each piece from this top, the others kept as they are."
    return (
        '<section style="--count: 2"><h2>What a little more would do</h2><div class="scroll"><table>'
        f"<caption>{caption}</caption>{_head_row('piece', inches)}<tbody>{''.join(rows)}</tbody></table></div>"
        "</section>"
    )


def _notes(report: dict[str, Any]) -> str:
    notes = report["warnings"] or ["No range of this body stops anything that was asked, in any combination."]
    items = "".join(f"<li>{escape(note)}</li>" for note in notes)
    return f'<section><h2>What was limited by what</h2><ul class="care">{items}</ul>{_stops(report)}</section>'


def _stops(report: dict[str, Any]) -> str:
    if not report["stopped"]:
        return ""
    items = []
    for one in sorted(report["stopped"], key=lambda one: len(one["pieces"])):
        pieces = ", ".join(NAMES[piece] for piece in one["pieces"]) or "the reference"
        ranges = cautions.listed([cautions.spoken(name) for name in one["ranges"]])
        items.append(f"<li>{escape(pieces)}: {escape(ranges)}</li>")
    return (
        f"<details><summary>All {len(items)} combinations that a range stops</summary>"
        f'<ul class="care">{"".join(items)}</ul></details>'
    )


def _care() -> str:
    items = "".join(f"<li>{escape(line)}</li>" for line in cautions.CAUTIONS)
    return (
        f'<section class="care"><h2>Before you use this</h2><ul class="care">{items}</ul></section>\n'
        f"<footer><p>{escape(cautions.SOURCES)}</p><p>{escape(cautions.ANGLE_ORDER)}</p>"
        f"<p>Turnstill {escape(__version__)}</p></footer>"
    )
