"""The tables of a score, which terminal and page both show."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from .report import JointsScore, ScoreReport


class ShownTable(NamedTuple):
    """A table: its caption, its headings, and rows whose first cell is their name."""

    caption: str
    headings: Sequence[str]
    rows: Sequence[Sequence[str]]


def tables(report: ScoreReport) -> list[ShownTable]:
    """All of a detector's score."""
    groups = (
        ("view", report.by_view), ("sight", report.by_visibility), ("part of the way", report.by_progress),
        ("difficulty", report.by_difficulty), ("joint", report.by_joint),
    )  # fmt: skip
    return [
        ShownTable(
            "Average precision of object keypoint similarity, with the sigmas in the JSON",
            ("", "AP", "AP at .50", "AP at .75", "average recall"),
            [("all pictures", *(_number(one, 3) for one in (report.ap, report.ap50, report.ap75, report.ar)))],
        ),
        *(_joints(name, rows if name != "view" else [report.overall, *rows]) for name, rows in groups),
        ShownTable(
            "Left taken for right, per cent",
            ("pictures", "number", "pairs", "whole persons"),
            [(one.of, str(one.pictures), _share(one.pairs_share), _share(one.persons_share)) for one in report.swaps],
        ),
        ShownTable(
            "Head since address as read from the keypoints, less the label, cm",
            ("view", "direction", "pictures", "missed", "mean", "rms", "rms of true keypoints"),
            [
                (
                    one.view, one.direction.replace("_", " "), str(one.pictures), str(one.missed),
                    _signed(one.mean_error_cm), _number(one.rms_error_cm, 2), _number(one.rms_of_labels_cm, 2),
                )
                for one in report.head
            ],
        ),
    ]  # fmt: skip


def bias_table(report: ScoreReport) -> ShownTable:
    """Where each joint is put: too long for a terminal."""
    return ShownTable(
        "Where joints are put on average, torso lengths; left-handers mirrored",
        ("joint", "view", "part of the way", "number", "right", "down"),
        [
            (
                _words(one.joint), one.view, one.part, str(one.joints), _signed(one.right_torso, 3),
                _signed(one.down_torso, 3),
            )
            for one in report.bias
        ],
    )  # fmt: skip


def _joints(name: str, rows: Sequence[JointsScore]) -> ShownTable:
    return ShownTable(
        f"Keypoints found, by {name}, per cent",
        (name, "keypoints", "within .2 torso", "within .5 torso"),
        [(_words(one.of), str(one.joints), _share(one.pck20_share), _share(one.pck50_share)) for one in rows],
    )


def _words(name: str) -> str:
    return name.replace("_", " ")


def _share(value: float | None) -> str:
    return "none" if value is None else f"{100 * value:.1f}"


def _number(value: float | None, decimals: int) -> str:
    return "none" if value is None else f"{value:.{decimals}f}"


def _signed(value: float | None, decimals: int = 2) -> str:
    return "none" if value is None else f"{value:+.{decimals}f}"
