"""What the files of a data set are called."""

from __future__ import annotations

from pathlib import Path

from ...views.names import DOWN_THE_LINE, FACE_ON

REQUEST_FILE, CARD_FILE, CROISSANT_FILE, LICENCE_FILE = "dataset.toml", "card.md", "croissant.json", "LICENSE.txt"
INDEX_FILE, CHECKSUMS_FILE = "index.parquet", "checksums.txt"
SHARDS, COCO = "shards", "coco"
LABEL, IDS, DEPTH = "json", "ids.npy.gz", "depth.npy.gz"
PICTURES = ("jpg", "png")
"""Endings of an archive's members: what stands after the first dot, as WebDataset has it."""
VIEW_IN_KEY = {FACE_ON: "faceon", DOWN_THE_LINE: "line"}


def sample_key(subject: int, swing: int, view: str, moment: int) -> str:
    """The name of a picture, without a dot, which would end it for WebDataset."""
    return f"s{subject:05d}-w{swing:02d}-{VIEW_IN_KEY[view]}-m{moment:02d}"


def swing_of(key: str) -> str:
    """The name of a picture's swing: the picture's without view and moment."""
    return key.rsplit("-", 2)[0]


def shard_path(folder: Path, split: str, index: int) -> Path:
    """Where a shard of a split lies."""
    return folder / SHARDS / f"{split}-{index:05d}.tar"


def coco_path(folder: Path, split: str) -> Path:
    """Where a split's COCO file lies."""
    return folder / COCO / f"{split}.json"
