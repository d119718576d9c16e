"""The filling of a bar that is worth most: exact, in whole numbers."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from layout.cutting.lengths.values import Counts, Question

Filling = tuple[int, Counts]
"""What a filling is worth, and how many pieces of each kind are on it."""

# Tables of at most so many numbers (64 MB): above, the states are kept one by one.
_CELLS = 8_000_000
_STATES = 10_000


def best_fillings(asked: Question, worth: Sequence[int]) -> list[Filling] | None:
    """Return the filling worth most for each size of bar, exactly; None when that takes too much work.

    Takes numpy; use `best_by_states` where a slow import does not pay. `worth` must be below 2^40.
    """
    if not fine_grid(asked):
        return _by_table(asked, worth, *_grid(asked))
    found = [best_by_states(asked, worth, size.room) for size in asked.sizes]
    sure = [filling for filling in found if filling is not None]
    return sure if len(sure) == len(found) else None


def fine_grid(asked: Question) -> bool:
    """Return whether the lengths have so small a common measure that a table of all rooms is too large."""
    return _grid(asked)[1] * len(asked.kinds) > _CELLS


def _grid(asked: Question) -> tuple[int, int]:
    """Return the common measure of all weights, and how often the longest bar holds it."""
    grid = math.gcd(*(kind.weight for kind in asked.kinds))
    return grid, max(size.room for size in asked.sizes) // grid


def good_fillings(asked: Question, worth: Sequence[int]) -> list[Filling]:
    """Return a right filling for each size of bar, as good as a coarse grid shows: weights up, rooms down."""
    cells = _CELLS // (4 * len(asked.kinds))
    grid = -(-max(size.room for size in asked.sizes) // cells)
    return _by_table(asked, worth, grid, cells)


def _by_table(asked: Question, worth: Sequence[int], grid: int, cells: int) -> list[Filling]:
    """Return the best fillings by a table over all rooms, kind after kind; weights round up to the grid."""
    import numpy as np

    tables = [np.zeros(cells + 1, dtype=np.int64)]
    weights = [-(-kind.weight // grid) for kind in asked.kinds]
    for kind, weight, each in zip(asked.kinds, weights, worth, strict=True):
        table = tables[-1]
        for several in _parcels(min(kind.count, cells // weight)) if each > 0 else ():
            more = table.copy()
            heavy = several * weight
            np.maximum(table[heavy:], table[: cells + 1 - heavy] + several * each, out=more[heavy:])
            table = more
        tables.append(table)
    rooms = [min(cells, size.room // grid) for size in asked.sizes]
    return [(int(tables[-1][room]), _traced(tables, weights, worth, room)) for room in rooms]


def _parcels(count: int) -> list[int]:
    """Return parcels whose sums are 0 to `count` and nothing else: 1, 2, 4 and so on, and a rest."""
    parcels, size = [], 1
    while count:
        parcels.append(min(size, count))
        count -= parcels[-1]
        size *= 2
    return parcels


def _traced(tables: Sequence[Any], weights: Sequence[int], worth: Sequence[int], room: int) -> Counts:
    counts = []
    for i in range(len(weights) - 1, -1, -1):
        taken = 0
        while tables[i + 1][room] != tables[i][room - taken * weights[i]] + taken * worth[i]:
            taken += 1
        counts.append(taken)
        room -= taken * weights[i]
    return tuple(reversed(counts))


@dataclass(frozen=True, slots=True)
class _State:
    weight: int
    worth: int
    kind: int = -1
    taken: int = 0
    before: _State | None = None


def best_by_states(asked: Question, worth: Sequence[int], room: int, states: int = _STATES) -> Filling | None:
    """Return the filling of `room` ticks worth most; None when more than `states` have to be kept.

    A state is kept only when it is worth more than every lighter one, and may still beat the best known.
    """
    fitting = (i for i, kind in enumerate(asked.kinds) if worth[i] > 0 and kind.weight <= room)
    order = sorted(fitting, key=lambda i: (-Fraction(worth[i], asked.kinds[i].weight), i))
    kept, best = [_State(0, 0)], _State(0, 0)
    for place, i in enumerate(order):
        kind = asked.kinds[i]
        grown = [
            _State(state.weight + taken * kind.weight, state.worth + taken * worth[i], i, taken, state)
            for state in kept
            for taken in range(1, min(kind.count, (room - state.weight) // kind.weight) + 1)
        ]
        best = max([best, *grown], key=lambda state: state.worth)
        kept = _undominated([*kept, *grown])
        if order[place + 1 :]:
            after = order[place + 1]
            kept = _promising(kept, best.worth, room, (worth[after], asked.kinds[after].weight))
        else:
            kept = []
        if len(kept) > states:
            return None
    return best.worth, _counts(best, len(asked.kinds))


def _undominated(states: list[_State]) -> list[_State]:
    kept: list[_State] = []
    for state in sorted(states, key=lambda state: (state.weight, -state.worth)):
        if not kept or state.worth > kept[-1].worth:
            kept.append(state)
    return kept


def _promising(states: list[_State], best: int, room: int, rate: tuple[int, int]) -> list[_State]:
    """Return the states that pieces of the next kind's worth and weight, the best that remain, may lift above best."""
    each, weight = rate
    return [state for state in states if (best - state.worth) * weight < (room - state.weight) * each]


def _counts(state: _State, kinds: int) -> Counts:
    counts = [0] * kinds
    at: _State | None = state
    while at is not None and at.before is not None:
        counts[at.kind] = at.taken
        at = at.before
    return tuple(counts)
