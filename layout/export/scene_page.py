"""The scene as one page for a browser: everything in one file, nothing fetched, so that it works from a stick."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from html import escape
from pathlib import Path
from typing import Any, Literal

import numpy as np

from layout.export.glb import Floats, Node

_STATIC = Path(__file__).parent / "static"
_DECIMALS = 2


@dataclass(frozen=True, kw_only=True, eq=False)
class Item:
    """A thing as it is shown: its node, and its lines, shape (m, 2, 3), mm; `fixed` if it belongs to the room."""

    node: Node
    lines: Floats
    fixed: bool = False


@dataclass(frozen=True, kw_only=True, eq=False)
class Scene:
    """All that is shown: `states` gives by state the places in `items` of what stands there, what is fixed apart."""

    title: str
    units: Literal["mm", "in"]
    items: Sequence[Item]
    states: Mapping[str, Sequence[int]]


def scene_page(scene: Scene) -> bytes:
    """Return the page; the same scene gives the same bytes."""
    page = _read("scene.html")
    parts = {
        "TITLE": escape(scene.title),
        "STYLE": _read("scene.css"),
        "SCRIPT": _read("scene.js"),
        "DATA": _data(scene),
    }
    # One pass, so that a title which looks like a mark is left as it is.
    pieces = page.split("@@")
    made = [parts[piece] if i % 2 else piece for i, piece in enumerate(pieces)]
    return "".join(made).encode()


def _read(name: str) -> str:
    return (_STATIC / name).read_text(encoding="utf-8")


def _data(scene: Scene) -> str:
    """Return the scene as JSON that no name in it can break out of: no sign in it means anything to a browser."""
    data = {
        "title": scene.title,
        "units": scene.units,
        "items": [_item(item) for item in scene.items],
        "states": [{"name": name, "items": list(places)} for name, places in scene.states.items()],
    }
    text = json.dumps(data, separators=(",", ":"))
    return text.replace("<", "\\u003c").replace(">", "\\u003e").replace("&", "\\u0026")


def _item(item: Item) -> dict[str, Any]:
    points, triangles, at = [], [], 0
    for mesh in item.node.meshes:
        points.append(mesh.points)
        triangles.append(mesh.triangles + at)
        at += len(mesh.points)
    return {
        "name": item.node.name,
        "kind": item.node.kind,
        "colour": list(item.node.colour),
        "fixed": item.fixed,
        "points": _numbers(np.concatenate([np.zeros((0, 3)), *points])),
        "triangles": np.concatenate([np.zeros((0, 3), dtype=np.int64), *triangles]).ravel().tolist(),
        "lines": _numbers(item.lines),
    }


def _numbers(values: Floats) -> list[float]:
    """Return rounded numbers, mm; whole ones without a point, never minus nought."""
    rounded = (np.round(values.ravel(), _DECIMALS) + 0.0).tolist()
    return [int(value) if value == int(value) else value for value in rounded]
