"""Where people lie, and from where a place is in reach: strips of a mattress, and the room over and beside things."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

import shapely
from shapely.geometry.base import BaseGeometry

from layout.checks.walking.site import Site, union_of
from layout.model.layout import Placed
from layout.model.solid import Solid, box, outer_box
from layout.space.space import TOUCH


@dataclass(frozen=True, kw_only=True, slots=True)
class Strip:
    """A sleeper's own share of a mattress: `body` as it lies, and `beside` its free edges, as far as one reaches."""

    sleeper: str
    body: Solid
    beside: tuple[Solid, ...]


def sleepers(things: Iterable[Placed]) -> tuple[Placed, ...]:
    """Return the mattresses that somebody sleeps on."""
    return tuple(placed for placed in things if placed.thing.sleeps)


def strips(placed: Placed, near: float) -> tuple[Strip, ...]:
    """Return the equal shares of those who sleep on the mattress, from its own left to its right.

    A share's free edges are its two ends, and for the outer two also the mattress's side: `near` mm beyond each.
    """
    own = outer_box(placed.thing.solids)
    x0, y0, x1, y1 = own.bounds
    names = placed.thing.sleeps
    each, z = (y1 - y0) / len(names), (own.z0, own.z1)
    found = []
    for k, name in enumerate(names):
        low, high = y1 - (k + 1) * each, y1 - k * each
        sides = [(low, high, x0 - near, x0), (low, high, x1, x1 + near)]
        sides += [(high, high + near, x0, x1)] if k == 0 else []
        sides += [(low - near, low, x0, x1)] if k == len(names) - 1 else []
        beside = tuple(placed.stood(box(name, (a, b), (lo, hi), z)) for lo, hi, a, b in sides)
        found.append(Strip(sleeper=name, body=placed.stood(box(name, (x0, x1), (low, high), z)), beside=beside))
    return tuple(found)


def round_about(placed: Placed, near: float) -> tuple[Solid, ...]:
    """Return the box of a thing and what lies within `near` mm of each of its four sides, as it stands."""
    own = outer_box(placed.thing.solids)
    (x0, y0, x1, y1), z = own.bounds, (own.z0, own.z1)
    sides = ((x0, x1, y0, y1), (x0 - near, x0, y0, y1), (x1, x1 + near, y0, y1), (x0, x1, y0 - near, y0),
             (x0, x1, y1, y1 + near))  # fmt: skip
    return tuple(placed.stood(box(placed.name, (a, b), (lo, hi), z)) for a, b, lo, hi in sides)


def in_reach(site: Site, body: Sequence[Solid], beside: Sequence[Solid], over: float) -> BaseGeometry:
    """Return from where the place `body` is in reach: over it and `beside` it, where `over` mm above its top are free.

    What is between and rises higher than the place parts it off.
    """
    top = max(solid.z1 for solid in body)
    above = replace(outer_box((*body, *beside)), z0=top, z1=top + over)
    taken = union_of(solid for _, solid in site.within(above))
    room = site.space.common_room(top, top + over)
    free = shapely.difference(shapely.intersection(union_of((*body, *beside)), room), taken)
    parts, own = shapely.get_parts(free), union_of(body)
    return shapely.union_all(parts[shapely.area(shapely.intersection(parts, own)) > TOUCH])
