"""The shortest shift in x and y after which a thing, with what stands on it, is inside and clear of all others."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from shapely.affinity import translate
from shapely.geometry import Point
from shapely.geometry.base import BaseGeometry

from layout.checks.context import Context
from layout.checks.curing.free_places import free_shifts, touching
from layout.checks.curing.offer import NO_SHIFT, TWO_AXES, Window, cost_of, whole
from layout.checks.curing.standing import how_carried, stands
from layout.checks.moves import Scene, is_free
from layout.checks.support import carrying_plan
from layout.model.cure import Shift3
from layout.space.space import TOUCH

_FIRST_REACH = 100.0
_WIDER = 4.0
_TRIED = 200


def level_shift(
    context: Context, tried: Sequence[Scene], lift: float, others: Sequence[float]
) -> tuple[Shift3 | None, float]:
    """Return the shortest shift in x and y after a lift, and within which reach it was looked for.

    `others` are the costs of other shifts, beyond which none is wanted.
    It is looked for in ever wider windows; one is wide enough when no shift beyond it could cost less.
    """
    widest = TWO_AXES * _room_and_back(tried, context.space.bounds)
    least, within = _least(context, tried, lift), _carrying(context, tried, lift)
    if least is None or (within is not None and within.is_empty):
        return None, widest
    reach = max(_FIRST_REACH, least * TWO_AXES)
    while True:
        found = _level_within(context, tried, lift, (reach, within))
        enough = min([*others, cost_of((*found[:2], 0.0))] if found else others, default=widest)
        if enough <= reach or reach >= widest:
            return found, reach
        reach *= _WIDER


def _least(context: Context, tried: Sequence[Scene], lift: float) -> float | None:
    """Return how long a shift must be at least to bring all into the room's bounds, mm; None if they are too large."""
    along = across = 0.0
    for solid in {solid for scene in tried for solid in scene.solids}:
        room = context.space.common_room(solid.z0 + lift, solid.z1 + lift)
        if room.is_empty:
            return None
        (x0, y0, x1, y1), (rx0, ry0, rx1, ry1) = solid.bounds, room.bounds
        slack = 2 * TOUCH
        if x1 - x0 > rx1 - rx0 + slack or y1 - y0 > ry1 - ry0 + slack:
            return None
        along, across = max(along, rx0 - x0, x1 - rx1), max(across, ry0 - y0, y1 - ry1)
    return along + across


def _room_and_back(tried: Sequence[Scene], room: Window) -> float:
    """Return how long a shift can be that ends in the room, along x and y together, mm."""
    boxes = [room, *(scene.mover.box.bounds for scene in tried)]
    x0, y0, x1, y1 = zip(*boxes, strict=True)
    return float(max(x1) - min(x0) + max(y1) - min(y0))


def _level_within(
    context: Context, tried: Sequence[Scene], lift: float, where: tuple[float, BaseGeometry | None]
) -> Shift3 | None:
    reach, within = where
    free = free_shifts(context, tried, lift, reach, within)
    points = {(whole(context, x), whole(context, y)) for x, y in touching(free, reach)}
    near = [(x, y, lift) for x, y in points if (x or y) and cost_of((x, y, 0.0)) <= reach]
    ends = _ending_inside(context, tried, free, sorted(near, key=lambda shift: (cost_of(shift), shift)))
    before = [how_carried(context, scene, NO_SHIFT) for scene in tried] if ends else []

    def cures(shift: Shift3) -> bool:
        carried = (how_carried(context, scene, shift) >= was for scene, was in zip(tried, before, strict=True))
        return is_free(context, tried, shift) and all(carried)

    return next((shift for shift in ends if cures(shift)), None)


def _ending_inside(
    context: Context, tried: Sequence[Scene], free: BaseGeometry, shifts: Sequence[Shift3]
) -> list[Shift3]:
    """Return the first few shifts that are free once rounded and bring one corner of the thing into the room."""
    if not shifts:
        return []
    solid = tried[0].mover.solids[0]
    (x, y), lift = solid.outline[0], shifts[0][2]
    room = context.space.common_room(solid.z0 + lift, solid.z1 + lift)
    points = np.array([shift[:2] for shift in shifts])
    kept = shapely.dwithin(free, shapely.points(points), TOUCH / 2)
    kept &= shapely.dwithin(room, shapely.points(np.array((x, y)) + points), TOUCH)
    return [shift for shift, ends in zip(shifts, kept, strict=True) if ends][:_TRIED]


def _carrying(context: Context, tried: Sequence[Scene], lift: float) -> BaseGeometry | None:
    """Return the shifts at which the thing, lifted, can be carried; None if it need not be, since it is not now."""
    areas = [_carrying_in(context, scene, lift) for scene in tried if lift or stands(context, scene, NO_SHIFT)]
    return shapely.intersection_all(areas) if areas else None


def _carrying_in(context: Context, scene: Scene, lift: float) -> BaseGeometry:
    body = scene.mover.box.moved(0.0, 0.0, lift)
    under = carrying_plan(context, body, [solid for placed in scene.still for solid in placed.solids])
    x0, y0, x1, y1 = body.bounds
    middle = (x0 + x1) / 2, (y0 + y1) / 2
    if body.z0 <= TOUCH or under.intersects(Point(middle)):
        return translate(under, -middle[0], -middle[1])
    # What lies across several things, or in a rim, need only lie on some of what there is at its height.
    tops = shapely.bounds(shapely.get_parts(under)).reshape(-1, 4)
    return shapely.union_all(shapely.box(tops[:, 0] - x1, tops[:, 1] - y1, tops[:, 2] - x0, tops[:, 3] - y0))
