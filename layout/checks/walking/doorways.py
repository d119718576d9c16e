"""Doors as people go through them: the opening in the wall, and the yard before it.

Every side is told in two directions of its own: `along` the wall, and `deep` into the room from where that is widest.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import shapely
from shapely.geometry import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from layout.model.solid import Solid, box
from layout.space.parts import Door, DoorSide
from layout.space.space import Space

Span = tuple[float, float]
Bounds = tuple[float, float, float, float]
_CLOSED = "closed "  # how the obstacles are called that an open door takes away
_WIDER = 1.0  # mm by which the yard is wider at either end than the opening, so that this is the narrowest
_INSET = 0.01  # mm from the ends of an opening at which it is asked where the room begins


@dataclass(frozen=True, kw_only=True, slots=True)
class Doorway:
    """An open door in plan: its `opening` through the wall, the `yard` outside, and the far edge `start` of that.

    The yard is hardly wider than the opening, so that nobody is in it who does not pass the door. `bounds` are those of
    the space, and the room begins `deep` mm in from them.
    """

    door: Door
    opening: BaseGeometry
    yard: Polygon
    start: LineString
    bounds: Bounds
    deep: float

    def touched(self, depth: float) -> Polygon:
        """Return what may be touched, `depth` mm into the room, by somebody who stands outside."""
        span = along(self.door.side, self.yard.bounds)
        return area(self.door.side, self.bounds, span, (0.0, self.deep + depth))

    @property
    def passage(self) -> BaseGeometry:
        """Return where a body may be that goes through."""
        return shapely.union(self.opening, self.yard)


@dataclass(frozen=True, kw_only=True, slots=True)
class Measures:
    """How thick a wall is, how far in it leans at most beside a door, how deep the yard before it; mm.

    `thin` is less than the width of anybody who is asked for.
    """

    wall: float
    lean: float
    yard: float
    thin: float


def opened(space: Space) -> Space:
    """Return the space with its doors open: what closed ones reach in is gone."""
    return space.with_obstacles(tuple(o for o in space.obstacles if not o.name.startswith(_CLOSED)))


def doorways(doors: Iterable[Door], space: Space, z: Span, measures: Measures) -> tuple[Doorway, ...]:
    """Return the doors that lead into the room, for a body between the heights `z`; `space` has its doors open."""
    found = [_doorway(door, space, z, measures) for door in doors]
    return tuple(doorway for doorway in found if doorway is not None)


def _doorway(door: Door, space: Space, z: Span, measures: Measures) -> Doorway | None:
    room = space.common_room(*z)
    low, high = clipped((door.low, door.high), along(door.side, room.bounds)) if not room.is_empty else (0.0, 0.0)
    if high - low <= 2 * _INSET:
        return None
    deep, bounds = begins(space, door, (low, high), z, measures.lean), space.bounds
    far = -measures.wall - measures.yard
    corners = [_point(door.side, bounds, u, far) for u in (low, high)]
    return Doorway(
        door=door,
        opening=area(door.side, bounds, (low, high), (-measures.wall, deep)),
        yard=area(door.side, bounds, (low - _WIDER, high + _WIDER), (far, -measures.wall)),
        start=LineString(corners),
        bounds=bounds,
        deep=deep,
    )


def begins(space: Space, door: Door, span: Span, z: Span, most: float) -> float:
    """Return how deep behind an opening the room begins between the heights `z`, up to `most` mm.

    Beside a side door that is where its wall, or a rib, comes in farthest; what cuts a corner off the room counts as
    a part of it that is not there. At the rear it is the deepest of both ends and the middle of the opening.
    """
    deep = _rear_begins(space, span, z) if door.side == "rear" else _side_begins(space, door, span, z)
    return min(max(deep, 0.0), most)


def _side_begins(space: Space, door: Door, span: Span, z: Span) -> float:
    left = door.side == "left"
    wall = space.left if left else space.right
    xs = [*span, *(x for x in wall.xs if span[0] < x < span[1])]
    narrowest = min(space.half_width(x, height, left=left) for x in xs for height in space.bends(*z))
    _, y0, _, y1 = space.bounds
    ribs = space.ribs.depth if space.ribs and any(a < span[1] and b > span[0] for a, b in space.ribs.spans()) else 0.0
    return (y1 if left else -y0) - narrowest + ribs


def _rear_begins(space: Space, span: Span, z: Span) -> float:
    room, (x0, _, x1, _) = space.common_room(*z), space.bounds
    met = [
        room.intersection(LineString([(x0, u), (x1, u)])) for u in (span[0] + _INSET, sum(span) / 2, span[1] - _INSET)
    ]
    return max((float(part.bounds[0]) - x0 for part in met if not part.is_empty), default=0.0)


def along(side: DoorSide, bounds: Bounds) -> Span:
    """Return from where to where something reaches along the wall of that side."""
    x0, y0, x1, y1 = bounds
    return (y0, y1) if side == "rear" else (x0, x1)


def depths(side: DoorSide, bounds: Bounds, of: Bounds) -> Span:
    """Return from where to where something reaches deep into the room of those `bounds`."""
    x0, y0, _, y1 = bounds
    if side == "rear":
        return of[0] - x0, of[2] - x0
    return (of[1] - y0, of[3] - y0) if side == "right" else (y1 - of[3], y1 - of[1])


def area(side: DoorSide, bounds: Bounds, span: Span, deep: Span) -> Polygon:
    """Return the rectangle from `span` along and `deep` into the room."""
    (ax, ay), (bx, by) = (_point(side, bounds, u, d) for u, d in zip(span, deep, strict=True))
    return shapely.box(min(ax, bx), min(ay, by), max(ax, bx), max(ay, by))


def zone(door: Door, bounds: Bounds, span: Span, deep: Span, z: Span) -> Solid:
    """Return the same between two heights, as a solid of the door's name."""
    x0, y0, x1, y1 = area(door.side, bounds, span, deep).bounds
    return box(door.name, (x0, x1), (y0, y1), z)


def _point(side: DoorSide, bounds: Bounds, u: float, deep: float) -> tuple[float, float]:
    x0, y0, _, y1 = bounds
    if side == "rear":
        return x0 + deep, u
    return (u, y0 + deep) if side == "right" else (u, y1 - deep)


def clipped(span: Span, to: Span) -> Span:
    """Return what of a span lies within another; its ends may cross when nothing does."""
    return max(span[0], to[0]), min(span[1], to[1])


def widest_stretch(whole: Span, taken: Sequence[Span]) -> Span:
    """Return the widest stretch of `whole` that no span takes, the first of several; an empty one if all is taken."""
    best, edge = (whole[0], whole[0]), whole[0]
    for low, high in [*sorted(taken), (whole[1], whole[1])]:
        if min(low, whole[1]) - edge > best[1] - best[0]:
            best = (edge, min(low, whole[1]))
        edge = max(edge, high)
    return best
