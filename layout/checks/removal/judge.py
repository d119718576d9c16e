"""What frees a thing and what holds it, learned as it is asked, and never worked out twice.

Two kinds of facts are kept of each thing, as sets of others. It gets out whenever all that a known way passes are
gone. It is held as long as all that bound a region which it was shut in are there, whatever else is gone: the region
depends on them alone. Taking a thing out never shuts another in.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from layout.checks.removal.body import Body, Doors, Place
from layout.checks.removal.explore import explore
from layout.checks.removal.pieces import Pieces, bits_of
from layout.checks.removal.quick import Way, length_of, plain_ways
from layout.checks.removal.regions import Found
from layout.checks.removal.room import OpenRoom
from layout.checks.removal.start import Start, first_places, overs, size_of, start_of
from layout.model.layout import Placed

# Of a thing that was told held so often, what holds it is thinned out: dear, but it shortens a long search much.
_MANY = 8


@dataclass(kw_only=True, slots=True, eq=False)
class _Case:
    """What is known of one thing: plain `ways` and others found; `holds`, sets (bits) that hold it while all there."""

    thing: int
    doors: Doors
    body: Body
    start: Start
    plain: tuple[Way, ...]
    ways: list[Way]
    holds: list[int]


class Judge:
    """Says whether a thing gets out of `room` when others are gone; all are bits, as in `pieces`.

    A thing that is to come out by certain doors has a second number, see `asked`, which is never among those gone.

    Parameters
    ----------
    things
        What stands in the room, as in `pieces`.
    hand
        The room beyond a thing that must be pulled one way, mm.
    """

    def __init__(self, things: Sequence[Placed], pieces: Pieces, room: OpenRoom, hand: float) -> None:
        self.things, self.pieces, self._room = tuple(things), pieces, room
        self.movable = sum(1 << i for i, p in enumerate(things) if p.thing.take_out)
        self._there = (1 << len(pieces.names)) - 1 & ~self._open_leaves()
        self._over = overs(things)
        under = ([things[k] for k in np.flatnonzero(line).tolist()] for line in self._over)
        self._firsts = [first_places(p, lower, hand) for p, lower in zip(things, under, strict=True)]
        self._sizes = [_size(p) for p in things]
        self._bodies: dict[Place, Body] = {}
        self._asked: dict[tuple[int, Doors], int] = {}
        self._cases: dict[int, _Case] = {}
        self._explored: dict[tuple[int, int, bool], Found] = {}

    def _open_leaves(self) -> int:
        """Return the obstacles that are closed leaves of doors: each is opened when something is to pass."""
        leaves = {f"closed {door.name}" for door in self._room.doors}
        return sum(1 << i for i, n in enumerate(self.pieces.names) if i >= len(self.things) and n in leaves)

    def asked(self, thing: int, doors: Doors) -> int:
        """Return a number for the thing that is to come out by one of these doors; its own for any door."""
        if doors is None or doors >= {door.name for door in self._room.doors}:
            return thing
        number = self._asked.setdefault((thing, doors), len(self.pieces.names) + len(self._asked))
        if number not in self._cases:
            self._cases[number] = self._new_case(thing, doors)
        return number

    def own(self, thing: int) -> int:
        """Return the thing itself as a bit, by whichever doors it is to come out."""
        return 1 << self._case(thing).thing

    def way(self, thing: int, gone: int) -> Way | None:
        """Return a way out for the thing (its number) when `gone` (bits) are gone; None if it is held."""
        case = self._case(thing)
        if any(not hold & gone for hold in case.holds):
            return None
        known = next((way for way in case.ways if not way.past & ~gone), None)
        return known or self._learn(thing, gone)

    def best_way(self, thing: int, gone: int) -> Way:
        """Return the shortest plain way of a thing that gets out, or else one that depends on `gone` alone."""
        case = self._case(thing)
        plain = [way for way in case.plain if not way.past & ~gone]
        # Of several doors the one is told that is nearest, which a shortcut need not take.
        one_door = len(self._room.doors) == 1 or (case.doors is not None and len(case.doors) == 1)
        return min(plain, key=length_of, default=None) or self._way_of(thing, gone, shortcut=one_door)

    def holds(self, thing: int, gone: int) -> list[int]:
        """Return all known sets that hold the thing when `gone` are gone; none if it is not known to be held."""
        return [hold for hold in self._case(thing).holds if not hold & gone]

    def known_ways(self, thing: int) -> Sequence[Way]:
        """Return the ways out that are known so far."""
        return self._case(thing).ways

    def holders(self, thing: int, gone: int) -> int:
        """Return few owners that hold a thing when `gone` are gone: none of them can be left out.

        None at all when the room alone holds it. Those that can be taken out are left out first.
        """
        held = self._held(thing, self._there & ~gone) or 0
        return self._thinned(thing, self._thinned(thing, held, self.movable), self._there & ~self.movable)

    def _thinned(self, thing: int, held: int, some: int) -> int:
        """Return `held`, which holds the thing, without those of `some` that are not needed for it."""
        for i in bits_of(held & some):
            less = self._held(thing, held & ~(1 << i)) if held >> i & 1 else None
            held = held if less is None else less
        return held

    def _held(self, thing: int, there: int) -> int | None:
        """Return what bounds the thing when only `there` are there, None if it gets out."""
        start = self._case(thing).start
        first = start.first & there
        if start.barred or first:
            return first & -first
        if start.folded:
            return None
        found = self._explore(thing, there)
        return self.pieces.owners(found.bounds) if found.door is None else None

    def _learn(self, thing: int, gone: int) -> Way | None:
        case, found = self._case(thing), self._explore(thing, self._there & ~gone)
        if found.door is None:
            hold = self.pieces.owners(found.bounds)
            case.holds.append(hold if len(case.holds) < _MANY else self._thinned(thing, hold, self.movable))
            return None
        case.ways.append(self._way_of(thing, gone))
        return case.ways[-1]

    def _way_of(self, thing: int, gone: int, *, shortcut: bool = True) -> Way:
        """Return the way that a search finds; of those gone, it passes what it would reach into."""
        case = self._case(thing)
        found = self._explore(thing, self._there & ~gone, shortcut=shortcut)
        past = self.pieces.owners(case.body.hits_along(found.path)) | case.start.first
        return Way(door=found.door, path=(*case.start.path[:-1], *found.path), past=past & gone)

    def _explore(self, thing: int, there: int, *, shortcut: bool = True) -> Found:
        case = self._case(thing)
        there &= ~(1 << case.thing)
        key = (thing, there, shortcut)
        if key not in self._explored:
            present, start = self.pieces.among(there), case.start.path[-1]
            self._explored[key] = explore(case.body, start, present, case.doors, shortcut=shortcut)
        return self._explored[key]

    def _case(self, thing: int) -> _Case:
        if thing not in self._cases:
            self._cases[thing] = self._new_case(thing, None)
        return self._cases[thing]

    def _new_case(self, thing: int, doors: Doors) -> _Case:
        body = self._body(thing)
        start = start_of(thing, self.things, self._over, body, self._firsts[thing])
        start = replace(start, first=start.first & self._there)
        holds = [0] if start.barred else [1 << i for i in bits_of(start.first)]
        if start.folded:
            plain: tuple[Way, ...] = (Way(door=None, path=start.path, past=start.first),)
        else:
            plain = plain_ways(body, start.path, doors, 1 << thing | ~self._there, self.movable)
        return _Case(thing=thing, doors=doors, body=body, start=start, plain=plain, ways=list(plain), holds=holds)

    def _body(self, thing: int) -> Body:
        """Return the body of the thing's size; things of one size share it."""
        size = self._sizes[thing]
        if size not in self._bodies:
            starts = {z for firsts, s in zip(self._firsts, self._sizes, strict=True) if s == size for _, _, z in firsts}
            self._bodies[size] = Body(size, self._room, self.pieces, starts)
        return self._bodies[size]


def _size(placed: Placed) -> Place:
    x, y, z = size_of(placed)
    return round(x, 6), round(y, 6), round(z, 6)
