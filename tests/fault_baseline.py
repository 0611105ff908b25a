"""A fault classifier that sees nothing but where joints are in a swing's first and last picture from each tripod.

It shows how hard a recipe's faults are to tell, and what a classifier of pictures should reach. No picture is drawn:
the keypoints are the labels' own, but that the nose is the skeleton's instead of the tip as drawn, and eyes and ears,
which are places on the drawn skin, are left out.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray
from sklearn.linear_model import LogisticRegression
from sklearn.pipeline import make_pipeline
from sklearn.preprocessing import StandardScaler

from turnstill.model.arrays import Array, BoolArray
from turnstill.model.golfer.pieces import DEPARTURES
from turnstill.scenes.dataset.fault_scoring.answers import Answers
from turnstill.scenes.dataset.fault_scoring.judged import Judged
from turnstill.scenes.dataset.fault_scoring.losses import log_loss
from turnstill.scenes.dataset.fault_scoring.report import FaultsReport
from turnstill.scenes.dataset.fault_scoring.swings import OUTCOMES, Swings
from turnstill.scenes.dataset.layout.names import sample_key, swing_of
from turnstill.scenes.dataset.plan.drawn import DrawnView
from turnstill.scenes.dataset.plan.recipe import Recipe
from turnstill.scenes.dataset.plan.subjects import draw_subjects

SIDED = ("shoulder", "elbow", "wrist", "hip", "knee", "ankle")
JOINTS = ("nose", *(f"{name}_{side}" for name in SIDED for side in ("lead", "trail")))
"""Thirteen of the seventeen keypoints, in the order of all arrays here."""
STRENGTHS = (0.01, 0.1, 1.0, 10.0, 100.0)
"""Inverse strengths of regularisation that the validation split chooses from."""
TRAIN, VALIDATION, TEST = "train", "validation", "test"


@dataclass(frozen=True)
class Filmed:
    """Of S swings, V views, address and top, 13 joints.

    Attributes:
        swings: names, golfers and faults.
        too_much: ``(S, 8)`` whether each piece's departure is above nothing.
        split: ``(S,)``.
        pixels: ``(S, V, 2, 13, 2)`` right and down, as labels have them.
        left_handed: ``(S,)``.
    """

    swings: Swings
    too_much: BoolArray
    split: NDArray[np.str_]
    pixels: Array
    left_handed: BoolArray

    def of(self, which: BoolArray) -> Filmed:
        """Some of the swings."""
        names = tuple(name for name, one in zip(self.swings.names, which, strict=True) if one)
        swings = Swings(names, self.swings.golfer[which], self.swings.faulty[which])
        return Filmed(swings, self.too_much[which], self.split[which], self.pixels[which], self.left_handed[which])

    def from_view(self, number: int) -> Filmed:
        """What one tripod shows."""
        pixels = self.pixels[:, number : number + 1]
        return Filmed(self.swings, self.too_much, self.split, pixels, self.left_handed)

    def without_arms(self) -> Filmed:
        """Elbows and wrists put where their shoulders are, so that they say nothing more."""
        side = [name.rpartition("_")[2] for name in JOINTS]
        arms = [k for k, name in enumerate(JOINTS) if name.startswith(("elbow", "wrist"))]
        of = np.arange(len(JOINTS))
        of[arms] = [JOINTS.index(f"shoulder_{side[k]}") for k in arms]
        return Filmed(self.swings, self.too_much, self.split, self.pixels[..., of, :], self.left_handed)

    def blurred(self, torso_share: float, rng: np.random.Generator) -> Filmed:
        """The same as a detector might have it: every joint off by chance, each way by one sd of a share of the torso's
        length in the picture.
        """
        off = rng.normal(size=self.pixels.shape) * torso_share * torso_px(self.pixels)[:, :, None, None, None]
        return Filmed(self.swings, self.too_much, self.split, self.pixels + off, self.left_handed)


def filmed(recipe: Recipe) -> Filmed:
    """Every swing of a data set, seen without drawing it."""
    rows: list[tuple[str, int, Sequence[str]]] = []
    too_much, splits, pixels, left = [], [], [], []
    for start in range(0, recipe.subjects, 16):
        for subject in draw_subjects(recipe, range(start, min(start + 16, recipe.subjects))):
            for one in subject.swings:
                name = swing_of(sample_key(subject.number, one.number, one.views[0].view, 0))
                rows.append((name, subject.number, one.faults))
                too_much.append([one.departures[piece] > 0 for piece in DEPARTURES])
                joints = one.swing.skeleton.joints
                pixels.append([seen(view, {joint: joints[joint] for joint in JOINTS}) for view in one.views])
                splits.append(subject.split)
                left.append(subject.left_handed)
    return Filmed(Swings.of(rows), np.array(too_much), np.array(splits), np.array(pixels), np.array(left))


def seen(view: DrawnView, joints: dict[str, Any]) -> Array:
    """``(2, 13, 2)`` pixels at address and top, rounded as a label is, of joints ``(M, 3)`` metres, world."""
    world = np.stack([np.asarray(joints[name])[[0, -1]] for name in JOINTS], axis=1)
    return np.round(view.camera.project(world.reshape(-1, 3)).reshape(2, len(JOINTS), 2), 3)


def torso_px(pixels: Array) -> Array:
    """``(S, V)`` middle of the shoulders to middle of the hips at address."""
    middle = {name: pixels[:, :, 0, [JOINTS.index(f"{name}_{side}") for side in ("lead", "trail")]].mean(axis=2)
              for name in ("shoulder", "hip")}  # fmt: skip
    return np.asarray(np.linalg.norm(middle["shoulder"] - middle["hip"], axis=-1))


def features(pixels: Array, left_handed: BoolArray) -> Array:
    """``(S, V 52)``: where each joint is at address, and how far it has gone at the top, right-handed.

    Torso lengths, right and up, from the middle of the ankles at address: nothing depends on the picture's size, on
    where the golfer stands in it, or on the hand.
    """
    ankles = [JOINTS.index(f"ankle_{side}") for side in ("lead", "trail")]
    origin = pixels[:, :, :1, ankles].mean(axis=3, keepdims=True)
    places = (pixels - origin) / torso_px(pixels)[:, :, None, None, None] * (1.0, -1.0)
    places = np.where(left_handed[:, None, None, None, None], places * (-1.0, 1.0), places)
    return np.concatenate((places[:, :, 0], places[:, :, 1] - places[:, :, 0]), axis=2).reshape(len(pixels), -1)


def classified(data: Filmed, *, of_one: bool, ways_apart: bool = True) -> tuple[Filmed, Answers]:
    """The test split, and what the baseline says of it.

    Standardised logistic regression. Too little and too much of a piece lie on either side of what is as it should be,
    where one straight boundary cannot part both from it: each is a class of its own, and their probabilities are added.

    Args:
        data: all splits.
        of_one: one classifier of seventeen classes, learnt from swings with one fault at most; otherwise one of three
            for each piece, learnt from all.
        ways_apart: whether too little and too much are classes of their own.
    """
    parts = {name: data.of(data.split == name) for name in (TRAIN, VALIDATION, TEST)}
    if of_one:
        parts |= {name: parts[name].of(parts[name].swings.single) for name in (TRAIN, VALIDATION)}
    seen_by = {name: features(part.pixels, part.left_handed) for name, part in parts.items()}
    ways = {name: _ways(part) if ways_apart else np.abs(_ways(part)) for name, part in parts.items()}
    if of_one:
        kinds = {name: (way * (1 + np.arange(len(DEPARTURES)))).sum(axis=1) for name, way in ways.items()}
        said = _of_best(seen_by, kinds, range(-len(DEPARTURES), len(DEPARTURES) + 1))
        middle = len(DEPARTURES)
        nine = [said[:, middle], *(said[:, middle - k] + said[:, middle + k] for k in range(1, len(OUTCOMES)))]
        return parts[TEST], Answers(np.stack(nine, axis=1))
    columns = [_of_best(seen_by, {n: way[:, k] for n, way in ways.items()}, (-1, 0, 1)) for k in range(len(DEPARTURES))]
    return parts[TEST], Answers(np.stack([1.0 - said[:, 1] for said in columns], axis=1))


def _ways(data: Filmed) -> NDArray[np.intp]:
    """``(S, 8)`` -1 too little, 1 too much, 0 no fault."""
    return np.where(data.swings.faulty, np.where(data.too_much, 1, -1), 0)


def _of_best(seen_by: dict[str, Array], kinds: dict[str, NDArray[np.intp]], classes: Sequence[int]) -> Array:
    """``(S, C)`` probabilities of the test split's classes, by the strength with the least log loss on validation."""

    def said(model: Any, split: str) -> Array:
        found = np.zeros((len(seen_by[split]), len(classes)))
        found[:, [list(classes).index(kind) for kind in model.classes_]] = model.predict_proba(seen_by[split])
        return found

    def loss(model: Any) -> float:
        return log_loss(said(model, VALIDATION), kinds[VALIDATION][:, None] == np.array(classes), of_one=True)

    models = [
        make_pipeline(StandardScaler(), LogisticRegression(C=strength, max_iter=3000)).fit(seen_by[TRAIN], kinds[TRAIN])
        for strength in STRENGTHS
    ]
    return said(min(models, key=loss), TEST)


def scored(data: Filmed, *, of_one: bool, ways_apart: bool = True) -> FaultsReport:
    """What the baseline's score is."""
    test, answers = classified(data, of_one=of_one, ways_apart=ways_apart)
    return FaultsReport.of(Judged(test.swings, answers), "baseline", TEST)
