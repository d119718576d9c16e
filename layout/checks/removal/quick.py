"""Plain ways out, told before any search: up or down, across to a door, and straight out through it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from math import dist

import numpy as np

from layout.checks.removal.body import Body, Doors, Place
from layout.checks.removal.grown import Floats
from layout.space.parts import Door
from layout.space.space import TOUCH


@dataclass(frozen=True, kw_only=True, slots=True)
class Way:
    """A way out through `door` (None: taken up by hand), open when all owners in `past` are gone (bits).

    `path` are places of the thing's low corner, mm, from where it stands.
    """

    door: str | None
    path: tuple[Place, ...]
    past: int


def plain_ways(body: Body, path: tuple[Place, ...], doors: Doors, own: int, movable: int) -> tuple[Way, ...]:
    """Return plain ways out by `doors` for the thing `own` from the end of `path`, past `movable` things (bits).

    The best comes first: what passes the fewest things, then the shortest. Left out is a way past all that a better
    one passes, and each that meets what never moves, or the room.
    """
    ways: list[Way] = []
    for way in sorted(_ways(body, path, doors, own, movable), key=lambda w: (w.past.bit_count(), length_of(w))):
        worse = any(better.past & ~way.past == 0 for better in ways)
        if not worse and _in_room(body, way, len(path)):
            ways.append(way)
    return tuple(ways)


def _ways(body: Body, path: tuple[Place, ...], doors: Doors, own: int, movable: int) -> Iterator[Way]:
    start = path[-1]
    for door, levels in body.lifts(doors):
        ways = _tries(body, start, door, levels)
        for way, past in zip(ways, _past(body, ways), strict=True):
            if past & ~(movable | own) == 0:
                places = [(x, y, z) for x, y, z in way[1:].tolist()]
                yield Way(door=door.name, path=(*path, *places), past=past & ~own)


def _tries(body: Body, start: Place, door: Door, levels: Floats) -> Floats:
    """Return for each lift the way there, straight up or down, then across to a door, then out: (ways, 4, 3)."""
    x, y, _ = start
    x0, y0, x1, y1 = body.room.exit_of(door, body.size)
    if x0 > x1 or y0 > y1:
        return np.zeros((0, 4, 3))
    across = (x, into(y, y0, y1)) if door.side == "rear" else (into(x, x0, x1), y)
    out = min(max(across[0], x0), x1), min(max(across[1], y0), y1)
    ways = np.empty((len(levels), 4, 3))
    ways[:, 0] = start
    ways[:, 1:, :2] = (x, y), across, out
    ways[:, 1:, 2] = levels[:, None]
    return ways


def into(at: float, low: float, high: float) -> float:
    """Return the place nearest `at` that lies in the opening, without the slack that touching gives."""
    return min(max(at, low + TOUCH), high - TOUCH)


def _past(body: Body, points: Floats) -> list[int]:
    """Return the owners that each way meets: every leg runs along one axis, so it sweeps a box of places."""
    if not len(points):
        return []
    low, high = np.minimum(points[:, :-1], points[:, 1:]), np.maximum(points[:, :-1], points[:, 1:])
    boxes = body.boxes
    near = np.flatnonzero(
        (low.min(axis=(0, 1)) < boxes[:, 3:]).all(axis=1) & (high.max(axis=(0, 1)) > boxes[:, :3]).all(axis=1)
    )
    meets = np.zeros((len(points), len(boxes)), dtype=np.bool_)
    along = [
        (low[:, :, axis, None] < boxes[near, 3 + axis]) & (high[:, :, axis, None] > boxes[near, axis])
        for axis in range(3)
    ]
    meets[:, near] = (along[0] & along[1] & along[2]).any(axis=1)
    return body.pieces.owners_each(meets)


def _in_room(body: Body, way: Way, lead: int) -> bool:
    """Return whether the body stays in the room after the `lead` first places of a way: upright first, then level."""
    foot, upper, *on = way.path[lead - 1 :]
    door = next(door for door in body.room.doors if door.name == way.door)
    low, high = sorted((foot, upper), key=lambda place: place[2])
    return body.goes_level((upper, *on), door) and body.goes_up(low, high[2])


def length_of(way: Way) -> float:
    """Return how far the thing goes on a way, mm."""
    return sum(dist(a, b) for a, b in pairwise(way.path))
