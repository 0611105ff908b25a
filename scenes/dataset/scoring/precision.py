"""Average precision by object keypoint similarity, as COCO's own tools reckon it."""

from __future__ import annotations

import io
import json
from collections.abc import Mapping, Sequence
from contextlib import redirect_stdout
from dataclasses import dataclass
from importlib.util import find_spec

import numpy as np

from ....model.errors import TurnstillError
from ..layout.coco import PERSON, coco_text
from ..layout.sample import KEYPOINTS
from .results import Found
from .truth import Label

_SIGMAS = (0.026, 0.025, 0.025, 0.035, 0.035, 0.079, 0.079, 0.072, 0.072, 0.062, 0.062, 0.107, 0.107, 0.087, 0.087,
           0.089, 0.089)  # fmt: skip
SIGMAS: Mapping[str, float] = dict(zip(KEYPOINTS, _SIGMAS, strict=True))
"""How far people differ who mark each keypoint, as a share of the square root of the person's area: what COCO
publishes for its own seventeen (from memory)."""


@dataclass(frozen=True)
class Precision:
    """Of persons of any size; None where no picture has a keypoint.

    Attributes:
        ap: mean of the precision at similarities 0.50, 0.55 ... 0.95.
        ap50: at 0.50.
        ap75: at 0.75.
        ar: mean recall.
    """

    ap: float | None
    ap50: float | None
    ap75: float | None
    ar: float | None


def require_coco() -> None:
    """Make sure of COCO's tools.

    Raises:
        TurnstillError: naming the extra that brings them.
    """
    if find_spec("pycocotools") is None:
        raise TurnstillError("Scores need pycocotools; pip install 'turnstill[data]'.")


def precision(labels: Sequence[Label], found: Sequence[Found], sigmas: Mapping[str, float]) -> Precision:
    """Judge all persons found, duplicates too.

    Args:
        labels: of a split, in the order of its archives.
        found: all of them.
        sigmas: of each keypoint by name.
    """
    from pycocotools.coco import COCO
    from pycocotools.cocoeval import COCOeval

    if not found:
        return Precision(0.0, 0.0, 0.0, 0.0)
    rows = [
        {
            "image_id": one.image, "category_id": PERSON, "score": one.score,
            "keypoints": np.column_stack((one.places, np.ones(len(KEYPOINTS)))).ravel().tolist(),
        }
        for one in found
    ]  # fmt: skip
    # What the tools say on the way is not for the reader of a score.
    with redirect_stdout(io.StringIO()):
        truth = COCO()
        truth.dataset = json.loads(coco_text((label, "") for label in labels))
        truth.createIndex()
        judge = COCOeval(truth, truth.loadRes(rows), "keypoints")
        judge.params.kpt_oks_sigmas = np.array([sigmas[name] for name in KEYPOINTS])
        judge.evaluate()
        judge.accumulate()
        judge.summarize()
    return Precision(*(float(judge.stats[k]) if judge.stats[k] >= 0 else None for k in (0, 1, 2, 5)))
