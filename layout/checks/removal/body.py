"""Where a body of one size may be: its lifts, and its places on the plan at each.

A lift is the height of the body's foot. What is in its way changes only at the lifts where a top meets its foot or a
foot meets its top, at the sills and tops of doors and at the bends of the room. Between two of them the body is
given the plan that is free over the whole span: exact where that does not change in between, which holds for
upright walls and a level roof, and also where the room grows or shrinks all over; elsewhere a little too strict.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import LineString, Point, Polygon
from shapely.geometry.base import BaseGeometry

from layout.checks.removal.grown import Floats, Size, grown
from layout.checks.removal.pieces import Bools, Pieces
from layout.checks.removal.room import OpenRoom
from layout.space.parts import Door, Obstacle
from layout.space.space import TOUCH

Place = tuple[float, float, float]
Doors = frozenset[str] | None
Geometries = NDArray[np.object_]
_SAME = 1e-6
_DEEPER = 1e-3  # how deep a leg must go into a piece to be told as hitting it, well below TOUCH


class Body:
    """A box of `size` (length, width, height; mm) among pieces in a room, its place that of its low corner.

    Span 2 i is the lift `levels[i]`, span 2 i + 1 all lifts from there to the next.
    """

    def __init__(self, size: Size, room: OpenRoom, pieces: Pieces, starts: Iterable[float]) -> None:
        self.size, self.room, self.pieces = size, room, pieces
        self.levels = self._levels(starts)
        self.boxes = self._boxes()
        ends = self._ends()
        #: (spans, n): which pieces share heights with the body in each span.
        self.meets: Bools = (self.boxes[:, 5] > ends[:, :1]) & (self.boxes[:, 2] < ends[:, 1:])
        self._shapes = self._plans()
        self._rooms: dict[int, BaseGeometry] = {}
        self._rounds: dict[tuple[int, float], BaseGeometry] = {}
        self._free: dict[int, BaseGeometry] = {}

    def _ends(self) -> Floats:
        levels = np.array(self.levels)
        at = np.stack([levels, levels], axis=1)
        between = np.stack([levels, np.append(levels[1:], levels[-1])], axis=1)
        return np.stack([at, between], axis=1).reshape(-1, 2)[:-1]

    def _boxes(self) -> Floats:
        """Return the open boxes of places at which the body reaches into each piece: exact for boxes, (n, 6)."""
        boxes = self.pieces.bounds.copy()
        boxes[:, :3] += TOUCH - np.array(self.size)
        boxes[:, 3:] -= TOUCH
        return boxes

    def _levels(self, starts: Iterable[float]) -> tuple[float, ...]:
        space, height = self.room.space, self.size[2]
        floor = min((0.0, *(-hole.depth for hole in space.holes)))
        ends = {z for bounds in self.pieces.bounds for z in (float(bounds[5]), float(bounds[2]) - height)}
        ends |= {z for door in self.room.doors for z in (door.sill, door.top - height)}
        bends = (*space.bends(floor, space.height), *(z for _, z in space.roof), 0.0)
        ends |= {z - down for z in bends for down in (0.0, height)}
        inside = {round(z, 6) for z in ends if floor - _SAME <= z <= space.height - height + _SAME}
        return tuple(sorted(inside | {round(z, 6) for z in starts}))

    def _plans(self) -> Geometries:
        low, high = self.boxes[:, :3], self.boxes[:, 3:]
        plans: Geometries = shapely.box(low[:, 0], low[:, 1], high[:, 0], high[:, 1])
        for i in np.flatnonzero(~self.pieces.square & ~self.pieces.rounded):
            plans[i] = grown(Polygon(self.pieces.solids[i].outline), self.size)
        return plans

    def plans(self, foot: float, chosen: NDArray[np.intp]) -> Geometries:
        """Return where on the plan each chosen piece is in the way of the body at `foot` mm, and not lifted much more.

        Rounded ones are as wide as at the foot, so they are a little too wide higher up.
        """
        plans: Geometries = self._shapes[chosen]
        for at in np.flatnonzero(self.pieces.rounded[chosen]):
            plans[at] = self._round(int(chosen[at]), foot)
        return plans

    def _round(self, piece: int, foot: float) -> BaseGeometry:
        if (piece, foot) not in self._rounds:
            solid = self.pieces.solids[piece]
            section = solid.section(min(max(foot + TOUCH, solid.z0), solid.z1)) if isinstance(solid, Obstacle) else ()
            self._rounds[piece, foot] = grown(Polygon(section), self.size)
        return self._rounds[piece, foot]

    def level(self, z: float) -> int:
        """Return the span of the lift `z` mm."""
        return 2 * self.levels.index(round(z, 6))

    def shared(self, span: int) -> BaseGeometry:
        """Return the plan of the room that is free over all heights that the body takes in a span."""
        if span not in self._rooms:
            low, high = self.levels[span // 2], self.levels[(span + 1) // 2]
            self._rooms[span] = self.room.common(low, high + self.size[2])
        return self._rooms[span]

    def places(self, span: int) -> BaseGeometry:
        """Return the places at which the body is in the room in a span, whatever stands there."""
        if span not in self._free:
            self._free[span] = self.room.places(self.shared(span), self.size)
        return self._free[span]

    def goes_up(self, foot: Place, top: float) -> bool:
        """Return whether the body stays in the room straight up from a place to the lift `top` mm."""
        at = Point(foot[:2])
        if foot[2] >= 0.0 and top + self.size[2] <= self.room.roof and self.surely(None).covers(at):
            return True
        spans = range(self.level(foot[2]), self.level(top) + 1)
        # Many of them share their places.
        return all(room.covers(at) for room in {id(r): r for r in map(self.places, spans)}.values())

    def goes_level(self, path: Sequence[Place], door: Door | None = None) -> bool:
        """Return whether the body stays in the room on a level way; `door` is one that it may go out by."""
        foot, plan = path[0][2], [place[:2] for place in path]
        way = LineString(plan) if any(at != plan[0] for at in plan) else Point(plan[0])
        low, high = foot >= 0.0, foot + self.size[2] <= self.room.roof
        fits = door is None or self.room.fits(door, foot, foot + self.size[2])
        if low and high and fits and self.surely(door).covers(way):
            return True
        return bool(self.places(self.level(foot)).covers(way))

    def surely(self, door: Door | None) -> BaseGeometry:
        """Return places that are in the room at all lifts above the floor and under the lowest roof, or at a door's."""
        return self.room.places(self.room.narrow(door), self.size)

    def doors(self, span: int, among: Doors) -> Iterator[Door]:
        """Yield the doors, of those named, between whose sill and top the body lies at that lift."""
        low, high = self.levels[span // 2], self.levels[span // 2] + self.size[2]
        named = (door for door in self.room.doors if among is None or door.name in among)
        return (door for door in named if self.room.fits(door, low, high))

    def lifts(self, among: Doors) -> Iterator[tuple[Door, Floats]]:
        """Yield the doors, of those named, with the lifts at which the body lies between sill and top."""
        for door in self.room.doors:
            if among is None or door.name in among:
                yield door, np.array([z for z in self.levels if self.room.fits(door, z, z + self.size[2])])

    def hits(self, start: Place, end: Place) -> Bools:
        """Return which pieces the body reaches into on the straight way from `start` to `end`, (n,)."""
        return self.hits_along((start, end))

    def hits_along(self, path: Sequence[Place]) -> Bools:
        """Return which pieces the body reaches into on the way from the first place of `path` to its last, (n,)."""
        points = np.array(path)
        hit = self._boxes_hit(points[:-1, None], points[1:, None])
        for leg, odd in enumerate(hit & ~self.pieces.square):
            if odd.any():
                hit[leg, odd] = self._cores_hit(path[leg], path[leg + 1], np.flatnonzero(odd))
        found: Bools = np.logical_or.reduce(hit, axis=0)
        return found

    def _cores_hit(self, start: Place, end: Place, odd: NDArray[np.intp]) -> Bools:
        way = shapely.linestrings([start[:2], end[:2]]) if start[:2] != end[:2] else shapely.points(start[:2])
        cores = shapely.buffer(self.plans(min(start[2], end[2]), odd), -_DEEPER)
        met: Bools = shapely.intersects(cores, way)
        return met

    def _boxes_hit(self, start: Floats, end: Floats) -> Bools:
        """Return which boxes of places each straight way goes through: it enters all sides before it leaves one.

        The ways are (ways, 1, 3), the answer (ways, n).
        """
        low, high = self.boxes[:, :3] + _DEEPER, self.boxes[:, 3:] - _DEEPER
        way = end - start
        still = way == 0
        t0, t1 = ((side - start) / np.where(still, 1.0, way) for side in (low, high))
        enters = np.where(still, -np.inf, np.minimum(t0, t1)).max(axis=2)
        leaves = np.where(still, np.inf, np.maximum(t0, t1)).min(axis=2)
        within = (((low < start) & (start < high)) | ~still).all(axis=2) & (low < high).all(axis=1)
        hit: Bools = within & (np.maximum(enters, 0.0) < np.minimum(leaves, 1.0))
        return hit
