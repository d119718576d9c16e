"""Regions of places that hang together, and the way from one into the next and out."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import shapely
from shapely.geometry import Point, Polygon

from layout.checks.removal.body import Body, Doors, Place
from layout.checks.removal.pieces import Bools
from layout.checks.removal.route import Point2, route
from layout.space.parts import Door


@dataclass(frozen=True, slots=True, eq=False)
class Region:
    """Places at one lift that hang together; `entry` is where the body came in from `parent`."""

    span: int
    plan: Polygon
    entry: Point2
    parent: Region | None


@dataclass(frozen=True, kw_only=True, slots=True)
class Found:
    """How far a body gets: through `door` along `path`, or nowhere, and then `bounds` marks what holds it, (n,)."""

    door: str | None
    path: tuple[Place, ...]
    bounds: Bools


@dataclass(frozen=True, kw_only=True, slots=True)
class Exit:
    """A door and the corners of the way to it from within a region; the last is wholly outside, mm."""

    door: Door
    points: tuple[Point2, ...]


def nearest_exit(body: Body, region: Region, doors: Doors) -> Exit | None:
    """Return the nearest of the doors that the region reaches beyond; None if none."""
    return min(_exits(body, region, doors), key=lambda out: _apart(out.points[-1], region.entry), default=None)


def _exits(body: Body, region: Region, doors: Doors) -> Iterator[Exit]:
    for door in body.doors(region.span, doors):
        beyond = region.plan.intersection(shapely.box(*body.room.exit_of(door, body.size)))
        if not beyond.is_empty:
            x, y = shapely.get_coordinates(shapely.shortest_line(beyond, Point(region.entry)))[0]
            yield Exit(door=door, points=((float(x), float(y)),))


def _apart(a: Point2, b: Point2) -> float:
    return abs(a[0] - b[0]) + abs(a[1] - b[1])


def path_through(body: Body, start: Place, region: Region, ends: tuple[Point2, ...]) -> tuple[Place, ...]:
    """Return the way from `start` through the regions that led to `region` to the first of `ends`, and along them."""
    regions = [region]
    while regions[-1].parent is not None:
        regions.append(regions[-1].parent)
    regions.reverse()
    path = [start]
    for here, goal in zip(regions, (*(r.entry for r in regions[1:]), ends[0]), strict=True):
        z = body.levels[here.span // 2]
        path.append((*here.entry, z))
        path += [(x, y, z) for x, y in route(here.plan, here.entry, goal)]
    return (*path, *((x, y, body.levels[region.span // 2]) for x, y in ends[1:]))
