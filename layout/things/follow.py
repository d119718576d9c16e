"""What furniture follows: the room cut across by an upright board, or seen from above, drawn in by a gap."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations, pairwise
from math import sqrt

import shapely
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from layout.model.solid import Point
from layout.space.parts import Obstacle
from layout.space.space import Space
from layout.space.walls import Pairs, Wall, interpolate
from layout.things.base import Shop, need

Span = tuple[float, float]
FAR = 100_000.0
_HAIR = 1e-6
_HALF_STEP = 3.75  # mm: half of the highest step in which a slanting edge is told


@dataclass(frozen=True, kw_only=True, slots=True)
class Room:
    """How closely a board follows the room, mm.

    `gap` is left to walls and ceiling, measured level and plumb; `clear` to obstacles and ends. Where less than
    `tongue` would be left between an obstacle and the wall, nothing is left there.
    """

    space: Space
    gap: float = 0.0
    clear: float = 0.0
    tongue: float = 0.0


def wall_line(space: Space, x: Span, z: Span, *, left: bool) -> Pairs:
    """Return a wall's half-widths by height, the narrowest over a stretch along: pairs of z and mm, upward.

    Exact: along the stretch the wall is a straight blend between stations, so it is narrowest at an end or at a
    station, and the least of several broken lines bends where one of them does or where two cross. Ribs that reach
    into the stretch are taken off.
    """
    wall = space.left if left else space.right
    xs = [x[0], *(at for at in wall.xs if x[0] < at < x[1]), x[1]]
    heights = (z[0], *(h for h in wall.heights if z[0] < h < z[1]), z[1])
    lines = [tuple((h, wall.half_width(at, h)) for h in heights) for at in xs]
    rib = _rib(space, x)
    return tuple((h, half - rib) for h, half in least_of(lines))


def least_of(lines: Sequence[Pairs]) -> Pairs:
    """Return the lowest of broken lines that bend at the same places, itself a broken line, without idle corners."""
    keys = [key for key, _ in lines[0]]
    marks = {*keys, *(cross for i in range(len(keys) - 1) for cross in _crossings(lines, i))}
    low = [(mark, min(interpolate(line, mark) for line in lines)) for mark in sorted(marks)]
    return _bends(low)


def _crossings(lines: Sequence[Pairs], i: int) -> Iterator[float]:
    for one, other in combinations(lines, 2):
        a, b = one[i][1] - other[i][1], one[i + 1][1] - other[i + 1][1]
        if a * b < 0:
            yield one[i][0] + (one[i + 1][0] - one[i][0]) * a / (a - b)


def _bends(line: Sequence[Point]) -> Pairs:
    """Return the line without the corners that it passes straight through."""
    kept = list(line[:1])
    for here, after in pairwise(line[1:]):
        straight = interpolate((kept[-1], after), here[0])
        if abs(straight - here[1]) > _HAIR:
            kept.append(here)
    return (*kept, line[-1])


def _rib(space: Space, x: Span) -> float:
    ribs = space.ribs
    meets = ribs is not None and any(low < x[1] - _HAIR and high > x[0] + _HAIR for low, high in ribs.spans())
    return ribs.depth if ribs is not None and meets else 0.0


def gap_to_wall(shop: Shop, group: str, asked: float | None, x: Span, z: Span) -> float:
    """Return the gap that a board keeps to leaning walls, mm: as asked, or what the shop says, or more if it must be.

    A plan tells the slanting edge of an upright board in level steps, half of each beyond the edge and half behind it;
    the gap takes those steps, or the board would be found in the wall.

    Raises
    ------
    ValueFaultError
        When a smaller gap is asked for.
    """
    lines = [wall_line(shop.room(group), x, z, left=left) for left in (False, True)]
    lean = max((abs(b[1] - a[1]) / (b[0] - a[0]) for line in lines for a, b in pairwise(line)), default=0.0)
    least = _HALF_STEP * lean
    if asked is None:
        return max(shop.number("following", "gap"), least)
    need(asked >= least, group, "gap", f"the wall leans by {lean:.2f} mm each mm up; leave at least {least:.1f}")
    return asked


def depth_behind(space: Space, x: Span, z: Span, front: float, *, left: bool, gap: float = 0.0) -> Pairs:
    """Return how deep it is behind a front at each height at which that bends: pairs of z and mm, upward.

    Parameters
    ----------
    space
        The room.
    x
        From where to where along the piece reaches, mm: the narrowest place counts.
    z
        Its foot and its top above the finished floor, mm.
    front
        How far its front is from the centreline, toward that wall, mm.
    left
        Whether it stands on the left.
    gap
        What stays free before the wall, measured level, mm: for scribing, or for cables.
    """
    return tuple((h, half - gap - front) for h, half in wall_line(space, x, z, left=left))


def end_outline(space: Space, x: Span, z: Span, front: float, *, left: bool, gap: float = 0.0) -> tuple[Point, ...]:
    """Return the outline of a unit's end that follows the wall: corners (depth behind the front, height), mm.

    As `depth_behind`; the front edge is upright at depth 0. Obstacles are not looked at: see `section`.
    """
    behind = depth_behind(space, x, z, front, left=left, gap=gap)
    return ((0.0, z[0]), *((depth, h) for h, depth in behind), (0.0, z[1]))


def section(room: Room, x: Span, z: Span) -> BaseGeometry:
    """Return the outline (y, z; mm) of what may stand across the room between two places along and two heights.

    It is free over the whole stretch `x`: inside walls, ribs, roof, leaning ends and cut corners, beside obstacles.
    The floor is followed without a gap. Parts of a room in several pieces are all returned.
    """
    space = room.space
    top = min(z[1], _roof(space, x) - room.gap)
    if top - z[0] < _HAIR:
        return Polygon()
    sides = [wall_line(space, x, (z[0], top), left=left) for left in (False, True)]
    ring = [*((room.gap - half, h) for h, half in sides[0]), *((half - room.gap, h) for h, half in reversed(sides[1]))]
    whole = Polygon(ring).buffer(0)
    return whole.difference(shapely.union_all([*_taken(room, x), *_beyond_ends(room, x, z)]))


def _roof(space: Space, x: Span) -> float:
    return min(space.roof_at(at) for at in (*x, *(at for at, _ in space.roof if x[0] < at < x[1])))


def _taken(room: Room, x: Span) -> Iterator[Polygon]:
    """Yield what obstacles, cut corners and notches take of the section, drawn out by what stays clear."""
    space, clear = room.space, room.clear
    strip = shapely.box(x[0] - clear + _HAIR, -FAR, x[1] + clear - _HAIR, FAR)
    for obstacle in space.obstacles:
        met = strip.intersection(Polygon(obstacle.outline))
        if met.area > _HAIR:
            _, y0, _, y1 = met.bounds
            foot = obstacle.z0 - clear if obstacle.z0 > 0 else -FAR
            top = _top(obstacle, (x[0] - clear, x[1] + clear)) + clear
            yield shapely.box(*_to_wall(room, x, (y0 - clear, y1 + clear), foot), top)
    narrow = shapely.box(x[0] + _HAIR, -FAR, x[1] - _HAIR, FAR)
    for part in shapely.get_parts(narrow.difference(space.upright)):
        if part.area > _HAIR:
            _, y0, _, y1 = part.bounds
            yield shapely.box(y0 - clear, -FAR, y1 + clear, FAR)


def _to_wall(room: Room, x: Span, y: Span, foot: float) -> tuple[float, float, float]:
    """Return what an obstacle takes across and from its foot up: out to the wall if only a tongue is left there."""
    low, high = y
    heights = (0.0, room.space.height)
    widest = [max(half for _, half in wall_line(room.space, x, heights, left=left)) for left in (False, True)]
    if widest[0] + low < room.tongue:
        low = -FAR
    if widest[1] - high < room.tongue:
        high = FAR
    return low, foot, high


def _top(obstacle: Obstacle, x: Span) -> float:
    """Return how high the obstacle is over a stretch along, mm: less near its rounded ends."""
    radius = obstacle.top_radius
    rear, front = obstacle.outline[0][0], obstacle.outline[1][0]
    inset = min(x[1] - rear, front - x[0]) if radius else 0.0
    if not radius or inset >= radius:
        return obstacle.z1
    return obstacle.z1 - radius + sqrt(radius**2 - (radius - inset) ** 2)


def _beyond_ends(room: Room, x: Span, z: Span) -> Iterator[Polygon]:
    """Yield the heights at which an end that leans in is nearer than the stretch."""
    for ends, reach, sign in ((room.space.front, x[1] + room.clear, 1), (room.space.rear, x[0] - room.clear, -1)):
        line = [(-FAR, ends[0][1]), *ends, (FAR, ends[-1][1])] if ends else []
        for start, end in pairwise(line):
            low, high = max(start[0], z[0]), min(end[0], z[1])
            short = [(h, sign * (reach - interpolate((start, end), h))) for h in (low, high)]
            if low < high and max(by for _, by in short) > _HAIR:
                z0, z1 = _where_short(short)
                yield shapely.box(-FAR, z0, FAR, z1)


def _where_short(short: Sequence[Point]) -> Span:
    """Return between which heights a straight line of shortness (height, mm) is more than nothing."""
    (low, a), (high, b) = short
    if a * b >= 0:
        return low, high
    cross = low + (high - low) * a / (a - b)
    return (cross, high) if b > a else (low, cross)


def plan(space: Space, z: Span, gap: float) -> BaseGeometry:
    """Return where a level board between two heights may lie, `gap` mm off walls, ends and obstacles."""
    return space.common_room(*z).buffer(-gap, join_style="mitre")


def foot_stretches(space: Space, *, left: bool) -> tuple[Span, ...]:
    """Return from where to where along the wall itself bounds the floor, not a cut corner or an end, mm."""
    wall: Wall = space.left if left else space.right
    sign = 1 if left else -1
    xs = sorted({*(x for x, _ in space.outline), *wall.xs})
    low, high = min(x for x, _ in space.outline), max(x for x, _ in space.outline)
    line = shapely.LineString([(x, sign * (wall.half_width(x, 0.0) - 0.1)) for x in xs if low <= x <= high])
    parts = shapely.get_parts(line.intersection(space.upright))
    return tuple(sorted((p.bounds[0], p.bounds[2]) for p in parts if p.length > 1.0))


def clear_spans(shape: BaseGeometry, across: Span, *, least: float, upright: bool = False) -> tuple[Span, ...]:
    """Return from where to where a straight strip lies in the shape over its whole breadth `across`, mm, in order.

    The strip runs along the first axis, or `upright` along the second. Spans shorter than `least` are left out.
    """
    if upright:
        shape = shapely.transform(shape, lambda points: points[:, ::-1])
    if shape.is_empty:
        return ()
    low, _, high, _ = shape.bounds
    band = shapely.box(low - 1, across[0] + _HAIR, high + 1, across[1] - _HAIR)
    taken = sorted((p.bounds[0], p.bounds[2]) for p in shapely.get_parts(band.difference(shape)) if p.area > _HAIR)
    spans, at = [], low - 1
    for start, end in taken:
        spans.append((at, start))
        at = max(at, end)
    free = ((round(a, 6), round(b, 6)) for a, b in (*spans, (at, high + 1)))
    return tuple((a, b) for a, b in free if b - a >= least - _HAIR)
