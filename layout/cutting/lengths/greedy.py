"""Plans by simple rules, fast: pieces by length, each on the bar that it leaves least of."""

from __future__ import annotations

from bisect import bisect_left, insort
from collections.abc import Sequence
from dataclasses import dataclass

from layout.cutting.lengths.values import Load, Question


@dataclass(slots=True)
class _Open:
    """A bar being filled: what is on it, and the room that is left."""

    size: int
    room: int
    counts: list[int]


def greedy_plan(asked: Question) -> tuple[Load, ...]:
    """Return the best plan of all simple rules: fewest pieces missing, then least key."""
    longest_first = range(len(asked.kinds))
    plans = [
        cheapest_sizes(asked, _filled(asked, order, kinds))
        for order in _orders(asked)
        for kinds in (longest_first, longest_first[::-1])  # shortest first lays more pieces when bars run out
    ]
    return min(plans, key=asked.rank, default=())


def _orders(asked: Question) -> list[list[int]]:
    """Return orders in which sizes are tried when a new bar is needed: by some measure, or one size first."""
    sizes = asked.sizes
    by_rate = sorted(range(len(sizes)), key=lambda i: sizes[i].key / sizes[i].room)
    by_key = sorted(by_rate, key=lambda i: sizes[i].key)
    by_room = sorted(by_rate, key=lambda i: sizes[i].room)
    led = [[first, *(i for i in by_rate if i != first)] for first in by_rate[1:]]
    return [by_rate, by_key, by_room, *led]


def _filled(asked: Question, order: Sequence[int], kinds: Sequence[int]) -> list[_Open]:
    left = [size.limit for size in asked.sizes]
    bars: list[_Open] = []
    rooms: list[tuple[int, int]] = []
    for kind in kinds:
        weight = asked.kinds[kind].weight
        for _ in range(asked.kinds[kind].count):
            number = _tightest(rooms, weight)
            if number is None:
                size = next((i for i in order if left[i] and asked.sizes[i].room >= weight), None)
                if size is None:
                    break
                left[size] -= 1
                number = len(bars)
                bars.append(_Open(size, asked.sizes[size].room, [0] * len(asked.kinds)))
            bar = bars[number]
            bar.counts[kind] += 1
            bar.room -= weight
            insort(rooms, (bar.room, number))
    return bars


def _tightest(rooms: list[tuple[int, int]], weight: int) -> int | None:
    """Take the bar with the least room that holds `weight` off the list, and return its number."""
    at = bisect_left(rooms, (weight, -1))
    return rooms.pop(at)[1] if at < len(rooms) else None


def cheapest_sizes(asked: Question, bars: Sequence[_Open]) -> tuple[Load, ...]:
    """Return the bars, each on the cheapest size left that holds what is on it; the dearest bars choose first."""
    left = [size.limit for size in asked.sizes]
    for bar in bars:
        left[bar.size] -= 1
    loads = []
    for bar in sorted(bars, key=lambda bar: -asked.sizes[bar.size].key):
        load = asked.load(bar.counts)
        left[bar.size] += 1
        fitting = (i for i, size in enumerate(asked.sizes) if left[i] and size.room >= load)
        size = min(fitting, key=lambda i: (asked.sizes[i].key, i))
        left[size] -= 1
        loads.append(Load(size=size, counts=tuple(bar.counts)))
    return tuple(loads)
