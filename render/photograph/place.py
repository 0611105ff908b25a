"""Where a golfer stands, as data: ground, backdrop, and what stands in front."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, get_args

from ..figure.look import Look
from ..palette import Colour

GroundKind = Literal["plain", "grass", "mat", "paving"]
BackdropKind = Literal["plain", "trees", "wall", "net", "hills"]
OccluderKind = Literal["bag", "bucket", "post", "board"]
GROUNDS: tuple[str, ...] = get_args(GroundKind)
BACKDROPS: tuple[str, ...] = get_args(BackdropKind)
OCCLUDERS: tuple[str, ...] = get_args(OccluderKind)


@dataclass(frozen=True)
class Place:
    """Ground and backdrop. All textures are procedural and our own.

    Attributes:
        ground: what the ground is covered with; ``plain`` fades into the backdrop, as the project's other pictures do.
        backdrop: what stands far behind the golfer.
        ground_colour, ground_other: the two colours that a ground's texture goes between; plain ground has the first
            near the ball. A mat lies on concrete.
        backdrop_low, backdrop_high: the two colours that a backdrop's texture goes between: leaves in shade and in
            light, bricks, poles and cords of a net, the nearest hills and the air before the farthest.
        contrast: 0 to 1, of both textures.
        texture_seed: of both textures: the same number gives the same blades and leaves.
        target_line: whether a line on the ground shows the target.
    """

    ground: GroundKind = "plain"
    backdrop: BackdropKind = "plain"
    ground_colour: Colour = Look.ground
    ground_other: Colour = Look.ground_far
    backdrop_low: Colour = Look.backdrop_low
    backdrop_high: Colour = Look.backdrop_high
    contrast: float = 0.5
    texture_seed: int = 0
    target_line: bool = True


@dataclass(frozen=True)
class Occluder:
    """One thing that stands on the ground nearer to the camera than golfer and club ever come, and covers them.

    Attributes:
        kind: its shape.
        at: ``(x, y)`` metres, world: the middle of its foot.
        height_m: how high.
        breadth_m: how broad.
        turn: rad, about the vertical.
        colour: its colour.
    """

    kind: OccluderKind
    at: tuple[float, float]
    height_m: float
    breadth_m: float
    turn: float
    colour: Colour
