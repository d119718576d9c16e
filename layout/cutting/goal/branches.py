"""The tree of cuts as arrays, and the ways to take a piece out of it and to put one in.

A node is a rectangle that cuts along one axis take apart. Its children follow each other along that axis;
what none of them takes is its slack, one rectangle at the end. Their order does not matter to the saw, so
all that is free in a node is always in one piece. A child is a piece (a part with its kerf) that spans the
node across, or a node that is cut along the other axis.

Every function takes the state apart: `s` the table of nodes (rows below), `g` a few counters, `b` the sheets
(type or -1, number of pieces, number of blanks, the root of each blank), `left` the sheets left of each stock.
All of it is plain loops over integers, so that it can be compiled.
"""

from __future__ import annotations

from typing import Any

from layout.cutting.goal.jit import jit

Array = Any

PARENT, FIRST, NEXT, BEFORE, WIDE, HIGH, AXIS, SLACK, PIECE, WAY, PLACE, LISTED, SPARE = range(13)
"""Rows of the table of nodes; LISTED and SPARE are lists of nodes that are cut and of nodes to be had."""
NODE_ROWS = 13
N_LISTED, N_SPARE, N_UNPLACED, COST, CHANCE, N_OPEN = range(6)
"""The counters; COST is the price of the open sheets, CHANCE the state of the dice."""
NODE, UNPLACED = range(2)
"""Rows of the table of pieces: the node that a piece is, and the list of the pieces without one."""
A_NODE, NOTHING = -1, -2
"""What PIECE says of a node that is cut, and of one that is not in use."""
_FAR = 1 << 30


@jit
def dice(g: Array, sides: int) -> int:
    """Return a number from 0 to `sides` - 1: the minimal standard generator of Park and Miller (1988), 48271."""
    x = (g[CHANCE] * 48271) % 2147483647
    g[CHANCE] = x
    return (x >> 3) % sides  # type: ignore[no-any-return]  # arrays hold whole numbers


@jit
def new_node(s: Array, g: Array, wide: int, high: int, axis: int) -> int:
    """Return a node without parent, children and slack."""
    g[N_SPARE] -= 1
    n = s[SPARE, g[N_SPARE]]
    s[WIDE, n] = wide
    s[HIGH, n] = high
    s[AXIS, n] = axis
    s[SLACK, n] = 0
    s[FIRST, n] = -1
    s[PIECE, n] = A_NODE
    s[PARENT, n] = -1
    return n  # type: ignore[no-any-return]  # arrays hold whole numbers


@jit
def list_node(s: Array, g: Array, n: int) -> None:
    """Add a node that is cut to the list of those."""
    s[PLACE, n] = g[N_LISTED]
    s[LISTED, g[N_LISTED]] = n
    g[N_LISTED] += 1


@jit
def spare_node(s: Array, g: Array, n: int) -> None:
    """Give a node back."""
    if s[PIECE, n] < 0:
        last = s[LISTED, g[N_LISTED] - 1]
        s[LISTED, s[PLACE, n]] = last
        s[PLACE, last] = s[PLACE, n]
        g[N_LISTED] -= 1
    s[PIECE, n] = NOTHING
    s[SPARE, g[N_SPARE]] = n
    g[N_SPARE] += 1


@jit
def attach(s: Array, parent: int, n: int) -> None:
    """Make `n` the first child of `parent`."""
    first = s[FIRST, parent]
    s[NEXT, n] = first
    s[BEFORE, n] = -1
    if first >= 0:
        s[BEFORE, first] = n
    s[FIRST, parent] = n
    s[PARENT, n] = parent


@jit
def detach(s: Array, n: int) -> None:
    """Take `n` from its parent's children."""
    before, following = s[BEFORE, n], s[NEXT, n]
    if before >= 0:
        s[NEXT, before] = following
    else:
        s[FIRST, s[PARENT, n]] = following
    if following >= 0:
        s[BEFORE, following] = before


@jit
def extent(s: Array, n: int, axis: int) -> int:
    """Return the size of `n` along `axis`."""
    return s[WIDE, n] if axis == 0 else s[HIGH, n]  # type: ignore[no-any-return]  # arrays hold whole numbers


@jit
def sheet_of(s: Array, n: int) -> int:
    """Return the sheet on which `n` lies; a root keeps it where a piece keeps its way."""
    while s[PARENT, n] >= 0:
        n = s[PARENT, n]
    return s[WAY, n]  # type: ignore[no-any-return]  # arrays hold whole numbers


@jit
def _splice(s: Array, g: Array, c: int) -> bool:
    """Take away a node that no cut takes apart (one child, no slack); return whether its parent got slack."""
    k = s[FIRST, c]
    if s[SLACK, c] != 0 or k < 0 or s[NEXT, k] >= 0:
        return False
    q = s[PARENT, c]
    detach(s, k)
    detach(s, c)
    spare_node(s, g, c)
    if s[PIECE, k] >= 0:
        attach(s, q, k)
        return False
    n = s[FIRST, k]
    while n >= 0:
        following = s[NEXT, n]
        attach(s, q, n)
        n = following
    more = s[SLACK, k]
    s[SLACK, q] += more
    spare_node(s, g, k)
    return more > 0  # type: ignore[no-any-return]  # arrays hold whole numbers


@jit
def _too_wide(s: Array, q: int) -> int:
    """Return by how much a node is wider, across its own cuts, than its children need."""
    delta = _FAR
    c = s[FIRST, q]
    while c >= 0 and delta > 0:
        if s[PIECE, c] >= 0:
            delta = 0
        elif s[SLACK, c] < delta:
            delta = s[SLACK, c]
        c = s[NEXT, c]
    return delta


@jit
def _narrow(s: Array, g: Array, q: int, delta: int) -> bool:
    """Make a node narrower across its cuts; the room goes to its parent. Return whether `q` itself got slack."""
    c = s[FIRST, q]
    while c >= 0:
        s[SLACK, c] -= delta
        if s[AXIS, c] == 0:
            s[WIDE, c] -= delta
        else:
            s[HIGH, c] -= delta
        c = s[NEXT, c]
    if s[AXIS, q] == 0:
        s[HIGH, q] -= delta
    else:
        s[WIDE, q] -= delta
    s[SLACK, s[PARENT, q]] += delta
    grown = False
    c = s[FIRST, q]
    while c >= 0:
        following = s[NEXT, c]
        if s[PIECE, c] < 0 and s[SLACK, c] == 0 and _splice(s, g, c):
            grown = True
        c = following
    return grown


@jit
def pass_up(s: Array, g: Array, p: int) -> None:
    """Give slack that has grown in `p` to the nodes above, as far as it can be used there."""
    while True:
        q = s[PARENT, p]
        if q < 0:
            return
        if s[FIRST, p] < 0:
            s[SLACK, q] += extent(s, p, s[AXIS, q])
            detach(s, p)
            spare_node(s, g, p)
            p = q
            continue
        r = s[PARENT, q]
        if r < 0:
            return
        delta = _too_wide(s, q)
        if delta <= 0:
            return
        if _narrow(s, g, q, delta):
            # Both q and what is above it have grown: q's own parent first, in one step.
            up = s[PARENT, r]
            if up >= 0:
                more = _too_wide(s, r)
                if more > 0 and not _narrow(s, g, r, more):
                    p = up
                    continue
            return
        p = r


@jit
def close_sheet(g: Array, b: Array, left: Array, sheet: int, prices: Array, stock_of: Array) -> None:
    """Give back a sheet that has no nodes any more."""
    kind = b[0, sheet]
    b[0, sheet] = -1
    g[COST] -= prices[kind]
    g[N_OPEN] -= 1
    left[stock_of[kind]] += 1


@jit
def take_out(s: Array, g: Array, it: Array, b: Array, left: Array, n: int, prices: Array, stock_of: Array) -> None:
    """Remove a piece from its sheet; the sheet is closed when it was the last on it."""
    i = s[PIECE, n]
    p = s[PARENT, n]
    sheet = sheet_of(s, n)
    detach(s, n)
    s[SLACK, p] += extent(s, n, s[AXIS, p])
    spare_node(s, g, n)
    it[NODE, i] = -1
    it[UNPLACED, g[N_UNPLACED]] = i
    g[N_UNPLACED] += 1
    b[1, sheet] -= 1
    pass_up(s, g, p)
    if b[1, sheet] == 0:
        for k in range(b[2, sheet]):
            spare_node(s, g, b[3 + k, sheet])
        close_sheet(g, b, left, sheet, prices, stock_of)


@jit
def open_sheet(
    s: Array, g: Array, b: Array, left: Array, kind: int, n_blanks: Array, blanks: Array, prices: Array, stock_of: Array
) -> None:
    """Open a sheet of type `kind`, all its blanks empty."""
    sheet = 0
    while b[0, sheet] >= 0:
        sheet += 1
    b[0, sheet] = kind
    b[1, sheet] = 0
    b[2, sheet] = n_blanks[kind]
    for k in range(n_blanks[kind]):
        root = new_node(s, g, blanks[kind, k, 0], blanks[kind, k, 1], 0)
        s[SLACK, root] = blanks[kind, k, 0]
        s[WAY, root] = sheet
        list_node(s, g, root)
        b[3 + k, sheet] = root
    g[COST] += prices[kind]
    g[N_OPEN] += 1
    left[stock_of[kind]] -= 1


@jit
def put(
    s: Array, g: Array, it: Array, b: Array, i: int, way: int, n: int, wide: int, high: int, along_first: bool
) -> None:
    """Lay piece `i` (`wide` by `high`) in the slack of node `n`; `along_first`: the first cut is one of n's own."""
    axis = s[AXIS, n]
    slack = s[SLACK, n]
    if axis == 0:
        along, across, span = wide, high, s[HIGH, n]
    else:
        along, across, span = high, wide, s[WIDE, n]
    leaf = new_node(s, g, wide, high, axis)
    s[PIECE, leaf] = i
    s[WAY, leaf] = way
    it[NODE, i] = leaf
    b[1, sheet_of(s, n)] += 1
    if across == span:
        s[SLACK, n] -= along
        attach(s, n, leaf)
        return
    if along == slack or along_first:
        strip = new_node(s, g, along, span, 1) if axis == 0 else new_node(s, g, span, along, 0)
        s[SLACK, strip] = span - across
        s[SLACK, n] -= along
        list_node(s, g, strip)
        attach(s, n, strip)
        attach(s, strip, leaf)
        return
    if axis == 0:
        strip = new_node(s, g, slack, span, 1)
        row = new_node(s, g, slack, across, 0)
    else:
        strip = new_node(s, g, span, slack, 0)
        row = new_node(s, g, across, slack, 1)
    s[SLACK, strip] = span - across
    s[SLACK, row] = slack - along
    s[SLACK, n] = 0
    list_node(s, g, strip)
    list_node(s, g, row)
    attach(s, n, strip)
    attach(s, strip, row)
    attach(s, row, leaf)
