"""What a wall or the end of a stick would be touched by: the same feel told against things at home.

Of the head its centre counts, as it goes along the line to the thing: how the head turns on its neck is the model's
guess, and left out. Of the rest the drawn body's own surface counts, posed from address to the top, without the arms
(folded over the chest) and without a club; a wall stands across all of it, a stick held beside a hip is met by the hips
alone, and only by what passes within ``THICK_M`` of it.

How far each of two swings comes toward a thing beyond its place at address is compared. Where that tells them apart, a
distance halfway between is one at which one of them touches and the other stays short.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, TypeAlias

import numpy as np
from numpy.typing import NDArray

from ...model.arrays import Array, BoolArray
from ...model.swing.swing import Swing

if TYPE_CHECKING:
    from ...render.body.body_surface import BodySurface

STEPS = 11
"""Moments of a surface looked at, address and top among them."""
THICK_M = 0.012
"""Half the breadth of a stick, m."""
BEHIND_HEELS_M = 0.03
"""What stands beside a hip stands so far behind the heels, or the foot would be in its way, m."""
SOLE_M = 0.1
"""Below this height a leg is a foot, m."""
TELLING_M = 0.02
"""Two swings that differ by less are not told apart (our choice: what one feels of a touch)."""
MOST = 2
_HALF_CM = 0.005
Names: TypeAlias = NDArray[np.str_]
HEAD, BODY, HIPS = "head", "body", "hips"


@dataclass(frozen=True)
class Thing:
    """Something to stand by.

    Attributes:
        axis: along which it is away, 0 toward the ball, 1 toward the target, 2 up.
        way: +1 or -1 along that.
        met_by: what counts: ``HEAD``, the whole ``BODY`` or the ``HIPS``.
    """

    axis: int
    way: int
    met_by: str


THINGS: Mapping[str, Thing] = {
    "wall_behind": Thing(0, -1, BODY),
    "before_head": Thing(0, 1, HEAD),
    "trail_of_head": Thing(1, -1, HEAD),
    "lead_of_head": Thing(1, 1, HEAD),
    "over_head": Thing(2, 1, HEAD),
    "trail_of_hip": Thing(1, -1, HIPS),
    "lead_of_hip": Thing(1, 1, HIPS),
}


@dataclass(frozen=True)
class Reach:
    """How far a swing comes toward a thing.

    Attributes:
        far_m: beyond its place at address, at the moment it comes farthest; not below zero.
        part: of the body that does.
    """

    far_m: float
    part: str


@dataclass(frozen=True)
class Check:
    """A thing that tells two swings apart.

    Attributes:
        thing: of ``THINGS``.
        starts: the part of the body that is nearest to it at address.
        distance_m: how far from that it is to be.
        now, after: how far each swing comes.
    """

    thing: str
    starts: str
    distance_m: float
    now: Reach
    after: Reach


def checks(now: Swing, after: Swing) -> list[Check]:
    """The things that tell two swings of one body from one address apart, the most telling first.

    Args:
        now: no batch axes.
        after: likewise.
    """
    from ...render.body.body_surface import BodySurface

    surface = BodySurface(now.body, now.skeleton[0], left_handed=now.left_handed)
    parts = _parts(surface)
    posed = [_moments(surface, swing) for swing in (now, after)]
    found = []
    for name, thing in THINGS.items():
        if thing.met_by == HEAD:
            starts, both = HEAD, [_of_head(thing, swing) for swing in (now, after)]
        else:
            starts, both = _of_surface(thing, posed, parts)
        apart = abs(both[0].far_m - both[1].far_m)
        if apart >= TELLING_M:
            halfway = (both[0].far_m + both[1].far_m) / 2.0
            found.append((apart, Check(name, starts, round(halfway / _HALF_CM) * _HALF_CM, *both)))
    return [check for _, check in sorted(found, key=lambda one: -one[0])][:MOST]


def _of_head(thing: Thing, swing: Swing) -> Reach:
    return Reach(max(float((thing.way * swing.measures.head_moved[:, thing.axis]).max()), 0.0), HEAD)


def _of_surface(thing: Thing, posed: list[Array], parts: Names) -> tuple[str, list[Reach]]:
    """The part nearest at address, and how far each swing comes."""
    counted = parts != "" if thing.met_by == BODY else np.isin(parts, ("trail hip", "lead hip", "seat"))
    soles = np.char.endswith(parts, "leg") & (posed[0][0, :, 2] < SOLE_M)
    stick = float(posed[0][0, soles, 0].min()) - BEHIND_HEELS_M
    reaches = []
    for moments in posed:
        counts: BoolArray = np.broadcast_to(counted, moments.shape[:2])
        if thing.met_by == HIPS:
            counts = counts & (np.abs(moments[..., 0] - stick) < THICK_M)
        reaches.append(np.where(counts, thing.way * moments[..., thing.axis], -np.inf))
    # Both stand at one address.
    start, starts = float(reaches[0][0].max()), str(parts[int(reaches[0][0].argmax())])
    out = []
    for reach in reaches:
        moment, vertex = np.unravel_index(int(reach.argmax()), reach.shape)
        out.append(Reach(float(reach[moment, vertex]) - start, str(parts[vertex])))
    return starts, out


def _moments(surface: BodySurface, swing: Swing) -> Array:
    """``(STEPS, V, 3)`` m: toward ball, toward target, up, for either hand."""
    picks = np.round(np.linspace(0, len(swing.progress) - 1, STEPS)).astype(int)
    posed = np.asarray(surface.pose(swing.skeleton[picks]), dtype=float)
    return posed * np.array([1.0, -1.0, 1.0]) if swing.left_handed else posed


def _parts(surface: BodySurface) -> Names:
    """``(V,)`` the part of the body that each vertex belongs to, empty for the arms."""
    from ...render.body.bones import ARM, BONES

    strongest = surface.skin.weights.argmax(axis=1)
    main = np.take_along_axis(surface.skin.bones, strongest[:, None], axis=1)[:, 0]
    arms = {name for side in ARM.values() for joint in side for name in joint}
    return np.array(["" if bone in arms else _part(bone) for bone in BONES])[main]


def _part(bone: str) -> str:
    side = bone.rpartition("_")[2]
    if bone == "head" or bone.startswith("neck"):
        return HEAD
    if bone.startswith("collar_bone"):
        return f"{side} shoulder"
    if bone.startswith("hip"):
        return f"{side} hip"
    if bone.startswith("spine"):
        return "trunk"
    return "seat" if bone == "pelvis" else f"{side} leg"
