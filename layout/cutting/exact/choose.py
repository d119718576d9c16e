"""The cheapest choice among all sets that a sheet yields: the bound that follows, and the plan if it is found."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from layout.cutting.exact.sets import Sets, laid
from layout.cutting.goal.arrays import Pattern
from layout.cutting.goal.covering import Program, columns_of

_MOST_COLUMNS = 40_000
_NODES = 20_000
_WHOLE = 1e7


@dataclass(frozen=True, kw_only=True, slots=True)
class Exact:
    """What all sets say: no plan costs less than `least`; `sheets` is a plan within the goal, if there is one."""

    least: int
    sheets: tuple[Pattern, ...] | None


def choose(sets: Sets, prices: Sequence[int], goal: int, seconds: float) -> Exact:
    """Return the bound from all sets, and the cheapest plan if it costs at most `goal`; `prices` by opening."""
    of = sets.of
    price = np.array(prices, np.int64)
    number, opening = sets.columns[:, 0], sets.columns[:, 1]
    columns = columns_of([sets.members[n] for n in number], price[opening], of.stock_of[opening])
    demand = [kind.count for kind in of.kinds]
    program = Program(columns, demand, of.stock_left.tolist(), price)
    value = program.relax()
    least = _least(sets, program, price) if _one_price(price) else int(np.ceil(value * (1 - 1e-7) - 1e-6))
    if least > goal:
        return Exact(least=least, sheets=None)
    choice = program.choose(goal, seconds, most=_MOST_COLUMNS, nodes=_NODES)
    if choice is None:
        finished = program.finished
        return Exact(least=goal + 1 if finished else least, sheets=None)
    if choice.certain:
        least = max(least, round(choice.cost))
    return Exact(least=least, sheets=_plan(sets, choice.taken))


def _one_price(price: np.ndarray) -> bool:
    return len(set(price.tolist())) == 1


def _least(sets: Sets, program: Program, price: np.ndarray) -> int:
    """Return the bound from the duals as whole points, exactly: all points over the most that a set has."""
    points = np.round(program.duals * _WHOLE).astype(np.int64)
    columns = program.columns
    owner = np.repeat(np.arange(len(columns.cost)), np.diff(columns.start))
    held = np.zeros(len(columns.cost), np.int64)
    np.add.at(held, owner, points[columns.kind] * columns.count)
    most = int(held.max())
    wanted = int(points @ program.demand)
    return -(-wanted // most) * int(price[0]) if most > 0 else 0


def _plan(sets: Sets, taken: Sequence[int]) -> tuple[Pattern, ...]:
    """Return the sets of a choice as sheets; a piece that is covered twice is left out the second time."""
    of = sets.of
    left = [list(np.nonzero(of.kind_of == k)[0]) for k in range(len(of.kinds))]
    sheets = []
    for column in taken:
        number, opening = (int(n) for n in sets.columns[column])
        kinds = sets.members[number]
        pieces: list[int] = []
        kept: list[int] = []
        for k in kinds:
            if left[k]:
                pieces.append(int(left[k].pop(0)))
                kept.append(k)
        if not kept:
            continue
        sheets.append(laid(sets, sets.number[tuple(kept)], pieces, opening))
    return tuple(sheets)
