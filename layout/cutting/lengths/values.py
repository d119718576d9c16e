"""What the search of lengths works with: kinds of piece, sizes of bar, ways to fill a bar; whole ticks and prices."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from layout.model.lengths import Bar

Counts = tuple[int, ...]
"""How many, kind by kind (a filling of a bar) or size by size (a choice of bars)."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Kind:
    """All pieces of one length: `weight` is the length and one kerf, in ticks; `names` has one entry a piece."""

    weight: int
    names: tuple[str, ...]

    @property
    def count(self) -> int:
        """Return how many pieces there are."""
        return len(self.names)


@dataclass(frozen=True, kw_only=True, slots=True)
class Size:
    """A bar of the job: `room` is its length between the trims and one kerf, in ticks.

    With a kerf added to every piece and to the bar, a filling is right exactly when its weights do not exceed the
    room: n pieces need n - 1 kerfs. `key` orders choices of bars by their sums: cost, then bars to buy, then all
    bars, in one whole number. At most `limit` can be used.
    """

    bar: Bar
    room: int
    key: int
    limit: int


@dataclass(frozen=True, kw_only=True, slots=True)
class Load:
    """A bar of size number `size` with so many pieces of each kind on it."""

    size: int
    counts: Counts


@dataclass(frozen=True, kw_only=True, slots=True)
class Question:
    """The pieces of one material, heaviest kind first, and the sizes of bar that can hold any of them.

    `kerf` and `smallest_offcut` in ticks. `key_unit` is the part of a key that stands for one unit of price, and
    one unit of price is ``1 / price_scale`` of the currency.
    """

    material: str
    kinds: tuple[Kind, ...]
    sizes: tuple[Size, ...]
    kerf: int
    smallest_offcut: int
    key_unit: int
    price_scale: int

    @property
    def wanted(self) -> Counts:
        """Return how many pieces of each kind are wanted."""
        return tuple(kind.count for kind in self.kinds)

    @property
    def pieces(self) -> int:
        """Return how many pieces are wanted in all."""
        return sum(self.wanted)

    def load(self, counts: Sequence[int]) -> int:
        """Return the room that pieces take, in ticks."""
        return sum(kind.weight * count for kind, count in zip(self.kinds, counts, strict=True))

    def key(self, loads: Sequence[Load]) -> int:
        """Return the key of a plan's bars."""
        return sum(self.sizes[load.size].key for load in loads)

    def bars(self, loads: Sequence[Load]) -> Counts:
        """Return how many bars of each size a plan takes."""
        used = Counter(load.size for load in loads)
        return tuple(used[i] for i in range(len(self.sizes)))

    def missing(self, loads: Sequence[Load]) -> Counts:
        """Return how many pieces of each kind a plan lacks."""
        laid = [sum(column) for column in zip(*(load.counts for load in loads), strict=True)] or [0] * len(self.kinds)
        return tuple(want - got for want, got in zip(self.wanted, laid, strict=True))

    def rank(self, loads: Sequence[Load]) -> tuple[int, int]:
        """Return what plans are ordered by: pieces missing, then the key of the bars."""
        return sum(self.missing(loads)), self.key(loads)
