"""Sliding: how far solids must move along one axis to stand in the room.

A shape that slides along an axis can only begin or cease to fit where one of its corners meets an edge of
the room, or a corner of the room meets one of its edges. All those shifts are listed and tried, so the
answer is exact for any outline.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from layout.model.solid import Solid
from layout.space.holding import shrunk
from layout.space.space import TOUCH, Space

Axis = Literal["x", "y"]
Floats = NDArray[np.float64]
_SLIVER = 1e-6
_FAR = 100_000.0


def fitting_shifts(space: Space, solids: Sequence[Solid], axis: Axis) -> tuple[float, ...]:
    """Return every shift in mm along `axis` at which all `solids` are inside and one touches, sorted."""
    contacts = [_contacts(space, solid, axis) for solid in solids]
    shifts = np.unique(np.round(np.concatenate([np.zeros(0), *contacts]), 6))
    for solid in solids:
        if not len(shifts):
            break
        shifts = shifts[_fits(space, solid, axis, shifts)]
    # Adding nought makes one of the two floating noughts.
    return tuple(float(shift) + 0.0 for shift in shifts)


def _fits(space: Space, solid: Solid, axis: Axis, shifts: Floats) -> NDArray[np.bool_]:
    """Return for which shifts along `axis` the solid is inside, as `Space.holds` would say."""
    ring = shapely.get_coordinates(shrunk([solid], TOUCH)[0])
    if not len(ring):
        return np.zeros(len(shifts), dtype=bool)
    moved = np.repeat(ring[None], len(shifts), axis=0)
    moved[:, :, 0 if axis == "x" else 1] += shifts[:, None]
    return np.asarray(shapely.covers(space.common_room(solid.z0, solid.z1), shapely.polygons(moved)))


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


def _contacts(space: Space, solid: Solid, axis: Axis) -> Floats:
    room, body = edges_of(space.common_room(solid.z0, solid.z1)), _ring_edges(np.array(solid.outline, dtype=float))
    if axis == "x":
        room, body = room[..., ::-1], body[..., ::-1]
    return np.concatenate([_meetings(body, room), -_meetings(room, body)])


def _meetings(moving: Floats, still: Floats) -> Floats:
    """Return the shifts along the second coordinate that bring a start of `moving` onto an edge of `still`."""
    x, y = moving[:, 0, 0, None], moving[:, 0, 1, None]
    (ax, ay), (bx, by) = still[:, 0].T, still[:, 1].T
    within = (np.minimum(ax, bx) - _SLIVER <= x) & (x <= np.maximum(ax, bx) + _SLIVER)
    upright = np.broadcast_to(np.abs(bx - ax) <= _SLIVER, within.shape)
    run = np.where(np.abs(bx - ax) <= _SLIVER, 1.0, bx - ax)
    slanted = ay + (by - ay) * (x - ax) / run - y
    return np.concatenate([slanted[within & ~upright], (ay - y)[within & upright], (by - y)[within & upright]])


def edges_of(room: BaseGeometry) -> Floats:
    """Return the edges of the areas of a geometry, holes included: n x start and end x (x, y), mm."""
    parts = shapely.get_parts(room)
    areas = parts[shapely.get_dimensions(parts) == 2]  # noqa: PLR2004 (an area has two dimensions)
    points, ring = shapely.get_coordinates(shapely.get_rings(areas), return_index=True)
    same = ring[1:] == ring[:-1]
    return np.stack([points[:-1][same], points[1:][same]], axis=1)


def _ring_edges(ring: Floats) -> Floats:
    return np.stack([ring, np.roll(ring, -1, axis=0)], axis=1)


def clear_span(space: Space, solid: Solid, axis: Axis) -> tuple[float, float] | None:
    """Return from where to where along `axis` the room is free over the whole breadth and height of `solid`.

    Measured from the solid's middle outward, mm; None where its middle line itself is not free.
    """
    return clear_spans(space, [solid], axis)[0]


def clear_spans(space: Space, solids: Sequence[Solid], axis: Axis) -> list[tuple[float, float] | None]:
    """Return the same of each of `solids`."""
    rooms = np.array([space.common_room(solid.z0, solid.z1) for solid in solids], dtype=object)
    if not len(rooms):
        return []
    bounds = np.array([solid.bounds for solid in solids], dtype=float)
    k, hair, far = "xy".index(axis), _SLIVER * 10, np.full(len(solids), _FAR)
    low, high = bounds[:, 1 - k] + hair, bounds[:, 3 - k] - hair
    strips = shapely.box(low, -far, high, far) if axis == "y" else shapely.box(-far, low, far, high)
    parts, owner = shapely.get_parts(shapely.difference(strips, rooms), return_index=True)
    ends = shapely.bounds(parts)[:, (k, k + 2)]
    middles = (bounds[:, k] + bounds[:, k + 2]) / 2
    marks = np.searchsorted(owner, np.arange(len(solids) + 1))
    return [_clear(ends[a:b], middle) for a, b, middle in zip(marks, marks[1:], middles.tolist(), strict=False)]


def _clear(taken: Floats, middle: float) -> tuple[float, float] | None:
    """Return the nearest ends of what is taken on both sides of `middle`; None if that is taken itself."""
    spans = taken.tolist()
    if any(start < middle < end for start, end in spans):
        return None
    return (
        max((end for _, end in spans if end <= middle), default=-_FAR),
        min((start for start, _ in spans if start >= middle), default=_FAR),
    )
