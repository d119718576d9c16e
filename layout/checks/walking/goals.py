"""Where people want to get to inside: beds, the place to cook, and the spots that the owner names."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import shapely
from shapely.geometry import Point, Polygon
from shapely.geometry.base import BaseGeometry

from layout.checks.walking.beds import in_reach, round_about
from layout.checks.walking.site import Site
from layout.checks.walking.straight import Place
from layout.model.layout import Placed
from layout.model.solid import Solid, box
from layout.model.spot import Spot
from layout.space.space import TOUCH


@dataclass(frozen=True, kw_only=True, slots=True)
class Goal:
    """Somewhere to get to: `zone` is from where it is in reach, `place` the thing itself, `body` that as a volume."""

    name: str
    zone: BaseGeometry
    place: Place
    body: Solid


@dataclass(frozen=True, kw_only=True, slots=True)
class Arm:
    """How far one reaches beside a thing, and the free height that takes over it, and over a stove in use; mm."""

    near: float
    over: float
    cook: float


def goals(site: Site, spots: tuple[Spot, ...], arm: Arm) -> Iterator[Goal]:
    """Yield each mattress that somebody sleeps on, each stove that is not stowed, and each spot."""
    for placed in site.bodies.things:
        cooks = "flame" in placed.thing.hazards and not covered(site, placed, arm.cook)
        if placed.thing.sleeps or cooks:
            yield _of_thing(site, placed, arm)
    yield from (_of_spot(site, spot, arm) for spot in spots)


def covered(site: Site, placed: Placed, over: float) -> bool:
    """Return whether something stands over the thing, less than `over` mm above it: it is stowed, or closed in."""
    above = replace(placed.box, z0=placed.box.z1, z1=placed.box.z1 + over)
    own = Polygon(placed.box.outline)
    return any(
        name != placed.name and Polygon(solid.outline).intersection(own).area > TOUCH
        for name, solid in site.within(above)
    )


def _of_thing(site: Site, placed: Placed, arm: Arm) -> Goal:
    body, *beside = round_about(placed, arm.near)
    zone = in_reach(site, (body,), beside, arm.over)
    return Goal(name=placed.name, zone=zone, place=Place(plan=Polygon(body.outline), top=body.z1), body=body)


def _of_spot(site: Site, spot: Spot, arm: Arm) -> Goal:
    """Return the spot as a goal: one stands on it, but reaches a seat from beside it."""
    (x, y), point = spot.at, Point(spot.at)
    body = box(spot.name, (x - 1.0, x + 1.0), (y - 1.0, y + 1.0), (spot.seat - 1.0, spot.seat))
    if spot.does == "stand":
        return Goal(name=spot.name, zone=point, place=Place(plan=Polygon(), top=spot.seat), body=body)
    around = shapely.get_coordinates(point.buffer(arm.near))[:-1]
    ring = replace(body, outline=tuple((float(a), float(b)) for a, b in around))
    zone = in_reach(site, (body,), (ring,), arm.over)
    return Goal(name=spot.name, zone=zone, place=Place(plan=Polygon(ring.outline), top=spot.seat), body=body)
