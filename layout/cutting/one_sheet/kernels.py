"""The inner loops, in the part of Python that can also be compiled; `compiled` gives the fast twin of this module.

Nothing here allocates more than it is handed, calls anything but arrays and its neighbours, or knows of pieces.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from layout.cutting.one_sheet.store import (
    ABOVE,
    BESIDE,
    BEST,
    BEST_BUILD,
    BLOCK,
    BUILDS,
    CELLS,
    EMPTY,
    FULL,
    KEPT,
    WORK,
)

# Keys of equal counts are equal; they add up modulo this prime, so that no sum leaves 64 bits.
PRIME = 2**61 - 1
# A build is compared with no more than this many of its slot: missing one costs time, never an answer.
_COMPARED = 256


def best_values(gain: Any, xs: Any, ys: Any, best: Any) -> None:
    """Fill `best[i, j]` with the most that the rectangle up to place (i, j) can hold, copies unlimited.

    `gain[i, j]` is the value of the best piece of exactly that size, 0 for none; `xs` and `ys` the splits.
    """
    for i in range(1, gain.shape[0]):
        for j in range(1, gain.shape[1]):
            found = max(gain[i, j], best[i - 1, j], best[i, j - 1])
            for p in range(xs.start[i], xs.start[i + 1]):
                found = max(found, best[xs.low[p], j] + best[xs.high[p], j])
            for p in range(ys.start[j], ys.start[j + 1]):
                found = max(found, best[i, ys.low[p]] + best[i, ys.high[p]])
            best[i, j] = found


def rest_values(best: Any, plus_x: Any, plus_y: Any, rest: Any) -> None:
    """Fill `rest[i, j]` with the most that the sheet can hold around a build that ends at place (i, j).

    Whatever holds the build grows from it by joins: the other part is as long or as wide as the build so far.
    """
    last_x, last_y = best.shape[0] - 1, best.shape[1] - 1
    for i in range(last_x, -1, -1):
        for j in range(last_y, -1, -1):
            found = 0
            if i < last_x:
                found = max(found, rest[i + 1, j])
            if j < last_y:
                found = max(found, rest[i, j + 1])
            for u in range(1, last_x - i + 1):
                to = plus_x[i, u]
                if to >= 0:
                    found = max(found, best[u, j] + rest[to, j])
            for v in range(1, last_y - j + 1):
                to = plus_y[j, v]
                if to >= 0:
                    found = max(found, best[i, v] + rest[i, to])
            rest[i, j] = found


def trace(best: Any, gain: Any, way: Any, xs: Any, ys: Any, out: Any) -> int:  # noqa: PLR0917 - compiled code takes its arguments by place
    """Write how `best` at the last place comes about to `out`, joins before their parts; return how many numbers.

    A number from 0 is a way of a piece; the negative ones say: empty, beside, above.
    """
    stack = [(best.shape[0] - 1, best.shape[1] - 1)]
    written = 0
    while len(stack) > 0 and written < len(out):
        i, j = stack.pop()
        value = best[i, j]
        if value == 0:
            out[written] = EMPTY
        elif best[i - 1, j] == value:
            stack.append((i - 1, j))
            continue
        elif best[i, j - 1] == value:
            stack.append((i, j - 1))
            continue
        elif gain[i, j] == value:
            out[written] = way[i, j]
        else:
            out[written] = _split(best, xs, ys, i, j, stack)
        written += 1
    return written


def _split(best: Any, xs: Any, ys: Any, i: int, j: int, stack: Any) -> int:  # noqa: PLR0917 - compiled code takes its arguments by place
    """Push the two parts of the split that gives the value of (i, j), and return how they join."""
    value = best[i, j]
    for p in range(xs.start[i], xs.start[i + 1]):
        if best[xs.low[p], j] + best[xs.high[p], j] == value:
            stack.append((int(xs.high[p]), j))
            stack.append((int(xs.low[p]), j))
            return BESIDE
    for p in range(ys.start[j], ys.start[j + 1]):
        if best[i, ys.low[p]] + best[i, ys.high[p]] == value:
            stack.append((i, int(ys.high[p])))
            stack.append((i, int(ys.low[p])))
            return ABOVE
    return EMPTY


def expand(store: Any, facts: Any, first: int, last: int, target: Any, least: int) -> None:  # noqa: PLR0917 - compiled code takes its arguments by place
    """Join the builds of the cells `order[first:last]` with each other and with all before them.

    A build is kept while it can still lead to a plain value of `target[0]` or more, with `target[1]` the same at
    prices (`target[2]` times the value, less the price of all copies), and while its own bound is `least` or more.
    The store is full when it has no room left or the work reaches `target[3]`.
    """
    tally = store.tally
    for at in range(first, last):
        cell = facts.order[at]
        if store.cells[cell] < 0:
            continue
        if _take(store, facts, cell, target, least) == 0:
            continue
        here = tally[CELLS] - 1
        for p in range(_partners(store, facts, here, target)):
            _join(store, facts, here, store.partner[p] // 2, store.partner[p] % 2, target)
            if tally[WORK] >= target[3]:
                tally[FULL] = 1
            if tally[FULL] > 0:
                return


def _partners(store: Any, facts: Any, here: int, target: Any) -> int:
    """List the finished cells, each with an axis, whose best build joined with the best one here may be worth it."""
    width = facts.plus_y.shape[0]
    x, y = store.done[here] // width, store.done[here] % width
    need = target[1] + target[2] * _needed(store.tally, target) - store.top[here]
    work = store.tally[WORK:]
    found = _along(facts.plus_x[x], facts.rest, store.across, y, need, store.partner, work)
    for p in range(found):
        at = store.partner[p]
        store.partner[p] = 2 * store.index[at // width, at % width]
    both = found + _along(facts.plus_y[y], facts.rest_turned, store.along, x, need, store.partner[found:], work)
    for p in range(found, both):
        at = store.partner[p]
        store.partner[p] = 2 * store.index[at % facts.rest.shape[0], at // facts.rest.shape[0]] + 1
    return both


def _along(plus: Any, rest: Any, grid: Any, side: int, need: int, partner: Any, work: Any) -> int:  # noqa: PLR0917 - as above
    """List the cells of `grid` (row · columns + column) worth a join that adds rows; return how many.

    `plus[row]` is the row that the join ends at, `side` the column of the cell that looks for partners. A whole row
    or a block of it is passed over when its best build joined at its least column would not do: nearly all of the
    time of a search goes here, and nearly all blocks are passed over.
    """
    columns = rest.shape[1]
    found = 0
    for row in range(1, len(plus)):
        to = plus[row]
        if to < 0 or grid.rows[row] + rest[to, side] < need:
            continue
        work[0] += grid.blocks.shape[1]
        for block in range(grid.blocks.shape[1]):
            begin = block * BLOCK
            if grid.blocks[row, block] + rest[to, max(begin, side)] < need:
                continue
            for column in range(begin, min(begin + BLOCK, columns)):
                if grid.cells[row, column] + rest[to, max(column, side)] >= need:
                    partner[found] = row * columns + column
                    found += 1
    return found


def _enter(grid: Any, row: int, column: int, worth: int) -> None:
    """Write what the best build of a finished cell is worth to a grid."""
    grid.cells[row, column] = worth
    grid.rows[row] = max(grid.rows[row], worth)
    grid.blocks[row, column // BLOCK] = max(grid.blocks[row, column // BLOCK], worth)


def _needed(tally: Any, target: Any) -> Any:
    """Return by how much the plain value asked for has risen since a better answer was found."""
    return max(0, tally[BEST] + 1 - target[0])


def _take(store: Any, facts: Any, cell: int, target: Any, least: int) -> int:
    """Move the waiting builds of a cell that are worth it to the kept ones, best first; return how many."""
    tally, width = store.tally, facts.plus_y.shape[0]
    rest = facts.rest[cell // width, cell % width]
    worth_it = max(least, target[1] + target[2] * _needed(tally, target)) - rest
    begin = end = tally[KEPT]
    build = store.cells[cell]
    while build >= 0:
        if not store.dead[build] and store.worth[build] >= worth_it:
            store.kept[end] = build
            end += 1
        build = store.queue[build]
    if end > begin:
        taken = store.kept[begin:end].copy()
        store.kept[begin:end] = taken[np.argsort(-store.worth[taken], kind="mergesort")]
        store.done[tally[CELLS]] = cell
        store.start[tally[CELLS]] = begin
        store.long[tally[CELLS]] = end - begin
        store.top[tally[CELLS]] = store.worth[store.kept[begin]]
        store.index[cell // width, cell % width] = tally[CELLS]
        _enter(store.across, cell // width, cell % width, store.worth[store.kept[begin]])
        _enter(store.along, cell % width, cell // width, store.worth[store.kept[begin]])
        tally[CELLS] += 1
        tally[KEPT] = end
    return int(end - begin)


def _join(store: Any, facts: Any, here: int, there: int, axis: int, target: Any) -> None:  # noqa: PLR0917 - compiled code takes its arguments by place
    """Join every build of one finished cell with every one of another, as long as it can be worth it."""
    tally, width = store.tally, facts.plus_y.shape[0]
    a, b = store.done[here], store.done[there]
    if axis == 0:
        x, y = facts.plus_x[a // width, b // width], max(a % width, b % width)
    else:
        x, y = max(a // width, b // width), facts.plus_y[a % width, b % width]
    need = target[1] + target[2] * _needed(tally, target) - facts.rest[x, y]
    plain = target[0] + _needed(tally, target) - facts.plain[x, y]
    for p in range(store.start[here], store.start[here] + store.long[here]):
        one = store.kept[p]
        if store.worth[one] + store.top[there] < need:
            return
        begin = p if here == there else store.start[there]
        for q in range(begin, store.start[there] + store.long[there]):
            other = store.kept[q]
            tally[WORK] += 1
            if store.worth[one] + store.worth[other] < need:
                break
            if store.value[one] + store.value[other] >= plain and _may_join(store, facts, one, other, axis):
                _add(store, facts, one, other, axis, x, y)
                if tally[FULL] > 0:
                    return


def _may_join(store: Any, facts: Any, one: int, other: int, axis: int) -> bool:
    """Return whether two builds use no more copies than there are, and fit together on the real sheet."""
    if store.dead[one] or store.dead[other]:
        return False
    if axis == 0:
        if store.length[one] + store.length[other] > facts.sheet[0]:
            return False
    elif store.width[one] + store.width[other] > facts.sheet[1]:
        return False
    for k in range(len(facts.most)):  # noqa: SIM110 - a generator would not compile
        if store.counts[one, k] + store.counts[other, k] > facts.most[k]:
            return False
    return True


def _add(store: Any, facts: Any, one: int, other: int, axis: int, x: int, y: int) -> None:  # noqa: PLR0917 - compiled code takes its arguments by place
    """Write the join of two builds behind the last build, and keep it if none is as good in no more room."""
    new = store.tally[BUILDS]
    if axis == 0:
        store.length[new] = store.length[one] + store.length[other]
        store.width[new] = max(store.width[one], store.width[other])
    else:
        store.length[new] = max(store.length[one], store.length[other])
        store.width[new] = store.width[one] + store.width[other]
    store.x[new], store.y[new] = x, y
    store.worth[new] = store.worth[one] + store.worth[other]
    store.value[new] = store.value[one] + store.value[other]
    store.key[new] = (store.key[one] + store.key[other]) % PRIME
    for k in range(len(facts.most)):
        store.counts[new, k] = store.counts[one, k] + store.counts[other, k]
    store.first[new], store.second[new], store.axis[new] = one, other, axis
    settle(store, x * facts.plus_y.shape[0] + y)


def settle(store: Any, cell: int) -> None:
    """Count the build written last and queue it in its cell, unless another makes it useless."""
    new, tally = store.tally[BUILDS], store.tally
    slot = store.key[new] % len(store.heads)
    if _beaten(store, new, slot):
        return
    store.dead[new] = False
    store.chain[new] = store.heads[slot]
    store.heads[slot] = new
    store.queue[new] = store.cells[cell]
    store.cells[cell] = new
    tally[BUILDS] = new + 1
    if store.value[new] > tally[BEST]:
        tally[BEST], tally[BEST_BUILD] = store.value[new], new
    if new + 1 >= len(store.x) - 1:
        tally[FULL] = 1


def _beaten(store: Any, new: int, slot: int) -> bool:
    """Return whether a build of the same counts takes no more room and is worth as much; kill those it beats."""
    build, seen = store.heads[slot], 0
    while build >= 0 and seen < _COMPARED:
        seen += 1
        if store.key[build] == store.key[new] and not store.dead[build] and _alike(store, build, new):
            if _as_good(store, build, new):
                return True
            if _as_good(store, new, build):
                store.dead[build] = True
        build = store.chain[build]
    return False


def _alike(store: Any, one: int, other: int) -> bool:
    """Return whether two builds use the same copies of every limited kind."""
    for k in range(store.counts.shape[1]):  # noqa: SIM110 - a generator would not compile
        if store.counts[one, k] != store.counts[other, k]:
            return False
    return True


def _as_good(store: Any, one: int, other: int) -> bool:
    """Return whether `one` takes no more room than `other`, on the sheet and in places, and is worth no less."""
    smaller = store.length[one] <= store.length[other] and store.width[one] <= store.width[other]
    return bool(
        smaller
        and store.x[one] <= store.x[other]
        and store.y[one] <= store.y[other]
        and store.worth[one] >= store.worth[other]
    )
