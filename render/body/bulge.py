"""A bent trunk keeps its volume: where bending brings its cross sections nearer together, they widen.

Rigid frames along the spine turn each cross section of the trunk with its vertebra. The spine lies behind the middle of
the flesh, so bending forward brings the middles nearer together, and the skin alone would lose what lies between. A
living belly bulges instead.
"""

from __future__ import annotations

import numpy as np

from ...model.arrays import Array
from .bones import COLUMN
from .skinning import Floats

SPAN = len(COLUMN)
"""The frames of the column come first among ``bones.BONES``."""
HEIGHTS = (0.8, 1.25)
"""Of a section, against its height at rest: what lies beyond folds, or tears, and does not bulge (assumption)."""


def middles(vertices: Array, weights: Floats, spine: Array) -> Array:
    """``(19, 3)`` metres: the middle of what each frame of the column carries, at rest.

    Args:
        vertices: ``(V, 3)`` metres.
        weights: ``(V, B)`` of each vertex to each of ``bones.BONES``.
        spine: ``(18, 3)`` metres, the levels of the resting spine.
    """
    own = weights[:, :SPAN]
    held = own.sum(axis=0)
    levels = np.concatenate([spine[:1], spine])
    carries = np.flatnonzero(held > 0)  # A child's vertebra may lie between the vertices of a coarse mesh.
    before = own[:, carries].T @ vertices / held[carries, None] - levels[carries]
    return levels + np.stack([np.interp(np.arange(SPAN), carries, way) for way in before.T], axis=-1)


def keep_volume(matrices: Array, rest_middles: Array, spine: Array) -> Array:
    """``(..., B, 3, 4)`` the same motions, the trunk's cross sections widened by what they lose in height.

    Args:
        matrices: ``(..., B, 3, 4)`` what each frame did since the rest.
        rest_middles: ``(19, 3)`` metres, from ``middles``.
        spine: ``(18, 3)`` metres, the levels of the resting spine, which stand upright; they stay where they are.
    """
    column = matrices[..., 1:SPAN, :, :]
    posed = (matrices[..., :SPAN, :, :3] @ rest_middles[..., None])[..., 0] + matrices[..., :SPAN, :, 3]
    apart = np.linalg.norm(np.diff(posed, axis=-2), axis=-1) / np.linalg.norm(np.diff(rest_middles, axis=0), axis=-1)
    # A section has a stretch below and one above it, but for the last.
    height = np.clip(0.5 * (apart + np.concatenate([apart[..., 1:], apart[..., -1:]], axis=-1)), *HEIGHTS)
    # Widened about the spine, the middle moves away from it and has less height still: w^2 (1 - (1 - height) w) = 1.
    width = np.ones_like(height)
    for _ in range(3):
        width = 1 / np.sqrt(1 - (1 - height) * width)
    # What stands upright at rest is widened in x and y alone.
    wide = np.ones((*height.shape, 3))
    wide[..., :2] = width[..., None]
    turned = column[..., :3]
    shift = column[..., 3] + (turned @ ((1 - wide) * spine)[..., None])[..., 0]
    widened = np.concatenate([turned * wide[..., None, :], shift[..., None]], axis=-1)
    return np.concatenate([matrices[..., :1, :, :], widened, matrices[..., SPAN:, :, :]], axis=-3)
