"""Sets of things as bits, and the queue of those to look at."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import reduce
from heapq import heappop, heappush
from operator import and_, or_

from layout.checks.removal.pieces import bits_of
from layout.checks.removal.quick import Way


class TooManyError(Exception):
    """More things than allowed are in the way, or there are more sets of them than allowed to look at."""


class Queue:
    """Sets to look at, first those that may end in the fewest things; none twice, unless it ends in more than told.

    Of equal ones those are first that lack least for a known way, then the larger, then the file's first.

    Parameters
    ----------
    most
        Sets that end in more things are dropped.
    sets
        How many sets it takes.
    ways
        Known ways out of the thing that is wanted.
    """

    def __init__(self, most: int, sets: int, ways: Sequence[Way]) -> None:
        self._most, self._sets, self._ways = most, sets, ways
        self._heap: list[tuple[int, int, int, tuple[int, ...], int, int]] = []
        self._told: dict[int, int] = {}

    def __len__(self) -> int:
        return len(self._heap)

    def push(self, least: int, chosen: int, gone: int) -> None:
        """Add a set that ends in `least` things at least, and what of it is known to get out.

        Raises
        ------
        TooManyError
            When there are more sets than allowed.
        """
        least = max(least, chosen.bit_count())
        if least > self._most or self._told.get(chosen, -1) >= least:
            return
        self._told[chosen] = least
        if len(self._told) > self._sets:
            raise TooManyError
        lacks = min(((way.past & ~chosen).bit_count() for way in self._ways), default=0)
        heappush(self._heap, (least, lacks, -chosen.bit_count(), bits_of(chosen), chosen, gone))

    def pop(self) -> tuple[int, int, int]:
        """Return the least number of things that the best set may end in, the set, and what of it gets out."""
        least, _, _, _, chosen, gone = heappop(self._heap)
        return least, chosen, gone


def all_of(sets: Iterable[int]) -> int:
    """Return what is in any of the sets."""
    return reduce(or_, sets, 0)


def common(sets: Iterable[int]) -> int:
    """Return what is in each of the sets, of which there is at least one."""
    return reduce(and_, sets)


def apart(sets: Iterable[int]) -> int:
    """Return how many of the sets have no thing in common with each other, taking small ones first."""
    taken = count = 0
    for one in sorted(sets, key=lambda one: (one.bit_count(), one)):
        if not one & taken:
            taken |= one
            count += 1
    return count
