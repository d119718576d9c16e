"""The scene in three dimensions: a page for a browser, and a GLB for each state."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np

from layout.export.glb import Colour, Floats, Mesh, Node, glb
from layout.export.scene_page import Item, Scene, scene_page
from layout.jobs.axonometric_sheets import states_alike
from layout.jobs.load import Plan
from layout.jobs.sheets import file_names
from layout.model.layout import Placed
from layout.units.length import drawn_unit
from layout.views.axonometric.bodies import Body, of_obstacle, of_placed
from layout.views.axonometric.edges import sharp_edges
from layout.views.axonometric.room import floor_ring, wall_lines, walls, within
from layout.views.axonometric.triangles import triangles

if TYPE_CHECKING:
    from layout.space.space import Space
    from layout.views.axonometric.room import Polyline

# Colours of kinds, in the order in which kinds first come; neighbours differ in grey as well as in hue.
_PALETTE: tuple[tuple[float, float, float], ...] = (
    (0.87, 0.72, 0.45), (0.20, 0.38, 0.62), (0.95, 0.91, 0.78), (0.62, 0.25, 0.20), (0.55, 0.75, 0.55),
    (0.36, 0.30, 0.45), (0.80, 0.85, 0.92), (0.70, 0.52, 0.30), (0.25, 0.45, 0.35), (0.90, 0.62, 0.55),
)  # fmt: skip
_FLOOR: Colour = (0.72, 0.72, 0.72, 0.55)
_WALLS: Colour = (0.60, 0.66, 0.72, 0.16)
_FIXED: Colour = (0.45, 0.45, 0.45, 0.55)


def scene_files(plan: Plan) -> dict[str, bytes]:
    """Return ``scene.html`` with every state, and a ``scene-STATE.glb`` for those in which things stand otherwise."""
    colours = _colours(plan)
    fixed = _fixed_items(plan.project.space)
    alike = states_alike(plan)
    items = list(fixed)
    places: dict[object, int] = {}
    states: dict[str, list[int]] = {}
    for group in alike:
        for placed in plan.layout.placed[group[0]]:
            key = (placed.name, placed.solids)
            if key not in places:
                places[key] = len(items)
                items.append(_thing(placed, colours))
            states.setdefault(group[0], []).append(places[key])
    title = plan.project.said.title
    shown = {", ".join(group): states.get(group[0], []) for group in alike}
    page = Scene(title=title, units=drawn_unit(plan.project.said.units), items=items, states=shown)
    files = {"scene.html": scene_page(page)}
    for group, name in zip(alike, file_names([f"scene-{group[0]}" for group in alike]), strict=True):
        nodes = [item.node for item in (*fixed, *(items[i] for i in states.get(group[0], [])))]
        files[f"{name}.glb"] = glb(nodes, f"{title}, {', '.join(group)}")
    return files


def _colours(plan: Plan) -> dict[str, Colour]:
    kinds = dict.fromkeys(thing.kind for thing in plan.layout.things)
    return {kind: (*_PALETTE[i % len(_PALETTE)], 1.0) for i, kind in enumerate(kinds)}


def _thing(placed: Placed, colours: dict[str, Colour]) -> Item:
    kind = placed.thing.kind
    bodies = of_placed(placed)
    node = Node(name=placed.name, kind=kind, colour=colours[kind], meshes=tuple(_mesh(body) for body in bodies))
    return Item(node=node, lines=sharp_edges(bodies))


def _mesh(body: Body) -> Mesh:
    every = [triangle for number in range(len(body.faces)) for triangle in body.mesh(number)]
    return Mesh(points=body.points, triangles=np.array(every, dtype=np.int64))


def _fixed_items(space: Space) -> tuple[Item, ...]:
    """Return the floor, the walls, and what stands in the room for good, to be seen through."""
    strips = walls(space)
    wall = Node(name="walls", kind="walls", colour=_WALLS, meshes=tuple(_strip(s.low, s.high) for s in strips))
    made = [_floor(space), Item(node=wall, lines=_segments(wall_lines(strips)), fixed=True)]
    for obstacle in space.obstacles:
        body = of_obstacle(within(space, obstacle))
        node = Node(name=obstacle.name, kind="fixed", colour=_FIXED, meshes=(_mesh(body),))
        made.append(Item(node=node, lines=sharp_edges((body,)), fixed=True))
    return tuple(made)


def _floor(space: Space) -> Item:
    ring = floor_ring(space)
    mesh = Mesh(points=np.array(ring), triangles=_filled([(x, y) for x, y, _ in ring]))
    node = Node(name="floor", kind="floor", colour=_FLOOR, meshes=(mesh,))
    return Item(node=node, lines=_segments([(*ring, ring[0])]), fixed=True)


def _strip(low: Polyline, high: Polyline) -> Mesh:
    """Return a strip of a wall between the lines up its two ends; seen from inside it runs to the left."""
    ring = [*low, *reversed(high)]
    run = float(np.hypot(high[0][0] - low[0][0], high[0][1] - low[0][1]))
    flat = [(0.0, -z) for _, _, z in low] + [(run, -z) for _, _, z in reversed(high)]
    return Mesh(points=np.array(ring), triangles=_filled(flat))


def _filled(flat: Sequence[tuple[float, float]]) -> np.ndarray[tuple[int, int], np.dtype[np.int64]]:
    return np.array(triangles(flat, [range(len(flat))]), dtype=np.int64)


def _segments(lines: Sequence[Polyline]) -> Floats:
    return np.array([pair for line in lines for pair in pairwise(line)], dtype=float).reshape(-1, 2, 3)
