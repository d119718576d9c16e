"""The page with the scene: one file, nothing fetched, no name can break out of it."""

from __future__ import annotations

import json
import re
from html.parser import HTMLParser
from itertools import pairwise
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from layout.export.glb import Mesh, Node
from layout.export.scene_page import Item, Scene, scene_page
from layout.jobs.load import load
from layout.jobs.scene_files import scene_files
from tests.builders import EXAMPLES, ROOT

HOSTILE = [
    "</script><b>",
    "<!--",
    "]]>",
    "&lt;i&gt;",
    "\u2028'\"`${1}",
    "@@DATA@@",
    "\\u003c",
    "<img src=x onerror=alert(1)>",
]


class _Reader(HTMLParser):
    """What a browser's reader sees: the tags, and the text of each script."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.texts: dict[str, list[str]] = {}
        self._in = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))
        self._in = tag

    def handle_endtag(self, tag: str) -> None:
        self._in = ""

    def handle_data(self, data: str) -> None:
        self.texts.setdefault(self._in, []).append(data)


def _read(page: bytes) -> _Reader:
    reader = _Reader()
    reader.feed(page.decode())
    reader.close()
    return reader


def _scene(names: list[str]) -> Scene:
    mesh = Mesh(points=np.eye(3) * 100, triangles=np.array([(0, 1, 2)]))
    items = [
        Item(node=Node(name=n, kind=n, colour=(0.5, 0.5, 0.5, 1.0), meshes=(mesh,)), lines=np.zeros((1, 2, 3)))
        for n in names
    ]
    return Scene(title=names[0], units="mm", items=items, states={n: list(range(len(names))) for n in names})


def _data(page: bytes) -> dict[str, Any]:
    (text, _) = (t for t in _read(page).texts["script"])
    return dict(json.loads(text))


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda p: p.stem)
def test_nothing_is_fetched(path: Path) -> None:
    """Protects use without a network: no address, no file beside it, nothing loaded by script."""
    page = scene_files(load(str(path)))["scene.html"]
    attributes = {name for _, attrs in _read(page).tags for name in attrs}
    text = page.decode()

    assert "http" not in text.lower()
    assert not attributes & {"src", "href", "action", "srcset", "poster", "background"}
    assert not re.search(r"@import|url\(|fetch\(|XMLHttpRequest|import\(|WebSocket|sendBeacon|eval\(|innerHTML", text)


def test_hostile_names_are_only_names() -> None:
    """Protects the reader of a page made from somebody else's file: tags are those of an innocent page."""
    page, plain = scene_page(_scene(HOSTILE)), scene_page(_scene(["bin"]))
    data = _data(page)

    assert [tag for tag, _ in _read(page).tags] == [tag for tag, _ in _read(plain).tags]
    assert [item["name"] for item in data["items"]] == HOSTILE
    assert [state["name"] for state in data["states"]] == HOSTILE
    assert data["title"] == HOSTILE[0]
    assert _read(page).texts["h1"] == [HOSTILE[0]]


@pytest.mark.parametrize("title", HOSTILE)
def test_a_title_is_only_a_title(title: str) -> None:
    """Protects heading and title of the page from every sign, our own marks among them."""
    reader = _read(scene_page(_scene([title])))
    assert reader.texts["title"] == [title]
    assert reader.texts["h1"] == [title]


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda p: p.stem)
def test_every_state_shows_what_stands_there(path: Path) -> None:
    """Protects the switch: each state lists its things once, at their own places, to a hundredth of a millimetre."""
    plan = load(str(path))
    data = _data(scene_files(plan)["scene.html"])
    states = {name: one["items"] for one in data["states"] for name in one["name"].split(", ")}
    assert list(states) == list(plan.project.said.states)
    for state, every in plan.layout.placed.items():
        shown = [data["items"][i] for i in states[state]]
        assert [item["name"] for item in shown] == [placed.name for placed in every]
        for item, placed in zip(shown, every, strict=True):
            points = np.array(item["points"], dtype=float).reshape(-1, 3)
            box = (*placed.box.bounds[:2], placed.box.z0, *placed.box.bounds[2:], placed.box.z1)
            assert [*points.min(axis=0), *points.max(axis=0)] == pytest.approx(box, abs=0.011)


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda p: p.stem)
def test_kinds_differ_in_grey(path: Path) -> None:
    """Protects whoever cannot tell the colours apart, and prints: kinds that follow each other differ in luminance."""
    data = _data(scene_files(load(str(path)))["scene.html"])
    colours = {item["kind"]: item["colour"] for item in data["items"] if not item["fixed"]}
    greys = [0.2126 * r + 0.7152 * g + 0.0722 * b for r, g, b, _ in colours.values()]
    assert all(abs(a - b) > 0.1 for a, b in pairwise(greys))


def test_walls_look_inward() -> None:
    """Protects looking in: the near walls are left out by the way that they look, so all must look into the room."""
    data = _data(scene_files(load(str(ROOT / "examples" / "market-van.yaml")))["scene.html"])
    walls = next(item for item in data["items"] if item["name"] == "walls")
    points = np.array(walls["points"], dtype=float).reshape(-1, 3)
    corners = points[np.array(walls["triangles"]).reshape(-1, 3)]
    middle = (points.min(axis=0) + points.max(axis=0)) / 2
    normals = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    inward = ((middle - corners.mean(axis=1)) * normals).sum(axis=1)
    assert (inward > 0).all()
    floor = next(item for item in data["items"] if item["name"] == "floor")
    (a, b, c) = np.array(floor["points"], dtype=float).reshape(-1, 3)[floor["triangles"][:3]]
    assert np.cross(b - a, c - a)[2] > 0
