"""Hair: a shell over the surface's own head, from the forehead over the ears' middle to the nape, and a tail."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ...model.arrays import Array
from ..body.body_surface import BodySurface
from ..body.trunk_shape import HEIGHT_OVER_LENGTH
from ..shapes.carriers import Rigid, smoothstep
from ..shapes.solids import SIDES, Part, loft, smooth_table
from .clipping import capped, clip
from .look import HairStyle

TAIL_M = np.array(
    [
        # back from the back of the head, up from the tie, and thickness (half, metres, by eye)
        [-0.012, 0.002, 0.010],
        [0.006, 0.006, 0.012],
        [0.024, 0.000, 0.019],
        [0.035, -0.024, 0.023],
        [0.036, -0.056, 0.022],
        [0.030, -0.090, 0.017],
        [0.021, -0.118, 0.009],
        [0.017, -0.128, 0.003],
    ]
)
TIED_AT, TAIL_RINGS = 0.66, 22
"""How far up from chin to crown a tail is tied, and in how many rings it is drawn (by eye)."""


@dataclass(frozen=True)
class Cut:
    """How hair lies on the head.

    Attributes:
        forehead: how far up from chin to crown the hairline is in front.
        nape: the same behind.
        sweep: power of the way from back to front by which the hairline rises: 1 straight, 2 swept down at the temples.
        thick_m: how far hair stands off the head on the crown, metres.
        edge_m: the same at its edge.
    """

    forehead: float
    nape: float
    sweep: float
    thick_m: float
    edge_m: float


CUTS: dict[HairStyle, Cut] = {
    "short": Cut(0.80, 0.30, 1.0, 0.013, 0.004),
    "tied back": Cut(0.86, 0.20, 1.9, 0.009, 0.003),
    "cropped": Cut(0.83, 0.26, 1.6, 0.003, 0.0015),
}
"""By eye and our choice."""


@dataclass(frozen=True)
class Skull:
    """A head's surface as what lies on it sees it.

    Attributes:
        surface: of the body.
        height: chin to crown, metres.
        back: of the head at the middle, x at rest, metres.
        front: the same of the forehead.
    """

    surface: BodySurface
    height: float
    back: float
    front: float

    @classmethod
    def of(cls, surface: BodySurface, head_length_m: float) -> Skull:
        """A body's, whose head is ``head_length_m`` from front to back."""
        height = HEIGHT_OVER_LENGTH * head_length_m
        vertices = surface.mesh.vertices
        up = (vertices[:, 2] - float(surface.rest.joints["vertex"][2])) / height + 1
        deep = vertices[(surface.share_of("head") > 0.5) & (up > 0.5), 0]
        return cls(surface, height, float(deep.min()), float(deep.max()))

    def above(self, front: float, back: float, sweep: float = 1.0) -> Array:
        """``(V,)`` metres of each vertex over a line at shares of the height before and behind; see ``Cut``."""
        vertices = self.surface.mesh.vertices
        up = (vertices[:, 2] - float(self.surface.rest.joints["vertex"][2])) / self.height + 1
        way = (vertices[:, 0] - self.back) / (self.front - self.back)
        line = back + (front - back) * (way if sweep == 1 else np.clip(way, 0, None) ** sweep)
        over: Array = (up - line) * self.height
        return over

    def shell(self, name: str, colour: str, above: Array, thick: Array) -> Part:
        """A closed part over the head where ``above (V,)`` is positive, ``thick (V,)`` metres off it."""
        mesh, rest = self.surface.mesh, self.surface.rest
        shell = mesh.vertices + thick[:, None] * mesh.normals()
        inside = np.minimum(above, (self.surface.share_of("head") - 0.5) * 0.05)
        vertices, faces = capped(*clip(shell, mesh.faces, inside), inset=0.1)
        local = vertices - rest.joints["head"]
        return Part(name, colour, local, np.zeros(len(local), np.int64), faces, Rigid("head"))


def hair_parts(surface: BodySurface, head_length_m: float, style: HairStyle) -> list[Part]:
    """Hair as closed parts that are rigid with the head.

    Args:
        surface: of the body.
        head_length_m: of the head, front to back.
        style: how it is worn.
    """
    skull, cut = Skull.of(surface, head_length_m), CUTS[style]
    above = skull.above(cut.forehead, cut.nape, cut.sweep)
    thick = cut.edge_m + (cut.thick_m - cut.edge_m) * smoothstep(above / 0.05)
    shell = skull.shell("hair", "hair", above, thick)
    return [shell, _tail(skull)] if style == "tied back" else [shell]


def _tail(skull: Skull) -> Part:
    """A tail that is tied behind the head and falls along the neck."""
    rest = skull.surface.rest
    centre, crown = rest.joints["head"], float(rest.joints["vertex"][2])
    vertices = skull.surface.mesh.vertices
    level = crown - (1 - TIED_AT) * skull.height
    near = (np.abs(vertices[:, 2] - level) < 0.02) & (skull.surface.share_of("head") > 0.5)
    tie = np.array([vertices[near, 0].min() - centre[0], 0.0, level - centre[2]])
    back, up, half = smooth_table(np.arange(len(TAIL_M)), TAIL_M, np.linspace(0, len(TAIL_M) - 1, TAIL_RINGS)).T
    spine = tie + np.stack([-back, np.zeros(TAIL_RINGS), up], axis=-1)
    run = np.gradient(spine, axis=0)
    run /= np.linalg.norm(run, axis=1, keepdims=True)
    # Rings stand across the tail's run; y is across it all along.
    across = np.array([0.0, 1.0, 0.0])
    angle = np.arange(SIDES) * (2 * np.pi / SIDES)
    other = np.cross(across, run)
    rings = spine[:, None] + half[:, None, None] * (
        np.cos(angle)[:, None] * other[:, None] + 0.85 * np.sin(angle)[:, None] * across
    )
    return loft("hair_tail", "hair", Rigid("head"), rings)
