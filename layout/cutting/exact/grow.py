"""Every set of pieces that edge-to-edge cuts free from one rectangle, each with its smallest boxes.

Sets grow by one piece. A set that cannot be cut has no part in a larger one, so only sets whose every
smaller set can be cut are looked at. The boxes of a set are those of any two sets that make it up, side by
side and one above the other; of those only the ones that no other box fits inside are kept.
"""

from __future__ import annotations

from typing import Any

from layout.cutting.goal.jit import jit

Array = Any

SETS, BOXES, WORK, LEVELS = range(4)
"""The counters: sets, boxes, steps made, and the largest number of pieces of a set."""


@jit
def find(table: Array, marks: Array, mark: int) -> int:
    """Return the number of the set with that mark, -1 when there is none."""
    size = table.shape[0]
    at = (mark ^ (mark >> 31)) & (size - 1)
    while table[at] >= 0:
        if marks[table[at]] == mark:
            return table[at]  # type: ignore[no-any-return]  # arrays hold whole numbers
        at = (at + 1) & (size - 1)
    return -1


@jit
def _enter(table: Array, marks: Array, number: int) -> None:
    size = table.shape[0]
    mark = marks[number]
    at = (mark ^ (mark >> 31)) & (size - 1)
    while table[at] >= 0:
        at = (at + 1) & (size - 1)
    table[at] = number


@jit
def _fits(blanks: Array, w: int, h: int) -> bool:
    for b in range(blanks.shape[0]):
        if w <= blanks[b, 0] and h <= blanks[b, 1]:
            return True
    return False


@jit
def _keep(room: Array, number: int, w: int, h: int) -> int:
    """Add a box to the list unless another fits inside it; remove those it fits inside. Return the new number."""
    for a in range(number):
        if room[a, 0] <= w and room[a, 1] <= h:
            return number
    kept = 0
    for a in range(number):
        if not (w <= room[a, 0] and h <= room[a, 1]):
            room[kept, 0], room[kept, 1] = room[a, 0], room[a, 1]
            kept += 1
    if kept < room.shape[0]:
        room[kept, 0], room[kept, 1] = w, h
        kept += 1
    return kept


@jit
def _join(
    boxes: Array, first: Array, blanks: Array, one: int, two: int, room: Array, number: int, counters: Array
) -> int:
    """Add the boxes of two sets side by side and one above the other."""
    for a in range(first[one], first[one + 1]):
        for c in range(first[two], first[two + 1]):
            counters[WORK] += 1
            w, h = boxes[a, 0] + boxes[c, 0], max(boxes[a, 1], boxes[c, 1])
            if _fits(blanks, w, h):
                number = _keep(room, number, w, h)
            w, h = max(boxes[a, 0], boxes[c, 0]), boxes[a, 1] + boxes[c, 1]
            if _fits(blanks, w, h):
                number = _keep(room, number, w, h)
    return number


@jit
def _store(
    table: Array, marks: Array, members: Array, first: Array, boxes: Array, room: Array, number: int, counters: Array
) -> bool:
    """Store the set whose members and mark stand behind the last one; return whether there was room."""
    n, at = counters[SETS], counters[BOXES]
    if n + 2 > marks.shape[0] or at + number > boxes.shape[0]:
        return False
    for a in range(number):
        boxes[at + a, 0], boxes[at + a, 1] = room[a, 0], room[a, 1]
    first[n] = at
    first[n + 1] = at + number
    _enter(table, marks, n)
    counters[SETS] = n + 1
    counters[BOXES] = at + number
    return True


@jit
def _boxes_of(
    table: Array, marks: Array, members: Array, first: Array, boxes: Array, blanks: Array, of_kind: Array, new: int,
    m: int, sums: Array, room: Array, counters: Array,
) -> int:  # fmt: skip
    """Set the boxes of set `new` of `m` pieces in `room`; return their number."""
    number = 0
    sums[0] = 0
    for mask in range(1, 1 << (m - 1)):
        low, bit = mask & -mask, 0
        while (1 << bit) < low:
            bit += 1
        sums[mask] = sums[mask & (mask - 1)] + of_kind[members[new, bit]]
        counters[WORK] += 1
        # Of equal pieces the earlier ones go first, so that no division is looked at twice.
        again = False
        for i in range(m - 2):
            if (mask >> (i + 1)) & 1 and not (mask >> i) & 1 and members[new, i] == members[new, i + 1]:
                again = True
                break
        if again:
            continue
        one = find(table, marks, sums[mask])
        if one < 0:
            continue
        two = find(table, marks, marks[new] - sums[mask])
        if two >= 0:
            number = _join(boxes, first, blanks, one, two, room, number, counters)
    return number


@jit
def _may_be(table: Array, marks: Array, members: Array, of_kind: Array, new: int, m: int) -> bool:
    """Return whether every set that lacks one of the pieces can be cut."""
    for i in range(m):
        if i > 0 and members[new, i] == members[new, i - 1]:
            continue
        if find(table, marks, marks[new] - of_kind[members[new, i]]) < 0:
            return False
    return True


@jit
def grow(
    ways: Array, n_ways: Array, counts: Array, areas: Array, of_kind: Array, blanks: Array, table: Array, marks: Array,
    members: Array, first: Array, boxes: Array, filled: Array, sums: Array, room: Array, counters: Array,
    most_area: float, most_work: int,
) -> bool:  # fmt: skip
    """Fill the tables with every set that can be cut; return False when there are too many.

    `of_kind` are numbers whose sums stand for sets. `filled` is the area of a set, `members` its kinds,
    rising. boxes[first[n]:first[n + 1]] are the boxes of set n.
    """
    kinds = counts.shape[0]
    for k in range(kinds):
        number = 0
        for way in range(n_ways[k]):
            if _fits(blanks, ways[k, way, 0], ways[k, way, 1]):
                number = _keep(room, number, ways[k, way, 0], ways[k, way, 1])
        n = counters[SETS]
        members[n, 0] = k
        marks[n] = of_kind[k]
        filled[n] = areas[k]
        if not _store(table, marks, members, first, boxes, room, number, counters):
            return False
    start, m = 0, 1
    while start < counters[SETS]:
        counters[LEVELS] = m
        end = counters[SETS]
        m += 1
        for s in range(start, end):
            last = members[s, m - 2]
            for k in range(last, kinds):
                new = counters[SETS]
                if new + 2 > marks.shape[0] or counters[WORK] > most_work:
                    return False
                counters[WORK] += 1
                if filled[s] + areas[k] > most_area:
                    continue
                if m > counts[k] and members[s, m - 1 - counts[k]] == k:
                    continue
                if m > members.shape[1]:
                    return False
                for i in range(m - 1):
                    members[new, i] = members[s, i]
                members[new, m - 1] = k
                marks[new] = marks[s] + of_kind[k]
                filled[new] = filled[s] + areas[k]
                if not _may_be(table, marks, members, of_kind, new, m):
                    continue
                number = _boxes_of(table, marks, members, first, boxes, blanks, of_kind, new, m, sums, room, counters)
                if number >= room.shape[0]:
                    return False
                if number > 0 and not _store(table, marks, members, first, boxes, room, number, counters):
                    return False
        start = end
    return True
