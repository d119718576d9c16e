"""The cheapest choice among patterns met that covers every piece: an integer program, solved by HiGHS.

Covering a piece twice is no harm: it is left out on one of the sheets, where its place becomes waste.
What the relaxed programme takes in part says which patterns go well together (see `rounding`).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from layout.cutting.goal.arrays import Pool, Task
from layout.cutting.goal.pool import COUNT

Array = Any
_AT_FIRST, _AT_ONCE, _MOST_ROUNDS, _IN_THE_END = 3, 200, 60, 1500
_NODES = 60
_TINY = 1e-6


@dataclass(frozen=True, kw_only=True, slots=True)
class Columns:
    """Fillings of a sheet as columns: filling c holds count[j] of kind[j] for j in start[c]:start[c + 1]."""

    start: Array
    kind: Array
    count: Array
    cost: Array
    stock: Array


def columns(pool: Pool, of: Task) -> Columns:
    """Return all patterns of a pool, in the order in which they were met."""
    number = int(pool.counts[COUNT])
    heads = pool.heads[:number]
    tokens = pool.tokens[: int(heads[-1, 1]) if number else 0]
    owner = np.repeat(np.arange(number), heads[:, 1] - heads[:, 0])
    held = tokens >= 0
    type_of = heads[:, 2]
    kind = of.kind_of[tokens[held] // 2]
    return _counted(owner[held], kind, of.prices[type_of], of.stock_of[type_of])


def _counted(owner: Array, kind: Array, cost: Array, stock: Array) -> Columns:
    """Return columns from single pieces: piece j of kind[j] lies on filling owner[j]."""
    top = int(kind.max()) + 1 if len(kind) else 1
    both, count = np.unique(owner * top + kind, return_counts=True)
    start = np.searchsorted(both // top, np.arange(len(cost) + 1))
    return Columns(start=start, kind=both % top, count=count, cost=cost, stock=stock)


def columns_of(members: Sequence[Sequence[int]], cost: Array, stock: Array) -> Columns:
    """Return columns from the kinds of the pieces on each filling."""
    owner = np.repeat(np.arange(len(members)), [len(kinds) for kinds in members])
    return _counted(owner, np.array([k for kinds in members for k in kinds], np.int64), cost, stock)


class Covering:
    """All patterns of several pools, the relaxed programme over them, and the cheapest whole choice."""

    def __init__(self, pools: Sequence[Pool], of: Task) -> None:
        self.pools, self.of = pools, of
        parts = [columns(pool, of) for pool in pools]
        whole = _joined(parts)
        self._ends = np.cumsum([0] + [len(part.cost) for part in parts])
        self._program = Program(whole, [kind.count for kind in of.kinds], of.stock_left.tolist(), of.prices)
        self.least = self._program.relax() if len(whole.cost) else np.inf
        self.shares = tuple((*self._pool_of(c), amount) for c, amount in self._program.amounts())

    def choose(self, goal: int, seconds: float) -> list[tuple[int, int]] | None:
        """Return patterns (pool, number) that cover all pieces for at most `goal`, or None when none was found."""
        if self.least > goal + _TINY * goal:
            return None
        chosen = self._program.choose(goal, seconds)
        return [self._pool_of(c) for c in chosen.taken] if chosen else None

    def _pool_of(self, column: int) -> tuple[int, int]:
        which = int(np.searchsorted(self._ends, column, side="right")) - 1
        return which, int(column - self._ends[which])


def _joined(parts: list[Columns]) -> Columns:
    shift = np.cumsum([0] + [len(part.kind) for part in parts])
    starts = [part.start[:-1] + shift[i] for i, part in enumerate(parts)]
    return Columns(
        start=np.concatenate([*starts, shift[-1:]]),
        kind=np.concatenate([part.kind for part in parts]),
        count=np.concatenate([part.count for part in parts]),
        cost=np.concatenate([part.cost for part in parts]),
        stock=np.concatenate([part.stock for part in parts]),
    )


@dataclass(frozen=True, kw_only=True, slots=True)
class Choice:
    """Columns taken, each as often as it is; `certain` when no other choice is cheaper."""

    taken: tuple[int, ...]
    cost: float
    certain: bool


class Program:
    """The cheapest columns that hold at least `demand` of every kind, no more of a stock than is `left`."""

    def __init__(self, columns: Columns, demand: Sequence[int], left: Sequence[int], prices: Array) -> None:
        from highspy import _core

        self.columns, self.demand = columns, np.array(demand, np.int64)
        self.number, self.kinds = len(columns.cost), len(demand)
        # Costs about 1: the solver's tolerances are absolute.
        self.scale = float(max(1, prices.max()))
        # The class below highspy's own: that one prints a banner.
        self.solver = _core._Highs()
        self.solver.setOptionValue("output_flag", False)
        none, empty = np.array([], np.int32), np.array([], float)
        for n in demand:
            self.solver.addRow(float(n), 1e30, 0, none, empty)
        for n in left:
            self.solver.addRow(0.0, float(n), 0, none, empty)
        self.used: list[int] = []
        self.inside = np.zeros(self.number, bool)
        self.reduced = np.zeros(self.number)
        self.duals = np.zeros(self.kinds)
        self.value, self.finished = 0.0, False
        for k in range(self.kinds):
            self.solver.addCol(5.0, 0.0, 1e30, 1, np.array([k], np.int32), np.ones(1))
            self.used.append(-1)

    def _add(self, columns: Array) -> None:
        for c in columns:
            span = slice(self.columns.start[c], self.columns.start[c + 1])
            rows = np.append(self.columns.kind[span], self.kinds + self.columns.stock[c]).astype(np.int32)
            values = np.append(self.columns.count[span], 1).astype(float)
            self.solver.addCol(float(self.columns.cost[c]) / self.scale, 0.0, 1e30, len(rows), rows, values)
            self.used.append(int(c))
        self.inside[columns] = True

    def relax(self) -> float:
        """Add columns until the relaxed programme is solved over all; return its cost."""
        owner = np.repeat(np.arange(self.number), np.diff(self.columns.start))
        pieces = np.bincount(owner, weights=self.columns.count, minlength=self.number)
        self._add(np.argsort(-pieces / np.maximum(self.columns.cost, 1), kind="stable")[: _AT_FIRST * self.kinds])
        for _ in range(_MOST_ROUNDS):
            self.solver.run()
            duals = np.array(self.solver.getSolution().row_dual)
            self.duals = np.maximum(0.0, duals[: self.kinds])
            held = duals[self.columns.kind] * self.columns.count
            gain = np.bincount(owner, weights=held, minlength=self.number)
            self.reduced = self.columns.cost / self.scale - gain - duals[self.kinds + self.columns.stock]
            wanted = np.nonzero((self.reduced < -_TINY) & ~self.inside)[0]
            if len(wanted) == 0:
                break
            self._add(wanted[np.argsort(self.reduced[wanted], kind="stable")][:_AT_ONCE])
        self.value = float(self.solver.getInfo().objective_function_value)
        return self.value * self.scale

    def amounts(self) -> list[tuple[int, float]]:
        """Return the columns that the relaxed programme takes, and how much of each."""
        found = np.array(self.solver.getSolution().col_value)
        return [(self.used[i], float(found[i])) for i in np.nonzero(found > _TINY)[0] if self.used[i] >= 0]

    def choose(self, goal: int, seconds: float, most: int = _IN_THE_END, nodes: int = _NODES) -> Choice | None:
        """Return the cheapest choice of whole columns found, if it is within the goal.

        Only columns that can be part of such a choice are tried, and at most `most` of those.
        """
        from highspy import HighsModelStatus, HighsVarType

        gap = goal / self.scale - self.value
        near = np.nonzero((self.reduced <= gap + _TINY) & ~self.inside)[0]
        self._add(near[np.argsort(self.reduced[near], kind="stable")][:most])
        number = len(self.used)
        whole = np.array([HighsVarType.kInteger] * number)
        self.solver.changeColsIntegrality(number, np.arange(number, dtype=np.int32), whole)
        for name, value in (("mip_max_nodes", nodes), ("objective_bound", goal / self.scale + _TINY)):
            self.solver.setOptionValue(name, value)
        self.solver.setOptionValue("mip_rel_gap", 0.0)
        self.solver.setOptionValue("time_limit", seconds)
        self.solver.run()
        amounts = np.array(self.solver.getSolution().col_value)
        cost = float(self.solver.getInfo().objective_function_value) * self.scale
        certain = self.solver.getModelStatus() == HighsModelStatus.kOptimal and len(near) <= most
        # All columns that a choice within the goal can have were tried, and the solver came to its end.
        done = (HighsModelStatus.kOptimal, HighsModelStatus.kInfeasible, HighsModelStatus.kObjectiveBound)
        self.finished = len(near) <= most and self.solver.getModelStatus() in done
        if len(amounts) == 0 or cost > goal + _TINY * self.scale:
            return None
        # A piece that no column holds is a shortage, not a plan.
        if any(c < 0 and amount > _TINY for c, amount in zip(self.used, amounts, strict=True)):
            return None
        taken = [c for c, amount in zip(self.used, amounts, strict=True) if c >= 0 for _ in range(round(amount))]
        return Choice(taken=tuple(taken), cost=cost, certain=certain)
