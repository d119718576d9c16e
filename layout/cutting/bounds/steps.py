"""Points from step functions: dual feasible functions of the length times ones of the width.

A function f is dual feasible on a length L when any lengths that fit in L have values that fit in f(L). The
product of two, one along and one across, then bounds what a sheet holds (Fekete and Schepers, Mathematical
Methods of Operations Research 60, 2004). The three families here are from that paper and from Carlier,
Clautiaux and Moukrim, Computers and Operations Research 34, 2007.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import numpy as np

from layout.cutting.bounds.points import Points
from layout.cutting.values import Kind, Opening

Array = Any
_MULTIPLES = 11
_COMBINED, _COMBINED_MULTIPLES = 12, 7
_MOST_SIZES = 160
_BEYOND = 1 << 60


def step_points(kinds: tuple[Kind, ...], openings: tuple[Opening, ...], kerf: int) -> tuple[Points, ...]:
    """Return the points that prove most for sheets of one size; nothing where sizes differ or have several blanks."""
    rooms = {(b.length + kerf, b.width + kerf) for opening in openings for b in opening.blanks}
    if len(rooms) != 1 or any(len(opening.blanks) != 1 for opening in openings):
        return ()
    (length, width) = rooms.pop()
    if min(length, width) <= 0:
        return ()
    stocks = len(dict.fromkeys(id(opening.stock) for opening in openings))
    along = np.array([[way.length + kerf for way in _both(kind)] for kind in kinds], np.int64)
    across = np.array([[way.width + kerf for way in _both(kind)] for kind in kinds], np.int64)
    unit = int(np.gcd.reduce(np.concatenate([along.ravel(), across.ravel(), [length, width]])))
    found = _best(along // unit, across // unit, length // unit, width // unit, np.array([k.count for k in kinds]))
    if found is None:
        return ()
    values, room = found
    wanted = sum(int(v) * kind.count for v, kind in zip(values, kinds, strict=True))
    return (Points(by_kind=tuple(int(v) for v in values), room=(int(room),) * stocks, wanted=wanted),)


def _both(kind: Kind) -> tuple[Any, Any]:
    return kind.ways[0], kind.ways[-1]


def _best(along: Array, across: Array, length: int, width: int, counts: Array) -> tuple[Array, int] | None:
    """Return values and room of the pair of functions with the most sheets; the less turned value counts."""
    # Beyond this the products do not fit in 64 bits.
    if float(length) * width * len(counts) * _MULTIPLES**2 > 2.0**60:
        return None
    fs, f_room = _family(length, along)
    gs, g_room = _family(width, across)
    best: tuple[float, Array, int] | None = None
    for f, room in zip(fs, f_room, strict=True):
        values = np.minimum(f[:, 0] * gs[:, :, 0], f[:, 1] * gs[:, :, 1])
        sums = values @ counts
        sheets = sums / (room * g_room)
        k = int(np.argmax(sheets))
        if best is None or sheets[k] > best[0] + 1e-12:
            best = (float(sheets[k]), values[k], int(room * g_room[k]))
    return (best[1], best[2]) if best else None


def _family(size: int, x: Array) -> tuple[Array, Array]:
    """Return the values of all functions on `x`, and on the whole `size`; each function once."""
    values, rooms, seen = [], [], set()
    for value, room in _functions(size, x):
        key = (value.tobytes(), room)
        if room > 0 and key not in seen:
            seen.add(key)
            values.append(value)
            rooms.append(room)
    return np.array(values), np.array(rooms, np.int64)


def _functions(size: int, x: Array) -> Iterator[tuple[Array, int]]:
    yield x, size
    steps = _thresholds(size, x)
    for k in steps:
        rounded = _rounded(k, size, x)
        yield rounded, size
        yield _counted(k, size, x)
        yield _counted(k, size, rounded)
    for k in range(1, _MULTIPLES + 1):
        yield _multiple(k, size, x)
    for k in steps[:: max(1, len(steps) // _COMBINED)]:
        rounded = _rounded(k, size, x)
        for n in range(1, _COMBINED_MULTIPLES + 1):
            yield _multiple(n, size, rounded)


def _thresholds(size: int, x: Array) -> list[int]:
    """Return where the functions step: at the sizes, at what they leave, and just beyond."""
    sides = {int(side) for side in np.unique(x)}
    candidates = sides | {size - side for side in sides} | {size - side + 1 for side in sides}
    found = sorted(k for k in candidates if 0 < 2 * k <= size)
    return found[:: max(1, len(found) // _MOST_SIZES)]


def _rounded(k: int, size: int, x: Array) -> Array:
    """Small sizes to nothing, sizes that leave only small ones to the whole."""
    return np.where(x > size - k, size, np.where(x < k, 0, x))


def _counted(k: int, size: int, x: Array) -> tuple[Array, int]:
    """How many times k goes in, the large sizes by what they leave."""
    large = 2 * (size // k - (size - x) // k)
    return np.where(2 * x > size, large, np.where(2 * x == size, size // k, 2 * (x // k))), 2 * (size // k)


def _multiple(k: int, size: int, x: Array) -> tuple[Array, int]:
    """(k + 1) x / size rounded down, in units of size, but exact multiples keep their share."""
    exact = (x * (k + 1)) % size == 0
    return np.where(exact, x * k, x * (k + 1) // size * size), size * k
