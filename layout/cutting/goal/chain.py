"""One chain of the search: a first plan by trying orders, then goal after goal, each a little cheaper."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from layout.cutting.goal import moves
from layout.cutting.goal.arrays import Pattern, Pool, State, Task, pattern_of
from layout.cutting.goal.branches import N_OPEN
from layout.cutting.goal.pool import write
from layout.cutting.goal.rounding import lay_patterns

Array = Any
# Arrays go in unpacked, which no checker of types can count.
recreate: Any = moves.recreate
drop_to: Any = moves.drop_to
search: Any = moves.search
# Tried on the hardest tenth of the published packing jobs of the benchmark: emptying whole sheets beats single
# pieces, but where there are few sheets hardly anything would be left. One row for each hand.
_SETTINGS = ((24, 50, 4, 20, 300), (16, 70, 4, 3, 400))
_ON_FEW_SHEETS = ((24, 10, 1, 20, 300), (20, 30, 1, 3, 400))
_FEW_SHEETS = 3
_HISTORY = 200
_FIRST_PLANS = 16
_PLAIN_PLANS = 8
_NO_GOAL = 1 << 60


@dataclass(kw_only=True, slots=True)
class Chain:
    """A chain at work: the cheapest plan found with everything placed, and the state of the search for less."""

    of: Task
    seed: int
    pool: Pool
    state: State = field(init=False)
    best: State | None = None
    partial: State | None = None
    goal: int = _NO_GOAL
    steps: int = 0
    _now: State = field(init=False)
    _history: Array = field(init=False)
    _measure: Array = field(init=False)
    _keys: Array = field(init=False)
    _rooms: Array = field(init=False)
    _filled: Array = field(init=False)
    _marked: Array = field(init=False)

    def __post_init__(self) -> None:
        self.state = State.empty(self.of, self.seed)
        self._now = self.state.copy()
        self._keys = np.zeros(self.of.pieces, np.int64)
        self._rooms = np.zeros((self.state.s.shape[1], 3), np.int64)
        self._filled = np.zeros(self.state.b.shape[1], np.int64)
        self._marked = np.zeros(self.state.b.shape[1], np.int64)
        self._history = np.zeros(_HISTORY, np.int64)
        self._measure = np.zeros(3, np.int64)

    def first_plans(self) -> None:
        """Make a few plans from nothing and keep the best: the fewest unplaced, then the cheapest."""
        empty = self.state.copy()
        found = None
        for k in range(_FIRST_PLANS):
            self.state.become(empty)
            self._recreate(_NO_GOAL, 0 if k < _PLAIN_PLANS else 200)
            measure = (self._missing(self.state), self.state.cost)
            if found is None or measure < found[0]:
                found = (measure, self.state.copy())
        if found is not None:
            self.state.become(found[1])
        self.partial = self.state.copy()
        if not self.state.unplaced:
            self.best = self.state.copy()

    def aim(self, goal: int) -> None:
        """Look for a plan that costs at most `goal`, from the best plan on."""
        of = self.of
        self.goal = goal
        if self.best is not None:
            self.state.become(self.best)
        drop_to(*self.state.arrays(), of.weights, of.prices, of.stock_of, self._filled, goal)
        self._measure_anew()

    def begin_with(self, patterns: Sequence[tuple[int, list[int]]]) -> None:
        """Go on from a plan that holds these patterns, as far as the goal allows, and what fits in beside them."""
        of, state = self.of, self.state
        drop_to(*state.arrays(), of.weights, of.prices, of.stock_of, self._filled, 0)
        lay_patterns(state, patterns, of, self.goal)
        self._recreate(self.goal, 0)
        self._measure_anew()

    def _recreate(self, goal: int, flip: int) -> None:
        of = self.of
        recreate(
            *self.state.arrays(), of.ways, of.n_ways, of.weights, self._keys, self._rooms, of.n_blanks, of.blanks,
            of.prices, of.stock_of, of.worth, goal, 0, flip,
        )  # fmt: skip

    def _measure_anew(self) -> None:
        self._now = self.state.copy()
        missing = self._missing(self.state)
        self._history[:] = missing
        self._measure[:] = (missing, missing, 0)

    def step(self, steps: int) -> bool:
        """Search for at most `steps` steps; return whether the goal is reached."""
        of, pool = self.of, self.pool
        settings = _ON_FEW_SHEETS if self.state.g[N_OPEN] <= _FEW_SHEETS else _SETTINGS
        self.steps += search(
            *self.state.arrays(), *self._now.arrays(), of.ways, of.n_ways, of.weights, self._keys, self._rooms,
            of.n_blanks, of.blanks, of.prices, of.stock_of, of.worth, of.marks, of.least, self._filled, self._marked,
            pool.table, pool.heads, pool.tokens, pool.counts, self._history, self._measure,
            np.array(settings[self.seed % 2], np.int64), self.goal, steps,
        )  # fmt: skip
        if not self.state.unplaced:
            self.best = self.state.copy()
            return True
        if self.best is None and (self.partial is None or self._missing(self.state) < self._missing(self.partial)):
            self.partial = self.state.copy()
        return False

    def take(self, best: State) -> None:
        """Take over the best plan of another chain."""
        self.best = best.copy()

    def _missing(self, state: State) -> int:
        return int(self.of.weights[state.unplaced].sum())


def strings_of(state: State, of: Task) -> list[tuple[int, list[int]]]:
    """Return the sheets of a plan in the order in which they are open: type, and string of numbers (see `pool`)."""
    found = []
    room = np.zeros(6 * of.pieces + 16, np.int32)
    for sheet in range(state.b.shape[1]):
        kind = int(state.b[0, sheet])
        if kind < 0:
            continue
        end = 0
        for k in range(int(state.b[2, sheet])):
            end = write(state.s, state.b[3 + k, sheet], room, end)
            room[end] = -3
            end += 1
        found.append((kind, room[:end].tolist()))
    return found


def patterns_of(state: State, of: Task) -> tuple[Pattern, ...]:
    """Return the sheets of a plan, as patterns, in the order in which they are open."""
    return tuple(pattern_of(numbers, kind, of) for kind, numbers in strings_of(state, of))


def pool_pattern(pool: Pool, number: int, of: Task) -> Pattern:
    """Return a pattern of a pool."""
    start, end, kind = (int(x) for x in pool.heads[number])
    return pattern_of(pool.tokens[start:end].tolist(), kind, of)
