"""The places along one side of the sheet that matter: sums of sides, or units when there are too many sums."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import gcd
from typing import TYPE_CHECKING, Any

from layout.cutting.one_sheet.kinds import PieceKind

if TYPE_CHECKING:
    from numpy.typing import NDArray

# Counting copies one by one is exact for pieces that turn; above this, doubling steps give a few more sums.
_ONE_BY_ONE = 8
_FEWEST_UNITS = 2


@dataclass(frozen=True, kw_only=True, slots=True)
class Axis:
    """One side of the sheet, with the places at which a build of pieces can end numbered from 0.

    `exact` when the places are all the sums of sides that fit. Otherwise a place is a number of units, and every
    side counts as its whole units only: whatever fits on the sheet fits in units too, so bounds stay bounds. Not
    `sound` when some side is less than a unit, yet counts as one: then they do not.
    `places` are the sums or the units, ascending from 0; `of` is the place of each way's side (by kind, by way).
    `plus[i, j]` is the place of the sum of places i and j, -1 when there is none on the sheet.
    """

    exact: bool
    sound: bool
    places: NDArray[Any]
    of: tuple[tuple[int, ...], ...]
    plus: NDArray[Any]


def axis_of(kinds: Sequence[PieceKind], side: int, which: int, most: int) -> Axis:
    """Return the places along the sheet's length (`which` 0) or width (1), at most `most` of them."""
    sides = tuple(tuple((way.width if which else way.length) for way in kind.ways) for kind in kinds)
    step = gcd(*(length for some in sides for length in some))
    places = _sums(kinds, sides, side // step, step)
    if places.bit_count() <= most:
        return _of_sums(places, sides, step)
    return _of_units(sides, side, most)


def _sums(kinds: Sequence[PieceKind], sides: Sequence[Sequence[int]], side: int, step: int) -> int:
    """Return the sums of sides up to `side` steps as the set bits of a number."""
    mask, found = (1 << side + 1) - 1, 1
    for kind, lengths in zip(kinds, sides, strict=True):
        steps = sorted({length // step for length in lengths})
        if len(steps) > 1 and kind.most <= _ONE_BY_ONE:
            for _ in range(kind.most):
                found |= (found << steps[0] | found << steps[1]) & mask
        else:
            for one in steps:
                found = _repeated(found, one, min(kind.most, side // one), mask)
    return found


def _repeated(found: int, step: int, times: int, mask: int) -> int:
    """Return the sums with up to `times` of one side more, adding 1, 2, 4 … of it at once."""
    size = 1
    while times > 0:
        taken = min(size, times)
        found |= (found << step * taken) & mask
        times -= taken
        size *= 2
    return found


def _of_sums(found: int, sides: Sequence[Sequence[int]], step: int) -> Axis:
    import numpy as np

    raw = np.frombuffer(found.to_bytes(found.bit_length() // 8 + 1, "little"), dtype=np.uint8)
    places = np.flatnonzero(np.unpackbits(raw, bitorder="little")).astype(np.int64)
    index = {int(place): i for i, place in enumerate(places)}
    total = places[:, None] + places[None, :]
    near = np.minimum(np.searchsorted(places, total), len(places) - 1)
    plus = np.where(places[near] == total, near, -1).astype(np.int32)
    of = tuple(tuple(index[length // step] for length in some) for some in sides)
    return Axis(exact=True, sound=True, places=places, of=of, plus=plus)


def _of_units(sides: Sequence[Sequence[int]], side: int, most: int) -> Axis:
    """Return the axis in the number of units that loses least of the sides when they are rounded down."""
    import numpy as np

    flat = [length for some in sides for length in some]
    least = max(_FEWEST_UNITS, -(-side // min(flat)))
    fine = range(min(most - 1, max(least, most // 2)), most)
    units = max(fine, key=lambda n: (sum(x * n // side for x in flat) / n, -n))
    row = np.arange(units + 1, dtype=np.int64)
    total = row[:, None] + row[None, :]
    plus = np.where(total <= units, total, -1).astype(np.int32)
    of = tuple(tuple(max(1, length * units // side) for length in some) for some in sides)
    return Axis(exact=False, sound=least < most, places=row, of=of, plus=plus)
