"""Where cuts can be without loss: the sums of sizes, on the true scale or on a coarser one, rounded down."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

Array = Any
_MOST_WORK = 60_000_000
_LONGEST = 20_000


@dataclass(frozen=True, kw_only=True, slots=True)
class Places:
    """Places along and across, and the sizes of the ways and of the blanks as numbers of a place.

    `ways`: rows (kind, along, across) whose sizes are places; `blanks` rows (along, across) likewise.
    """

    along: Array
    across: Array
    ways: Array
    blanks: Array

    @property
    def work(self) -> int:
        """Return about how many steps a programme over all places and cuts takes."""
        a, b = len(self.along), len(self.across)
        return a * b * (a + b) // 4


def places(ways: Sequence[tuple[int, int, int]], counts: Sequence[int], blanks: Sequence[tuple[int, int]]) -> Places:
    """Return the places for `ways` (kind, length, width) with `counts` by kind on `blanks` (length, width).

    Where there would be too many, lengths are taken on a coarser scale and rounded down, parts and blanks
    alike: whatever fits truly still fits, so a bound stays a bound, if a weaker one.
    """
    longest = max(max(blank) for blank in blanks)
    scale = -(-longest // _LONGEST)
    while True:
        found = _places(ways, counts, blanks, scale)
        if found.work <= _MOST_WORK:
            return found
        scale = max(scale + 1, scale * 5 // 4)


def _places(
    ways: Sequence[tuple[int, int, int]], counts: Sequence[int], blanks: Sequence[tuple[int, int]], scale: int
) -> Places:
    small = [(kind, length // scale, width // scale) for kind, length, width in ways]
    rooms = [(length // scale, width // scale) for length, width in blanks]
    top = max(length for length, _ in rooms), max(width for _, width in rooms)
    # A part as thin as the scale has no size left, and is nothing that a bound could count.
    small = [way for way in small if way[1] > 0 and way[2] > 0 and way[1] <= top[0] and way[2] <= top[1]]
    along = _sums([(way[1], counts[way[0]]) for way in small], top[0])
    across = _sums([(way[2], counts[way[0]]) for way in small], top[1])
    return Places(
        along=along,
        across=across,
        ways=np.array(
            [(k, np.searchsorted(along, w), np.searchsorted(across, h)) for k, w, h in small], np.int64
        ).reshape(-1, 3),
        blanks=np.array(
            [(np.searchsorted(along, w, "right") - 1, np.searchsorted(across, h, "right") - 1) for w, h in rooms],
            np.int64,
        ),
    )


def _sums(sizes: Sequence[tuple[int, int]], top: int) -> Array:
    """Return the sums of sizes up to `top`, no size more often than its count; as bits of a whole number."""
    total: dict[int, int] = {}
    for size, count in sizes:
        total[size] = total.get(size, 0) + count
    mask, bits = (1 << (top + 1)) - 1, 1
    for size, count in total.items():
        step, left = 1, min(count, top // size)
        while left > 0:
            taken = min(step, left)
            bits |= (bits << (size * taken)) & mask
            left -= taken
            step *= 2
    raw = np.frombuffer(bits.to_bytes(top // 8 + 1, "little"), np.uint8)
    return np.nonzero(np.unpackbits(raw, bitorder="little"))[0].astype(np.int64)
