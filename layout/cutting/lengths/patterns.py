"""All fillings of the bars to which nothing more can be added, when there are few."""

from __future__ import annotations

from collections.abc import Sequence

from layout.cutting.lengths.values import Counts, Load, Question

_MOST = 2_500


def all_fillings(asked: Question, bars: Sequence[int]) -> list[Load]:
    """Return every full filling of each size of which `bars` has any; nothing when there are too many."""
    found: list[Load] = []
    for size, count in enumerate(bars):
        fillings = _fillings(asked, asked.sizes[size].room, _MOST - len(found)) if count else []
        if fillings is None:
            return []
        found += [Load(size=size, counts=counts) for counts in fillings]
    return found


def _fillings(asked: Question, room: int, most: int) -> list[Counts] | None:
    """Return the full fillings of a room; None when there are more than `most`."""
    found: list[Counts] = []
    waiting: list[tuple[Counts, int]] = [((), room)]
    steps = 0
    while waiting:
        counts, left = waiting.pop()
        steps += 1
        if len(found) > most or steps > 40 * _MOST:
            return None
        if len(counts) == len(asked.kinds):
            found += [counts] if _full(asked, counts, left) else []
            continue
        kind = asked.kinds[len(counts)]
        waiting += [((*counts, n), left - n * kind.weight) for n in range(min(kind.count, left // kind.weight) + 1)]
    return found


def _full(asked: Question, counts: Counts, left: int) -> bool:
    return not any(kind.weight <= left and n < kind.count for kind, n in zip(asked.kinds, counts, strict=True))
