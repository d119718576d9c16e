"""The deep search: all sets of small jobs; else chains, refutation and covering in rounds, on two cores.

A round is a fixed amount of work in two hands that do not touch each other's things, so that the plan is the
same on one core and on two. The one hand searches for a cheaper plan. The other first tries to rule out the
cheapest choice of sheets that is still open; when that comes to its end it searches as well. Now and then
the second hand tries to cover all pieces with the patterns that were met.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np

from layout.cutting.bounds.points import Points, cheapest_choice
from layout.cutting.bounds.refute import Refuter
from layout.cutting.exact.choose import Exact, choose
from layout.cutting.exact.sets import all_sets
from layout.cutting.goal.arrays import Pool, Task, keep_well_filled, pattern_of, task
from layout.cutting.goal.as_sheets import each_once, filled
from layout.cutting.goal.chain import Chain, patterns_of, pool_pattern, strings_of
from layout.cutting.goal.covering import Covering
from layout.cutting.goal.rounding import rounded
from layout.cutting.goal.windows import Windows
from layout.cutting.prices import Prices, stock_numbers
from layout.cutting.quick import Question
from layout.cutting.solve import Bound, Clock, Solution, bound_of, cost_of
from layout.cutting.values import Filled
from layout.model.cutting import Ended

_ROUNDS = {"quick": 4, "normal": 40, "long": 1000}
# A round: so many steps of the search, divided by the number of pieces, and about as long a refutation.
_STEPS, _FEWEST_STEPS, _MOST_STEPS = 1_000_000, 200, 24_000
_REFUTE_WORK, _MOST_REFUTE = 100_000_000, 25
# The steps, at least and by the piece, after which a hand starts anew from patterns that go well together.
_SPELL, _SPELL_A_PIECE = 1_000, 10
# So many rounds look for fewer sheets at the least cost.
_FOR_FEWER = 6
# From so many pieces on a plan is improved in windows, so many a round.
_MANY, _WINDOWS = 150, 8
# Up to so many pieces both hands begin with a search; the second one refutes so much more while the first relaxes.
_SOON, _MEANWHILE = 60, 3
# Which rounds relax the covering (the second, and every fifth after it), and refute with more kinds counted.
_FEW_SHEETS, _FIRST_RELAX, _RELAXES, _REFUTES_MORE = 3, 2, 5, 3
# When patterns are covered with, and how many rounds the first hand works meanwhile.
_FIRST_COVER, _FIRST_COVER_REFUTING, _COVER_STEPS = 8, 16, 12
_PATTERNS = 150_000
_SET_WORK, _MOST_SETS = {"quick": 4_000_000, "normal": 40_000_000, "long": 400_000_000}, 120_000
_VERY_FEW, _FEW, _WORK_A_SECOND, _LONGEST_CHOICE = 10, 24, 20_000_000, 20.0
_NO_END = 1e8
_NO_GOAL = 1 << 60


def deepen(question: Question, found: Solution, bound: Bound, clock: Clock) -> Solution:
    """Return the best plan and bound that the work allowed finds; Ctrl-C and the time limit give the best so far."""
    of = _task(question, bound.prices)
    search = _Search(question=question, of=of, clock=clock, found=found, bound=bound)
    try:
        ended = search.run()
    except KeyboardInterrupt:
        ended = "stopped"
    return search.solution(ended)


def _task(question: Question, prices: Prices) -> Task:
    ranked = prices.ranked
    by_opening = [ranked[k] for k in stock_numbers(question.openings, prices)]
    return task(question.kinds, question.openings, question.saw.kerf, by_opening)


@dataclass(kw_only=True, slots=True)
class _Search:
    question: Question
    of: Task
    clock: Clock
    found: Solution
    bound: Bound
    chains: list[Chain] = field(default_factory=list)
    points: list[Points] = field(default_factory=list)
    refuter: Refuter | None = None
    stands: bool = False
    settled: bool = False
    sets_tried: bool = False
    least: int = 0
    rounds: int = 0
    tries: int = 0
    covering: Covering | None = None
    windows: Windows | None = None
    chances: list[Any] = field(default_factory=list)

    def run(self) -> Ended:
        """Search; return what ended it."""
        effort = self.clock.effort
        self.points = list(self.bound.points)
        self.least = self.bound.rank
        pooled = _PATTERNS if self.of.pieces <= _MANY else 0
        self.chains = [Chain(of=self.of, seed=effort.seed * 2 + k, pool=Pool.of(pooled)) for k in (0, 1)]
        self.chances = [np.random.RandomState(effort.seed * 2 + k) for k in (0, 1)]
        for chain in self.chains:
            chain.first_plans()
        self._take_first()
        if self._is_done():
            return "proven"
        self._aim()
        with ThreadPoolExecutor(2) as hands:
            if _VERY_FEW < self.of.pieces <= _FEW:
                # Mostly a plan that the bound cannot beat is found at once, and all sets need not be looked at.
                self._round(hands)
            if self.of.pieces <= _FEW and not self._is_done():
                self._take_sets(self._all_sets())
                self._aim()
            if self._is_done():
                return "proven"
            while self.rounds < _ROUNDS[effort.level]:
                if self.clock.left <= 0:
                    return "time"
                if self.of.pieces > _MANY and not self.found.unplaced and self.chains[0].best is not None:
                    self._many_round(hands)
                else:
                    self._round(hands)
                self._tell()
                if self._is_done() or (self._is_cheapest() and self.rounds >= _FOR_FEWER):
                    return "proven"
        return "budget"

    def _tell(self) -> None:
        tell = self.clock.effort.tell
        if tell is None:
            return
        if self.found.unplaced:
            tell(f"{len(self.found.unplaced)} pieces have no place yet")
        else:
            tell(f"{len(self.found.sheets)} sheets, trying for less, {self.clock.taken:.0f} s")

    def _take_first(self) -> None:
        for chain in self.chains:
            self._better(chain)
        # Both chains go on from the best plan, also from one of the quick engine, when that is better.
        best = min((c.best for c in self.chains if c.best is not None), key=lambda state: state.cost, default=None)
        for chain in self.chains:
            if best is not None:
                chain.take(best)
        if not self.found.unplaced:
            keep_well_filled(self.of, [sheet.opening for sheet in self.found.sheets])

    def _better(self, chain: Chain) -> bool:
        """Take a chain's plan if it is better than the best; return whether it is."""
        state = chain.best if chain.best is not None else chain.partial
        if state is None:
            return False
        sheets = filled(patterns_of(state, self.of), self.of)
        names = tuple(self.of.kinds[int(self.of.kind_of[i])].name for i in state.unplaced)
        missing = int(self.of.weights[state.unplaced].sum())
        if not self._beats(sheets, names, missing):
            return False
        self.found = replace(self.found, sheets=sheets, unplaced=names)
        return True

    def _beats(self, sheets: tuple[Filled, ...], names: tuple[str, ...], missing: int) -> bool:
        if self.found.unplaced:
            weight = dict(zip((k.name for k in self.of.kinds), self._kind_weights(), strict=True))
            return missing < sum(weight[name] for name in self.found.unplaced)
        return not names and self._rank(sheets) < self._rank(self.found.sheets)

    def _kind_weights(self) -> list[int]:
        first: dict[int, int] = {}
        for piece, kind in enumerate(self.of.kind_of.tolist()):
            first.setdefault(kind, int(self.of.weights[piece]))
        return [first[k] for k in range(len(self.of.kinds))]

    def _rank(self, sheets: Sequence[Filled]) -> int:
        return self.bound.prices.rank(cost_of(sheets, self.bound.prices), len(sheets))

    def _is_done(self) -> bool:
        """Return whether no plan can be cheaper, nor as cheap with fewer sheets."""
        return not self.found.unplaced and self._rank(self.found.sheets) <= self.least

    def _is_cheapest(self) -> bool:
        """Return whether no plan can be cheaper, though one as cheap may have fewer sheets."""
        return not self.found.unplaced and self.found.cost <= self.least // self.bound.prices.sheets

    def _goal(self) -> int:
        """Return the ranked cost that a better plan has at most."""
        return _NO_GOAL if self.found.unplaced else self._rank(self.found.sheets) - 1

    def _aim(self) -> None:
        goal = self._goal()
        for chain in self.chains:
            chain.aim(goal)

    def _all_sets(self) -> Exact | None:
        """Return what every set of pieces that a sheet yields says; None where there are too many."""
        self.sets_tried = True
        if self.found.unplaced or self.question.rooms is not self.question.openings:
            return None
        work = _SET_WORK[self.clock.effort.level]
        if self.clock.left < _NO_END:
            work = min(work, int(self.clock.left * _WORK_A_SECOND))
        sets = all_sets(self.of, most_sets=_MOST_SETS, most_work=work)
        if sets is None:
            return None
        prices = self.bound.prices
        by_opening = [prices.ranked[k] for k in stock_numbers(self.question.openings, prices)]
        return choose(sets, by_opening, self._goal(), min(self.clock.left, _LONGEST_CHOICE))

    def _take_sets(self, exact: Exact | None) -> bool:
        """Take over what all sets say; return whether that is a better plan."""
        if exact is None:
            return False
        # Nothing that counts copies can say more than that.
        self.settled = True
        self.least = max(self.least, exact.least)
        return exact.sheets is not None and self._take_sheets(filled(exact.sheets, self.of))

    def _take_sheets(self, sheets: tuple[Filled, ...]) -> bool:
        if not sheets or (not self.found.unplaced and self._rank(sheets) >= self._rank(self.found.sheets)):
            return False
        self.found = replace(self.found, sheets=sheets, unplaced=())
        return True

    def _many_round(self, hands: ThreadPoolExecutor) -> None:
        """Improve a plan of many pieces a few sheets at a time; the second hand first rules out what it can."""
        self.rounds += 1
        refutes = not self.stands and self.bound.choice is not None
        if self.windows is None:
            self.windows = Windows(of=self.of, seed=self.clock.effort.seed)
            best = self.chains[0].best
            self.windows.begin(strings_of(best, self.of) if best is not None else (), self._goal())
        other = hands.submit(self._refute) if refutes else None
        for _ in range(_WINDOWS):
            if self.clock.left <= 0:
                break
            windows = self.windows.draw(1 if refutes else 2)
            if self.windows.take(windows, list(hands.map(self.windows.search, windows))):
                patterns = [pattern_of(numbers, kind, self.of) for kind, numbers in self.windows.sheets]
                self._take_sheets(filled(patterns, self.of))
                self.windows.begin(self.windows.sheets, self._goal())
        if other is not None:
            other.result()
        self.tries = self._steps() + self.windows.steps

    def _round(self, hands: ThreadPoolExecutor) -> None:
        self.rounds += 1
        before = self._steps()
        steps = max(_FEWEST_STEPS, min(_MOST_STEPS, _STEPS // self.of.pieces))
        pools = self._pools_now()
        covers = self._covers()
        second = self._second_hand(steps, pools, covers=covers)
        other = hands.submit(second) if (os.cpu_count() or 1) > 1 else None
        # Covering takes longer than other work; the first hand does not wait for it.
        reached = self._first_hand(steps * (_COVER_STEPS if covers else 1), pools)
        result = other.result() if other else second()
        # How far a hand came before it was stopped is chance; what it had before is not.
        self.tries = before if self._is_done() else self._steps()
        better = reached and self._better(self.chains[0])
        if isinstance(result, Exact):
            better = self._take_sets(result) or better
        elif isinstance(result, tuple):
            better = self._take_sheets(result) or better
        elif result is True:
            better = self._better(self.chains[1]) or better
        if self.found.unplaced:
            for chain in self.chains:
                better = self._better(chain) or better
            better = better and not self.found.unplaced
        if better:
            best = min((c.best for c in self.chains if c.best is not None), key=lambda state: state.cost, default=None)
            for chain in self.chains:
                if best is not None:
                    chain.take(best)
            self._aim()

    def _look(self, hand: int, steps: int, covering: Covering | None) -> bool:
        """Search with one hand's chain, so many steps; return whether the goal is reached.

        Every spell starts anew from patterns that go well together, once some are known. There is nothing more
        to look for when the other hand has ruled it out meanwhile.
        """
        chain, chance = self.chains[hand], self.chances[hand]
        spell = max(_SPELL, _SPELL_A_PIECE * self.of.pieces)
        for _ in range(max(1, steps // spell)):
            if self.clock.left <= 0 or self._is_done():
                return False
            if covering is not None and covering.shares:
                chain.begin_with(rounded(covering.shares, covering.pools, self.of, chance))
            if chain.step(min(steps, spell)):
                return True
        return False

    def _steps(self) -> int:
        return sum(chain.steps for chain in self.chains)

    def _covers(self) -> bool:
        """Return whether this is a round for covering: the fourth, and whenever that number has doubled.

        A choice that is about to be ruled out comes first, so early rounds wait for that.
        """
        first = _FIRST_COVER if self.stands else _FIRST_COVER_REFUTING
        doubled = self.rounds >= first and self.rounds & (self.rounds - 1) == 0
        return doubled and self._pools()

    def _pools(self) -> bool:
        """Return whether patterns are kept from which a whole plan could be made."""
        return not self.found.unplaced and self.of.pieces <= _MANY

    def _relaxes(self) -> bool:
        many = self._pools() and len(self.found.sheets) > _FEW_SHEETS
        return many and self.rounds % _RELAXES == _FIRST_RELAX

    def _first_hand(self, steps: int, pools: Sequence[Pool]) -> bool:
        """Search; now and then ask which patterns go well together, and begin with those every other round.

        On few sheets nothing stays of a plan that a sheet is taken from, so that long spells do better.
        """
        if self._relaxes():
            self.covering = Covering(pools, self.of)
        return self._look(0, steps, self.covering if self.rounds % 2 else None)

    def _second_hand(self, steps: int, pools: Sequence[Pool], *, covers: bool) -> Callable[[], Any]:
        """Return what the second hand does in this round."""
        if covers:
            goal = self._goal()
            return lambda: self._cover(goal, pools)
        refutes = not self.stands and self.bound.choice is not None
        # A plan that the bound cannot beat is mostly found soon, so both look for one first.
        if refutes and (self.rounds > 1 or not _FEW < self.of.pieces <= _SOON):
            return self._refute
        if not refutes and not self.sets_tried and not self.found.unplaced:
            return self._all_sets
        more = self.refuter is not None and not self.settled and self.bound.choice is not None
        if more and self.rounds % _REFUTES_MORE == 0:
            return self._refute_more
        covering = self.covering
        return lambda: self._look(1, steps, covering)

    def _pools_now(self) -> list[Pool]:
        """Return the pools as they are: the first hand adds to its own meanwhile."""
        return [replace(chain.pool, counts=chain.pool.counts.copy()) for chain in self.chains]

    def _cover(self, goal: int, pools: Sequence[Pool]) -> tuple[Filled, ...]:
        chosen = Covering(pools, self.of).choose(goal, max(0.05, min(self.clock.left, 10.0)))
        if chosen is None:
            return ()
        patterns = [pool_pattern(pools[which], number, self.of) for which, number in chosen]
        return filled(each_once(patterns, self.of), self.of)

    def _refute(self) -> None:
        """Go on ruling out the cheapest choice of sheets that is still open."""
        if self.refuter is None:
            self.refuter = Refuter(self.question.room_kinds, self.question.rooms, self.question.room_kerf)
            if not self._next_choice():
                return
        rounds = max(1, min(_MOST_REFUTE, _REFUTE_WORK // max(1, self.refuter.where.work)))
        # The first hand takes longer when it relaxes.
        rounds *= _MEANWHILE if self._relaxes() else 1
        outcome, points = self.refuter.step(rounds)
        if outcome == "ruled out" and points is not None:
            self.points.append(points)
            self._next_choice()
        elif outcome == "stands":
            self.stands = True

    def _refute_more(self) -> None:
        """Count the copies of one more kind, and go on."""
        self.stands = False
        if self.refuter is None or not self.refuter.count_more():
            self.stands = self.settled = True

    def _next_choice(self) -> bool:
        """Aim at the cheapest open choice below the best plan; return whether there is one."""
        self.bound = bound_of(self.points, self.bound.prices)
        self.least = max(self.least, self.bound.rank)
        if self.bound.choice is None or self._is_done():
            self.stands = True
            return False
        if self.refuter is not None:
            self.refuter.aim(self.bound.choice)
        return True

    def solution(self, ended: Ended) -> Solution:
        """Return what was found."""
        prices, points = self.bound.prices, self.bound.points
        least = min(self.least // prices.sheets, self.found.cost)
        open_below = cheapest_choice(points, prices.whole, prices.left, least) is not None
        return replace(
            self.found,
            least=least,
            points=points,
            rests_on="sets" if open_below else "points",
            tries=self.tries,
            ended="proven" if self._is_cheapest() else ended,
        )
