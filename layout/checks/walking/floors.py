"""The free floor of a state for a body between two heights, with the doors open, and the names of what bounds it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely
from shapely.geometry import LineString, Polygon
from shapely.geometry import Point as Spot
from shapely.geometry.base import BaseGeometry

from layout.checks.walking.core import Core, Trip, core, goes, widest
from layout.checks.walking.doorways import Bounds, Doorway, Measures, Span, doorways
from layout.checks.walking.site import Site, as_solid, union_of
from layout.model.solid import Point, Solid
from layout.space.aisle import Segment, Way, free_floor, nearest_names
from layout.space.parts import Door
from layout.space.space import TOUCH, Space

_BESIDE = 1.0  # mm: what is so near to the end of a gap may be what it ends at


@dataclass(frozen=True, kw_only=True, slots=True)
class Floor:
    """Where a body between the heights `z` may be: `free`, in the room and out through `doorways`.

    `core` is for asking for ways.
    """

    site: Site
    z: Span
    free: BaseGeometry
    doorways: tuple[Doorway, ...]
    core: Core

    def less(self, taken: BaseGeometry) -> Floor:
        """Return the floor without what is taken, in the doors' openings too."""
        if taken.is_empty:
            return self
        return replace(self, free=shapely.difference(self.free, taken), core=self.core.less(taken))

    def by(self, *names: str) -> Floor:
        """Return the floor with only the doors of those names."""
        kept = tuple(d for d in self.doorways if d.door.name in names)
        if len(kept) == len(self.doorways):
            return self
        yards = shapely.union_all([d.yard for d in self.doorways if d.door.name not in names])
        return replace(self, doorways=kept, core=self.core.shut(yards))

    def from_inside(self, zone: BaseGeometry, width: float) -> BaseGeometry:
        """Return the part of a zone that somebody `width` mm wide cannot touch from before a door."""
        return zone.difference(shapely.union_all([d.touched(width / 2) for d in self.doorways]))

    def way_from_outside(self, goal: BaseGeometry, most: float, *, routed: bool = True) -> Way:
        """Return the widest way, up to `most` mm, by any of the doors to the goal; if need be without its route."""
        return widest(self._trip(goal), most, routed=routed)

    def lets_out(self, start: BaseGeometry, width: float) -> bool:
        """Return whether a body `width` mm wide comes from `start` out by any of the doors."""
        return goes(self._trip(start), width)

    def is_barred(self, start: BaseGeometry, width: float) -> bool:
        """Return whether it is certain at little cost that no body `width` mm wide or wider comes out from `start`."""
        trip = self._trip(start)
        return trip.nowhere or trip.is_barred(width)

    def bars(self, start: BaseGeometry, width: float) -> list[Span]:
        """Return spans of x between the doors and `start` that nobody `width` mm wide gets across; some of them."""
        return self._trip(start).bars(width)

    def joins(self, start: BaseGeometry, goal: BaseGeometry, width: float) -> bool:
        """Return whether a body `width` mm wide comes from one zone to the other inside the room."""
        return goes(Trip(free=self.free, core=self.by().core, start=start, goal=goal), width)

    def _trip(self, goal: BaseGeometry) -> Trip:
        outside = shapely.union_all([d.start for d in self.doorways])
        return Trip(free=self.free, core=self.core, start=outside, goal=goal)


def floor(site: Site, z: Span, doors: Iterable[Door], measures: Measures) -> Floor:
    """Return the free floor at the heights `z` of a body; worked out once for the same bodies in the same room."""
    doors = tuple(doors)
    known: list[tuple[Space, Floor]] = site.bodies.kept.setdefault(("floor", z, doors, measures), [])
    made = next((floor for space, floor in known if space is site.space), None)
    if made is None:
        made = _floor(site, z, doors, measures)
        known.append((site.space, made))
    return made


def _floor(site: Site, z: Span, doors: Iterable[Door], measures: Measures) -> Floor:
    # Of a stack, one outline is enough.
    stops = list({solid.outline: solid for solid in site.bodies.solids if reaches(solid, z)}.values())
    solids = [*stops, *(s for o in site.space.obstacles if reaches(s := as_solid(o), z))]
    ways = tuple(_less(d, solids) for d in doorways(doors, site.space, z, measures))
    free = shapely.union_all([free_floor(site.space, stops, *z), *(d.passage for d in ways)])
    return Floor(site=site, z=z, free=free, doorways=ways, core=core(free, measures.thin, measures.yard))


def _less(doorway: Doorway, solids: Iterable[Solid]) -> Doorway:
    """Return the doorway without what stands in its opening."""
    near = (s for s in solids if _meet(s.bounds, doorway.opening.bounds))
    return replace(doorway, opening=shapely.difference(doorway.opening, union_of(near)))


def reaches(solid: Solid, z: Span) -> bool:
    """Return whether the solid reaches into the heights `z`."""
    return min(solid.z1, z[1]) - max(solid.z0, z[0]) > TOUCH


def _meet(a: Bounds, b: Bounds) -> bool:
    return a[0] <= b[2] and b[0] <= a[2] and a[1] <= b[3] and b[1] <= a[3]


def ends(floor: Floor, pinch: Segment) -> tuple[str, str]:
    """Return the names of the things that the two ends of a gap touch, '' where it is none."""
    return nearest_names(pinch, _things_near(floor, pinch))


def ends_in_words(floor: Floor, pinch: Segment) -> tuple[str, str]:
    """Return what the two ends of a gap touch, in words: things, fixed obstacles, a door's side, walls."""
    fixed = [s for o in floor.site.space.obstacles if reaches(s := as_solid(o), floor.z)]
    named = [*_things_near(floor, pinch), *((f"the {s.name}", Polygon(s.outline)) for s in fixed)]
    names = nearest_names(pinch, named)
    return names[0] or _edge(floor, pinch[0]), names[1] or _edge(floor, pinch[1])


def _things_near(floor: Floor, pinch: Segment) -> list[tuple[str, BaseGeometry]]:
    around, bodies = LineString(pinch).bounds, floor.site.bodies
    low, high = np.array(around[:2]) - _BESIDE, np.array(around[2:]) + _BESIDE
    near = np.flatnonzero(((bodies.high[:, :2] >= low) & (bodies.low[:, :2] <= high)).all(axis=1)).tolist()
    return [
        (bodies.things[bodies.owner[k]].name, Polygon(bodies.solids[k].outline))
        for k in near
        if reaches(bodies.solids[k], floor.z)
    ]


def _edge(floor: Floor, end: Point) -> str:
    """Return which door's side, or else which wall, an end of a gap is at."""
    for doorway in floor.doorways:
        if shapely.box(*doorway.opening.bounds).boundary.distance(Spot(end)) <= _BESIDE:
            return f"the side of the {doorway.door.name}"
    (x, y), (x0, y0, x1, y1) = end, floor.site.space.common_room(*floor.z).bounds
    apart = {"the right wall": y - y0, "the left wall": y1 - y, "the rear end": x - x0, "the front end": x1 - x}
    return min(apart, key=lambda wall: apart[wall])


def between(floor: Floor, one: BaseGeometry, other: BaseGeometry) -> tuple[str, ...]:
    """Return the names of the things on the straight line between two zones, the nearest to the first of them first."""
    if one.is_empty or other.is_empty:
        return ()
    line, bodies = shapely.shortest_line(one, other), floor.site.bodies
    first = Spot(line.coords[0])
    crossed = [
        (Polygon(solid.outline).intersection(line), bodies.things[owner].name)
        for solid, owner in zip(bodies.solids, bodies.owner.tolist(), strict=True)
        if reaches(solid, floor.z)
    ]
    met = sorted((float(part.distance(first)), name) for part, name in crossed if part.length > TOUCH)
    return tuple(dict.fromkeys(name for _, name in met))


def from_outside(floor: Floor) -> BaseGeometry:
    """Return where the middle of the thinnest body gets from outside."""
    parts = shapely.get_parts(floor.core.room)
    return shapely.union_all([part for part in parts if any(part.intersects(d.yard) for d in floor.doorways)])


def door_of(floor: Floor, route: Sequence[Point]) -> Door:
    """Return the door that a route from outside comes in by: the last of those that it goes through.

    Where there is but one door no route is needed.
    """
    if len(floor.doorways) == 1:
        return floor.doorways[0].door
    line = LineString(route)
    apart = [(float(line.distance(shapely.box(*d.opening.bounds))), k) for k, d in enumerate(floor.doorways)]
    passed = [k for away, k in apart if away <= _BESIDE] or [min(apart)[1]]
    return floor.doorways[max(passed, key=lambda k: _last_met(line, floor.doorways[k]))].door


def _last_met(line: LineString, doorway: Doorway) -> float:
    inside = line.intersection(shapely.box(*doorway.opening.bounds).buffer(_BESIDE))
    points = shapely.points(shapely.get_coordinates(inside))
    return float(shapely.line_locate_point(line, points).max(initial=0.0))
