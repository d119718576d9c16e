"""Fixed parts of the space as seen from the side and from behind."""

from __future__ import annotations

from shapely import unary_union
from shapely.geometry import Polygon

from layout.drawing.model import Point
from layout.drawing.text_width import Box
from layout.space.parts import Obstacle
from layout.views.shapes import Seen

_ROUNDING = 8


def mostly_free(ring: tuple[Point, ...], things: tuple[Seen, ...]) -> bool:
    """Return whether things leave more than half of a fixed part to be seen."""
    part = Polygon(ring)
    return bool(part.difference(unary_union([one.shown for one in things])).area > part.area / 2)


def middle_y(obstacle: Obstacle) -> float:
    """Return how far left of the centreline the middle of the obstacle is, mm."""
    ys = [y for _, y in obstacle.outline]
    return (min(ys) + max(ys)) / 2


def side_outline(obstacle: Obstacle) -> tuple[Point, ...]:
    """Return the obstacle from the side as (x, z), its rounded top as short lines."""
    straight = obstacle.z1 - obstacle.top_radius
    rounded = [straight + obstacle.top_radius * i / _ROUNDING for i in range(1, _ROUNDING + 1)]
    heights = [obstacle.z0, straight, *(rounded if obstacle.top_radius else [])]
    spans = [(z, [x for x, _ in obstacle.section(z)]) for z in heights]
    rear = [(min(xs), z) for z, xs in spans if xs]
    front = [(max(xs), z) for z, xs in spans if xs]
    return (*rear, *reversed(front))


def rear_outline(obstacle: Obstacle, room: tuple[Point, ...]) -> tuple[Point, ...]:
    """Return the obstacle from behind as (y, z), mm, as far as it is inside the cross section `room`."""
    ys = [y for _, y in obstacle.outline]
    ring = corners((min(ys), obstacle.z0, max(ys), obstacle.z1))
    inside = Polygon(ring).intersection(Polygon(room))
    if inside.geom_type != "Polygon" or inside.is_empty:
        return ring
    return tuple((float(y), float(z)) for y, z in inside.exterior.coords[:-1])


def corners(box: Box) -> tuple[Point, ...]:
    """Return the corners of a box in order."""
    u0, z0, u1, z1 = box
    return (u0, z0), (u1, z0), (u1, z1), (u0, z1)


def bounds(ring: tuple[Point, ...]) -> Box:
    """Return the box around a ring."""
    us, zs = zip(*ring, strict=True)
    return min(us), min(zs), max(us), max(zs)
