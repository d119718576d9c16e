"""How a thing sets off: what must be gone before it moves at all, and where it is when it may go on freely."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import shapely
from shapely.geometry import Point

from layout.checks.moves import rests_on
from layout.checks.removal.body import Body, Place
from layout.model.layout import Placed
from layout.space.space import TOUCH


@dataclass(frozen=True, kw_only=True, slots=True)
class Start:
    """The first moves of a thing.

    `path` goes from where it stands to where it may go on freely, as places of its low corner (mm). Each owner of
    `first` (bits) must be gone for it, fixed ones too. `barred` is whether the room itself is in the way; `folded`
    whether the thing is out after these moves, as a mattress is.
    """

    path: tuple[Place, ...]
    first: int
    barred: bool
    folded: bool


def place_of(placed: Placed) -> Place:
    """Return the low corner of the thing where it stands: rear, right, foot, mm."""
    x0, y0, _, _ = placed.box.bounds
    return x0, y0, placed.box.z0


def size_of(placed: Placed) -> Place:
    """Return length, width and height of the box round the thing as it stands, mm."""
    x0, y0, x1, y1 = placed.box.bounds
    return x1 - x0, y1 - y0, placed.box.z1 - placed.box.z0


def first_places(placed: Placed, things: Sequence[Placed], hand: float) -> tuple[Place, ...]:
    """Return the thing's first moves: out of the rim that it is nested in, then the way that it must go.

    A thing that comes out only one way goes its own length, width or height and `hand` mm that way.
    """
    path = [place_of(placed)]
    rim = max((p.box.z1 for p in _nests(placed, things)), default=path[0][2])
    if rim > path[0][2] + TOUCH:
        path.append((path[0][0], path[0][1], rim))
    if placed.thing.take_out not in (None, "any"):
        x, y, z = path[-1]
        dx, dy, dz = _first_move(placed, hand)
        path.append((x + dx, y + dy, z + dz))
    return tuple(path)


def _first_move(placed: Placed, hand: float) -> Place:
    length, width, height = (size + hand for size in size_of(placed))
    return {
        "up": (0.0, 0.0, height),
        "front": (length, 0.0, 0.0),
        "rear": (-length, 0.0, 0.0),
        "left": (0.0, width, 0.0),
        "right": (0.0, -width, 0.0),
    }[str(placed.thing.take_out)]


def _nests(placed: Placed, things: Sequence[Placed]) -> Iterator[Placed]:
    """Yield the equal bins whose rims the thing stands in."""
    for p in things:
        alike = p is not placed and p.thing.group == placed.thing.group and p.thing.stack_step > 0
        if alike and p.box.z0 < placed.box.z0 < p.box.z1 - TOUCH and _over(placed, p) and rests_on(placed, p):
            yield p


def riders_of(placed: Placed, things: Sequence[Placed]) -> int:
    """Return what stands on the thing, as bits by place in `things`."""
    found = (i for i, p in enumerate(things) if p is not placed and _over(p, placed) and rests_on(p, placed))
    return sum(1 << i for i in found)


def _over(upper: Placed, lower: Placed) -> bool:
    (ax0, ay0, ax1, ay1), (bx0, by0, bx1, by1) = upper.box.bounds, lower.box.bounds
    return upper.box.z0 > lower.box.z0 and ax0 < bx1 and bx0 < ax1 and ay0 < by1 and by0 < ay1


def start_of(placed: Placed, things: Sequence[Placed], body: Body, path: tuple[Place, ...]) -> Start:
    """Return how the thing sets off along `path`, in the room and among the pieces of `body`."""
    own = 1 << next(i for i, p in enumerate(things) if p is placed)
    nests = {p.name for p in _nests(placed, things)}
    rims = sum(1 << i for i, p in enumerate(things) if p.name in nests)
    first, barred = riders_of(placed, things), not _in_room(body, path[0], path[0])
    legs = tuple(pairwise(path)) or ((path[0], path[0]),)
    for leg, (a, b) in enumerate(legs):
        met = body.pieces.owners(body.hits(a, b))
        first |= met & ~rims if leg == 0 else met
        barred = barred or not _in_room(body, a, b)
    folded = placed.thing.kind == "mattress" or bool(placed.thing.sleeps)
    return Start(path=path, first=first & ~own, barred=barred, folded=folded)


def _in_room(body: Body, a: Place, b: Place) -> bool:
    """Return whether the body is in the room all the way from `a` to `b`, straight up or level."""
    low, high = body.level(min(a[2], b[2])), body.level(max(a[2], b[2]))
    if a[:2] != b[:2]:
        return bool(body.places(low).covers(shapely.LineString([a[:2], b[:2]])))
    return all(body.places(span).covers(Point(a[:2])) for span in range(low, high + 1))
