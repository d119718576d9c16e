"""Random rooms with a bicycle and blocks, and a way that is carried out in them step by step."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from heapq import heappop, heappush
from itertools import combinations, pairwise
from math import ceil, dist

import numpy as np
import numpy.typing as npt
import shapely
from hypothesis import strategies as st
from shapely.geometry.base import BaseGeometry

from layout.checks.bicycle_places import Places, empty_room
from layout.checks.bicycle_search import Wheeled
from layout.checks.bicycle_ways import unit_of
from layout.model.layout import Placed
from layout.model.solid import Point, Solid, box, outer_box
from layout.model.thing import Thing
from layout.space.parts import Door
from layout.space.space import Space
from tests.builders import plain_space
from tests.checks.one_rule import context_of

LENGTH, WIDTH, HEIGHT = 2600.0, 1700.0, 1500.0
FRAME, LIFT = 80.0, 400.0
DOOR = Door(name="rear door", side="rear", kind="two leaves", low=-450.0, high=700.0, sill=0.0, top=1300.0)
_TOUCH = 0.03  # mm: what touches is not met, and the way is told by places rounded to that
Pose = tuple[float, float, float, float]


def room() -> Space:
    """Return the room of all scenes, whose door is not in the middle."""
    return plain_space(length=LENGTH, width=WIDTH, height=HEIGHT, doors=(DOOR,))


def shell() -> list[Solid]:
    """Return the walls, the roof and the floor of that room as solids, told without the space's help."""
    half, out = WIDTH / 2, FRAME
    along, beyond, up = (-out, LENGTH + out), 500.0, (-900.0, 3000.0)
    return [
        box("left", along, (half, half + out), up), box("right", along, (-half - out, -half), up),
        box("front", (LENGTH, LENGTH + out), (-half, half), up),
        box("rear", (-out, 0.0), (-half, DOOR.low), up), box("rear", (-out, 0.0), (DOOR.high, half), up),
        box("lintel", (-out, 0.0), (DOOR.low, DOOR.high), (DOOR.top, 3000.0)),
        box("roof", (0.0, LENGTH), (-half, half), (HEIGHT, HEIGHT + beyond)),
        box("floor", along, (-half, half), (-beyond, 0.0)),
    ]  # fmt: skip


def bicycle(use: str, **more: object) -> Thing:
    """Return a bicycle of the catalogue."""
    [thing] = context_of(things={"bike": {"use": use, **more}}).layout.things
    return thing


def put(thing: Thing, x: float, y: float, z: float, turn: float) -> Placed:
    """Return the thing with the middle of its outer box at x, y and its foot at z."""
    own = outer_box(thing.solids)
    x0, y0, x1, y1 = own.bounds
    centred = [s.moved(-(x0 + x1) / 2, -(y0 + y1) / 2, -own.z0) for s in thing.solids]
    solids = tuple(s.turned(turn).moved(x, y, z) for s in centred)
    return Placed(thing=thing, solids=solids, box=outer_box(solids), turn_deg=turn)


def block(name: str, *solids: Solid) -> Placed:
    """Return a fixed thing of these solids."""
    thing = Thing(name=name, group=name, kind="box", solids=solids)
    return Placed(thing=thing, solids=solids, box=outer_box(solids))


def _solid(x: int, y: int, long: int, wide: int, z: int, high: int, turn: int, bent: bool) -> Solid:
    corners = [(0, 0), (long, 0), (long, wide), (long / 2, wide), (long / 2, wide / 2), (0, wide / 2)]
    if not bent:
        corners = [(0, 0), (long, 0), (long, wide), (0, wide)]
    solid = Solid(name="block", outline=tuple((float(a), float(b)) for a, b in corners), z0=z, z1=float(z + high))
    return solid.turned(turn).moved(x, y, 0.0)


#: Blocks, some of them slanting, hooked, raised, or reaching out of the door.
blocks = st.lists(
    st.builds(
        _solid, st.integers(-150, 2300), st.integers(-850, 700), st.integers(60, 700), st.integers(60, 500),
        st.sampled_from([0, 0, 0, 500]), st.sampled_from([120, 300, 700, 1100]), st.sampled_from([0, 0, 90, 25]),
        st.booleans(),
    ),
    min_size=1, max_size=4,
)  # fmt: skip
#: Where the middle of a bicycle is, its foot and its turn.
stands = st.tuples(
    st.integers(500, 2000), st.integers(-650, 650), st.sampled_from([0, 0, 150]), st.sampled_from([0, 20, 90, 180, 245])
)


def search_of(placed: Placed, others: Sequence[Placed], step: float) -> Wheeled:
    """Return the search for a way of the bicycle past others, in turns of `step` degrees."""
    places = Places(room=empty_room(room(), FRAME))
    for other in others:
        places.add(other.name, other.solids)
    names = [other.name for other in others]
    return Wheeled(
        room=places.room, unit=unit_of(placed), step=step, lift=LIFT, places=places, things=(tuple(names),),
        tops=places.tops(names),
    )  # fmt: skip


def carried_out(search: Wheeled) -> Iterator[Pose]:
    """Yield the poses of a way, near to each other: x, y, foot, angle; from where it stands to the far end of the yard."""
    way = search.way()
    assert way is not None
    x, y, _ = search.unit.at
    at: Point = (x, y)
    for a, b in pairwise(way):
        crossing = search.crossing(a, b)
        to = (crossing.x, crossing.y)
        z, angle = search.pose(a)
        yield from ((*p, z, angle) for p in _route(search.area(a), at, to))
        z1, angle1 = search.pose(b)
        turn = (angle1 - angle + 180.0) % 360.0 - 180.0
        count = ceil(max(abs(turn) / 0.5, abs(z1 - z) / 20.0, 1.0))
        yield from ((*to, z + (z1 - z) * i / count, angle + turn * i / count) for i in range(count + 1))
        at = to
    z, angle = search.pose(way[-1])
    end = search.area(way[-1]).intersection(shapely.box(-6000, -500, -5000, 500)).representative_point()
    yield from ((*p, z, angle) for p in _route(search.area(way[-1]), at, (end.x, end.y)))


def _route(area: BaseGeometry, start: Point, end: Point) -> Iterator[Point]:
    """Yield points of the shortest way through an area, 25 mm apart inside the room: through corners that see each other."""
    wide = area.buffer(0.002)
    shapely.prepare(wide)
    start = _within(area, start)
    near = shapely.get_coordinates(area.intersection(shapely.box(-7000, -3000, 7000, 3000)))
    points = [start, end, *{(float(x), float(y)) for x, y in near}]
    seen = [(i, j) for i, j in combinations(range(len(points)), 2)]
    lines = shapely.linestrings([[points[i], points[j]] for i, j in seen])
    open_ways: dict[int, list[int]] = {i: [] for i in range(len(points))}
    for (i, j), free in zip(seen, shapely.covers(wide, lines), strict=True):
        if free:
            open_ways[i].append(j)
            open_ways[j].append(i)
    for a, b in pairwise(_shortest(points, open_ways)):
        count = ceil(dist(points[a], points[b]) / 25.0) or 1
        (ax, ay), (bx, by) = points[a], points[b]
        yield from ((ax + (bx - ax) * i / count, ay + (by - ay) * i / count) for i in range(count + 1))


def _within(area: BaseGeometry, point: Point) -> Point:
    nearest = shapely.shortest_line(area, shapely.Point(point))
    assert nearest.length < 0.05
    x, y = nearest.coords[0]
    return float(x), float(y)


def _shortest(points: Sequence[Point], ways: dict[int, list[int]]) -> list[int]:
    """Return the numbers of the points of the shortest way from the first to the second (Dijkstra)."""
    heap: list[tuple[float, int, tuple[int, ...]]] = [(0.0, 0, (0,))]
    done: set[int] = set()
    while heap:
        length, here, path = heappop(heap)
        if here == 1:
            return list(path)
        if here in done:
            continue
        done.add(here)
        for there in ways[here]:
            heappush(heap, (length + dist(points[here], points[there]), there, (*path, there)))
    raise AssertionError("an area in one piece has a way from any point to any other")


def met_at(thing: Thing, poses: Sequence[Pose], solids: Sequence[Solid]) -> list[Pose]:
    """Return the poses in which the bicycle reaches into solids by more than a touch on each side.

    Worked out from its own solids, upright boxes, and the corners of the others: nothing of the search is used.
    """
    x, y, z, angle = np.array(poses).T
    own, met = put(thing, 0.0, 0.0, 0.0, 0.0).solids, np.zeros(len(poses), dtype=bool)
    for part in own:
        outlines = shapely.polygons(_turned(part, np.radians(angle)) + np.stack([x, y], axis=1)[:, None])
        for solid in solids:
            level = (z + part.z0 < solid.z1 - _TOUCH) & (z + part.z1 > solid.z0 + _TOUCH)
            met |= level & shapely.intersects(outlines, shapely.Polygon(solid.outline))
    return [pose for pose, bad in zip(poses, met, strict=True) if bad]


def _turned(part: Solid, angles: npt.NDArray[np.float64]) -> npt.NDArray[np.float64]:
    """Return the corners of a box, two touches smaller all round, at each of the angles: shape (n, 4, 2)."""
    x0, y0, x1, y1 = part.bounds
    x0, y0, x1, y1 = x0 + _TOUCH, y0 + _TOUCH, x1 - _TOUCH, y1 - _TOUCH
    cx, cy = np.array([x0, x1, x1, x0]), np.array([y0, y0, y1, y1])
    c, s = np.cos(angles)[:, None], np.sin(angles)[:, None]
    return np.stack([cx * c - cy * s, cx * s + cy * c], axis=2)
