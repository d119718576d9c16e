"""The referee's own reckoning of the most points that edge-to-edge cuts get out of a sheet.

Sizes have a kerf added to their high edges, parts and sheets alike, so that they can be summed without it. What a cut
leaves is worth as much as the sum of sizes at or below it. So a programme over sums gives, smaller rectangles first,
the most that every rectangle holds, in whole numbers.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import product

from layout.cutting.referee_sums import Array, Axis, Size, axes, scales

# A cell of the table costs about as much as so many cuts.
_CELL = 10
_MOST_STATES = 256


@dataclass(frozen=True, kw_only=True, slots=True)
class Worth:
    """Parts that count alike: points of a piece, the ways to lay it, how many are wanted.

    A sheet may hold any number of them; no more than are wanted when `counted`.
    """

    points: int
    ways: tuple[Size, ...]
    count: int
    counted: bool = False


@dataclass(frozen=True, kw_only=True, slots=True)
class Held:
    """The most points on each sheet; a little too many, never too few, unless `exact`."""

    most: tuple[int, ...]
    exact: bool


def most_held(parts: Sequence[Worth], sheets: Sequence[Size], enough: int, work: int) -> Held:
    """Return the most points that cuts get out of each of `sheets`; whatever is more than `enough` says `enough` + 1.

    About `work` sums of two numbers are made at most. Where the true scale takes more, lengths are rounded down to
    a coarser one, parts and sheets alike: what fits truly still fits.
    """
    if enough >= 1 << 61:
        return Held(most=(enough + 1,) * len(sheets), exact=False)
    top = max(length for length, _ in sheets), max(width for _, width in sheets)
    fitting = [(part, way) for part in parts for way in part.ways if way[0] <= top[0] and way[1] <= top[1]]
    if not fitting:
        return Held(most=(0,) * len(sheets), exact=True)
    states = _States(parts)
    unit = math.gcd(*(side for _, way in fitting for side in way))
    sizes = [(way, part.count) for part, way in fitting]
    for scale in scales(unit, max(top)):
        if any(min(way) < scale for _, way in fitting):
            break
        sums = axes(sizes, sheets, scale, work)
        if sums is None or states.work(*sums) > work:
            continue
        most = _Table(*sums, states, enough + 1)
        most.fill([(part, way[0] // scale, way[1] // scale) for part, way in fitting])
        found = tuple(most.at(length // scale, width // scale) for length, width in sheets)
        return Held(most=found, exact=scale == unit and states.all_counted)
    # A part as thin as the scale has no size left, so any number would fit.
    return Held(most=(enough + 1,) * len(sheets), exact=False)


class _States:
    """How many of the counted parts are still allowed, and the ways in which a cut shares them out."""

    def __init__(self, parts: Sequence[Worth]) -> None:
        counted: list[Worth] = []
        for part in sorted((part for part in parts if part.counted), key=lambda part: part.count):
            if math.prod(each.count + 1 for each in (*counted, part)) <= _MOST_STATES:
                counted.append(part)
        self.all_counted = len(counted) == sum(part.counted for part in parts)
        self.place = {id(part): k for k, part in enumerate(counted)}
        self.left = list(product(*(range(part.count + 1) for part in counted)))
        number = {left: n for n, left in enumerate(self.left)}
        self.one: list[int] = []
        self.two: list[int] = []
        self.first: list[int] = []
        for left in self.left:
            self.first.append(len(self.one))
            for share in product(*(range(n + 1) for n in left)):
                self.one.append(number[share])
                self.two.append(number[tuple(a - b for a, b in zip(left, share, strict=True))])

    def allow(self, part: Worth) -> list[int]:
        """Return the states in which one more piece of a part is allowed."""
        k = self.place.get(id(part))
        return [n for n, left in enumerate(self.left) if k is None or left[k]]

    def work(self, along: Axis, across: Axis) -> int:
        """Return about how many sums of two numbers a table takes."""
        a, b = len(along.sums), len(across.sums)
        return len(self.one) * (along.cuts * b + across.cuts * a) + len(self.left) * a * b * _CELL


class _Table:
    """The most points of every rectangle in every state, none more than `cap`."""

    def __init__(self, along: Axis, across: Axis, states: _States, cap: int) -> None:
        import numpy as np

        self.np, self.along, self.across, self.states, self.cap = np, along, across, states, cap
        self.one, self.two = np.array(states.one), np.array(states.two)
        self.most = np.zeros((len(states.left), len(along.sums), len(across.sums)), np.int64)

    def at(self, length: int, width: int) -> int:
        """Return the most points of a rectangle, all counted parts allowed."""
        return int(self.most[-1, self._below(self.along, length), self._below(self.across, width)])

    def _below(self, axis: Axis, size: int) -> int:
        return int(self.np.searchsorted(axis.sums, size, "right")) - 1

    def fill(self, ways: Sequence[tuple[Worth, int, int]]) -> None:
        """Reckon all rectangles: a band of sums along after the other, in it cuts along, then cuts across."""
        np, most = self.np, self.most
        for part, length, width in ways:
            i, j = np.searchsorted(self.along.sums, length), np.searchsorted(self.across.sums, width)
            # A sum that no cut leads to is no row of the table; the next larger one holds the piece.
            if i < most.shape[1] and j < most.shape[2]:
                states = self.states.allow(part)
                most[states, i, j] = np.maximum(most[states, i, j], min(part.points, self.cap))
        for low, high in self.along.bands:
            for i in range(low, high):
                if len(self.along.rests[i]):
                    most[:, i] = np.maximum(most[:, i], self._shared(most, self.along.rests[i]))
            most[:, low - 1 : high] = np.maximum.accumulate(most[:, low - 1 : high], axis=1)
            band = most[:, low:high].transpose(0, 2, 1).copy()
            for j in range(1, most.shape[2]):
                best = np.maximum(band[:, j], band[:, j - 1])
                if len(self.across.rests[j]):
                    best = np.maximum(best, self._shared(band, self.across.rests[j]))
                band[:, j] = np.minimum(best, self.cap)
            most[:, low:high] = band.transpose(0, 2, 1)

    def _shared(self, table: Array, rests: Array) -> Array:
        """Return for each state the best cut of all, counted parts shared out in the best way."""
        cuts = len(rests) + 1
        if len(self.one) == 1:
            return (table[0, 1:cuts] + table[0].take(rests, axis=0)).max(axis=0)[None]
        both = table[self.one, 1:cuts] + table[self.two[:, None], rests]
        return self.np.maximum.reduceat(both.max(axis=1), self.states.first, axis=0)
