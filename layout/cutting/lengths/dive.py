"""A plan from the linear program by fixing fillings step by step, and solving again for what is left."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from layout.cutting.lengths.columns import Pool, without_extras
from layout.cutting.lengths.try_all import try_all
from layout.cutting.lengths.values import Counts, Load, Question

_STEPS = 200
_FEW_PIECES = 40
_NODES = 4_000
_MISSING_COST = 10.0
# Shares of the linear program are right to about this.
_SOME = 1e-6


def dive(pool: Pool, bars: Counts, missing: int) -> tuple[Load, ...] | None:
    """Return a plan on `bars` that lacks at most `missing` pieces, or None when this way leads to none.

    Whole shares are taken as they are; where there are none, the largest share is taken once. When few pieces are
    left, all ways to lay them are tried.
    """
    taken: list[Load] = []
    asked, rest = pool.asked, bars
    columns = pool.columns
    for _ in range(_STEPS):
        left = asked.missing(taken)
        rest = tuple(n - used for n, used in zip(bars, asked.bars(taken), strict=True))
        small = _what_is_left(asked, left)
        if sum(left) <= missing:
            return tuple(taken)
        if sum(left) <= _FEW_PIECES:
            found = try_all(small, useful(small, rest), missing, _NODES).loads
            if found is not None:
                return (*taken, *found)
        if pool.late or not any(rest):
            return None
        further = Pool(small, pool.deadline)
        further.add(load for load in columns if all(n <= most for n, most in zip(load.counts, left, strict=True)))
        chosen = _chosen(further, rest)
        columns = further.columns
        if not chosen:
            return None
        taken += chosen
    return None


def useful(asked: Question, bars: Sequence[int]) -> Counts:
    """Return no more bars of a size than pieces fit on it: the others stay empty."""
    return tuple(
        min(n, sum(kind.count for kind in asked.kinds if kind.weight <= size.room))
        for n, size in zip(bars, asked.sizes, strict=True)
    )


def _what_is_left(asked: Question, left: Sequence[int]) -> Question:
    kinds = tuple(replace(kind, names=kind.names[:n]) for kind, n in zip(asked.kinds, left, strict=True))
    return replace(asked, kinds=kinds)


def _chosen(pool: Pool, bars: Counts) -> list[Load]:
    dearest = max(size.key for size in pool.asked.sizes)
    times = pool.shares([size.key / dearest for size in pool.asked.sizes], bars, _MISSING_COST).times
    shares = list(zip(pool.columns, times, strict=False))
    whole = [load for load, n in shares for _ in range(math.floor(n + _SOME))]
    if not whole:
        # The fuller of two equal shares: small pieces are kept for the end, where they fill gaps.
        largest = max(shares, key=lambda share: (round(share[1], 6), pool.asked.load(share[0].counts)), default=None)
        whole = [largest[0]] if largest is not None and largest[1] > _SOME else []
    return list(without_extras(pool.asked, whole))
