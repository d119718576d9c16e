"""A question of one material as arrays for the search, and the search's plans as pieces laid on sheets."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from layout.cutting.goal import branches
from layout.cutting.values import Kind, Opening

Array = Any
_HEAVIEST = 1_000_000
_LONGEST_PATTERN = 60
_WELL_FILLED = 0.9
_MARKS_SEED = 20_011


@dataclass(frozen=True, kw_only=True, slots=True)
class Task:
    """What is to be cut from what, as arrays; all lengths in the largest common unit, kerf included.

    A piece and a blank are one kerf larger than they are, so that kerfs need no thought: two pieces of a
    blank lie a kerf apart. `prices` are whole numbers that order plans by cost, then by number of sheets.
    """

    kinds: tuple[Kind, ...]
    openings: tuple[Opening, ...]
    unit: int
    kind_of: Array
    ways: Array
    n_ways: Array
    weights: Array
    marks: Array
    n_blanks: Array
    blanks: Array
    prices: Array
    stock_of: Array
    stock_left: Array
    worth: Array
    least: Array

    @property
    def pieces(self) -> int:
        """Return the number of pieces."""
        return int(self.kind_of.shape[0])


def task(kinds: tuple[Kind, ...], openings: tuple[Opening, ...], kerf: int, prices: Sequence[int]) -> Task:
    """Return the arrays for pieces of `kinds` on sheets opened as `openings`; `prices` by opening, `kerf` in ticks."""
    kind_of = np.repeat(np.arange(len(kinds)), [kind.count for kind in kinds])
    most = max(len(opening.blanks) for opening in openings)
    blanks = np.zeros((len(openings), most, 2), np.int64)
    for t, opening in enumerate(openings):
        for k, blank in enumerate(opening.blanks):
            blanks[t, k] = max(0, blank.length + kerf), max(0, blank.width + kerf)
    by_kind = np.zeros((len(kinds), 2, 2), np.int64)
    for i, kind in enumerate(kinds):
        for j, way in enumerate(kind.ways):
            by_kind[i, j] = way.length + kerf, way.width + kerf
    unit = int(np.gcd.reduce(np.concatenate([blanks.ravel(), by_kind.ravel()])))
    blanks, by_kind = blanks // unit, by_kind // unit
    areas = (by_kind[:, 0, 0].astype(float) * by_kind[:, 0, 1])[kind_of]
    weights = np.maximum(1, np.round(areas / areas.max() * _HEAVIEST)).astype(np.int64)
    rooms = (blanks[:, :, 0].astype(float) * blanks[:, :, 1]).sum(1)
    stocks = list(dict.fromkeys(id(opening.stock) for opening in openings))
    stock_of = np.array([stocks.index(id(opening.stock)) for opening in openings], np.int64)
    counts = {stocks.index(id(opening.stock)): opening.stock.count for opening in openings}
    worth = rooms / np.maximum(np.array(prices, float), 1e-9)
    return Task(
        kinds=kinds,
        openings=openings,
        unit=unit,
        kind_of=kind_of,
        ways=by_kind[kind_of],
        n_ways=np.array([len(kind.ways) for kind in kinds], np.int64)[kind_of],
        weights=weights,
        # Numbers that stand for the kinds: always the same, and far from each other.
        marks=np.random.RandomState(_MARKS_SEED).randint(1, 2**50, len(kinds), dtype=np.int64)[kind_of],
        n_blanks=np.array([len(opening.blanks) for opening in openings], np.int64),
        blanks=blanks,
        prices=np.array(prices, np.int64),
        stock_of=stock_of,
        stock_left=np.array([_many(counts[k], len(kind_of)) for k in range(len(stocks))], np.int64),
        worth=worth / worth.max(),
        least=(_WELL_FILLED * rooms / areas.max() * _HEAVIEST).astype(np.int64),
    )


def keep_well_filled(of: Task, used: Sequence[Opening]) -> None:
    """Set `of.least`: the weight from which a sheet is a pattern worth keeping, next to a plan that uses `used`.

    A better plan fills its sheets more than that one does, if only by little.
    """
    rooms = of.blanks[:, :, 0].astype(float) * of.blanks[:, :, 1]
    areas = of.ways[:, 0, 0].astype(float) * of.ways[:, 0, 1]
    number = {id(opening): t for t, opening in enumerate(of.openings)}
    share = areas.sum() / max(1.0, sum(float(rooms[number[id(opening)]].sum()) for opening in used))
    of.least[:] = _WELL_FILLED * share * rooms.sum(1) / areas.max() * _HEAVIEST


def _many(count: int | None, pieces: int) -> int:
    return pieces if count is None else min(count, pieces)


@dataclass(frozen=True, kw_only=True, slots=True)
class State:
    """A plan being made: nodes, counters, pieces, sheets, sheets left; changed in place by the search."""

    s: Array
    g: Array
    it: Array
    b: Array
    left: Array

    @classmethod
    def empty(cls, of: Task, seed: int) -> State:
        """Return a state in which nothing is placed."""
        n, most = of.pieces, of.blanks.shape[1]
        sheets = min(n, int(of.stock_left.sum()))
        nodes = 3 * n + sheets * most + 8
        s = np.full((branches.NODE_ROWS, nodes), -1, np.int64)
        s[branches.SPARE] = np.arange(nodes)[::-1]
        s[branches.PIECE] = branches.NOTHING
        g = np.zeros(6, np.int64)
        g[branches.N_SPARE], g[branches.N_UNPLACED] = nodes, n
        g[branches.CHANCE] = 1 + (seed * 7919 + 12345) % 2147483646
        it = np.full((2, n), -1, np.int64)
        it[branches.UNPLACED] = np.arange(n)
        b = np.full((3 + most, sheets), -1, np.int64)
        return cls(s=s, g=g, it=it, b=b, left=of.stock_left.copy())

    def arrays(self) -> tuple[Array, ...]:
        """Return the arrays in the order in which the search takes them."""
        return self.s, self.g, self.it, self.b, self.left

    def copy(self) -> State:
        """Return a copy."""
        return State(s=self.s.copy(), g=self.g.copy(), it=self.it.copy(), b=self.b.copy(), left=self.left.copy())

    def become(self, other: State) -> None:
        """Take over another state, all but the dice."""
        chance = self.g[branches.CHANCE]
        for mine, its in zip(self.arrays(), other.arrays(), strict=True):
            mine[...] = its
        self.g[branches.CHANCE] = chance

    @property
    def cost(self) -> int:
        """Return the price of the open sheets."""
        return int(self.g[branches.COST])

    @property
    def unplaced(self) -> list[int]:
        """Return the pieces that have no place."""
        return [int(i) for i in self.it[branches.UNPLACED, : self.g[branches.N_UNPLACED]]]


@dataclass(frozen=True, kw_only=True, slots=True)
class Pool:
    """Room for patterns met; filled in place."""

    table: Array
    heads: Array
    tokens: Array
    counts: Array

    @classmethod
    def of(cls, patterns: int) -> Pool:
        """Return room for a number of patterns."""
        slots = 1 << max(4, (2 * patterns).bit_length())
        return cls(
            table=np.zeros(slots, np.int64),
            heads=np.zeros((patterns, 3), np.int64),
            tokens=np.zeros(patterns * _LONGEST_PATTERN + 64 if patterns else 64, np.int32),
            counts=np.zeros(2, np.int64),
        )


@dataclass(frozen=True, kw_only=True, slots=True)
class Pattern:
    """A sheet of the type `opening` and where pieces lie on it: piece, way, blank, x and y within the blank."""

    opening: int
    laid: tuple[tuple[int, int, int, int, int], ...]


def pattern_of(numbers: Sequence[int], kind: int, of: Task) -> Pattern:
    """Return a pattern from the string of numbers that the search wrote (see `pool`)."""
    reader = _Reader(list(numbers), of)
    laid = []
    for blank in range(int(of.n_blanks[kind])):
        laid += [(i, way, blank, x, y) for i, way, x, y in reader.blank()]
    return Pattern(opening=kind, laid=tuple(laid))


class _Reader:
    """Reads a string of numbers; a branch is as large as what it holds, so places follow from sizes."""

    def __init__(self, numbers: list[int], of: Task) -> None:
        self.numbers, self.of, self.at = numbers, of, 0

    def blank(self) -> list[tuple[int, int, int, int]]:
        laid: list[tuple[int, int, int, int]] = []
        # A stack of: axis, where the branch starts, how far its children reach along and across.
        stack = [[0, 0, 0, 0, 0]]
        while True:
            number = self.numbers[self.at] if self.at < len(self.numbers) else -3
            self.at += 1
            axis, x, y, along = stack[-1][:4]
            here = (x + along, y) if axis == 0 else (x, y + along)
            if number >= 0:
                wide, high = (int(side) for side in self.of.ways[number // 2, number % 2])
                laid.append((number // 2, number % 2, *here))
                self._grow(stack[-1], wide, high)
            elif number == -1:
                stack.append([1 - axis, *here, 0, 0])
            elif number == -2:
                self._close(stack)
            else:
                return laid

    @staticmethod
    def _grow(top: list[int], wide: int, high: int) -> None:
        along, across = (wide, high) if top[0] == 0 else (high, wide)
        top[3] += along
        top[4] = max(top[4], across)

    def _close(self, stack: list[list[int]]) -> None:
        axis, _, _, along, across = stack.pop()
        self._grow(stack[-1], *((along, across) if axis == 0 else (across, along)))
