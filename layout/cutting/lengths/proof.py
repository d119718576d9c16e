"""What rules out choices of bars: points that pieces are worth, and choices that were tried out.

Give every kind of piece some points, and let `most` be what the best filling of a bar is worth, bar by bar. A plan
that lays all pieces but `missing` lays at least the sum of all points less the `missing` dearest pieces; its bars
hold at most the sum of their `most`. So every choice of bars with a smaller sum is ruled out, whatever the points
are. The least key among the choices that remain bounds every plan.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from fractions import Fraction

from layout.cutting.lengths.values import Counts, Question

_NODES = 60_000


@dataclass(frozen=True, kw_only=True, slots=True)
class Wall:
    """Points for each kind, and the most that a filling of each size is worth."""

    worth: Counts
    most: Counts
    reason: str

    def needed(self, asked: Question, missing: int) -> int:
        """Return the points that all pieces but any `missing` of them are worth at least."""
        need = sum(each * count for each, count in zip(self.worth, asked.wanted, strict=True))
        for each, count in sorted(zip(self.worth, asked.wanted, strict=True), reverse=True):
            taken = min(count, missing)
            need, missing = need - taken * each, missing - taken
        return need

    def rules_out(self, asked: Question, bars: Sequence[int], missing: int) -> bool:
        """Return whether no plan on `bars` lays all pieces but `missing`."""
        return sum(n * most for n, most in zip(bars, self.most, strict=True)) < self.needed(asked, missing)


@dataclass(frozen=True, kw_only=True, slots=True)
class Tried:
    """A choice of bars on which all but `missing` pieces cannot be laid; so on no part of it either."""

    bars: Counts
    missing: int

    def rules_out(self, bars: Sequence[int], missing: int) -> bool:
        """Return whether `bars` are among these, and no more pieces may be missing."""
        return missing <= self.missing and all(n <= tried for n, tried in zip(bars, self.bars, strict=True))


@dataclass(frozen=True, kw_only=True, slots=True)
class Known:
    """All that is known against cheaper plans."""

    walls: tuple[Wall, ...] = ()
    tried: tuple[Tried, ...] = ()

    def rules_out(self, asked: Question, bars: Sequence[int], missing: int) -> bool:
        """Return whether no plan on `bars` lays all pieces but `missing`."""
        return any(wall.rules_out(asked, bars, missing) for wall in self.walls) or any(
            tried.rules_out(bars, missing) for tried in self.tried
        )

    def fewest_missing(self, asked: Question) -> int:
        """Return a number of pieces that every plan lacks."""
        everything = tuple(size.limit for size in asked.sizes)
        return next(k for k in range(asked.pieces + 1) if not self.rules_out(asked, everything, k))


@dataclass(frozen=True, kw_only=True, slots=True)
class Least:
    """The choice of bars with the least key that is not ruled out (None: none is below the limit asked for).

    `sure` is False when there were too many choices to look at; then only `floor` is known. No plan's key is
    below `floor`.
    """

    bars: Counts | None
    floor: int
    sure: bool


def least(asked: Question, known: Known, missing: int, below: int, keys: Sequence[int] | None = None) -> Least:
    """Return the choice of least key below `below` that may hold all pieces but `missing`.

    `keys` replaces the keys of the sizes, for instance with 1 each to count bars.
    """
    search = _Choices(asked, known, missing, below, keys or [size.key for size in asked.sizes])
    return search.answer()


@dataclass(slots=True)
class _Choices:
    """A depth-first search over how many bars of each size are taken, cheapest room first."""

    asked: Question
    known: Known
    missing: int
    best: int
    keys: Sequence[int]
    found: Counts | None = None
    nodes: int = 0
    order: list[int] = field(default_factory=list)
    rates: list[list[Fraction | None]] = field(default_factory=list)

    def answer(self) -> Least:
        sizes = range(len(self.keys))
        self.order = sorted(sizes, key=lambda i: (Fraction(self.keys[i], self.asked.sizes[i].room), i))
        self.rates = [self._rates(wall) for wall in self.known.walls]
        needs = tuple(wall.needed(self.asked, self.missing) for wall in self.known.walls)
        below = self.best
        floor = self._floor(0, 0, needs)
        if floor is None or floor >= below:
            return Least(bars=None, floor=below, sure=True)
        self._visit(0, 0, needs, [0] * len(self.keys))
        sure = self.nodes <= _NODES
        return Least(bars=self.found if sure else None, floor=self.best if sure else floor, sure=sure)

    def _rates(self, wall: Wall) -> list[Fraction | None]:
        """Return the least key for one point that the sizes from each place on can give; None: no point."""
        rates: list[Fraction | None] = [None]
        for i in reversed(self.order):
            own = Fraction(self.keys[i], wall.most[i]) if wall.most[i] > 0 and self.asked.sizes[i].limit else None
            known = [rate for rate in (own, rates[-1]) if rate is not None]
            rates.append(min(known) if known else None)
        return rates[::-1]

    def _floor(self, place: int, key: int, needs: Counts) -> int | None:
        """Return what the key grows to at least; None when the remaining sizes cannot give the points."""
        floor = key
        for need, rates in zip(needs, self.rates, strict=True):
            rate = rates[place]
            if need > 0 and rate is None:
                return None
            if need > 0 and rate is not None:
                floor = max(floor, key - (-need * rate.numerator // rate.denominator))
        return floor

    def _visit(self, place: int, key: int, needs: Counts, bars: list[int]) -> None:
        self.nodes += 1
        floor = self._floor(place, key, needs)
        if self.nodes > _NODES or floor is None or floor >= self.best:
            return
        if place == len(self.order):
            if not any(tried.rules_out(bars, self.missing) for tried in self.known.tried):
                self.best, self.found = key, tuple(bars)
            return
        i = self.order[place]
        for n in self._numbers(i, place, key, needs):
            bars[i] = n
            left = tuple(need - n * wall.most[i] for need, wall in zip(needs, self.known.walls, strict=True))
            self._visit(place + 1, key + n * self.keys[i], left, bars)
        bars[i] = 0

    def _numbers(self, i: int, place: int, key: int, needs: Counts) -> range:
        """Return the numbers of bars of a size worth a look: for the last size upwards, else downwards."""
        upper = min(self.asked.sizes[i].limit, (self.best - 1 - key) // self.keys[i])
        gives = [(need, wall.most[i]) for need, wall in zip(needs, self.known.walls, strict=True) if need > 0]
        enough = max((-(-need // most) for need, most in gives if most > 0), default=0)
        if place == len(self.order) - 1:
            return range(enough, upper + 1)
        return range(upper if self.known.tried else min(upper, enough), -1, -1)
