"""An experiment as one page that needs no network and no second file."""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Sequence
from html import escape
from typing import TYPE_CHECKING, Any

from ..paper.charts import STYLES, Style, key, marker
from ..paper.curves import Curve, curve_chart
from ..paper.page_frame import closing, header, whole_page
from ..views.names import VIEW_TITLES
from ..words.golfer import golfer_words
from ..words.units import CM_PER_INCH, length_unit
from .table import COLUMNS, NOT_ADVICE, STRAIN_WORDS, given_words, shown
from .words import limit_words, number, value_words

if TYPE_CHECKING:
    from .pictures import StripPicture

Report = dict[str, Any]
MOST_KINDS = len(STYLES)
_OWN_STYLE = """
.charts .names { font-weight: 400; margin: 4px 0 0; }
.strip { display: grid; gap: 12px; grid-template-columns: repeat(var(--count), minmax(0, 1fr)); }
td.words { text-align: left; }
.dot { vertical-align: middle; margin-right: 6px; }
@media (max-width: 640px) {
  .strip { grid-template-columns: repeat(var(--count), 78%); overflow-x: auto; }
}
"""
_CHARTS: tuple[tuple[str, str, float, bool, tuple[tuple[str, str], ...]], ...] = (
    ("Head since address, at the top", "cm", 2.0, True,
     (("toward target", "head_toward_target_cm"), ("toward ball", "head_toward_ball_cm"), ("up", "head_up_cm"))),
    ("Pelvis since address, at the top", "cm", 2.0, True,
     (("toward target", "pelvis_toward_target_cm"), ("toward ball", "pelvis_toward_ball_cm"))),
    ("Knee flexion, at the top", "°", 10.0, False,
     (("lead knee", "lead_knee_flex_deg"), ("trail knee", "trail_knee_flex_deg"))),
    ("Belt line tilt and inclination of the trunk in space, at the top", "°", 10.0, False,
     (("belt line tilt", "belt_line_tilt_deg"), ("inclination", "inclination_deg"))),
    ("Strain of the legs, at the top", "", 1.0, True, (("both legs", "strain"),)),
)  # fmt: skip


def experiment_page(report: Report, strip: Sequence[StripPicture] = (), inches: bool = False) -> str:
    """The whole page.

    Args:
        report: of ``turnstill.scenes.experiment.work``.
        strip: small pictures of chosen steps; may be empty.
        inches: lengths in inches.
    """
    tried = report["experiment"]
    ends = [value_words(report, report["steps"][k]["value"]) for k in (0, -1)]
    title = f"{tried['words']} from {ends[0]} to {ends[1]}"
    means = f" ({tried['means']})" if tried["means"] else ""
    who = f"Tried in {report['preset']}{means}. Simulated golfer: {golfer_words(report['body'], inches)}."
    parts = [
        header(title, who, report["sentences"]),
        _curves(report, inches),
        _strip(report, strip),
        _room(report),
        _measures(report, inches),
        closing(report["warnings"], first=[NOT_ADVICE]),
    ]
    return whole_page(title, parts, _OWN_STYLE)


def _x_name(report: Report) -> str:
    tried = report["experiment"]
    unit = "° from steady" if tried["from_steady"] else {"deg": "°"}.get(tried["unit"], tried["unit"])
    return f"{tried['words']}, {unit}"


def _kinds(report: Report) -> dict[tuple[str, ...], Style]:
    """A style for each set of ranges that stops the turn; the rarest share the last."""
    sets = list(dict.fromkeys(tuple(step["limited_by"]) for step in report["steps"]))
    return {names: STYLES[min(k, MOST_KINDS - 1)] for k, names in enumerate(sets)}


def _dot(style: Style) -> str:
    return f'<svg class="dot" viewBox="0 0 14 14" width="14" height="14" aria-hidden="true">{marker(style, 7, 7)}</svg>'


def _curves(report: Report, inches: bool) -> str:
    steps, x_name = report["steps"], _x_name(report)
    x = [step["value"] for step in steps]
    kinds = _kinds(report)
    plain, dashed = Style("#1c252e", "", "circle"), Style("#55616d", "6 4", "cross")
    turns = [
        Curve("this swing's", [step["hip_turn_deg"] for step in steps], dashed),
        Curve(
            "most available",
            [step["available_hip_turn_deg"] for step in steps],
            plain,
            [kinds[tuple(step["limited_by"])] for step in steps],
        ),
    ]
    stops = "".join(f"<li>{_dot(style)}stopped by {escape(limit_words(names))}</li>" for names, style in kinds.items())
    figures = [
        f'<figure><figcaption>Hip turn, °<ul class="names"><li>{_line(plain)}most available</li>{stops}'
        f"<li>{key(dashed)}this swing's, at the top</li></ul></figcaption>"
        f"{curve_chart('Hip turn', '°', x_name, x, turns, 10.0)}</figure>"
    ]
    for title, unit, least, zero, rows in _CHARTS:
        scale = 1 / CM_PER_INCH if inches and unit == "cm" else 1.0
        name = length_unit(inches) if unit == "cm" else unit
        curves = [
            Curve(label, [step[field] * scale for step in steps], STYLES[k]) for k, (label, field) in enumerate(rows)
        ]
        legend = "".join(f"<li>{key(c.style)}{escape(c.name)}</li>" for c in curves)
        chart = curve_chart(title, name, x_name, x, curves, least * scale, zero=zero)
        caption = escape(f"{title}, {name or 'no unit'}")
        figures.append(f'<figure><figcaption>{caption}<ul class="names">{legend}</ul></figcaption>{chart}</figure>')
    return f'<section><h2>Step by step</h2><div class="charts">{"".join(figures)}</div></section>'


def _line(style: Style) -> str:
    return (
        '<svg class="key" viewBox="0 0 44 14" width="44" height="14" aria-hidden="true">'
        f'<line x1="1" x2="43" y1="7" y2="7" stroke="{style.colour}" stroke-width="2.4"/></svg>'
    )


def _strip(report: Report, strip: Sequence[StripPicture]) -> str:
    if not strip:
        return ""
    views = []
    for view, title in VIEW_TITLES.items():
        figures = []
        for picture in (one for one in strip if one.view == view):
            step = report["steps"][picture.step]
            value = value_words(report, step["value"])
            text = (
                f"most hip turn available {number(step['available_hip_turn_deg'])}°, this swing's "
                f"{number(step['hip_turn_deg'])}°"
            )
            source = f"data:image/png;base64,{b64encode(picture.png).decode('ascii')}"
            figures.append(
                f'<figure><img src="{source}" alt="{escape(f"{title}, {value}: {text}")}">'
                f"<figcaption><strong>{escape(value)}</strong>: {escape(text)}</figcaption></figure>"
            )
        views.append(f'<h3>{title}</h3><div class="strip" style="--count: {len(figures)}">{"".join(figures)}</div>')
    return (
        '<section class="sheet"><h2>What it looks like</h2><p class="legend">Ghost and dashed circle: address. Solid '
        "figure and circle: the top of the swing itself, not of the most hip turn. The angle is the trunk's lean in "
        f"this view.</p>{''.join(views)}</section>"
    )


def _rows(report: Report) -> list[tuple[str, Report]]:
    rows = [(value_words(report, step["value"]), step) for step in report["steps"]]
    return [*rows, (given_words(report), report["as_given"])]


def _room(report: Report) -> str:
    rows = "".join(
        f'<tr><th scope="row">{escape(label)}</th><td>{number(step["available_hip_turn_deg"])}°</td>'
        f'<td>{number(step["hip_turn_deg"])}°</td><td class="words">{escape(limit_words(step["limited_by"]))}</td></tr>'
        for label, step in _rows(report)
    )
    return (
        '<section><h2>The hip turn there is, and what stops it</h2><div class="scroll" style="--count: 3"><table>'
        "<caption>Knees and place of the pelvis held as asked. Last row: the swing as it was given.</caption>"
        f'<thead><tr><th scope="col">{escape(report["experiment"]["words"])}</th><th scope="col">most hip turn</th>'
        '<th scope="col">this swing\'s</th><th scope="col" style="text-align:left">the most is stopped by</th></tr>'
        f"</thead><tbody>{rows}</tbody></table></div></section>"
    )


def _measures(report: Report, inches: bool) -> str:
    units = {"cm": length_unit(inches), "deg": "°", "": ""}
    heads = "".join(
        f'<th scope="col">{escape(heading)} <small>{units[unit]}</small></th>' for heading, unit, _ in COLUMNS
    )
    rows = "".join(
        f'<tr><th scope="row">{escape(label)}</th>'
        + "".join(f"<td>{shown(step, field, unit, inches).replace('-', '−')}</td>" for _, unit, field in COLUMNS)
        + "</tr>"
        for label, step in _rows(report)
    )
    return (
        '<section class="sheet"><h2>The swing itself, at the top</h2>'
        f'<p class="legend">Head and pelvis since address. {escape(STRAIN_WORDS)}</p>'
        '<div class="scroll" style="--count: 5"><table>'
        f'<thead><tr><th scope="col">{escape(report["experiment"]["words"])}</th>{heads}</tr></thead>'
        f"<tbody>{rows}</tbody></table></div></section>"
    )
