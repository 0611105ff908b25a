"""What a look has of its own arrives in a glTF file: its shapes, its colours, and the skirt goes with the legs."""

from __future__ import annotations

import json
import struct
from typing import Any

import numpy as np
import pytest

from turnstill.model.arrays import Array
from turnstill.render.body.body_surface import BodySurface
from turnstill.render.body.bones import BONES
from turnstill.render.figure.clothing import Worn, hanging
from turnstill.render.figure.look import Look
from turnstill.render.gltf.gltf import linear
from turnstill.render.gltf.gltf_figure import figure_glb
from turnstill.render.gltf.surface_colours import surface_light
from turnstill.scenes.setups.perform import swing_of
from turnstill.scenes.setups.presets import load

LOOK = Look(hair_style="tied back", headwear="cap", sleeves="long", legwear="skirt", cap=(201, 17, 90),
            skirt=(31, 142, 77), hair=(93, 52, 11))  # fmt: skip


class Read:
    """A GLB file by the format's own words."""

    def __init__(self, data: bytes) -> None:
        size = struct.unpack_from("<I", data, 12)[0]
        self.document: dict[str, Any] = json.loads(data[20 : 20 + size])
        self.binary = data[28 + size :]

    def array(self, number: int) -> Array:
        accessor = self.document["accessors"][number]
        view = self.document["bufferViews"][accessor["bufferView"]]
        kind = {5126: "<f4", 5121: "u1", 5123: "<u2", 5125: "<u4"}[accessor["componentType"]]
        width = {"SCALAR": 1, "VEC3": 3, "VEC4": 4, "MAT4": 16}[accessor["type"]]
        values = np.frombuffer(self.binary, kind, accessor["count"] * width, view["byteOffset"])
        return values.reshape(accessor["count"], width)

    def primitives(self, node: str) -> list[dict[str, Any]]:
        mesh = next(one["mesh"] for one in self.document["nodes"] if one["name"] == node)
        return list(self.document["meshes"][mesh]["primitives"])

    def material(self, primitive: dict[str, Any]) -> dict[str, Any]:
        return dict(self.document["materials"][primitive["material"]])


@pytest.mark.parametrize("handedness", ["right", "left"])
def test_skirt_cap_and_tail_are_there_in_their_colours(handedness: str) -> None:
    swing = swing_of(load("centred"), 3)
    skeleton = swing.skeleton if handedness == "right" else swing.skeleton.mirrored()
    left_handed = handedness == "left"
    read = Read(figure_glb(swing.body, skeleton, swing.progress, left_handed=left_handed, look=LOOK))
    plain = Read(figure_glb(swing.body, skeleton, swing.progress, left_handed=left_handed, look=Look()))
    assert not any(node["name"] == "skirt" for node in plain.document["nodes"])
    head = {read.material(one)["name"]: one for one in read.primitives("face and hair solid")}
    (skirt,) = read.primitives("skirt")
    for name, one in {"cap": head["cap"], "hair": head["hair"], "skirt": skirt}.items():
        factor = read.material(one)["pbrMetallicRoughness"]["baseColorFactor"]
        np.testing.assert_allclose(factor, [*linear(getattr(LOOK, name)), 1], atol=1e-6, err_msg=name)
    before = {plain.material(one)["name"]: one for one in plain.primitives("face and hair solid")}
    assert "cap" not in before

    # Posed by its own frames and weights, at each moment: about the figure's own skirt, and wound outward.
    surface = BodySurface(swing.body, skeleton[0], left_handed=left_handed)
    (own,) = hanging(surface, Worn(surface, LOOK))
    places, faces = read.array(skirt["attributes"]["POSITION"]), read.array(skirt["indices"]).reshape(-1, 3)
    weights, bones = (read.array(skirt["attributes"][name]) for name in ("WEIGHTS_0", "JOINTS_0"))
    np.testing.assert_allclose(weights.sum(axis=1), 1, atol=2e-7)
    flip = np.array([1, -1, 1]) if left_handed else np.ones(3)
    for k in range(3):
        motions = surface.motions(skeleton.mirrored()[k] if left_handed else skeleton[k])
        exact = np.einsum("bij,vbj->vi", motions, own.places.astype(float)) * flip
        homogeneous = np.concatenate([places * flip, np.ones((len(places), 1))], axis=1)
        blended = sum(
            weights[:, j, None] * np.einsum("vij,vj->vi", motions[bones[:, j]], homogeneous) for j in range(4)
        )
        assert np.abs(blended * flip - exact).max() < 0.03
        corners = exact[faces.astype(int)]
        assert (corners[:, 0] * np.cross(corners[:, 1], corners[:, 2])).sum() > 0
    assert len(bones) and bones.max() < len(BONES)


def test_sleeves_and_legs_are_painted_as_they_are_worn() -> None:
    """Vertex colours at places that tell looks apart: half way down a forearm, above and below the knee, the sock."""
    swing = swing_of(load("centred"), 3)
    surface = BodySurface(swing.body, swing.skeleton[0])
    joints = surface.rest.joints

    def seen(look: Look, near: str, far: str, share: float) -> Array:
        at = joints[near] + share * (joints[far] - joints[near])
        nearest = np.argmin(np.linalg.norm(surface.mesh.vertices - at, axis=1))
        return surface_light(surface, look)[nearest]

    expected = {
        ("long", "trousers"): ("shirt", "trousers", "trousers", "trousers"),
        ("short", "shorts"): ("skin", "shorts", "skin", "shoes"),
        ("short", "skirt"): ("skin", "skirt", "skin", "shoes"),
    }
    places = (("elbow_trail", "wrist_trail", 0.5), ("hip_lead", "knee_lead", 0.6), ("knee_trail", "ankle_trail", 0.5),
              ("knee_lead", "ankle_lead", 0.88))  # fmt: skip
    for (sleeves, legwear), colours in expected.items():
        look = Look(sleeves=sleeves, legwear=legwear, trousers=(90, 10, 20), shorts=(10, 90, 20), skirt=(10, 20, 90))  # type: ignore[arg-type]
        for place, colour in zip(places, colours, strict=True):
            np.testing.assert_allclose(
                seen(look, *place), linear(getattr(look, colour)), atol=1e-6, err_msg=f"{legwear} {place}"
            )
