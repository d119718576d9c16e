"""Scenes as GLB, the binary form of glTF 2.0 (ISO/IEC 12113): named nodes with triangles, flat colours, nothing else.

The scene's axes are x forward, y left, z up, in mm. Those of glTF are y up, in metres, and what looks at it expects the
front at +z. So (x, y, z) becomes (y, z, x) / 1000: a turn without a mirror, up stays up and forward looks at +z.
"""

from __future__ import annotations

import json
import struct
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Colour = tuple[float, float, float, float]

_MAGIC, _VERSION = 0x46546C67, 2
_JSON, _BIN = 0x4E4F534A, 0x004E4942
_FLOAT, _UINT = 5126, 5125
_ARRAY, _ELEMENTS = 34962, 34963
_OPAQUE = 1.0


@dataclass(frozen=True, kw_only=True, eq=False)
class Mesh:
    """Closed or open triangles: corners, shape (n, 3), mm; `triangles`, shape (k, 3), anticlockwise from outside."""

    points: Floats
    triangles: NDArray[np.int64]


@dataclass(frozen=True, kw_only=True, eq=False)
class Node:
    """One thing of the scene: its name, its kind, its colour, and its pieces.

    The colour is that which a screen shows (sRGB): red, green, blue, and then opacity, 0 to 1. `kind` names the
    material, so nodes of a kind share one.
    """

    name: str
    kind: str
    colour: Colour
    meshes: tuple[Mesh, ...]


def glb(nodes: Sequence[Node], title: str = "") -> bytes:
    """Return the file; the same nodes give the same bytes.

    Each triangle has its own three corners with the triangle's normal, so that faces look flat.
    """
    parts = _Parts(buffers=bytearray(), views=[], accessors=[])
    materials = {node.kind: _material(node) for node in nodes}
    order = list(materials)
    made = [_mesh(node, order.index(node.kind), parts) for node in nodes]
    shown: dict[str, Any] = {"name": title} if title else {}
    document: dict[str, Any] = {
        "asset": {"version": "2.0", "generator": "layout"},
        "scene": 0,
        "scenes": [shown | ({"nodes": list(range(len(nodes)))} if nodes else {})],
        "nodes": [{"name": node.name, "mesh": i, "extras": {"kind": node.kind}} for i, node in enumerate(nodes)],
        "meshes": made,
        "materials": list(materials.values()),
        "accessors": parts.accessors,
        "bufferViews": parts.views,
        "buffers": [{"byteLength": len(parts.buffers)}] if parts.buffers else [],
    }
    # Lists of nothing are not allowed.
    return _file({key: value for key, value in document.items() if value != []}, bytes(parts.buffers))


def turned(points: Floats) -> Floats:
    """Return points of the scene (mm, z up, x forward) in the axes of glTF (m, y up, z forward)."""
    made: Floats = points[:, [1, 2, 0]] / 1000
    return made


@dataclass(frozen=True, kw_only=True, eq=False)
class _Parts:
    buffers: bytearray
    views: list[dict[str, Any]]
    accessors: list[dict[str, Any]]

    def add(self, data: NDArray[Any], kind: str, *, ends: bool = False) -> int:
        """Add the array as an accessor and return its number; `ends` tells its least and most."""
        indices = kind == "SCALAR"
        target = _ELEMENTS if indices else _ARRAY
        self.views.append({"buffer": 0, "byteOffset": len(self.buffers), "byteLength": data.nbytes, "target": target})
        self.buffers.extend(data.tobytes())
        accessor: dict[str, Any] = {
            "bufferView": len(self.views) - 1,
            "componentType": _UINT if indices else _FLOAT,
            "count": len(data),
            "type": kind,
        }
        if ends:
            # As the reader sees them: in the file's own precision.
            accessor |= {"min": data.min(axis=0).tolist(), "max": data.max(axis=0).tolist()}
        self.accessors.append(accessor)
        return len(self.accessors) - 1


def _material(node: Node) -> dict[str, Any]:
    *seen, opacity = node.colour
    colour = [*(round(_linear(part), 4) for part in seen), opacity]
    flat = {"baseColorFactor": colour, "metallicFactor": 0.0, "roughnessFactor": 1.0}
    made: dict[str, Any] = {"name": node.kind, "pbrMetallicRoughness": flat}
    if opacity < _OPAQUE:
        made |= {"alphaMode": "BLEND", "doubleSided": True}
    return made


def _linear(part: float) -> float:
    """Return a part of an sRGB colour as light, as glTF wants it (IEC 61966-2-1)."""
    return part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4  # noqa: PLR2004 (of the standard)


def _mesh(node: Node, material: int, parts: _Parts) -> dict[str, Any]:
    return {"name": node.name, "primitives": [_primitive(mesh, material, parts) for mesh in node.meshes]}


def _primitive(mesh: Mesh, material: int, parts: _Parts) -> dict[str, Any]:
    corners = turned(mesh.points)[mesh.triangles]
    normals = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    sizes = np.linalg.norm(normals, axis=1, keepdims=True)
    # A triangle without area has no way that it looks; any will do, but it must have one.
    normals = np.where(sizes > 0, normals / np.where(sizes > 0, sizes, 1.0), (0.0, 1.0, 0.0))
    places = np.arange(corners.shape[0] * 3, dtype="<u4")
    return {
        "attributes": {
            "POSITION": parts.add(corners.reshape(-1, 3).astype("<f4"), "VEC3", ends=True),
            "NORMAL": parts.add(np.repeat(normals, 3, axis=0).astype("<f4"), "VEC3"),
        },
        "indices": parts.add(places, "SCALAR"),
        "material": material,
    }


def _file(document: dict[str, Any], data: bytes) -> bytes:
    text = json.dumps(document, ensure_ascii=False, separators=(",", ":")).encode()
    chunks = [_chunk(_JSON, text, b" ")]
    if data:
        chunks.append(_chunk(_BIN, data, b"\0"))
    body = b"".join(chunks)
    return struct.pack("<III", _MAGIC, _VERSION, 12 + len(body)) + body


def _chunk(kind: int, data: bytes, filling: bytes) -> bytes:
    """Return a chunk, filled up to a multiple of four bytes."""
    whole = data + filling * (-len(data) % 4)
    return struct.pack("<II", len(whole), kind) + whole
