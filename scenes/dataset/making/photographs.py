"""A subject's pictures with their labels, one after the other, as the bytes they are stored as."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from ....model.arrays import Array
from ....render.figure.figure import Figure, Posed
from ....render.photograph.exposing import Readout, encoded
from ....render.photograph.tripod import Tripod
from ....render.stage.stage import Stage
from ..layout.arrays import packed
from ..layout.names import DEPTH, IDS, LABEL
from ..layout.sample import sample_text
from ..plan.drawn import DrawnSubject, DrawnSwing, DrawnView
from .labels import TripodLabels
from .meeting import Runs
from .motion import across_exposure, velocities


@dataclass(frozen=True)
class Photograph:
    """One picture.

    Attributes:
        key: its name.
        members: ending to content of all that belongs to it, in the order it is stored.
    """

    key: str
    members: Mapping[str, bytes]


def photographs(root: int, subject: DrawnSubject, stage: Stage) -> Iterator[Photograph]:
    """All of a subject's, in the order they are stored: swing, view, moment.

    Args:
        root: the recipe's seed.
        subject: whom.
        stage: open.
    """
    first = subject.swings[0]
    figure = Figure(subject.body, first.swing.skeleton[0], left_handed=subject.left_handed, look=first.look)
    dressed, runs = figure, None
    for swing in subject.swings:
        before = dressed
        if swing is not first:
            dressed = figure.dressed(swing.swing.skeleton[0], swing.look)
        poses = Posed.each(dressed, swing.swing.skeleton[np.array(swing.moments)])
        if runs is None or dressed.faces is not before.faces:
            runs = Runs.of(poses[0])
        blurred = any(view.sensor.shutter_s > 0 for view in swing.views)
        moving = velocities(swing, dressed) if blurred else np.zeros((len(poses), 1, 3))
        for view in swing.views:
            yield from _from_one_tripod(root, subject, swing, view, poses, moving, runs, stage)


def _from_one_tripod(
    root: int,
    subject: DrawnSubject,
    swing: DrawnSwing,
    view: DrawnView,
    poses: Sequence[Posed],
    moving: Array,
    runs: Runs,
    stage: Stage,
) -> Iterator[Photograph]:
    tripod = Tripod(
        stage, view.camera, swing.place, swing.light, view.occluders, look=swing.look, ball=poses[0].ball,
        left_handed=subject.left_handed, exposure=view.sensor.exposure,
    )  # fmt: skip
    labels, sensed = TripodLabels(root, subject, swing, view, runs), Readout(tripod.still, view.sensor.noise)
    for number, (posed, moves) in enumerate(zip(poses, moving, strict=True)):
        photo = tripod.take(posed, moved=across_exposure(view.camera, posed, moves, view.sensor.shutter_s))
        label, steps = labels.of(number, posed, photo)
        rng = np.random.default_rng(np.random.SeedSequence(root, spawn_key=tuple(label.seed.picture)))
        data, ending = encoded(sensed.noisy(photo.changed, photo.colour_there, rng), view.sensor)
        text = sample_text(label).encode("utf-8")
        ids, depth = (packed(part, photo.area, photo.size) for part in (photo.segments_there, steps))
        yield Photograph(label.key, {ending: data, IDS: ids, DEPTH: depth, LABEL: text})
