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

from layout.cutting.bounds.points import Points
from layout.cutting.bounds.refute import Refuter
from layout.cutting.exact.choose import Exact, choose
from layout.cutting.exact.sets import all_sets
from layout.cutting.goal.arrays import Pattern, Pool, Task, task
from layout.cutting.goal.chain import Chain, patterns_of, pool_pattern
from layout.cutting.goal.covering import cover
from layout.cutting.goal.jit import is_compiled
from layout.cutting.prices import Prices, stock_numbers
from layout.cutting.quick import Question
from layout.cutting.solve import Bound, Clock, Solution, bound_of, cost_of
from layout.cutting.values import Filled, Laid
from layout.model.cutting import Ended

_ROUNDS = {"quick": 6, "normal": 60, "long": 1000}
_STEPS, _FEWEST_STEPS, _MOST_STEPS = 600_000, 200, 20_000
_REFUTE_WORK, _MOST_REFUTE = 200_000_000, 50
_FIRST_COVER, _FIRST_COVER_REFUTING, _COVER_STEPS = 4, 16, 5
_PATTERNS, _MOST_POOLED_PIECES = 40_000, 400
_SET_WORK, _MOST_SETS = {"quick": 4_000_000, "normal": 40_000_000, "long": 400_000_000}, 120_000
_FEW, _WORK_A_SECOND, _LONGEST_CHOICE = 24, 20_000_000, 20.0
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

    def run(self) -> Ended:
        """Search; return what ended it."""
        effort = self.clock.effort
        if effort.tell is not None and not is_compiled():
            effort.tell("compiling the deep search, once on this machine, about 20 s")
        self.points = list(self.bound.points)
        self.least = self.bound.cost
        pooled = _PATTERNS if self.of.pieces <= _MOST_POOLED_PIECES else 0
        self.chains = [Chain(of=self.of, seed=effort.seed * 2 + k, pool=Pool.of(pooled)) for k in (0, 1)]
        for chain in self.chains:
            chain.first_plans()
        self._take_first()
        if self._is_done():
            return "proven"
        if self.of.pieces <= _FEW:
            self._take_sets(self._all_sets())
            if self._is_done():
                return "proven"
        self._aim()
        with ThreadPoolExecutor(2) as hands:
            while self.rounds < _ROUNDS[effort.level]:
                if self.clock.left <= 0:
                    return "time"
                self._round(hands)
                self._tell()
                if self._is_done():
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

    def _rank(self, sheets: Sequence[Filled]) -> tuple[int, int]:
        return cost_of(sheets, self.bound.prices), len(sheets)

    def _is_done(self) -> bool:
        """Return whether no plan can be cheaper; with the fewest sheets that the bound allows at that cost."""
        return not self.found.unplaced and self.found.cost <= self.least

    def _goal(self) -> int:
        """Return the ranked cost that a better plan has at most."""
        if self.found.unplaced:
            return _NO_GOAL
        cost, sheets = self._rank(self.found.sheets)
        return cost * self.bound.prices.sheets + sheets - 1

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
        by_opening = [prices.whole[k] for k in stock_numbers(self.question.openings, prices)]
        return choose(sets, by_opening, self.found.cost - 1, min(self.clock.left, _LONGEST_CHOICE))

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

    def _round(self, hands: ThreadPoolExecutor) -> None:
        self.rounds += 1
        steps = max(_FEWEST_STEPS, min(_MOST_STEPS, _STEPS // self.of.pieces))
        second = self._second_hand(steps)
        if self._covers():
            # Covering takes longer than other work; the first hand does not wait for it.
            steps *= _COVER_STEPS
        other = hands.submit(second) if (os.cpu_count() or 1) > 1 else None
        reached = self.chains[0].step(steps)
        result = other.result() if other else second()
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

    def _covers(self) -> bool:
        """Return whether this is a round for covering: the fourth, and whenever that number has doubled.

        A choice that is about to be ruled out comes first, so early rounds wait for that.
        """
        first = _FIRST_COVER if self.stands else _FIRST_COVER_REFUTING
        doubled = self.rounds >= first and self.rounds & (self.rounds - 1) == 0
        return doubled and not self.found.unplaced and self.of.pieces <= _MOST_POOLED_PIECES

    def _second_hand(self, steps: int) -> Callable[[], Any]:
        """Return what the second hand does in this round."""
        if self._covers():
            counts = [chain.pool.counts.copy() for chain in self.chains]
            goal = self._goal()
            return lambda: self._cover(goal, counts)
        if not self.stands and self.bound.choice is not None:
            return self._refute
        if not self.sets_tried and not self.found.unplaced:
            return self._all_sets
        if self.refuter is not None and not self.settled and self.bound.choice is not None:
            return self._refute_more
        return lambda: self.chains[1].step(steps)

    def _cover(self, goal: int, counts: Sequence[Any]) -> tuple[Filled, ...]:
        pools = [replace(chain.pool, counts=count) for chain, count in zip(self.chains, counts, strict=True)]
        chosen = cover(pools, self.of, goal, max(0.05, min(self.clock.left, 10.0)))
        if chosen is None:
            return ()
        patterns = [pool_pattern(pools[which], number, self.of) for which, number in chosen]
        return filled(_each_once(patterns, self.of), self.of)

    def _refute(self) -> None:
        """Go on ruling out the cheapest choice of sheets that is still open."""
        if self.refuter is None:
            self.refuter = Refuter(self.question.kinds, self.question.rooms, self.question.room_kerf)
            if not self._next_choice():
                return
        rounds = max(1, min(_MOST_REFUTE, _REFUTE_WORK // max(1, self.refuter.where.work)))
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
        self.least = max(self.least, self.bound.cost)
        if self.bound.choice is None or (not self.found.unplaced and self.least >= self.found.cost):
            self.stands = True
            return False
        if self.refuter is not None:
            self.refuter.aim(self.bound.choice)
        return True

    def solution(self, ended: Ended) -> Solution:
        """Return what was found."""
        done = self._is_done()
        return replace(
            self.found,
            least=self.found.cost if done else min(self.least, self.found.cost),
            points=self.bound.points,
            complete=done and self.bound.cost < self.found.cost,
            tries=sum(chain.steps for chain in self.chains),
            ended="proven" if done else ended,
        )


def _each_once(patterns: Sequence[Pattern], of: Task) -> tuple[Pattern, ...]:
    """Return patterns that together hold every piece once: a kind covered too often is left out."""
    left: dict[int, list[int]] = {}
    for piece, kind in enumerate(of.kind_of.tolist()):
        left.setdefault(kind, []).append(piece)
    kept = []
    for pattern in patterns:
        laid = []
        for piece, *rest in pattern.laid:
            of_kind = left[int(of.kind_of[piece])]
            if of_kind:
                laid.append((of_kind.pop(0), *rest))
        if laid:
            kept.append(Pattern(opening=pattern.opening, laid=tuple(laid)))  # type: ignore[arg-type]  # a piece and the four numbers of its place
    return tuple(kept)


def filled(patterns: Sequence[Pattern], of: Task) -> tuple[Filled, ...]:
    """Return patterns as sheets with pieces in ticks from the sheet's corner, the fullest sheets first."""
    sheets = []
    for pattern in patterns:
        opening = of.openings[pattern.opening]
        laid = []
        for piece, way, blank, x, y in pattern.laid:
            kind = of.kinds[int(of.kind_of[piece])]
            on = opening.blanks[blank]
            laid.append(Laid(name=kind.name, x=on.x + x * of.unit, y=on.y + y * of.unit, way=kind.ways[way]))
        sheets.append(Filled(opening=opening, laid=tuple(laid)))
    return tuple(sorted(sheets, key=lambda sheet: -sum(p.way.length * p.way.width for p in sheet.laid)))
