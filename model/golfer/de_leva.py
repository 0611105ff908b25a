"""Masses, mass centres and radii of gyration of the body's segments.

de Leva, P. (1996). Adjustments to Zatsiorsky-Seluyanov's segment inertia parameters. Journal of
Biomechanics 29(9):1223-1230, Table 4. The numbers were read in a restatement of that table (the data files
``BSPmale_ZdeLeva.txt`` and ``BSPfemale_ZdeLeva.txt`` of the public repository BMClab/BMC), not in the
journal itself. The subjects were 100 young men and 15 young women, gamma-scanned by Zatsiorsky and
Seluyanov (subjects: from memory).

Each segment lies on the line from its first to its second end point; the mass centre is given from the
first. Published masses of the whole body add to 1.0000 for men and 0.9999 for women.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from ..arrays import Array, ArrayLike
from ..errors import TurnstillError
from .survey import by_sex

END_POINTS: Mapping[str, str] = {
    "vertex": "VERT, top of the head",
    "mid_gonion": "MIDG, midway between the angles of the jaw",
    "cervicale": "CERV, tip of the seventh neck vertebra's spine",
    "suprasternale": "SUPR, notch at the top of the breastbone",
    "mid_shoulder": "MIDS, midway between the shoulder joint centres",
    "xiphion": "XYPH, lower end of the breastbone",
    "omphalion": "OMPH, navel",
    "mid_hip": "MIDH, midway between the hip joint centres",
    "shoulder": "SJC, shoulder joint centre",
    "elbow": "EJC, elbow joint centre",
    "wrist": "WJC, wrist joint centre",
    "knuckle": "MET3, third metacarpale, the knuckle of the middle finger",
    "fingertip": "DAC3, third dactylion, the tip of the middle finger",
    "hip": "HJC, hip joint centre",
    "knee": "KJC, knee joint centre",
    "ankle": "AJC, ankle joint centre",
    "heel": "HEEL, back of the heel",
    "toe_tip": "TTIP, tip of the longest toe",
}
"""End points by plain name, with the source's abbreviation."""


@dataclass(frozen=True)
class Segment:
    """One segment between two end points; every pair is (men, women).

    Attributes:
        start: first end point, a name of ``END_POINTS``.
        end: second end point.
        mass: fraction of body mass, of one side for limbs, as published (not normalised).
        centre: mass centre, fraction of the segment's length from ``start``.
        gyration: radii of gyration about the mass centre as fractions of the segment's length, about the
            sagittal (front to back), the transverse (side to side) and the longitudinal axis.
    """

    start: str
    end: str
    mass: tuple[float, float]
    centre: tuple[float, float]
    gyration: tuple[tuple[float, float, float], tuple[float, float, float]]


# fmt: off
SEGMENTS: Mapping[str, Segment] = {
    "head": Segment("vertex", "cervicale", (0.0694, 0.0668), (0.5002, 0.4841),
                    ((0.303, 0.315, 0.261), (0.271, 0.295, 0.261))),
    "upper_trunk": Segment("cervicale", "xiphion", (0.1596, 0.1545), (0.5066, 0.5050),
                           ((0.505, 0.320, 0.465), (0.466, 0.314, 0.449))),
    "middle_trunk": Segment("xiphion", "omphalion", (0.1633, 0.1465), (0.4502, 0.4512),
                            ((0.482, 0.383, 0.468), (0.433, 0.354, 0.415))),
    "lower_trunk": Segment("omphalion", "mid_hip", (0.1117, 0.1247), (0.6115, 0.4920),
                           ((0.615, 0.551, 0.587), (0.433, 0.402, 0.444))),
    "upper_arm": Segment("shoulder", "elbow", (0.0271, 0.0255), (0.5772, 0.5754),
                         ((0.285, 0.269, 0.158), (0.278, 0.260, 0.148))),
    "forearm": Segment("elbow", "wrist", (0.0162, 0.0138), (0.4574, 0.4559),
                       ((0.276, 0.265, 0.121), (0.261, 0.257, 0.094))),
    "hand": Segment("wrist", "knuckle", (0.0061, 0.0056), (0.7900, 0.7474),
                    ((0.628, 0.513, 0.401), (0.531, 0.454, 0.335))),
    "thigh": Segment("hip", "knee", (0.1416, 0.1478), (0.4095, 0.3612),
                     ((0.329, 0.329, 0.149), (0.369, 0.364, 0.162))),
    "shank": Segment("knee", "ankle", (0.0433, 0.0481), (0.4395, 0.4352),
                     ((0.251, 0.246, 0.102), (0.267, 0.263, 0.092))),
    "foot": Segment("heel", "toe_tip", (0.0137, 0.0129), (0.4415, 0.4014),
                    ((0.257, 0.245, 0.124), (0.299, 0.279, 0.139))),
}
"""The body in ten kinds of segment; head and three trunk parts once, limbs once a side."""

OTHER_END_POINTS: Mapping[str, Segment] = {
    "head_to_jaw": Segment("vertex", "mid_gonion", (0.0694, 0.0668), (0.5976, 0.5894),
                           ((0.362, 0.376, 0.312), (0.330, 0.359, 0.318))),
    "trunk_from_suprasternale": Segment("suprasternale", "mid_hip", (0.4346, 0.4257), (0.4486, 0.4151),
                                        ((0.372, 0.347, 0.191), (0.357, 0.339, 0.171))),
    "trunk_from_cervicale": Segment("cervicale", "mid_hip", (0.4346, 0.4257), (0.5138, 0.4964),
                                    ((0.328, 0.306, 0.169), (0.307, 0.292, 0.147))),
    "trunk_from_mid_shoulder": Segment("mid_shoulder", "mid_hip", (0.4346, 0.4257), (0.4310, 0.3782),
                                       ((0.384, 0.358, 0.197), (0.379, 0.361, 0.182))),
    "upper_trunk_from_suprasternale": Segment("suprasternale", "xiphion", (0.1596, 0.1545), (0.2999, 0.2077),
                                              ((0.716, 0.454, 0.659), (0.746, 0.502, 0.718))),
    "hand_to_fingertip": Segment("wrist", "fingertip", (0.0061, 0.0056), (0.3624, 0.3427),
                                 ((0.288, 0.235, 0.184), (0.244, 0.208, 0.154))),
}
"""The same head, trunk, upper trunk and hand between other end points, and the trunk in one piece."""
# fmt: on

PAIRED: tuple[str, ...] = ("upper_arm", "forearm", "hand", "thigh", "shank", "foot")
"""The segments that a body has two of."""


def segment_named(name: str) -> Segment:
    """The row of a segment of ``SEGMENTS`` or ``OTHER_END_POINTS``.

    Raises:
        TurnstillError: no segment of that name.
    """
    found = SEGMENTS.get(name) or OTHER_END_POINTS.get(name)
    if found is None:
        known = ", ".join((*SEGMENTS, *OTHER_END_POINTS))
        raise TurnstillError(f"There is no segment {name!r}: choose one of {known}.")
    return found


def mass_fractions(female: ArrayLike) -> dict[str, Array]:
    """Each segment's share of body mass, scaled so that the whole body adds to 1.

    The published fractions add to 1.0000 for men and 0.9999 for women (rounding in print); the rest is
    spread in proportion.

    Args:
        female: ``(...)`` bool, or 0 for male and 1 for female.

    Returns:
        dict[str, Array]: the ten names of ``SEGMENTS`` to fractions shaped like ``female``; ``PAIRED``
        ones are of one side, so head + trunk parts + twice the paired ones is 1 up to rounding error.

    Raises:
        TurnstillError: ``female`` not 0 or 1.
    """
    published = _of_segments(female, [segment.mass for segment in SEGMENTS.values()])
    total = sum((2.0 if name in PAIRED else 1.0) * mass for name, mass in published.items())
    return {name: np.asarray(mass / total) for name, mass in published.items()}


def centre_fractions(female: ArrayLike) -> dict[str, Array]:
    """`centre_fraction` of all ``SEGMENTS`` at once."""
    return _of_segments(female, [segment.centre for segment in SEGMENTS.values()])


def _of_segments(female: ArrayLike, by: Sequence[tuple[float, float]]) -> dict[str, Array]:
    """His or her figure of every segment, from pairs in the order of ``SEGMENTS``."""
    his, hers = np.array(by).T
    found = by_sex(np.asarray(female)[..., None], his, hers)
    return {name: found[..., k] for k, name in enumerate(SEGMENTS)}


def centre_fraction(segment: str, female: ArrayLike) -> Array:
    """How far the mass centre lies from the segment's ``start`` toward its ``end``, fraction of its length.

    Args:
        segment: a name of ``SEGMENTS`` or ``OTHER_END_POINTS``.
        female: ``(...)`` bool, or 0 and 1.

    Returns:
        Array: fraction, shaped like ``female``.

    Raises:
        TurnstillError: an unknown segment, or ``female`` not 0 or 1.
    """
    return by_sex(female, *segment_named(segment).centre)


def gyration_fractions(segment: str, female: ArrayLike) -> Array:
    """Radii of gyration about the mass centre, fractions of the segment's length.

    Args:
        segment: a name of ``SEGMENTS`` or ``OTHER_END_POINTS``.
        female: ``(...)`` bool, or 0 and 1.

    Returns:
        Array: ``(..., 3)``, about the sagittal, transverse and longitudinal axis: in a segment whose x is
        front, y lead side and z along its length, the x, y and z axis.

    Raises:
        TurnstillError: an unknown segment, or ``female`` not 0 or 1.
    """
    his, hers = segment_named(segment).gyration
    return by_sex(np.asarray(female)[..., None], his, hers)
