"""How a thing sets off: what must be gone before it moves at all, and where it is when it may go on freely."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from layout.checks.moves import rests_on
from layout.checks.removal.body import Body, Place
from layout.checks.removal.pieces import Bools
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

    It may be nested in one of `things`, of which those under it are enough.
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
        if alike and p.box.z0 < placed.box.z0 < p.box.z1 - TOUCH and rests_on(placed, p):
            yield p


def overs(things: Sequence[Placed]) -> Bools:
    """Return which thing (row) has its foot higher than which other (column), and shares some of its plan, (n, n)."""
    x0, y0, x1, y1, z = np.array([(*p.box.bounds, p.box.z0) for p in things], dtype=np.float64).reshape(-1, 5).T
    across = (x0[:, None] < x1) & (x0 < x1[:, None]) & (y0[:, None] < y1) & (y0 < y1[:, None])
    found: Bools = across & (z[:, None] > z)
    return found


def start_of(number: int, things: Sequence[Placed], over: Bools, body: Body, path: tuple[Place, ...]) -> Start:
    """Return how a thing (its number) sets off along `path`, in the room and among the pieces of `body`.

    `over` is what `overs` says of the things.
    """
    placed, own = things[number], 1 << number
    upper, lower = (np.flatnonzero(line).tolist() for line in (over[:, number], over[number]))
    nests = {p.name for p in _nests(placed, [things[i] for i in lower])}
    rims = sum(1 << i for i in lower if things[i].name in nests)
    first, barred = sum(1 << i for i in upper if rests_on(things[i], placed)), not _in_room(body, path[0], path[0])
    legs = tuple(pairwise(path)) or ((path[0], path[0]),)
    for leg, (a, b) in enumerate(legs):
        met = body.pieces.owners(body.hits(a, b))
        first |= met & ~rims if leg == 0 else met
        barred = barred or not _in_room(body, a, b)
    folded = placed.thing.kind == "mattress" or bool(placed.thing.sleeps)
    return Start(path=path, first=first & ~own, barred=barred, folded=folded)


def _in_room(body: Body, a: Place, b: Place) -> bool:
    """Return whether the body is in the room all the way from `a` to `b`, straight up or level."""
    if a[:2] != b[:2]:
        return body.goes_level((a, b))
    low, high = sorted((a, b), key=lambda place: place[2])
    return body.goes_up(low, high[2])
