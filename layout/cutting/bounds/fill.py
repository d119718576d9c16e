"""The most points that edge-to-edge cuts can get out of a rectangle: a dynamic programme over places.

Of most kinds a rectangle may hold any number of copies. Kinds in `limited` are counted: a state says how
many copies of each are still allowed, and a cut shares them out between its two sides.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from layout.cutting.bounds.places import Places
from layout.cutting.goal.jit import jit

Array = Any


def down_table(places: Array) -> Array:
    """Return the number of the place at or below places[i] - places[j], -1 where j is beyond i."""
    rest = places[:, None] - places[None, :]
    return (np.searchsorted(places, rest, "right") - 1).astype(np.int32)


@jit
def fill(
    most: Array, ways: Array, points: Array, along: Array, across: Array, down_a: Array, down_b: Array,
    shares: Array, starts: Array, needs: Array,
) -> None:  # fmt: skip
    """Set most[state, i, j] to the points of rectangle (along[i], across[j]) with that state's copies allowed.

    shares[starts[d]:starts[d + 1]] are the ways to share state d between two sides; needs[d, k] is the state
    left after a piece of kind k, -1 where none is allowed any more.
    """
    for d in range(most.shape[0]):
        most[d, :, :] = 0
        for r in range(ways.shape[0]):
            kind, i, j = ways[r, 0], ways[r, 1], ways[r, 2]
            if needs[d, kind] >= 0:
                most[d, i, j] = max(most[d, i, j], points[kind])
    for d in range(most.shape[0]):
        for i in range(1, along.shape[0]):
            for j in range(1, across.shape[0]):
                best = max(most[d, i, j], most[d, i - 1, j], most[d, i, j - 1])
                for x in range(starts[d], starts[d + 1]):
                    one, two = shares[x, 0], shares[x, 1]
                    k = 1
                    while 2 * along[k] <= along[i]:
                        best = max(best, most[one, k, j] + most[two, down_a[i, k], j])
                        k += 1
                    k = 1
                    while 2 * across[k] <= across[j]:
                        best = max(best, most[one, i, k] + most[two, i, down_b[j, k]])
                        k += 1
                most[d, i, j] = best


def pattern(
    most: Array, where: Places, points: Array, down: tuple[Array, Array], states: tuple[Array, Array, Array],
    at: tuple[int, int, int],
) -> Array:  # fmt: skip
    """Return how many pieces of each kind a best filling of rectangle `at` (state, i, j) holds."""
    held = np.zeros(len(points), np.int64)
    by_size: dict[tuple[int, int], list[int]] = {}
    for kind, i, j in where.ways.tolist():
        by_size.setdefault((i, j), []).append(kind)
    waiting = [at]
    while waiting:
        d, i, j = waiting.pop()
        value = most[d, i, j]
        if value == 0:
            continue
        if most[d, i - 1, j] == value:
            waiting.append((d, i - 1, j))
        elif most[d, i, j - 1] == value:
            waiting.append((d, i, j - 1))
        else:
            kind = next((k for k in by_size.get((i, j), ()) if points[k] == value and states[2][d, k] >= 0), None)
            if kind is not None:
                held[kind] += 1
            else:
                waiting += _split(most, where, down, states, (d, i, j))
    return held


def _split(
    most: Array, where: Places, down: tuple[Array, Array], states: tuple[Array, Array, Array], at: tuple[int, int, int]
) -> list[tuple[int, int, int]]:
    """Return the two sides of a cut that loses nothing."""
    d, i, j = at
    shares, starts, _ = states
    a = np.arange(1, int(np.searchsorted(2 * where.along, where.along[i], "right")))
    b = np.arange(1, int(np.searchsorted(2 * where.across, where.across[j], "right")))
    for one, two in shares[starts[d] : starts[d + 1]].tolist():
        if len(a):
            hit = np.nonzero(most[one, a, j] + most[two, down[0][i, a], j] == most[d, i, j])[0]
            if len(hit):
                k = int(a[hit[0]])
                return [(one, k, j), (two, int(down[0][i, k]), j)]
        if len(b):
            hit = np.nonzero(most[one, i, b] + most[two, i, down[1][j, b]] == most[d, i, j])[0]
            if len(hit):
                k = int(b[hit[0]])
                return [(one, i, k), (two, i, int(down[1][j, k]))]
    raise AssertionError("a value that no cut explains")


def states_of(limited: tuple[int, ...], counts: tuple[int, ...], kinds: int) -> tuple[Array, Array, Array]:
    """Return shares, their starts and needs (see `fill`) for the kinds that are counted."""
    radix = [counts[k] + 1 for k in limited]
    total = int(np.prod(radix)) if radix else 1
    digits = [_digits(d, radix) for d in range(total)]
    number = {digit: d for d, digit in enumerate(digits)}
    shares, starts = [], [0]
    for digit in digits:
        for other in digits:
            if all(o <= x for o, x in zip(other, digit, strict=True)):
                rest = tuple(x - o for x, o in zip(digit, other, strict=True))
                shares.append((number[other], number[rest]))
        starts.append(len(shares))
    needs = np.zeros((total, kinds), np.int64)
    for d, digit in enumerate(digits):
        needs[d, :] = d
        for place, k in enumerate(limited):
            less = tuple(x - (p == place) for p, x in enumerate(digit))
            needs[d, k] = number.get(less, -1)
    return np.array(shares, np.int64), np.array(starts, np.int64), needs


def _digits(number: int, radix: list[int]) -> tuple[int, ...]:
    found = []
    for r in radix:
        found.append(number % r)
        number //= r
    return tuple(found)
