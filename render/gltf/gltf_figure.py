"""A golfer's backswing as glTF 2.0: the skinned surface with skirt, head, cap and club, moved by one animation."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from ...model.arrays import Array
from ...model.chain.skeleton import Skeleton
from ..body.body_mesh import Mesh
from ..body.body_surface import BodySurface, MeasuredBody
from ..body.bones import BONES, bone_frames
from ..body.rest_posture import MIRROR
from ..body.skin_weights import strongest
from ..figure.cap import cap_parts
from ..figure.clothing import Covering, Worn, hanging
from ..figure.club import BALL_RADIUS_M, club_parts
from ..figure.face import face_parts
from ..figure.hair import hair_parts
from ..figure.look import Look
from ..shapes.carriers import Rigid
from ..shapes.solids import IntArray, Part, ellipsoid
from .bone_tree import PARENTS, local_frames, quaternions
from .gltf import VERTICES, Document
from .surface_colours import surface_light

TO_Y_UP = np.array([-0.5, -0.5, -0.5, 0.5])
"""Turns the world's x, y, z (ball, target, up) into glTF's z, x, y: up is y, and the golfer faces z as glTF wants."""


def figure_glb(
    body: MeasuredBody, skeleton: Skeleton, seconds: Array, *, left_handed: bool = False, look: Look | None = None,
    generator: str = "turnstill",
) -> bytes:  # fmt: skip
    """The file's content.

    Args:
        body: one body's measures.
        skeleton: ``(M,)`` moments, the address first.
        seconds: ``(M,)`` when each moment is.
        left_handed: the skeletons are mirror images.
        look: what is worn and all colours; ``Look.usual`` for the body by default.
        generator: what the file says it was made by.
    """
    look = look or Look.usual(float(body.female))
    surface = BodySurface(body, skeleton[0], left_handed=left_handed)
    document = Document(generator)
    root = document.add_node("golfer", turn=TO_Y_UP)
    moves: dict[int, tuple[Array, Array]] = {}
    origins, rotations = _frames(surface, skeleton)
    nodes: dict[str, int] = {}
    for name, (shifts, turns) in local_frames(origins, rotations).items():
        parent = PARENTS[name]
        nodes[name] = document.add_node(name, shifts[0], turns[0], root if parent is None else nodes[parent])
        moves[nodes[name]] = shifts, turns
    skin = _add_skin(document, surface, list(nodes.values()), root)
    skinned = [_add_body(document, surface, look, skin)]
    skinned += [_add_hanging(document, one, surface, look, skin) for one in hanging(surface, Worn(surface, look))]

    reference = skeleton[0].mirrored() if left_handed else skeleton[0]
    shape = {name: float(value) for name, value in body.shape.items()}
    head = [*face_parts(surface, shape), *hair_parts(surface, shape["head_length"], look.hair_style)]
    if look.headwear == "cap":
        head += cap_parts(surface, shape["head_length"])
    _add_rigid(document, "face and hair", head, nodes["head"], look, left_handed)
    grips, club = np.asarray(skeleton.joints["grip"]), quaternions(np.asarray(skeleton.frames["club"]))
    held = document.add_node("club", grips[0], club[0], root)
    moves[held] = grips, club
    _add_rigid(document, "club", club_parts(shape, reference, look.club_head), held, look, left_handed)
    ball = np.array(skeleton.joints["ball"][0], float)
    ball[2] = max(ball[2], BALL_RADIUS_M)
    _add_rigid(document, "ball", [_ball()], document.add_node("ball", ball, parent=root), look, left_handed)
    document.add_animation("backswing", seconds, moves)
    return document.to_glb([root, *skinned])


def _frames(surface: BodySurface, skeleton: Skeleton) -> tuple[Array, Array]:
    """Origins and rotations of all frames, a left-hander's mirrored from the right-hander the surface is made as."""
    if not surface.left_handed:
        return bone_frames(skeleton)
    origins, rotations = bone_frames(skeleton.mirrored())
    return origins * MIRROR, rotations * MIRROR[:, None] * MIRROR


def _add_skin(document: Document, surface: BodySurface, joints: list[int], root: int) -> int:
    """What all that is skinned hangs on."""
    flip = _flip(surface)
    origins, turns = bone_frames(surface.rest)
    origins, turns = origins * flip, turns * flip[:, None] * flip
    inverse = np.zeros((len(BONES), 4, 4))
    inverse[:, :3, :3] = np.swapaxes(turns, -1, -2)
    inverse[:, :3, 3] = -(inverse[:, :3, :3] @ origins[..., None])[..., 0]
    inverse[:, 3, 3] = 1
    columns = np.swapaxes(inverse, -1, -2).astype("<f4")
    return document.add("skins", {
        "name": "body", "skeleton": root, "joints": joints, "inverseBindMatrices": document.add_array(columns),
    })  # fmt: skip


def _flip(surface: BodySurface) -> Array:
    return MIRROR if surface.left_handed else np.ones(3)


def _add_body(document: Document, surface: BodySurface, look: Look, skin: int) -> int:
    """The skinned surface, as a node that stands beside the root (its own place does not count)."""
    light = np.ones((len(surface.mesh.vertices), 4))
    light[:, :3] = surface_light(surface, look)
    colours = np.round(light * 65535).astype("<u2")
    mesh = Mesh(surface.mesh.vertices * _flip(surface), surface.faces)
    held = _held(document, surface.skin.bones, surface.skin.weights)
    primitive = document.primitive(
        mesh.vertices, mesh.normals(), mesh.faces, document.add_material("clothes and skin"), **held,
        COLOR_0=document.add_array(colours, VERTICES, normalized=True),
    )  # fmt: skip
    number = document.add("meshes", {"name": "body", "primitives": [primitive]})
    return document.add_node("body", mesh=number, skin=skin)


def _add_hanging(document: Document, covering: Covering, surface: BodySurface, look: Look, skin: int) -> int:
    """A piece of clothing with a shape of its own, skinned as the body is by the four frames that carry most of it."""
    faces = covering.faces[:, ::-1] if surface.left_handed else covering.faces
    mesh = Mesh(covering.places[..., :3].sum(axis=1).astype(float) * _flip(surface), faces)
    held = _held(document, *strongest(covering.places[..., 3].astype(float)))
    material = _material(document, covering.colour, look)
    primitive = document.primitive(mesh.vertices, mesh.normals(), mesh.faces, material, **held)
    number = document.add("meshes", {"name": covering.name, "primitives": [primitive]})
    return document.add_node(covering.name, mesh=number, skin=skin)


def _held(document: Document, bones: IntArray, weights: Array) -> dict[str, int]:
    """The attributes that tell frames ``(V, 4)`` of ``bones.BONES`` and their weights ``(V, 4)``."""
    held = weights.astype("<f4")
    held[held < 1e-6] = 0
    # The largest takes up what rounding left, so that each row adds to one in single precision as well.
    held[:, 0] = 1 - held[:, 1:].sum(axis=1, dtype=float)
    numbers = np.where(held > 0, bones, 0).astype("u1")
    return {"JOINTS_0": document.add_array(numbers, VERTICES), "WEIGHTS_0": document.add_array(held, VERTICES)}


def _add_rigid(
    document: Document, name: str, parts: Sequence[Part], parent: int, look: Look, left_handed: bool
) -> None:
    """Parts that one node carries, a primitive for each colour."""
    by_colour: dict[str, list[Part]] = {}
    for part in parts:
        by_colour.setdefault(part.colour, []).append(part)
    primitives = []
    for colour, alike in by_colour.items():
        starts = np.cumsum([0, *(len(part.local) for part in alike[:-1])])
        vertices = np.concatenate([part.local for part in alike])
        faces = np.concatenate([part.faces + start for part, start in zip(alike, starts, strict=True)])
        if left_handed:
            vertices, faces = vertices * MIRROR, faces[:, ::-1]
        material = _material(document, colour, look)
        primitives.append(document.primitive(vertices, Mesh(vertices, faces).normals(), faces, material))
    mesh = document.add("meshes", {"name": name, "primitives": primitives})
    document.add_node(f"{name} solid", parent=parent, mesh=mesh)


def _material(document: Document, colour: str, look: Look) -> int:
    known: Mapping[str, int] = {item["name"]: k for k, item in enumerate(document.content.get("materials", []))}
    return known[colour] if colour in known else document.add_material(colour, getattr(look, colour))


def _ball() -> Part:
    return ellipsoid("ball", "ball", Rigid("club"), np.zeros(3), np.full(3, BALL_RADIUS_M), subdivisions=3)
