"""GLB files: read by an independent reader, every thing has the volume and the box that the layout gives it."""

from __future__ import annotations

import io
import json
import struct
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import trimesh

from layout.export.glb import Mesh, Node, glb, turned
from layout.jobs.load import Plan, load
from layout.jobs.scene_files import scene_files
from layout.model.layout import Placed
from layout.model.solid import Solid
from tests.builders import EXAMPLES, ROOT

# Scenes with slanting panels, panels with holes, turned things, bicycles, rounded wells.
SCENES = [
    *EXAMPLES,
    *(ROOT / "tests" / "things" / f"{name}.yaml" for name in ("bin-rack", "cabinet", "partition", "panel")),
]
SHARE = 1e-3


@cache
def _plan(path: Path) -> Plan:
    return load(str(path))


def _document(data: bytes) -> dict[str, Any]:
    """Return the JSON of a GLB, taken apart by the layout of the standard's chapter on the binary form."""
    magic, version, length = struct.unpack_from("<4sII", data)
    size, kind = struct.unpack_from("<I4s", data, 12)
    assert (magic, version, length, kind) == (b"glTF", 2, len(data), b"JSON")
    return dict(json.loads(data[20 : 20 + size]))


def _read(data: bytes) -> dict[str, list[trimesh.Trimesh]]:
    """Return the pieces of every node by its name, back in the axes of the layout, mm."""
    scene = trimesh.load(io.BytesIO(data), file_type="glb", force="scene")
    document = _document(data)
    found: dict[str, list[trimesh.Trimesh]] = {}
    for node in scene.graph.nodes_geometry:
        transform, geometry = scene.graph[node]
        piece = scene.geometry[geometry].copy()
        piece.apply_transform(transform)
        piece.vertices = piece.vertices[:, [2, 0, 1]] * 1000
        piece.merge_vertices(merge_norm=True, merge_tex=True)
        found.setdefault(_named(node, document), []).append(piece)
    return found


def _named(node: str, document: dict[str, Any]) -> str:
    """Return the name in the file of a node: the reader numbers the pieces of one."""
    names = [one["name"] for one in document["nodes"]]
    return max((name for name in names if node == name or node.startswith(f"{name}_")), key=len)


def _area(solid: Solid) -> float:
    ring = solid.outline
    return abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(ring, (*ring[1:], ring[0]), strict=True))) / 2


def _volume(placed: Placed) -> float:
    """Return the volume of a thing's solids, less the holes of panels, which solids do not take off, mm³."""
    whole = sum(_area(solid) * (solid.z1 - solid.z0) for solid in placed.solids)
    if len(placed.solids) == 1 and len(placed.thing.panels) != 1:
        return whole
    boxes = [s.name for s in placed.thing.solids]
    return whole - sum(
        sum(abs(_ring(hole)) for hole in panel.holes) * panel.sheet.thickness
        for panel in placed.thing.panels
        if panel.name in boxes
    )


def _ring(ring: tuple[tuple[float, float], ...]) -> float:
    return sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(ring, (*ring[1:], ring[0]), strict=True)) / 2


@pytest.mark.parametrize("path", SCENES, ids=lambda p: p.stem)
def test_every_thing_has_its_volume_and_its_box(path: Path) -> None:
    """Protects whoever goes on with the file elsewhere: sizes, places and axes are those of the layout, to 0.1 %."""
    plan = _plan(path)
    files = scene_files(plan)
    for state, every in plan.layout.placed.items():
        if f"scene-{state}.glb" not in files:
            continue
        nodes = _read(files[f"scene-{state}.glb"])
        for placed in every:
            pieces = nodes[placed.name]
            low = np.min([p.bounds[0] for p in pieces], axis=0)
            high = np.max([p.bounds[1] for p in pieces], axis=0)
            box = placed.box
            want = [(*box.bounds[:2], box.z0), (*box.bounds[2:], box.z1)]
            largest = max(np.subtract(want[1], want[0]))

            assert all(piece.is_watertight for piece in pieces), placed.name
            assert np.abs(np.array([low, high]) - want).max() <= SHARE * largest, placed.name
            assert sum(piece.volume for piece in pieces) == pytest.approx(_volume(placed), rel=SHARE), placed.name


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda p: p.stem)
def test_each_state_has_its_things_and_the_room(path: Path) -> None:
    """Protects the list of nodes: what stands in the state, by name, and floor, walls and wells to be seen through."""
    plan = _plan(path)
    data = scene_files(plan)["scene-drive.glb"]
    document = _document(data)
    names = [node["name"] for node in document["nodes"]]
    modes = {m["name"]: m.get("alphaMode", "OPAQUE") for m in document["materials"]}
    things = [placed.name for placed in plan.layout.placed["drive"]]
    wells = [o.name for o in plan.project.space.obstacles]

    assert names == ["floor", "walls", *wells, *things]
    assert {modes[k] for k in ("floor", "walls")} == {"BLEND"}
    assert all(modes[placed.thing.kind] == "OPAQUE" for placed in plan.layout.placed["drive"])


def test_the_same_scene_gives_the_same_bytes() -> None:
    """Protects comparing two books: nothing in the file depends on the day or on chance."""
    path = ROOT / "examples" / "market-van.yaml"
    assert scene_files(load(str(path))) == scene_files(load(str(path)))


def test_axes_are_turned_without_a_mirror() -> None:
    """Protects left and right: forward becomes z, left x, up y, in metres, and the three stay right-handed."""
    made = turned(np.eye(3) * 1000)
    assert made.tolist() == [[0, 0, 1], [1, 0, 0], [0, 1, 0]]
    assert np.linalg.det(made) == pytest.approx(1.0)


def test_normals_look_outward_and_names_are_kept() -> None:
    """Protects shading and names of all alphabets: each corner's normal is that of its triangle, of length 1."""
    points = np.array([(0, 0, 0), (1000, 0, 0), (0, 1000, 0), (0, 0, 1000)], dtype=float)
    mesh = Mesh(points=points, triangles=np.array([(0, 2, 1), (0, 1, 3), (0, 3, 2), (1, 2, 3)]))
    data = glb([Node(name='étagère "1" <b>', kind="bin", colour=(0.5, 0.5, 0.5, 1.0), meshes=(mesh,))])
    scene = trimesh.load(io.BytesIO(data), file_type="glb", force="scene")
    (piece,) = scene.geometry.values()
    corners = piece.vertices[piece.faces]
    across = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    across = np.repeat(across / np.linalg.norm(across, axis=1)[:, None], 3, axis=0)

    assert _document(data)["nodes"][0]["name"] == 'étagère "1" <b>'
    assert piece.vertex_normals[piece.faces.ravel()] == pytest.approx(across, abs=1e-5)
    assert piece.volume == pytest.approx(1 / 6, rel=1e-5)


def test_an_empty_scene_is_a_file_too() -> None:
    """Protects a state in which everything is outside: no list of nothing, which the standard forbids."""
    document = _document(glb([]))
    assert "nodes" not in document
    assert "meshes" not in document
    assert "nodes" not in document["scenes"][0]
