"""The fewest things to take out before another: exact, by the best first.

A search over sets. From a set, all that can be taken out of it is; of those that are then stuck, some that wait for
each other only are looked at: every solution must add one of the things that hold one of them. How many more
things a set needs at least is told from rings: sets round a thing, with no thing in common, each of which holds it.
"""

from __future__ import annotations

from layout.checks.removal.judge import Judge
from layout.checks.removal.pieces import bits_of
from layout.checks.removal.sets import Queue, TooManyError, all_of, apart, common


class Orders:
    """Finds which things leave before another, with one judge.

    Parameters
    ----------
    most
        How many things at most are taken out before another.
    sets
        How many sets at most are looked at for one answer.
    leaving
        Things that are known to leave in some order (bits).
    """

    def __init__(self, judge: Judge, *, most: int, sets: int, leaving: int = 0) -> None:
        self.judge, self._most, self._sets = judge, most, sets
        self._rings: dict[int, tuple[int, ...]] = {}
        self._needs: dict[int, int] = {}
        #: Everything that leaves in some order; the rest never does.
        self.leaving = self._leave(judge.movable, leaving & judge.movable)

    def last(self, thing: int) -> int:
        """Return all that can leave before the thing if it leaves, or ever if not."""
        own = self.judge.own(thing)
        return self.leaving & ~own if own == 1 << thing else self._leave(self.judge.movable & ~own, 0)

    def first(self, thing: int) -> int:
        """Return the fewest things (bits) to take out before a thing that leaves; the file's first of equally few.

        Raises
        ------
        TooManyError
            When there are more than allowed, or finding out takes too many sets.
        """
        fewest = self._fewest(thing, 0, self._most)
        if fewest is None:
            raise TooManyError
        return self._first_of_file(thing, fewest)

    def _first_of_file(self, thing: int, fewest: int) -> int:
        """Return of all sets as small as `fewest` that let the thing out the one that comes first in the file."""
        chosen = 0
        for i in bits_of(self.leaving & ~self.judge.own(thing)):
            if chosen == fewest:
                break
            if not fewest >> i & 1:
                fewest = self._also(thing, chosen | 1 << i, fewest.bit_count()) or fewest
            chosen |= 1 << i & fewest
        return fewest

    def _also(self, thing: int, base: int, most: int) -> int | None:
        try:
            return self._fewest(thing, base, most)
        except TooManyError:
            return None

    def order(self, first: int) -> tuple[int, ...]:
        """Return the order to take these things out in: always the first of the file that gets out."""
        order: list[int] = []
        gone = 0
        while gone != first:
            order.append(next(i for i in bits_of(first & ~gone) if self.judge.way(i, gone)))
            gone |= 1 << order[-1]
        return tuple(order)

    def _leave(self, things: int, gone: int) -> int:
        """Return `gone` and all of `things` that get out one after another when those are gone."""
        while True:
            left = gone
            for i in bits_of(things & ~gone):
                if self.judge.way(i, gone):
                    gone |= 1 << i
            if gone == left:
                return gone

    def rings(self, thing: int) -> tuple[int, ...]:
        """Return sets with no thing in common, of each of which one must be gone before `thing` leaves.

        Where that is one thing, all that must be gone before it is taken to be gone too when the next set is sought.
        """
        if thing not in self._rings:
            rings: list[int] = []
            gone = 0
            while not self.judge.way(thing, gone):
                rings.append(min((h & self.leaving for h in self.judge.holds(thing, gone)), key=int.bit_count))
                gone |= self.needs(bits_of(rings[-1])[0]) if rings[-1].bit_count() == 1 else rings[-1]
            self._rings[thing] = tuple(rings)
        return self._rings[thing]

    def needs(self, thing: int) -> int:
        """Return the thing and all that must be gone before it in any case, as far as rings of one thing tell."""
        if thing not in self._needs:
            alone = [bits_of(ring)[0] for ring in self.rings(thing) if ring.bit_count() == 1]
            self._needs[thing] = all_of(self.needs(i) for i in alone) | 1 << thing
        return self._needs[thing]

    def _fewest(self, thing: int, base: int, most: int) -> int | None:
        """Return a smallest set with `base` in it that lets the thing out; None if it takes more than `most`."""
        queue = Queue(most, self._sets, self.judge.known_ways(thing))
        own, whole = self.judge.own(thing), all_of(self.needs(i) for i in bits_of(base))
        if not whole & own:
            queue.push(0, whole | self.needs(thing) & ~(1 << thing), 0)
        while queue:
            told, chosen, gone = queue.pop()
            forced, least = self._bound(thing, chosen, most)
            if forced or least > told:
                queue.push(least, chosen | forced, gone)
                continue
            gone = self._leave(chosen, gone)
            if self.judge.way(thing, gone):
                return chosen
            for i in bits_of(self._more(thing, chosen, gone)):
                if not self.needs(i) & own:
                    queue.push(told, chosen | self.needs(i), gone)
        return None

    def _bound(self, thing: int, chosen: int, most: int) -> tuple[int, int]:
        """Return what every solution with `chosen` in it has besides, and how many things it has at least."""
        own = self.judge.own(thing)
        waiting = (thing, *bits_of(chosen))
        sets = [hold & self.leaving & ~own for i in waiting for hold in self.judge.holds(i, chosen)]
        forced, least = 0, chosen.bit_count() + apart(sets)
        for together in dict.fromkeys(sets):
            choices = [self.needs(i) & ~chosen for i in bits_of(together) if not self.needs(i) & own]
            choices = [needed for needed in choices if (needed | chosen | forced).bit_count() <= most]
            if not choices:
                return 0, most + 1
            forced |= common(choices)
            least = max(least, min((needed | forced | chosen).bit_count() for needed in choices))
        return forced, least

    def _more(self, thing: int, chosen: int, gone: int) -> int:
        """Return things of which every solution with `chosen` in it has another one."""
        stuck = chosen & ~gone | 1 << thing
        usable = self.leaving & ~self.judge.own(thing)
        holds = {i: self._hold(i, gone, usable & ~stuck) & usable for i in bits_of(stuck)}
        groups = (_waiting(i, holds, stuck) for i in holds)
        return min((all_of(holds[i] for i in bits_of(group)) & ~stuck for group in groups), key=int.bit_count)

    def _hold(self, thing: int, gone: int, new: int) -> int:
        return min(self.judge.holds(thing, gone), key=lambda hold: (hold & new).bit_count())


def _waiting(thing: int, holds: dict[int, int], stuck: int) -> int:
    """Return the thing and all stuck ones that it waits for, or that these wait for."""
    group, todo = 1 << thing, [thing]
    while todo:
        new = holds[todo.pop()] & stuck & ~group
        group |= new
        todo += bits_of(new)
    return group
