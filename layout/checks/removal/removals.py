"""What must be taken out before a thing, in which order, and through which door it comes out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from layout.checks.removal.body import Place
from layout.checks.removal.judge import Judge
from layout.checks.removal.order import Orders
from layout.checks.removal.pieces import Pieces, bits_of
from layout.checks.removal.room import OpenRoom
from layout.checks.removal.sets import TooManyError
from layout.model.layout import Placed
from layout.space.space import Space

ROOM = "the room"


@dataclass(frozen=True, kw_only=True, slots=True)
class Removal:
    """How one thing comes out.

    `first` are the things to take out before it, in order: the fewest, and of equally few those that come first in
    the file; in each step the first of the file that can leave goes next. It comes out through `door` (None: it does
    not, or is folded up by hand) along `path`, places of the rear right low corner of the box round it (mm), from
    where it stands to wholly outside. `possible` tells whether any order lets it out; if none does, `held_by` names
    what holds it even when all that can leave has left, none of which could be missing: things, fixed obstacles, or
    `ROOM` when walls, roof and doors alone do. `gave_up` tells that it comes out, but only after more things than
    were allowed, or more sets of things to try; `first` is empty then.
    """

    thing: str
    first: tuple[str, ...] = ()
    door: str | None = None
    path: tuple[Place, ...] = ()
    held_by: tuple[str, ...] = ()
    possible: bool = True
    gave_up: bool = False


class Removals:
    """The removal orders of the things that stand in a space, in one state.

    What was learned for one thing is used for the others. The answer does not depend on what was asked before.

    Parameters
    ----------
    space
        The room, its fixed obstacles and its doors.
    things
        What stands in it, in the file's order.
    hand
        Room beyond a thing that must be pulled one way, for the hands that hold it, mm.
    frame
        How deep a door's frame is, which an open door leaves free, mm.
    most
        How many things at most are taken out before another.
    sets
        How many sets of things at most are tried for one answer.
    leaving
        Names of things that are known to leave, since they do with more things there: taking one away shuts none in.
    room
        The space with all its doors open, if it is known from another search with that `frame`.
    """

    def __init__(
        self,
        space: Space,
        things: Sequence[Placed],
        *,
        hand: float,
        frame: float,
        most: int,
        sets: int = 3_000,
        leaving: frozenset[str] = frozenset(),
        room: OpenRoom | None = None,
    ) -> None:
        self._space, self._things = space, tuple(things)
        self._hand, self._frame, self._most, self._sets = hand, frame, most, sets
        self._known = sum(1 << i for i, placed in enumerate(things) if placed.name in leaving)
        self._pieces = Pieces(space, things)
        self._room = room
        self._numbers = {placed.name: i for i, placed in enumerate(things)}
        self._orders: Orders | None = None

    def of(self, name: str, doors: frozenset[str] | None = None) -> Removal:
        """Return how the thing comes out by one of `doors` (None: any), and what before it, by whichever door.

        Raises
        ------
        KeyError
            When no thing or no door has that name.
        """
        unknown = (doors or frozenset()) - {door.name for door in self._space.doors}
        if unknown:
            raise KeyError(f"no such door: {', '.join(sorted(unknown))}")
        number = self._numbers[name]
        if not self._things[number].thing.take_out:
            return Removal(thing=name, held_by=(name,), possible=False)
        return self._removal(name, self._found, self._found.judge.asked(number, doors))

    def comes_out(self, name: str, doors: frozenset[str] | None = None) -> bool:
        """Return whether the thing comes out by one of `doors` (None: any), after whatever it takes."""
        number = self._numbers[name]
        if not self._things[number].thing.take_out:
            return False
        thing = self._found.judge.asked(number, doors)
        return self._found.judge.way(thing, self._found.last(thing)) is not None

    @property
    def leaving(self) -> frozenset[str]:
        """Return the names of all that leave in some order, by whichever door."""
        return frozenset(self._names(bits_of(self._found.leaving)))

    @property
    def _found(self) -> Orders:
        self._orders = self._orders or self._new_orders()
        return self._orders

    def _removal(self, name: str, orders: Orders, thing: int) -> Removal:
        before = orders.last(thing)
        if orders.judge.way(thing, before) is None:
            held_by = self._names(bits_of(orders.judge.holders(thing, before)))
            return Removal(thing=name, held_by=held_by or (ROOM,), possible=False)
        try:
            first = orders.first(thing)
        except TooManyError:
            return Removal(thing=name, gave_up=True)
        way = orders.judge.best_way(thing, first)
        return Removal(thing=name, first=self._names(orders.order(first)), door=way.door, path=_plain(way.path))

    def _names(self, numbers: Sequence[int]) -> tuple[str, ...]:
        return tuple(self._pieces.names[i] for i in numbers)

    def _new_orders(self) -> Orders:
        room = self._room or OpenRoom(self._space, self._space.doors, self._frame)
        judge = Judge(self._things, self._pieces, room, self._hand)
        return Orders(judge, most=self._most, sets=self._sets, leaving=self._known)


def _plain(path: Sequence[Place]) -> tuple[Place, ...]:
    """Return the way without stops at which it goes nowhere."""
    return tuple(place for i, place in enumerate(path) if i == 0 or place != path[i - 1])
