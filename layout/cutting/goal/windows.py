"""Many pieces: a plan is improved a few sheets at a time, each time as a small task of its own.

A step of the search costs time with the number of all pieces. So what is unplaced and a few sheets, taken by
chance, are searched on their own, and come back when no more is left unplaced than before.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np

from layout.cutting.goal.arrays import Pool, Task
from layout.cutting.goal.chain import Chain, strings_of

Array = Any
_PIECES, _MOST_UNPLACED = 90, 40
_STEPS = 1_500
_FAR = 1_000_003

Laid = tuple[int, list[int]]
"""A sheet: its type, and its pattern as a string of numbers (see `pool`)."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Window:
    """Some sheets (their places in the plan) and some unplaced pieces; `pieces` are these and those on the sheets."""

    chosen: tuple[int, ...]
    unplaced: tuple[int, ...]
    pieces: tuple[int, ...]
    seed: int


@dataclass(frozen=True, kw_only=True, slots=True)
class Outcome:
    """The sheets of a window after a search, and the pieces that have no place on them."""

    sheets: list[Laid]
    unplaced: list[int]
    steps: int


@dataclass(kw_only=True, slots=True)
class Windows:
    """Sheets of a plan within its goal, and the pieces that are unplaced."""

    of: Task
    seed: int
    sheets: list[Laid] = field(default_factory=list)
    unplaced: list[int] = field(default_factory=list)
    steps: int = 0
    _chance: Any = None
    _count: int = 0

    def begin(self, sheets: Sequence[Laid], goal: int) -> None:
        """Start from a plan without its emptiest sheets, so that it costs at most `goal`."""
        self._chance = np.random.RandomState(self.seed)
        by_fill = sorted(sheets, key=self._fill, reverse=True)
        cost = sum(int(self.of.prices[kind]) for kind, _ in by_fill)
        while by_fill and cost > goal:
            kind, _ = by_fill.pop()
            cost -= int(self.of.prices[kind])
        placed = {n // 2 for _, numbers in by_fill for n in numbers if n >= 0}
        self.sheets = by_fill
        self.unplaced = [i for i in range(self.of.pieces) if i not in placed]

    def draw(self, number: int) -> list[Window]:
        """Return so many windows that share neither sheets nor pieces; fewer where there are not enough sheets."""
        sheets = self._chance.permutation(len(self.sheets)).tolist()
        unplaced = [self.unplaced[k] for k in self._chance.permutation(len(self.unplaced))]
        found = []
        for k in range(number):
            self._count += 1
            mine = unplaced[k::number][:_MOST_UNPLACED]
            chosen, pieces = [], list(mine)
            while sheets and len(pieces) < _PIECES:
                chosen.append(sheets.pop())
                pieces += [n // 2 for n in self.sheets[chosen[-1]][1] if n >= 0]
            if chosen:
                seed, pieces = self.seed * _FAR + self._count, sorted(pieces)
                found.append(Window(chosen=tuple(chosen), unplaced=tuple(mine), pieces=tuple(pieces), seed=seed))
        return found

    def search(self, window: Window) -> Outcome:
        """Return the sheets of a window anew, and what is unplaced then; changes nothing."""
        local = {piece: i for i, piece in enumerate(window.pieces)}
        of = _part_of(self.of, list(window.pieces))
        chain = Chain(of=of, seed=window.seed, pool=Pool.of(0))
        sheets = [(self.sheets[k][0], _renamed(self.sheets[k][1], local)) for k in window.chosen]
        chain.goal = sum(int(of.prices[kind]) for kind, _ in sheets)
        chain.begin_with(sheets)
        chain.step(_STEPS)
        found = [(kind, _renamed(numbers, window.pieces)) for kind, numbers in strings_of(chain.state, of)]
        return Outcome(sheets=found, unplaced=[window.pieces[i] for i in chain.state.unplaced], steps=chain.steps)

    def take(self, windows: Sequence[Window], outcomes: Sequence[Outcome]) -> bool:
        """Take over what is no worse; return whether nothing is unplaced any more."""
        gone: set[int] = set()
        for window, outcome in zip(windows, outcomes, strict=True):
            self.steps += outcome.steps
            if self._weight(outcome.unplaced) <= self._weight(window.unplaced):
                gone.update(window.chosen)
                self.sheets += outcome.sheets
                out = set(window.unplaced)
                self.unplaced = [i for i in self.unplaced if i not in out] + outcome.unplaced
        self.sheets = [sheet for k, sheet in enumerate(self.sheets) if k not in gone]
        return not self.unplaced

    def _weight(self, pieces: Sequence[int]) -> int:
        return int(self.of.weights[list(pieces)].sum())

    def _fill(self, sheet: Laid) -> float:
        kind, numbers = sheet
        return self._weight([n // 2 for n in numbers if n >= 0]) / float(self.of.prices[kind])


def _renamed(numbers: Sequence[int], names: Any) -> list[int]:
    return [2 * names[n // 2] + n % 2 if n >= 0 else n for n in numbers]


def _part_of(of: Task, pieces: list[int]) -> Task:
    """Return the task of some pieces only."""
    return replace(
        of,
        kind_of=of.kind_of[pieces],
        ways=of.ways[pieces],
        n_ways=of.n_ways[pieces],
        weights=of.weights[pieces],
        marks=of.marks[pieces],
        stock_left=np.minimum(of.stock_left, len(pieces)),
    )
