"""Plans to start from: patterns that the relaxed covering takes in part, rounded by chance to whole ones.

The relaxed programme knows which patterns go together; what it leaves open, ruin and recreate is good at.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from layout.cutting.goal.arrays import Pool, State, Task
from layout.cutting.goal.tree_of import kept, lay, trees

Array = Any
# A pattern may bring up to this share of weight that others have brought already; those pieces are left out.
_TWICE = 0.1
_SURE = 0.3

Share = tuple[int, int, float]
"""A pattern (pool, number) and how much of it the relaxed programme takes."""


def rounded(shares: Sequence[Share], pools: Sequence[Pool], of: Task, chance: Array) -> list[tuple[int, list[int]]]:
    """Return patterns (type of sheet, string of numbers) that hardly overlap, those with large shares first."""
    drawn = chance.random_sample(len(shares))
    order = sorted(range(len(shares)), key=lambda k: -shares[k][2] * (_SURE + drawn[k]))
    taken: set[int] = set()
    found = []
    for k in order:
        pool = pools[shares[k][0]]
        start, end, kind = (int(x) for x in pool.heads[shares[k][1]])
        numbers = pool.tokens[start:end].tolist()
        pieces = [n // 2 for n in numbers if n >= 0]
        twice = sum(int(of.weights[i]) for i in pieces if i in taken)
        if twice <= _TWICE * sum(int(of.weights[i]) for i in pieces):
            found.append((kind, numbers))
            taken.update(pieces)
    return found


def lay_patterns(state: State, patterns: Sequence[tuple[int, list[int]]], of: Task, goal: int) -> None:
    """Lay patterns on sheets of an empty state while the cost is within `goal`, each piece once."""
    for kind, numbers in patterns:
        if state.cost + int(of.prices[kind]) > goal or state.left[of.stock_of[kind]] <= 0:
            continue
        waiting = set(state.unplaced)
        blanks = [kept(tree, waiting) for tree in trees(numbers)]
        if any(blanks):
            lay(state, of, kind, blanks)
