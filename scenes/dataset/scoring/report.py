"""A detector's score as plain numbers; the unit is in each name. Torso lengths are of the swing's address."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

import numpy as np

from ....model.arrays import Array
from ...setups.reports import ClosingReport, Number, Report, closing_fields
from ..layout.sample import COVERED, KEYPOINTS, SEEN
from .head import HeadReading, read_heads
from .judged import LEFT, LOOSE, NEAR, RIGHT, Flags, Judged
from .precision import Precision
from .truth import PARTS_OF_WAY, Truth

DARK, BRIGHT = 0.7, 1.4
"""Exposures below and above are told apart (assumption)."""


class JointsScore(Report):
    """How many of some keypoints inside the picture were found."""

    of: str
    """of which"""
    joints: int
    """how many there are"""
    pck20_share: Number | None
    """found within 0.2 torso lengths; `null` of none"""
    pck50_share: Number | None
    """found within 0.5"""


class SwapScore(Report):
    """How often left was taken for right."""

    of: str
    """of which pictures"""
    pictures: int
    """how many there are"""
    pairs_share: Number | None
    """of pairs inside the picture; each joint lies nearer to the other's place by a tenth of the torso"""
    persons_share: Number | None
    """pictures with half of the pairs or more so"""


class BiasScore(Report):
    """Where a joint is put, on average, of persons found; left-handers mirrored."""

    joint: str
    """COCO's name, of a right-hander"""
    view: str
    """`face-on` or `down-the-line`"""
    part: str
    """of the swing: a quarter of the backswing, the way down, past the ball"""
    joints: int
    """how many"""
    right_torso: Number
    """torso lengths to the right in the picture"""
    down_torso: Number
    """torso lengths down"""


class HeadScore(Report):
    """What a coach would read of the head's way since address, less the label."""

    view: str
    """`face-on` or `down-the-line`"""
    direction: str
    """of the label's `head_cm`"""
    pictures: int
    """after the address"""
    missed: int
    """of those, where nobody was found in this picture or at the address"""
    mean_error_cm: Number | None
    """on average, signed"""
    rms_error_cm: Number | None
    """root of the mean square"""
    rms_of_labels_cm: Number | None
    """the same of the true keypoints: what reading them so costs by itself, the face turning with the head"""


class ScoreReport(ClosingReport):
    """What a pose detector made of a split."""

    dataset: str
    """name of the data set's recipe"""
    split: str
    """the split"""
    pictures: int
    """how many it has"""
    found: int
    """with a result; the others count as missed"""
    duplicates: int
    """results beyond the best of a picture: they count in the average precision only"""
    ap: Number | None
    """average precision by object keypoint similarity, mean of 0.50 to 0.95; `null` without keypoints"""
    ap50: Number | None
    """at a similarity of 0.50"""
    ap75: Number | None
    """at 0.75"""
    ar: Number | None
    """average recall"""
    sigmas: dict[str, Number]
    """of the similarity"""
    overall: JointsScore
    """all keypoints inside the picture"""
    by_joint: list[JointsScore]
    """by keypoint"""
    by_view: list[JointsScore]
    """by view"""
    by_visibility: list[JointsScore]
    """seen or covered"""
    by_progress: list[JointsScore]
    """by quarter of the backswing; the way down and past the ball, where swings go on"""
    by_difficulty: list[JointsScore]
    """the recipe, occluders before the golfer or none, exposure"""
    swaps: list[SwapScore]
    """left for right, by view"""
    bias: list[BiasScore]
    """by joint, view and part of the swing"""
    head: list[HeadScore]
    """by view and direction"""

    @classmethod
    def of(
        cls,
        judged: Judged,
        how_precise: Precision,
        duplicates: int,
        sigmas: Mapping[str, float],
        dataset: str,
        split: str,
    ) -> ScoreReport:
        """The report of a detector."""
        truth = judged.truth
        whole = np.ones_like(judged.counts)
        views = sorted(set(truth.names("view")), reverse=True)
        by_view = [(view, truth.names("view") == view) for view in views]
        parts = [(words, truth.part == k) for k, words in enumerate(PARTS_OF_WAY)]
        parts = [(words, rows) for words, rows in parts if "quarter" in words or rows.any()]
        seeing = [("seen", truth.sight == SEEN), ("covered", truth.sight == COVERED)]
        harder = list(_difficulties(truth, dataset))
        found, pictures = int(judged.person_found.sum()), len(truth.labels)
        return cls(
            dataset=dataset, split=split, pictures=pictures, found=found, duplicates=duplicates,
            ap=how_precise.ap, ap50=how_precise.ap50, ap75=how_precise.ap75, ar=how_precise.ar, sigmas=dict(sigmas),
            overall=_joints(judged, "all", whole),
            by_joint=[_joints(judged, name, whole & (np.arange(17) == k)) for k, name in enumerate(KEYPOINTS)],
            by_view=[_joints(judged, name, whole & rows[:, None]) for name, rows in by_view],
            by_visibility=[_joints(judged, name, which) for name, which in seeing],
            by_progress=[_joints(judged, name, whole & rows[:, None]) for name, rows in parts],
            by_difficulty=[_joints(judged, name, whole & rows[:, None]) for name, rows in harder],
            swaps=[_swaps(judged, name, rows) for name, rows in [("all", whole[:, 0]), *by_view]],
            bias=list(_biases(judged, by_view)),
            head=_heads(judged),
            sentences=[
                f"{found} of {pictures} pictures of {split} have a result"
                + ("; the others count as missed." if found < pictures else ".")
            ],
            warnings=_notes(duplicates),
            **closing_fields(),
        )  # fmt: skip


def _notes(duplicates: int) -> list[str]:
    if not duplicates:
        return []
    return [
        f"Results of a picture that has a better-scored one: {duplicates}. They count in the average precision and "
        "nowhere else."
    ]


def _joints(judged: Judged, of: str, which: Flags) -> JointsScore:
    return JointsScore(
        of=of, joints=int((which & judged.counts).sum()), pck20_share=judged.pck(NEAR, which),
        pck50_share=judged.pck(LOOSE, which),
    )  # fmt: skip


def _difficulties(truth: Truth, dataset: str) -> Iterator[tuple[str, Flags]]:
    occluded = np.array([bool(label["appearance"]["occluders"]) for label in truth.labels])
    exposure = np.array([label["sensor"]["exposure"] for label in truth.labels])
    yield f"recipe {dataset}", np.ones(len(occluded), bool)
    yield "something before the golfer", occluded
    yield "nothing before the golfer", ~occluded
    yield f"exposure under {DARK}", exposure < DARK
    yield f"exposure {DARK} to {BRIGHT}", (exposure >= DARK) & (exposure <= BRIGHT)
    yield f"exposure over {BRIGHT}", exposure > BRIGHT


def _swaps(judged: Judged, of: str, rows: Flags) -> SwapScore:
    pairs = judged.pair_counts[rows]
    return SwapScore(
        of=of, pictures=int(rows.sum()), pairs_share=_mean(judged.swapped[rows][pairs]),
        persons_share=_mean(judged.turned_round[rows]),
    )  # fmt: skip


def _biases(judged: Judged, by_view: Sequence[tuple[str, Flags]]) -> Iterator[BiasScore]:
    offset, counts = _right_handed(judged)
    for k, joint in enumerate(KEYPOINTS):
        for view, rows in by_view:
            for number, part in enumerate(PARTS_OF_WAY):
                of = offset[rows & (judged.truth.part == number) & judged.person_found & counts[:, k], k]
                if len(of):
                    right, down = of.mean(axis=0)
                    yield BiasScore(
                        joint=joint, view=view, part=part, joints=len(of), right_torso=right, down_torso=down
                    )


def _right_handed(judged: Judged) -> tuple[Array, Flags]:
    """Offsets and what counts, those of left-handers as of their mirror images."""
    other = np.arange(len(KEYPOINTS))
    other[LEFT], other[RIGHT] = RIGHT, LEFT
    left_handed = judged.truth.left_handed
    offset = np.where(left_handed[:, None, None], judged.offset[:, other] * (-1.0, 1.0), judged.offset)
    return offset, np.where(left_handed[:, None], judged.counts[:, other], judged.counts)


def _heads(judged: Judged) -> list[HeadScore]:
    true = np.where(judged.counts[..., None], judged.truth.places, np.nan)
    readings = zip(read_heads(judged.truth, judged.found), read_heads(judged.truth, true), strict=True)
    return [_head(said, ideal) for said, ideal in readings]


def _head(said: HeadReading, ideal: HeadReading) -> HeadScore:
    error, least = said.said - said.label, ideal.said - ideal.label
    there, least = error[np.isfinite(error)], least[np.isfinite(least)]
    return HeadScore(
        view=said.view, direction=said.direction, pictures=len(error), missed=len(error) - len(there),
        mean_error_cm=_mean(there), rms_error_cm=_rms(there), rms_of_labels_cm=_rms(least),
    )  # fmt: skip


def _mean(values: Array | Flags) -> float | None:
    return float(np.mean(values)) if values.size else None


def _rms(values: Array) -> float | None:
    return float(np.sqrt(np.mean(values**2))) if values.size else None
