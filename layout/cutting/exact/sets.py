"""All sets of pieces that one sheet yields, and the cheapest choice among them that takes every piece."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

import numpy as np

from layout.cutting.exact.grow import BOXES, LEVELS, SETS, grow
from layout.cutting.goal.arrays import Pattern, Task

Array = Any
_LARGEST_SET = 15
_MARKS_SEED = 30_011
_ROOM = 400


@dataclass(frozen=True, kw_only=True, slots=True)
class Sets:
    """Every set that can be cut: its kinds (rising), its boxes; columns (set, opening) say what it can be cut from.

    A set is offered on the cheapest opening to be had without limit, and on all cheaper ones that are limited.
    """

    of: Task
    members: tuple[tuple[int, ...], ...]
    boxes: tuple[tuple[tuple[int, int], ...], ...]
    columns: Array
    number: dict[tuple[int, ...], int]


def all_sets(of: Task, *, most_sets: int = 120_000, most_work: int = 40_000_000) -> Sets | None:
    """Return every set of kinds that one sheet yields; None when there are too many, or blanks are several."""
    if of.blanks.shape[1] != 1:
        return None
    counts = np.array([kind.count for kind in of.kinds], np.int64)
    start = np.searchsorted(of.kind_of, np.arange(len(counts)))
    ways, n_ways = of.ways[start], of.n_ways[start]
    blanks = of.blanks[:, 0, :]
    areas = ways[:, 0, 0].astype(float) * ways[:, 0, 1]
    of_kind = np.random.RandomState(_MARKS_SEED).randint(1, 2**55, len(counts), dtype=np.int64)
    table = np.full(1 << (2 * most_sets).bit_length(), -1, np.int32)
    marks = np.zeros(most_sets, np.int64)
    members = np.full((most_sets, _LARGEST_SET), -1, np.int32)
    first = np.zeros(most_sets + 1, np.int64)
    boxes = np.zeros((most_sets * 6, 2), np.int64)
    filled = np.zeros(most_sets)
    counters = np.zeros(4, np.int64)
    done = grow(
        ways, n_ways, counts, areas, of_kind, blanks, table, marks, members, first, boxes, filled,
        np.zeros(1 << _LARGEST_SET, np.int64), np.zeros((_ROOM, 2), np.int64), counters,
        float((blanks[:, 0].astype(float) * blanks[:, 1]).max()), most_work,
    )  # fmt: skip
    if not done or counters[LEVELS] >= _LARGEST_SET:
        return None
    number = int(counters[SETS])
    kinds = tuple(tuple(k for k in row if k >= 0) for row in members[:number].tolist())
    ends = first[: number + 1].tolist()
    pairs = [tuple(box) for box in boxes[: int(counters[BOXES])].tolist()]
    return Sets(
        of=of,
        members=kinds,
        boxes=tuple(tuple(pairs[a:b]) for a, b in pairwise(ends)),
        columns=_columns(of, first[: number + 1], boxes[: int(counters[BOXES])]),
        number={kind: i for i, kind in enumerate(kinds)},
    )


def _columns(of: Task, first: Array, boxes: Array) -> Array:
    """Return rows (set, opening), see `Sets`."""
    waiting = np.ones(len(first) - 1, bool)
    found = []
    for t in sorted(range(len(of.prices)), key=lambda t: int(of.prices[t])):
        fits = (boxes[:, 0] <= of.blanks[t, 0, 0]) & (boxes[:, 1] <= of.blanks[t, 0, 1])
        takes = waiting & (np.add.reduceat(fits, first[:-1]) > 0)
        found += [(number, t) for number in np.nonzero(takes)[0]]
        if of.stock_left[of.stock_of[t]] >= of.pieces:
            waiting &= ~takes
    return np.array(found, np.int64).reshape(-1, 2)


def laid(sets: Sets, number: int, pieces: Sequence[int], opening: int) -> Pattern:
    """Return how a set lies on a sheet; `pieces` are the numbers of its pieces, in the order of its members."""
    length, width = (int(side) for side in sets.of.blanks[opening, 0])
    kinds = sets.members[number]
    left: dict[int, list[int]] = {}
    for kind, piece in zip(kinds, pieces, strict=True):
        left.setdefault(kind, []).append(piece)
    box = next(b for b in sets.boxes[number] if b[0] <= length and b[1] <= width)
    placed = [(left[k].pop(0), way, 0, x, y) for k, way, x, y in _lay(sets, kinds, box, 0, 0)]
    return Pattern(opening=opening, laid=tuple(placed))


def _lay(sets: Sets, kinds: tuple[int, ...], box: tuple[int, int], x: int, y: int) -> list[tuple[int, int, int, int]]:
    """Return kind, way, x and y of every piece of a set within a box."""
    if len(kinds) == 1:
        k = kinds[0]
        first = int(np.searchsorted(sets.of.kind_of, k))
        for way in range(int(sets.of.n_ways[first])):
            w, h = (int(side) for side in sets.of.ways[first, way])
            if w <= box[0] and h <= box[1]:
                return [(k, way, x, y)]
    for mask in range(1, 1 << (len(kinds) - 1)):
        one = tuple(k for i, k in enumerate(kinds) if mask >> i & 1)
        two = tuple(k for i, k in enumerate(kinds) if not mask >> i & 1)
        if one not in sets.number or two not in sets.number:
            continue
        for a in sets.boxes[sets.number[one]]:
            for b in sets.boxes[sets.number[two]]:
                if a[0] + b[0] <= box[0] and max(a[1], b[1]) <= box[1]:
                    return _lay(sets, one, a, x, y) + _lay(sets, two, b, x + a[0], y)
                if max(a[0], b[0]) <= box[0] and a[1] + b[1] <= box[1]:
                    return _lay(sets, one, a, x, y) + _lay(sets, two, b, x, y + a[1])
    raise AssertionError("a box that no division of its set explains")
