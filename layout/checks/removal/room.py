"""The room with some of its doors open, without what stands in it."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

import shapely
from shapely.geometry import MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from layout.checks.removal.grown import Size, eroded
from layout.space.parts import Door
from layout.space.space import TOUCH, Space
from layout.space.walls import interpolate

_OUT = 20_000.0
_SAME = 1e-9
_SPECK = 1e-6  # mm²; the least place that things exactly against each other leave is 4 TOUCH²


def polygons(plan: BaseGeometry) -> list[Polygon]:
    """Return the parts of a plan that have an area, without its stray lines, points and specks of rounding."""
    parts = shapely.get_parts(plan)
    return [part for part in parts[shapely.area(parts) > _SPECK] if part.geom_type == "Polygon"]


class OpenRoom:
    """The walls, ends, roof and floor of a space with `doors` open, fixed obstacles not taken off.

    An open door leads far outside between its low and high end, from its sill to its top. It frees what lies within
    `frame` mm of the wall as it is there at those heights: the frame, the lining, a rounded corner.
    """

    def __init__(self, space: Space, doors: tuple[Door, ...], frame: float) -> None:
        self.space, self.doors, self._frame = space, doors, frame
        self._bounds = space.bounds
        self._commons: dict[tuple[float, float], BaseGeometry] = {}
        self._alike: dict[bytes, BaseGeometry] = {}
        self._narrow: dict[str, BaseGeometry] = {}
        self._eroded: dict[tuple[int, Size], BaseGeometry] = {}

    def common(self, low: float, high: float) -> BaseGeometry:
        """Return the plan that is free at every height from `low` to `high` mm; equal plans are the same object."""
        key = (round(low, 6), round(high, 6))
        if key not in self._commons:
            plans = [self._between(a, b) for a, b in self._spans(low + TOUCH, high - TOUCH)]
            plan = MultiPolygon(polygons(shapely.intersection_all(plans)))
            self._commons[key] = self._alike.setdefault(shapely.to_wkb(shapely.normalize(plan)), plan)
        return self._commons[key]

    @property
    def roof(self) -> float:
        """Return how high the room is where it is lowest, mm."""
        return min(z for _, z in self.space.roof)

    def narrow(self, door: Door | None) -> BaseGeometry:
        """Return a plan that is free at every height from the floor to the lowest roof, with only a door open, if any.

        With the door it holds for heights between its sill and its top. No larger than `common` of such heights.
        """
        name = door.name if door else ""
        if name not in self._narrow:
            heights = self.space.bends(0.0, self.roof)
            plan = shapely.intersection_all([self.space.shell(z) for z in heights])
            if door is not None:
                ways = [self._way(door, (z,)) for z in self.space.bends(door.sill, door.top)]
                plan = shapely.union(plan, shapely.intersection_all(ways))
            self._narrow[name] = MultiPolygon(polygons(plan))
        return self._narrow[name]

    def places(self, plan: BaseGeometry, size: Size) -> BaseGeometry:
        """Return the places at which a body of `size` lies in a plan that this room gave, prepared."""
        key = (id(plan), size)
        if key not in self._eroded:
            self._eroded[key] = eroded(plan, size)
            shapely.prepare(self._eroded[key])
        return self._eroded[key]

    def fits(self, door: Door, low: float, high: float) -> bool:
        """Return whether what stands between these heights in mm passes between sill and top."""
        return door.sill - TOUCH - _SAME <= low and high <= door.top + TOUCH + _SAME

    def _spans(self, low: float, high: float) -> Iterator[tuple[float, float]]:
        """Yield the spans of height over which the same doors lie."""
        ends = {e for door in self.doors for e in (door.sill, door.top) if low + _SAME < e < high - _SAME}
        return pairwise((low, *sorted(ends), high))

    def _between(self, low: float, high: float) -> BaseGeometry:
        heights = self.space.bends(low, high)
        shell = shapely.intersection_all([self.space.shell(z) for z in heights])
        ways = [self._way(d, heights) for d in self.doors if d.sill <= low + _SAME and high <= d.top + _SAME]
        return shapely.union_all([shell, *ways]) if ways else shell

    def _way(self, door: Door, heights: tuple[float, ...]) -> BaseGeometry:
        """Return the plan of the way through the open door, from the inside of its frame to far outside."""
        x0, y0, _, y1 = self._bounds
        if door.side == "rear":
            ends = [interpolate(self.space.rear, z) for z in heights] if self.space.rear else [x0]
            return shapely.box(x0 - _OUT, door.low, max(x0, *ends) + self._frame, door.high)
        inner = self._wall(door, heights) - self._frame
        if door.side == "left":
            return shapely.box(door.low, min(y1, inner), door.high, y1 + _OUT)
        return shapely.box(door.low, y0 - _OUT, door.high, max(y0, -inner))

    def _wall(self, door: Door, heights: tuple[float, ...]) -> float:
        """Return how far the wall stands from the centreline beside the door, where it comes in most, mm."""
        wall = self.space.left if door.side == "left" else self.space.right
        xs = [door.low, *(x for x in wall.xs if door.low < x < door.high), door.high]
        return min(wall.half_width(x, z) for x in xs for z in heights)

    def exit_of(self, door: Door, size: tuple[float, float, float]) -> tuple[float, float, float, float]:
        """Return x0, y0, x1, y1 of the places of its low corner at which a body of `size` is wholly outside, mm."""
        x0, y0, _, y1 = self._bounds
        length, width, _ = size
        if door.side == "rear":
            return x0 - _OUT, door.low - TOUCH, x0 - length, door.high - width + TOUCH
        low, high = door.low - TOUCH, door.high - length + TOUCH
        return (low, y1, high, y1 + _OUT) if door.side == "left" else (low, y0 - _OUT, high, y0 - width)
