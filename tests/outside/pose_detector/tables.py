"""What came of it, as the tables of docs/detector.md."""

from __future__ import annotations

import numpy as np

from turnstill.model.arrays import Array
from turnstill.scenes.views.names import VIEWS

from .landmarks import LANDMARKS, PAIRS, kind
from .scores import LOOSE, NEAR, QUARTERS, Judged
from .sight import OBLIQUE, BoolArray

KINDS = ("nose", *PAIRS)
JOINTS = ("nose", *(f"{name}_{side}" for name in PAIRS for side in ("lead", "trail")))


def summary(judged: Judged) -> str:
    """The marks, one a line."""
    swapped, visible = judged.swapped, judged.pair_visible
    lines = [
        f"person found: {judged.person_found.sum()} of {len(judged.truths)} pictures",
        f"visible joints: PCK@{LOOSE} {judged.pck(LOOSE, judged.visible):.4f}, "
        f"PCK@{NEAR} {judged.pck(NEAR, judged.visible):.4f}",
        f"left and right swapped: {judged.turned_round.sum()} persons, {(swapped & visible).sum()} of {visible.sum()} "
        f"visible pairs, {(swapped & ~visible).sum()} of {(~visible).sum()} pairs with a hidden joint",
    ]
    return "\n".join(f"- {line}" for line in lines)


def by_joint(judged: Judged) -> str:
    """By view and joint, hidden joints apart."""
    heads = ["view", "joint", "visible", f"PCK@{LOOSE}", f"PCK@{NEAR}", "median error",
             "hidden", f"PCK@{LOOSE}", f"PCK@{NEAR}"]  # fmt: skip
    lines = _head(*heads)
    for view in (*VIEWS, "both"):
        for name in (*KINDS, "all"):
            which = _from(judged, view) & _of(name)
            see, hide = which & judged.visible, which & ~judged.visible
            median = f"{np.median(judged.error[see]):.3f}" if see.any() else "–"
            lines.append(_row(view, name, see.sum(), *_both(judged, see), median, hide.sum(), *_both(judged, hide)))
    return "\n".join(lines)


def by_progress(judged: Judged) -> str:
    """Where in the swing visible joints are missed."""
    lines = _head(f"PCK@{NEAR}, visible", *KINDS, "all")
    for number, words in enumerate(QUARTERS):
        these = (judged.quarter == number)[:, None] & judged.visible
        found = (judged.pck(NEAR, these & _of(name)) for name in (*KINDS, "all"))
        lines.append(_row(words, *(f"{share:.3f}" for share in found)))
    return "\n".join(lines)


def by_side(judged: Judged) -> str:
    """The usual offset of each joint, seen or hidden, and the spread about it; left-handers mirrored.

    An offset that is always the same is another idea of where the joint is; spread comes from what the picture shows.
    """
    lines = _head("view", "joint", "usual offset right, down", "median distance from it")
    for view in VIEWS:
        for joint in JOINTS:
            these = judged.offsets_of(joint, view)
            spread = np.nanmedian(np.linalg.norm(these - np.nanmedian(these, axis=0), axis=-1))
            lines.append(_row(view, _words(joint), _usual(these), f"{spread:.3f}"))
    return "\n".join(lines)


def by_side_and_progress(judged: Judged) -> str:
    """The usual offset of each joint, as above, in each quarter of the way to the top."""
    lines = _head("view", "joint", *(f"{words}: right, down" for words in QUARTERS))
    for view in VIEWS:
        for joint in JOINTS:
            usual = (_usual(judged.offsets_of(joint, view, number)) for number in range(len(QUARTERS)))
            lines.append(_row(view, _words(joint), *usual))
    return "\n".join(lines)


def by_rule(judged: Judged) -> str:
    """How much the rule for what is visible decides."""
    lines = _head("half thicknesses of flesh before a visible joint", "joints", f"PCK@{LOOSE}", f"PCK@{NEAR}")
    for limit, words in ((1.0, "1"), (OBLIQUE, f"{OBLIQUE} (the rule)"), (2.0, "2"), (np.inf, "hidden joints too")):
        these = judged.through <= limit
        lines.append(_row(words, these.sum(), *_both(judged, these)))
    return "\n".join(lines)


ALL = (summary, by_joint, by_progress, by_side, by_side_and_progress, by_rule)


def _from(judged: Judged, view: str) -> BoolArray:
    """``(N, 1)`` the pictures of a view."""
    return np.array([view in (one.view, "both") for one in judged.truths])[:, None]


def _of(name: str) -> BoolArray:
    """``(J,)`` the landmarks of a kind."""
    return np.array([name in (kind(landmark), "all") for landmark in LANDMARKS])


def _both(judged: Judged, which: BoolArray) -> list[str]:
    return [f"{judged.pck(within, which):.3f}" if which.any() else "–" for within in (LOOSE, NEAR)]


def _words(joint: str) -> str:
    return joint.replace("_", ", ")


def _usual(offsets: Array) -> str:
    """The median right and down of ``(n, 2)`` offsets."""
    right, down = np.nanmedian(offsets, axis=0)
    return f"{right:+.3f}, {down:+.3f}"


def _row(*cells: object) -> str:
    return f"| {' | '.join(str(cell) for cell in cells)} |"


def _head(*cells: str) -> list[str]:
    words = 2 if cells[1] == "joint" else 1
    return [_row(*cells), _row(*(["---"] * words + ["---:"] * (len(cells) - words)))]
