"""A student's record as one page that needs no network and no second file."""

from __future__ import annotations

from html import escape
from typing import Any

from ... import __version__
from ...model.films.readings import USUAL_SD_SHOWN
from ...model.golfer.pieces import PIECES
from ..paper.charts import Style, marker
from ..paper.page_style import STYLE
from ..words.pieces import NAMES
from ..words.units import CM_PER_INCH, length_unit, shown_length, signed, told_length
from . import words as record_words
from .chart import BAND, BY_HEAD, PAST, READ, Felt, Seen, head_chart, response_chart
from .entry import HEADS
from .table import amount, got

Report = dict[str, Any]
_VIEWS = (
    ("head_toward_target_cm", "The head toward the target", ("toward target", "away from target"), True),
    ("head_up_cm", "The head up", ("up", "down"), True),
    ("head_toward_ball_cm", "The head toward the ball", ("toward ball", "away from ball"), False),
)
_OWN_STYLE = """
.signs { list-style: none; padding: 0; margin: 0 0 14px; }
.signs li { margin: 0 0 4px; }
.sign { vertical-align: middle; margin-right: 8px; }
.record td, .record th { white-space: nowrap; }
.record td.note { white-space: pre-line; text-align: left; min-width: 12em; overflow-wrap: anywhere; }
.record th[scope=row], .record th:last-child { text-align: left; }
"""

_SIGN = '<svg class="sign" viewBox="0 0 34 18" width="34" height="18" aria-hidden="true">'
_BY_HEAD_WORDS = "as the head's movement since the film before tells; other pieces move it too"


def record_page(report: Report, following: Report | None = None, inches: bool = False) -> str:
    """The whole page.

    Args:
        report: of ``turnstill.scenes.record.report.show_report``.
        following: of ``turnstill.scenes.record.report.next_report``, its sentences in the unit to be shown.
        inches: lengths in inches.
    """
    title = f"{report['record']}: feel and film"
    told = "".join(f"<p>{escape(line)}</p>" for line in report["sentences"])
    warned = "".join(f"<p><strong>{escape(line)}</strong></p>" for line in report["warnings"])
    body = "\n".join(
        [
            f"<header><h1>{escape(title)}</h1></header>",
            f'<section class="short" aria-label="In short">{told}{warned}</section>',
            _next(following),
            _heads(report, inches),
            _responses(report, inches),
            _table(report, inches),
            _care(report),
        ]
    )
    return (
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<title>{escape(title)}</title>\n<style>{STYLE}{_OWN_STYLE}</style>\n</head>\n<body>\n{body}\n</body>\n</html>\n"
    )


def _next(following: Report | None) -> str:
    if following is None:
        return ""
    # What the record warns of stands in the box above already.
    more = [line for line in following["warnings"] if line.startswith("Even with")]
    told = "".join(f"<p>{escape(line)}</p>" for line in [*following["sentences"], *more, record_words.FEEL_CAUTION])
    return f"<section><h2>The next feel of {escape(NAMES[following['piece']])}</h2>{told}</section>"


def _sign(style: Style, words: str) -> str:
    drawn = (
        f'<svg class="sign" viewBox="0 0 34 18" width="34" height="18" aria-hidden="true">{marker(style, 17, 9)}</svg>'
    )
    return f"<li>{drawn}{escape(words)}</li>"


def _heads(report: Report, inches: bool) -> str:
    scale, unit = 1 / CM_PER_INCH if inches else 1.0, length_unit(inches)
    past = {film["id"] for film in report["films"] if film["past_goal_probability"] >= 0.5}
    still = report["still_within_cm"]
    figures = []
    for key, name, ends, banded in _VIEWS:
        films = [
            Seen(
                entry["date"],
                entry[key] * scale,
                (USUAL_SD_SHOWN["cm"] if entry["head_sd_cm"] is None else entry["head_sd_cm"]) * scale,
                entry["id"] in past,
            )
            for entry in report["entries"]
            if entry[key] is not None
        ]
        if films:
            chart = head_chart(name, unit, films, still * scale if banded else None, ends)
            figures.append(f"<figure><figcaption>{name} at the top since address, {unit}</figcaption>{chart}</figure>")
    if not figures:
        return ""
    band = f'{_SIGN}<rect width="34" height="18" fill="{BAND}"/></svg>'
    signs = [
        f"<li>{band}still: within {told_length(still, inches)} of its place at address, face-on</li>",
        _sign(READ, "a film, with the uncertainty of reading it (one sd up and down)"),
    ]
    if past:
        signs.append(_sign(PAST, "a film that, more likely than not, went past the goal of the feels before it"))
    return (
        f'<section class="together"><h2>The head over the sessions</h2><ul class="signs">{"".join(signs)}</ul>'
        f'<div class="charts">{"".join(figures)}</div></section>'
    )


def _responses(report: Report, inches: bool) -> str:
    figures, by_head = [], False
    for response in report["responses"]:
        piece = response["piece"]
        length = PIECES[piece].unit == "cm"
        unit, scale = (length_unit(inches), 1 / CM_PER_INCH if inches else 1.0) if length else ("°", 1.0)
        feels = [
            Felt(
                entry["felt"] * scale,
                entry["got_taken"] * scale,
                entry["got_taken_sd"] * scale,
                entry["got_from"] == "head",
            )
            for entry in report["entries"]
            if entry["piece"] == piece and entry["got_from"]
        ]
        if feels:
            by_head |= any(feel.by_head for feel in feels)
            ends = (response["mean"], response["low"], response["high"])
            chart = response_chart(f"What was got of each feel of {NAMES[piece]}", unit, feels, ends)
            name = NAMES[piece].capitalize()
            figures.append(f"<figure><figcaption>{escape(name)}: got against felt, {unit}</figcaption>{chart}</figure>")
    if not figures:
        return ""
    signs = [_sign(READ, "read off the film")]
    if by_head:
        signs.append(_sign(BY_HEAD, _BY_HEAD_WORDS))
    return (
        '<section class="together"><h2>What this golfer gets of a feel</h2>'
        '<p class="legend">Line: the response, with what is taken before any film in it. Grey wedge: it lies in '
        "there with 90 % probability. Whiskers: one sd of reading.</p>"
        f'<ul class="signs">{"".join(signs)}</ul><div class="charts">{"".join(figures)}</div></section>'
    )


def _table(report: Report, inches: bool) -> str:
    if not report["entries"]:
        return ""
    unit = length_unit(inches)
    heads = (
        "piece",
        "felt",
        "got",
        f"head toward<br>target, {unit}",
        f"toward<br>ball, {unit}",
        f"up, {unit}",
        "incl., °",
    )
    cells = "".join(f'<th scope="col">{head}</th>' for head in ("date", *heads, "note"))
    rows = []
    for entry in report["entries"]:
        inclination = entry["inclination_change_deg"]
        values = [
            NAMES[entry["piece"]] if entry["piece"] else "film only",
            amount(entry, "felt", inches),
            got(entry, inches),
            *("" if entry[key] is None else shown_length(entry[key], inches) for key in HEADS),
            "" if inclination is None else signed(inclination),
        ]
        shown = "".join(f"<td>{escape(value.replace('-', '−'))}</td>" for value in values)
        rows.append(
            f'<tr><th scope="row">{entry["date"]}</th>{shown}'
            f'<td class="note">{escape(_legible(entry["note"]))}</td></tr>'
        )
    caption = "Felt and got count from the film before; ~ is what the head tells where nothing else was read."
    return (
        f'<section class="sheet" style="--count: 4"><h2>The entries</h2><div class="scroll"><table class="record">'
        f"<caption>{caption}</caption><thead><tr>{cells}</tr></thead><tbody>{''.join(rows)}</tbody></table></div></section>"
    )


def _legible(note: str) -> str:
    """A note without characters that turn the reading order or cannot be seen."""
    return "".join(c if c.isprintable() or c in "\n\t" else " " for c in note)


def _care(report: Report) -> str:
    items = "".join(f"<li>{escape(line)}</li>" for line in report["cautions"])
    taken = "".join(f"<li>{escape(line)}</li>" for line in report["assumptions"])
    return (
        f'<section class="care"><h2>Before you use this</h2><ul class="care">{items}</ul></section>\n'
        f'<section class="care"><h2>What is assumed</h2><ul class="care">{taken}</ul></section>\n'
        f"<footer><p>Turnstill {escape(__version__)}</p></footer>"
    )
