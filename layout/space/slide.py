"""Sliding: how far solids must move along one axis to stand in the room.

A shape that slides along an axis can only begin or cease to fit where one of its corners meets an edge of
the room, or a corner of the room meets one of its edges. All those shifts are listed and tried, so the
answer is exact for any outline.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import pairwise
from typing import Literal

import shapely
from shapely.geometry.base import BaseGeometry

from layout.model.solid import Point, Solid
from layout.space.space import Space

Axis = Literal["x", "y"]
Edge = tuple[Point, Point]
_SLIVER = 1e-6
_FAR = 100_000.0


def fitting_shifts(space: Space, solids: Sequence[Solid], axis: Axis) -> tuple[float, ...]:
    """Return every shift in mm along `axis` at which all `solids` are inside and one touches, sorted."""
    shifts = {round(s, 6) for solid in solids for s in _contacts(space, solid, axis)}
    return tuple(sorted(s for s in shifts if all(space.holds(shifted(solid, axis, s)) for solid in solids)))


def shifted(solid: Solid, axis: Axis, by: float) -> Solid:
    """Return the solid moved `by` mm along `axis`."""
    return solid.moved(by, 0.0, 0.0) if axis == "x" else solid.moved(0.0, by, 0.0)


def against_wall(space: Space, solids: Sequence[Solid], *, left: bool) -> float:
    """Return the shift in mm along y that brings `solids` against the wall as it is at their own heights.

    Where they fit nowhere on their line, they are set against the bare wall, for the checks to refuse.
    """
    shifts = fitting_shifts(space, solids, "y")
    if shifts:
        return shifts[-1] if left else shifts[0]
    return _bare_wall(space, solids, left=left)


def _bare_wall(space: Space, solids: Sequence[Solid], *, left: bool) -> float:
    gaps = [
        space.half_width(x, z, left=left) - (y if left else -y)
        for solid in solids
        for x, y in solid.outline
        for z in space.bends(solid.z0, solid.z1)
    ]
    return min(gaps) if left else -min(gaps)


def _contacts(space: Space, solid: Solid, axis: Axis) -> Iterable[float]:
    room = _edges_of(space.common_room(solid.z0, solid.z1), axis)
    ring = [_turned(point, axis) for point in solid.outline]
    body = list(pairwise([*ring, ring[0]]))
    yield from _meetings(body, room)
    yield from (-s for s in _meetings(room, body))


def _meetings(moving: Sequence[Edge], still: Sequence[Edge]) -> Iterable[float]:
    """Yield the shifts along the second coordinate that bring a start of `moving` onto an edge of `still`."""
    for (x, y), _ in moving:
        for (ax, ay), (bx, by) in still:
            if min(ax, bx) - _SLIVER <= x <= max(ax, bx) + _SLIVER:
                if abs(bx - ax) <= _SLIVER:
                    yield from (ay - y, by - y)
                else:
                    yield ay + (by - ay) * (x - ax) / (bx - ax) - y


def _edges_of(room: BaseGeometry, axis: Axis) -> list[Edge]:
    edges: list[Edge] = []
    for part in shapely.get_parts(room):
        if part.geom_type == "Polygon":
            for ring in (part.exterior, *part.interiors):
                corners = [_turned((float(x), float(y)), axis) for x, y in ring.coords]
                edges += pairwise(corners)
    return edges


def _turned(point: Point, axis: Axis) -> Point:
    return point if axis == "y" else (point[1], point[0])


def clear_span(space: Space, solid: Solid, axis: Axis) -> tuple[float, float] | None:
    """Return from where to where along `axis` the room is free over the whole breadth and height of `solid`.

    Measured from the solid's middle outward, mm; None where its middle line itself is not free.
    """
    x0, y0, x1, y1 = solid.bounds
    hair = _SLIVER * 10
    low, high = (y0, y1) if axis == "y" else (x0, x1)
    middle = (low + high) / 2
    strip = (
        shapely.box(x0 + hair, -_FAR, x1 - hair, _FAR)
        if axis == "y"
        else shapely.box(-_FAR, y0 + hair, _FAR, y1 - hair)
    )
    taken = strip.difference(space.common_room(solid.z0, solid.z1))
    ends = [(b[1], b[3]) if axis == "y" else (b[0], b[2]) for b in (p.bounds for p in shapely.get_parts(taken))]
    if any(start < middle < end for start, end in ends):
        return None
    return (
        max((end for _, end in ends if end <= middle), default=-_FAR),
        min((start for start, _ in ends if start >= middle), default=_FAR),
    )
