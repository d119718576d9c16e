"""The room round the scene: its floor, what lies lower, and its far walls, as lines in space."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np
import shapely

from layout.space.parts import Door, Hole, Obstacle
from layout.space.walls import interpolate
from layout.views.axonometric.bodies import Floats
from layout.views.axonometric.camera import Camera

if TYPE_CHECKING:
    from layout.space.space import Space

Point3 = tuple[float, float, float]
Polyline = tuple[Point3, ...]
# A corner this near to the foot of a wall is on it, mm.
_ON_WALL = 1.0
_AWAY = 1e-3
# Walls that turn by less than this at an upright line are round there: cosine of 25 degrees.
_ROUND = 0.906


@dataclass(frozen=True, kw_only=True, eq=False)
class Strip:
    """A strip of a wall over an edge of the floor: the lines up its two ends, and the way outward in plan."""

    low: Polyline
    high: Polyline
    outward: Floats

    @property
    def ring(self) -> Polyline:
        """Return its outline."""
        return (*self.low, *reversed(self.high))


def floor_ring(space: Space) -> Polyline:
    """Return the outline of the floor, anticlockwise."""
    shell = max(shapely.get_parts(space.shell(0.0)), key=lambda part: part.area)
    ring = shapely.remove_repeated_points(shell, 0.5).exterior
    corners = ring.coords[:-1] if ring.is_ccw else ring.coords[:0:-1]
    return tuple((float(x), float(y), 0.0) for x, y in corners)


def far_walls(space: Space, camera: Camera) -> tuple[Strip, ...]:
    """Return the walls that one looks at from inside, a strip for each edge of the floor, in order."""
    return tuple(strip for strip in walls(space) if strip.outward @ camera.to_eye[:2] < -_AWAY)


def walls(space: Space) -> tuple[Strip, ...]:
    """Return all walls, ends too, as strips up from the edges of the floor, anticlockwise."""
    ring = floor_ring(space)
    found = []
    for a, b in zip(ring, (*ring[1:], ring[0]), strict=True):
        outward = np.array([b[1] - a[1], a[0] - b[0]]) / np.hypot(b[0] - a[0], b[1] - a[1])
        found += [
            Strip(low=_up(space, p), high=_up(space, q), outward=outward) for p, q in pairwise(_stops(space, a, b))
        ]
    return tuple(found)


def _stops(space: Space, a: Point3, b: Point3) -> list[Point3]:
    """Return the ends of an edge, and every place between at which the wall over it bends."""
    if a[0] == b[0]:
        return [a, b]
    xs = {*space.left.xs, *space.right.xs, *(x for x, _ in space.roof)}
    shares = sorted({0.0, 1.0, *(t for x in xs if 0 < (t := (x - a[0]) / (b[0] - a[0])) < 1)})
    return [(a[0] + (b[0] - a[0]) * t, a[1] + (b[1] - a[1]) * t, 0.0) for t in shares]


def _up(space: Space, foot: Point3) -> Polyline:
    """Return the line up the wall over a point of the floor's outline, to the roof."""
    x, y, _ = foot
    side = 1.0 if y > 0 else -1.0
    leans = abs(abs(y) - space.half_width(x, 0.0, left=y > 0)) <= _ON_WALL
    ends = [pairs for pairs in (space.front, space.rear) if pairs and abs(x - interpolate(pairs, 0.0)) <= _ON_WALL]
    top = space.roof_at(x)
    made = []
    for z in space.bends(0.0, top):
        at = interpolate(ends[0], z) if ends else x
        half = space.half_width(at, z, left=y > 0)
        made.append((at, side * half if leans else side * min(abs(y), half), z))
    return tuple(made)


def wall_lines(walls: Iterable[Strip]) -> list[Polyline]:
    """Return the outlines of the far walls: tops, ends, and upright lines where they turn sharply."""
    made: list[Polyline] = []
    strips = list(walls)
    for i, wall in enumerate(strips):
        made.append((wall.low[-1], wall.high[-1]))
        before = strips[i - 1]
        if before.high != wall.low or _turns(before, wall):
            made.append(wall.low)
        if strips[(i + 1) % len(strips)].low != wall.high:
            made.append(wall.high)
    return made


def _turns(before: Strip, after: Strip) -> bool:
    ways = [np.array(w.high[0]) - np.array(w.low[0]) for w in (before, after)]
    one, other = (way / np.linalg.norm(way) for way in ways)
    return bool(one @ other < _ROUND)


def pit_lines(hole: Hole) -> tuple[Polyline, list[Polyline]]:
    """Return the rim of a place where the floor lies lower, and the edges down in it."""
    rim = tuple((x, y, 0.0) for x, y in hole.outline)
    deep = tuple((x, y, -hole.depth) for x, y in hole.outline)
    down: list[Polyline] = [*((a, b) for a, b in zip(rim, deep, strict=True)), *pairwise((*deep, deep[0]))]
    return (*rim, rim[0]), down


def fixed(space: Space, camera: Camera) -> tuple[Obstacle, ...]:
    """Return what stands in the room for good and is drawn: not what closed doors bring in on the near walls."""
    x0, y0, x1, y1 = space.bounds
    near_y = y0 if camera.side == "right" else y1
    return tuple(
        within(space, o)
        for o in space.obstacles
        if not o.name.startswith("closed") or not _at_near(o, x0 + 0.1 * (x1 - x0), near_y)
    )


def _at_near(obstacle: Obstacle, rear: float, near_y: float) -> bool:
    xs, ys = zip(*obstacle.outline, strict=True)
    middle = (min(ys) + max(ys)) / 2
    return bool(max(xs) < rear or abs(middle - near_y) < abs(middle) / 2)


def within(space: Space, obstacle: Obstacle) -> Obstacle:
    """Return the obstacle without what lies in the wall behind it."""

    def held(x: float, y: float) -> tuple[float, float]:
        half = space.half_width(x, obstacle.z0, left=y > 0)
        return x, min(max(y, -half), half)

    return replace(obstacle, outline=tuple(held(x, y) for x, y in obstacle.outline))


def door_lines(space: Space, camera: Camera) -> list[tuple[Door, Polyline]]:
    """Return every door with its opening: a frame on a far wall, or its sill where the wall is taken away."""
    near = "right" if camera.side == "right" else "left"
    return [(door, _sill(space, door) if door.side in ("rear", near) else _frame(space, door)) for door in space.doors]


def _sill(space: Space, door: Door) -> Polyline:
    if door.side == "rear":
        x = min(x for x, _, _ in floor_ring(space))
        return (x, door.low, 0.0), (x, door.high, 0.0)
    return _on_side(space, door, door.low, 0.0), _on_side(space, door, door.high, 0.0)


def _frame(space: Space, door: Door) -> Polyline:
    heights = space.bends(door.sill, min(door.top, space.roof_at(door.low), space.roof_at(door.high)))
    up, down = ([_on_side(space, door, x, z) for z in heights] for x in (door.low, door.high))
    return (*up, *reversed(down), up[0])


def _on_side(space: Space, door: Door, x: float, z: float) -> Point3:
    left = door.side == "left"
    return x, (1.0 if left else -1.0) * space.half_width(x, z, left=left), z


def segments(lines: Iterable[Polyline]) -> Floats:
    """Return the lines as segments, shape (m, 2, 3)."""
    return np.array([pair for line in lines for pair in pairwise(line)], dtype=float).reshape(-1, 2, 3)
