"""Points: a whole number for each part, and the most that any sheet can hold of them.

Whoever gives every part points, and knows the most points that a sheet of each stock can hold, knows that
a choice of sheets that holds fewer points than all parts together have cannot do. That is all a bound needs,
and all that somebody else needs to check it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

_MOST_CHOICES = 400_000


@dataclass(frozen=True, kw_only=True, slots=True)
class Points:
    """`by_kind` points of one piece of each kind, `room` the most on a sheet of each stock, `wanted` of all pieces.

    `limited` are kinds of which `room` counts no more copies on a sheet than are wanted at all; of the
    others a sheet is allowed any number, which only makes `room` larger.
    """

    by_kind: tuple[int, ...]
    room: tuple[int, ...]
    wanted: int
    limited: tuple[int, ...] = ()

    def rule_out(self, choice: Sequence[int]) -> bool:
        """Return whether that many sheets of each stock hold too few points for all pieces."""
        return sum(room * n for room, n in zip(self.room, choice, strict=True)) < self.wanted


def cheapest_choice(
    points: Sequence[Points], prices: Sequence[int], left: Sequence[int | None], below: int
) -> tuple[int, ...] | None:
    """Return the cheapest number of sheets of each stock that no points rule out, or None below that cost.

    `left` limits the stocks. Of equal cost the one with the fewest sheets, then the earlier stocks.
    """
    best: tuple[int, int, tuple[int, ...]] | None = None
    for number, choice in enumerate(_choices(points, prices, left, below)):
        cost = sum(price * n for price, n in zip(prices, choice, strict=True))
        found = (cost, sum(choice), choice)
        if cost < below and (best is None or found < best):
            best = found
        if number > _MOST_CHOICES:
            # Too many to look at: claim nothing.
            return tuple(0 for _ in prices)
    return best[2] if best else None


def _choices(
    points: Sequence[Points], prices: Sequence[int], left: Sequence[int | None], below: int
) -> Iterator[tuple[int, ...]]:
    """Yield choices that hold enough points; the count of the last stock is the least that does."""
    last = len(prices) - 1
    # The stock with the cheapest points comes last, so that its count, the largest, need not be tried out.
    order = sorted(range(last + 1), key=lambda k: -_dearness(points, prices, k))
    waiting: list[tuple[int, ...]] = [()]
    while waiting:
        chosen = waiting.pop()
        cost = sum(prices[order[k]] * n for k, n in enumerate(chosen))
        missing = [p.wanted - sum(p.room[order[k]] * n for k, n in enumerate(chosen)) for p in points]
        if len(chosen) == last:
            least = _least(missing, [p.room[order[last]] for p in points])
            limit = left[order[last]]
            if least is not None and (limit is None or least <= limit):
                yield _in_order((*chosen, least), order)
            continue
        k = order[len(chosen)]
        limit, n = left[k], 0
        useful = max((-(-m // max(1, p.room[k])) for m, p in zip(missing, points, strict=True)), default=0)
        top = useful if limit is None else min(useful, limit)
        while n <= max(0, top) and cost + prices[k] * n < below:
            waiting.append((*chosen, n))
            n += 1


def _dearness(points: Sequence[Points], prices: Sequence[int], k: int) -> float:
    room = max((p.room[k] / max(1, p.wanted) for p in points), default=0.0)
    return prices[k] / max(room, 1e-9)


def _least(missing: Sequence[int], room: Sequence[int]) -> int | None:
    """Return the least number of sheets that holds what is missing of every kind of points; None if none does."""
    least = 0
    for m, r in zip(missing, room, strict=True):
        if m > 0:
            if r <= 0:
                return None
            least = max(least, -(-m // r))
    return least


def _in_order(counts: Sequence[int], order: Sequence[int]) -> tuple[int, ...]:
    found = [0] * len(order)
    for k, n in zip(order, counts, strict=True):
        found[k] = n
    return tuple(found)
