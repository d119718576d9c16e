"""Ruin and recreate: take pieces out of a plan, put them back where they fit best, keep what is not worse.

The goal is a cost. Sheets are opened only within it; what finds no room waits, unplaced, for the next try.
The measure of a plan is the area of what is unplaced; a plan with nothing unplaced reaches the goal. The
way of thinking is that of goal-driven ruin and recreate (Gardeyn and Wauters, European Journal of
Operational Research 2022) with late acceptance (Burke and Bykov, same journal, 2017).
"""

from __future__ import annotations

from typing import Any

from layout.cutting.goal.branches import (
    AXIS,
    CHANCE,
    COST,
    FIRST,
    HIGH,
    LISTED,
    N_LISTED,
    N_OPEN,
    N_UNPLACED,
    NEXT,
    NODE,
    PARENT,
    PIECE,
    SLACK,
    UNPLACED,
    WIDE,
    close_sheet,
    dice,
    open_sheet,
    put,
    sheet_of,
    spare_node,
    take_out,
)
from layout.cutting.goal.jit import jit
from layout.cutting.goal.pool import keep_patterns

Array = Any

MOST_OUT, SHEETS_OUT, SHEETS_AT_ONCE, BLINK, FLIP = range(5)
"""Settings: the most pieces a ruin takes out; how often (%) whole sheets are emptied, and the most at once;
how often (per mille) a place is overlooked, and the split of what is left is turned."""
NOW, BEST, STEP = range(3)
"""What a search goes on with: the measure of the present plan, the best, and the number of steps made."""
_ALL_PLACED = 0
_UNFIT = 1 << 62
_FINE = 1 << 26


@jit
def _gather(s: Array, g: Array, rooms: Array, start: int) -> int:
    """Set rows (node, wide, high) of what is free in the nodes listed from `start`; return their number."""
    number = 0
    for j in range(start, g[N_LISTED]):
        n = s[LISTED, j]
        if s[SLACK, n] > 0:
            _enter(s, rooms, number, n)
            number += 1
    return number


@jit
def _enter(s: Array, rooms: Array, at: int, n: int) -> None:
    """Set row `at` to what is free in node `n`."""
    rooms[at, 0] = n
    if s[AXIS, n] == 0:
        rooms[at, 1], rooms[at, 2] = s[SLACK, n], s[HIGH, n]
    else:
        rooms[at, 1], rooms[at, 2] = s[WIDE, n], s[SLACK, n]


@jit
def _place(g: Array, rooms: Array, number: int, i: int, ways: Array, n_ways: Array, rule: int, blink: int) -> int:
    """Return twice the row of the room where piece `i` fits best, plus the way; -1 where it fits nowhere."""
    best = _UNFIT
    found = -1
    for way in range(n_ways[i]):
        w, h = ways[i, way, 0], ways[i, way, 1]
        for j in range(number):
            wide, high = rooms[j, 1], rooms[j, 2]
            if w > wide or h > high:
                continue
            if blink > 0 and dice(g, 1000) < blink:
                continue
            if rule == 0:
                score = wide * high - w * h
            else:
                a, c = wide - w, high - h
                if (rule == 1) == (a > c):
                    a, c = c, a
                score = a * _FINE + c
            if score < best:
                best = score
                found = 2 * j + way
    return found


@jit
def _lay(
    s: Array, g: Array, it: Array, b: Array, rooms: Array, number: int, i: int, where: int, ways: Array, flip: int
) -> int:
    """Lay piece `i` in a room found, the larger rest left in one piece, mostly; return the new number of rooms."""
    row, way = where // 2, where % 2
    n = rooms[row, 0]
    w, h = ways[i, way, 0], ways[i, way, 1]
    if s[AXIS, n] == 0:
        along, across, span = s[SLACK, n] - w, s[HIGH, n] - h, s[HIGH, n]
    else:
        along, across, span = s[SLACK, n] - h, s[WIDE, n] - w, s[WIDE, n]
    along_first = along * span >= s[SLACK, n] * across
    if flip > 0 and dice(g, 1000) < flip:
        along_first = not along_first
    listed = g[N_LISTED]
    put(s, g, it, b, i, way, n, w, h, along_first)
    if s[SLACK, n] > 0:
        _enter(s, rooms, row, n)
    else:
        number -= 1
        for k in range(3):
            rooms[row, k] = rooms[number, k]
    for j in range(listed, g[N_LISTED]):
        if s[SLACK, s[LISTED, j]] > 0:
            _enter(s, rooms, number, s[LISTED, j])
            number += 1
    return number


@jit
def _type_for(
    g: Array,
    i: int,
    ways: Array,
    n_ways: Array,
    n_blanks: Array,
    blanks: Array,
    prices: Array,
    stock_of: Array,
    left: Array,
    worth: Array,
    goal: int,
) -> int:
    """Return a type of sheet to open for piece `i` within the goal, by chance, good value more often; or -1."""
    found, best = -1, -1.0
    for kind in range(n_blanks.shape[0]):
        if left[stock_of[kind]] <= 0 or g[COST] + prices[kind] > goal:
            continue
        fits = False
        for k in range(n_blanks[kind]):
            for way in range(n_ways[i]):
                if ways[i, way, 0] <= blanks[kind, k, 0] and ways[i, way, 1] <= blanks[kind, k, 1]:
                    fits = True
        if not fits:
            continue
        drawn = worth[kind] * (0.8 + 0.4 * dice(g, 1024) / 1024.0)
        if drawn > best:
            best, found = drawn, kind
    return found


@jit
def _keys(g: Array, it: Array, ways: Array, weights: Array, keys: Array) -> None:
    """Set by what the unplaced pieces are sorted: area, longer side, shorter side, by chance."""
    order = dice(g, 8)
    for a in range(g[N_UNPLACED]):
        i = it[UNPLACED, a]
        w, h = ways[i, 0, 0], ways[i, 0, 1]
        if order < 3:
            keys[i] = weights[i]
        elif order < 5:
            keys[i] = max(w, h)
        elif order < 6:
            keys[i] = min(w, h)
        elif order < 7:
            keys[i] = weights[i] * (700 + dice(g, 600))
        else:
            keys[i] = dice(g, 1 << 20)


@jit
def _sort(it: Array, keys: Array, number: int) -> None:
    """Sort the unplaced pieces by falling key; there are few, so by insertion."""
    for a in range(1, number):
        i = it[UNPLACED, a]
        key = keys[i]
        c = a - 1
        while c >= 0 and keys[it[UNPLACED, c]] < key:
            it[UNPLACED, c + 1] = it[UNPLACED, c]
            c -= 1
        it[UNPLACED, c + 1] = i


@jit
def recreate(
    s: Array,
    g: Array,
    it: Array,
    b: Array,
    left: Array,
    ways: Array,
    n_ways: Array,
    weights: Array,
    keys: Array,
    rooms: Array,
    n_blanks: Array,
    blanks: Array,
    prices: Array,
    stock_of: Array,
    worth: Array,
    goal: int,
    blink: int,
    flip: int,
) -> None:
    """Put the unplaced pieces where they fit best, on open sheets or on new ones within the goal."""
    number = g[N_UNPLACED]
    _keys(g, it, ways, weights, keys)
    _sort(it, keys, number)
    drawn = dice(g, 10)
    rule = 0 if drawn < 5 else 1 if drawn < 9 else 2
    kept = 0
    free = _gather(s, g, rooms, 0)
    for a in range(number):
        i = it[UNPLACED, a]
        where = _place(g, rooms, free, i, ways, n_ways, rule, blink)
        if where < 0:
            kind = _type_for(g, i, ways, n_ways, n_blanks, blanks, prices, stock_of, left, worth, goal)
            if kind >= 0:
                start = g[N_LISTED]
                open_sheet(s, g, b, left, kind, n_blanks, blanks, prices, stock_of)
                for j in range(start, g[N_LISTED]):
                    _enter(s, rooms, free, s[LISTED, j])
                    free += 1
                where = _place(g, rooms, free, i, ways, n_ways, rule, 0)
        if where >= 0:
            free = _lay(s, g, it, b, rooms, free, i, where, ways, flip)
        else:
            it[UNPLACED, kept] = i
            kept += 1
    g[N_UNPLACED] = kept


@jit
def _first_leaf(s: Array, n: int) -> int:
    while s[PIECE, n] < 0:
        n = s[FIRST, n]
    return n


@jit
def empty_sheet(
    s: Array, g: Array, it: Array, b: Array, left: Array, sheet: int, prices: Array, stock_of: Array
) -> None:
    """Take every piece off a sheet, which closes it: nodes are given back from the leaves up."""
    for k in range(b[2, sheet]):
        root = b[3 + k, sheet]
        n = root
        while True:
            while s[PIECE, n] < 0 and s[FIRST, n] >= 0:
                n = s[FIRST, n]
            parent, following, i = s[PARENT, n], s[NEXT, n], s[PIECE, n]
            spare_node(s, g, n)
            if i >= 0:
                it[NODE, i] = -1
                it[UNPLACED, g[N_UNPLACED]] = i
                g[N_UNPLACED] += 1
            if n == root:
                break
            s[FIRST, parent] = following
            n = following if following >= 0 else parent
    close_sheet(g, b, left, sheet, prices, stock_of)


@jit
def _remove_branch(
    s: Array, g: Array, it: Array, b: Array, left: Array, n: int, aim: int, prices: Array, stock_of: Array
) -> None:
    """Take pieces out below node `n` until none is left there, or enough are out."""
    while True:
        leaf = _first_leaf(s, n)
        k = n
        while s[PIECE, k] < 0 and s[NEXT, s[FIRST, k]] < 0:
            k = s[FIRST, k]
        last = s[PIECE, k] >= 0
        before = s[PARENT, n]
        take_out(s, g, it, b, left, leaf, prices, stock_of)
        # Where the tree has changed around the node it is another node by now.
        if last or g[N_UNPLACED] >= aim or s[PIECE, n] != -1 or s[PARENT, n] != before or s[FIRST, n] < 0:
            return


@jit
def _ruin(
    s: Array,
    g: Array,
    it: Array,
    b: Array,
    left: Array,
    n_pieces: int,
    prices: Array,
    stock_of: Array,
    settings: Array,
) -> None:
    """Empty a few sheets, or take out branches of trees or single pieces."""
    drawn = dice(g, 100)
    if drawn < settings[SHEETS_OUT]:
        times = 1 + dice(g, settings[SHEETS_AT_ONCE])
        while times > 0 and g[N_OPEN] > 0:
            times -= 1
            k = dice(g, g[N_OPEN])
            sheet = -1
            while k >= 0:
                sheet += 1
                if b[0, sheet] >= 0:
                    k -= 1
            empty_sheet(s, g, it, b, left, sheet, prices, stock_of)
        return
    aim = min(g[N_UNPLACED] + 1 + dice(g, settings[MOST_OUT]), n_pieces)
    while g[N_UNPLACED] < aim:
        i = dice(g, n_pieces)
        while it[NODE, i] < 0:
            i = i + 1 if i + 1 < n_pieces else 0
        n = it[NODE, i]
        if drawn % 3 > 0:
            climb = dice(g, 4)
            while climb > 0 and s[PARENT, n] >= 0 and s[PARENT, s[PARENT, n]] >= 0:
                n = s[PARENT, n]
                climb -= 1
        _remove_branch(s, g, it, b, left, n, aim, prices, stock_of)


@jit
def drop_to(
    s: Array,
    g: Array,
    it: Array,
    b: Array,
    left: Array,
    weights: Array,
    prices: Array,
    stock_of: Array,
    filled: Array,
    goal: int,
) -> None:
    """Empty sheets, those with the least on them for their price first, until the cost is within the goal."""
    while g[COST] > goal:
        filled[:] = 0
        for i in range(it.shape[1]):
            if it[NODE, i] >= 0:
                filled[sheet_of(s, it[NODE, i])] += weights[i]
        worst, least = -1, 0.0
        for sheet in range(b.shape[1]):
            if b[0, sheet] >= 0:
                each = filled[sheet] / (prices[b[0, sheet]] + 1e-9)
                if worst < 0 or each < least:
                    worst, least = sheet, each
        empty_sheet(s, g, it, b, left, worst, prices, stock_of)


@jit
def _copy(
    s: Array, g: Array, it: Array, b: Array, left: Array, s2: Array, g2: Array, it2: Array, b2: Array, left2: Array
) -> None:
    """Copy a state onto another, all but the dice."""
    s2[:, :] = s
    chance = g2[CHANCE]
    g2[:] = g
    g2[CHANCE] = chance
    it2[:, :] = it
    b2[:, :] = b
    left2[:] = left


@jit
def search(
    s: Array,
    g: Array,
    it: Array,
    b: Array,
    left: Array,
    s0: Array,
    g0: Array,
    it0: Array,
    b0: Array,
    left0: Array,
    ways: Array,
    n_ways: Array,
    weights: Array,
    keys: Array,
    rooms: Array,
    n_blanks: Array,
    blanks: Array,
    prices: Array,
    stock_of: Array,
    worth: Array,
    marks: Array,
    least: Array,
    filled: Array,
    marked: Array,
    table: Array,
    heads: Array,
    tokens: Array,
    pool: Array,
    history: Array,
    measure: Array,
    settings: Array,
    goal: int,
    steps: int,
) -> int:
    """Search for at most `steps` steps; return the number made. Nothing unplaced: the goal is reached.

    s0, g0, ... is the present plan, s, g, ... the one that is tried; on return both are the present one.
    `history` holds the measures of the last plans, `measure` what the next call goes on with.
    """
    done = 0
    while done < steps:
        done += 1
        _ruin(s, g, it, b, left, it.shape[1], prices, stock_of, settings)
        recreate(
            s, g, it, b, left, ways, n_ways, weights, keys, rooms, n_blanks, blanks, prices, stock_of, worth, goal,
            settings[BLINK], settings[FLIP],
        )  # fmt: skip
        value = 0
        for a in range(g[N_UNPLACED]):
            value += weights[it[UNPLACED, a]]
        if heads.shape[0] > 0:
            keep_patterns(s, it, b, weights, marks, least, filled, marked, table, heads, tokens, pool)
        h = measure[STEP] % history.shape[0]
        measure[STEP] += 1
        if value <= measure[NOW] or value <= history[h]:
            measure[NOW] = value
            _copy(s, g, it, b, left, s0, g0, it0, b0, left0)
            if g[N_UNPLACED] == _ALL_PLACED:
                break
        else:
            _copy(s0, g0, it0, b0, left0, s, g, it, b, left)
        history[h] = min(history[h], measure[NOW])
        measure[BEST] = min(measure[BEST], measure[NOW])
    return done
