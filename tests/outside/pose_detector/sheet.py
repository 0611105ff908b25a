"""A contact sheet of the pictures that the detector read worst, with truth and answer drawn in."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
from PIL import Image, ImageDraw, ImageFont

from .landmarks import LANDMARKS
from .scores import NEAR, Judged

BONES = (
    ("shoulder", "elbow"), ("elbow", "wrist"), ("shoulder", "hip"), ("hip", "knee"), ("knee", "ankle"),
)  # fmt: skip
TRUE, FOUND = (0, 90, 255), (230, 60, 0)
COLUMNS = 4


def worst(judged: Judged, count: int) -> list[int]:
    """Numbers of the pictures with the most visible joints missed, the largest mean error first among equals."""
    missed = ((judged.error > NEAR) & judged.visible).sum(axis=1)
    mean = np.where(judged.visible, np.minimum(judged.error, 9.0), 0.0).sum(axis=1) / judged.visible.sum(axis=1)
    order = np.lexsort((-mean, -missed))
    return [int(number) for number in order[:count]]


def sheet(judged: Judged, folder: Path, picks: list[int]) -> Image.Image:
    """The pictures in a grid: truth blue (hidden joints hollow), the answer orange, the left side thicker."""
    tiles = [_tile(judged, folder, number) for number in picks]
    width, height = tiles[0].size
    whole = Image.new("RGB", (COLUMNS * width, math.ceil(len(tiles) / COLUMNS) * height), "white")
    for place, tile in enumerate(tiles):
        whole.paste(tile, (place % COLUMNS * width, place // COLUMNS * height))
    return whole


def _tile(judged: Judged, folder: Path, number: int) -> Image.Image:
    truth = judged.truths[number]
    with Image.open(folder / truth.file) as opened:
        picture = opened.convert("RGB")
    pen = ImageDraw.Draw(picture)
    for places, colour in ((truth.places, TRUE), (judged.found[number], FOUND)):
        if np.isfinite(places).all():
            _bones(pen, places, colour)
    for (x, y), visible in zip(truth.places, judged.visible[number], strict=True):
        pen.ellipse((x - 5, y - 5, x + 5, y + 5), fill=TRUE if visible else None, outline=TRUE, width=2)
    missed = [
        name for name, error, visible in zip(LANDMARKS, judged.error[number], judged.visible[number], strict=True)
        if visible and error > NEAR
    ]  # fmt: skip
    pen.text(
        (6, 6),
        f"{truth.about}\n{truth.view}, {truth.progress:.0%}\n{', '.join(missed)}",
        fill=(0, 0, 0),
        font=ImageFont.load_default(20),
    )
    return picture


def _bones(pen: ImageDraw.ImageDraw, places: np.ndarray, colour: tuple[int, int, int]) -> None:
    at = {name: tuple(place) for name, place in zip(LANDMARKS, places, strict=True)}
    for side, width in (("left", 4), ("right", 2)):
        for first, second in BONES:
            pen.line((at[f"{side}_{first}"], at[f"{side}_{second}"]), fill=colour, width=width)
    for name in ("shoulder", "hip"):
        pen.line((at[f"left_{name}"], at[f"right_{name}"]), fill=colour, width=2)
    x, y = at["nose"]
    pen.line((x - 6, y, x + 6, y), fill=colour, width=3)
    pen.line((x, y - 6, x, y + 6), fill=colour, width=3)
