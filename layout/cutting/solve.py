"""One material: the bound at once, a quick plan, then the deep search until the bound is met or the work is done."""

from __future__ import annotations

import time
from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from layout.cutting.bounds.area import area_points
from layout.cutting.bounds.points import Points, cheapest_choice
from layout.cutting.bounds.wide import wide_points
from layout.cutting.effort import Effort
from layout.cutting.prices import Prices, prices_of
from layout.cutting.quick import Question, quick_answer
from layout.cutting.values import Filled
from layout.model.cutting import Ended, RestsOn

_QUICK_PIECES, _QUICK_OPENINGS = 300, 4
_NO_LIMIT = 1 << 62


@dataclass(frozen=True, kw_only=True, slots=True)
class Bound:
    """A cost (whole, see `Prices`) that no plan can go below, and the points that prove it."""

    prices: Prices
    points: tuple[Points, ...]
    choice: tuple[int, ...] | None

    @property
    def cost(self) -> int:
        """Return the cost; beyond every plan when the sheets on hand cannot do."""
        if self.choice is None:
            return _NO_LIMIT
        return sum(price * n for price, n in zip(self.prices.whole, self.choice, strict=True))

    @property
    def rank(self) -> int:
        """Return the rank (see `Prices`) that no plan can go below."""
        return _NO_LIMIT if self.choice is None else self.prices.rank(self.cost, sum(self.choice))


@dataclass(frozen=True, kw_only=True, slots=True)
class Solution:
    """Filled sheets, the pieces left over, and what is known of the cost of other plans.

    `rests_on` says what `least` follows from: from `points`, or from all sets of parts that a sheet can yield.
    """

    sheets: tuple[Filled, ...]
    unplaced: tuple[str, ...]
    prices: Prices
    least: int
    points: tuple[Points, ...] = ()
    rests_on: RestsOn = "points"
    tries: int = 0
    ended: Ended = "proven"

    @property
    def cost(self) -> int:
        """Return the cost of the sheets, whole."""
        return cost_of(self.sheets, self.prices)


def cost_of(sheets: Sequence[Filled], prices: Prices) -> int:
    """Return the cost of filled sheets as a whole number."""
    price = {id(stock): whole for stock, whole in zip(prices.stocks, prices.whole, strict=True)}
    return sum(price[id(sheet.opening.stock)] for sheet in sheets)


def first_bound(question: Question, prices: Prices) -> Bound:
    """Return the bound from areas, from rows of wide pieces and, where numpy's step functions apply, from those."""
    kinds, openings, kerf = question.room_kinds, question.rooms, question.room_kerf
    points = [area_points(kinds, openings, kerf), *wide_points(kinds, openings, kerf)]
    bound = bound_of(points, prices)
    if len({(o.length, o.width) for o in openings}) == 1 and bound.choice is not None:
        from layout.cutting.bounds.steps import step_points

        points += step_points(kinds, openings, kerf)
        bound = bound_of(points, prices)
    return bound


def bound_of(points: Sequence[Points], prices: Prices) -> Bound:
    """Return the bound that follows from points; only the points that it needs are kept."""
    choice = cheapest_choice(points, prices.ranked, prices.left, _NO_LIMIT)
    kept = list(points)
    for one in points:
        fewer = [p for p in kept if p is not one]
        if fewer and cheapest_choice(fewer, prices.ranked, prices.left, _NO_LIMIT) == choice:
            kept = fewer
    return Bound(prices=prices, points=tuple(kept), choice=choice)


@dataclass(kw_only=True, slots=True)
class Clock:
    """When to stop: after `effort.seconds`, counted from the start."""

    effort: Effort
    start: float = field(default_factory=time.perf_counter)

    @property
    def left(self) -> float:
        """Return the seconds left; a very long time without a limit."""
        limit = self.effort.seconds
        return 1e9 if limit is None else max(0.0, limit - (time.perf_counter() - self.start))

    @property
    def taken(self) -> float:
        """Return the seconds since the start."""
        return time.perf_counter() - self.start


@dataclass(frozen=True, kw_only=True, slots=True)
class Begun:
    """A material after its first plan: what was found, the bound, and how long that took (seconds)."""

    question: Question
    found: Solution
    bound: Bound
    seconds: float

    @property
    def is_done(self) -> bool:
        """Return whether no plan can be cheaper, nor have fewer sheets than the cheapest choice has."""
        found = self.found
        return not found.unplaced and found.prices.rank(found.cost, len(found.sheets)) <= self.bound.rank


def begin(question: Question) -> Begun:
    """Return the bound and a quick plan of a material; most home jobs need no more."""
    clock = Clock(effort=Effort())
    pieces = sum(kind.count for kind in question.kinds)
    prices = prices_of(question.openings, pieces)
    bound = first_bound(question, prices)
    quick = None
    if pieces <= _QUICK_PIECES and len(question.openings) <= _QUICK_OPENINGS:
        enough = prices.money(bound.cost) if bound.choice is not None else 0.0
        quick = quick_answer(question, enough)
    found = Solution(
        sheets=quick.sheets if quick else (),
        unplaced=() if quick else tuple(kind.name for kind in question.kinds for _ in range(kind.count)),
        prices=prices,
        least=bound.cost,
        points=bound.points,
        tries=1,
    )
    return Begun(question=question, found=found, bound=bound, seconds=clock.taken)


def finish(begun: Begun, effort: Effort) -> Solution:
    """Return the best plan of a material that the effort allows, and the bound that goes with it."""
    if begun.is_done:
        return replace(begun.found, least=begun.found.cost)
    from layout.cutting.deep import deepen

    return deepen(begun.question, begun.found, begun.bound, Clock(effort=effort))
