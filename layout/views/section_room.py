"""What a plane cuts of the space itself: the free room, the build-ups round it, wheel wells, doors."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from math import copysign, pi, sin
from typing import TYPE_CHECKING

import shapely
from shapely.geometry import LineString, Polygon, box
from shapely.geometry.base import BaseGeometry

from layout.space.parts import Obstacle
from layout.space.walls import Wall
from layout.views.section_plane import Plane

if TYPE_CHECKING:
    from layout.space.space import Space

Spans = Callable[[float], Sequence[tuple[float, float]]]
_FAR = 1e6
_STEP = 20.0  # mm of height between the slices of what is bounded by curves
_ROUNDING = 16
_HAIR = 1e-3
_NEAR = 0.05
_EDGE = 1.0  # mm: floor and roof that meet a door are no part of it
_SLIVER = 1.0  # mm²
_WALL = 20.0  # mm: how deep a door is drawn in a wall that has no lining
_LEAN = 300.0  # mm: a wall leans in by less than this over the height of a door


@dataclass(frozen=True, kw_only=True, slots=True)
class RoomCut:
    """The space where a plane cuts it, mm of the figure.

    `room` is free inside the linings, `lining` what floor, walls and ceiling have taken between it and bare metal;
    `fixed` are the obstacles that are cut, by name; `beyond` those seen past the plane, with their distance from it.
    `doors` are openings that the plane passes through, `openings` those seen face on.
    """

    room: BaseGeometry
    lining: BaseGeometry
    fixed: tuple[tuple[str, BaseGeometry], ...]
    beyond: tuple[tuple[str, float, BaseGeometry], ...]
    doors: tuple[tuple[str, BaseGeometry], ...] = ()
    openings: tuple[tuple[str, BaseGeometry], ...] = ()

    @property
    def outer(self) -> BaseGeometry:
        """Return the room with all that is built up round it."""
        return shapely.union_all([self.room, self.lining])


def room_cut(space: Space, plane: Plane) -> RoomCut:
    """Return the space where an upright plane cuts it; the room is empty where the plane is outside."""
    room = upright_room(space, plane)
    fixed = tuple((o.name, part) for o in space.obstacles if (part := obstacle_cut(o, plane).intersection(room)).area)
    beyond = tuple(
        (o.name, max(plane.distances(*_reach(o, plane))[0], 0.0), obstacle_beyond(o, plane))
        for o in space.obstacles
        if plane.distances(*_reach(o, plane))[1] > _HAIR
    )
    return RoomCut(
        room=room, lining=_lining(space, plane, room), fixed=fixed, beyond=beyond,
        doors=tuple(_doors_cut(space, plane, room)), openings=tuple(_openings(space, plane)),
    )  # fmt: skip


def sliced(spans: Spans, heights: Sequence[float]) -> BaseGeometry:
    """Return the area between stretches at heights, joined by straight lines from each height to the next.

    `spans` tells the stretches at a height, `heights` rise. Where their number changes between two heights, the place
    is found by halving.
    """
    found = [part.buffer(0) for low, high in pairwise(heights) for part in _slice(spans, low, high)]
    return shapely.union_all(found, grid_size=_HAIR) if found else Polygon()


def _slice(spans: Spans, low: float, high: float) -> Iterator[Polygon]:
    """Yield the area between two heights."""
    inset = min(_HAIR, (high - low) / 4)
    under, over = spans(low + inset), spans(high - inset)
    if len(under) == len(over):
        for (a, b), (c, d) in zip(under, over, strict=True):
            yield Polygon([(a, low), (b, low), (d, high), (c, high)])
    elif high - low > 2 * _HAIR:
        middle = (low + high) / 2
        yield from _slice(spans, low, middle)
        yield from _slice(spans, middle, high)


def upright_room(space: Space, plane: Plane) -> BaseGeometry:
    """Return the free room in an upright plane, holes in the floor with it, obstacles not taken off."""
    # Roof and ends bound the room alike at every place across; what remains are walls, corners and ribs.
    tall = space.height + _STEP
    walls = replace(space, roof=((0.0, tall),), front=(), rear=())
    steps = [] if plane.axis == "x" else [_STEP * i for i in range(int(tall / _STEP) + 1)]
    between = sliced(lambda z: plane.crossings(walls.shell(z)), sorted({*steps, *space.bends(0.0, tall)}))
    deep = [
        box(low, -hole.depth, high, _HAIR)
        for hole in space.holes
        for low, high in plane.crossings(Polygon(hole.outline))
    ]
    return shapely.union_all([between.intersection(_under(space, plane)), *deep], grid_size=_HAIR).simplify(_HAIR)


def _under(space: Space, plane: Plane) -> BaseGeometry:
    """Return what is under the roof and between the ends, seen along the plane."""
    seen = Polygon(space.long_section())
    if plane.axis == "y":
        return seen
    parts = shapely.get_parts(LineString([(plane.knife, -_FAR), (plane.knife, _FAR)]).intersection(seen))
    spans = [sorted(float(z) for _, z in part.coords) for part in parts if part.length > 0]
    return shapely.union_all([box(-_FAR, span[0], _FAR, span[-1]) for span in spans])


def _lining(space: Space, plane: Plane, room: BaseGeometry) -> BaseGeometry:
    """Return what lies between the room and bare metal: linings, build-ups, ribs."""
    bare = upright_room(bare_space(space), plane)
    foot = bare.intersection(box(-_FAR, 0.0, _FAR, 3 * _HAIR))
    floor = Polygon()
    if space.floor_build_up and not foot.is_empty:
        floor = box(foot.bounds[0], -space.floor_build_up, foot.bounds[2], 0.0)
    return areas(shapely.union_all([bare, floor], grid_size=_HAIR).difference(room))


def bare_space(space: Space) -> Space:
    """Return the space without the linings of walls and ceiling and without ribs; its floor stays the finished one."""
    out = space.wall_build_up
    outline = tuple((x, y + copysign(out, y) if _on_wall(space, x, y) else y) for x, y in space.outline)
    roof = tuple((x, z + space.ceiling_build_up) for x, z in space.roof)
    return replace(
        space, outline=outline, roof=roof, ribs=None, left=_widened(space.left, out), right=_widened(space.right, out)
    )


def _widened(wall: Wall, by: float) -> Wall:
    return Wall(
        stations=tuple(replace(s, profile=tuple((z, half + by) for z, half in s.profile)) for s in wall.stations)
    )


def _on_wall(space: Space, x: float, y: float) -> bool:
    return abs(abs(y) - space.half_width(x, 0.0, left=y > 0)) < _NEAR


def areas(shape: BaseGeometry) -> BaseGeometry:
    """Return the areas of a shape, without the slivers that rounding leaves."""
    parts = [part for part in shapely.get_parts(shape) if isinstance(part, Polygon) and part.area > _SLIVER]
    return shapely.union_all(parts) if parts else Polygon()


def _reach(obstacle: Obstacle, plane: Plane) -> tuple[float, float]:
    values = [p[0 if plane.axis == "x" else 1] for p in obstacle.outline]
    return min(values), max(values)


def obstacle_cut(obstacle: Obstacle, plane: Plane) -> BaseGeometry:
    """Return what an upright plane cuts of an obstacle, its rounded top as short lines."""
    low, high = _reach(obstacle, plane)
    if not low - _EDGE < plane.at < high + _EDGE:
        return Polygon()
    return sliced(lambda z: plane.crossings(Polygon(obstacle.section(z))), _rounded_heights(obstacle))


def obstacle_beyond(obstacle: Obstacle, plane: Plane) -> BaseGeometry:
    """Return the outline of an obstacle as it is seen past the plane."""

    def spans(z: float) -> list[tuple[float, float]]:
        section = obstacle.section(z)
        values = [p[1 if plane.axis == "x" else 0] for p in section]
        return [(min(values), max(values))] if section else []

    return sliced(spans, _rounded_heights(obstacle))


def _rounded_heights(obstacle: Obstacle) -> list[float]:
    """Return the heights at which an obstacle's section is taken: closer where its top rounds off more level."""
    straight, radius = obstacle.z1 - obstacle.top_radius, obstacle.top_radius
    turns = [straight + radius * sin(pi / 2 * i / _ROUNDING) for i in range(1, _ROUNDING + 1)] if radius else []
    return sorted({obstacle.z0, straight, *turns, obstacle.z1})


def _doors_cut(space: Space, plane: Plane, room: BaseGeometry) -> Iterator[tuple[str, BaseGeometry]]:
    """Yield for each door that the plane passes through a box over the wall in which it is."""
    x0, _, x1, _ = room.bounds if not room.is_empty else (0.0, 0.0, 0.0, 0.0)
    deep = max(space.wall_build_up, _WALL)
    for door in space.doors:
        if (door.side == "rear") == (plane.axis == "y") and door.low < plane.at < door.high:
            high = door.side == "left"
            span = (x1 - _LEAN, x1 + deep) if high else (x0 - deep, x0 + _LEAN)
            yield door.name, box(span[0], door.sill + _EDGE, span[1], door.top - _EDGE)


def _openings(space: Space, plane: Plane) -> Iterator[tuple[str, BaseGeometry]]:
    """Yield the openings that are looked at face on."""
    side = {("x", -1): "rear", ("y", 1): "left", ("y", -1): "right"}.get((plane.axis, plane.toward))
    for door in space.doors:
        if door.side == side:
            yield door.name, box(door.low, door.sill, door.high, door.top)
