"""All ways to lay pieces on given bars: finds one, or knows that there is none."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from layout.cutting.lengths.values import Load, Question

# Deeper than this the search has no hope, and Python's stack has an end.
_MOST_PIECES = 150


@dataclass(frozen=True, kw_only=True, slots=True)
class Outcome:
    """Loads for the bars, or None; `sure` when None means that there are none."""

    loads: tuple[Load, ...] | None
    sure: bool


def try_all(
    asked: Question, bars: Sequence[int], missing: int, nodes: int, rooms: Sequence[int] | None = None
) -> Outcome:
    """Look for a way to lay all pieces but at most `missing` on so many bars of each size, by at most `nodes` steps.

    `rooms` are the rooms of the bars one by one, size after size, when some bar may not be filled.
    """
    sizes = [i for i, count in enumerate(bars) for _ in range(count)]
    if asked.pieces > _MOST_PIECES:
        return Outcome(loads=None, sure=False)
    search = _Search(asked, sizes, list(rooms or (asked.sizes[i].room for i in sizes)), missing, nodes)
    return search.outcome()


@dataclass(slots=True)
class _Search:
    asked: Question
    sizes: list[int]
    rooms: list[int]
    missing: int
    nodes: int
    pieces: list[int] = field(default_factory=list)
    after: list[int] = field(default_factory=list)
    seen: set[tuple[int, ...]] = field(default_factory=set)
    chosen: list[int] = field(default_factory=list)

    def outcome(self) -> Outcome:
        self.pieces = [i for i, kind in enumerate(self.asked.kinds) for _ in range(kind.count)]
        weights = [self.asked.kinds[i].weight for i in self.pieces]
        self.after = [sum(weights[i:]) for i in range(len(weights) + 1)]
        found = self._lay(0, self.missing)
        return Outcome(loads=self._loads() if found else None, sure=found or self.nodes >= 0)

    def _lay(self, piece: int, missing: int) -> bool:
        """Lay the pieces from `piece` on, longest first; a state of the bars is looked at once."""
        if len(self.pieces) - piece <= missing:
            return True
        self.nodes -= 1
        state = (piece, missing, *sorted(self.rooms))
        if self.nodes < 0 or state in self.seen or self._too_little(piece, missing):
            return False
        self.seen.add(state)
        weight = self.asked.kinds[self.pieces[piece]].weight
        first = {room: bar for bar, room in reversed(list(enumerate(self.rooms))) if room >= weight}
        for room in sorted(first):
            if self._on(first[room], weight, piece, missing):
                return True
        self.chosen.append(-1)
        if missing and self._lay(piece + 1, missing - 1):
            return True
        self.chosen.pop()
        return False

    def _on(self, bar: int, weight: int, piece: int, missing: int) -> bool:
        self.rooms[bar] -= weight
        self.chosen.append(bar)
        if self._lay(piece + 1, missing):
            return True
        self.chosen.pop()
        self.rooms[bar] += weight
        return False

    def _too_little(self, piece: int, missing: int) -> bool:
        """Return whether the rooms that hold any piece are too little for all pieces but the longest ones."""
        smallest = self.asked.kinds[-1].weight
        usable = sum(room for room in self.rooms if room >= smallest)
        return usable < self.after[piece + missing]

    def _loads(self) -> tuple[Load, ...]:
        counts = [[0] * len(self.asked.kinds) for _ in self.sizes]
        # Pieces after the last choice are missing, like those whose choice is -1.
        for kind, bar in zip(self.pieces, self.chosen, strict=False):
            if bar >= 0:
                counts[bar][kind] += 1
        return tuple(
            Load(size=size, counts=tuple(row)) for size, row in zip(self.sizes, counts, strict=True) if any(row)
        )
