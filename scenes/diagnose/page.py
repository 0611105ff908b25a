"""A diagnosis as one page that needs no network and no second file."""

from __future__ import annotations

from html import escape
from typing import Any

import numpy as np
from scipy.stats import norm

from ...model.films.fault_prior import AT_FAULT
from ...model.golfer.pieces import MAY_BE_STEADY
from ..paper.arrows import Arrow
from ..paper.page_frame import closing, header, whole_page
from ..paper.piece_styles import PIECE_STYLES
from ..words.golfer import golfer_words
from ..words.pieces import NAMES, head_words, told_amount
from ..words.units import CM_PER_INCH, length_unit, told_length
from .charts import Bar, Span, amount_chart, probability_chart
from .drawing import Read, head_drawing
from .readings import KINDS
from .table import amount
from .words import HEADS, MENTIONED, case_words, either_way, percent
from .work import PRIOR

Report = dict[str, Any]
_WITHIN = float(norm.ppf(0.95))
_SMALLEST_ARROW_CM = 0.05
_VIEWS = (
    ("Face-on", "toward_target", ("away from target", "toward target")),
    ("Down the line", "toward_ball", ("away from ball", "toward ball")),
)
_OWN_STYLE = """
.feel { background: var(--card); border: 1px solid var(--line); padding: 12px 16px 4px; max-width: 860px; }
.feel dt { font-weight: 700; }
.feel dd { margin: 0 0 8px 0; }
td { white-space: nowrap; }
td small { display: block; min-width: 0; }
.more { font-weight: 400; color: var(--soft); }
th small { white-space: normal; }
"""


def diagnose_page(report: Report, inches: bool = False) -> str:
    """The whole page.

    Args:
        report: of ``turnstill.scenes.diagnose.report``.
        inches: lengths in inches.
    """
    title = "What moved the head: from the films to the piece"
    who = f"{golfer_words(report['body'], inches)}. From what was read off the films at the top of the backswing."
    parts = [header(title, _minus(who[0].upper() + who[1:]), [_minus(line) for line in report["sentences"]])]
    if report["fits"]:
        parts += [_feel(report, inches), _probabilities(report), _amounts(report, inches), _drawings(report, inches)]
    else:
        parts.append(_drawings(report, inches))
    parts.append(_readings(report, inches))
    if report["fits"]:
        parts.append(_departures(report, inches))
    parts.append(closing([_minus(line) for line in report["warnings"]]))
    return whole_page(title, parts, _OWN_STYLE)


def _minus(text: str) -> str:
    return text.replace(" -", " −").replace("(-", "(−")


def _feel(report: Report, inches: bool) -> str:
    feel = report["feel"]
    if feel is None:
        return ""
    shown = told_amount(abs(feel["amount"]), feel["unit"], inches)
    place = np.array([feel["alone_it_would_change"][f"{name}_cm"] for name in HEADS])
    alone = (
        "The head by this alone" if feel["piece"] in MAY_BE_STEADY else "The head, with tilt and extension keeping up"
    )
    rows = (
        ("What", f"{shown} {feel['what']}: {feel['do']}."),
        ("Face-on", f"{feel['face_on']}."),
        ("Down the line", f"{feel['down_the_line']}."),
        (alone, f"{head_words(place, inches)} than now."),
        ("Mind", feel["check"]),
        ("Caution", feel["caution"]),
    )
    told = "".join(f"<dt>{term}</dt><dd>{escape(text[0].upper() + text[1:])}</dd>" for term, text in rows)
    return f'<section><h2>The feel: the opposite of what was found</h2><dl class="feel">{told}</dl></section>'


def _probabilities(report: Report) -> str:
    bars = [
        Bar(NAMES[one["piece"]], one["probability"], percent(one["probability"]), one["piece"] in report["candidates"])
        for one in report["pieces"]
    ]
    nothing = report["nothing_at_fault"]
    bars.append(Bar("nothing", nothing, percent(nothing), False))
    before = float((np.exp(PRIOR.log_probability) @ AT_FAULT)[0])
    chart = probability_chart("Probability that each piece is at fault", bars, before)
    return (
        '<section class="together"><h2>Which piece</h2><p class="legend">How probable it is that each '
        "piece is at fault; one or two pieces may be. Full bars: one of these departs furthest, with 90 %. The "
        "dashed line is where "
        "every "
        f'piece stood before any film.</p><div class="charts"><figure>{chart}</figure></div></section>'
    )


def _amounts(report: Report, inches: bool) -> str:
    figures = []
    for unit, title in (
        ("deg", "Turns, bends and knees, °"),
        ("cm", f"Sway and hips toward ball, {length_unit(inches)}"),
    ):
        scale = 1 / CM_PER_INCH if inches and unit == "cm" else 1.0
        spans = [
            Span(
                NAMES[one["piece"]],
                low=one["low"] * scale,
                likely=None if either_way(one) else one["most_likely"] * scale,
                high=one["high"] * scale,
                usual=one["not_at_fault_sd"] * _WITHIN * scale,
                sure=one["probability"] >= MENTIONED,
            )
            for one in report["pieces"]
            if one["unit"] == unit
        ]
        shown_unit = "°" if unit == "deg" else length_unit(inches)
        chart = amount_chart(title, shown_unit, spans, ("less", "more"))
        figures.append(f"<figure><figcaption>{title}</figcaption>{chart}</figure>")
    return (
        '<section class="together"><h2>If so, how much</h2><p class="legend">For each piece, if it is at '
        "fault: the most likely departure (dot; none where it may be either way) and where it is with 90 % (line), "
        "from what holds the head for the turn that was made. Full "
        f"lines: at fault with {percent(MENTIONED)} or more; dashed: less. Grey band: nobody is exactly steady, and "
        "of those "
        "not at fault 90 % are within it. Sway is away from the target.</p>"
        f'<div class="charts">{"".join(figures)}</div></section>'
    )


def _drawings(report: Report, inches: bool) -> str:
    scale, unit = 1 / CM_PER_INCH if inches else 1.0, length_unit(inches)
    read = {one["reading"]: one for one in report["readings"]}
    mirrored = report["body"]["handedness"] == "left"
    candidates = [one for one in report["pieces"] if one["piece"] in report["candidates"]] if report["fits"] else []
    figures = []
    for view, across, ends in _VIEWS:
        side, up = read.get(f"head_{across}"), read.get("head_up")
        seen = Read(
            side["value"] * scale if side else None,
            side["sd"] * scale if side else 0.0,
            up["value"] * scale if up else None,
            up["sd"] * scale if up else 0.0,
        )
        arrows, small, open_ = [], [], []
        for one in candidates:
            if either_way(one):
                open_.append(NAMES[one["piece"]])
                continue
            by_itself = one["head_by_itself"]
            there = by_itself[f"head_{across}_cm"], by_itself["head_up_cm"]
            if max(abs(value) for value in there) < _SMALLEST_ARROW_CM:
                small.append(NAMES[one["piece"]])
                continue
            style = PIECE_STYLES[one["piece"]]
            arrows.append(Arrow(NAMES[one["piece"]], there[0] * scale, there[1] * scale, style))
        chart = head_drawing(view, unit, seen, arrows, ends, mirrored=mirrored, least=0.5 if inches else 1.0)
        left_out = {"Too short to draw": small, "Either way, so not drawn": open_}
        told = _unread(seen, ends) + "".join(f" {why}: {', '.join(who)}." for why, who in left_out.items() if who)
        notes = f' <span class="more">{escape(told.strip())}</span>' if told else ""
        figures.append(f"<figure><figcaption>{view}, {unit}{notes}</figcaption>{chart}</figure>")
    legend = (
        "Ring: the head at address. Cross and grey patch: where it was read at the top, and one sd of reading it (a "
        "band "
        "where only one way was read)."
    )
    if candidates:
        legend += (
            " Arrows: where the most likely amount of each candidate would take the head by itself (of a turn, a knee, "
            "sway or hips_toward_ball: with tilt and extension keeping up with it, as departures are counted here)."
        )
    return (
        f'<section class="together"><h2>The head as read{", and the candidates" if candidates else ""}</h2>'
        f'<p class="legend">{legend} Both axes have the same scale.</p><div class="charts">{"".join(figures)}</div>'
        "</section>"
    )


def _unread(seen: Read, ends: tuple[str, str]) -> str:
    missing = [name for name, value in ((ends[1], seen.across), ("up", seen.up)) if value is None]
    return f" Not read: {', '.join(missing)}." if missing else ""


def _readings(report: Report, inches: bool) -> str:
    rows = []
    for one in report["readings"]:
        kind, unit = KINDS[one["reading"]], one["unit"]
        sd = told_amount(one["sd"], "deg") if unit == "deg" else told_length(one["sd"], inches)
        keys = ("value", "without_a_fault", *(("most_probable",) if report["fits"] else ()))
        read, *others = (escape(amount(one[key], unit, inches).replace("-", "−")) for key in keys)
        told = "".join(f"<td>{cell}</td>" for cell in (f"{read}<small>sd {escape(sd)}</small>", *others))
        rows.append(
            f'<tr><th scope="row">{escape(kind.words)}<br><small>{escape(kind.positive)}</small></th>{told}</tr>'
        )
    heads = ["as read", "without a fault", *(["most probable case"] if report["fits"] else [])]
    return (
        '<section style="--count: 2"><h2>What was read</h2><div class="scroll"><table><caption>Each '
        "reading beside what the films of this golfer would show without a fault"
        f"{', and in the most probable case' if report['fits'] else ''}. Signs are as said under each name.</caption>"
        f"{_head_row('reading', heads)}<tbody>{''.join(rows)}</tbody></table></div></section>"
    )


def _head_row(first: str, heads: list[str]) -> str:
    cells = "".join(f'<th scope="col">{head}</th>' for head in heads)
    return f'<thead><tr><th scope="col">{first}</th>{cells}</tr></thead>'


def _departures(report: Report, inches: bool) -> str:
    rows = []
    for one in report["departures"]:
        cells = [amount(one[k], one["unit"], inches) for k in ("made", "from_what_holds_the_head", "from_centred")]
        told = "".join(f"<td>{escape(cell.replace('-', '−'))}</td>" for cell in cells)
        rows.append(f'<tr><th scope="row">{escape(NAMES[one["piece"]])}</th>{told}</tr>')
    heads = ["comes to", "from what holds the head for the turn made", "from the centred turn"]
    return (
        '<section style="--count: 2"><h2>Departures, counted in two ways</h2><div class="scroll"><table>'
        f"<caption>In the most probable case ({escape(case_words(report))}). The first count is what a fault is: more "
        "or less than holds this head for "
        "the turn "
        "this golfer made. The second compares with the centred preset's turn of this golfer; a shorter turn needs "
        "less tilt "
        "and extension, so a difference there alone is no fault.</caption>"
        f"{_head_row('piece', heads)}<tbody>{''.join(rows)}</tbody></table></div></section>"
    )
