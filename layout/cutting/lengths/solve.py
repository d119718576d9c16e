"""The search for the best plan of one material, and for the proof that none is better.

First the cheap means: simple rules for a plan, lengths and step functions for a bound, and for few pieces all ways
on the cheapest bars that are not ruled out. Where they do not meet, the linear program over fillings takes over: it
either finds points that rule the cheapest choice of bars out, or shares from which a plan on those bars is made.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, field, replace

from layout.cutting.lengths.columns import Pool, Shares
from layout.cutting.lengths.dive import dive, useful
from layout.cutting.lengths.fill import best_fillings
from layout.cutting.lengths.greedy import greedy_plan
from layout.cutting.lengths.patterns import all_fillings
from layout.cutting.lengths.proof import Known, Least, Tried, Wall, least
from layout.cutting.lengths.quick_walls import length_wall, quick_walls
from layout.cutting.lengths.try_all import try_all
from layout.cutting.lengths.values import Counts, Load, Question

_ROUNDS = 60
_MOST_OPEN = 6
_FEW_PIECES = 30
_QUICK_NODES = 2_000
_NODES = 20_000
# Points come from prices of the linear program times one of these, rounded: the first that rules a choice out is
# taken. Small numbers with many divisors make points that people can follow.
_SCALES = (6, 12, 60, 840, 27_720, 1_000_000, 100_000_000)
_MISSING_COST = 10.0
# A price a little below a whole number of points means that number.
_NEARLY = 1e-4


@dataclass(slots=True)
class Search:
    """The best plan so far, and what is known against better ones.

    `deadline` in seconds of the monotonic clock; None: all decisions depend on work counted, so that the same
    question gives the same answer.
    """

    asked: Question
    deadline: float | None = None
    plan: tuple[Load, ...] = ()
    known: Known = field(default_factory=Known)
    # Choices of bars that were neither filled nor ruled out: passed over to better the plan, but in no proof.
    left_open: tuple[Tried, ...] = ()
    pool: Pool = field(init=False)

    def __post_init__(self) -> None:
        self.pool = Pool(self.asked, self.deadline)

    def run(self) -> None:
        """Improve the plan until it is proven, or the means are at an end."""
        self.plan = greedy_plan(self.asked)
        self.known = Known(walls=(length_wall(self.asked),))
        if self.settled():
            return
        self.known = Known(walls=quick_walls(self.asked))
        for step in (self._by_trying, self._by_columns, self._by_whole_columns):
            for _ in range(_ROUNDS):
                if self.settled() or self.pool.late or not step():
                    break

    @property
    def missing(self) -> int:
        """Return how many pieces the plan lacks."""
        return sum(self.asked.missing(self.plan))

    def next_choice(self) -> tuple[Counts, int] | None:
        """Return the first choice of bars that may hold a better plan, and how many pieces it may lack.

        While a plan with fewer pieces missing is possible that is all bars there are; then the cheapest choice.
        None when there is none, or too many to look at.
        """
        hopes = replace(self.known, tried=(*self.known.tried, *self.left_open))
        fewest = hopes.fewest_missing(self.asked)
        if fewest < self.missing:
            return tuple(size.limit for size in self.asked.sizes), fewest
        bars = self._cheapest(hopes).bars
        return None if bars is None else (bars, self.missing)

    def _cheapest(self, known: Known) -> Least:
        """Return the choice of least key, below the plan's, that may do with as few pieces missing."""
        return least(self.asked, known, self.missing, self.asked.key(self.plan))

    def settled(self) -> bool:
        """Return whether the plan is proven: as few pieces missing as possible, and no cheaper choice of bars."""
        if self.known.fewest_missing(self.asked) < self.missing:
            return False
        found = self._cheapest(self.known)
        return found.sure and found.bars is None

    def take(self, plan: tuple[Load, ...] | None) -> bool:
        """Take a plan when it is better than the best so far."""
        if plan is None or self.asked.rank(plan) >= self.asked.rank(self.plan):
            return False
        self.plan = plan
        return True

    def _by_trying(self) -> bool:
        choice = self.next_choice() if self.asked.pieces <= _FEW_PIECES else None
        return choice is not None and self._try(*choice, _QUICK_NODES)

    def _try(self, bars: Counts, missing: int, nodes: int) -> bool:
        """Lay the pieces on `bars` in all ways: a plan, or the knowledge that there is none."""
        outcome = try_all(self.asked, useful(self.asked, bars), missing, nodes)
        if outcome.loads is not None:
            return self.take(outcome.loads)
        if outcome.sure:
            self.known = replace(self.known, tried=(*self.known.tried, Tried(bars=bars, missing=missing)))
        return outcome.sure

    def _by_columns(self) -> bool:
        """Take one step with the linear program; False when nothing came of it."""
        if not self.pool.columns:
            return self._first_columns()
        choice = self.next_choice()
        if choice is None:
            return False
        bars, missing = choice
        shares = self.pool.shares([0.0] * len(bars), bars, 1.0)
        wall = self._wall(shares, bars, missing)
        if wall is not None:
            self.known = replace(self.known, walls=(*self.known.walls, wall))
            return True
        if any(self.take(plan) for plan in self._plans(bars, missing)) or self._try(bars, missing, _NODES):
            return True
        self.left_open = (*self.left_open, Tried(bars=bars, missing=missing))
        return len(self.left_open) < _MOST_OPEN

    def _first_columns(self) -> bool:
        """Fill the pool by the linear program over all choices of bars, and take what it yields."""
        self.pool.add(load for load in self.plan)
        costs, limits = self._costs(), [size.limit for size in self.asked.sizes]
        shares = self.pool.shares(costs, limits, _MISSING_COST * max(costs))
        choice = self.next_choice()
        wall = None if choice is None else self._wall(shares, *choice)
        if wall is not None:
            self.known = replace(self.known, walls=(*self.known.walls, wall))
        return True

    def _by_whole_columns(self) -> bool:
        """Take the best plan that the columns made so far allow, for want of a proof."""
        costs, limits = self._costs(), [size.limit for size in self.asked.sizes]
        self.take(self.pool.whole(costs, limits, _MISSING_COST * max(costs)))
        return False

    def _costs(self) -> list[float]:
        dearest = max(size.key for size in self.asked.sizes)
        return [size.key / dearest for size in self.asked.sizes]

    def _plans(self, bars: Counts, missing: int) -> Iterator[tuple[Load, ...]]:
        """Yield plans on `bars`: by fixing shares one by one, from columns taken whole, from all fillings if few."""
        rounded = dive(self.pool, bars, missing)
        if rounded is not None:
            yield rounded
        for _ in range(2):
            whole = self.pool.whole([0.0] * len(bars), bars, 1.0)
            if whole is not None:
                yield whole
            if not self.pool.add(all_fillings(self.asked, bars)):
                return

    def _wall(self, shares: Shares, bars: Counts, missing: int) -> Wall | None:
        """Return points after the prices of the linear program that rule `bars` out; None when none do."""
        dearest = max(shares.worth, default=0.0)
        for scale in _SCALES if dearest > 0 else ():
            worth = tuple(max(0, math.floor(each / dearest * scale + _NEARLY)) for each in shares.worth)
            fillings = best_fillings(self.asked, worth)
            if fillings is None:
                continue
            wall = Wall(worth=worth, most=tuple(value for value, _ in fillings), reason="points")
            if wall.rules_out(self.asked, bars, missing):
                return wall
        return None
