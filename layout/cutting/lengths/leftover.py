"""The same bars, with their leftovers gathered on one of them: one long leftover is worth more than many short ones."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from layout.cutting.lengths.try_all import try_all
from layout.cutting.lengths.values import Counts, Load, Question

_FEW_PIECES = 30
_NODES = 1_500
_ROUNDS = 200


def with_long_leftover(asked: Question, plan: tuple[Load, ...]) -> tuple[Load, ...]:
    """Return a plan of the same rank whose longest leftover is as long as was found: not proven the longest."""
    best = max([plan, *_gathered(asked, plan)], key=lambda loads: _longest(asked, loads))
    if asked.pieces <= _FEW_PIECES:
        best = _by_trying(asked, best)
    return best if asked.rank(best) == asked.rank(plan) else plan


def _longest(asked: Question, loads: Sequence[Load]) -> int:
    return max((_room(asked, load) for load in loads), default=0)


def _room(asked: Question, load: Load) -> int:
    return asked.sizes[load.size].room - asked.load(load.counts)


def _gathered(asked: Question, plan: tuple[Load, ...]) -> Iterator[tuple[Load, ...]]:
    """Yield, for each size, the plan with the emptiest bar of that size emptied further."""
    for size in sorted({load.size for load in plan}):
        target = max((i for i, load in enumerate(plan) if load.size == size), key=lambda i: _room(asked, plan[i]))
        loads = list(plan)
        for _ in range(_ROUNDS):
            if not _eased(asked, loads, target):
                break
        yield tuple(load for load in loads if any(load.counts))


def _eased(asked: Question, loads: list[Load], target: int) -> bool:
    """Move a piece of the target to another bar, or exchange it for a shorter one: the change that gains most."""
    best, change = 0, None
    mine = loads[target].counts
    for other, load in enumerate(loads):
        room = _room(asked, load)
        for give in (i for i, n in enumerate(mine) if n and other != target):
            weight = asked.kinds[give].weight
            for take in (-1, *(i for i, n in enumerate(load.counts) if n and i > give)):
                back = asked.kinds[take].weight if take >= 0 else 0
                if best < weight - back <= room:
                    best, change = weight - back, (other, give, take)
    if change is None:
        return False
    other, give, take = change
    loads[target] = Load(size=loads[target].size, counts=_changed(mine, give, -1, take))
    loads[other] = Load(size=loads[other].size, counts=_changed(loads[other].counts, give, 1, take))
    return True


def _changed(counts: Counts, give: int, by: int, take: int) -> Counts:
    return tuple(n + by * (i == give) - by * (i == take) for i, n in enumerate(counts))


def _by_trying(asked: Question, plan: tuple[Load, ...]) -> tuple[Load, ...]:
    """Shorten one bar of each size as far as all ways to lay the pieces allow, halving the span of lengths."""
    best = plan
    for size in sorted({load.size for load in plan}):
        best = _shortened(asked, best, size)
    return best


def _shortened(asked: Question, best: tuple[Load, ...], size: int) -> tuple[Load, ...]:
    bars, missing = asked.bars(best), sum(asked.missing(best))
    rooms = [asked.sizes[i].room for i, n in enumerate(bars) for _ in range(n)]
    grid = math.gcd(*(kind.weight for kind in asked.kinds))
    # On this bar `low` is known to be too short; more than `high` would be no longer leftover than the best.
    low, high = -1, (asked.sizes[size].room - _longest(asked, best) - 1) // grid
    while low < high:
        middle = (low + high + 1) // 2
        rooms[sum(bars[:size])] = middle * grid
        found = try_all(asked, bars, missing, _NODES, rooms).loads
        if found is None:
            low = middle
        else:
            best, high = found, middle - 1
    return best
