"""What of a side wall or of the ceiling can be lined: inside the room's ends, less doors, windows and obstacles."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from itertools import pairwise

import shapely
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from layout.model.solid import Point
from layout.space.parts import Obstacle
from layout.space.space import Space
from layout.space.walls import Pairs, interpolate
from layout.things.base import Span
from layout.things.follow import FAR, foot_stretches

_ROUND = 8  # chords of a rounded well
_REACHES = 1.0  # mm short of the wall at which an obstacle still stands against it


def wall_shape(space: Space, x: Span, z: Span, gap: float, *, left: bool) -> BaseGeometry:
    """Return a wall as seen from the side (x, z; mm): `gap` off floor, roof and ends, within the limits `x` and `z`.

    Openings and obstacles are not taken out: see `wall_openings`.
    """
    low, high = max(gap, z[0]), min(z[1], FAR)
    shapes = []
    for start, end in foot_stretches(space, left=left):
        a, b = max(start + gap, x[0]), min(end - gap, x[1])
        if a < b:
            roof = [(at, space.roof_at(at) - gap) for at in (a, *(m for m, _ in space.roof if a < m < b), b)]
            shapes.append(Polygon([(a, low), (b, low), *reversed(roof)]).buffer(0))
    whole = shapely.union_all(shapes) if shapes else Polygon()
    return whole.intersection(shapely.box(-FAR, low, FAR, high)).intersection(_between_ends(space, gap))


def _between_ends(space: Space, gap: float) -> Polygon:
    """Return the room between leaning ends as seen from the side, drawn in by the gap."""
    rear = _end(space.rear, -FAR, gap)
    front = _end(space.front, FAR, -gap)
    return Polygon([*rear, *reversed(front)])


def _end(pairs: Pairs, otherwise: float, by: float) -> list[Point]:
    line = pairs or ((0.0, otherwise),)
    heights = (-FAR, *(z for z, _ in line), FAR)
    return [(interpolate(line, z) + by, z) for z in heights]


def wall_openings(space: Space, gap: float, *, left: bool) -> Iterator[tuple[str, Polygon]]:
    """Yield by name what is taken out of a wall (x, z; mm), the gap with it: doors, windows, obstacles at it, ribs."""
    side = "left" if left else "right"
    for door in space.doors:
        if door.side == side:
            yield door.name, shapely.box(door.low - gap, door.sill - gap, door.high + gap, door.top + gap)
    for way in space.ways_out:
        if way.side == side:
            yield way.name, shapely.box(way.x[0] - gap, way.z[0] - gap, way.x[1] + gap, way.z[1] + gap)
    for obstacle in space.obstacles:
        if _stands_against(space, obstacle, left=left):
            yield obstacle.name, from_the_side(obstacle).buffer(gap, join_style="mitre")
    for i, (low, high) in enumerate(space.ribs.spans() if space.ribs else (), 1):
        yield f"rib {i}", shapely.box(low - gap, -FAR, high + gap, FAR)


def _stands_against(space: Space, obstacle: Obstacle, *, left: bool) -> bool:
    sign = 1 if left else -1
    z = (max(obstacle.z0, 0.0) + obstacle.z1) / 2
    return any(sign * y >= space.half_width(x, z, left=left) - _REACHES for x, y in obstacle.outline)


def from_the_side(obstacle: Obstacle) -> Polygon:
    """Return an obstacle as seen from the side (x, z; mm), rounded ends as chords."""
    rounding = obstacle.top_radius
    foot = obstacle.z1 - rounding
    heights = [obstacle.z0, *(foot + rounding * i / _ROUND for i in range(_ROUND + 1) if rounding), obstacle.z1]
    spans = []
    for z in sorted({max(height, obstacle.z0) for height in heights}):
        xs = [x for x, _ in obstacle.section(z)]
        spans.append((z, min(xs), max(xs)))
    return Polygon([*((high, z) for z, _, high in spans), *((low, z) for z, low, _ in reversed(spans))]).buffer(0)


def roof_shape(space: Space, x: Span, gap: float) -> BaseGeometry:
    """Return the ceiling from below (x, y; mm), `gap` off walls and ends, within the limits `x`, nothing taken out.

    Its edges are those of the walls at the height of the roof; straight between the places where roof or walls bend.
    """
    low, high = (float(at) for at in space.upright.intersection(shapely.box(-FAR, -1, FAR, 1)).bounds[::2])
    marks = sorted({low, high, *(m for m in (*(m for m, _ in space.roof), *space.left.xs, *space.right.xs))})
    places = sorted(
        {p for a, b in pairwise(m for m in marks if low <= m <= high) for p in (a, *_bends(space, a, b), b)}
    )
    left = [(at, space.half_width(at, space.roof_at(at), left=True)) for at in places]
    right = [(at, -space.half_width(at, space.roof_at(at), left=False)) for at in places]
    whole = Polygon([*right, *reversed(left)]).intersection(space.upright)
    start, end = _at_roof(space, places)
    between = shapely.box(start, -FAR, end, FAR)
    drawn_in = whole.intersection(between).buffer(-gap, join_style="mitre")
    return drawn_in.intersection(shapely.box(x[0], -FAR, x[1], FAR))


def _bends(space: Space, a: float, b: float) -> Iterator[float]:
    """Yield where between two places the roof passes a height at which a wall bends."""
    z0, z1 = space.roof_at(a), space.roof_at(b)
    for z in {*space.left.heights, *space.right.heights}:
        if min(z0, z1) < z < max(z0, z1):
            yield a + (b - a) * (z - z0) / (z1 - z0)


def _at_roof(space: Space, places: list[float]) -> Span:
    """Return where the ends that lean in meet the roof, mm."""

    def short(x: float, ends: Pairs) -> float:
        return x - interpolate(ends, space.roof_at(x))

    start = _root(lambda x: short(x, space.rear), places[0], places[-1]) if space.rear else -FAR
    end = _root(lambda x: short(x, space.front), places[0], places[-1]) if space.front else FAR
    return start, end


def _root(short: Callable[[float], float], low: float, high: float) -> float:
    """Return where a rising function passes nought, by halving."""
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if short(middle) < 0 else (low, middle)
    return (low + high) / 2


def roof_openings(space: Space, gap: float) -> Iterator[tuple[str, Polygon]]:
    """Yield by name what is taken out of the ceiling (x, y; mm), the gap with it: hatches, what reaches up to it."""
    for way in space.ways_out:
        if way.side == "roof":
            yield way.name, shapely.box(way.x[0] - gap, way.y[0] - gap, way.x[1] + gap, way.y[1] + gap)
    for obstacle in space.obstacles:
        if obstacle.z1 >= min(space.roof_at(x) for x, _ in obstacle.outline) - _REACHES:
            yield obstacle.name, Polygon(obstacle.section(obstacle.z1)).buffer(gap, join_style="mitre")
