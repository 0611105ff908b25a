"""The data set's card: what is in it, how to read it, and what it is not good for."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from ...setups.toml_text import toml_text


@dataclass(frozen=True)
class Counts:
    """What a split holds."""

    subjects: int
    swings: int
    pictures: int


def card_text(counts: Mapping[str, Counts], request: Mapping[str, Any], bytes_in_all: int) -> str:
    """``card.md``.

    Args:
        counts: of each split.
        request: what was asked for.
        bytes_in_all: of all archives.
    """
    rows = "".join(f"| {name} | {one.subjects} | {one.swings} | {one.pictures} |\n" for name, one in counts.items())
    return f"""\
# Drawn golfers and their swings

Pictures of drawn golfers with labels, made by Turnstill, to test a pose detector or a fault classifier on. Bodies,
addresses and swings are drawn from the figures that Turnstill's documentation names; every number that was drawn is a
label.

| split | subjects | swings | pictures |
|---|---|---|---|
{rows}
All pictures of a subject are in one split. The archives hold {bytes_in_all / 1e6:.1f} MB.

## What lies where

- `shards/SPLIT-00000.tar`: of each picture `KEY.jpg` or `KEY.png`, `KEY.ids.npy.gz` (8 bits: what each pixel shows),
  `KEY.depth.npy.gz` (16 bits: how far away that is, in steps of `depth_unit_m`; 0 where nothing is) and `KEY.json`, its
  label. They read as WebDataset archives; do not decode ids or depth as pictures, which would lose bits.
- `index.parquet`: a row for each picture, units in the columns' metadata.
- `coco/SPLIT.json`: the split as COCO's keypoint task has it; the pictures it names lie in the archives.
- `croissant.json`: the same for machines, as ML Commons Croissant.
- `dataset.toml`: what was asked for and with what it was made: the same makes the same bytes again.
- `checksums.txt`: SHA-256 of every file; `sha256sum --check checksums.txt`, or `turnstill dataset check`.

Middles of pixels are at integers: the middle of the first one is at (0, 0). Left and right are the golfer's own. A
keypoint's v is 0 outside the picture, 1 where something covers it, the body itself included, and 2 where it is seen.

## What it is good for, and what not

These are drawings. There are no faces of people, cloth does not fold, hair and grass are plain, and nobody walks
behind the golfer. What a detector does here it need not do on film; compare settings of this data set with each other
before you conclude anything about film.

The people in it are no one. Body measures come from a survey of one country's soldiers, skin tones and clothes from
plain lists: this is no benchmark of how well anything works for any group of persons.

The swings come from a kinematic model, no measure of load and no medical or coaching advice: what a body can do without
harm is a matter for clinicians and qualified coaches.

## What was asked for

```toml
{toml_text(request)}```
"""
