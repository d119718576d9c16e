"""Through a door straight onto what lies behind it, as onto a bed at the rear door."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from shapely.geometry.base import BaseGeometry

from layout.checks.walking.doorways import Span, along, area, clipped, depths, widest_stretch, zone
from layout.checks.walking.site import Site, fixed_within
from layout.space.parts import Door
from layout.space.space import TOUCH


@dataclass(frozen=True, kw_only=True, slots=True)
class Reached:
    """A door that opens straight onto something: the widest free stretch of it there, mm, and what narrows that."""

    door: Door
    width: float
    stops: tuple[str, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class Limits:
    """How far behind a door a place may begin, how much height that takes, how high over it a sill may be; mm."""

    far: float
    over: float
    step: float


@dataclass(frozen=True, kw_only=True, slots=True)
class Place:
    """A place to get onto: its plan, and the height of its top, mm."""

    plan: BaseGeometry
    top: float


def widest_straight(site: Site, doors: Iterable[Door], place: Place, limits: Limits) -> Reached | None:
    """Return the door that opens the widest straight onto a place, None if none does."""
    reached = (straight(site, door, place, limits) for door in doors)
    return max((one for one in reached if one is not None), key=lambda one: one.width, default=None)


def straight(site: Site, door: Door, place: Place, limits: Limits) -> Reached | None:
    """Return how wide the door is open straight onto a place; None if it is not.

    The place begins within reach of where the room begins, and over its whole width there the height above it must be
    free; what is lower in between is reached over.
    """
    foot = max(place.top, door.sill)
    z = (foot, foot + limits.over)
    if place.plan.is_empty or z[1] > door.top + TOUCH or door.sill > place.top + limits.step:
        return None
    room, bounds = site.space.common_room(*z), site.space.bounds
    if room.is_empty:
        return None
    far = max(depths(door.side, bounds, room.bounds)[0], 0.0) + limits.far
    met = place.plan.intersection(area(door.side, bounds, (door.low, door.high), (0.0, far)))
    if met.is_empty or met.area <= TOUCH:
        return None
    return _reached(site, door, (along(door.side, met.bounds), (0.0, far)), z)


def _reached(site: Site, door: Door, plan: tuple[Span, Span], z: Span) -> Reached:
    volume = zone(door, site.space.bounds, *plan, z)
    stops = [*site.within(volume), *fixed_within(site.space, volume)]
    taken = [along(door.side, solid.bounds) for _, solid in stops]
    low, high = widest_stretch(clipped((door.low, door.high), plan[0]), taken)
    return Reached(door=door, width=high - low, stops=tuple(dict.fromkeys(name for name, _ in stops)))
