"""What a golfer wears, cut out of the body's own surface: shirt, legwear, belt and collar, and the skin left bare.

A garment is the surface moved out by the thickness of the cloth and smoothed as cloth is where it spans a hollow, cut
along the lines where it ends. It keeps the weights of the skin under it, so it moves with it and no seam opens.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ...model.arrays import Array, BoolArray
from ..body.body_surface import SETTLED, BodySurface
from ..body.bones import ARM, BONES, SIDES
from ..body.skinning import Blend, linear_blend, smoothed_blend
from ..body.smoothing import smoothing
from ..shapes.carriers import Rigid, smoothstep
from ..shapes.solids import IntArray, ellipsoid
from .clipping import capped, clip
from .look import Look
from .skirt import skirt

BELT_SHARE, BELT_HEIGHT_M = 1.1, 0.032
"""The trousers reach this many times as high over the hips as the lumbosacral joint; the belt's height (our choice)."""
SLEEVE_SHARE, LONG_SLEEVE_SHARE = 0.62, 0.90
"""A short sleeve's length along the upper arm, and how far down the forearm a long one goes (our choice)."""
COLLAR_SLANT, COLLAR_HEIGHT_M, COLLAR_BELOW_M = np.radians(25.0), 0.030, 0.006
"""The collar's edge rises toward the nape by this angle; its height, and how far below the shirt's edge it reaches
(our choice)."""
COLLAR_FALL, COLLAR_RADIUS_M, HEAD_WITHIN = 0.5, 0.065, 1.2
"""How far the collar's edge falls for each metre away from the neck's middle, where it has the height asked, and within
what distance all lies that comes out of it, in distances of the shoulder (our choice)."""
HEM_SHARE, SHORTS_SHARE, SKIRT_OVER_KNEE_M = 0.98, 0.88, 0.03
"""How far down the shank trousers end and down the thigh shorts do, and how high over the knees' middle a skirt does
(our choice)."""
SOCK_OVER_ANKLE_M, SOCK_INTO_SHOE_M, SOCK_WIDTH = 0.075, 0.006, 1.35
"""How far over the ankle's middle a sock reaches, how far below it it ends, unseen in the shoe, and within how many of
the ankle's radii (our choice)."""
SHIRT_M, TUCKED_M, SLEEVE_HEM_M, TROUSERS_M, BELT_M, COLLAR_M = 0.007, 0.004, 0.013, 0.006, 0.011, 0.010
SHORTS_HEM_M, SOCK_M = 0.020, 0.004
"""How far each stands off the skin (assumption)."""
HEM_WIDER_M = 0.024
"""How much wider than the ankle a trouser leg's hem is (our choice)."""
PLACKET_M, PLACKET_WIDE_M, PLACKET_LONG_M = 0.0095, 0.030, 0.15
"""How far the strip for the shirt's buttons stands off the skin, its breadth, and how far down it goes (our choice)."""
BUCKLE_M = (0.006, 0.025, 0.020)
"""Half its depth, breadth and height (our choice)."""
GLOVED = "lead"
"""Golfers wear the glove on the lead hand (common practice)."""
UNDER_M, UNDER_SKIRT_M, OVERLAP_M = 0.020, 0.080, 0.012
"""How far one thing reaches under the next, so that no gap opens between them; and bare legs under a skirt."""
SPANNED, MARGIN_M = 8, 0.06
"""Rounds of smoothing that let cloth span hollows (more would thin limbs), and how far beyond a garment's border the
surface is then taken into account.
"""


@dataclass(frozen=True)
class Covering:
    """One closed piece of the golfer's outside that moves with the surface.

    Attributes:
        name: what it is.
        colour: the field of ``Look`` that colours it.
        blend: what frames carry of its vertices.
        faces: ``(F, 3)`` vertex numbers, counter-clockwise seen from outside.
    """

    name: str
    colour: str
    blend: Blend
    faces: IntArray

    @property
    def count(self) -> int:
        """How many vertices."""
        return len(self.blend.held)

    @property
    def places(self) -> NDArray[np.float32]:
        """``(V, B, 4)`` what each frame of ``bones.BONES`` carries of each vertex."""
        return self.blend.whole()


def coverings(surface: BodySurface, look: Look) -> list[Covering]:
    """Everything a golfer's surface shows but hands, feet and what is on the face."""
    worn = Worn(surface, look)
    return [*(_cut_out(worn, *piece) for piece in worn.pieces()), _buckle(worn), *hanging(surface, worn)]


def hanging(surface: BodySurface, worn: Worn) -> list[Covering]:
    """What is no part of the surface moved out: a skirt, where one is worn."""
    if worn.look.legwear != "skirt":
        return []
    top = BELT_SHARE * float(worn.joints["lumbosacral"][2]) + 0.3 * BELT_HEIGHT_M
    return [Covering("skirt", "skirt", *skirt(surface, worn.skirt_hem, top))]


def _cut_out(worn: Worn, name: str, colour: str, vertices: Array, inside: Array) -> Covering:
    """A piece of the moved surface, closed."""
    # What lies further off than smoothing reaches is left aside.
    near = np.flatnonzero(inside > -MARGIN_M)
    if len(near) == len(vertices):  # The head's border is told by shares, which are nowhere far from it.
        near = worn.within(inside > 0, SETTLED + 1)
    number = np.full(len(vertices), -1)
    number[near] = np.arange(len(near))
    corners = number.take(worn.corners)
    faces = np.ascontiguousarray(corners[:, (corners >= 0).all(axis=0)].T)
    blend = smoothed_blend(vertices[near], worn.weights[near], smoothing(faces, len(near)), SETTLED)
    values, faces = capped(*clip(blend.held.reshape(len(near), -1), faces, inside[near]), inset=0.12)
    return Covering(name, colour, Blend(blend.frames, values.reshape(len(values), 4, -1)), faces)


def _buckle(worn: Worn) -> Covering:
    """A buckle on the front of the belt, which shows how far the hips have turned; it moves as the belt there does."""
    place = np.array([0.0, 0.0, 0.5 * BELT_HEIGHT_M + BELT_SHARE * float(worn.joints["lumbosacral"][2])])
    aside = np.linalg.norm((worn.vertices - place)[:, 1:], axis=1)
    place[0] = worn.vertices[np.argmin(np.where(worn.vertices[:, 0] > 0, aside, np.inf)), 0] + BELT_M
    part = ellipsoid("buckle", "buckle", Rigid("pelvis"), place, BUCKLE_M)
    nearest = np.argmin(np.linalg.norm(worn.vertices - place, axis=1))
    weights = np.broadcast_to(worn.weights[nearest], (part.count, len(BONES)))
    return Covering(part.name, part.colour, linear_blend(part.local, weights), part.faces)


class Worn:
    """The surface moved out by each garment, and where garments end.

    Attributes:
        skull: ``(V,)`` above zero on the head, metres about.
        on_arm: by side, ``(V,)`` above zero on the arm, metres about.
    """

    def __init__(self, surface: BodySurface, look: Look) -> None:
        mesh = surface.mesh
        self.look = look
        self.joints, self.vertices, self.normals = surface.rest.joints, mesh.vertices, mesh.normals()
        self.corners = np.ascontiguousarray(mesh.faces.T)
        self.share = smoothing(mesh.faces, len(mesh.vertices), dtype=float)
        self.weights = surface.skin.whole()
        self.skull = (surface.share_of("head") - 0.5) * 0.05
        self.on_arm = {
            side: (surface.share_of(*(name for names in ARM[side] for name in names)) - 0.5) * 0.05 for side in SIDES
        }
        self._smooth_skin, self._smooth_normals = np.hsplit(self._smooth(np.hstack([self.vertices, self.normals])), 2)
        self.own = {side: out * self.vertices[:, 1] > 0 for side, out in zip(SIDES, (1.0, -1.0), strict=True)}

    def pieces(self) -> Iterator[tuple[str, str, Array, Array]]:
        """Name, colour, moved vertices ``(V, 3)`` and border field ``(V,)`` metres of each piece."""
        skin = self.vertices
        yield "head", "skin", skin, np.maximum(self.over_collar(skin) + UNDER_M, self.skull)
        for side in SIDES:
            bare = np.minimum(self.past_sleeve(skin, side) + UNDER_M, self.before_wrist(skin, side))
            yield f"arm_{side}", "skin", skin, np.minimum(bare, self.on_arm[side])
        shirt = self._cloth(self._shirt_thickness())
        yield "shirt", "shirt", shirt, self._shirt(shirt)
        collar = self._even_cloth(COLLAR_M)
        yield "collar", "collar", collar, self._collar(collar)
        placket = self._even_cloth(PLACKET_M)
        yield "placket", "collar", placket, self._placket(placket)
        if self.look.legwear != "skirt":
            legs = self._trouser_legs() if self.look.legwear == "trousers" else self._cloth(self._shorts_thickness())
            yield self.look.legwear, self.look.legwear, legs, self._legwear(legs)
        belt = self._even_cloth(BELT_M)
        yield "belt", "belt", belt, 0.5 * BELT_HEIGHT_M - np.abs(self.above_belt(belt) - 0.5 * BELT_HEIGHT_M)
        sock = self._even_cloth(SOCK_M)
        for side in SIDES:
            if self.look.legwear != "trousers":
                yield f"leg_{side}", "skin", skin, self._bare_leg(side)
            yield f"sock_{side}", "shoes", sock, self._sock(sock, side)

    def within(self, chosen: BoolArray, rings: int) -> IntArray:
        """Numbers of the vertices that so many edges at most lead to from those chosen ``(V,)``."""
        reached = chosen.astype(float)
        for _ in range(rings):
            reached = self.share @ reached
        return np.flatnonzero(reached > 0)

    def above_belt(self, at: Array) -> Array:
        """``(V,)`` metres that places ``at (V, 3)`` lie above the trousers' edge."""
        above: Array = at[:, 2] - BELT_SHARE * float(self.joints["lumbosacral"][2])
        return above

    def over_collar(self, at: Array) -> Array:
        """``(V,)`` metres that places lie above the shirt's edge round the neck."""
        slanted = np.array([np.sin(COLLAR_SLANT), 0.0, np.cos(COLLAR_SLANT)])
        from_base = at - self.joints["neck_base"]
        # The edge falls away with the distance from the neck, so that it goes round it and not over the shoulders.
        away = np.hypot(from_base[:, 0], from_base[:, 1])
        over = from_base @ slanted - COLLAR_FALL * (away - COLLAR_RADIUS_M)
        # A resting forearm is raised above that.
        shoulder = np.linalg.norm((self.joints["shoulder_lead"] - self.joints["neck_base"])[:2])
        limited: Array = np.minimum(over, HEAD_WITHIN * shoulder - away)
        return limited

    def past_sleeve(self, at: Array, side: str) -> Array:
        """``(V,)`` metres that places lie further along an arm than its sleeve reaches."""
        shoulder, elbow = self.joints[f"shoulder_{side}"], self.joints[f"elbow_{side}"]
        length = float(np.linalg.norm(elbow - shoulder))
        sleeve = SLEEVE_SHARE * length
        if self.look.sleeves == "long":
            sleeve = length + LONG_SLEEVE_SHARE * float(np.linalg.norm(self.joints[f"wrist_{side}"] - elbow))
        # The resting arm is straight, so that one direction serves all of it.
        past: Array = (at - shoulder) @ (elbow - shoulder) / length - sleeve
        return past

    def past_hem(self, at: Array, side: str) -> Array:
        """``(V,)`` metres that places lie further down a leg than what is worn on it reaches."""
        if self.look.legwear == "skirt":
            hem: Array = self.skirt_hem - at[:, 2]
            return hem
        down, _, shank = self._below_knee(at, side)
        if self.look.legwear == "trousers":
            return down - HEM_SHARE * shank
        knee = self.joints[f"knee_{side}"]
        thigh = float(np.linalg.norm(knee - self.joints[f"hip_{side}"]))
        return down + (1 - SHORTS_SHARE) * thigh

    def before_wrist(self, at: Array, side: str) -> Array:
        """``(V,)`` metres that places lie before the end of what is seen of an arm."""
        elbow, wrist = self.joints[f"elbow_{side}"], self.joints[f"wrist_{side}"]
        before: Array = (wrist - at) @ (wrist - elbow) / np.linalg.norm(wrist - elbow)
        # A bare hand's palm runs into the arm; a glove lies over it.
        return before + (0.0 if side == GLOVED else OVERLAP_M)

    def _below_knee(self, at: Array, side: str) -> tuple[Array, Array, float]:
        """How far down the shank, how far off its line as a vector, and the shank's length, metres."""
        knee, ankle = self.joints[f"knee_{side}"], self.joints[f"ankle_{side}"]
        shank = float(np.linalg.norm(ankle - knee))
        run = (ankle - knee) / shank
        down = (at - knee) @ run
        return down, at - knee - down[:, None] * run, shank

    def _shirt(self, at: Array) -> Array:
        inside = np.minimum(self.above_belt(at) + 0.3 * UNDER_M, -np.maximum(self.over_collar(at), self.skull))
        for side in SIDES:
            inside = np.minimum(inside, -np.minimum(self.past_sleeve(at, side), self.on_arm[side]))
        return inside

    def _shirt_thickness(self) -> Array:
        tucked = smoothstep(self.above_belt(self.vertices) / 0.06)
        thick = TUCKED_M + (SHIRT_M - TUCKED_M) * tucked
        for side in SIDES:
            flared = smoothstep(1 + self.past_sleeve(self.vertices, side) / 0.09) * (self.on_arm[side] > 0)
            thick = thick + (SLEEVE_HEM_M - SHIRT_M) * flared
        return thick

    def _collar(self, at: Array) -> Array:
        over = self.over_collar(at) + COLLAR_BELOW_M
        return np.minimum(np.minimum(over, COLLAR_HEIGHT_M - over), 0.02 - self.skull)

    def _placket(self, at: Array) -> Array:
        """The strip for the buttons below the collar, which tells front from back."""
        below = -self.over_collar(at)
        in_front = at[:, 0] - self.joints["neck_base"][0]
        strip = np.minimum(0.5 * PLACKET_WIDE_M - np.abs(at[:, 1]), in_front)
        return np.minimum(strip, np.minimum(below - 0.5 * COLLAR_BELOW_M, PLACKET_LONG_M - below))

    def _legwear(self, at: Array) -> Array:
        inside = 0.3 * BELT_HEIGHT_M - self.above_belt(at)
        for side in SIDES:
            inside = np.where(self.own[side], np.minimum(inside, -self.past_hem(at, side)), inside)
        return inside

    @property
    def skirt_hem(self) -> float:
        """Height at rest, metres, at which a skirt ends."""
        return float(self.joints["knee_lead"][2]) + SKIRT_OVER_KNEE_M

    def _bare_leg(self, side: str) -> Array:
        down, _, shank = self._below_knee(self.vertices, side)
        # A skirt's hem is level and a leg is not.
        under = UNDER_SKIRT_M if self.look.legwear == "skirt" else UNDER_M
        before_sock = shank - SOCK_OVER_ANKLE_M + UNDER_M - down
        return np.minimum(np.minimum(self.past_hem(self.vertices, side) + under, before_sock), self._aside(side))

    def _sock(self, at: Array, side: str) -> Array:
        down, away, shank = self._below_knee(at, side)
        over_ankle, radius = shank - down, np.linalg.norm(away, axis=1)
        band = np.minimum(SOCK_OVER_ANKLE_M - over_ankle, over_ankle + SOCK_INTO_SHOE_M)
        # The instep is the shoe's.
        ankle = float(radius[self.own[side] & (np.abs(over_ankle - 0.13 * shank) < 0.02)].mean())
        return np.minimum(np.minimum(band, SOCK_WIDTH * ankle - radius), self._aside(side))

    def _aside(self, side: str) -> Array:
        """``(V,)`` metres of each vertex toward a side from the middle of the body."""
        out = 1.0 if side == "lead" else -1.0
        return out * self.vertices[:, 1]

    def _shorts_thickness(self) -> Array:
        """Shorts stand off the thigh the more the nearer to the hem."""
        thick = np.full(len(self.vertices), TROUSERS_M)
        for side in SIDES:
            flared = smoothstep(1 + self.past_hem(self.vertices, side) / 0.24) * self.own[side]
            thick = thick + (SHORTS_HEM_M - TROUSERS_M) * flared
        return thick

    def _trouser_legs(self) -> Array:
        """Cloth that widens below the knee into a straight leg."""
        cloth = self._even_cloth(TROUSERS_M)
        for side in SIDES:
            down, away, shank = self._below_knee(cloth, side)
            radius = np.linalg.norm(away, axis=1)
            at_knee = float(radius[self.own[side] & (np.abs(down) < 0.02)].mean())
            # Above the ankle, where the foot does not count yet.
            at_hem = float(radius[self.own[side] & (np.abs(down - 0.87 * shank) < 0.02)].mean()) + HEM_WIDER_M
            straight = at_knee + np.clip(down / (HEM_SHARE * shank), 0, 1) * (at_hem - at_knee)
            # A smooth greater-of: the calf shows through where it is wider than the leg of the trousers, the foot not.
            over = np.minimum(radius - straight, 0.02)
            wider = straight + 0.5 * (over + np.hypot(over, 0.012))
            hanging = radius + smoothstep(0.5 + down / 0.14) * (wider - radius)
            factor = np.where(self.own[side] & (down > -0.10), hanging / np.maximum(radius, 1e-6), 1.0)
            cloth = cloth + away * (factor - 1)[:, None]
        return cloth

    def _cloth(self, thickness: Array) -> Array:
        """``(V, 3)`` the surface moved out and smoothed; the smoothing takes no more than half the thickness back."""
        return self._spanned(thickness, self._smooth(thickness[:, None] * self.normals))

    def _even_cloth(self, thickness: float) -> Array:
        """The same, equally thick everywhere: what is smoothed is once made for all such cloth."""
        return self._spanned(thickness, thickness * self._smooth_normals)

    def _spanned(self, thickness: Array | float, smooth_way: Array) -> Array:
        spanned = self._smooth_skin + smooth_way
        inward = thickness - np.einsum("ij,ij->i", spanned - self.vertices, self.normals)
        lost = np.maximum(inward - 0.5 * thickness, 0.0)
        cloth: Array = spanned + lost[:, None] * self.normals
        return cloth

    def _smooth(self, values: Array) -> Array:
        for _ in range(SPANNED):
            values = self.share @ values
        return values
