"""The room as a moving part meets it: doors shut on the road, and open whenever people are at the parts."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import shapely
from shapely.geometry import MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from layout.model.solid import Solid
from layout.space.parts import Door, Obstacle
from layout.space.space import TOUCH, Space
from layout.space.walls import interpolate

_FLAT = 5 * TOUCH  # what is thinner between two heights meets nothing
_OUT = 20_000.0  # how far an open door leads, mm
_SPECK = 1e-6  # mm2 of rounding
_CLOSED = "closed "  # how the obstacles are called that an open door takes away


class Room:
    """The room with its doors open, through which a part may come out within the opening; or with all shut.

    An open door frees what lies within `frame` mm of its wall.
    """

    def __init__(self, space: Space, frame: float, *, doors_open: bool) -> None:
        fixed = tuple(o for o in space.obstacles if not (doors_open and o.name.startswith(_CLOSED)))
        self.space = space.with_obstacles(fixed)
        self._outlines = [(o, Polygon(o.outline).bounds) for o in self.space.obstacles]
        self._doors = space.doors if doors_open else ()
        self._frame = frame
        self._frees: dict[tuple[float, float], BaseGeometry] = {}

    def blocks(self, solid: Solid) -> bool:
        """Return whether a solid reaches into walls, ends, roof, floor or what is fixed, by more than `TOUCH`."""
        return self.blocks_any([solid])

    def blocks_any(self, solids: Sequence[Solid]) -> bool:
        """Return whether any of `solids` does."""
        return any(not excess.is_empty for excess in self.excesses(solids))

    def excesses(self, solids: Sequence[Solid]) -> Iterator[BaseGeometry]:
        """Yield the plan of what of each of `solids` is outside the free room; those quite inside are left out."""
        high = [solid for solid in solids if solid.z1 - solid.z0 >= _FLAT]
        for solid, held in zip(high, self.space.holds_all(high), strict=True):
            if not held:
                yield self._excess(solid)

    def _excess(self, solid: Solid) -> BaseGeometry:
        shape = shapely.buffer(Polygon(solid.outline), -TOUCH, join_style="mitre")
        outside = shape.difference(self._free(solid.z0, solid.z1))
        fixed = [shape.intersection(section) for _, section in self._sections(solid)]
        parts = shapely.get_parts(shapely.union_all([outside, *fixed]))
        return MultiPolygon([p for p in parts if p.geom_type == "Polygon" and p.area > _SPECK])

    def _free(self, z0: float, z1: float) -> BaseGeometry:
        """Return the plan that is free between two heights, fixed obstacles aside where doors stand open."""
        key = (round(z0, 6), round(z1, 6))
        if key not in self._frees:
            doors = [d for d in self._doors if d.sill <= z0 + TOUCH and z1 <= d.top + TOUCH]
            ways = [self._way(door, self.space.bends(z0, z1)) for door in doors]
            self._frees[key] = shapely.union_all([self.space.common_room(*key), *ways])
        return self._frees[key]

    def _way(self, door: Door, heights: tuple[float, ...]) -> BaseGeometry:
        """Return the plan of the way through an open door, from the inside of its frame to far outside."""
        x0, y0, _, y1 = self.space.bounds
        if door.side == "rear":
            ends = [interpolate(self.space.rear, z) for z in heights] if self.space.rear else []
            return shapely.box(x0 - _OUT, door.low, max([x0, *ends]) + self._frame, door.high)
        wall = self.space.left if door.side == "left" else self.space.right
        xs = [door.low, *(x for x in wall.xs if door.low < x < door.high), door.high]
        inner = min(wall.half_width(x, z) for x in xs for z in heights) - self._frame
        if door.side == "left":
            return shapely.box(door.low, min(y1, inner), door.high, y1 + _OUT)
        return shapely.box(door.low, y0 - _OUT, door.high, max(y0, -inner))

    def _sections(self, solid: Solid) -> Iterator[tuple[Obstacle, Polygon]]:
        """Yield each fixed obstacle at the heights of the solid, with its outline where that is largest."""
        x0, y0, x1, y1 = solid.bounds
        for obstacle, (ox0, oy0, ox1, oy1) in self._outlines:
            if ox0 > x1 or ox1 < x0 or oy0 > y1 or oy1 < y0:
                continue
            if obstacle.z0 < solid.z1 - TOUCH and solid.z0 < obstacle.z1 - TOUCH:
                section = obstacle.section(max(solid.z0 + TOUCH, obstacle.z0))
                if section:
                    yield obstacle, Polygon(section)

    def named(self, solid: Solid) -> str:
        """Return what of the room is in the way of a solid that it blocks, in words."""
        excess = self._excess(solid)
        for obstacle, section in self._sections(solid):
            if excess.intersects(section):
                return obstacle.name
        x0, _, x1, _ = excess.bounds
        roof = min(self.space.roof_at(x) for x in (x0, x1, *(x for x, _ in self.space.roof if x0 < x < x1)))
        if solid.z1 > roof:
            return "the roof"
        return "the floor" if solid.z0 < 0 else self._side(solid, excess)

    def _side(self, solid: Solid, excess: BaseGeometry) -> str:
        at = excess.representative_point()
        x0, y0, x1, y1 = self.space.common_room(solid.z0, solid.z1).bounds
        beyond = {"the left wall": at.y - y1, "the right wall": y0 - at.y, "the front end": at.x - x1,
                  "the rear end": x0 - at.x}  # fmt: skip
        return max(beyond, key=lambda word: beyond[word])
