"""The referee's check of what a plan of bars claims: points and tried choices are verified, and bounds drawn anew.

The argument: a plan that lays all pieces but k lays at least the sum of all points less the k dearest pieces, and a
bar cannot hold more points than its best filling. So a choice of bars that holds fewer points in all carries no
such plan. Of the choices that remain the best is looked for; no claim may go beyond it.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property

from layout.cutting.lengths.referee_laying import Laying, TooLongError
from layout.model.lengths import Bar, BarJob, BarMaterial, TriedBars, Weights

TOO_LONG = "is too long to check"
_STEP = Fraction(1, 8000)
_MISS = Fraction(1, 1000)
_STATES = 200_000
_CHOICES = 600_000
_Rank = tuple[Fraction, Fraction, Fraction]
_NOTHING: _Rank = (Fraction(0), Fraction(0), Fraction(0))


def claim_faults(job: BarJob, material: BarMaterial) -> Iterator[str]:
    """Yield a sentence for every claim of the plan that does not follow from its own proof."""
    case = _Case(job, material)
    broken = list(case.proof_faults())
    yield from broken
    if not broken:
        yield from case.bound_faults()


@dataclass
class _Case:
    """One material's claims, on whole steps of the grid. A bar's room and a piece's length include one kerf."""

    job: BarJob
    material: BarMaterial

    def __post_init__(self) -> None:
        name = self.material.material
        kerf, trim = _up(self.job.kerf), _up(self.job.trim)
        self.parts = [part for part in self.job.parts if part.material == name]
        self.long = {part.name: _up(part.length) + kerf for part in self.parts}
        self.pieces = sum(part.count for part in self.parts)
        room = {bar.name: _down(bar.length) - 2 * trim + kerf for bar in self.job.bars if bar.material == name}
        # A bar that is not on hand, or holds no piece, is in nobody's plan.
        shortest = min(self.long.values())
        self.bars = [
            bar for bar in self.job.bars if bar.material == name and bar.count != 0 and room[bar.name] >= shortest
        ]
        self.room = {bar.name: room[bar.name] for bar in self.bars}
        self.limit = {bar.name: self.pieces if bar.count is None else min(bar.count, self.pieces) for bar in self.bars}

    @cached_property
    def points(self) -> list[tuple[dict[str, int], dict[str, int]]]:
        return [(dict(weights.worth), dict(weights.most)) for weights in self.material.proof.weights]

    # --- the proof itself

    def proof_faults(self) -> Iterator[str]:
        for number, weights in enumerate(self.material.proof.weights, 1):
            yield from (f"points {number}: {fault}" for fault in self._weights(weights))
        for tried in self.material.proof.tried:
            yield from self._tried(tried)

    def _weights(self, weights: Weights) -> Iterator[str]:
        worth, most = dict(weights.worth), dict(weights.most)
        whole = all(type(value) is int and value >= 0 for value in (*worth.values(), *most.values()))
        named = len(worth) == len(weights.worth) and len(most) == len(weights.most)
        if not whole or not named or set(worth) != set(self.long) or set(most) != set(self.room):
            yield "they must be whole numbers, one for each part and each bar that holds a piece"
            return
        for bar in self.bars:
            try:
                if self._holds_more(worth, self.room[bar.name], most[bar.name]):
                    yield f"a filling of bar {bar.name!r} is worth more than {most[bar.name]}"
            except TooLongError:
                yield f"bar {bar.name!r} {TOO_LONG}"

    def _holds_more(self, worth: dict[str, int], room: int, most: int) -> bool:
        """Return whether some filling of `room` is worth more than `most`: length to worth, part after part."""
        parts = [part for part in self.parts if worth[part.name] and self.long[part.name] <= room]
        parts.sort(key=lambda part: (-Fraction(worth[part.name], self.long[part.name]), part.name))
        reached = {0: 0}
        for part in parts:
            each, long = worth[part.name], self.long[part.name]
            # What is still to come is worth at most this part's rate, the best of the rest.
            hopeful = {at: value for at, value in reached.items() if (most - value) * long < (room - at) * each}
            reached = _lightest(hopeful)
            for at, value in list(reached.items()):
                for n in range(1, min(part.count, (room - at) // long) + 1):
                    if value + n * each > most:
                        return True
                    spot = at + n * long
                    reached[spot] = max(reached.get(spot, 0), value + n * each)
            if len(reached) > _STATES:
                raise TooLongError
        return False

    def _tried(self, tried: TriedBars) -> Iterator[str]:
        bars = dict(tried.bars)
        if set(bars) != set(self.room) or len(bars) != len(tried.bars) or min(bars.values(), default=0) < 0:
            yield "a tried choice of bars names other bars than the job"
            return
        try:
            if self._laid(bars, tried.missing):
                yield f"the pieces can be laid on {dict(tried.bars)}, which the plan says was tried in vain"
        except TooLongError:
            yield f"trying all ways on {dict(tried.bars)} {TOO_LONG}"

    def _laid(self, bars: dict[str, int], missing: int) -> bool:
        pieces = Counter[int]()
        for part in self.parts:
            pieces[self.long[part.name]] += part.count
        rooms = [(self.room[name], min(n, self.pieces)) for name, n in bars.items()]
        return Laying(pieces, rooms).possible(missing)

    # --- what follows from it

    def bound_faults(self) -> Iterator[str]:
        plan = self.material
        missing = len(plan.unplaced)
        fewest = self.fewest_missing()
        if not 0 <= plan.fewest_missing <= min(fewest, missing):
            yield f"{plan.fewest_missing} pieces are said to be missing at least, the proof says {fewest}"
        cheapest = _Best(self, missing, [self.rank(bar) for bar in self.bars])
        fewest_bars = _Best(self, missing, [(Fraction(1), Fraction(0), Fraction(0)) for _ in self.bars])
        cost, sure = cheapest.found()
        least = cost[0] if cost else Fraction(0)
        if plan.least_cost > least + Fraction(1, 10**9) * (1 + abs(least)) or plan.least_cost < 0:
            yield f"no plan is said to cost less than {plan.least_cost}, the proof says {float(least)}"
        number, _ = fewest_bars.found()
        if not 0 <= plan.fewest_bars <= (number[0] if number else 0):
            yield f"no plan is said to take fewer than {plan.fewest_bars} bars, which the proof does not say"
        if plan.proven and not (sure and fewest == missing and cost is not None and cost >= self._own()):
            yield "the plan is called the best, which the proof does not say"
        if plan.proven and not math.isclose(plan.least_cost, plan.cost, rel_tol=1e-12, abs_tol=1e-12):
            yield f"the plan is called the best, but costs {plan.cost}, not {plan.least_cost}"

    def fewest_missing(self) -> int:
        everything = [self.limit[bar.name] for bar in self.bars]
        return next(k for k in range(self.pieces + 1) if not self.ruled_out(everything, k))

    def rank(self, bar: Bar) -> _Rank:
        """Return what a bar adds to a plan's place in the order of plans: cost, bars to buy, bars."""
        return Fraction(repr(float(bar.price))), Fraction(not bar.offcut), Fraction(1)

    def _own(self) -> _Rank:
        return _sum([self.rank(bar.stock) for bar in self.material.bars])

    def needs(self, missing: int) -> list[int]:
        """Return for each set of points what all pieces but the `missing` dearest are worth."""
        found = []
        for worth, _ in self.points:
            each = sorted(worth[part.name] for part in self.parts for _ in range(part.count))
            found.append(sum(each[: max(0, len(each) - missing)]))
        return found

    def gives(self, bar: Bar) -> list[int]:
        return [most[bar.name] for _, most in self.points]

    def in_vain(self, bars: Sequence[int], missing: int) -> bool:
        """Return whether `bars` are among bars on which it was tried in vain to lay as many pieces."""
        for tried in self.material.proof.tried:
            most = dict(tried.bars)
            if missing <= tried.missing and all(n <= most[bar.name] for bar, n in zip(self.bars, bars, strict=True)):
                return True
        return False

    def ruled_out(self, bars: Sequence[int], missing: int) -> bool:
        given = [self.gives(bar) for bar in self.bars]
        sums = [sum(n * gives[i] for n, gives in zip(bars, given, strict=True)) for i in range(len(self.points))]
        short = any(total < need for total, need in zip(sums, self.needs(missing), strict=True))
        return short or self.in_vain(bars, missing)


def _sum(ranks: Sequence[_Rank]) -> _Rank:
    cost, bought, count = (sum((rank[level] for rank in ranks), Fraction(0)) for level in range(3))
    return cost, bought, count


class _Best:
    """The best rank that any choice of bars may have which the proof does not rule out."""

    def __init__(self, case: _Case, missing: int, ranks: list[_Rank]) -> None:
        self.case, self.missing = case, missing
        order = sorted(range(len(ranks)), key=lambda i: (sum(ranks[i], Fraction(0)) / case.room[case.bars[i].name], i))
        self.back = [order.index(i) for i in range(len(order))]
        self.ranks = [ranks[i] for i in order]
        self.bars = [case.bars[i] for i in order]
        self.gives = [case.gives(bar) for bar in self.bars]
        self.rates = [[self._rates(place, level) for place in range(len(order) + 1)] for level in range(3)]
        self.best: _Rank | None = None
        self.nodes = 0

    def found(self) -> tuple[_Rank | None, bool]:
        """Return the best rank (a floor of each level when there are too many choices) and whether it is sure."""
        needs = self.case.needs(self.missing)
        try:
            self._look(0, _NOTHING, needs, [0] * len(self.bars))
        except TooLongError:
            return self._floor(0, _NOTHING, needs), False
        return self.best, True

    def _rates(self, place: int, level: int) -> list[Fraction | None]:
        """Return for each set of points the least that one point from the bars from `place` on adds to a level."""
        rates = []
        for i in range(len(self.case.points)):
            from_here = zip(self.ranks[place:], self.gives[place:], strict=True)
            rates.append(min((Fraction(rank[level]) / give[i] for rank, give in from_here if give[i]), default=None))
        return rates

    def _floor(self, place: int, rank: _Rank, needs: list[int]) -> _Rank | None:
        """Return a rank that none beyond this point is below; None: the bars left cannot give the points."""
        more = []
        for level in range(3):
            floor = Fraction(0)
            for need, rate in zip(needs, self.rates[level][place], strict=True):
                if need > 0 and rate is None:
                    return None
                if need > 0 and rate is not None:
                    floor = max(floor, need * rate)
            more.append(floor if level == 0 else Fraction(math.ceil(floor)))
        return _sum([rank, (more[0], more[1], more[2])])

    def _look(self, place: int, rank: _Rank, needs: list[int], bars: list[int]) -> None:
        self.nodes += 1
        if self.nodes > _CHOICES:
            raise TooLongError
        floor = self._floor(place, rank, needs)
        if floor is None or (self.best is not None and floor >= self.best):
            return
        if place == len(self.bars):
            if not self.case.in_vain([bars[i] for i in self.back], self.missing):
                self.best = rank
            return
        for n in self._numbers(place, needs):
            cost, bought, count = self.ranks[place]
            so_far = _sum([rank, (n * cost, n * bought, n * count)])
            left = [need - n * give for need, give in zip(needs, self.gives[place], strict=True)]
            self._look(place + 1, so_far, left, [*bars[:place], n, *bars[place + 1 :]])

    def _numbers(self, place: int, needs: list[int]) -> range:
        """Return the numbers of a bar that matter: no more than give all points, unless a choice was tried in vain."""
        limit = self.case.limit[self.bars[place].name]
        if self.case.material.proof.tried:
            return range(limit + 1)
        wanted = [-(-need // give) for need, give in zip(needs, self.gives[place], strict=True) if need > 0 and give]
        return range(min(limit, max(wanted, default=0)), -1, -1)


def _lightest(reached: dict[int, int]) -> dict[int, int]:
    """Drop what a shorter filling is worth at least as much as."""
    kept: dict[int, int] = {}
    best = -1
    for at in sorted(reached):
        if reached[at] > best:
            best = kept[at] = reached[at]
    return kept


def _up(mm: float) -> int:
    return math.ceil(Fraction(mm) / _STEP - _MISS)


def _down(mm: float) -> int:
    return math.floor(Fraction(mm) / _STEP + _MISS)
