"""The referee's places for cuts: sums of sizes along a side of a sheet, and what a cut at a sum leaves beyond.

Pushed to the low edges as far as they go, pieces end at sums of sizes, none of them more often in a sum than it is
wanted. Only there need cuts be tried, and only at sums to which cuts of the sheets at hand lead.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

Array = Any
Size = tuple[int, int]
"""Length and width with a kerf added, in steps of the grid."""

_MOST_SUMS = 4_000
_LONGEST, _COARSE = 32_000_000, 20_000


def scales(unit: int, longest: int) -> Iterator[int]:
    """Yield the true scale, if it can be thought of, and then coarser and coarser ones."""
    if longest // unit <= _LONGEST:
        yield unit
    scale = max(unit + 1, -(-longest // _COARSE))
    while scale <= longest:
        yield scale
        scale += max(1, scale // 4)


@dataclass(frozen=True, kw_only=True, slots=True)
class Axis:
    """The sums along one side, from 0; for each sum what its cuts, at the sums up to its half, leave beyond."""

    sums: Array
    rests: tuple[Array, ...]

    @property
    def cuts(self) -> int:
        """Return the number of cuts of all sums together."""
        return sum(map(len, self.rests))

    @property
    def bands(self) -> list[tuple[int, int]]:
        """Return spans of sums so near to each other that no cut leads from one to another."""
        import numpy as np

        found, low = [], 1
        while low < len(self.sums):
            high = int(np.searchsorted(self.sums, self.sums[low] + self.sums[1]))
            found.append((low, high))
            low = high
        return found


def axes(sizes: Sequence[tuple[Size, int]], sheets: Sequence[Size], scale: int, work: int) -> tuple[Axis, Axis] | None:
    """Return the sums of sizes, each with how many are wanted, along and across; None: plainly too many for the work.

    All lengths are divided by `scale` and rounded down.
    """
    import numpy as np

    every = [_every(sizes, max(sheet[axis] for sheet in sheets), axis, scale) for axis in (0, 1)]
    if max(map(len, every)) > _MOST_SUMS:
        return None
    # A cut of the largest sheet leads to every sum up to its half, so that those with their own cuts are needed.
    half = [sums[: np.searchsorted(sums, sums[-1] // 2, "right")] for sums in every]
    cuts = [int((np.searchsorted(sums, sums // 2, "right") - 1).sum()) for sums in half]
    if cuts[0] * len(half[1]) + cuts[1] * len(half[0]) > work:
        return None
    along, across = (_met(every[axis], [sheet[axis] // scale for sheet in sheets]) for axis in (0, 1))
    return along, across


def _every(sizes: Sequence[tuple[Size, int]], side: int, axis: int, scale: int) -> Array:
    """Return all sums up to the side of a sheet, none of a size more often than it is wanted."""
    import numpy as np

    top = side // scale
    counts = Counter[int]()
    for size, count in sizes:
        counts[size[axis] // scale] += count
    bits = _bits(counts, top)
    raw = np.frombuffer(bits.to_bytes(top // 8 + 1, "little"), np.uint8)
    return np.nonzero(np.unpackbits(raw, bitorder="little"))[0].astype(np.int64)


def _bits(counts: Counter[int], top: int) -> int:
    """Return the sums up to `top` as the bits of a number, those that are set; not all where there are too many."""
    mask, bits = (1 << (top + 1)) - 1, 1
    for size, count in counts.items():
        left, step = min(count, top // size), 1
        while left:
            taken = min(step, left)
            bits |= (bits << size * taken) & mask
            left, step = left - taken, step * 2
        if bits.bit_count() > _MOST_SUMS:
            break
    return bits


def _met(every: Array, tops: Sequence[int]) -> Axis:
    """Return the sums to which cuts of the sheets can lead, from the largest down."""
    import numpy as np

    met = np.zeros(len(every), bool)
    met[0] = True
    met[np.searchsorted(every, tops, "right") - 1] = True
    for i in range(len(every) - 1, 0, -1):
        if met[i]:
            beyond = _beyond(every, i)
            met[1 : len(beyond) + 1] = True
            met[beyond] = True
    sums = every[met]
    return Axis(sums=sums, rests=tuple(_beyond(sums, i) for i in range(len(sums))))


def _beyond(sums: Array, i: int) -> Array:
    """Return for each cut of sum i, at sums 1, 2 and on up to its half, the number of the sum left beyond."""
    import numpy as np

    half = int(np.searchsorted(sums, sums[i] // 2, "right"))
    return np.searchsorted(sums, sums[i] - sums[1:half], "right") - 1
