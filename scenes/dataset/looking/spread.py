"""How the labels of a data set are spread, as small charts: what should vary must be seen to vary."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

import numpy as np

from ....render.palette import FIRST_SWING, INK, css
from ..layout.sample import COVERED, OUTSIDE, SEEN

if TYPE_CHECKING:
    from PIL.Image import Image

BINS, COLUMNS, LONGEST = 20, 5, 24
_SIGHT = {OUTSIDE: "outside", COVERED: "covered", SEEN: "seen"}


def values_of(labels: Sequence[Mapping[str, Any]]) -> dict[str, list[float] | list[str]]:
    """What is charted, by its words: one value a picture, of keypoints one each; words are counted."""
    body = [label["body"] for label in labels]
    camera = [label["camera"] for label in labels]
    light = [label["appearance"]["light"] for label in labels]
    found: dict[str, list[float] | list[str]] = {
        "split": [str(label["split"]) for label in labels],
        "view": [str(label["view"]) for label in labels],
        "faults": [name for label in labels for name in (label["faults"] or ["none"])],
        "keypoints": [_SIGHT[point[2]] for label in labels for point in label["keypoints"]],
        "progress": [label["progress"] for label in labels],
        "stature, cm": [one["stature_cm"] for one in body],
        "mass, kg": [one["mass_kg"] for one in body],
        "sex": [str(one["sex"]) for one in body],
        "hand": [str(one["handedness"]) for one in body],
        "skin tone": [label["appearance"]["skin_tone"] for label in labels],
        "head toward target, cm": [label["head_cm"]["toward_target"] for label in labels],
        "head toward ball, cm": [label["head_cm"]["toward_ball"] for label in labels],
        "head up, cm": [label["head_cm"]["up"] for label in labels],
        "inclination, deg": [label["inclination_deg"] for label in labels],
    }
    for name in sorted(labels[0]["pieces"]["departures"]):
        words = name.rpartition("_")
        found[f"{words[0].replace('_', ' ')} beyond, {words[2]}"] = [
            one["pieces"]["departures"][name] for one in labels
        ]
    for name in sorted(labels[0]["address"]):
        words = name.rpartition("_")
        found[f"{words[0].replace('_', ' ')}, {words[2]}"] = [one["address"][name] for one in labels]
    for name in sorted(camera[0]["off_square"]):
        found[f"camera {name.replace('_', ' ')}"] = [one["off_square"][name] for one in camera]
    found |= {
        "golfer's pixels, share": [one["area"] / (one["camera"]["width"] * one["camera"]["height"]) for one in labels],
        "ground": [str(label["appearance"]["place"]["ground"]) for label in labels],
        "backdrop": [str(label["appearance"]["place"]["backdrop"]) for label in labels],
        "things before": [str(len(label["appearance"]["occluders"])) for label in labels],
        "key light": [one["key_strength"] for one in light],
        "bars of shade": ["with" if one["stripes"] else "without" for one in light],
        "legs": [str(label["appearance"]["look"]["legwear"]) for label in labels],
        "hair": [str(label["appearance"]["look"]["hair_style"]) for label in labels],
        "exposure": [label["sensor"]["exposure"] for label in labels],
        "noise": [label["sensor"]["noise"] for label in labels],
        "shutter, s": [label["sensor"]["shutter_s"] for label in labels],
        "JPEG quality": [float(label["sensor"]["jpeg_quality"] or 100) for label in labels],
    }  # fmt: skip
    return found


def spread(labels: Sequence[Mapping[str, Any]], width_px: int) -> Image:
    """All charts of some labels as one picture."""
    import io

    from matplotlib.figure import Figure
    from PIL import Image

    values = values_of(labels)
    rows, dpi = -(-len(values) // COLUMNS), 100
    figure = Figure(figsize=(width_px / dpi, rows * 1.75), dpi=dpi, layout="constrained")
    for k, (name, some) in enumerate(values.items()):
        axes = figure.add_subplot(rows, COLUMNS, k + 1)
        axes.set_title(name, fontsize=8, color=css(INK))
        axes.tick_params(labelsize=6)
        if some and isinstance(some[0], str):
            words, counts = np.unique(np.array(some), return_counts=True)
            shown = [str(word).replace("_", " ")[:LONGEST] for word in words]
            axes.barh(shown, counts, color=css(FIRST_SWING))
        else:
            axes.hist(np.array(some, float), bins=BINS, color=css(FIRST_SWING))
    out = io.BytesIO()
    figure.savefig(out, format="png")
    with Image.open(out) as image:
        return image.convert("RGB")
