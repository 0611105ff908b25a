"""Strikes as one page that needs no network and no second file."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from ..paper.frame import rendered
from ..paper.styles import key
from ..words.at_impact import SIGNS
from ..words.golfer import golfer_words
from ..words.pieces import ALL_ELSE_STAYS, NAMES, signed_amount
from .columns import OUTCOMES, cells, is_off, neck_cells, one_length, one_more, strikes
from .drawing import arcs, lines
from .words import LEFT_OUT, held_words

if TYPE_CHECKING:
    from .report import StrikeReport, StruckSwing


def strike_page(report: StrikeReport, inches: bool = False) -> str:
    """The whole page.

    Args:
        report: the strikes.
        inches: lengths in inches.
    """
    names = " and ".join(swing.preset for swing in report.swings)
    return rendered(
        "strike/page.html",
        title=f"{names}: where the club meets the ground",
        # One swing's own sentences are what the page has to say; two have theirs below, each under its name.
        sentences=report.sentences or report.swings[0].sentences,
        swings=[
            {
                "name": swing.preset,
                "shows": swing.shows,
                "who": golfer_words(swing.body, inches),
                "held": held_words(swing, inches),
                "sentences": swing.sentences if report.sentences else [],
                "strikes": [(name, cells(row, inches)) for name, row in strikes(swing)],
                "pieces": _pieces(swing, inches),
                "more": _more(swing, inches),
            }
            for swing in report.swings
        ],
        columns=[f"{' '.join(one.short)}, {one.unit(inches)}" for one in OUTCOMES],
        # The one mark on an arc is the ring where it is lowest.
        names=[(key(replace(style, marker="ring")), name) for style, name, _, _ in lines(report)],
        arcs=arcs(report, inches),
        all_else=ALL_ELSE_STAYS,
        left_out=LEFT_OUT,
        signs=SIGNS,
        notes=list(dict.fromkeys(report.warnings)),
    )


def _pieces(swing: StruckSwing, inches: bool) -> list[tuple[str, list[str]]]:
    return [
        (f"{NAMES[one.piece]} ({signed_amount(one.beyond_centred, one.unit, inches)})", cells(one.share, inches))
        for one in swing.pieces_at_impact
        if is_off(one)
    ]


def _more(swing: StruckSwing, inches: bool) -> list[tuple[str, list[str]]]:
    counted = [(NAMES[one.piece], *one_more(one, inches)) for one in swing.pieces_at_impact]
    neck = f"{one_length(inches)} of the neck’s base"
    return [
        *((f"{per} more {name}", does) for name, per, does in counted),
        *((f"{neck}, {_WAYS[one.toward]}", neck_cells(one, inches)) for one in swing.neck),
    ]


_WAYS = {"ball": "toward the ball", "target": "toward the target", "up": "up"}
