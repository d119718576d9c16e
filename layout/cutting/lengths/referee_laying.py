"""The referee's own search for a way to lay pieces on bars, for choices of bars that were tried in vain."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

_TRIES = 200_000


class TooLongError(Exception):
    """A check would take more work than is allowed."""


class Laying:
    """A search of its own for a way to lay pieces on given bars, a whole filling at a time."""

    def __init__(self, pieces: Mapping[int, int], bars: Sequence[tuple[int, int]]) -> None:
        """Take how many pieces of each length there are, and room and number of each bar, in whole steps."""
        self.longs = sorted(pieces, reverse=True)
        self.wanted = tuple(pieces[long] for long in self.longs)
        self.rooms = [room for room, _ in bars]
        self.bars = tuple(n for _, n in bars)
        self.steps = 0
        self.seen: set[tuple[tuple[int, ...], tuple[int, ...], int]] = set()

    def possible(self, missing: int) -> bool:
        """Return whether all but `missing` pieces can be laid."""
        return self._rest(self.wanted, self.bars, missing)

    def _rest(self, left: tuple[int, ...], bars: tuple[int, ...], missing: int) -> bool:
        """Return whether the pieces left fit: the longest of them is on some bar, or is missing."""
        if sum(left) <= missing:
            return True
        if (left, bars, missing) in self.seen or self._over(left, bars, missing):
            return False
        self.seen.add((left, bars, missing))
        first = next(i for i, n in enumerate(left) if n)
        taken = _less(left, first)
        for i, room in enumerate(self.rooms):
            if bars[i] and room >= self.longs[first]:
                fewer = _less(bars, i)
                for rest in self._fillings(taken, room - self.longs[first], first):
                    if self._rest(rest, fewer, missing):
                        return True
        return bool(missing) and self._rest(taken, bars, missing - 1)

    def _over(self, left: tuple[int, ...], bars: tuple[int, ...], missing: int) -> bool:
        """Return whether the pieces left, less the longest that may be missing, are longer than all bars."""
        total = 0
        for long, n in zip(self.longs, left, strict=True):
            gone = min(n, missing)
            missing -= gone
            total += (n - gone) * long
        return total > sum(n * room for n, room in zip(bars, self.rooms, strict=True))

    def _fillings(self, left: tuple[int, ...], room: int, kind: int) -> Iterator[tuple[int, ...]]:
        """Yield what is left after each way to fill `room` until nothing more fits."""
        self.steps += 1
        if self.steps > _TRIES:
            raise TooLongError
        fitting = next((i for i in range(kind, len(left)) if left[i] and self.longs[i] <= room), None)
        if fitting is None:
            if not any(n and long <= room for n, long in zip(left, self.longs, strict=True)):
                yield left
            return
        yield from self._fillings(_less(left, fitting), room - self.longs[fitting], fitting)
        # Without one more of this kind: the next kinds only, and full only if they leave no room for it.
        yield from self._fillings(left, room, fitting + 1)


def _less(counts: tuple[int, ...], at: int) -> tuple[int, ...]:
    return (*counts[:at], counts[at] - 1, *counts[at + 1 :])
