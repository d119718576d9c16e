"""Patterns met on the way: every well filled sheet is kept, as a string of numbers, for covering with them later."""

from __future__ import annotations

from typing import Any

from layout.cutting.goal.branches import FIRST, NEXT, NODE, PARENT, PIECE, WAY, sheet_of
from layout.cutting.goal.jit import jit

Array = Any

OPENS, CLOSES, ENDS = -1, -2, -3
"""What a string of numbers says beside pieces (2 i + way): a node opens, a node closes, a blank ends."""
COUNT, USED = range(2)
"""The counters of a pool: patterns, numbers."""
_MIX = 7046029254386353


@jit
def write(s: Array, root: int, out: Array, at: int) -> int:
    """Write the branches below a root from place `at`; return the place behind them, -1 when there is no room."""
    n = s[FIRST, root]
    limit = out.shape[0] - 2
    while n >= 0:
        if at > limit:
            return -1
        if s[PIECE, n] < 0:
            out[at] = OPENS
            at += 1
            n = s[FIRST, n]
            continue
        out[at] = 2 * s[PIECE, n] + s[WAY, n]
        at += 1
        while s[NEXT, n] < 0:
            n = s[PARENT, n]
            if n == root:
                return at
            if at > limit:
                return -1
            out[at] = CLOSES
            at += 1
        n = s[NEXT, n]
    return at


@jit
def keep_patterns(
    s: Array,
    it: Array,
    b: Array,
    weights: Array,
    marks: Array,
    least: Array,
    filled: Array,
    marked: Array,
    table: Array,
    heads: Array,
    tokens: Array,
    pool: Array,
) -> None:
    """Keep every sheet whose set of pieces is new and that holds at least `least` (by type) of weight.

    `marks` are random numbers, equal for equal pieces; their sum stands for a set. `table` is a hash table of the
    sets met, `heads` says where the string of a pattern begins and ends, and its type.
    """
    filled[:] = 0
    marked[:] = 0
    for i in range(it.shape[1]):
        if it[NODE, i] >= 0:
            sheet = sheet_of(s, it[NODE, i])
            filled[sheet] += weights[i]
            marked[sheet] += marks[i]
    size = table.shape[0]
    for sheet in range(b.shape[1]):
        kind = b[0, sheet]
        if kind < 0 or filled[sheet] < least[kind]:
            continue
        mark = marked[sheet] ^ (kind * _MIX)
        at = (mark ^ (mark >> 29)) & (size - 1)
        while table[at] != 0 and table[at] != mark:
            at = (at + 1) & (size - 1)
        if table[at] == mark:
            continue
        count = pool[COUNT]
        if count >= heads.shape[0]:
            return
        end = pool[USED]
        for k in range(b[2, sheet]):
            end = write(s, b[3 + k, sheet], tokens, end)
            if end < 0:
                return
            tokens[end] = ENDS
            end += 1
        table[at] = mark
        heads[count, 0] = pool[USED]
        heads[count, 1] = end
        heads[count, 2] = kind
        pool[COUNT] = count + 1
        pool[USED] = end
