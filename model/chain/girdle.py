"""The shoulder girdle: two collar bones on the breastbone, and what each shoulder does.

Each collar bone turns about its joint with the breastbone (the sternoclavicular joint): forward (protraction) and up
(elevation), in that order, as Wu et al. 2005 (J Biomech 38:981-992) take them. Three things turn it:

* the girdle's share of the shoulder line's turn, one shoulder forward and the other back by the same angle: what the
  head's answer rests on;
* the rise of the lead shoulder with its arm (`RISE`);
* what an arm lacks to hold the club (`toward`), the shortest way.

Frames are those of the skeleton: x ahead of the chest, y to the golfer's left (a right-hander's lead side), z up.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from ..arrays import Array
from ..batch import Batch, Frame, Vector
from ..golfer.body import Body
from ..numeric import rotations
from ..numeric.vectors import norm, vector

INNER = 1.0 / 7.0
"""Of the distance between the shoulders' centres: that between the inner ends of the collar bones, about 5 of 36 cm
(from memory)."""
SIDE = (1.0, -1.0)
"""Lead and trail: on which side of the breastbone."""
MOST_SWING = 1.15
"""Of a full swing of the arms: how far it goes with a turn beyond that (assumption)."""
EARLY = 0.75
"""How fast the arms swing at first, of their mean pace (assumption: chest and arms start together)."""
RISE = float(np.radians(20.0))
"""How far the lead collar bone is raised at a full swing, the arm across and up; it can be by 45 degrees.
Assumption: the shoulder comes under the chin (common practice). Pose detectors put it higher still, whether it is
raised by 18 degrees or by 26 (docs/detector.md), and at 26 the chin sinks into it.
"""
_COLLAR_BONE = ("retraction", "protraction", "depression", "elevation")
FARTHEST = float(np.radians(30.0))
"""How far an arm draws its collar bone beyond the rest, any way (assumption)."""


def girdle_angle(shoulder_line_turn: Array, turn: Array, tilt: Array, bend: Array) -> Array:
    """Rotation of the girdle about the ribcage's long axis that turns the shoulder line to ``shoulder_line_turn``.

    The shoulder line's turn is that of its horizontal projection; from R = Rz(-turn) Rx(-tilt) Ry(bend) Rz(-g)
    follows ``tan g = tan e cos tilt / (cos bend + tan e sin bend sin tilt)`` with e the turn still missing.
    """
    missing = shoulder_line_turn - turn
    sine, cosine = np.sin(missing), np.cos(missing)
    return np.arctan2(sine * np.cos(tilt), cosine * np.cos(bend) + sine * np.sin(bend) * np.sin(tilt))


def shoulder_line_turn(ribcage: Array, girdle: Array) -> Array:
    """Turn away from the target of the shoulder line as seen from above, rad: the girdle's share, without what rises or
    is drawn.
    """
    line = (ribcage @ rotations.about_z(-girdle))[..., :, 1]
    return np.arctan2(line[..., 0], line[..., 1])


def arm_swing(turned: Array, full: Array) -> Array:
    """Share of a full swing of the arms ``(...)`` when the shoulder line has ``turned`` that far since address, rad.

    The arms start with the chest, gain on it and have swung fully when it has turned by ``full``.
    """
    share = (turned / full).clip(0.0, MOST_SWING)
    return np.asarray(share * (EARLY + (1.0 - EARLY) * share))


def girdle_range(lengths: Mapping[str, Array], ranges: Mapping[str, Array]) -> tuple[Array, Array]:
    """How far the girdle goes round on the ribcage, toward the target and away from it, ``(...)`` rad, the first
    negative: as far as both collar bones can turn (see `Girdle.of`).
    """
    inner, bone = (0.5 * share * lengths["shoulder_width"] for share in (INNER, 1.0 - INNER))

    def line(forward: str, back: str) -> Array:
        most = np.minimum(ranges[f"{forward}_collar_bone_protraction"], ranges[f"{back}_collar_bone_retraction"])
        return np.asarray(np.arctan2(bone * np.sin(most), inner + bone * np.cos(most)))

    return -line("trail", "lead"), line("lead", "trail")


@dataclass(frozen=True)
class Girdle(Batch):
    """The girdle of moments ``(...)``; sides (lead, trail) first.

    Attributes:
        frame: ``(..., 3, 3)`` girdle_to_world: the ribcage turned by the girdle's share.
        ranges: of the collar bones, rad.
        ribcage: ``(..., 3, 3)`` ribcage_to_world.
        breastbone: both sternoclavicular joints, ``(..., 3)`` m each, taken level with the shoulders (assumption).
        shoulder: both shoulder centres, ``(..., 3)`` m each, nothing drawn yet.
    """

    frame: Frame
    ranges: Mapping[str, Array]
    ribcage: Frame
    breastbone: Mapping[str, Vector]
    shoulder: Mapping[str, Vector]

    @classmethod
    def of(cls, body: Body, ribcage: Array, neck_base: Array, girdle: Array, swing: Array) -> Girdle:
        """The girdle that carries its share ``girdle (...)`` rad and rises with the arms' ``swing (...)``.

        With the joints s to a side of the middle and collar bones b long, the line between the shoulders turns by g
        where both collar bones turn by p: ``tan g = b sin p / (s + b cos p)``, so ``p = g + asin(s sin g / b)``.
        """
        lengths, zero = body.lengths, np.zeros_like(girdle)
        inner, bone = (0.5 * share * lengths["shoulder_width"] for share in (INNER, 1.0 - INNER))
        around = girdle + np.arcsin((inner * np.sin(girdle) / bone).clip(-1.0, 1.0))
        frame, carried = (ribcage @ rotations.about_z(-angle) for angle in (girdle, around))
        middle = neck_base + _by(ribcage, lengths["shoulder_forward"], zero, -lengths["shoulder_drop"])
        breastbone, shoulder = {}, {}
        for name, side, rise in zip(("lead", "trail"), SIDE, (RISE * swing, zero), strict=True):
            breastbone[name] = middle + _by(ribcage, zero, side * inner, zero)
            out = _by(carried, zero, side * bone * np.cos(rise), bone * np.sin(rise))
            shoulder[name] = breastbone[name] + out
        own = [f"{side}_collar_bone_{way}" for side in ("lead", "trail") for way in _COLLAR_BONE]
        return cls(frame, {name: body.ranges[name] for name in own}, ribcage, breastbone, shoulder)

    def toward(self, side: str, wrist: Array, reach: Array, most: float, least: float = -FARTHEST) -> Array:
        """The shoulder ``(..., 3)`` m, drawn so that it is ``reach (...)`` m from a ``wrist (..., 3)``.

        The collar bone turns the shortest way, in the plane of breastbone, shoulder and wrist: law of cosines. It turns
        between ``least`` and ``most`` rad, toward the wrist positive, and then comes as near as it can.
        """
        joint = self.breastbone[side]
        bone, away = self.shoulder[side] - joint, wrist - joint
        square, far = (bone * bone).sum(axis=-1), (away * away).sum(axis=-1)
        both = np.sqrt(square * far)
        along = (bone * away).sum(axis=-1)
        now = np.arccos((along / both).clip(-1.0, 1.0))
        then = np.arccos((0.5 * (square + far - reach * reach) / both).clip(-1.0, 1.0))
        turned = (now - then).clip(least, most)[..., None]
        # In that plane, square to the bone on the wrist's side.
        across = away - (along / square)[..., None] * bone
        length = np.maximum(norm(across), 1e-12)
        across = across * (np.sqrt(square) / length)[..., None]
        return self._within(side, joint + np.cos(turned) * bone + np.sin(turned) * across)

    def _within(self, side: str, shoulder: Array) -> Array:
        """The ``shoulder (..., 3)`` m, or where its collar bone ends instead."""
        forward, up = self.collar_bone_angles(side, shoulder)
        ends = [self.ranges[f"{side}_collar_bone_{name}"] for name in _COLLAR_BONE]
        kept = forward.clip(-ends[0], ends[1]), up.clip(-ends[2], ends[3])
        inside = (kept[0] == forward) & (kept[1] == up)
        if inside.all():
            return shoulder
        bone = norm(shoulder - self.breastbone[side])
        there = self.breastbone[side] + self._along(side, bone, *kept)
        return np.where(inside[..., None], shoulder, there)

    def _along(self, side: str, bone: Array, forward: Array, up: Array) -> Array:
        """A collar bone ``bone (...)`` m long at its angles, ``(..., 3)`` m in the world."""
        sign = SIDE[("lead", "trail").index(side)]
        level = bone * np.cos(up)
        return _by(self.ribcage, level * np.sin(forward), sign * level * np.cos(forward), bone * np.sin(up))

    def collar_bone(self, side: str, forward: Array, up: Array) -> Array:
        """Collar_bone_to_world ``(..., 3, 3)`` at its protraction and elevation ``(...)`` rad."""
        sign = SIDE[("lead", "trail").index(side)]
        return self.ribcage @ rotations.about_z(-sign * forward) @ rotations.about_x(sign * up)

    def collar_bone_angles(self, side: str, shoulder: Array) -> tuple[Array, Array]:
        """Protraction and elevation ``(...)`` rad of the collar bone that carries ``shoulder (..., 3)``."""
        run = ((shoulder - self.breastbone[side])[..., None, :] @ self.ribcage)[..., 0, :]
        sign = SIDE[("lead", "trail").index(side)]
        forward = np.arctan2(run[..., 0], sign * run[..., 1])
        return forward, np.arctan2(run[..., 2], np.hypot(run[..., 0], run[..., 1]))


def _by(frame: Array, x: Array, y: Array, z: Array) -> Array:
    """A vector ``(..., 3)`` given in a frame ``(..., 3, 3)``, in the world."""
    return np.asarray((frame @ vector(x, y, z)[..., None])[..., 0])
