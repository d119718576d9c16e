"""Points: a whole number for each part, and the most that any sheet can hold of them.

Whoever gives every part points, and knows the most points that a sheet of each stock can hold, knows that
a choice of sheets that holds fewer points than all parts together have cannot do. That is all a bound needs,
and all that somebody else needs to check it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

_MOST_CHOICES = 200_000
# Far more than what floats can be off.
_SLACK = 1e-9


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
    # The stock with the cheapest points comes last, so that its count, the largest, need not be tried out.
    order = sorted(range(len(prices)), key=lambda k: -_dearness(points, prices, k))
    best: tuple[int, int, tuple[int, ...]] | None = None
    waiting: list[tuple[int, ...]] = [()]
    for _ in range(_MOST_CHOICES):
        if not waiting:
            return best[2] if best else None
        chosen = waiting.pop()
        cost = sum(prices[order[k]] * n for k, n in enumerate(chosen))
        missing = [p.wanted - sum(p.room[order[k]] * n for k, n in enumerate(chosen)) for p in points]
        rest = order[len(chosen) :]
        most = best[0] if best else below
        if chosen and cost <= most and max(missing, default=0) > 0:
            # One more of this stock, when all with so many have been looked at.
            more, k = chosen[-1] + 1, order[len(chosen) - 1]
            if _is_left(left[k], more):
                waiting.append((*chosen[:-1], more))
        if cost + _at_least(points, prices, rest, missing) > most:
            continue
        k = rest[0]
        if len(rest) > 1:
            waiting.append((*chosen, 0))
            continue
        least = _least(missing, [p.room[k] for p in points])
        if least is not None and _is_left(left[k], least) and cost + prices[k] * least < below:
            choice = _in_order((*chosen, least), order)
            found = (cost + prices[k] * least, sum(choice), choice)
            best = found if best is None else min(best, found)
    # Too many to look at: claim nothing.
    return tuple(0 for _ in prices)


def _is_left(limit: int | None, number: int) -> bool:
    return limit is None or number <= limit


def _at_least(points: Sequence[Points], prices: Sequence[int], stocks: Sequence[int], missing: Sequence[int]) -> int:
    """Return a cost that what is missing takes at least, with parts of sheets; rounded down with room to spare."""
    dearest = 0.0
    for p, m in zip(points, missing, strict=True):
        if m > 0:
            cheapest = min((prices[k] / p.room[k] for k in stocks if p.room[k] > 0), default=0.0)
            dearest = max(dearest, m * cheapest)
    return int(dearest * (1 - _SLACK))


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
