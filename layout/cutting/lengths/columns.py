"""Fillings of bars as columns of a linear program: made as they pay, then taken whole numbers of times."""

from __future__ import annotations

import time
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import Any

from layout.cutting.lengths.fill import Filling, best_fillings, fine_grid, good_fillings
from layout.cutting.lengths.values import Load, Question

# The linear program's prices of pieces become whole numbers for the exact search of the best filling.
_SCALE = 10**9
_PAYS = 1e-7
_WHOLE = 1e-5
_ROUNDS = 600
# Work is counted in nodes, never in seconds, so that the same job gives the same plan. The number of threads stays
# as it is, since the solver refuses to change it while another part of the program uses it.
_OPTIONS: tuple[tuple[str, bool | float | str], ...] = (
    ("output_flag", False),
    ("parallel", "off"),
    ("random_seed", 0),
    ("mip_rel_gap", 0.0),
    ("mip_abs_gap", 1e-6),
    ("mip_max_nodes", 400),
)


@dataclass(frozen=True, kw_only=True, slots=True)
class Shares:
    """The answer of the linear program, in which a bar may be taken a fraction of a time.

    `worth` is the price that it sets on one more piece of each kind, `times` how often each column of the pool is
    taken.
    """

    worth: tuple[float, ...]
    times: tuple[float, ...]


@dataclass(slots=True)
class Pool:
    """The columns made so far for one question; `deadline` in seconds of the monotonic clock, None for none."""

    asked: Question
    deadline: float | None = None
    columns: list[Load] = field(default_factory=list)
    known: set[Load] = field(default_factory=set)

    def add(self, loads: Iterable[Load]) -> int:
        """Take columns in; return how many were new."""
        before = len(self.columns)
        for load in loads:
            if load not in self.known:
                self.known.add(load)
                self.columns.append(load)
        return len(self.columns) - before

    @property
    def late(self) -> bool:
        """Return whether the time given has run out."""
        return self.deadline is not None and time.monotonic() >= self.deadline

    def shares(self, costs: Sequence[float], limits: Sequence[int], missing_cost: float) -> Shares:
        """Solve the linear program, making columns until none pays; costs of bars and of a missing piece."""
        solver = _Program(self.asked, costs, limits, missing_cost)
        taken = 0
        for _ in range(_ROUNDS):
            solver.add(self.columns[taken:])
            taken = len(self.columns)
            worth, caps, times = solver.solved()
            new = 0 if self.late else self.add(self._paying(worth, [a - b for a, b in zip(costs, caps, strict=True)]))
            if not new:
                break
        return Shares(worth=worth, times=times)

    def _paying(self, worth: Sequence[float], prices: Sequence[float]) -> list[Load]:
        """Return the fillings that pay most; where the exact ones take long, those on a coarse grid come first."""
        whole = [max(0, round(each * _SCALE)) for each in worth]
        if fine_grid(self.asked):
            quick = _above(good_fillings(self.asked, whole), prices)
            if quick:
                return quick
        fillings = best_fillings(self.asked, whole)
        return [] if fillings is None else _above(fillings, prices)

    def whole(self, costs: Sequence[float], limits: Sequence[int], missing_cost: float) -> tuple[Load, ...] | None:
        """Return the best plan that takes each column of the pool a whole number of times, within a bounded search."""
        solver = _Program(self.asked, costs, limits, missing_cost)
        solver.add(self.columns)
        times = solver.in_whole_numbers(None if self.deadline is None else self.deadline - time.monotonic())
        if times is None:
            return None
        loads = (load for load, n in zip(self.columns, times, strict=True) for _ in range(n))
        return without_extras(self.asked, loads)


def _above(fillings: Sequence[Filling], prices: Sequence[float]) -> list[Load]:
    return [
        Load(size=size, counts=counts)
        for size, ((value, counts), price) in enumerate(zip(fillings, prices, strict=True))
        if value > (price + _PAYS) * _SCALE
    ]


def without_extras(asked: Question, loads: Iterable[Load]) -> tuple[Load, ...]:
    """Return the loads less the pieces that are laid once too often, and less bars that hold nothing then."""
    left = list(asked.wanted)
    kept = []
    for load in loads:
        counts = tuple(min(n, rest) for n, rest in zip(load.counts, left, strict=True))
        left = [rest - n for rest, n in zip(left, counts, strict=True)]
        if any(counts):
            kept.append(Load(size=load.size, counts=counts))
    return tuple(kept)


class _Program:
    """The linear program: every piece laid or missing, no more bars than there are, at the least cost."""

    def __init__(self, asked: Question, costs: Sequence[float], limits: Sequence[int], missing_cost: float) -> None:
        import highspy
        from highspy._core import _Highs

        self.asked, self.costs = asked, costs
        # The public class writes a banner to stdout as it is made, before it can be told not to; its base does not.
        self.solver: Any = _Highs()
        for option, value in _OPTIONS:
            self.solver.setOptionValue(option, value)
        for count in asked.wanted:
            self.solver.addRow(float(count), highspy.kHighsInf, 0, [], [])
        for limit in limits:
            self.solver.addRow(-highspy.kHighsInf, float(limit), 0, [], [])
        for i, count in enumerate(asked.wanted):
            self.solver.addCol(missing_cost, 0.0, float(count), 1, [i], [1.0])
        self.first = len(asked.kinds)
        self.integer = highspy.HighsVarType.kInteger
        self.most = highspy.kHighsInf

    def add(self, loads: Iterable[Load]) -> None:
        for load in loads:
            rows = [i for i, n in enumerate(load.counts) if n]
            entries = [float(load.counts[i]) for i in rows]
            rows.append(self.first + load.size)
            entries.append(1.0)
            self.solver.addCol(self.costs[load.size], 0.0, self.most, len(rows), rows, entries)

    def solved(self) -> tuple[tuple[float, ...], tuple[float, ...], tuple[float, ...]]:
        """Return what one more piece of each kind, and bar of each size, would change the cost by; and the times."""
        self.solver.run()
        solution = self.solver.getSolution()
        duals = list(solution.row_dual)
        times = tuple(list(solution.col_value)[self.first :])
        return tuple(duals[: self.first]), tuple(duals[self.first :]), times

    def in_whole_numbers(self, seconds: float | None) -> list[int] | None:
        if seconds is not None:
            self.solver.setOptionValue("time_limit", max(0.0, seconds))
        columns = list(range(self.solver.getNumCol()))
        self.solver.changeColsIntegrality(len(columns), columns, [self.integer] * len(columns))
        self.solver.run()
        values = list(self.solver.getSolution().col_value)
        # Without a plan the solver hands back nothing, or numbers that are not whole.
        if len(values) != len(columns) or any(abs(value - round(value)) > _WHOLE for value in values):
            return None
        return [round(value) for value in values[self.first :]]
