"""Arrays to glTF 2.0: a document that grows piece by piece and is written as one binary file.

The format is Khronos's "glTF 2.0 Specification" (ISO/IEC 12113:2022): metres, y up, quaternions as x, y, z, w, matrices
column by column, everything little-endian, colours linear.
"""

from __future__ import annotations

import json
import struct
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ...model.arrays import Array, ArrayLike
from ..palette import Colour
from ..shapes.solids import IntArray

FLOAT, UNSIGNED_BYTE, UNSIGNED_SHORT, UNSIGNED_INT = 5126, 5121, 5123, 5125
VERTICES, TRIANGLES = 34962, 34963
TYPES = {
    np.dtype("<f4"): FLOAT,
    np.dtype("u1"): UNSIGNED_BYTE,
    np.dtype("<u2"): UNSIGNED_SHORT,
    np.dtype("<u4"): UNSIGNED_INT,
}
SHAPES = {(): "SCALAR", (2,): "VEC2", (3,): "VEC3", (4,): "VEC4", (4, 4): "MAT4"}
MAGIC, JSON_CHUNK, BINARY_CHUNK = b"glTF", b"JSON", b"BIN\0"
LEAST_TURN, LEAST_SHIFT_M = 1e-7, 1e-7
"""What changes by less over a whole animation is not animated."""


def linear(colour: Colour) -> Array:
    """``(3,)`` linear light, 0 to 1, of an sRGB colour (IEC 61966-2-1)."""
    share = np.asarray(colour, float) / 255
    return np.where(share <= 0.04045, share / 12.92, ((share + 0.055) / 1.055) ** 2.4)


@dataclass
class Document:
    """A glTF document under construction; every ``add_...`` returns the number of what it added."""

    generator: str
    content: dict[str, list[dict[str, Any]]] = field(default_factory=dict)
    binary: bytearray = field(default_factory=bytearray)

    def add(self, kind: str, item: dict[str, Any]) -> int:
        """Add an item to one of the document's lists."""
        items = self.content.setdefault(kind, [])
        items.append(item)
        return len(items) - 1

    def add_array(
        self, values: NDArray[Any], target: int | None = None, *, normalized: bool = False, bounds: bool = False
    ) -> int:
        """An accessor of its own buffer view.

        Args:
            values: ``(N, ...)`` of one of the format's component types; matrices as rows of columns.
            target: ``VERTICES`` or ``TRIANGLES`` for what a mesh is drawn from.
            normalized: whole numbers stand for 0 to 1.
            bounds: say the least and the largest, as positions and times must.
        """
        self.binary.extend(b"\0" * (-len(self.binary) % 4))
        data = np.ascontiguousarray(values).tobytes()
        view: dict[str, Any] = {"buffer": 0, "byteOffset": len(self.binary), "byteLength": len(data)}
        self.binary.extend(data)
        if target is not None:
            view["target"] = target
        accessor: dict[str, Any] = {
            "bufferView": self.add("bufferViews", view),
            "componentType": TYPES[values.dtype],
            "count": len(values),
            "type": SHAPES[values.shape[1:]],
        }
        if normalized:
            accessor["normalized"] = True
        if bounds:
            flat = values.reshape(len(values), -1)
            accessor["min"], accessor["max"] = flat.min(axis=0).tolist(), flat.max(axis=0).tolist()
        return self.add("accessors", accessor)

    def add_node(
        self, name: str, shift: ArrayLike | None = None, turn: ArrayLike | None = None, parent: int | None = None,
        **more: int,
    ) -> int:  # fmt: skip
        """A node by translation ``(3,)`` metres and rotation ``(4,)`` x, y, z, w, never by a matrix."""
        node: dict[str, Any] = {"name": name}
        if shift is not None:
            node["translation"] = np.asarray(shift, np.float32).tolist()
        if turn is not None:
            node["rotation"] = np.asarray(turn, np.float32).tolist()
        number = self.add("nodes", node | more)
        if parent is not None:
            self.content["nodes"][parent].setdefault("children", []).append(number)
        return number

    def add_material(self, name: str, colour: Colour | None = None) -> int:
        """A dull material; white where the vertices bring their colours."""
        factor = [1.0, 1.0, 1.0] if colour is None else linear(colour).round(6).tolist()
        surface = {"baseColorFactor": [*factor, 1.0], "metallicFactor": 0.0, "roughnessFactor": 0.85}
        return self.add("materials", {"name": name, "pbrMetallicRoughness": surface})

    def primitive(self, vertices: Array, normals: Array, faces: IntArray, material: int, **more: int) -> dict[str, Any]:
        """Triangles with positions ``(V, 3)``, unit normals ``(V, 3)``, and further attributes' accessors."""
        attributes = {
            "POSITION": self.add_array(vertices.astype("<f4"), VERTICES, bounds=True),
            "NORMAL": self.add_array(normals.astype("<f4"), VERTICES),
            **more,
        }
        indices = self.add_array(faces.astype("<u4").reshape(-1), TRIANGLES)
        return {"attributes": attributes, "indices": indices, "material": material}

    def add_animation(self, name: str, seconds: Array, moves: dict[int, tuple[Array, Array]]) -> int:
        """One animation, linear between its moments.

        Args:
            name: of the animation.
            seconds: ``(M,)`` rising.
            moves: node to its translations ``(M, 3)`` metres and rotations ``(M, 4)``, each turn's sign next to the
                one before; what keeps still is left out.
        """
        times = self.add_array(seconds.astype("<f4"), bounds=True)
        samplers: list[dict[str, Any]] = []
        channels: list[dict[str, Any]] = []
        for node, (shifts, turns) in moves.items():
            for path, values, least in (("translation", shifts, LEAST_SHIFT_M), ("rotation", turns, LEAST_TURN)):
                if np.ptp(values, axis=0).max() <= least:
                    continue
                output = self.add_array(values.astype("<f4"))
                samplers.append({"input": times, "output": output, "interpolation": "LINEAR"})
                channels.append({"sampler": len(samplers) - 1, "target": {"node": node, "path": path}})
        return self.add("animations", {"name": name, "samplers": samplers, "channels": channels})

    def to_glb(self, roots: list[int]) -> bytes:
        """The document as one binary file whose only scene has these root nodes."""
        document = {
            "asset": {"version": "2.0", "generator": self.generator},
            "scene": 0,
            "scenes": [{"nodes": roots}],
            **self.content,
            "buffers": [{"byteLength": len(self.binary)}],
        }
        text = json.dumps(document, separators=(",", ":")).encode()
        text += b" " * (-len(text) % 4)
        binary = bytes(self.binary) + b"\0" * (-len(self.binary) % 4)
        length = 12 + 8 + len(text) + 8 + len(binary)
        return b"".join(
            [
                struct.pack("<4sII", MAGIC, 2, length),
                struct.pack("<I4s", len(text), JSON_CHUNK), text,
                struct.pack("<I4s", len(binary), BINARY_CHUNK), binary,
            ]
        )  # fmt: skip
